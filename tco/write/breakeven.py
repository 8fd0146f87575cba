"""What `tco breakeven` leaves behind: breakeven.csv, a meeting a row, floats in full.

scenario, other: the two that cost the same; lcc: what scenario costs there. meeting: `crosses` (the cheaper one
changes; of a count between the number before and `value`), `touches` (it does not), `level` (the same from `value` to
`until`), `jumps` (the cheaper one changes at once, and they cost the same at no value), or `none` between `low` and
`high`, `same` at every value there. value, until, low, high in `unit`; `times`: a factor on what the study says.
below, above: the cheaper one; empty where the range ends. kwh_price: what the factor makes of a kWh in month 1.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path

from tco.ask.breakeven import BreakEvens, Level
from tco.ask.vary_roots import Meeting
from tco.write.chance_figures import TIMES
from tco.write.results import write_files, write_text
from tco.write.tables import Table

TABLE = "breakeven.csv"
HEADER = (
    "scenario", "other", "input", "meeting", "value", "until", "unit", "lcc", "below", "above", "kwh_price", "low",
    "high",
)  # fmt: skip
Row = tuple[str | float, ...]


def write_levels(found: BreakEvens, folder: Path, *, replace: bool = False) -> list[Path]:
    """Write the CSV file, whole or not at all; returns its path. Raises ResultError.

    replace: whether a file that is not the tool's own may be overwritten.
    """
    makers = {TABLE: partial(write_text, levels_csv, found)}
    return write_files(makers, found.comparison.study, folder, replace=replace)


def levels_csv(found: BreakEvens) -> str:
    """See above."""
    return levels_table(found).csv


def levels_table(found: BreakEvens) -> Table:
    """What breakeven.csv has."""
    figures = ("value", "until", "lcc", "kwh_price", "low", "high")
    return Table(TABLE, HEADER, [row for one in found.levels for row in rows(one)], figures)


def rows(one: Level) -> Iterator[Row]:
    """A row a meeting; one that says so where there is none."""
    head, ends = (one.one, one.other, one.label), (one.low, one.high)
    if one.is_same or not one.meetings:
        kind = "same" if one.is_same else "none"
        yield *head, kind, "", "", unit(one), "", one.cheaper, one.cheaper, "", *ends
        return
    for own, cost in zip(one.meetings, one.costs, strict=True):
        sides = (one.cheaper_of(own.before), one.cheaper_of(own.after))
        yield *head, own.kind, own.value, own.until, unit(one), cost, *sides, kwh(one, own), *ends


def unit(one: Level) -> str:
    """The unit of an input's values."""
    if one.input is None:
        return "month"
    return TIMES if one.input.is_factor else one.input.unit


def kwh(one: Level, own: Meeting) -> float | str:
    """What the factor makes of the price of a kWh; empty where that is not the input, or not known."""
    return own.value * one.price if isinstance(one.price, float) else ""
