"""What is known in the other kind of money than the study's: it can be converted only where inflation is stated."""

from __future__ import annotations

from collections.abc import Iterator
from math import isnan

from tco.addresses import label
from tco.read.curves import place
from tco.read.found import Found
from tco.read.problems import Problems, shown
from tco.study import Part, Row, Settings


def check_kinds(found: Found, problems: Problems) -> None:
    """Where the study states no inflation, everything in it is of the study's own kind of money."""
    settings = found.settings
    if settings.inflation is not None or not settings.money:  # a refused one is told already
        return
    for row in _rows(found):
        for name in row.kinds:
            _check_kind(row, name, settings, problems)
    if settings.money == "real":
        _check_own_price(found, problems)


def _rows(found: Found) -> Iterator[Row]:
    """Every row of the study that may say which kind of money it is in."""
    yield found.settings
    for table in (found.scenarios, found.nodes, found.tariffs, found.fees, found.one_offs, found.paths):
        yield from table.rows
    for parts in found.parts.values():
        yield from parts.rows


def _check_kind(row: Row, name: str, settings: Settings, problems: Problems) -> None:
    """Report a value in the other kind of money, unless it is refused already."""
    number = row.extra[name] if name in row.extra else getattr(row, name)
    if row.kinds[name] != settings.money and not isnan(number):
        message = (
            f"{label(name)}: this is {row.kinds[name]}, but the study's money is {_money(settings)}; "
            f"write it in {settings.money} money, or state inflation in {settings.places[''].file}"
        )
        problems.add(place(row, name), message)


def _money(settings: Settings) -> str:
    """Which money the study is in, and where it says so."""
    stated = settings.places.get("money")
    where = str(stated) if stated else f"{settings.places['']}, where money is left out"
    return f"{settings.money} ({where})"


def _check_own_price(found: Found, problems: Problems) -> None:
    """What is left of the price a unit was bought at is nominal money: a real study has to convert it."""
    users: dict[str, Part] = {}
    for table in found.parts.values():
        for part in table.rows:
            users.setdefault(part.resale, part)
    for name, part in users.items():
        points = found.curves.resale.get(name, ())
        if points and points[0].base == "own price":
            message = (
                f"curve {shown(name)}, used in {place(part, 'resale')}: a share of a unit's own price is nominal, "
                f"but the study's money is {_money(found.settings)}; "
                f"state inflation in {found.settings.places[''].file}"
            )
            problems.add(place(points[0], "base"), message)
