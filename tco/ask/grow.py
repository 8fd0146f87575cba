"""Buying as data grow, against buying all of it on day one and against renting: a study of these ways, compared."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from tco.addresses import address, folded
from tco.ask.compare import Comparison, compare
from tco.ask.grow_room import data_held
from tco.ask.grow_turns import Schedule, schedule
from tco.ask.input_names import cells
from tco.ask.offers import Bought, with_all
from tco.errors import AskedError, UnknownNameError
from tco.model import Ground
from tco.purchase import offers
from tco.ranges import FACTORS, FAILURES, Range
from tco.study import Fee, Scenario, Study

GROW, ONCE, RENT = "as data grow", "all on day one", "rented"  # the ways to have the room
MOST = 3  # scenarios in one study: each is there twice
RENTED = "rented by the TB"  # the scenario that a rent makes
NOTHING = "nothing had to be bought"
FEW = 4  # purchases that a title names


@dataclass(frozen=True)
class Way:
    """One scenario of the study that is compared. plan: the number of its schedule, None for what is rented."""

    ground: Ground
    kind: str
    plan: int | None

    @property
    def name(self) -> str:
        return self.ground.scenario.scenario


@dataclass(frozen=True)
class Growth:
    """All that `tco grow` finds.

    original: the study that was asked about; comparison: that of the ways. plans: a schedule for each scenario, in
    the order asked for. ahead: how many months before they are needed increments are bought. ways: as they stand in
    the comparison, for each plan the one as data grow first; the first of all is the baseline. rented: the way of the
    rent that was asked for, the last one; None without (has_rent).
    """

    original: Study
    comparison: Comparison
    plans: tuple[Schedule, ...]
    ahead: int
    ways: tuple[Way, ...]
    has_rent: bool

    @property
    def rented(self) -> Way | None:
        return self.ways[-1] if self.has_rent else None

    def way(self, plan: int, kind: str) -> Way | None:
        """A way of one plan; None for all on day one where nothing is ever bought."""
        return next((way for way in self.ways if way.plan == plan and way.kind == kind), None)

    def others(self, plan: int) -> list[Way]:
        """What one plan is compared with: all on day one, and what is rented."""
        return [way for way in self.ways if way.kind == RENT or (way.plan == plan and way.kind == ONCE)]


def grow(study: Study, scenarios: Sequence[str] = (), ahead: int = 0, rent: float | None = None) -> Growth:
    """What is bought as data grow, compared with all of it on day one and with renting; see Growth.

    scenarios: those that grow, by name; else all that have increments. ahead: months. rent: per TB held and month,
    for one more way. Raises AskedError, UnknownNameError, and what compare raises.
    """
    horizon = study.settings.horizon
    if not 0 <= ahead <= horizon:
        raise AskedError(f"{ahead} months ahead", f"it must be from 0 to {horizon}, the horizon")
    if not data_held(study).any():
        raise AskedError("data held", "study.csv states none, so that nothing can outgrow its room; add it")
    plans = tuple(schedule(study, one, ahead) for one in chosen(study, scenarios))
    made = list(ways_of(study, plans, rent))
    comparison = compare(derived_study(study, made))
    grounds = zip(comparison.built.grounds, made, strict=True)
    ways = tuple(Way(ground, one.kind, one.plan) for ground, one in grounds)
    return Growth(study, comparison, plans, ahead, ways, rent is not None)


def chosen(study: Study, names: Sequence[str]) -> list[Scenario]:
    """The scenarios that grow; raises UnknownNameError, AskedError."""
    known = {one.scenario: one for one in study.scenarios}
    for name in names:
        if name not in known:
            raise UnknownNameError("scenario", name, known)
    growing = [one for one in study.scenarios if any(offer.turn is not None for offer in offers(one.purchases))]
    wanted = [known[name] for name in dict.fromkeys(names)] or growing
    if not wanted:
        raise AskedError("purchases", "none has a turn, so that none is made as data grow; see purchases.csv")
    if len(wanted) > MOST:
        told = "; ".join(one.scenario for one in wanted)
        raise AskedError(f"{len(wanted)} scenarios", f"{MOST} at most; name them with --scenario: {told}")
    for one in wanted:
        check(one, growing)
    return wanted


def check(scenario: Scenario, growing: Iterable[Scenario]) -> None:
    """Raises AskedError where a scenario cannot grow, or its room is not known."""
    if scenario not in growing:
        told = "; ".join(one.scenario for one in growing) or "none"
        raise AskedError(scenario.scenario, f"no purchase for it has a turn (purchases.csv); those that have: {told}")
    if not scenario.pools:
        raise AskedError(scenario.scenario, "its room is unknown, for no pools are stated (pools.csv)")


@dataclass(frozen=True)
class Made:
    """The scenario of a way. plan: as of Way; of: the scenario that it came of, empty where it is new."""

    scenario: Scenario
    kind: str
    plan: int | None
    of: str


def ways_of(study: Study, plans: Iterable[Schedule], rent: float | None) -> Iterator[Made]:
    """The scenario of each way."""
    taken = {one.scenario for one in study.scenarios}
    for number, plan in enumerate(plans):
        own, bought = plan.scenario.scenario, [step.bought for step in plan.steps]
        told = in_short(bought)
        grown = with_all(study, plan.scenario, bought)
        yield Made(renamed(grown, f"{own}, {GROW}", told, taken), GROW, number, own)
        if bought:
            once = with_all(study, plan.scenario, [replace(one, month=0) for one in bought])
            yield Made(renamed(once, f"{own}, {ONCE}", "the same, all in month 0", taken), ONCE, number, own)
    yield from (Made(one, RENT, None, one.scenario) for one in study.scenarios if not one.parts)
    if rent is not None:
        name = unlike(RENTED, taken)
        yield Made(of_rent(name, rent), RENT, None, "")


def of_rent(name: str, rent: float) -> Scenario:
    """A scenario without hardware that pays a rent per TB held and month."""
    note = "as asked for; the same in all months"
    fee = Fee(scenario=name, fee="rent by the TB held", amount_per_TB=rent, source="--rent", note=note)
    return Scenario(scenario=name, title="no hardware: the rent that was asked about", fees=(fee,))


def in_short(bought: Sequence[Bought]) -> str:
    """What was bought when, for a title; of many how many."""
    if len(bought) > FEW:
        return f"{len(bought)} purchases from month {bought[0].month} to {bought[-1].month}"
    return ", ".join(f"{one.offer.name} in month {one.month}" for one in bought) or NOTHING


def renamed(scenario: Scenario, name: str, told: str, taken: set[str]) -> Scenario:
    """A scenario as a way: with a name of its own, and what is bought in its title."""
    title = f"{scenario.title or scenario.scenario}; {told}"
    return replace(scenario, scenario=unlike(name, taken), title=title, purchases=())


def unlike(name: str, taken: set[str]) -> str:
    """The name, with a number behind it where it is taken; adds it to those taken."""
    found, number = name, 1
    while found in taken:
        number += 1
        found = f"{name} ({number})"
    taken.add(found)
    return found


def derived_study(study: Study, made: Sequence[Made]) -> Study:
    """The study of the ways; the first is the baseline."""
    own = tuple(replace(one.scenario, baseline=not number) for number, one in enumerate(made))
    derived = replace(study, scenarios=own, ranges=(), ledger=())
    return replace(derived, ranges=tuple(kept_ranges(study, derived, made)))


def kept_ranges(study: Study, derived: Study, made: Sequence[Made]) -> Iterator[Range]:
    """The ranges of inputs that are still there; what varied in one scenario varies in all that came of it."""
    known = {folded(address(row, name)) for row, name, _ in cells(derived)}
    for one in study.ranges:
        if not one.input.startswith((*FACTORS, FAILURES)) and folded(one.input) not in known:
            continue
        ways = [way.scenario.scenario for way in made if way.of == one.scenario]
        yield from (replace(one, scenario=name) for name in ways) if one.scenario else (one,)
