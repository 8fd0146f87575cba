"""At which value of an input two scenarios cost the same: every such value in a range, or that there is none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tco.addresses import folded
from tco.ask.compare import Comparison
from tco.ask.inputs import Input, find, inputs, ranged
from tco.ask.level import verify, with_ends
from tco.ask.reprice import Figure, kwh_price
from tco.ask.vary_costs import Costs
from tco.ask.vary_ends import as_one
from tco.ask.vary_roots import ALIKE, CROSSES, Meeting, counted, meetings, monthly, sides
from tco.engine import Array
from tco.errors import AskedError, UnknownNameError
from tco.model import Ground
from tco.model.measure import LEVEL
from tco.ranges import ELECTRICITY, YEARS

LOOKED_AT, FEWER = 401, 21  # values of an input between which meetings are sought; of failure rates
TIMES = 5.0  # as far as prices and factors are looked at, unless a range is named
LEAST_SHARE, MOST_SHARE = -0.5, 1.0  # between which shares and growths are looked at, or further
MOST_COUNTS = 2000  # whole numbers of a range


@dataclass(frozen=True)
class Level:
    """Two scenarios and one input: where they cost the same between low and high.

    input: None for the years it is kept, whose values are months. costs: what both cost at each meeting.
    cheaper: the scenario that costs less at the low end; empty where they cost the same at every value.
    depends: whether what lies between them depends on the input. price: of a kWh as it is, where that is the input.
    money: the study's, in which they cost that.
    """

    one: str
    other: str
    input: Input | None
    low: float
    high: float
    meetings: tuple[Meeting, ...]
    costs: tuple[float, ...]
    cheaper: str
    depends: bool
    price: Figure = ""
    money: str = ""

    @property
    def label(self) -> str:
        return self.input.label if self.input else YEARS

    @property
    def is_same(self) -> bool:
        """Whether both cost the same at every value."""
        return not self.cheaper

    def is_between(self, own: Meeting) -> bool:
        """Whether both cost the same at no whole number, but one less before `value` and the other from it on."""
        return self.input is not None and self.input.whole and own.kind == CROSSES

    def cheaper_of(self, side: int) -> str:
        """Who costs less on a side of a meeting; empty where the range ends there."""
        return {1: self.other, -1: self.one, 0: ""}[side]


@dataclass(frozen=True)
class BreakEvens:
    """All that `tco breakeven` finds; horizon: the months up to which the years are looked at."""

    comparison: Comparison
    levels: tuple[Level, ...]
    horizon: int


@dataclass(frozen=True)
class Ends:
    """The range in which an input is looked at; None where it is the usual one."""

    low: float | None = None
    high: float | None = None


def breakeven(
    comparison: Comparison,
    name: str = "",
    between: Sequence[str] = (),
    ends: Ends | None = None,
    scenario: str = "",
    *,
    longer: Comparison | None = None,
) -> BreakEvens:
    """Where scenarios cost the same, by one input, or by the price of electricity, the years, and all of ranges.csv.

    Without a name, pairs are left out of which nothing depends on the input.
    between: two scenarios; else the cheapest and each other one. scenario: the only one in which the input varies.
    ends: of the range, in the input's unit, as a factor, or in months; not without a name. longer: the study with a
    horizon that has all of them. Raises AskedError, UnknownNameError, VariedError.
    """
    pairs = pairs_of(comparison, between)
    own, found = ends or Ends(), list[Level]()
    if not name and own != Ends():
        raise AskedError("low, high", "name the input whose range this is")
    for one in wanted(comparison, name, scenario):
        found += years(longer or comparison, pairs, own) if one is None else levels(comparison, one, pairs, own)
    found = found if name else [one for one in found if one.depends or one.is_same]
    return BreakEvens(comparison, tuple(found), (longer or comparison).study.settings.horizon)


def together(found: Sequence[BreakEvens]) -> BreakEvens:
    """Several inputs, asked one by one, as one answer; at least one."""
    every = tuple(level for one in found for level in one.levels)
    return replace(found[0], levels=every, horizon=max(one.horizon for one in found))


def is_years(name: str) -> bool:
    """Whether a name is that of the years it is kept."""
    return folded(name) == YEARS


def pairs_of(comparison: Comparison, between: Sequence[str]) -> list[tuple[int, int]]:
    """Pairs of scenarios by number: the two that are named, or the cheapest and each other one."""
    names = [ground.scenario.scenario for ground in comparison.built.grounds]
    for name in between:
        if name not in names:
            raise UnknownNameError("scenario", name, names)
    if between:
        if len(between) != 2 or between[0] == between[1]:
            raise AskedError(" and ".join(between), "name two scenarios that differ")
        return [(names.index(between[0]), names.index(between[1]))]
    if len(names) < 2:
        raise AskedError(
            comparison.study.settings.question, "the study has one scenario, and none to compare it with"
        )
    ranked = [names.index(ground.scenario.scenario) for ground in comparison.ranked()]
    return [(ranked[0], other) for other in ranked[1:]]


def wanted(comparison: Comparison, name: str, scenario: str) -> list[Input | None]:
    """The inputs to look at; None stands for the years."""
    if is_years(name):
        if scenario:
            raise AskedError(YEARS, "all scenarios are kept as long; leave the scenario out")
        return [None]
    if name:
        return [as_one(find(comparison, name, scenario))]
    if scenario:
        raise AskedError(scenario, "name the input that varies in this scenario only")
    first = [one for key, one in inputs(comparison).items() if key == ELECTRICITY]
    named = (as_one(find(comparison, one.name, one.scenario)) for one, _, _ in ranged(comparison))
    return [*first, None, *(one for one in dict.fromkeys(named) if one not in first)]


def levels(comparison: Comparison, one: Input, pairs: Sequence[tuple[int, int]], ends: Ends) -> list[Level]:
    """Where pairs cost the same by one input; the range is looked at for all of them at once. Raises LevelError."""
    costs, values = Costs(comparison), looked_at(one, *range_of(one, ends))
    found = costs.at(one, values)
    first, second = (np.array(side) for side in zip(*pairs, strict=True))

    def of(at: Array, pair: Array) -> Array:
        rows, own, place = costs.at(one, at), pair.astype(int), np.arange(len(at))
        return np.asarray(rows[place, first[own]] - rows[place, second[own]])

    apart, scale = found[:, first] - found[:, second], np.abs(found).max(axis=0)
    if one.whole:
        met = [counted(values, own) for own in apart.T]
    else:
        scales = np.maximum(scale[first], scale[second])
        met = meetings(*with_ends(values, apart, of), scales, of)
        labels = [f"{costs.names[a]} and {costs.names[b]}, {one.label}" for a, b in pairs]
        verify(met, (float(values[0]), float(values[-1])), scales, of, labels)
    at_them = np.array([own.value for pair in met for own in pair])
    worth = iter(costs.at(one, at_them)) if len(at_them) else iter(())
    with_costs = [[(own, float(next(worth)[pair[0]])) for own in met[number]] for number, pair in enumerate(pairs)]
    return [
        level(comparison, pair, one, values, apart[:, number], with_costs[number])
        for number, pair in enumerate(pairs)
    ]


def years(comparison: Comparison, pairs: Sequence[tuple[int, int]], ends: Ends) -> list[Level]:
    """Where pairs cost the same by how long they are kept: as the measure `level_horizon` has it, for any pair."""
    horizon = comparison.study.settings.horizon
    low, high = 0.0 if ends.low is None else ends.low, float(horizon) if ends.high is None else ends.high
    if not 0 <= low < high <= horizon:
        raise AskedError(YEARS, f"the range must lie between 0 and {horizon} months, its low end below its high one")
    months = np.arange(int(low), int(high) + 1)
    costs = np.stack([comparison.of(ground.month("lcc_if_sold"))[months] for ground in comparison.built.grounds])
    found = []
    for pair in pairs:
        apart = costs[pair[0]] - costs[pair[1]]
        met = [(own, float(np.interp(own.value, months, costs[pair[0]]))) for own in monthly(months, apart)]
        found.append(level(comparison, pair, None, months, apart, met))
    return found


def level(
    comparison: Comparison,
    pair: tuple[int, int],
    one: Input | None,
    values: Array,
    apart: Array,
    met: Sequence[tuple[Meeting, float]],
) -> Level:
    """What was found of one pair."""
    grounds = [comparison.built.grounds[number] for number in pair]
    names = [ground.scenario.scenario for ground in grounds]
    side = int(next(iter(sides(apart)[sides(apart) != 0]), 0))
    price = price_of(comparison, grounds) if one and one.name == ELECTRICITY else ""
    found, costs = tuple(own for own, _ in met), tuple(cost for _, cost in met)
    cheaper = {1: names[1], -1: names[0], 0: ""}[side]
    depends = bool(np.ptp(apart) >= LEVEL)
    ends, money = (float(values[0]), float(values[-1])), comparison.study.settings.currency
    return Level(names[0], names[1], one, *ends, found, costs, cheaper, depends, price, money)


def price_of(comparison: Comparison, grounds: Sequence[Ground]) -> Figure:
    """The price of a kWh in month 1 if both scenarios pay the same, or one of them buys none; else why not."""
    both = [kwh_price(comparison, ground, 1) for ground in grounds]
    prices = [price for price in both if isinstance(price, float)]
    if not prices:
        return both[0]
    return prices[0] if np.ptp(prices) <= ALIKE * abs(prices[0]) else "none: the two pay different prices"


def looked_at(one: Input, low: float, high: float) -> Array:
    """The values of a range that are looked at, that of the study among them; of a count all of them."""
    if not one.whole:
        values = np.linspace(low, high, FEWER if one.curves else LOOKED_AT)
        for likely in {1.0} if one.is_factor else set(one.likely):
            if low < likely < high:  # in the place of its neighbour: two values next to each other tell no slope
                values[np.clip(np.abs(values - likely).argmin(), 1, len(values) - 2)] = likely
        return values
    values = np.arange(np.ceil(low), np.floor(high) + 1.0)
    if not 2 <= len(values) <= MOST_COUNTS:
        raise AskedError(one.label, f"a range of counts has from 2 to {MOST_COUNTS} whole numbers")
    return values


def range_of(one: Input, ends: Ends) -> tuple[float, float]:
    """The range in which an input is looked at; raises AskedError for what a study may not hold, or has no width."""
    usual = usual_range(one) if ends.low is None or ends.high is None else (0.0, 0.0)
    low, high = (own if own is not None else other for own, other in zip((ends.low, ends.high), usual, strict=True))
    for limit, word, beyond in ((one.least, "least", low), (one.most, "most", high)):
        if limit is not None and (beyond < limit if word == "least" else beyond > limit):
            raise AskedError(
                f"{one.label} at {one.told(beyond)}", f"the {word} that a study may hold is {one.told(limit)}"
            )
    if not low < high:
        raise AskedError(one.label, f"the low end, {one.told(low)}, must be below the high one, {one.told(high)}")
    return low, high


def usual_range(one: Input) -> tuple[float, float]:
    """From nothing to five times what the study says, within what it may hold.

    Of a share or growth from -50 % to 100 %, or further where five times what the study says is.
    """
    far = max((TIMES if one.is_factor else TIMES * value for value in one.likely), key=abs)
    low, high = sorted((0.0, far))
    if one.is_share and not one.is_factor:
        low, high = min(low, LEAST_SHARE), max(high, MOST_SHARE)
    elif not far:
        raise AskedError(one.label, "is 0 in the study, so name the range: --low and --high")
    return (low if one.least is None else max(low, one.least)), (high if one.most is None else min(high, one.most))
