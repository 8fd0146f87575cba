"""A fleet unit by unit and event by event, its luck drawn with the standard library: whole numbers of failed units.

Each unit has a life drawn from its curve and a month in which it is worn; whichever comes first sends for the next
unit. simpy keeps the clock. What units cost is asked of plain.py.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from itertools import accumulate
from math import inf
from random import Random

import simpy

from tco.study import Part, Scenario, Study
from tests.model.plain import Months, Plain
from tests.model.plain_failing import EXACT, Event, Kind, Story, Unit, Writes

Terms = Callable[[Unit, int], bool]


def inherited(unit: Unit, month: int) -> bool:
    """Whether a failure is covered: the months since the unit was bought, or the one that it was sent for."""
    return month - unit.bought <= (unit.kind.part.warranty or 0)


@dataclass
class Place:
    """Where one unit of a row stands: which kinds come there, what is written to one, TB by month."""

    first: Kind
    later: Kind
    written: Months | None
    leaves: int


@dataclass
class Diary:
    """What happens in a place, and which unit is there in the end."""

    events: list[Event] = field(default_factory=list)
    left: list[Unit] = field(default_factory=list)


class Events:
    """A scenario's fleet. terms: what a warranty covers, to see whether a wrong one is found out."""

    def __init__(self, study: Study, scenario: Scenario, terms: Terms = inherited) -> None:
        self.study, self.plain, self.terms = study, Plain(study, scenario), terms
        self.horizon, self.parts = study.settings.horizon, scenario.parts
        writes = Writes(study, scenario, self.plain.hours)
        self.places = [self.place(part, writes.to_one(part)) for part in self.parts]
        self.reached = cache(self.reached)  # type: ignore[method-assign]

    def place(self, part: Part, written: Months | None) -> Place:
        """The place of one unit of a row."""
        first = self.plain.kind(part, written)
        new = self.plain.instead(part)
        return Place(
            first, first if new is part else self.plain.kind(new, written), written, self.plain.leaving(part)
        )

    def draw(self, rng: Random) -> list[Story]:
        """One fate of the whole fleet, row by row; counts are of one unit, as if the row were an average one."""
        clock, diaries = simpy.Environment(), [Diary() for _ in self.parts]
        for part, place, diary in zip(self.parts, self.places, diaries, strict=True):
            for _ in range(part.quantity):
                clock.process(self.stand(clock, place, diary, rng, 1 / part.quantity))
        clock.run(until=self.horizon + 2)  # what is still there is noted a month later
        return [Story(diary.events, tally(diary.left, part)) for part, diary in zip(self.parts, diaries, strict=True)]

    def stand(
        self, clock: simpy.Environment, place: Place, diary: Diary, rng: Random, each: float
    ) -> Iterator[simpy.Event]:
        """One unit after the other, from buying to leaving."""
        yield clock.timeout(place.first.part.bought)
        unit = Unit(place.first, clock.now, clock.now)
        while True:
            fails, worn = clock.now + self.life(unit.kind, rng), self.worn(unit, place.written)
            ends = min(fails, worn, place.leaves + 1)
            yield clock.timeout(ends - clock.now)
            if ends > place.leaves:
                diary.left.append(unit)
                return
            what = "worn" if worn == ends else "covered" if self.terms(unit, ends) else "paid"
            diary.events.append(Event(ends, what, unit, each))
            bought = unit.bought if what == "covered" else ends
            unit = Unit(unit.kind if what == "covered" else place.later, ends, bought)

    def life(self, kind: Kind, rng: Random) -> float:
        """In which of its months here a unit fails, drawn from its curve; later than the horizon: never."""
        reached = self.reached(kind)
        month = 1 + bisect_right(reached, rng.random())
        return month if month <= self.horizon else inf

    def reached(self, kind: Kind) -> Sequence[float]:
        """The chance to have failed by the end of a unit's 1st, 2nd ... month here."""
        alive = accumulate((1 - kind.chance(kind.part.age + n) for n in range(self.horizon)), lambda a, b: a * b)
        return [1 - one for one in alive]

    def worn(self, unit: Unit, written: Months | None) -> float:
        """The month in which a unit is worn."""
        part = unit.kind.part
        by_age = inf if part.life is None else unit.came + part.life - part.age
        if part.endurance is None or written is None:
            return by_age
        sums = list(accumulate(written[unit.came + 1 :], initial=part.written_before))[1:]
        month = unit.came + 1 + bisect_left(sums, part.endurance * EXACT)
        return min(by_age, month if month <= self.horizon else inf)

    def lines(self, stories: Sequence[Story]) -> dict[str, Months]:
        """What a fate costs by line and month, of the lines that go by units."""
        found = {name: [0.0] * (self.horizon + 1) for name in ("purchase", "replacement", "resale", "disposal")}
        for part, told in zip(self.parts, stories, strict=True):
            found["purchase"][part.bought] += part.quantity * self.plain.price(part, part.bought, shipping=True)
            self.plain.follow(part, told, found)
        return found


def tally(units: Sequence[Unit], part: Part) -> dict[Unit, float]:
    """How many of each, as if of one unit of the row."""
    found: dict[Unit, float] = {}
    for unit in units:
        found[unit] = found.get(unit, 0.0) + 1 / part.quantity
    return found
