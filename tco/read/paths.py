"""Price paths: their years, which rows follow them, and how far they must reach."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import pairwise

from tco.addresses import label
from tco.read.curves import by_name, place
from tco.read.found import Found, tell_absent
from tco.read.problems import Problems, shown
from tco.study import Fee, PathPoint, Row, Version

Follower = tuple[Row, str, str]  # a row, its field that names a path, its field for a growth instead


def followers(found: Found, *, used: bool = False) -> Iterator[Follower]:
    """Each row that names a path, of versions, fees and parts; of versions only those of used tariffs if asked."""
    tariffs = {scenario.tariff for scenario in found.scenarios.rows}
    rows: list[Version | Fee] = [row for row in found.tariffs.rows if not used or row.tariff in tariffs]
    yield from ((row, "path", "growth") for row in [*rows, *found.fees.rows] if row.path)
    for table in found.parts.values():
        yield from ((part, "price_path", "price_trend") for part in table.rows if part.price_path)


def used_paths(found: Found) -> dict[str, tuple[PathPoint, ...]]:
    """The paths that the study follows, by name in order."""
    paths = by_name(found.paths.rows, "path")
    names = {str(getattr(row, name)) for row, name, _ in followers(found, used=True)}
    return {name: paths[name] for name in sorted(names & set(paths))}


def check_paths(found: Found, problems: Problems) -> None:
    """Paths count their years from 1; those that are followed exist and reach the end, instead of a growth."""
    paths = by_name(found.paths.rows, "path")
    for name, points in paths.items():
        _check_years(name, points, problems, whole=found.paths.whole)
    for row, path, growth in followers(found):
        if found.paths.whole and getattr(row, path) not in paths:
            tell_absent(row, path, "path", found.paths.file, set(paths), problems)
        if growth in row.places:
            message = f"{label(growth)}: '{label(path)}' stands in {place(row, path)} already; use one of them"
            problems.add(place(row, growth), message)
    for name, points in used_paths(found).items() if found.paths.whole else ():
        _check_end(name, points, found.settings.horizon, problems)


def _check_years(name: str, points: Sequence[PathPoint], problems: Problems, *, whole: bool) -> None:
    """Report the years at which a path does not go on from 1 by one; whole: whether each row's path is known."""
    if points[0].year > 1 and whole:
        message = f"path {shown(name)} begins with year {points[0].year}; its first year must be 1"
        problems.add(place(points[0], "year"), message)
    known = {point.year for point in points}
    for before, point in pairwise(points):
        if point.year <= before.year:
            message = f"path {shown(name)}: year {point.year} after year {before.year}; years must rise"
            problems.add(place(point, "year"), message)
        if whole and point.year > before.year and (absent := set(range(before.year + 1, point.year)) - known):
            message = f"path {shown(name)}: {_years(absent)} missing before year {point.year}"
            problems.add(place(point, "year"), message)


def _check_end(name: str, points: Sequence[PathPoint], horizon: int, problems: Problems) -> None:
    """Report the years that a path in use lacks at its end; a refused year or horizon [months] lets it be."""
    last, needed = max(point.year for point in points), -(-horizon // 12)
    if last < needed and all(point.year <= last for point in points):
        message = (
            f"path {shown(name)} ends with year {last}, the horizon of {horizon} months with year {needed}: "
            f"{_years(range(last + 1, needed + 1))} missing"
        )
        problems.add(place(points[-1], "year"), message)


def _years(years: Collection[int]) -> str:
    """`year 4 is`, `years 4, 5, 6 are`."""
    listed = ", ".join(str(year) for year in sorted(years))
    return f"years {listed} are" if len(years) > 1 else f"year {listed} is"
