"""Bytes traced over every drive and link of a cluster, node by node, apart from the tool's formulas.

Objects lie on sets of nodes (placing.py). Every way in which one can be read, written or re-created is gone through,
each as likely as the others, and what it moves is noted: that is what very many objects do on average. Links carry as
much each way at once; a node without a link of its own for replication uses that to clients for both.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import combinations

from tests.clusters import MB_OF_TB, Box, Cluster, Pool, boxes
from tests.model.placing import Objects, by_formula, laid_evenly, laid_in_rows

Key = tuple[object, ...]
Lay = Callable[[list[float], int], Objects]


@dataclass
class Ledger:
    """What every drive and link has moved. Keys: (node, drive, `read` | `write`) and (node, link, `in` | `out`)."""

    homes: list[Box]
    moved: dict[Key, float] = field(default_factory=lambda: defaultdict(float))

    def use(self, node: int, pool: str, what: str, size: float, only: int | None = None) -> None:
        """A node's drives of a pool read or write, each by its part of the node; or one drive alone."""
        box = self.homes[node]
        for number, disk in enumerate(box.disks):
            if disk.pool == pool:
                share = disk.capacity / box.capacity(pool) if only is None else float(number == only)
                self.moved[node, number, what] += size * share

    def client(self, node: int, way: str, size: float) -> None:
        """A node sends to clients or receives from them."""
        self.moved[node, "client", way] += size

    def send(self, sender: int, receiver: int, size: float) -> None:
        """From node to node."""
        self.moved[sender, self.between(sender), "out"] += size
        self.moved[receiver, self.between(receiver), "in"] += size

    def between(self, node: int) -> str:
        """The link that a node has to the others."""
        return "replication" if self.homes[node].replication else "client"

    def rate(self, key: Key) -> float:
        """What a drive or link can move, in MB/s."""
        node, what, way = key
        box = self.homes[node]
        return float(getattr(box.disks[what], way) if isinstance(what, int) else getattr(box, what))

    def busiest(self) -> tuple[float, Key]:
        """The longest time that any drive or link needs, in s, and which."""
        return max(((size / self.rate(key), key) for key, size in self.moved.items()), key=lambda one: one[0])


def standing(homes: list[Box], pool: Pool) -> list[int]:
    """The nodes that have drives of a pool."""
    return [number for number, box in enumerate(homes) if box.of(pool.name)]


def has_room(homes: list[Box], pool: Pool) -> bool:
    """Whether what the fill limit lets in has its places on the others, whichever node is lost."""
    nodes = [homes[node].capacity(pool.name) for node in standing(homes, pool)]
    left = min(by_formula(nodes[:gone] + nodes[gone + 1 :], pool.pieces) for gone in range(len(nodes)))
    return len(nodes) > pool.pieces and left >= pool.fill * by_formula(nodes, pool.pieces) * (1 - 1e-12)


def laid(homes: list[Box], pool: Pool, lay: Lay) -> Objects:
    """Objects of a pool, by the cluster's own numbers of the nodes."""
    nodes = standing(homes, pool)
    found = lay([homes[node].capacity(pool.name) for node in nodes], pool.pieces)
    return [(volume, frozenset(nodes[one] for one in on)) for volume, on in found]


# throughput


def usable(homes: list[Box], pool: Pool) -> float:
    """What a pool can hold."""
    return float(
        pool.data * by_formula([homes[node].capacity(pool.name) for node in standing(homes, pool)], pool.pieces)
    )


def traffic(homes: list[Box], pools: tuple[Pool, ...]) -> list[float]:
    """How much of a byte of clients goes to each pool: as stated, or by what it can hold."""
    if pools[0].traffic is not None:
        return [pool.traffic or 0.0 for pool in pools]
    held = [usable(homes, pool) for pool in pools]
    return [one / sum(held) for one in held]


def read_object(ledger: Ledger, pool: Pool, on: frozenset[int], size: float) -> None:
    """Any of an object's nodes serves it, with pieces from any of the others that it takes."""
    for first in on:
        others = list(combinations(on - {first}, pool.data - 1))
        piece = size / len(on) / len(others) / pool.data
        for sources in others:
            ledger.client(first, "out", piece * pool.data)
            for node in (first, *sources):
                ledger.use(node, pool.name, "read", piece)
            for node in sources:
                ledger.send(node, first, piece)


def write_object(ledger: Ledger, pool: Pool, on: frozenset[int], size: float) -> None:
    """Any of an object's nodes takes it from the client, keeps a piece and sends one to each of the others."""
    for first in on:
        piece = size / len(on) / pool.data
        ledger.client(first, "in", piece * pool.data)
        for node in on:
            ledger.use(node, pool.name, "write", piece)
        for node in on - {first}:
            ledger.send(first, node, piece)


def ceiling(cluster: Cluster, way: str, lay: Lay = laid_in_rows) -> tuple[float, Key]:
    """The most that clients can read or write, in MB/s, and the drive or link that limits it."""
    homes = boxes(cluster)
    ledger = Ledger(homes)
    one = {"read": read_object, "write": write_object}[way]
    for pool, part in zip(cluster.pools, traffic(homes, cluster.pools), strict=True):
        objects = laid(homes, pool, lay)
        whole = sum(volume for volume, _ in objects)
        for volume, on in objects:
            one(ledger, pool, on, part * volume / whole)
    seconds, key = ledger.busiest()
    return 1 / seconds, key


# recovery


@dataclass(frozen=True)
class Loss:
    """A node that is lost, or one drive of it."""

    node: int
    disk: int | None = None

    def part(self, homes: list[Box], pool: Pool) -> float:
        """The lost part of what the node has in a pool."""
        box = homes[self.node]
        return 1.0 if self.disk is None else box.disks[self.disk].capacity / box.capacity(pool.name)


def recovered_by_objects(ledger: Ledger, pool: Pool, loss: Loss) -> None:
    """Each lost piece is re-created from any pieces of its object, on any node that has none of it.

    Only of equal nodes, or of just as many as pieces: there objects lie evenly. No node spare: on what is put in.
    """
    part = pool.fill * loss.part(ledger.homes, pool) * MB_OF_TB
    for volume, on in laid(ledger.homes, pool, laid_evenly):
        if loss.node in on:
            others = [node for node in standing(ledger.homes, pool) if node not in on]
            free = others if has_room(ledger.homes, pool) else []
            recreate(ledger, pool, on - {loss.node}, loss, free, volume * part)


def recreate(ledger: Ledger, pool: Pool, left: frozenset[int], loss: Loss, free: list[int], size: float) -> None:
    """The lost pieces of the objects that lie on the same nodes."""
    ways = list(combinations(left, pool.data))
    for target in free or [loss.node]:
        one = size / len(free or [loss.node])
        ledger.use(target, pool.name, "write", one, None if free else loss.disk)
        for sources in ways:
            for node in sources:
                ledger.use(node, pool.name, "read", one / len(ways))
                ledger.send(node, target, one / len(ways))


def recovered_by_shares(ledger: Ledger, pool: Pool, loss: Loss) -> None:
    """The other nodes read, and where a node is spare take in, in proportion to what they hold."""
    nodes = standing(ledger.homes, pool)
    volume = usable(ledger.homes, pool) / pool.data
    held = {node: min(ledger.homes[node].capacity(pool.name), volume) for node in nodes}
    size = pool.fill * held.pop(loss.node) * loss.part(ledger.homes, pool) * MB_OF_TB
    shares = {node: one / sum(held.values()) for node, one in held.items()}
    spare = has_room(ledger.homes, pool)
    for node, share in shares.items():
        ledger.use(node, pool.name, "read", pool.data * size * share)
        ledger.moved[node, ledger.between(node), "out"] += pool.data * size * share
    for node, share in (shares if spare else {loss.node: 1.0}).items():
        ledger.use(node, pool.name, "write", size * share, None if spare else loss.disk)
        ledger.moved[node, ledger.between(node), "in"] += pool.data * size * share


Recover = Callable[[Ledger, Pool, Loss], None]


def hours(homes: list[Box], pool: Pool, loss: Loss, recover: Recover = recovered_by_shares) -> float:
    """Until all is whole again, the wait for a replacement in it where no node is spare."""
    ledger = Ledger(homes)
    recover(ledger, pool, loss)
    wait = 0.0 if has_room(homes, pool) else pool.lead
    return wait + ledger.busiest()[0] / 3600


def node_hours(cluster: Cluster, group: int, recover: Recover = recovered_by_shares) -> float:
    """Of a node of a group; its pools recover at once over the same links, after the wait where no node is spare."""
    homes = boxes(cluster)
    node = next(number for number, box in enumerate(homes) if box.group == group)
    own = [pool for pool in cluster.pools if homes[node].of(pool.name)]
    at_once = [pool for pool in own if has_room(homes, pool)]
    later = [pool for pool in own if pool not in at_once]
    wait = max((pool.lead for pool in later), default=0.0)
    return max(together(homes, at_once, node, recover), wait + together(homes, later, node, recover))


def together(homes: list[Box], pools: list[Pool], node: int, recover: Recover) -> float:
    """Hours in which several pools recover from the loss of one node, all at once."""
    ledger = Ledger(homes)
    for pool in pools:
        recover(ledger, pool, Loss(node))
    return ledger.busiest()[0] / 3600 if pools else 0.0


def drive_hours(cluster: Cluster, group: int, row: int, recover: Recover = recovered_by_shares) -> float:
    """Of a drive of a row of a group."""
    homes = boxes(cluster)
    node = next(number for number, box in enumerate(homes) if box.group == group)
    disk = next(number for number, one in enumerate(homes[node].disks) if one.row == row)
    pool = next(pool for pool in cluster.pools if pool.name == homes[node].disks[disk].pool)
    return hours(homes, pool, Loss(node, disk), recover)


def rows(cluster: Cluster) -> Iterator[tuple[int, int]]:
    """Every row of drives of a cluster: its group and its number there."""
    return ((group, row) for group, one in enumerate(cluster.groups) for row in range(len(one.drives)))


def recovery_drive(cluster: Cluster, recover: Recover = recovered_by_shares) -> float:
    """The longest of any drive."""
    return max(drive_hours(cluster, group, row, recover) for group, row in rows(cluster))


def recovery_node(cluster: Cluster, recover: Recover = recovered_by_shares) -> float:
    """The longest of any node."""
    return max(node_hours(cluster, group, recover) for group in range(len(cluster.groups)))
