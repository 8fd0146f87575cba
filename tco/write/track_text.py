"""What `tco track` prints: the answer, costs by line, the ways to go on, notes, where the files are. Plain text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from tco.ask.from_today import Way
from tco.ask.track import Apart, Tracked, by_line
from tco.write.chance_words import TYPED
from tco.write.fixed import fixed
from tco.write.lines import POWERS, all_wrapped, page, table, wrapped
from tco.write.terminal import power_of
from tco.write.track_words import answers, called, energies, notes

HEADS = ("planned", "actual", "planned", "forecast", "more")


def track_text(found: Tracked, ways: Sequence[Way], files: Iterable[Path]) -> str:
    """The whole of what is printed."""
    rests_on = all_wrapped(f"- {note}" for note in notes(found, ways))
    parts = [lines_table(found), ways_table(found, ways), rests_on]
    return page(found.source.settings.question, answers(found, ways, TYPED), parts, files)


def lines_table(found: Tracked) -> list[str]:
    """Each line: so far, to come, and by how much it is more in all."""
    power = power_of(found.comparison)
    scale, money = 1000.0**power, f"{POWERS[power]}{found.source.settings.currency}"
    rows = [(one.label, figures(one, scale, 2 * (power > 0))) for one in by_line(found)]
    taken = energies(found)
    extra = [("Energy, kWh", figures(taken, 1.0, 0))] if taken else []
    over = [(money, 0), (f"so far, to {found.today}", 2), ("to come", 2), ("in all", 1)]
    told = "in all: actual and forecast less planned; undiscounted"
    return [*table("line", HEADS, [*rows, *extra], over), "", *wrapped(told)]


def figures(one: Apart, scale: float, digits: int) -> list[str]:
    """One line's figures as the table has them."""
    values = (one.planned[0], one.went[0], one.planned[1], one.went[1], one.differences[2])
    return [fixed(value / scale, digits) for value in values]


def ways_table(found: Tracked, ways: Sequence[Way]) -> list[str]:
    """What each way costs from today, against going on; the needs it misses."""
    able = [way for way in ways if not way.impossible]
    if not able:
        return []
    money, going = found.source.settings.currency, ways[0]
    rows = [
        (called(found, way), [fixed(way.cost), fixed(way.cost - going.cost), fixed(way.first), str(len(way.misses))])
        for way in sorted(able, key=lambda way: way.cost)
    ]
    heads = ("in all", "more", "gear", "misses")
    told = (
        f"in all: from today to the end, {money} at its worth today; more: than going on; gear: what changes hands "
        "for gear next month, bought, replaced or sold; misses: how many needs"
    )
    return [*table("from today", heads, rows), "", *wrapped(told)]
