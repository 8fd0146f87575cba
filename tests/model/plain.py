"""The model again, as plain loops over months: no engine, no renewal equation; only the inputs are shared.

Who fails and wears is followed as a population, moved on month by month: plain_failing.py. Slow, and easy to read
beside the definitions.
"""

from __future__ import annotations

import math
from collections import defaultdict
from datetime import UTC, datetime
from functools import cached_property
from itertools import pairwise
from zoneinfo import ZoneInfo

from tco.study import Fee, Node, Part, Row, Scenario, Study, Version
from tests.model.plain_failing import Kind, Story, Unit, Writes, chances, spares, story, wearing

Months = list[float]
HOURS_OF_A_MONTH = 8760 / 12  # for spares, whatever the month's own length
LINES = (
    "purchase",
    "owned",
    "one_off",
    "electricity",
    "replacement",
    "spares",
    "fees",
    "upkeep",
    "insurance",
    "resale",
    "disposal",
)


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
        lines = {name: [0.0] * (self.horizon + 1) for name in LINES}
        for part in self.scenario.parts:
            lines["purchase"][part.bought] += part.quantity * self.price(part, part.bought, shipping=True)
            if part.fetches_today and self.settings.owned_gear == "cost":
                net = part.fetches_today * (1 - self.settings.selling_share) - part.selling_cost
                lines["owned"][part.bought] += part.quantity * net
        for part, told in self.stories:
            self.follow(part, told, lines)
            self.insure(self.instead(part), part.quantity, part.bought, self.leaving(part), lines)
        self.shelve(lines)
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

    # Replacements

    def leaving(self, part: Part) -> int:
        """The month at whose end a part leaves."""
        return self.horizon if part.leaves is None else part.leaves

    def kind(self, part: Part, written: Months | None) -> Kind:
        """What a part does: it fails by its own curve, and wears by what is written to its place, TB by month."""
        return Kind(part, chances(self.study.failures.get(part.failures, ())), wearing(part, written))

    def instead(self, part: Part) -> Part:
        """What is bought in place of a failed or worn one."""
        return self.parts[part.replaced_by] if part.replaced_by else part

    @cached_property
    def stories(self) -> list[tuple[Part, Story]]:
        """Each row, and what becomes of one of its units."""
        writes, found = Writes(self.study, self.scenario, self.hours), []
        for part in self.scenario.parts:
            written, new = writes.to_one(part), self.instead(part)
            first = self.kind(part, written)
            later = first if new is part else self.kind(new, written)
            found.append((part, story(first, later, self.leaving(part))))
        return found

    def follow(self, part: Part, told: Story, lines: dict[str, Months]) -> None:
        """All units of one row, from buying to leaving: what those cost that are replaced, what the rest fetches."""
        leaves, new = self.leaving(part), self.instead(part)
        for event in told.events:
            claim = (event.unit.kind.part.claim or 0.0) * self.others(event.month)
            each = claim if event.what == "covered" else self.price(new, event.month, shipping=True)
            lines["replacement"][event.month] += part.quantity * event.count * each
        for unit, count in told.left.items():
            self.let_go(unit, part.quantity * count, leaves, lines)

    def let_go(self, unit: Unit, count: float, month: int, lines: dict[str, Months]) -> None:
        """Sell or scrap units."""
        lines["disposal"][month] += count * unit.kind.part.disposal * self.others(month)
        if unit.kind.part.resale:
            lines["resale"][month] -= count * self.sale(unit, month)

    def insure(self, new: Part, count: float, first: int, last: int, lines: dict[str, Months]) -> None:
        """A twelfth of a year's premium in each month in which units stand there, of what new ones cost then."""
        for month in range(first + 1, last + 1):
            value = self.price(new, month, shipping=True) + new.fetches_today * self.moved(new, month)
            lines["insurance"][month] += count * value * self.settings.extra["insurance"] / 12

    def shelve(self, lines: dict[str, Months]) -> None:
        """Buy the spares for all rows that a part replaces in with the first of them, let them go with the last."""
        confidence, lead = (self.settings.extra.get(f"spares_{name}") for name in ("confidence", "lead_time"))
        if confidence is None or lead is None:
            return
        served: dict[str, list[tuple[Part, float]]] = defaultdict(list)
        for part, told in self.stories:
            failures = told.by_month(self.horizon, "covered", "paid")
            if part.quantity and any(failures):
                mean = part.quantity * max(failures) * lead / HOURS_OF_A_MONTH
                served[self.instead(part).part].append((part, mean))
        for rows in served.values():
            part = self.instead(rows[0][0])  # where rows of one name differ, the first of them
            count = spares(sum(mean for _, mean in rows), confidence)
            first, last = min(row.bought for row, _ in rows), max(self.leaving(row) for row, _ in rows)
            lines["spares"][first] += count * self.price(part, first, shipping=True)
            self.insure(part, count, first, last, lines)
            self.let_go(Unit(self.kind(part, None), first, first), count, last, lines)

    def sale(self, unit: Unit, month: int) -> float:
        """What one unit fetches, net."""
        part = unit.kind.part
        curve = self.study.resale[part.resale]
        bought_new = part.age == 0 and part.price > 0
        ratio = self.share(curve, part.age + month - unit.came) / (1 if bought_new else self.share(curve, part.age))
        own_price = curve[0].base == "own price"
        priced = self.price(part, unit.came if own_price else month, shipping=False)
        priced += part.fetches_today * self.moved(part, unit.came if own_price else month)
        if own_price and self.settings.money == "real":
            priced /= (1 + self.settings.inflation) ** ((month - unit.came) / 12)
        selling = part.selling_cost * self.others(month)
        return priced * ratio * self.settings.extra["resale_level"] * (1 - self.settings.selling_share) - selling

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

    @cached_property
    def hours(self) -> Months:
        """True hours of each month; month 0 is a moment."""
        place, start = ZoneInfo(self.settings.time_zone), self.settings.start
        starts = [start.year * 12 + start.month - 1 + month for month in range(self.horizon + 1)]
        moments = [datetime(i // 12, i % 12 + 1, 1, tzinfo=place).astimezone(UTC) for i in starts]
        return [0.0, *((end - begin).total_seconds() / 3600 for begin, end in pairwise(moments))]

    def kwh(self, month: int) -> float:
        return self.watts(month) * self.hours[month] / 1000

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
            with_it = part.bought == first if part.on_top is None else not part.on_top
            if self.is_there(part, month) and not (part.node in measured and with_it):
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
