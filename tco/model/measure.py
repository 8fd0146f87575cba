"""What a measure is: one figure of a scenario, with words for where it does not exist."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from tco.engine import Column, Constant, Node, call
from tco.engine.nodes import plain
from tco.model.ground import Ground
from tco.units import unit

A_YEAR = Constant(12.0, unit("month/year"))
LEVEL = 0.005  # of the study's money: amounts nearer than this are level


@dataclass(frozen=True)
class Reason:
    """Why a measure does not exist: a condition (anything but 0), and the words for people."""

    holds: Callable[[Ground], Any]
    words: str


def always(words: str) -> Reason:
    """Why a measure never exists, whatever the numbers."""
    return Reason(lambda _: 1.0, words)


@dataclass(frozen=True)
class Measure:
    """One figure of a scenario: its formula over the scenario's ground. `{money}` in the unit is the currency.

    percent, note: see Column. reasons: why there may be no such figure, the first that holds counts.
    state: the number of the reason that holds, 0 for none, where the reasons themselves do not tell.
    table: where it stands: `measures` (what it comes to), `delivered`, `judged` (by needs), or `reasons`, for what
        only formulas and sentences need.
    """

    name: str
    label: str
    unit: str
    build: Callable[[Ground], Any]
    percent: bool = False
    reasons: tuple[Reason, ...] = ()
    state: Callable[[Ground], Any] | None = None
    table: str = "measures"
    note: str = ""


def put(ground: Ground, measure: Measure) -> None:
    """One measure into the scenario's table of its kind; why it may not exist into the table of reasons."""
    model = ground.model
    table, why = (model.tables[f"{kind} of {ground.scenario.scenario}"] for kind in (measure.table, "reasons"))
    about: dict[str, Any] = {"percent": measure.percent, "note": measure.note}
    if measure.reasons:
        label = f"{measure.label}: why there is none (0: there is)"
        state = state_of(ground, measure.reasons) if measure.state is None else measure.state(ground)
        about["state"] = model.column(why, f"{measure.name}_state", label, "", state)
        about["words"] = tuple(reason.words for reason in measure.reasons)
    unit_text = measure.unit.format(money=ground.money)
    model.column(table, measure.name, measure.label, unit_text, measure.build(ground), **about)


def state_of(ground: Ground, reasons: Sequence[Reason]) -> Node:
    """The number of the first reason that holds; 0 for none."""
    state: Node = plain(0.0)
    for number, reason in reversed(list(enumerate(reasons, start=1))):
        state = call("where", reason.holds(ground), float(number), state)
    return state


def figure(kind: str, name: str) -> Callable[[Ground], Column]:
    """A column of a scenario's own table of that kind, once the scenario is known."""
    return lambda ground: ground.own(kind, name)


def near(ground: Ground) -> Constant:
    """Half a cent."""
    return Constant(LEVEL, unit(ground.money))
