"""Plan against actuals as CSV: one tidy table, floats in full.

track.csv (scenario, figure, item, month, planned, actual, difference, unit). figure: `so_far`, `to_come` and
`in_all` of each cost line, of all together (`total`) and of energy; `measure` of the study; `stock`, units by now;
`from_today`, what each way to go on costs from today (the difference is to going on), and `next_month`, what it pays
for things then; `month`, each line by month, and `load`, metered over listed power.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tco.ask.compare import told
from tco.ask.from_today import Way
from tco.ask.reprice import Figure, Pair
from tco.ask.track import Apart, Tracked, by_line, energy
from tco.write.tables import Table
from tco.write.track_words import called

HEADER = ("scenario", "figure", "item", "month", "planned", "actual", "difference", "unit")
MEASURES = ("undiscounted", "lcc", "equivalent_month", "total_energy", "recommended", "needs_missed")
Row = tuple[str, str, int | str, Figure, Figure, Figure, str]  # without the scenario, which is the same in all
NOBODY = "none: no plan had it"


def track_table(found: Tracked, ways: Sequence[Way]) -> Table:
    """What track.csv has."""
    rows = [*line_rows(found), *measure_rows(found), *stock_rows(found), *way_rows(found, ways), *month_rows(found)]
    named = [(found.name, *own) for own in rows]
    return Table("track.csv", HEADER, named, ("planned", "actual", "difference"), "none: not for the whole study")


def row(figure: str, item: str, month: int | str, sides: tuple[Figure, Figure], unit: str) -> Row:
    """One row; the difference where both are numbers."""
    pair = Pair(*sides)
    return figure, item, month, pair.before, pair.after, pair.change, unit


def line_rows(found: Tracked) -> Iterator[Row]:
    """Each line up to now, from now on, in all."""
    money = found.source.settings.currency
    every: list[tuple[Apart, str]] = [*((one, money) for one in by_line(found)), (energy(found), "kWh")]
    for one, unit in every:
        for number, figure in enumerate(("so_far", "to_come")):
            yield row(figure, one.name, "", (one.planned[number], one.went[number]), unit)
        yield row("in_all", one.name, "", one.whole, unit)


def measure_rows(found: Tracked) -> Iterator[Row]:
    """What the whole study comes to."""
    for name in MEASURES:
        if not found.plan.has_measure(name):
            continue
        sides = [told(found.comparison, ground.measure(name), 0) for ground in (found.plan, found.went)]
        yield row("measure", name, "", (sides[0][0], sides[1][0]), sides[0][1] or sides[1][1])


def stock_rows(found: Tracked) -> Iterator[Row]:
    """How many of each part are there by now."""
    for part in found.plan.scenario.parts:
        planned, there = found.planned_by_now(part), found.stock.there(part.part)
        yield row("stock", part.part, "", (float(planned), float(there)), "")


def way_rows(found: Tracked, ways: Sequence[Way]) -> Iterator[Row]:
    """What each way to go on costs."""
    money = found.source.settings.currency
    for way in ways:
        if way.impossible:
            yield "from_today", called(found, way), "", NOBODY, f"none: {way.impossible}", "", ""
            continue
        yield "from_today", called(found, way), "", NOBODY, way.cost, way.cost - ways[0].cost, money
        yield "next_month", called(found, way), "", NOBODY, way.first, way.first - ways[0].first, money


def month_rows(found: Tracked) -> Iterator[Row]:
    """Each line, the total and the energy month by month; what was metered over what the parts list says."""
    money = found.source.settings.currency
    names = [(one.name, money) for one in by_line(found)] + [("energy", "kWh")]
    for name, unit in names:
        planned, actual = (found.comparison.of(ground.month(name)) for ground in (found.plan, found.went))
        for month, sides in enumerate(zip(planned.tolist(), actual.tolist(), strict=True)):
            yield row("month", name, month, sides, unit)
    for month, load in enumerate(found.past.load):
        yield row("month", "load", month, (1.0, load), "")
