"""Where the next money goes: what each purchase changes for its price, and the best set of them within a budget."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tco.ask.compare import Comparison, compare
from tco.ask.inputs import found_in, inputs
from tco.ask.spend_best import Found, Search, is_worse
from tco.ask.spend_figures import Sets
from tco.ask.spend_goal import Goal, Reader, badness, goal_of, words_at
from tco.ask.spend_offers import Flags, candidates, with_needs
from tco.engine import Array
from tco.errors import AskedError, DisagreementError, FigureError, StockError, TcoError, UnknownNameError
from tco.model import Ground
from tco.model.fit import WORDS, shortages
from tco.model.measure import LEVEL
from tco.model.needs import stated_names
from tco.study import Range, Scenario, Study
from tco.units import written

FIGURES = (  # what is told of each purchase, in the order in which a household asks
    "recommended", "read", "write", "one_client_read", "one_client_write", "recovery_drive", "recovery_node",
    "exposed_hours", "node_losses", "losses_writing", "first_power", "noise_idle", "noise_busy", "lcc",
    "needs_missed", "fits",
)  # fmt: skip
MOST_CANDIDATES = 200
FIRST_PURCHASE = "budget_start"  # a need about the first purchase: what comes on top has a budget of its own
HUNDRED = 100.0  # units of money for which gains are told
Value = float | str  # a figure, or why there is none


@dataclass(frozen=True)
class Figure:
    """A figure of the scenario as it is and with something bought; words where there is none."""

    name: str
    label: str
    unit: str
    percent: bool
    before: Value
    after: Value

    @property
    def change(self) -> float | None:
        """What it becomes less what it is; None where either is words."""
        if isinstance(self.before, str) or isinstance(self.after, str):
            return None
        return self.after - self.before


@dataclass(frozen=True)
class Single:
    """One purchase with all that it needs.

    along: what is bought with it because it needs that. price: paid more at the start [money]; None: it cannot be
    bought. gains: by how much the goal improves, a level each, negative where it gets worse; None: unknown.
    why_not: why it is not recommended; empty where it may be.
    """

    name: str
    along: tuple[str, ...]
    price: float | None
    figures: tuple[Figure, ...]
    gains: tuple[float, ...] | None
    improves: bool
    why_not: tuple[str, ...]

    @property
    def costs_nothing(self) -> bool:
        """Whether no more is paid at the start, or less."""
        return self.price is not None and self.price <= LEVEL

    @property
    def per_100(self) -> tuple[float, ...] | None:
        """The gains for each 100 of the study's money; None where there is no such figure."""
        if self.gains is None or self.price is None or self.costs_nothing:
            return None
        return tuple(HUNDRED * gain / self.price for gain in self.gains)

    @property
    def is_recommended(self) -> bool:
        """Whether it improves the goal and nothing speaks against it."""
        return self.improves and not self.why_not


@dataclass(frozen=True)
class Best:
    """The best set within a budget. names: what is bought, in order; empty: nothing.

    looked_at: how many sets; affordable: how many of them can be bought within it. why_not_proven: empty where no
    better set can be.
    """

    budget: float
    names: tuple[str, ...]
    price: float
    figures: tuple[Figure, ...]
    looked_at: int
    affordable: int
    why_not_proven: tuple[str, ...]


@dataclass(frozen=True)
class Spending:
    """All that `tco spend` finds.

    singles: the best for its money first. best: None without a budget. comparison: the scenario as it is against the
    best set, without a budget against the best purchase; alone where nothing is to be bought.
    left_out: whether the study states a need about what is paid at the start, which is not looked at.
    """

    comparison: Comparison
    scenario: str
    goal: Goal
    singles: tuple[Single, ...]
    best: Best | None
    left_out: bool

    @property
    def study(self) -> Study:
        return self.comparison.study

    @property
    def first(self) -> Single | None:
        """The purchase that improves the goal most for its money."""
        return next((one for one in self.singles if one.is_recommended), None)


class Asked:
    """The question, once it is known what is asked of which scenario.

    Raises UnknownNameError and AskedError where it cannot be put like that.
    """

    def __init__(self, study: Study, scenario: str = "", goal: str = "") -> None:
        own = meant(study, scenario)
        self.left_out = FIRST_PURCHASE in stated_names(study)
        self.study = without_first(study)
        offered = candidates(own)
        if len(offered) > MOST_CANDIDATES:
            many = f"{len(offered)} purchases for {own.scenario}, each as many times as it may be bought"
            raise AskedError("purchases.csv", f"{many}; the most is {MOST_CANDIDATES}: lower `most`")
        self.sets = Sets(self.study, own, offered)
        self.goal = goal_of(self.sets.as_it_is, goal)
        self.names = [name for name in FIGURES if self.now.has_measure(name)]
        if not self.goal.is_needs and self.goal.name not in self.names:
            self.names.insert(0, self.goal.name)

    @property
    def now(self) -> Ground:
        """The scenario as it is."""
        return self.sets.as_it_is.built.grounds[0]

    @property
    def guards(self) -> list[str]:
        """The needs that are met today, as measures."""
        own = [f"need_{name}" for name in stated_names(self.study) if self.now.has_measure(f"need_{name}")]
        figures = self.sets.as_it_is.figures
        met = Reader(self.now, own).read(figures, figures, 1)[0]
        return [name for name, value in zip(own, met, strict=True) if not np.isnan(value)]

    def bad(self, comparison: Comparison) -> Array:
        """The goal's badness of a scenario alone, shape (levels,)."""
        figures, ground = comparison.figures, comparison.built.grounds[0]
        return badness(self.goal, Reader(ground, [self.goal.name]).read(figures, figures, 1)).reshape(-1)

    def singles(self) -> tuple[Single, ...]:
        """Each purchase by itself, the best for its money first."""
        own = [self.single(place) for place in range(len(self.sets.candidates))]
        return tuple(own[place] for place in sorted(range(len(own)), key=lambda place: (*rank(own[place]), place)))

    def single(self, place: int) -> Single:
        """One purchase with all that it needs."""
        chosen = with_needs(self.sets.candidates, place)
        name = self.sets.candidates[place].name
        along = tuple(self.sets.candidates[other].name for other in np.flatnonzero(chosen) if other != place)
        try:
            after = self.sets.worked_out(chosen)
        except StockError as error:
            lacking = f"{error.lacking} more '{error.part}' would go than are there"
            return Single(name, along, None, (), None, False, (lacking,))
        except FigureError as error:
            return Single(name, along, None, (), None, False, (f"it leaves no figure: {error}",))
        before, bad = self.bad(self.sets.as_it_is), self.bad(after)
        known = not np.isnan(bad).any()
        gains = tuple((before - bad).tolist()) if known else None
        improves = known and is_worse(before, bad)
        return Single(
            name, along, self.price(after), self.figures(after), gains, improves, tuple(self.why_not(after))
        )

    def price(self, after: Comparison) -> float:
        """What is paid more at the start."""
        paid = [one.measure(one.built.grounds[0], "paid_at_start") for one in (self.sets.as_it_is, after)]
        return paid[1] - paid[0]

    def figures(self, after: Comparison) -> tuple[Figure, ...]:
        """What is told of a set."""
        found = [figure(self.sets.as_it_is, after, name) for name in self.names]
        if self.goal.is_needs:
            (opened, short), (later, less) = self.bad(self.sets.as_it_is).tolist(), self.bad(after).tolist()
            found.append(Figure("needs_open", "needs missed or unknown", "", False, opened, later))
            found.append(Figure("needs_shortfall", "short of what is needed, all needs", "", True, short, less))
        return tuple(found)

    def why_not(self, after: Comparison) -> Iterator[str]:
        """Why a set is not recommended."""
        ground = after.built.grounds[0]
        if value(after, ground, "fits") == WORDS[0]:
            yield f"{WORDS[0]}: {'; '.join(shortages(ground, after.figures))}"
        for name in self.guards:
            said = value(after, ground, name)
            column = ground.measure(name)
            if isinstance(said, str) and said.startswith("missed"):
                yield f"misses a need that is met today: {column.label}{by_how_much(after, ground, name)}"
            elif isinstance(said, str) and not said.startswith("met"):
                yield f"of a need that is met today nothing is known then: {column.label}, {said}"
        if np.isnan(self.bad(after)).any():
            yield f"{self.goal.label}: {value(after, ground, self.goal.name)}"

    def best(self, budget: float) -> tuple[Flags, Best]:
        """The best set within a budget; raises AskedError, DisagreementError."""
        if not budget >= 0:
            raise AskedError(f"{budget:g} {self.study.settings.currency}", "a budget is nothing or more")
        found = Search(self.sets, self.goal, self.guards, budget).best()
        after = self.sets.worked_out(found.chosen)
        self.agree(found, after)
        names = tuple(self.sets.candidates[place].name for place in np.flatnonzero(found.chosen))
        reasons = tuple(dict.fromkeys(found.reasons))
        figures = self.figures(after)
        best = Best(budget, names, self.price(after), figures, found.looked_at, found.affordable, reasons)
        return found.chosen, best

    def agree(self, found: Found, after: Comparison) -> None:
        """The best set worked out in full is what it was taken for; raises DisagreementError."""
        sets = found.chosen[None, :]
        own = self.sets.read(sets, [self.goal.name, "lcc"])[0].tolist()
        ground, figures = after.built.grounds[0], after.figures
        other = Reader(ground, [self.goal.name, "lcc"]).read(figures, figures, 1)[0].tolist()
        names = [*[self.goal.name] * self.goal.levels, "lcc"]
        if not self.sets.keeps_spares:
            names, other = [*names, "price"], [*other, self.price(after)]
            own.append(float(self.sets.prices(self.sets.stock.outcome(sets))[0]))
        for name, one, two in zip(names, own, other, strict=True):
            if not np.isclose(one, two, rtol=1e-9, atol=1e-6, equal_nan=True):
                raise DisagreementError(ground.scenario.scenario, name, one, two)

    def compared(self, chosen: Flags) -> Comparison:
        """The scenario as it is, the baseline, against it with a set; alone where that is nothing."""
        own = self.sets.scenario_with(np.zeros_like(chosen))
        if not chosen.any():
            return compare(replace(self.study, scenarios=(own,)))
        names = [self.sets.candidates[place].name for place in np.flatnonzero(chosen)]
        after = renamed(self.sets.scenario_with(chosen), names)
        ranges = tuple(self.ranges(after.scenario))
        return compare(replace(self.study, scenarios=(own, after), ranges=ranges))

    def ranges(self, after: str) -> Iterator[Range]:
        """The study's uncertain inputs that this scenario has; what is said of it alone holds with purchases too."""
        known, own = inputs(self.sets.as_it_is), self.sets.scenario.scenario
        for one in self.study.ranges:
            try:
                found_in(known, self.sets.as_it_is, one.input, one.scenario)
            except TcoError:  # an input of another scenario
                continue
            yield one
            if one.scenario == own:
                yield replace(one, scenario=after)


def spend(study: Study, scenario: str = "", goal: str = "", budget: float | None = None) -> Spending:
    """What to buy next; see Spending.

    scenario: for which; else the only one with purchases, or the baseline. goal: a measure or a need; else the needs
    that are missed, or the room. budget: in the study's money; without it no set is looked for.
    Raises UnknownNameError, AskedError, FigureError, DisagreementError.
    """
    return answered(Asked(study, scenario, goal), budget)


def answered(asked: Asked, budget: float | None, singles: Sequence[Single] | None = None) -> Spending:
    """The answer; singles: where they are known already."""
    own = tuple(asked.singles() if singles is None else singles)
    chosen, best = np.zeros(len(asked.sets.candidates), dtype=bool), None
    first = next((one.name for one in own if one.is_recommended), None)
    if budget is not None:
        chosen, best = asked.best(budget)
    elif first is not None:
        names = [one.name for one in asked.sets.candidates]
        chosen = with_needs(asked.sets.candidates, names.index(first))
    return Spending(asked.compared(chosen), asked.sets.scenario.scenario, asked.goal, own, best, asked.left_out)


def meant(study: Study, name: str) -> Scenario:
    """The scenario that is asked about; raises UnknownNameError, AskedError."""
    every = {one.scenario: one for one in study.scenarios}
    offered = [one for one in study.scenarios if one.purchases]
    listed = ", ".join(one.scenario for one in offered)
    if name and name not in every:
        raise UnknownNameError("scenario", name, [one.scenario for one in offered] or list(every))
    if not offered:
        raise AskedError("purchases.csv", "says nothing that may be bought for any scenario; add a row a purchase")
    if name and not every[name].purchases:
        raise AskedError(name, f"purchases.csv says nothing that may be bought for it; it does for {listed}")
    own = [every[name]] if name else offered if len(offered) == 1 else [one for one in offered if one.baseline]
    if not own:
        raise AskedError("the scenario", f"there are purchases for {listed}; name one with --scenario")
    return own[0]


def without_first(study: Study) -> Study:
    """The study without the need about what is paid at the start."""
    if study.needs is None:
        return study
    places = {name: place for name, place in study.needs.places.items() if name != FIRST_PURCHASE}
    return replace(study, needs=replace(study.needs, places=places, budget_start=None))


def renamed(scenario: Scenario, names: Sequence[str]) -> Scenario:
    """A scenario with something bought, with a name of its own."""
    told = " + ".join(names)
    what = told if len(told) <= 30 else f"{len(names)} purchases"
    title = f"{scenario.title or scenario.scenario}, with {', '.join(names)}"
    return replace(scenario, scenario=f"{scenario.scenario} + {what}", title=title, baseline=False)


def rank(one: Single) -> tuple[float, ...]:
    """By which purchases are sorted: what costs nothing and improves, the most for its money, the rest."""
    if not one.is_recommended:
        return (3.0 if one.why_not else 2.0,)
    gains = one.gains if one.costs_nothing else one.per_100
    assert gains is not None
    cost = next(figure.after for figure in one.figures if figure.name == "lcc")
    return (0.0 if one.costs_nothing else 1.0, *(-float(f"{gain:.9g}") for gain in gains), float(cost))


def figure(before: Comparison, after: Comparison, name: str) -> Figure:
    """A measure of the scenario as it is and with something bought."""
    one, other = before.built.grounds[0], after.built.grounds[0]
    column = one.measure(name)
    unit = written(column.unit)
    return Figure(name, column.label, unit, column.percent, value(before, one, name), value(after, other, name))


def value(comparison: Comparison, ground: Ground, name: str) -> Value:
    """A measure, or the words where there is none."""
    column = ground.measure(name)
    return words_at(column, comparison.figures, 0) or float(comparison.of(column)[0])


def by_how_much(after: Comparison, ground: Ground, name: str) -> str:
    """By how much a need is missed, where that is known."""
    if not ground.has_measure(f"{name}_short"):
        return ""
    short = value(after, ground, f"{name}_short")
    column = ground.measure(f"{name}_short")
    unit = written(column.unit)
    if isinstance(short, str):
        return ""
    return f", {100 * short:.3g} %" if column.percent else f", by {short:,.4g} {unit}".rstrip()
