"""What fails, as rows: units and cost by part and year, how old units are when they leave, spares."""

from __future__ import annotations

from collections.abc import Iterator

from tco.ask.compare import Comparison
from tco.engine import Column
from tco.model import Ground
from tco.units import written

FAILING_HEADER = ("scenario", "part", "figure", "year", "value", "unit")
FailingRow = tuple[str, str, str, int | str, float, str]
TOTALS = {"failing": True, "leaving": False}  # tables by year: whether their years add up


def failing_rows(comparison: Comparison) -> Iterator[FailingRow]:
    """(scenario, part, figure, year, value, unit) of failures, covered and worn units, cost, ages, spares.

    year: of the study, 0 is the start; of age, for shares of units by age when they leave; empty for sums over the
    horizon, and for spares.
    """
    for ground in comparison.built.grounds:
        names = {slot.key: slot.part.part for slot in ground.slots}
        for kind, adds_up in TOTALS.items():
            for column in columns(ground, kind):
                figure, _, key = column.name.replace("aged", "share_by_age").partition(" ")
                yield from yearly(comparison, ground, column, (names[key], figure), adds_up=adds_up)
        for column in columns(ground, "shelf"):
            for row, part in enumerate(column.table.rows):
                yield cell(comparison, ground, column, row, (part, f"spares_{column.name}", ""))


def columns(ground: Ground, kind: str) -> list[Column]:
    """The columns of one of the scenario's tables of what fails, without those that count its rows."""
    table = ground.model.tables.get(f"{kind} of {ground.scenario.scenario}")
    return [column for column in ground.model.of(table) if column.name not in ("year", "age")] if table else []


def yearly(
    comparison: Comparison, ground: Ground, column: Column, told: tuple[str, str], *, adds_up: bool
) -> Iterator[FailingRow]:
    """A column year by year, then all years together where they add up."""
    for year in range(len(column.table.rows)):
        yield cell(comparison, ground, column, year, (*told, year))
    if adds_up:
        total = float(comparison.of(column).sum())
        yield (*cell(comparison, ground, column, 0, (*told, ""))[:4], total, unit_of(column))


def cell(
    comparison: Comparison, ground: Ground, column: Column, row: int, told: tuple[str, str, int | str]
) -> FailingRow:
    """One figure."""
    return ground.scenario.scenario, *told, float(comparison.of(column)[row]), unit_of(column)


def unit_of(column: Column) -> str:
    """A column's unit as people write it."""
    return written(column.unit)
