"""The months of which it is known how they went: lines as they were booked, power as it was metered.

What is booked is given to the model, which takes over from the month after; failures that did not happen are left out
of what is expected (slots.py).
"""

from __future__ import annotations

from tco.engine import Node, call
from tco.model.ground import Ground, Line

LEDGER = "what the ledger says"


def past_columns(ground: Ground) -> None:
    """What was drawn over what the parts list says, month by month, where a meter says so."""
    past = ground.scenario.past
    if past is not None and past.load:
        label = "power drawn over what the parts list says"
        ground.model.given(ground.months, "load", label, "", past.load, computed=LEDGER)


def as_it_went(ground: Ground, line: Line, formula: Node) -> Node:
    """A line's formula after the months in which it was booked; in those, what was booked."""
    past = ground.scenario.past
    if past is None or line.name not in past.lines:
        return formula
    booked = past.lines[line.name]
    model, rest = ground.model, ground.horizon + 1 - len(booked)
    known = [1.0] * len(booked) + [0.0] * rest
    flag = model.given(ground.months, f"known {line.name}", f"{line.label}: booked (1)", "", known, computed=LEDGER)
    amounts = [*booked, *[0.0] * rest]
    label = f"{line.label}, as booked"
    given = model.given(ground.months, f"booked {line.name}", label, ground.money, amounts, computed=LEDGER)
    return call("where", flag, given, formula)
