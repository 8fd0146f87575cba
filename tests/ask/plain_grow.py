"""Buying as data grow again, as a plain loop over months: no model, no engine; only the inputs are shared.

What is there is a list of rows; usable capacity is found from its definition by halving, nodes and places are counted
one by one. Slow, and easy to read beside the rule.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from tco.study import Part, Pool, Purchase, Scenario, Study

NEAR = 1e-9


@dataclass(frozen=True)
class Here:
    """So many of a part in a group of nodes, from the month after `bought` until `leaves`."""

    part: Part
    group: str
    quantity: int
    bought: int
    leaves: int | None

    def is_there(self, month: int) -> bool:
        """Month 0 has what month 1 has."""
        return self.bought < max(month, 1) and (self.leaves is None or max(month, 1) <= self.leaves)


@dataclass(frozen=True)
class Stock:
    """What a scenario has: rows, and how many nodes each group has."""

    rows: tuple[Here, ...]
    nodes: dict[str, int]


@dataclass
class Plain:
    """The plan of one scenario. bought: (purchase, number, month, paid then), in order."""

    study: Study
    scenario: Scenario
    ahead: int
    bought: list[tuple[str, int, int, float]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.horizon = self.study.settings.horizon
        self.parts = {part.part: part for part in self.scenario.parts}
        self.offers: dict[str, list[Purchase]] = {}
        for row in self.scenario.purchases:
            self.offers.setdefault(row.purchase, []).append(row)
        rows = tuple(Here(part, part.node, part.quantity, part.bought, part.leaves) for part in self.scenario.parts)
        self.stock = Stock(rows, {node.node: node.count for node in self.scenario.nodes})
        self.outgrown: int | None = None
        for month in range(self.horizon + 1):
            self.look(month)

    def held(self, month: int) -> float:
        """Data held [TB]."""
        own = self.study.settings
        return own.data_held * (1 + own.data_growth) ** (month / 12) + own.data_added * month / 12

    def is_above(self, month: int, of: int) -> bool:
        """Whether the data of a month are more than the room of another."""
        return self.held(month) - room(self.scenario, self.stock, of) > NEAR * self.held(month)

    def look(self, due: int) -> None:
        """One month: buy until its data fit, or nothing that helps is left."""
        month = max(due - self.ahead, 0)
        first = due if month < due or due == 0 else due + 1
        if first > self.horizon or not (self.is_above(due, due) and self.is_above(due, first)):
            return
        count, stock = len(self.bought), self.stock  # all that made more room so far
        while self.is_above(due, first) and self.buy_next(month):
            if room(self.scenario, self.stock, first) > room(self.scenario, stock, first) * (1 + NEAR):
                count, stock = len(self.bought), self.stock
        self.stock = stock
        del self.bought[count:]
        if self.is_above(due, first) and self.outgrown is None:
            self.outgrown = due

    def buy_next(self, month: int) -> bool:
        """Buy the first by turn that may be bought and fits; whether there was one."""
        turns = [name for name in self.offers if self.said(name, "turn") is not None]
        times = Counter(name for name, *_ in self.bought)
        for name in sorted(turns, key=lambda name: self.said(name, "turn")):
            if times[name] >= (self.said(name, "most") or 1):
                continue
            wanted = [one for one in [*self.needed(name), name] if not times[one] or one == name]
            if self.clashes(wanted, times) or (month and any(map(self.changes_link, wanted))):
                continue
            stock: Stock | None = self.stock
            for one in wanted:
                stock = stock and self.with_one(stock, one, times[one] + 1, month)
            if stock and self.fits(stock):
                self.stock = stock
                self.bought += [(one, times[one] + 1, month, self.price(one, month)) for one in wanted]
                return True
        return False

    def said(self, name: str, field_name: str) -> int | None:
        """What the first row that says it says of a purchase."""
        return next((getattr(row, field_name) for row in self.offers[name] if field_name in row.places), None)

    def needed(self, name: str) -> list[str]:
        """What a purchase needs, the deepest first."""
        found: list[str] = []
        for row in self.offers[name]:
            for other in row.needs:
                found += [one for one in [*self.needed(other), other] if one not in found]
        return found

    def clashes(self, wanted: Sequence[str], times: Counter[str]) -> bool:
        """Whether any two of what is there and what is wanted exclude each other."""
        every = {*wanted, *(name for name in times if times[name])}
        pairs = {(name, other) for name in every for row in self.offers[name] for other in row.excludes}
        return any(other in every and (name in wanted or other in wanted) for name, other in pairs)

    def changes_link(self, name: str) -> bool:
        return any(row.client_link or row.replication_link for row in self.offers[name])

    def with_one(self, stock: Stock, name: str, number: int, month: int) -> Stock | None:
        """What is there with one purchase more; None where too few are there to go."""
        rows, nodes = list(stock.rows), dict(stock.nodes)
        made: dict[str, int] = {}
        for row in self.offers[name]:
            if row.more_nodes:
                group = row.node or self.parts[row.part].node
                made[group] = max(made.get(group, 0), row.more_nodes)
        nodes |= {f"{group} {name} {number}": count for group, count in made.items()}
        came = []
        for row in self.offers[name]:
            if row.part:
                group = row.node or self.parts[row.part].node
                group = f"{group} {name} {number}" if group in made else group
                came.append(Here(self.parts[row.part], group, row.quantity, month, None))
        for row in self.offers[name]:
            if row.in_place_of and not self.take_away(rows, row, month):
                return None
        return Stock((*rows, *came), nodes)

    def take_away(self, rows: list[Here], row: Purchase, month: int) -> bool:
        """What goes, the oldest first; whether there was enough."""
        left = row.quantity if row.going is None else row.going
        for one in sorted(rows, key=lambda one: one.bought):
            there = one.part.part == row.in_place_of and (one.leaves is None or one.leaves > month)
            number = min(left, one.quantity) if there else 0
            if number:
                place = rows.index(one)
                rows[place] = replace(one, quantity=one.quantity - number)
                if one.bought < month:
                    rows.append(replace(one, quantity=number, leaves=month))
                left -= number
        return left == 0

    def fits(self, stock: Stock) -> bool:
        """Whether nothing is scarcer in any month than it is now."""
        for month in range(1, self.horizon + 1):
            before, after = (lacking(one, month) for one in (self.stock, stock))
            if any(after[place] > before[place] + NEAR for place in after):
                return False
        return True

    def price(self, name: str, month: int) -> float:
        """What a purchase costs in a month."""
        return sum(row.quantity * self.price_of(self.parts[row.part], month) for row in self.offers[name] if row.part)

    def price_of(self, part: Part, month: int) -> float:
        """One unit with tax and shipping."""
        own = self.study.settings
        tax = own.tax if part.tax == "added" else 0.0
        moved, others = ((1 + rate) ** (month / 12) for rate in (part.price_trend, own.other_growth))
        return part.price * (1 + tax) * moved + part.shipping * others

    def above(self) -> list[float]:
        """By how much the data are above the room, in the months in which they are."""
        return [self.held(month) - room(self.scenario, self.stock, month)
                for month in range(self.horizon + 1) if self.is_above(month, month)]  # fmt: skip


def room(scenario: Scenario, stock: Stock, month: int) -> float:
    """What may be held within the fill limits."""
    return sum(pool.fill_limit * usable(pool, list(nodes_of(pool, stock, month))) for pool in scenario.pools)


def nodes_of(pool: Pool, stock: Stock, month: int) -> Iterator[float]:
    """The capacity of each node that has drives of a pool."""
    for group, count in stock.nodes.items():
        own = [one for one in stock.rows if one.group == group and one.part.pool == pool.pool and one.quantity]
        there = [one for one in own if one.is_there(month)]
        if there:
            yield from [sum((one.part.capacity or 0.0) * one.quantity for one in there) / count] * count


def usable(pool: Pool, nodes: Sequence[float]) -> float:
    """The largest U with sum min(c, U / k) >= p U / k, by halving; k pieces restore, p there are."""
    k = 1 if pool.copies is not None else (pool.data or 1)
    pieces = pool.copies if pool.copies is not None else k + (pool.parity or 0)
    if len(nodes) < pieces:
        return 0.0
    low, high = 0.0, sum(nodes) * k
    for _ in range(200):
        middle = (low + high) / 2
        enough = sum(min(one, middle / k) for one in nodes) >= pieces * middle / k
        low, high = (middle, high) if enough else (low, middle)
    return low


def lacking(stock: Stock, month: int) -> Counter[tuple[str, str]]:
    """Of each place how many too few there are in a month; more than nothing only."""
    used = [one for one in stock.rows if one.quantity]
    own = {(one.group, amount.name) for one in used for amount in one.part.provides}
    found: dict[tuple[str, str], float] = {}
    for one in used:
        if not one.is_there(month):
            continue
        for amount in one.part.provides:
            place = (one.group, amount.name)
            found[place] = found.get(place, 0.0) - one.quantity * amount.count
        for amount in one.part.needs:
            place = (one.group if (one.group, amount.name) in own else "", amount.name)
            found[place] = found.get(place, 0.0) + one.quantity * amount.count
    short: Counter[tuple[str, str]] = Counter()
    for place, number in found.items():
        if number > NEAR:
            short[place] = number / stock.nodes.get(place[0], 1)  # type: ignore[assignment]
    return short
