"""How many nodes, and which drives, hold the data asked for: the cheapest to buy of what the starting study lists.

A parts list of the starting study has drives and switches of several sizes; the one that is taken gets a quantity.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, fsum

from tco.gear import Amount
from tco.study import Part, Scenario

SURE = 1 + 1e-9  # never short by a rounding


@dataclass(frozen=True)
class Size:
    """How many nodes a build has, and how many of each part; parts that are not named have none."""

    nodes: int
    quantities: Mapping[str, int]


@dataclass(frozen=True)
class Choice:
    """One way to hold the data: so many nodes with so many drives of a kind each, and what that costs to buy."""

    nodes: int
    drives: int
    drive: Part
    price: float

    @property
    def rank(self) -> tuple[float, int]:
        """The cheapest first; of those the one with the fewest drives."""
        return round(self.price, 6), self.nodes * self.drives


def sized(scenario: Scenario, held: float) -> Size:
    """A build of the starting study for so many TB held within its fill limit."""
    best = min(choices(scenario, held), key=lambda one: one.rank)
    count = scenario.nodes[0].count
    inner = {part.part: part.quantity // count * best.nodes for part in inside(scenario)}
    return Size(best.nodes, shared(scenario.parts, {**inner, best.drive.part: best.nodes * best.drives}))


def inside(scenario: Scenario) -> list[Part]:
    """What the nodes are made of, without drives of the pool."""
    return [part for part in scenario.parts if part.node and not part.pool and part.quantity]


def choices(scenario: Scenario, held: float) -> Iterator[Choice]:
    """Every drive that is listed, in every number that a node has places for."""
    count = scenario.nodes[0].count
    body = fsum(paid(part) * part.quantity for part in inside(scenario)) / count
    for drive in (part for part in scenario.parts if part.pool):
        for drives in range(1, places(scenario, drive) + 1):
            nodes = nodes_for(scenario, held, drives * (drive.capacity or 0.0))
            yield Choice(nodes, drives, drive, nodes * (body + drives * paid(drive)))


def paid(part: Part) -> float:
    """What one costs until it is there."""
    return part.price + part.shipping


def places(scenario: Scenario, drive: Part) -> int:
    """How many drives of a kind one node has places for."""
    count = scenario.nodes[0].count
    free = {
        need.name: fsum(
            (amount(part.provides, need.name) - amount(part.needs, need.name)) * part.quantity / count
            for part in inside(scenario)
        )
        for need in drive.needs
    }
    return min(int(free[need.name] // need.count) for need in drive.needs)


def amount(amounts: Sequence[Amount], name: str) -> float:
    """How much of a thing there is among amounts; the starting study gives each in one unit."""
    return fsum(one.count for one in amounts if one.name == name)


def nodes_for(scenario: Scenario, held: float, one: float) -> int:
    """How many nodes of so many TB each; where the starting study has one to spare, the others hold all as well."""
    node, pool = scenario.nodes[0], scenario.pools[0]
    copies = pool.copies or 1
    full = ceil(copies * held / pool.fill_limit / one * SURE)
    return max(node.count, full + (node.count > copies))


def shared(parts: Sequence[Part], own: Mapping[str, int]) -> dict[str, int]:
    """Quantities with those of what nodes share: as many as what they provide is needed, of the cheapest kind."""
    found = dict(own)
    offers = {one.name: _offers(parts, one.name) for part in parts if not part.node for one in part.provides}
    for _ in offers:  # a UPS needs its battery, a switch its outlet: no chain is longer than the names are
        for name, kinds in offers.items():
            others = [part for part in parts if part not in kinds]
            needed = fsum(found.get(part.part, 0) * amount(part.needs, name) for part in others)
            found.update(_taken(kinds, name, needed))
    return found


def _offers(parts: Sequence[Part], name: str) -> list[Part]:
    """The kinds of shared parts that provide a thing."""
    return [part for part in parts if not part.node and amount(part.provides, name)]


def _taken(kinds: Sequence[Part], name: str, needed: float) -> dict[str, int]:
    """How many of each kind: those of the cheapest that suffice, none of the others."""

    def many(part: Part) -> int:
        return ceil(needed / (amount(part.provides, name) - amount(part.needs, name)))

    best = min(kinds, key=lambda part: many(part) * paid(part))
    return {part.part: many(part) if part is best else 0 for part in kinds}
