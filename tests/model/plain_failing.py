"""Who fails, who wears and what that costs, as shares of units in a plain table moved on month by month.

From the definitions only; of the tool no more than the inputs. Every unit is known by its part, the month in which it
came and the month in which it was bought; a unit sent under a warranty came later than it was bought.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import count
from math import exp

from scipy.stats import poisson

from tco.study import FailurePoint, Node, Part, Scenario, Study
from tests.model.placing import by_formula

NEVER = 10**9  # a month that no study reaches
EXACT = 1 - 1e-12  # months' bytes added up miss a round endurance by their last digits


@dataclass(frozen=True, eq=False)
class Kind:
    """A part that stands in a slot. chance: by age in months; worn: when one that came in a month is."""

    part: Part
    chance: Callable[[int], float]
    worn: Callable[[int], int]


@dataclass(frozen=True)
class Unit:
    """Units of a kind that came in the same month and were bought in the same month."""

    kind: Kind
    came: int
    bought: int

    def chance(self, month: int) -> float:
        """The chance to fail in a month, having come before it."""
        return self.kind.chance(self.kind.part.age + month - self.came - 1)

    def is_covered(self, month: int) -> bool:
        """Whether one that fails in a month is repaired under the warranty."""
        return month - self.bought <= (self.kind.part.warranty or 0)


@dataclass(frozen=True)
class Event:
    """What happened in a month to so many units of one kind: `covered`, `paid` or `worn`."""

    month: int
    what: str
    unit: Unit
    count: float


@dataclass(frozen=True)
class Story:
    """All that happened to a row's units, and who is there when it leaves."""

    events: list[Event]
    left: dict[Unit, float]

    def by_month(self, horizon: int, *whats: str) -> list[float]:
        """How many units had one of these happen to them, by month."""
        found = [0.0] * (horizon + 1)
        for event in self.events:
            if event.what in whats:
                found[event.month] += event.count
        return found


def story(first: Kind, later: Kind, leaves: int) -> Story:
    """What becomes of one unit from buying to leaving; what is bought in place of one is of the later kind."""
    events: list[Event] = []
    there = {Unit(first, first.part.bought, first.part.bought): 1.0}
    for month in range(first.part.bought + 1, leaves + 1):
        left: dict[Unit, float] = defaultdict(float)
        for unit, number in there.items():
            for event, follower in fates(unit, number, later, month):
                left[follower] += event.count
                if event.what != "stays":
                    events.append(event)
        there = {unit: number for unit, number in left.items() if number}
    return Story(events, there)


def fates(unit: Unit, number: float, later: Kind, month: int) -> Iterator[tuple[Event, Unit]]:
    """What happens in a month to units that came before it, and what stands in their place at its end."""
    bought = Unit(later, month, month)
    if month >= unit.kind.worn(unit.came):
        yield Event(month, "worn", unit, number), bought
        return
    failing = number * unit.chance(month)
    yield Event(month, "stays", unit, number - failing), unit
    if unit.is_covered(month):
        yield Event(month, "covered", unit, failing), Unit(unit.kind, month, unit.bought)
    else:
        yield Event(month, "paid", unit, failing), bought


def chances(points: Sequence[FailurePoint]) -> Callable[[int], float]:
    """The chance to fail within a month by age: the last point that is not above it; no points: never."""

    @cache
    def chance(age: int) -> float:
        own = [point for point in points if point.age <= age]
        if not own:
            return 0.0
        return 1 - exp(-own[-1].rate / 12) if own[-1].chance is None else own[-1].chance  # type: ignore[operator]

    return chance


def wearing(part: Part, written: Sequence[float] | None) -> Callable[[int], int]:
    """The month in which one that came in a month is worn. written: TB written to one by month, if known."""

    @cache
    def worn(came: int) -> int:
        by_age = NEVER if part.life is None else came + part.life - part.age
        if part.endurance is None or written is None:
            return by_age
        total = part.written_before
        for month in range(came + 1, len(written)):
            total += written[month]
            if total >= part.endurance * EXACT:
                return min(month, by_age)
        return by_age

    return worn


class Writes:
    """What the host writes to one of each part of a scenario, in TB by month."""

    def __init__(self, study: Study, scenario: Scenario, hours: Sequence[float]) -> None:
        """hours: of each month, month 0 first."""
        self.scenario, self.hours, self.horizon = scenario, hours, study.settings.horizon

    def to_one(self, part: Part) -> list[float] | None:
        """To one of a part by month; None where it is not known."""
        if part.written is not None:
            a_day = [part.written] * (self.horizon + 1)
        else:
            pool = next((p for p in self.scenario.pools if p.pool == (part.takes_first or part.pool)), None)
            if pool is None or pool.written is None:
                return None
            shares = [self.share(part, month) for month in range(self.horizon + 1)]
            pieces, data = scheme(pool)
            a_day = [pool.written * pool.overhead * pieces / data * share for share in shares]
        return [amount * hours / 24 / 1000 for amount, hours in zip(a_day, self.hours, strict=True)]

    def share(self, part: Part, month: int) -> float:
        """How much of what a pool's drives are written goes to one of a part in a month."""
        if not is_there(part, month, self.horizon):
            return 0.0
        if part.takes_first:
            alike = [p for p in self.scenario.parts if p.takes_first == part.takes_first]
            return 1 / sum(p.quantity for p in alike if is_there(p, month, self.horizon))
        pool = next(p for p in self.scenario.pools if p.pool == part.pool)
        boxes = [(node, self.holds(node, part.pool, month)) for node in self.scenario.nodes]
        pieces, _ = scheme(pool)
        piece = float(by_formula([held for node, held in boxes if held for _ in range(node.count)], pieces))
        own = next(held for node, held in boxes if node.node == part.node)
        return min(own, piece) / (pieces * piece) * (part.capacity or 0.0) / own if piece else 0.0

    def holds(self, node: Node, pool: str, month: int) -> float:
        """The capacity of one node of a group in a pool, in TB."""
        own = [part for part in self.scenario.parts if part.node == node.node and part.pool == pool]
        there = [part for part in own if is_there(part, month, self.horizon)]
        return sum(part.quantity * (part.capacity or 0.0) for part in there) / node.count


def scheme(pool) -> tuple[int, int]:  # type: ignore[no-untyped-def]
    """Pieces of an object, and how many of them restore it."""
    return (pool.copies, 1) if pool.copies is not None else (pool.data + pool.parity, pool.data)


def is_there(part: Part, month: int, horizon: int) -> bool:
    """Whether a part works in a month."""
    return bool(part.quantity) and part.bought < month <= (horizon if part.leaves is None else part.leaves)


def spares(mean: float, confidence: float) -> int:
    """The fewest that a Poisson number of failures does not exceed with so much confidence."""
    return next(number for number in count() if poisson.cdf(number, mean) >= confidence)
