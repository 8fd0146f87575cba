"""What a new version of a tariff changes: two comparisons of one study, before and after, held against each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from tco.ask.compare import Comparison, cents, crossings, told
from tco.engine import Array, Column, absent, evaluate
from tco.errors import PastError
from tco.model import LINES, Ground
from tco.model.calendar import months_between
from tco.model.measure import LEVEL
from tco.study import Study, Version
from tco.units import written

HEADER = ("scenario", "figure", "month", "before", "after", "change", "unit")
Figure = float | str  # a number, or why there is none
CsvRow = tuple[str, str, int | str, Figure, Figure, Figure, str]
MEASURES = ("undiscounted", "lcc", "equivalent_month", "equivalent_year", "net_savings")
NOT_RANKED = "not ranked: does not meet all needs"


@dataclass(frozen=True)
class Pair:
    """A figure before and after."""

    before: Figure
    after: Figure

    @property
    def change(self) -> Figure:
        """After less before; empty where one of them is no number."""
        if isinstance(self.before, str) or isinstance(self.after, str):
            return ""
        return self.after - self.before

    @property
    def moved(self) -> bool:
        """Whether the two differ by more than rounding."""
        change = self.change
        return abs(change) >= LEVEL if isinstance(change, float) else self.before != self.after


@dataclass(frozen=True)
class Cost:
    """A scenario's life-cycle cost, and how much of it scales with the prices of the tariffs in question."""

    lcc: float
    electricity: float


@dataclass(frozen=True)
class BreakEven:
    """At which multiple of the tariff's prices two scenarios cost the same, and what that makes of a kWh."""

    one: str
    other: str
    factor: Pair
    price: Pair


@dataclass(frozen=True)
class Repriced:
    """A study before and after; versions: those that are new."""

    before: Comparison
    after: Comparison
    versions: tuple[Version, ...]

    @property
    def study(self) -> Study:
        return self.before.study

    @property
    def horizon(self) -> int:
        return self.study.settings.horizon

    @property
    def counted(self) -> tuple[Version, ...]:
        """The new versions that hold within the horizon for some scenario, in order of their start."""
        used = [version for version in self.versions if version.tariff in self.study.tariffs]
        return tuple(sorted((v for v in used if self.month_of(v) <= self.horizon), key=lambda one: one.start))

    @property
    def tariffs(self) -> tuple[str, ...]:
        """The tariffs that have a new version, those that scenarios use."""
        return tuple(dict.fromkeys(v.tariff for v in self.versions if v.tariff in self.study.tariffs))

    def month_of(self, version: Version) -> int:
        """The first month in which a version holds; the first of all where it begins before the study."""
        return max(0, months_between(self.study.settings.start, version.start)) + 1

    @property
    def first(self) -> int:
        """The first month that may change; one past the horizon where none does."""
        return min((self.month_of(version) for version in self.counted), default=self.horizon + 1)

    @property
    def shown_month(self) -> int:
        """The month for which prices are told: the first that changes, within the horizon."""
        return min(self.first, self.horizon)

    @cached_property
    def pairs(self) -> tuple[tuple[Ground, Ground], ...]:
        """Each scenario before and after."""
        return tuple(zip(self.before.built.grounds, self.after.built.grounds, strict=True))

    @cached_property
    def costs(self) -> tuple[dict[str, Cost], dict[str, Cost]]:
        """What each scenario costs before and after, and how much of it scales with the tariffs' prices."""
        return costs(self.before, self.tariffs), costs(self.after, self.tariffs)

    def months(self, name: str, number: int) -> tuple[Array, Array]:
        """A column of a scenario's months before and after."""
        one, other = self.pairs[number]
        return self.before.of(one.month(name)), self.after.of(other.month(name))

    def measure(self, name: str, number: int) -> Pair:
        """A measure of a scenario, or why there is none."""
        one, other = self.pairs[number]
        return Pair(told(self.before, one.measure(name), 0)[0], told(self.after, other.measure(name), 0)[0])


def repriced(before: Comparison, after: Comparison, versions: Sequence[Version]) -> Repriced:
    """Hold two comparisons of one study against each other.

    Raises PastError where a month before the first new version does not keep its cost to the cent.
    """
    found = Repriced(before, after, tuple(versions))
    for number, (ground, _) in enumerate(found.pairs):
        for line in LINES:
            one, other = (values[: found.first] for values in found.months(line.name, number))
            for month in np.flatnonzero(abs(one - other) >= LEVEL):
                since = min(f"{version.start:%Y-%m}" for version in versions)
                amounts = float(one[month]), float(other[month])
                raise PastError(ground.scenario.scenario, line.label, ground.months.rows[month], amounts, since)
    return found


def changed_lines(found: Repriced) -> list[str]:
    """The cost lines of which some month changes for some scenario."""
    return [
        line.name
        for line in LINES
        if any(
            np.abs(np.subtract(*found.months(line.name, number))).max() >= LEVEL for number in range(len(found.pairs))
        )
    ]


def from_then_on(found: Repriced, number: int) -> Pair:
    """A scenario's electricity a month, on average over the months from the first that changes."""
    return Pair(*(float(values[found.shown_month :].mean()) for values in found.months("electricity", number)))


def kwh_price(comparison: Comparison, ground: Ground, month: int) -> Figure:
    """The price of a kWh in a month: the tariff's flat one, or what the build's kWh add to the bill, each."""
    tariff = ground.scenario.tariff
    if not tariff:
        return "none: no tariff"
    flat = comparison.built.model.columns.get(f"calendar.price {tariff}")
    if flat is not None:
        return float(comparison.of(flat)[month])
    column = ground.own("bill", "marginal_price")
    return absent(column, month, comparison.figures) or float(comparison.of(column)[month])


def price_pair(found: Repriced, number: int, month: int) -> Pair:
    """The price of a scenario's kWh in a month."""
    one, other = found.pairs[number]
    return Pair(kwh_price(found.before, one, month), kwh_price(found.after, other, month))


def places(comparison: Comparison) -> dict[str, Figure]:
    """Each scenario's place by life-cycle cost, equal ones alike; why it has none where it is not ranked."""
    ranked = comparison.ranked()
    costs = [cents(comparison.measure(ground, "lcc")) for ground in ranked]
    meeting = [cost for cost, ground in zip(costs, ranked, strict=True) if comparison.meets(ground)]
    return {
        ground.scenario.scenario: float(meeting.index(cost) + 1) if comparison.meets(ground) else NOT_RANKED
        for ground, cost in zip(ranked, costs, strict=True)
    }


def ranking(found: Repriced) -> dict[str, Pair]:
    """Each scenario's place before and after, in the order of the study."""
    before, after = places(found.before), places(found.after)
    return {ground.scenario.scenario: Pair(*(way[ground.scenario.scenario] for way in (before, after)))
            for ground, _ in found.pairs}  # fmt: skip


def meetings(found: Repriced, number: int) -> dict[str, Pair]:
    """Where a scenario and the baseline cross before and after, by name; `none` where there is no such crossing."""
    sides = []
    for comparison, ground in zip((found.before, found.after), found.pairs[number], strict=True):
        named = enumerate(crossings(comparison, ground), start=1)
        sides.append({f"crossing_{n}_{'ahead' if ahead else 'behind'}": month for n, (month, ahead) in named})
    before, after = sides
    return {name: Pair(before.get(name, "none"), after.get(name, "none")) for name in sorted({*before, *after})}


def costs(comparison: Comparison, tariffs: Sequence[str]) -> dict[str, Cost]:
    """Each scenario's life-cycle cost, and its part that scales with those tariffs: what twice their amounts add."""
    twice = {column: 2 * comparison.of(column) for column in amounts(comparison, tariffs)}
    figures = evaluate(comparison.built.model, twice) if twice else comparison.figures
    found = {}
    for ground in comparison.built.grounds:
        lcc = comparison.measure(ground, "lcc")
        found[ground.scenario.scenario] = Cost(lcc, float(figures[ground.measure("lcc")][0]) - lcc)
    return found


def amounts(comparison: Comparison, tariffs: Sequence[str]) -> list[Column]:
    """The given amounts of money of some tariffs: prices, charges, minimum, what is paid for power sold."""
    tables = {f"{kind} {tariff}" for tariff in tariffs for kind in ("tariff", "charges")}
    return [
        column
        for column in comparison.built.model.columns.values()
        if column.table.name in tables and column.values is not None and is_money(column)
    ]


def is_money(column: Column) -> bool:
    """Whether a column is an amount of money, for whatever."""
    return column.unit is not None and any(name.startswith("[money_") for name in column.unit.dimensionality)


def break_evens(found: Repriced) -> list[BreakEven]:
    """The cheapest of those that rank against each other scenario, then the baseline against the rest."""
    names = [ground.scenario.scenario for ground, _ in found.pairs]
    cheapest = found.after.ranked()[0].scenario.scenario
    baseline = found.after.built.baseline.scenario.scenario
    wanted = [(cheapest, name) for name in names if name != cheapest]
    wanted += [(baseline, name) for name in names if name not in (baseline, cheapest) and baseline != cheapest]
    return [break_even(found, one, other) for one, other in wanted]


def break_even(found: Repriced, one: str, other: str) -> BreakEven:
    """Where two scenarios cost the same, before and after."""
    factor = Pair(*(level_factor((one, side[one]), (other, side[other])) for side in found.costs))
    price = level_with(found, one, other)
    return BreakEven(
        one, other, factor, Pair(*map(times, (factor.before, factor.after), (price.before, price.after)))
    )


def level_with(found: Repriced, one: str, other: str) -> Pair:
    """The price of a kWh by which two scenarios are held against each other: that of `other`, if it is repriced."""
    grounds = [ground.scenario for ground, _ in found.pairs]
    numbers = [number for name in (other, one) for number, own in enumerate(grounds) if own.scenario == name]
    numbers.sort(key=lambda number: grounds[number].tariff not in found.tariffs)
    both = [price_pair(found, number, found.shown_month) for number in numbers]
    return next((pair for pair in both if isinstance(pair.after, float)), both[0])


def times(factor: Figure, price: Figure) -> Figure:
    """What a factor makes of a price, or why there is none."""
    if isinstance(factor, str):
        return factor
    return price if isinstance(price, str) else factor * price


def level_factor(one: tuple[str, Cost], other: tuple[str, Cost]) -> Figure:
    """The multiple of the prices at which two named scenarios cost the same; why there is none from nothing up."""
    (name, mine), (second, theirs) = one, other
    apart = mine.electricity - theirs.electricity
    if abs(apart) < LEVEL:
        return "none: their electricity costs the same"
    factor = 1.0 - (mine.lcc - theirs.lcc) / apart
    cheaper = name if mine.lcc < theirs.lcc else second
    return factor if factor >= 0 else f"none: {cheaper} costs less at any price"


def reprice_rows(found: Repriced) -> Iterator[CsvRow]:
    """Every figure of reprice.csv: totals first, with an empty month, then by month what changed."""
    ranked, money = ranking(found), found.study.settings.currency
    for number, (ground, _) in enumerate(found.pairs):
        name = ground.scenario.scenario
        yield row(name, "electricity_from_then_on", "", from_then_on(found, number), f"{money}/month")
        for line in dict.fromkeys(["electricity", *changed_lines(found)]):
            yield row(name, f"total_{line}", "", found.measure(f"total_{line}", number), money)
        for measure in MEASURES:
            yield row(name, measure, "", found.measure(measure, number), money)
        yield row(name, "place", "", ranked[name], "")
        for crossing, pair in meetings(found, number).items():
            yield row(name, crossing, "", pair, "month")
    for one in break_evens(found):
        yield row(one.other, f"level_factor_with_{one.one}", "", one.factor, "")
        yield row(one.other, f"level_price_with_{one.one}", "", one.price, f"{money}/kWh")
    yield from monthly_rows(found)


def monthly_rows(found: Repriced) -> Iterator[CsvRow]:
    """The price of a kWh, electricity, whatever else changed and all together, month by month."""
    money = found.study.settings.currency
    for number, (ground, _) in enumerate(found.pairs):
        name = ground.scenario.scenario
        if ground.scenario.tariff:
            for month in range(1, found.horizon + 1):
                yield row(name, "price", month, price_pair(found, number, month), f"{money}/kWh")
        for line in dict.fromkeys(["electricity", *changed_lines(found), "total"]):
            unit = written(ground.month(line).unit)
            for month, (one, other) in enumerate(zip(*found.months(line, number), strict=True)):
                yield row(name, line, month, Pair(float(one), float(other)), unit)


def row(scenario: str, figure: str, month: int | str, pair: Pair, unit: str) -> CsvRow:
    """One row of reprice.csv; a figure that there is not has no unit of its own but the other side's."""
    return scenario, figure, month, pair.before, pair.after, pair.change, unit
