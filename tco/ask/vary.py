"""What matters: each input alone between its low and its high end, what scenarios cost there, who is the cheapest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tco.ask.compare import Comparison
from tco.ask.vary_costs import Costs
from tco.ask.vary_ends import USUAL, Choice, choices
from tco.ask.vary_grid import Grid
from tco.ask.vary_roots import Bracket, zeros
from tco.engine import Array
from tco.model.measure import LEVEL

POINTS, FEWER = 9, 5  # values of an input that are looked at; of failure rates, which take their time


@dataclass(frozen=True)
class Flip:
    """From which value on another scenario is the cheapest; of a count the first at which it is.

    before, after: the cheapest below the value, and from it on.
    """

    value: float
    before: str
    after: str


@dataclass(frozen=True)
class Swing:
    """An input between its ends: costs and whether all needs are met there, scenarios in the study's order."""

    choice: Choice
    at_low: tuple[float, ...]
    at_high: tuple[float, ...]
    meets_low: tuple[bool, ...]
    meets_high: tuple[bool, ...]
    flips: tuple[Flip, ...] = ()

    @property
    def changes(self) -> tuple[float, ...]:
        """What each scenario costs more at the high end than at the low one."""
        return tuple(high - low for low, high in zip(self.at_low, self.at_high, strict=True))

    @property
    def effect(self) -> float:
        """The largest change of any scenario's life-cycle cost between the ends."""
        return max(map(abs, self.changes))

    @property
    def most(self) -> int:
        """The number of the scenario that changes most."""
        return max(range(len(self.changes)), key=lambda number: abs(self.changes[number]))


@dataclass(frozen=True)
class Variation:
    """All that `tco vary` finds.

    swings: inputs that change a cost, the largest effect first; silent: those that change only who meets the needs.
    without_effect: how many change neither; without_ends: how many are 0 or sound levels and have no per cent.
    among: the scenarios among which the cheapest is looked for. grid: None where there is none.
    """

    comparison: Comparison
    by: float
    among: tuple[str, ...]
    swings: tuple[Swing, ...]
    silent: tuple[Swing, ...]
    without_effect: int
    without_ends: int
    grid: Grid | None = None

    @property
    def names(self) -> list[str]:
        """The scenarios in the study's order."""
        return [ground.scenario.scenario for ground in self.comparison.built.grounds]


@dataclass(frozen=True, eq=False)
class Looked:
    """What was looked at of one input: values, rising, costs and open needs there (values, scenarios)."""

    choice: Choice
    values: Array
    costs: Array
    needs: Array


def vary(comparison: Comparison, by: float = USUAL) -> Variation:
    """Each input alone between its ends, all in one batched pass; see Variation.

    Raises AskedError for a width of nothing, VariedError where an input leaves no figure.
    """
    chosen, without_ends = choices(comparison, by)
    costs = Costs(comparison)
    wanted = [(one.input, points(one)) for one in chosen]
    found = costs.one_by_one(wanted)
    looked = [Looked(choice, values, *own) for choice, (_, values), own in zip(chosen, wanted, found, strict=True)]
    among = comparison.among
    moved = [one for one in looked if np.abs(one.costs - costs.as_stated).max() >= LEVEL]
    turned = flips(costs, moved, [costs.names.index(name) for name in among])
    swings = [swing(one, own) for one, own in zip(moved, turned, strict=True)]
    stated = np.array([comparison.measure(ground, "needs_open") == 0.0 for ground in costs.grounds])
    still = [one for one in looked if one not in moved]
    silent = tuple(swing(one, ()) for one in still if ((one.needs == 0.0) != stated).any())
    swings.sort(key=lambda one: -one.effect)
    return Variation(comparison, by, among, tuple(swings), silent, len(still) - len(silent), without_ends)


def points(choice: Choice) -> Array:
    """The values of an input that are looked at, rising: its ends, the study's, and some between."""
    likely = [] if choice.likely is None else [choice.likely]
    if choice.input.whole:
        return np.unique([choice.low, *likely, choice.high])
    count = FEWER if choice.input.curves else POINTS
    return np.unique([*np.linspace(choice.low, choice.high, count), *likely])


def swing(one: Looked, own: Sequence[Flip]) -> Swing:
    """What was found of one input."""
    low, high = (tuple(map(float, one.costs[place])) for place in (0, -1))
    meets_low, meets_high = (tuple((one.needs[place] == 0.0).tolist()) for place in (0, -1))
    return Swing(one.choice, low, high, meets_low, meets_high, tuple(own))


@dataclass(frozen=True)
class Step:
    """Two values of an input (by number) between which the cheapest changes, and who it is at each."""

    number: int
    low: float
    high: float
    before: int
    after: int


def flips(costs: Costs, looked: Sequence[Looked], among: Sequence[int]) -> list[list[Flip]]:
    """Where the cheapest changes, for each input, rising.

    Between two values that were looked at, a scenario that is the cheapest for a short way only may be missed where
    its cost does not go straight; at the crossing of two others it is found.
    """
    steps = [step for number, one in enumerate(looked) for step in changes_of(number, one, among)]
    found: list[list[Flip]] = [[] for _ in looked]
    while steps:
        whole = [step for step in steps if looked[step.number].choice.input.whole]
        steps = [step for step in steps if step not in whole]
        met = [(step, step.high) for step in whole]
        further: list[Step] = []
        for step, value, least in zip(steps, *crossings(costs, looked, steps, among), strict=True):
            if least in (step.before, step.after):
                met.append((step, value))
            else:  # a third one is the cheapest where the two cross
                further += [Step(step.number, step.low, value, step.before, least),
                            Step(step.number, value, step.high, least, step.after)]  # fmt: skip
        for step, value in met:
            found[step.number].append(Flip(value, costs.names[step.before], costs.names[step.after]))
        steps = further
    return [sorted(own, key=lambda flip: flip.value) for own in found]


def changes_of(number: int, one: Looked, among: Sequence[int]) -> list[Step]:
    """Neighbouring values between which the cheapest changes; it stays who it is while it is level with the least.

    It is followed from the study's value both ways.
    """
    likely = one.choice.likely
    start = 0 if likely is None else int(np.argmin(np.abs(one.values - likely)))
    least = [min(among, key=lambda scenario: row[scenario]) for row in one.costs]
    holder = {start: least[start]}
    for place in [*range(start + 1, len(least)), *range(start - 1, -1, -1)]:
        before = holder[place - 1 if place > start else place + 1]
        is_level = one.costs[place, before] - one.costs[place, least[place]] < LEVEL
        holder[place] = before if is_level else least[place]
    return [
        Step(number, float(one.values[place]), float(one.values[place + 1]), holder[place], holder[place + 1])
        for place in range(len(least) - 1)
        if holder[place] != holder[place + 1]
    ]


def crossings(
    costs: Costs, looked: Sequence[Looked], steps: Sequence[Step], among: Sequence[int]
) -> tuple[list[float], list[int]]:
    """Where the two scenarios of each step cost the same, and who is the cheapest there: one of them if level."""
    if not steps:
        return [], []

    def costs_at(values: Array, own: Array) -> Array:
        wanted = [(looked[steps[number].number].choice.input, np.array([value]))
                  for number, value in zip(own, values, strict=True)]  # fmt: skip
        return np.concatenate([found for found, _ in costs.one_by_one(wanted)])

    def apart(values: Array, own: Array) -> Array:
        found, place = costs_at(values, own), np.arange(len(own))
        before, after = (np.array([getattr(steps[one], side) for one in own]) for side in ("before", "after"))
        return np.asarray(found[place, before] - found[place, after])

    found = zeros([Bracket(number, step.low, step.high) for number, step in enumerate(steps)], apart)
    # Where they do not cross in between, they are level at the lower end.
    met = [step.low if np.isnan(value) else value for step, value in zip(steps, found, strict=True)]
    rows = costs_at(np.array(met), np.arange(len(steps)))
    cheapest = []
    for step, row in zip(steps, rows, strict=True):
        least = min(among, key=lambda scenario: row[scenario])
        cheapest.append(step.before if row[step.before] - row[least] < LEVEL else least)
    return met, cheapest
