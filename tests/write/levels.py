"""Answers of `tco breakeven` with invented numbers, for tests of what is written. No model was asked for them."""

from __future__ import annotations

from dataclasses import replace

from tco.ask.breakeven import BreakEvens, Level
from tco.ask.inputs import Input, find
from tco.ask.vary_roots import CROSSES, JUMPS, SAME, TOUCHES, Meeting
from tests.write.chances import compared

PAIR = ("quiet minis", "rented space")


def named(name: str) -> Input:
    """An input of the demo."""
    return find(compared(), name)


def made(one: Input | None, *met: Meeting, cheaper: str = PAIR[0], price: float | str = "", **more: object) -> Level:
    """What was found of one input, between 0 and 60, or as `more` says."""
    costs = tuple(5000.0 + number / 7 for number in range(len(met)))
    level = Level(*PAIR, one, 0.0, 60.0, met, costs, cheaper, depends=True, price=price, money="EUR")
    return replace(level, **more)  # type: ignore[arg-type]


def found(*levels: Level) -> BreakEvens:
    """An answer about the demo."""
    return BreakEvens(compared(), levels, 60)


HOUR, PRICE, SHARE = named("hour value"), named("electricity price"), named("discount")
COUNT = named("quantity of mini PC, 4 cores, two drive bays")
CROSS = Meeting(CROSSES, 19.5742963, 19.5742963, -1, 1)
BACK = Meeting(CROSSES, 31.0, 31.0, 1, -1)
TOUCH = Meeting(TOUCHES, 24.5, 24.5, -1, -1)
AT_LOW, AT_HIGH = Meeting(TOUCHES, 0.0, 0.0, 0, 1), Meeting(TOUCHES, 60.0, 60.0, -1, 0)
STRETCH = Meeting(SAME, 12.0, 15.5, -1, 1)
JUMP = Meeting(JUMPS, 7.25, 7.25, -1, 1)
COUNTED = Meeting(CROSSES, 6.0, 6.0, -1, 1)
EVERY = (
    made(HOUR, CROSS, BACK),
    made(HOUR, TOUCH),
    made(HOUR, AT_LOW, cheaper=PAIR[1]),
    made(HOUR, AT_HIGH),
    made(HOUR, STRETCH),
    made(HOUR, JUMP),
    made(COUNT, COUNTED, high=20.0),
    made(None, Meeting(CROSSES, 50.268, 50.268, 1, -1), cheaper=PAIR[1]),
    made(PRICE, Meeting(CROSSES, 1.3148849, 1.3148849, -1, 1), price=0.298, high=5.0),
    made(SHARE, Meeting(CROSSES, 0.0708123, 0.0708123, -1, 1), low=-0.5, high=1.0),
    made(HOUR),
    made(HOUR, cheaper="", depends=False),
    made(HOUR, depends=False),
)
