"""The page's two charts: what they show, in a drawing and in words."""

from __future__ import annotations

from dataclasses import dataclass

from tco.model import LINES, Ground
from tco.write.board import OUTSIDE
from tco.write.formats import WHOLE_MONEY
from tco.write.page_to_send.bars import Bars, Cost, bars
from tco.write.page_to_send.curves import Curves, Run, curves
from tco.write.page_to_send.facts import Facts
from tco.write.page_to_send.shown import Figure, figure
from tco.write.page_to_send.tables import Row, Table
from tco.write.scenario_sheet import real_lines

YEAR = 12


@dataclass(frozen=True)
class Picture:
    """A chart: its drawing, what it shows in words, and the table of its figures."""

    drawing: Bars | Curves
    words: str
    figures: Table


def by_line(facts: Facts) -> Picture:
    """Cost by line, one bar a scenario."""
    labels = {line.name: line.label for line in LINES}
    totals = facts.row("undiscounted", "All in all", facts.draft.money, WHOLE_MONEY)
    rows = [
        (facts.row(f"total_{name}", labels[name], facts.draft.money, WHOLE_MONEY), fill)
        for name, fill in real_lines(facts.comparison.built.grounds).items()
    ]
    costs = [Cost(row.head, fill, tuple(cell.value or 0.0 for cell in row.cells)) for row, fill in rows]
    told = f"{facts.draft.money} over {facts.kept}, undiscounted"
    some = tuple(row for row, _ in rows if any(cell.value for cell in row.cells))
    table = Table("by-line", f"{told}; a minus is income.", facts.names, (*some, totals))
    words = f"A bar for each scenario, cut into its costs; {told}. All in all, income taken off: "
    return Picture(bars(facts.names, totals.cells, costs, told), words + listed(facts, totals.cells), table)


def so_far(facts: Facts) -> Picture:
    """What each scenario has cost by each month."""
    runs = [run(facts, ground) for ground in facts.grounds]
    horizon = facts.comparison.study.settings.horizon
    title = f"{facts.draft.money} paid so far, resale left out"
    ends = tuple(figure(run.amounts[-1], WHOLE_MONEY) for run in runs)
    months = dict.fromkeys([*range(0, horizon + 1, YEAR), horizon])
    rows = tuple(
        Row(f"Month {month}", facts.draft.money, tuple(figure(run.amounts[month], WHOLE_MONEY) for run in runs))
        for month in months
    )
    words = f"A line for each scenario over months 0 to {horizon}: {title}. At the end: {listed(facts, ends)}"
    return Picture(curves(runs, title), words, Table("so-far", f"{title}, undiscounted.", facts.names, rows))


def run(facts: Facts, ground: Ground) -> Run:
    """A scenario's line."""
    number = facts.number(ground)
    known = facts.board.helpers(number)
    at, paid = (float(known[f"meets {word}"].value) for word in ("at", "with"))
    stays = not ground.scenario.baseline and at != OUTSIDE and facts.board.is_ahead(number).value
    meets = (at, paid) if stays else None
    paid_by = tuple(float(value) + 0.0 for value in facts.comparison.of(ground.month("cumulative")))
    return Run(ground.scenario.scenario, paid_by, number, ground.scenario.baseline, meets)


def listed(facts: Facts, cells: tuple[Figure, ...]) -> str:
    """Each scenario with its figure, in a sentence."""
    return "; ".join(f"{name}: {cell.text}" for name, cell in zip(facts.names, cells, strict=True)) + "."
