"""What the page's tables hold: the measures as CSV has them, in the summary's order and with its words."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cached_property
from math import fsum

from tco.ask.compare import Comparison, measure_rows
from tco.ask.failing import failing_rows
from tco.model import Ground
from tco.model.needs import AT_MOST, stated_names
from tco.units import written
from tco.write.blocks import Draft, label
from tco.write.board import Board
from tco.write.delivers_sheet import FIGURES, is_told, rebuilt
from tco.write.formats import MONEY, WHOLE_MONEY
from tco.write.layout import layout
from tco.write.page_to_send.shown import Figure, figure
from tco.write.page_to_send.tables import Row, Table, filled
from tco.write.summary import board_of, figures, kept_for
from tco.write.unmet import by_how_much

LOUD = (
    ("noise_idle", "At the bed, when idle", "dB(A)", "0"),
    ("noise_busy", "At the bed, when busy", "dB(A)", "0"),
    ("power_busy", "Power when all is busy", "W", "#,##0"),
    ("heat_busy", "Heat when all is busy", "BTU/h", "#,##0"),
)
FAILING = (
    ("failures", "Expected to fail", "units"),
    ("covered", "of these under warranty", "units"),
    ("worn", "Expected to wear out", "units"),
)
WORST = 3  # parts told of each scenario
WITHOUT = {True: "not stated", False: "–"}  # what fails, of scenarios with and without parts


class Facts:
    """A comparison with what the page takes from it; scenarios stand from the cheapest to the dearest."""

    def __init__(self, comparison: Comparison) -> None:
        self.comparison = comparison
        self.draft = Draft(comparison, layout(comparison.built))
        self.board: Board = board_of(self.draft)
        self.grounds: list[Ground] = comparison.ranked()
        self.kept = kept_for(comparison.study.settings.horizon)

    @property
    def names(self) -> tuple[str, ...]:
        """The scenarios' names."""
        return tuple(ground.scenario.scenario for ground in self.grounds)

    def number(self, ground: Ground) -> int:
        """A scenario's row of the summary."""
        return self.board.grounds.index(ground)

    @cached_property
    def measures(self) -> dict[tuple[str, str], float | str]:
        """Scenario and measure -> what measures.csv says."""
        return {(scenario, name): value for scenario, name, value, _ in measure_rows(self.comparison)}

    @cached_property
    def failing(self) -> dict[str, dict[str, dict[str, float]]]:
        """Scenario -> part -> figure -> its sum over the horizon, as replacements.csv says."""
        found: dict[str, dict[str, dict[str, float]]] = {}
        for scenario, part, name, year, value, _ in failing_rows(self.comparison):
            if year == "" and not name.startswith("spares"):
                own = found.setdefault(scenario, {}).setdefault(part, {})
                own[name] = own.get(name, 0.0) + value  # parts of the same name stand in several rows
        return found

    def of(self, ground: Ground, name: str) -> float | str:
        """A measure of a scenario."""
        return self.measures[ground.scenario.scenario, name]

    def row(self, key: str, head: str, unit: str, look: str) -> Row:
        """A measure of all scenarios."""
        shape = WHOLE_MONEY if look == MONEY and not self.draft.digits else look
        return Row(head, unit, tuple(figure(self.of(ground, key), shape) for ground in self.grounds))

    def each(self, head: str, made: Callable[[Ground], Figure]) -> Row:
        """A row of something made of each scenario."""
        return Row(head, "", tuple(made(ground) for ground in self.grounds))


def side_by_side(facts: Facts) -> Table:
    """The summary's table."""
    rows = (
        Row(one.head, one.unit, tuple(ahead(facts, ground) for ground in facts.grounds))
        if one.key == "ahead"
        else facts.row(one.key, one.head, one.unit, one.look)
        for one in figures(facts.draft)
    )
    words = tuple(str(facts.board.place_word(facts.number(ground)).value) for ground in facts.grounds)
    needs = "; those that meet all needs before the others" if stated_names(facts.comparison.study) else ""
    caption = f"Cheapest first{needs}." if len(facts.names) > 1 else f"Over {facts.kept}."
    return Table("figures", caption, facts.names, filled(rows), words)


def ahead(facts: Facts, ground: Ground) -> Figure:
    """From which month a scenario is ahead of the baseline."""
    since = facts.board.state(facts.number(ground)).value
    return Figure(since) if isinstance(since, str) else figure(float(since), "0")


def needed(facts: Facts) -> Table | None:
    """Every need, and whether each scenario meets it; None where none is stated."""
    names = stated_names(facts.comparison.study)
    rows = [
        facts.each(wanted(facts, name), lambda ground, name=name: verdict(facts, ground, name))  # type: ignore[misc]
        for name in names
    ]
    caption = "At its worst over the horizon. What misses a need, or leaves it unknown, is not ranked."
    return Table("needs", caption, facts.names, tuple(rows)) if rows else None


def wanted(facts: Facts, name: str) -> str:
    """A need in words: what, and how much of it."""
    head = label(facts.grounds[0].measure(f"need_{name}").label)
    said = facts.comparison.built.model.columns.get(f"needs.{name}")
    if said is None or said.unit is None or name == "hold_data" or name == "circuit":
        return head
    amount = float(facts.comparison.of(said)[0])
    word = "at most" if name in AT_MOST else "at least"
    return f"{head}: {word} {amount:,.10g} {written(said.unit)}".rstrip() + growth(facts, name)


def growth(facts: Facts, name: str) -> str:
    """By how much the room that is needed grows; nothing of other needs."""
    needs = facts.comparison.study.needs
    if name != "usable" or needs is None or needs.usable_growth is None:
        return ""
    return f" at first, {100 * needs.usable_growth:.4g} % more a year"


def verdict(facts: Facts, ground: Ground, name: str) -> Figure:
    """Whether a need is met; else by how much it is missed, or why that is unknown."""
    said = str(facts.of(ground, f"need_{name}"))
    if said != "missed" or not ground.has_measure(f"need_{name}_from"):
        return Figure(said, strong=said != "met")
    short = facts.of(ground, f"need_{name}_short")
    return Figure(f"missed: {by_how_much(facts.board, ground, name).value}", float(short), strong=True)


def delivered(facts: Facts) -> Table | None:
    """What each scenario delivers, beyond the summary's table; None where none says."""
    if not is_told(facts.comparison):
        return None
    lost = facts.each("A lost node", lambda ground: Figure(str(rebuilt(facts.board, facts.number(ground)).value)))
    elsewhere = {key for key, *_ in LOUD}
    rows = [
        facts.row(key, head, unit.format(money=facts.draft.money), look)
        for key, head, unit, look in FIGURES
        if key not in elsewhere
    ]
    return Table(
        "delivers", "At its worst over the horizon; ceilings, not promises.", facts.names, filled((lost, *rows))
    )


def loud(facts: Facts) -> Table:
    """Sound at the bed, power and heat."""
    caption = "Worked out from levels and watts as stated, for the worst months."
    return Table("loud", caption, facts.names, filled(facts.row(*one) for one in LOUD))


def failing(facts: Facts) -> Table:
    """What is expected to fail and to wear out, and what that costs."""
    rows = [
        Row(head, unit, tuple(units(facts, ground, name) for ground in facts.grounds)) for name, head, unit in FAILING
    ]
    some = [row for row in rows[1:] if any(cell.value for cell in row.cells)]
    paid = facts.row("total_replacement", f"Paid for that, {facts.kept}", facts.draft.money, WHOLE_MONEY)
    caption = f"Over {facts.kept}, on average over many such builds; one build has whole units, and luck."
    return Table("failing", caption, facts.names, (rows[0], *some, paid))


def units(facts: Facts, ground: Ground, name: str) -> Figure:
    """How many units of a scenario fail, are covered or worn."""
    parts = facts.failing.get(ground.scenario.scenario)
    if not parts:
        return Figure(WITHOUT[bool(ground.scenario.parts)])
    return figure(fsum(own.get(name, 0.0) for own in parts.values()), "0.0")


def worst(facts: Facts) -> Iterator[tuple[str, tuple[tuple[str, Figure], ...]]]:
    """(scenario, its dearest parts to replace, each with what that costs)."""
    for name in facts.names:
        costs = {part: own.get("cost", 0.0) for part, own in facts.failing.get(name, {}).items()}
        order = [part for part in sorted(costs, key=lambda part: -costs[part]) if costs[part] >= 0.5]
        if order:
            yield name, tuple((part, figure(costs[part], WHOLE_MONEY)) for part in order[:WORST])
