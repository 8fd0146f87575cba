"""How sure the answer is: a short simulation of the scenario that comes first and the one that comes next."""

from __future__ import annotations

from dataclasses import dataclass

from tco.ask.compare import Comparison
from tco.ask.inputs import curves_of
from tco.ask.simulate import simulate
from tco.ask.simulated import Duel
from tco.errors import StoppedError, TcoError
from tco.model.measure import LEVEL

KEPT = "sure"  # under which name
DRAWS = 1000  # a share's standard error is at most 1.6 points: enough for "in eight of ten"


@dataclass(frozen=True)
class Sure:
    """What the draws say of the scenario that comes first.

    low, high: its equivalent month, P10 and P90. second: the next one of those that are ranked, or empty; least,
    most: what the first costs less than it over the horizon, P10 and P90; wins: the share of draws in which it does.
    inputs: how many of ranges.csv varied. fails: whether any of their parts may fail.
    """

    first: str
    second: str
    low: float
    high: float
    least: float
    most: float
    wins: float
    inputs: int
    fails: bool

    @property
    def is_level(self) -> bool:
        """Whether both cost the same in eight draws of ten."""
        return bool(self.second) and max(abs(self.least), abs(self.most)) < LEVEL

    @property
    def is_close(self) -> bool:
        """Whether both cost the same within the spread: either may cost less in the middle eight draws of ten."""
        return bool(self.second) and self.least < LEVEL and self.most > -LEVEL


def sure(comparison: Comparison) -> Sure | None:
    """How sure it is who comes first; None where that cannot be drawn: tco simulate says why.

    Drawn when it is first asked for, and kept with the comparison: workbook, page and terminal all say it.
    """
    kept = vars(comparison)
    if KEPT not in kept:
        kept[KEPT] = drawn(comparison)
    found: Sure | None = kept[KEPT]
    return found


def drawn(comparison: Comparison) -> Sure | None:
    """Draw the first of the ranking and the next one; see sure.

    The same comparison gives the same figures, those of `simulate` with as many draws.
    """
    first, *others = [ground.scenario.scenario for ground in comparison.ranked()]
    second = next((name for name in others if name in comparison.among), "")
    try:
        found = simulate(comparison, DRAWS, only=[name for name in (first, second) if name])
    except StoppedError:  # whoever stops the draws means the whole run, not this one sentence
        raise KeyboardInterrupt from None
    except TcoError:
        return None
    month = next(one.equivalent_month for one in found.outcomes if one.scenario == first)
    apart = less(found.duels[0], first) if second else (0.0, 0.0, 0.0)
    fails = any(curves_of(ground) for ground in comparison.ranked() if ground.scenario.scenario in (first, second))
    return Sure(first, second, month.p10, month.p90, *apart, sum(one.is_open for one in found.varied), fails)


def less(duel: Duel, first: str) -> tuple[float, float, float]:
    """By how much the first of two costs less, P10 and P90, and in which share of the draws."""
    low, high, share = duel.difference.p10, duel.difference.p90, duel.costs_less.share
    return (-high, -low, share) if duel.one == first else (low, high, 1.0 - share)
