"""Phases: the months between changes of a scenario's equipment. What it delivers changes only from one to the next.

A part is of use from the month after it is bought to the month in which it leaves, as it draws power. What is bought
at the start is there at the start.
"""

from __future__ import annotations

from collections.abc import Sequence

from tco.engine import Node, added, at, call
from tco.engine.nodes import plain
from tco.model.ground import Ground
from tco.study import Part, Scenario

DEPENDS = "which parts are there (month bought, month it leaves)"


def starts(scenario: Scenario, horizon: int) -> list[int]:
    """The first month of each phase, counted from 1; a phase goes on until the next begins."""
    used = [part for part in scenario.parts if part.quantity]
    changes = {part.bought + 1 for part in used} | {part.leaves + 1 for part in used if part.leaves is not None}
    return sorted({1} | {month for month in changes if month <= horizon})


def phase_names(first: Sequence[int], horizon: int) -> list[str]:
    """`months 1-12`, `month 13`."""
    ends = [*(month - 1 for month in first[1:]), horizon]
    return [
        f"months {start}–{end}" if end > start else f"month {start}" for start, end in zip(first, ends, strict=True)
    ]


def phase_table(ground: Ground) -> None:
    """One row a phase: its first month, how many months it has, and which parts are there, where that changes."""
    model, first = ground.model, starts(ground.scenario, ground.horizon)
    names = phase_names(first, ground.horizon)
    table = ground.table("phases", "What it delivers", names, axis=f"phases of {ground.scenario.scenario}")
    model.given(table, "month", "from month", "month", first, computed=DEPENDS)
    spans = [end - start for start, end in zip(first, [*first[1:], ground.horizon + 1], strict=True)]
    model.given(table, "months", "for months", "month", spans, computed=DEPENDS)
    for row, part in enumerate(ground.scenario.parts):
        flags = [float(is_there(part, month, ground.horizon)) for month in first]
        if part.quantity and 0.0 in flags:
            model.given(table, f"there {row}", f"{part.part} is there (1)", "", flags, computed=DEPENDS)


def is_there(part: Part, month: int, horizon: int) -> bool:
    """Whether a part is of use in a month."""
    return part.bought < month <= (horizon if part.leaves is None else part.leaves)


def in_use(ground: Ground, row: int) -> Node:
    """Whether any of a row of the parts list is there in each phase: a quantity may be set to 0 in the workbook."""
    return while_there(ground, row, call("at_least", at(ground.part("quantity"), row), 1.0))


def while_there(ground: Ground, row: int, figure: Node) -> Node:
    """A figure of a row of the parts list in each phase, 0 where the part is not there."""
    flag = f"there {row}"  # none for what is there in all of them
    return figure * ground.own("phases", flag) if ground.has("phases", flag) else figure


def over_parts(ground: Ground, rows: Sequence[int], name: str) -> Node:
    """Quantity times a column of the parts list, added up over some of its rows, by phase."""
    terms = [while_there(ground, row, at(ground.part("quantity"), row) * at(ground.part(name), row)) for row in rows]
    return added(terms) if terms else plain(0.0)
