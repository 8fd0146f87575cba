"""A scenario with something bought on top: what a purchase brings, what goes for it, from which month on.

A purchase only changes rows of the parts list and groups of nodes, so that what is bought flows through power,
failures, resale and what is delivered like any other part.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from tco.errors import StockError
from tco.model.measured import covered
from tco.purchase import LINKS, Offer, Purchase
from tco.study import Node, OneOff, Part, Scenario, Study


@dataclass(frozen=True)
class Bought:
    """One purchase in one month; number: the how-manieth time it is bought, from 1."""

    offer: Offer
    month: int = 0
    number: int = 1

    @property
    def called(self) -> str:
        """The purchase, with its number where it may be made several times: `one more node, no. 2`."""
        return f"{self.offer.name}, no. {self.number}" if self.offer.most > 1 else self.offer.name

    @property
    def name(self) -> str:
        """As its parts are marked: `one more node, no. 2, month 14`."""
        return f"{self.called}, month {self.month}" if self.month else self.called


def with_all(study: Study, scenario: Scenario, bought: Iterable[Bought]) -> Scenario:
    """A scenario with several purchases, one after the other; raises StockError."""
    for one in bought:
        scenario = with_bought(study, scenario, one)
    return scenario


def with_bought(study: Study, scenario: Scenario, bought: Bought) -> Scenario:
    """A scenario with one purchase, paid and, for what goes, sold at the end of its month.

    Bought at the start, what goes is not bought at all; owned gear is sold then. Raises StockError where more would
    go than are there.
    """
    groups = {part.part: part.node for part in scenario.parts}
    made = makes(bought.offer, groups)
    listed = {part.part: part for part in scenario.parts}
    came = [arriving(scenario, listed, row, bought, made) for row in bought.offer.rows if row.part]
    nodes = [*linked(scenario.nodes, bought.offer, groups), *more_nodes(scenario.nodes, bought, made)]
    for row in bought.offer.rows:
        if row.in_place_of:
            scenario = without(study, scenario, row, bought)
    return replace(scenario, parts=(*scenario.parts, *came), nodes=tuple(nodes))


def makes(offer: Offer, groups: Mapping[str, str]) -> dict[str, int]:
    """How many more nodes a purchase makes, by the group whose like they are; groups: part -> its group."""
    found: dict[str, int] = {}
    for row in offer.rows:
        if row.more_nodes:
            group = row.node or groups[row.part]
            found[group] = max(found.get(group, 0), row.more_nodes)
    return found


def new_group(group: str, bought: Bought) -> str:
    """How the nodes are called that a purchase makes."""
    return f"{group} ({bought.name})"


def arriving(
    scenario: Scenario, listed: Mapping[str, Part], row: Purchase, bought: Bought, made: Mapping[str, int]
) -> Part:
    """The row of the parts list for what comes; listed: the scenario's parts by name."""
    part = listed[row.part]
    group = row.node or part.node
    own = group in made
    came = replace(
        part,
        part=f"{part.part} ({bought.name})",
        origin=part.part,
        quantity=row.quantity,
        bought=bought.month,
        leaves=None,
        node=new_group(group, bought) if own else group,
        on_top=None if own else True,
    )
    goes = listed.get(row.in_place_of)
    measured = goes is not None and goes.node == came.node and covered(goes, scenario)
    return in_exchange(came, goes, row.goes / row.quantity) if goes and measured else came


def in_exchange(came: Part, goes: Part, ratio: float) -> Part:
    """What takes the place of parts that a node was measured with: its watts on top are the difference.

    ratio: how many go for each that comes.
    """
    busy = [part.idle if part.busy is None else part.busy for part in (came, goes)]
    note = f"watts less those of {goes.part}, which the node was measured with"
    return replace(came, idle=came.idle - ratio * goes.idle, busy=busy[0] - ratio * busy[1], note=note)


def linked(nodes: Iterable[Node], offer: Offer, groups: Mapping[str, str]) -> Iterator[Node]:
    """The groups of nodes with the links that a purchase gives them."""
    for node in nodes:
        own = [row for row in offer.rows if (row.node or groups.get(row.part, "")) == node.node]
        client, other = ([link for row in own if (link := getattr(row, name)) is not None] for name in LINKS)
        said = {name: row.places[name] for row in own for name in LINKS if name in row.places}
        yield replace(
            node,
            client_link=client[-1] if client else node.client_link,
            replication_link=other[-1] if other else node.replication_link,
            places={**node.places, **said},  # a link that no row of nodes.csv states is stated now
        )


def more_nodes(nodes: Iterable[Node], bought: Bought, made: Mapping[str, int]) -> Iterator[Node]:
    """The groups that a purchase makes, each like the one that it enlarges."""
    for node in nodes:
        if node.node in made:
            yield replace(node, node=new_group(node.node, bought), count=made[node.node])


def without(study: Study, scenario: Scenario, row: Purchase, bought: Bought) -> Scenario:
    """A scenario without what goes for a row of a purchase, the oldest first; raises StockError."""
    left = row.goes
    parts: list[Part] = []
    sold: list[OneOff] = []
    for part in sorted_by_age(scenario.parts):
        number = min(left, part.quantity) if is_there(part, row.in_place_of, bought.month) else 0
        left -= number
        parts += parted(part, number, bought) if number else [part]
        if number and part.fetches_today and study.settings.owned_gear == "free" and not bought.month:
            sold.append(sale(study, scenario, part, number, bought))
    if left:
        raise StockError(scenario.scenario, bought.name, row.in_place_of, left)
    order = {part.part: number for number, part in enumerate(scenario.parts)}
    parts.sort(key=lambda part: order.get(part.part, order.get(part.origin, len(order))))
    return replace(scenario, parts=tuple(parts), one_offs=(*scenario.one_offs, *sold))


def sorted_by_age(parts: Iterable[Part]) -> list[Part]:
    """Rows of a parts list, what was bought first in front."""
    return sorted(parts, key=lambda part: part.bought)


def is_there(part: Part, name: str, month: int) -> bool:
    """Whether units of a row are of the part of that name, and have not left by a month."""
    return name in (part.part, part.origin) and (part.leaves is None or part.leaves > month)


def parted(part: Part, number: int, bought: Bought) -> list[Part]:
    """A row of which some go: they leave, or are not bought at all where they would come no sooner."""
    stays = replace(part, quantity=part.quantity - number)
    if part.bought >= bought.month:
        return [stays]
    goes = replace(part, part=f"{part.part} (until {bought.name})", origin=part.origin or part.part,
                   quantity=number, leaves=bought.month)  # fmt: skip
    return [stays, goes]


def sale(study: Study, scenario: Scenario, part: Part, number: int, bought: Bought) -> OneOff:
    """What owned gear brings that goes at the start; where keeping it counts as a cost, that is left out instead."""
    each = part.fetches_today * (1.0 - study.settings.selling_share) - part.selling_cost
    return OneOff(
        scenario=scenario.scenario, what=f"{part.part} sold for {bought.name}", month=0, amount=-number * each
    )
