"""What may be bought beyond a scenario's parts list: candidates for a budget, steps as data grow; see study.py."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from tco.cell import cell
from tco.settings import Row

LINKS = ("client_link", "replication_link")


@dataclass(frozen=True, kw_only=True)
class Purchase(Row):
    """purchases.csv: what may be bought on top of a scenario; rows of one name are bought together."""

    scenario: str = cell("name", "the scenario that it may be bought for", "minis")
    purchase: str = cell("name", "its name; rows of one name are bought together", "one more node")
    part: str = cell(
        "name",
        "the part that is bought, of the scenario's parts list, which may give its price only (quantity 0); bought "
        "here it stays to the end; empty: the row only changes a link",
        "hard drive 16 TB",
        default="",
    )
    quantity: int = cell("whole", "how many of it", "1", default=1, least=1, most=10000)
    node: str = cell(
        "name",
        "the group of nodes into which it goes, or whose link changes; empty: the part's own",
        "mini",
        default="",
    )
    more_nodes: int = cell(
        "whole",
        "how many more nodes like those of that group this makes, out of all that the purchase brings into it; "
        "0: it goes into the nodes that are there",
        "1",
        default=0,
        least=0,
        most=1000,
    )
    in_place_of: str = cell(
        "name",
        "a part of the list that goes when this one comes: sold by its resale curve; what would be bought at the "
        "same time is not bought at all",
        "hard drive 8 TB",
        default="",
    )
    going: int | None = cell(
        "whole", "how many of those go; empty: as many as come", "2", default=None, least=1, most=10000
    )
    client_link: float | None = cell(
        "number",
        "what the link of each node of the group to clients becomes, each way",
        "10 Gbit/s",
        unit="Gbit/s",
        default=None,
        least=1e-6,
    )
    replication_link: float | None = cell(
        "number",
        "what the link of each node of the group to the other nodes becomes, each way",
        "10 Gbit/s",
        unit="Gbit/s",
        default=None,
        least=1e-6,
    )
    needs: tuple[str, ...] = cell(
        "names",
        "other purchases of the scenario without which it is not bought, joined by +",
        "fast switch",
        default=(),
    )
    excludes: tuple[str, ...] = cell(
        "names",
        "other purchases of the scenario with which it is not bought, joined by +; said by one it holds for both",
        "faster cards",
        default=(),
    )
    turn: int | None = cell(
        "whole",
        "its turn when data outgrow the room: of those that may still be bought and fit the lowest comes first, of "
        "equal ones the first in the file; empty: not bought as data grow",
        "1",
        default=None,
        least=1,
        most=1000,
    )
    most: int = cell("whole", "how many times it may be bought", "3", default=1, least=1, most=100)

    @property
    def goes(self) -> int:
        """How many units go for what it brings."""
        return self.quantity if self.going is None else self.going


@dataclass(frozen=True)
class Offer:
    """All rows of one purchase of one scenario, in the order of the file."""

    rows: tuple[Purchase, ...]

    @property
    def scenario(self) -> str:
        return self.rows[0].scenario

    @property
    def name(self) -> str:
        return self.rows[0].purchase

    @property
    def needs(self) -> tuple[str, ...]:
        """The purchases without which it is not bought."""
        return tuple(dict.fromkeys(name for row in self.rows for name in row.needs))

    @property
    def excludes(self) -> tuple[str, ...]:
        """The purchases with which it is not bought, as it says itself."""
        return tuple(dict.fromkeys(name for row in self.rows for name in row.excludes))

    @property
    def turn(self) -> int | None:
        """Its turn when data outgrow the room; None: never."""
        return next((row.turn for row in self.rows if row.turn is not None), None)

    @property
    def most(self) -> int:
        """How many times it may be bought."""
        return max(row.most for row in self.rows)

    @property
    def links(self) -> bool:
        """Whether it changes a link."""
        return any(row.client_link is not None or row.replication_link is not None for row in self.rows)


def offers(rows: Iterable[Purchase]) -> tuple[Offer, ...]:
    """The purchases of one scenario, each with all of its rows, in the order of the file."""
    found: dict[str, list[Purchase]] = {}
    for row in rows:
        found.setdefault(row.purchase, []).append(row)
    return tuple(Offer(tuple(own)) for own in found.values())


def needed(name: str, every: Mapping[str, Offer]) -> list[str]:
    """All that a purchase needs, what that needs, and so on; without itself, and what there is not."""
    found = [name]
    for one in found:  # grows as it is walked
        found += [other for other in every[one].needs if other in every and other not in found]
    return found[1:]


def needed_first(own: Sequence[Offer]) -> list[Offer]:
    """Purchases in the order of the file, each behind all that it needs; the reader has refused circles."""
    left, placed = list(own), dict[str, Offer]()
    while left:
        one = next(offer for offer in left if placed.keys() >= set(offer.needs))
        placed[one.name] = one
        left.remove(one)
    return list(placed.values())


def with_needed(offer: Offer, every: Sequence[Offer]) -> list[Offer]:
    """A purchase behind all that it needs, in the order in which they are bought."""
    names = {offer.name, *needed(offer.name, {one.name: one for one in every})}
    return [one for one in needed_first(every) if one.name in names]
