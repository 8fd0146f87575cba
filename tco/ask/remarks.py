"""What the answer rests on beyond the inputs as typed: values converted, curves carried on beyond their end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import inf

from tco.ask.compare import Comparison
from tco.ask.electricity import electricity_remarks
from tco.engine import Column, cell_text
from tco.model.calendar import month_after
from tco.model.ground import QUOTED
from tco.study import FailurePoint, Part, ResalePoint, Scenario, Study

TOLD = 2  # conversions of one column that are told one by one


def remarks(comparison: Comparison) -> list[str]:
    """Each in a sentence, for people; empty where nothing was converted or carried on."""
    study = comparison.study
    found = [*conversions(comparison), *deflated(study), *free(study), *superseded(study), *carried_on(study)]
    found += electricity_remarks(study)
    return list(dict.fromkeys(found))


def conversions(comparison: Comparison) -> Iterator[str]:
    """Values that were quoted in the other kind of money."""
    for column in comparison.built.model.columns.values():
        if column.name.endswith(QUOTED):
            name = f"{column.table.name}.{column.name.removesuffix(QUOTED)}"
            yield from turned(comparison, column, comparison.built.model[name])


def turned(comparison: Comparison, quoted: Column, counted: Column) -> Iterator[str]:
    """A sentence for each row that was converted; of many in one column, for the first."""
    money = comparison.study.settings.money
    other = "real" if money == "nominal" else "nominal"
    rows = [row for row, same in enumerate(comparison.of(quoted) == comparison.of(counted)) if not same]
    where = quoted.table.scenario or quoted.table.label
    for row in rows[:TOLD]:
        of = "" if quoted.table.name == "settings" else f" of {quoted.table.rows[row]} ({where})"
        before, after = (cell_text(column, row, comparison.figures) for column in (quoted, counted))
        yield f"{counted.label}{of}: {before} {other} counts as {after} {money}."
    if len(rows) > TOLD:
        yield f"{counted.label} ({where}): {len(rows) - TOLD} more {other} values are converted likewise."


def deflated(study: Study) -> Iterator[str]:
    """Resale curves that speak of nominal money in a study of real money."""
    names = [f"'{name}'" for name, points in study.resale.items() if points[0].base == "own price"]
    if study.settings.money == "real" and names:
        yield f"Resale by {', '.join(names)} is a share of nominal prices; it is deflated by inflation."


def free(study: Study) -> Iterator[str]:
    """Owned gear that is sold in the end without having cost anything."""
    owned = [part for scenario in study.scenarios for part in scenario.parts if part.fetches_today and part.resale]
    if owned and study.settings.owned_gear == "free":
        yield "Owned gear costs nothing at the start here ('owned gear' is free), and its resale counts as income."


def superseded(study: Study) -> Iterator[str]:
    """Tariff versions whose empty growth means none because another version follows, in a study of growing prices."""
    if study.settings.electricity_growth == 0:
        return
    end = month_after(study.settings.start, study.settings.horizon)
    for name, versions in study.tariffs.items():
        for version, later in pairwise(versions):
            if (
                version.growth is None
                and not version.path
                and version.start < end
                and later.start > study.settings.start
            ):
                told = f"Tariff '{name}' from {version.start:%Y-%m}: its growth is empty and a later version follows"
                yield f"{told}, so its price does not grow."


def carried_on(study: Study) -> Iterator[str]:
    """Curves that parts outlive: by more than the last step between their points, which the last one speaks for."""
    for curves, field, kind, how in (
        (study.failures, "failures", "Failure", "its last rate holds from there"),
        (study.resale, "resale", "Resale", "it goes on falling at its last ratio"),
    ):
        for name, points in curves.items():
            oldest = max(
                (age for scenario in study.scenarios for age in reached(study, scenario, field, name)), default=0
            )
            if oldest > last_age(points, field):
                ends = points[-1].age
                yield f"{kind} curve '{name}' ends at {ends} months; parts here reach {oldest}: {how}."


def reached(study: Study, scenario: Scenario, field: str, curve: str) -> Iterator[int]:
    """The ages that units following a curve can reach, in months, whether bought as such or as a replacement."""
    for part in scenario.parts:
        if getattr(part, field) == curve:
            stays = [
                leaving(study, other) - 1 - other.bought for other in scenario.parts if other.replaced_by == part.part
            ]
            own = leaving(study, part) - part.bought if part.quantity else 0
            oldest = part.age + max(own, *stays, 0)
            yield oldest if part.life is None else min(oldest, part.life)


def leaving(study: Study, part: Part) -> int:
    """The month at whose end a part leaves."""
    return study.settings.horizon if part.leaves is None else part.leaves


def last_age(points: Sequence[FailurePoint | ResalePoint], field: str) -> float:
    """Up to which age a curve speaks; a single point for all ages."""
    if len(points) < 2:
        return inf
    return points[-1].age + (points[-1].age - points[-2].age if field == "failures" else 0)
