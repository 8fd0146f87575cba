"""What sets of purchases make of a scenario, many sets at once: quantities, links, owned gear sold, price.

The rules of offers.py, which buys one after the other, as arrays: rows of the parts list are the scenario's own, then
all that may come. tests/ask/test_spend_batch.py holds both against each other.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tco.ask.compare import Comparison
from tco.ask.offers import arriving, makes, more_nodes, sale, sorted_by_age
from tco.ask.spend_offers import Candidate, Flags
from tco.engine import Array
from tco.errors import Place
from tco.model.measured import measured_nodes
from tco.model.shelf import CONFIDENCE, LEAD_TIME
from tco.purchase import LINKS, Purchase
from tco.study import Node, OneOff, Part, Scenario, Study

NOWHERE = Place("purchases.csv")


@dataclass(frozen=True)
class Going:
    """What goes for a row of a purchase: how many, from which rows of the parts list, the first in front."""

    count: int
    rows: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class Outcome:
    """What sets of candidates come to.

    quantity: shape (sets, rows). sold: what owned gear brings, negative [money], shape (sets, rows). links: by field
    of a group of nodes [Gbit/s], NaN where there is none, shape (sets, groups). lacking: whether more would go than
    are there. there: which groups of nodes are there, shape (sets, groups).
    """

    quantity: Array
    sold: Array
    links: dict[str, Array]
    lacking: Flags
    there: Flags


class Stock:
    """A scenario's parts and nodes with all that its candidates bring; own: how many rows are the scenario's own."""

    def __init__(self, study: Study, scenario: Scenario, own: Sequence[Candidate]) -> None:
        self.study, self.scenario, self.candidates = study, scenario, own
        self.own = len(scenario.parts)
        self.parts: list[Part] = list(scenario.parts)
        self.nodes: list[Node] = list(scenario.nodes)
        self.came: list[range] = []
        self.going: list[list[Going]] = []
        self.made: list[dict[int, int]] = []  # by candidate: new group -> the group that it is like
        groups = {part.part: part.node for part in scenario.parts}
        for one in own:
            self.going.append([self.goes(row) for row in one.bought.offer.rows if row.in_place_of])
            self.came.append(self.comes(one, makes(one.bought.offer, groups)))
            self.made.append(dict(self.new_groups(one, makes(one.bought.offer, groups))))
        self.each = np.array([self.fetches(part) for part in self.parts])

    @property
    def is_moving(self) -> bool:
        """Whether what a measured node's measurement covers may change with what went before."""
        names = {node.node for node in measured_nodes(self.scenario)}
        own = [part for part in self.scenario.parts if part.node in names and part.quantity]
        several = {name for name in names if len({part.bought for part in own if part.node == name}) > 1}
        goes = {row.in_place_of for one in self.candidates for row in one.bought.offer.rows}
        return any(part.node in several and part.part in goes for part in own)

    @property
    def keeps_spares(self) -> bool:
        """Whether spares are bought at the start, as many as quantities ask for."""
        return all(self.study.settings.extra.get(name) is not None for name in (CONFIDENCE, LEAD_TIME))

    @property
    def counts_above(self) -> bool:
        """Whether quantities go into what is counted above the engine: spares, or writes to a unit by its pool."""
        rated = {part.part for part in self.parts if part.endurance is not None}
        written = {pool.pool for pool in self.scenario.pools if pool.written is not None}
        by_pool = (part for part in self.parts if part.written is None and {part.pool, part.takes_first} & written)
        return self.keeps_spares or any({part.part, part.replaced_by} & rated for part in by_pool)

    def goes(self, row: Purchase) -> Going:
        """Where what goes for a row is taken from: what was there, or was bought, before."""
        rows = {id(part): number for number, part in enumerate(self.parts)}
        own = (part for part in sorted_by_age(self.parts) if row.in_place_of in (part.part, part.origin))
        return Going(row.goes, tuple(rows[id(part)] for part in own))

    def comes(self, one: Candidate, made: dict[str, int]) -> range:
        """The rows that a candidate adds."""
        first, listed = len(self.parts), {part.part: part for part in self.scenario.parts}
        rows = [row for row in one.bought.offer.rows if row.part]
        self.parts += [arriving(self.scenario, listed, row, one.bought, made) for row in rows]
        return range(first, len(self.parts))

    def new_groups(self, one: Candidate, made: dict[str, int]) -> Iterator[tuple[int, int]]:
        """The groups of nodes that a candidate adds, each with the place of the one that it is like."""
        like = [place for place, node in enumerate(self.nodes) if node.node in made]
        for place, node in zip(like, list(more_nodes(self.nodes, one.bought, made)), strict=True):
            self.nodes.append(node)
            yield len(self.nodes) - 1, place

    def fetches(self, part: Part) -> float:
        """What selling one at the start brings, negative; nothing where gear is not owned, or costs if it is kept."""
        if not part.fetches_today or self.study.settings.owned_gear != "free" or not self.candidates:
            return 0.0
        return sale(self.study, self.scenario, part, 1, self.candidates[0].bought).amount

    def outcome(self, sets: Flags) -> Outcome:
        """What each of some sets comes to."""
        quantity = np.zeros((len(sets), len(self.parts)))
        quantity[:, : self.own] = [part.quantity for part in self.scenario.parts]
        sold, lacking = np.zeros_like(quantity), np.zeros(len(sets), dtype=bool)
        links = {name: self.given_links(name, len(sets)) for name in LINKS}
        there = np.ones((len(sets), len(self.nodes)), dtype=bool)
        for place in range(len(self.candidates)):
            bought = sets[:, place]
            for new, old in self.made[place].items():
                there[:, new] = bought
                for found in links.values():
                    found[:, new] = found[:, old]
            self.link(place, bought, links)
            for one in self.going[place]:
                lacking |= taken(one, bought, quantity, sold)
            rows = self.came[place]
            quantity[:, rows] = np.outer(bought, [self.parts[row].quantity for row in rows])
        return Outcome(quantity, sold * self.each, links, lacking, there)

    def given_links(self, name: str, sets: int) -> Array:
        """The links of all groups as they are without purchases."""
        stated = [getattr(node, name) for node in self.nodes]
        return np.tile(np.array([np.nan if one is None else one for one in stated], dtype=float), (sets, 1))

    def link(self, place: int, bought: Flags, links: dict[str, Array]) -> None:
        """What a candidate makes of links; of several rows about one group the last one counts."""
        groups = {part.part: part.node for part in self.scenario.parts}
        for row in self.candidates[place].bought.offer.rows:
            for name in LINKS:
                becomes = getattr(row, name)
                for group, node in enumerate(self.nodes):
                    if becomes is not None and node.node == (row.node or groups.get(row.part, "")):
                        links[name][bought, group] = becomes

    def scenario_of(self, outcome: Outcome) -> Scenario:
        """The scenario with all that any of the sets has; links as the first set with that group has them."""
        most = outcome.quantity.max(axis=0).astype(int).tolist()
        parts = (replace(part, quantity=number) for part, number in zip(self.parts, most, strict=True))
        first = outcome.there.argmax(axis=0), np.arange(len(self.nodes))
        links = {name: [None if np.isnan(one) else float(one) for one in found[first]]
                 for name, found in outcome.links.items()}  # fmt: skip
        nodes = (
            with_links(node, client, other)
            for node, client, other in zip(self.nodes, *(links[name] for name in LINKS), strict=True)
        )
        sold = OneOff(scenario=self.scenario.scenario, what="owned gear sold", month=0, amount=0.0)
        return replace(
            self.scenario, parts=tuple(parts), nodes=tuple(nodes), one_offs=(*self.scenario.one_offs, sold)
        )


def with_links(node: Node, client: float | None, other: float | None) -> Node:
    """A group of nodes with links, which are then stated: a model leaves out what no row states."""
    said = {name: node.places.get(name, NOWHERE) for name, link in zip(LINKS, (client, other), strict=True) if link}
    return replace(node, client_link=client, replication_link=other, places={**node.places, **said})


def taken(one: Going, bought: Flags, quantity: Array, sold: Array) -> Flags:
    """Take what goes from its rows; returns where more would go than are there."""
    left = np.where(bought, float(one.count), 0.0)
    for row in one.rows:
        number = np.minimum(left, quantity[:, row])
        quantity[:, row] -= number
        sold[:, row] += number
        left -= number
    return left > 0


class Prices:
    """What sets cost more at the start than nothing: linear in quantities, for all is bought in month 0."""

    def __init__(self, stock: Stock, comparison: Comparison) -> None:
        self.stock = stock
        ground = comparison.built.grounds[0]
        each = np.zeros(stock.own)
        if stock.own:
            each = comparison.of(ground.part("with_tax")) + comparison.of(ground.part("shipping"))
        rows = {part.part: row for row, part in enumerate(stock.scenario.parts)}
        own = [row if row < stock.own else rows[part.origin] for row, part in enumerate(stock.parts)]
        paid = np.array([part.bought == 0 for part in stock.parts], dtype=float)
        self.each = each[own] * paid if own else each
        self.nothing = float(stock.outcome(np.zeros((1, len(stock.candidates)), dtype=bool)).quantity[0] @ self.each)

    def __call__(self, outcome: Outcome) -> Array:
        """Paid more at the start [money], shape (sets,)."""
        found: Array = outcome.quantity @ self.each - self.nothing + outcome.sold.sum(axis=1)
        return found
