"""What `tco grow` finds as CSV: one tidy table, floats in full.

grow.csv (scenario, figure, purchase, month, value, unit). A row a figure, scenarios being the ways that are compared.
Of each purchase as data grow, by the month at whose end it is bought: `due` (the month whose data are more than the
room), `of_use` (the first month with it), `paid`, `data_then` in that month, `room_before`, `room_after`. What was
passed over: `passed_over`, in the month in which it was first, with the reason as value. Of each way over the
horizon: `lcc`, `undiscounted`, `equivalent_month`, `paid_at_start`, `resale`, `months_above`, `most_above`,
`left_over`, `outgrown_from`; and against the same scenario as data grow, of what is rented against the first one,
`costs_more` and `costs_more_` with each line (undiscounted; `interest`: what discounting makes of them, so that they
add up). By month: `data_held`, `room`, `cash` (what changes hands) and `cash_so_far`. What is not known has the
reason as value.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from tco.ask.grow import GROW, Growth, Way
from tco.ask.grow_figures import above, cash, data, grown, left_over, measure, paid, room, saving
from tco.write.tables import Table

NAME = "grow.csv"
HEADER = ("scenario", "figure", "purchase", "month", "value", "unit")
UNKNOWN = "unknown: not stated"
LASTS = "none: the room lasts, or more can be bought"
TOTALS = {"lcc": "lcc", "undiscounted": "undiscounted", "equivalent_month": "equivalent_month",
          "paid_at_start": "paid_at_start", "resale": "total_resale"}  # fmt: skip
Row = tuple[str, str, str, float | str, float | str, str]


def grow_csv(found: Growth) -> str:
    """See above."""
    return grow_table(found).csv


def grow_table(found: Growth) -> Table:
    """What grow.csv has."""
    rows = [*purchases(found), *passed(found), *totals(found), *against(found), *by_month(found)]
    return Table(NAME, HEADER, rows, ("month", "value"), "none: over the horizon")


def money(found: Growth) -> str:
    """The study's currency."""
    return found.comparison.study.settings.currency


def purchases(found: Growth) -> Iterator[Row]:
    """What is bought as data grow."""
    held = data(found)
    for plan, own in enumerate(found.plans):
        name = grown(found, plan).name
        for step in own.steps:
            figures: tuple[tuple[str, float, str], ...] = (
                ("due", step.due, "month"), ("of_use", step.of_use, "month"),
                ("paid", paid(found, plan, step), money(found)), ("data_then", float(held[step.of_use]), "TB"),
                ("room_before", step.room_before, "TB"), ("room_after", step.room_after, "TB"),
            )  # fmt: skip
            for figure, value, unit in figures:
                yield name, figure, step.bought.called, step.bought.month, value, unit


def passed(found: Growth) -> Iterator[Row]:
    """What was passed over, and why."""
    for plan, own in enumerate(found.plans):
        for one in own.passed:
            yield grown(found, plan).name, "passed_over", one.name, one.month, one.why, ""


def totals(found: Growth) -> Iterator[Row]:
    """What each way comes to."""
    for way in found.ways:
        for figure, name in TOTALS.items():
            yield way.name, figure, "", "", measure(found, way, name), money(found)
        own, left = above(found, way), left_over(found, way)
        known = own is not None and left is not None
        months, most = (own.months, own.most) if own is not None else (UNKNOWN, UNKNOWN)
        yield way.name, "months_above", "", "", months, "month" if known else ""
        yield way.name, "most_above", "", "", most, "TB" if known else ""
        yield way.name, "left_over", "", "", UNKNOWN if left is None else left, "TB" if known else ""
        if way.kind == GROW and way.plan is not None:
            first = found.plans[way.plan].outgrown
            yield (
                way.name,
                "outgrown_from",
                "",
                "",
                LASTS if first is None else first,
                "" if first is None else "month",
            )


def against(found: Growth) -> Iterator[Row]:
    """What each other way costs more than growing."""
    for way in found.ways:
        if way.kind != GROW:
            own = saving(found, grown(found, way.plan or 0), way)
            yield way.name, "costs_more", "", "", own.lcc, money(found)
            for line, value in own.lines.items():
                yield way.name, f"costs_more_{line}", "", "", value, money(found)


def by_month(found: Growth) -> Iterator[Row]:
    """Data, room and cash of each way, month by month."""
    held = data(found)
    for way in found.ways:
        yield from monthly(way, "data_held", held.tolist(), "TB")
        own, paid_then = room(found, way), cash(found, way)
        if own is not None:
            yield from monthly(way, "room", own.tolist(), "TB")
        yield from monthly(way, "cash", paid_then.tolist(), money(found))
        yield from monthly(way, "cash_so_far", np.cumsum(paid_then).tolist(), money(found))


def monthly(way: Way, figure: str, values: list[float], unit: str) -> Iterator[Row]:
    """One figure, month by month."""
    yield from ((way.name, figure, "", month, value, unit) for month, value in enumerate(values))
