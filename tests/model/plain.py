"""The model again, as plain loops over months: no engine, no renewal equation; only the inputs are shared.

Failures are followed as a population: shares of units by (which part, age since bought, month bought), moved on month
by month. Slow, and easy to read beside the definitions.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from tco.study import Fee, Node, Part, Row, Scenario, Study, Version

Months = list[float]


@dataclass(frozen=True, eq=False)
class Unit:
    """A unit in a slot: which part, and the month in which it was bought."""

    part: Part
    bought: int


def own_watts(part: Part, *, busy: bool) -> float:
    """What one part draws, where its watts are counted."""
    return part.busy if busy and part.busy is not None else part.idle


def is_measured(node: Node) -> bool:
    """Whether a node's power was measured at the plug, or logged there."""
    return node.measured_idle is not None or bool(node.log)


def measured_watts(node: Node, *, busy: bool) -> float:
    """What one measured node draws; what a log says comes hour by hour, see plain_bills.py."""
    if node.measured_idle is None:
        return 0.0
    return node.measured_busy if busy and node.measured_busy is not None else node.measured_idle


class Plain:
    """One scenario's lines by month, month 0 first."""

    def __init__(self, study: Study, scenario: Scenario) -> None:
        self.study, self.scenario, self.settings = study, scenario, study.settings
        self.horizon = study.settings.horizon
        self.parts = {part.part: part for part in scenario.parts}

    def lines(self) -> dict[str, Months]:
        names = ("purchase", "owned", "one_off", "electricity", "replacement", "fees", "upkeep", "resale", "disposal")
        lines = {name: [0.0] * (self.horizon + 1) for name in names}
        for part in self.scenario.parts:
            lines["purchase"][part.bought] += part.quantity * self.price(part, part.bought, shipping=True)
            if part.fetches_today and self.settings.owned_gear == "cost":
                net = part.fetches_today * (1 - self.settings.selling_share) - part.selling_cost
                lines["owned"][part.bought] += part.quantity * net
            self.follow(part, lines)
        for one_off in self.scenario.one_offs:
            lines["one_off"][one_off.month] += self.in_money(one_off, "amount", one_off.month)
        for month in range(1, self.horizon + 1):
            lines["electricity"][month] = self.electricity(month)
            lines["fees"][month] = self.fees(month)
            lines["upkeep"][month] = self.scenario.upkeep * self.settings.hour_value * self.others(month)
        return lines

    def price(self, part: Part, month: int, *, shipping: bool) -> float:
        taxed = part.price * (1 + self.settings.tax) if part.tax == "added" else part.price
        return taxed * self.moved(part, month) + (part.shipping * self.others(month) if shipping else 0)

    def moved(self, part: Part, month: int) -> float:
        """What a price of 1 at the start has become, by trend or path."""
        if part.price_path:
            return self.along(part.price_path, month)
        return (1 + self.rate(part, "price_trend")) ** self.grown(month)

    def others(self, month: int) -> float:
        """What prices without a growth of their own have become."""
        return (1 + self.rate(self.settings, "other_growth")) ** self.grown(month)

    def rate(self, row: Row, name: str) -> float:
        """A yearly rate in the study's kind of money."""
        rate, kind, own = getattr(row, name), row.kinds.get(name), self.settings.money
        if kind is None or kind == own:
            return rate
        up = 1 + self.settings.inflation
        return (1 + rate) * up - 1 if own == "nominal" else (1 + rate) / up - 1

    def in_money(self, row: Row, name: str, month: int) -> float:
        """An amount of a month in the study's kind of money."""
        amount, kind, own = getattr(row, name), row.kinds.get(name), self.settings.money
        if kind is None or kind == own:
            return amount
        level = (1 + self.settings.inflation) ** (month / 12)
        return amount * level if own == "nominal" else amount / level

    def along(self, path: str, month: int) -> float:
        """A price path by month: geometric between years' ends, or the year's index at once."""
        index = {0: 1.0} | {p.year: self.in_money(p, "index", 12 * p.year) for p in self.study.paths[path]}
        year = math.ceil(month / 12)
        if self.settings.growth_step == "year" or month % 12 == 0:
            return index[year]
        low, high = math.log(index[year - 1]), math.log(index[year])
        return math.exp(low + (high - low) * (month / 12 - year + 1))

    def grown(self, month: int) -> float:
        """Years of growth by a month: twelfths, or whole years with the first grown from its first month."""
        return month / 12 if self.settings.growth_step == "month" else math.ceil(month / 12)

    def chance(self, part: Part, age: int) -> float:
        if not part.failures:
            return 0.0
        point = [p for p in self.study.failures[part.failures] if p.age <= age][-1]
        return point.chance if point.chance is not None else 1 - math.exp(-point.rate / 12)

    def follow(self, part: Part, lines: dict[str, Months]) -> None:
        """All units of one row, from buying to leaving: who fails, what replaces them, who is left."""
        leaves = self.horizon if part.leaves is None else part.leaves
        new = self.parts[part.replaced_by] if part.replaced_by else part
        there: dict[Unit, float] = {Unit(part, part.bought): float(part.quantity)}
        for month in range(part.bought + 1, leaves + 1):
            failed, left = 0.0, defaultdict(float)
            for unit, count in there.items():
                dying = count * self.chance(unit.part, unit.part.age + month - 1 - unit.bought)
                failed += dying
                left[unit] += count - dying
            left[Unit(new, month)] += failed
            lines["replacement"][month] += failed * self.price(new, month, shipping=True)
            there = dict(left)
        for unit, count in there.items():
            lines["disposal"][leaves] += count * unit.part.disposal * self.others(leaves)
            if unit.part.resale:
                lines["resale"][leaves] -= count * self.sale(unit, leaves)

    def sale(self, unit: Unit, month: int) -> float:
        """What one unit fetches, net."""
        part = unit.part
        curve = self.study.resale[part.resale]
        ratio = self.share(curve, part.age + month - unit.bought) / self.share(curve, part.age)
        own_price = curve[0].base == "own price"
        priced = self.price(part, unit.bought if own_price else month, shipping=False)
        priced += part.fetches_today * self.moved(part, unit.bought if own_price else month)
        if own_price and self.settings.money == "real":
            priced /= (1 + self.settings.inflation) ** ((month - unit.bought) / 12)
        selling = part.selling_cost * self.others(month)
        return priced * ratio * (1 - self.settings.selling_share) - selling

    @staticmethod
    def share(curve: tuple, age: int) -> float:  # type: ignore[type-arg]
        """Geometric between points; beyond the last, the last two points' ratio goes on."""
        ages, shares = [p.age for p in curve], [p.share for p in curve]
        if age in ages:
            return shares[ages.index(age)]
        after = next((i for i, a in enumerate(ages) if a > age), len(ages) - 1)
        low, high = shares[after - 1], shares[after]
        way = (age - ages[after - 1]) / (ages[after] - ages[after - 1])
        return math.exp(math.log(low) + way * (math.log(high) - math.log(low))) if low and high else 0.0

    def kwh(self, month: int) -> float:
        place, start = ZoneInfo(self.settings.time_zone), self.settings.start
        index = start.year * 12 + start.month - 1 + month - 1
        begin, end = (datetime(i // 12, i % 12 + 1, 1, tzinfo=place).astimezone(UTC) for i in (index, index + 1))
        return self.watts(month) * (end - begin).total_seconds() / 3600 / 1000

    def watts(self, month: int) -> float:
        share = self.scenario.busy_share
        return (1 - share) * self.drawn(month, busy=False) + share * self.drawn(month, busy=True)

    def drawn(self, month: int, *, busy: bool) -> float:
        """Watts of all that is there in a month, idle or all busy at once."""
        parts = sum(part.quantity * own_watts(part, busy=busy) for part in self.counted(month))
        return parts + sum(node.count * measured_watts(node, busy=busy) for node in self.measured(month))

    def counted(self, month: int) -> list[Part]:
        """Parts that are there and that no measurement covers."""
        measured = {node.node for node in self.scenario.nodes if is_measured(node)}
        found = []
        for part in self.scenario.parts:
            first = min((p.bought for p in self.scenario.parts if p.node == part.node and p.quantity), default=-1)
            if self.is_there(part, month) and not (part.node in measured and part.bought == first):
                found.append(part)
        return found

    def measured(self, month: int) -> list[Node]:
        """Measured nodes that are there: as long as what they were bought with."""
        found = []
        for node in filter(is_measured, self.scenario.nodes):
            own = [part for part in self.scenario.parts if part.node == node.node and part.quantity]
            if own and self.is_there(min(own, key=lambda part: part.bought), month):
                found.append(node)
        return found

    def is_there(self, part: Part, month: int) -> bool:
        return part.bought < month <= (self.horizon if part.leaves is None else part.leaves)

    def electricity(self, month: int) -> float:
        """What the build's electricity costs by a price of a kWh; for bills of another kind see plain_bills.py."""
        if not self.scenario.tariff:
            return 0.0
        version = self.version(month)
        price = self.in_money(version, "price", self.begins(version))
        return self.kwh(month) * price * self.price_level(version, month)

    def version(self, month: int) -> Version:
        """The version of the tariff that is in force in a month."""
        return [v for v in self.study.tariffs[self.scenario.tariff] if self.since(v) <= month - 1][-1]

    def begins(self, version: Version) -> int:
        """The month whose price a version says: the start, or its first month."""
        return self.since(version) + 1 if self.since(version) > 0 else 0

    def price_level(self, version: Version, month: int) -> float:
        """What 1 in the money of a version has become by a month."""
        begins = self.begins(version)
        if version.path:
            return self.along(version.path, month) / self.along(version.path, begins)
        growth = 0.0 if version.growth is None else self.rate(version, "growth")
        if version.growth is None and version is self.study.tariffs[self.scenario.tariff][-1]:
            growth = self.rate(self.settings, "electricity_growth")
        return (1 + growth) ** (self.grown(month) - self.grown(begins))

    def since(self, version: Version) -> int:
        start = self.settings.start
        return (version.start.year - start.year) * 12 + version.start.month - start.month

    def fees(self, month: int) -> float:
        s = self.settings
        held = s.data_held * (1 + s.data_growth) ** (month / 12) + s.data_added * month / 12
        due = [f for f in self.scenario.fees if f.first <= month <= (self.horizon if f.last is None else f.last)]
        return sum((f.amount + f.amount_per_TB * held) * self.fee_level(f, month) for f in due)

    def fee_level(self, fee: Fee, month: int) -> float:
        """What a fee of 1 at the start has become."""
        return self.along(fee.path, month) if fee.path else (1 + self.rate(fee, "growth")) ** self.grown(month)
