"""When to buy more as data grow, and what: month by month, the increment whose turn it is.

In the first month in which the data held are more than the room, an increment is bought, so many months ahead of it;
it is of use from the month after that, and at once where it is bought at the start. Of those that may still be bought
and fit, the lowest turn comes first. One that adds no room (drives that wait for more nodes) is followed by the next
in the same month; those behind which no more room comes are not bought after all.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from tco.ask.grow_room import Room, data_held, room_of
from tco.ask.offers import Bought, with_all
from tco.errors import StockError
from tco.model.needs import ALIKE
from tco.model.periods import Times
from tco.purchase import Offer, needed_first, offers, with_needed
from tco.study import Scenario, Study


@dataclass(frozen=True)
class Step:
    """One purchase. due: the month whose data are more than the room; of_use: the first month with what it brings.

    room_before, room_after: what may be held in that month without and with it [TB]. needed_by: the purchase that it
    is bought along with, as that needs it; empty where it had its turn.
    """

    bought: Bought
    due: int
    of_use: int
    room_before: float
    room_after: float
    needed_by: str = ""


@dataclass(frozen=True)
class Passed:
    """An increment that was passed over: in which month first, why, and whether it was bought later."""

    month: int
    name: str
    why: str
    came: bool = False


@dataclass(frozen=True)
class Schedule:
    """What is bought of one scenario as data grow.

    outgrown: the first month whose data do not fit with all that may be bought for it, None where they always do.
    is_stated: whether parts say what they provide and need, so that it is known what fits.
    """

    scenario: Scenario
    steps: tuple[Step, ...]
    passed: tuple[Passed, ...]
    outgrown: int | None
    is_stated: bool


def more_than(data: float, room: float) -> bool:
    """Whether data are more than the room, but for rounding."""
    return data - room > data * ALIKE


@dataclass(frozen=True)
class Try:
    """What would be bought in one turn: an increment and what it needs, with the scenario and room that makes."""

    steps: tuple[Bought, ...]
    scenario: Scenario
    room: Room


@dataclass
class Growing:
    """A scenario under way: what was bought so far, what it holds, what was passed over."""

    study: Study
    scenario: Scenario
    times: Times
    steps: list[Step] = field(default_factory=list)
    passed: dict[str, Passed] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.every = needed_first(offers(self.scenario.purchases))
        own = [offer for offer in offers(self.scenario.purchases) if offer.turn is not None]
        self.turns = sorted(own, key=lambda offer: offer.turn or 0)  # the order of the file where turns are alike
        self.room = room_of(self.study, self.scenario, self.times)

    def buy(self, month: int, due: int, of_use: int, data: float) -> bool:
        """Buy in a month until the data of another one fit, or nothing is left; returns whether they do."""
        kept = self.state()
        while more_than(data, self.room.room[of_use]):
            found = self.next(month)
            if found is None:
                break
            before = self.room.room[of_use]
            self.take(found, due, of_use)
            if more_than(self.room.room[of_use], before):
                kept = self.state()
        self.scenario, self.room, count = kept
        for step in self.steps[count:]:
            self.pass_over(step.bought, month, "brings no room, nor does what could be bought after it")
        del self.steps[count:]
        return not more_than(data, self.room.room[of_use])

    def state(self) -> tuple[Scenario, Room, int]:
        """Where it stands: what is there, how many purchases were made."""
        return self.scenario, self.room, len(self.steps)

    def stands(self, month: int, of_use: int) -> tuple[int, ...]:
        """What decides what may be bought: how much was so far, the phases in which it would come and be used."""
        phases = (sum(first <= one for first in self.room.changes) for one in (month + 1, of_use))
        return len(self.steps), *phases

    def take(self, found: Try, due: int, of_use: int) -> None:
        """Buy what was found."""
        last = found.steps[-1].offer.name
        for one in found.steps:
            before, scenario = self.room, with_all(self.study, self.scenario, [one])
            self.room = room_of(self.study, scenario, self.times)
            self.scenario = scenario
            needed = "" if one.offer.name == last else last
            rooms = (float(before.room[of_use]), float(self.room.room[of_use]))
            self.steps.append(Step(one, due, of_use, *rooms, needed))

    def next(self, month: int) -> Try | None:
        """The increment whose turn it is in a month; None where none is left."""
        count = self.count
        for offer in self.turns:
            if count[offer.name] >= offer.most:
                continue
            found = self.tried(offer, month, count)
            if isinstance(found, Try):
                return found
            self.pass_over(Bought(offer, number=count[offer.name] + 1), month, found)
        return None

    def pass_over(self, one: Bought, month: int, why: str) -> None:
        """Keep why something is not bought, the first time."""
        self.passed.setdefault(one.called, Passed(month, one.called, why))

    @property
    def count(self) -> Counter[str]:
        """How many times each purchase was made."""
        return Counter(step.bought.offer.name for step in self.steps)

    def tried(self, offer: Offer, month: int, count: Counter[str]) -> Try | str:
        """An increment with what it needs, or why it cannot be bought."""
        along = [one for one in with_needed(offer, self.every)[:-1] if not count[one.name]]
        if why := self.forbidden([*along, offer], month, count):
            return why
        own = tuple(Bought(one, month, count[one.name] + 1) for one in (*along, offer))
        try:
            scenario = with_all(self.study, self.scenario, own)
        except StockError as error:
            return f"no '{error.part}' is left that could go"
        room = room_of(self.study, scenario, self.times)
        why = room.lacking.more_than(self.room.lacking)
        return f"does not fit: {why}" if why else Try(own, scenario, room)

    def forbidden(self, wanted: Sequence[Offer], month: int, count: Counter[str]) -> str:
        """Why some purchases cannot be made together in a month; empty where they can."""
        there = [one for one in self.every if count[one.name]]
        for one in wanted:
            for other in [*there, *wanted]:
                if one.name in other.excludes or other.name in one.excludes:
                    return f"{one.name} and {other.name} exclude each other"
            if one.links and month:
                return f"it needs {one.name}, which changes a link; that can only be bought at the start"
        return ""


def schedule(study: Study, scenario: Scenario, ahead: int) -> Schedule:
    """What is bought of a scenario as data grow, each so many months before the data are more than the room."""
    own, outgrown = Growing(study, scenario, Times(study)), None
    tried: tuple[int, ...] = ()  # where nothing was found: it stays so until something changes
    for due, month, of_use, data in dues(study, ahead):
        if not all(more_than(data, own.room.room[one]) for one in {due, of_use}):
            continue
        if own.stands(month, of_use) == tried or not own.buy(month, due, of_use, data):
            outgrown = due if outgrown is None else outgrown
            tried = own.stands(month, of_use)
    made = {step.bought.called for step in own.steps}
    passed = tuple(replace(one, came=one.name in made) for one in own.passed.values())
    return Schedule(scenario, tuple(own.steps), passed, outgrown, own.room.is_stated)


def dues(study: Study, ahead: int) -> Iterator[tuple[int, int, int, float]]:
    """For each month: itself, when to buy for it, from which month on that is of use, the data held in it [TB].

    What would be of use after the horizon only is not bought.
    """
    for due, data in enumerate(data_held(study)):
        month = max(0, due - ahead)
        of_use = due if month < due or not due else due + 1
        if of_use <= study.settings.horizon:
            yield due, month, of_use, float(data)
