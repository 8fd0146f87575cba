"""What one slot goes through, exactly, month by month: expected failures, claims, worn units; no simulation.

Ages and times are whole months. A unit that comes at the end of month m meets its first chance to fail in m + 1.
The chance that the unit there came in month a, under a warranty that runs from month p, is carried on from month to
month; summed over p and a this is the renewal equation of any textbook, P(t) = g0(t) + sum of P(j) g(t - j), but it
also holds where a unit's life depends on the month in which it came.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from tco.study import FailurePoint

Floats = NDArray[np.float64]
Months = NDArray[np.int64]
LONG = 10**6  # months: longer than any study


def monthly_hazards(curve: Sequence[FailurePoint], age: int, months: int) -> Floats:
    """Failures to be expected of a unit bought at `age` [month] in its 1st, 2nd ... month here, -ln(1 - chance).

    A rate [1/year] is rate / 12; a curve may give the chance itself, which may be 1 (infinite). Shape (months,).
    Beyond the curve's last age its last value holds.
    """
    starts = np.array([point.age for point in curve])
    by_point = np.array([one_hazard(point) for point in curve])
    return by_point[np.searchsorted(starts, age + np.arange(months), side="right") - 1]


def one_hazard(point: FailurePoint) -> float:
    """The monthly hazard that a row of a failure curve means."""
    if point.chance is not None:
        return float(-np.log1p(-point.chance)) if point.chance < 1 else np.inf
    assert point.rate is not None
    return point.rate / 12


@dataclass(frozen=True, eq=False)
class Unit:
    """How units of one kind fare in a slot of T months.

    hazards: of its 1st, 2nd ... month here, see monthly_hazards; shape (T,).
    lasts: for a unit that comes in month 0..T, in which of its months it is worn, failed or not; shape (T + 1,).
    warranty: months from buying in which a failure is covered.
    known: its first months here of which it is known that the first unit lived through them.
    """

    hazards: Floats
    lasts: Months
    warranty: int
    known: int = 0

    @property
    def key(self) -> tuple[bytes, bytes, int, int]:
        """What tells apart units that fare differently."""
        return self.hazards.tobytes(), self.lasts.tobytes(), self.warranty, self.known

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Unit) and self.key == other.key

    def __hash__(self) -> int:
        return hash(self.key)

    @property
    def chances(self) -> Floats:
        """The chance to fail in the 1st, 2nd ... month here, if it lives till then."""
        return -np.expm1(-self.hazards)

    @property
    def is_replaced(self) -> bool:
        """Whether it may fail or be worn at all."""
        return bool(self.hazards.any() or (self.lasts <= len(self.hazards)).any())


@dataclass(frozen=True)
class Crowd:
    """Expected units of one kind by month 0..T: put in, there at its end, failed under warranty; shapes (T + 1,)."""

    arrivals: Floats
    there: Floats
    covered: Floats


@dataclass(frozen=True)
class History:
    """What is expected of one slot by month 0..T: failures (covered ones with them), worn units; its crowds.

    crowds: units of the first kind and of the later kind; one crowd where like replaces like.
    """

    failures: Floats
    worn: Floats
    crowds: tuple[Crowd, ...]


class Presence:
    """The chance that a unit of one kind is there, by the months in which it came and in which it was bought."""

    def __init__(self, unit: Unit, months: int) -> None:
        self.unit, self.chances = unit, unit.chances
        self.covered = np.zeros((months + 1, months + 1))  # by month bought, month come; while the warranty runs
        self.alone = np.zeros(months + 1)  # by month come
        self.crowd = Crowd(*np.zeros((3, months + 1)))

    def begin(self) -> None:
        """The first unit, which is there for certain until what is known of it ends.

        Put in are as many as leave one by then, so that what is there later follows from what was put in.
        """
        left = float(np.prod(1.0 - self.chances[: self.unit.known]))
        self.crowd.arrivals[0] = 1.0 / left
        self.crowd.there[: self.unit.known + 1] = 1.0
        if self.unit.known > self.unit.warranty:
            self.alone[0] = 1.0
        else:
            self.covered[0, 0] = 1.0

    def buy(self, month: int, amount: float) -> None:
        """Units bought at the end of a month."""
        self.crowd.arrivals[month] += amount
        self.covered[month, month] += amount

    def step(self, month: int) -> tuple[float, float]:
        """What happens in a month: failures that are not covered, and worn units, both to be paid."""
        first = max(0, month - self.unit.warranty)  # bought before, a unit's warranty is over
        if first:
            self.alone += self.covered[first - 1]
            self.covered[first - 1] = 0.0
        stay = month - np.arange(month)  # its how-manieth month it is for what came in month 0, 1 ...
        worn = (self.unit.lasts[:month] == stay).astype(float)
        fails = self.chances[stay - 1] * (1.0 - worn)
        goes = fails + worn
        young, old = self.covered[first:month, first:month], self.alone[:month]
        claims = young @ fails[first:]
        paid = float(old @ fails), float(old @ worn + (young @ worn[first:]).sum())
        self.alone[:month] *= 1.0 - goes
        self.covered[first:month, first:month] *= 1.0 - goes[first:]
        self.covered[first:month, month] = claims
        self.crowd.covered[month] = claims.sum()
        self.crowd.arrivals[month] += claims.sum()
        return paid

    def count(self, month: int) -> None:
        """Who is there at the end of a month."""
        self.crowd.there[month] = self.alone.sum() + self.covered.sum()


@lru_cache(256)  # many slots of a study are alike, and the same when it is built once more
def history(first: Unit, later: Unit | None, months: int) -> History:
    """What is expected of a slot over months 0..`months`.

    first: the unit bought at the start; later: what takes its place when it is paid for (None: its like). Nothing
    fails while the first is known to live. Raises ZeroDivisionError where it cannot have lived by its curve. What it
    returns is shared: nobody may change it.
    """
    kinds = [Presence(unit, months) for unit in (first, later) if unit is not None]
    if not first.is_replaced:
        return untouched(months, len(kinds))
    paid = np.zeros((2, months + 1))
    kinds[0].begin()
    for month in range(first.known + 1, months + 1):
        paid[:, month] = np.sum([kind.step(month) for kind in kinds], axis=0)
        kinds[-1].buy(month, float(paid[:, month].sum()))
        for kind in kinds:
            kind.count(month)
    crowds = tuple(kind.crowd for kind in kinds)
    failed, worn = paid
    return History(failed + np.sum([crowd.covered for crowd in crowds], axis=0), worn, crowds)


def untouched(months: int, kinds: int) -> History:
    """A slot in which nothing ever happens."""
    nothing, begins = np.zeros(months + 1), (np.arange(months + 1) == 0).astype(float)
    crowds = (Crowd(begins, np.ones(months + 1), nothing), Crowd(nothing, nothing, nothing))
    return History(nothing, nothing, crowds[:kinds])
