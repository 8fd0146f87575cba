"""Clusters as a test says them: written as studies, read by the public path, and laid out node by node.

What a node is made of here (`Disk`, `Box`) is worked out apart from the tool: every drive and every link by itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from itertools import chain

import tco
from tests.published.written import compared, table

MB_OF_TB = 1e6
MB_OF_GBIT = 125.0
Figures = dict[str, float | str]


@dataclass(frozen=True)
class Drives:
    """Equal drives in every node of a group: one row of the parts list. TB, MB/s, failures a year; 0: not stated."""

    each: int
    capacity: float
    pool: str = "main"
    read: float = 0.0
    write: float = 0.0
    system: bool = False
    rate: float = 0.0


@dataclass(frozen=True)
class Group:
    """Equal nodes. client, replication: links in Gbit/s, 0: not stated; rate: failures a year of a node's board."""

    count: int
    drives: tuple[Drives, ...]
    client: float = 0.0
    replication: float = 0.0
    rate: float = 0.0


@dataclass(frozen=True)
class Pool:
    """A redundancy scheme. One data piece is written as copies, unless `code` says to write it as data and parity."""

    data: int
    parity: int
    name: str = "main"
    fill: float = 0.8
    traffic: float | None = None
    lead: float = 24.0
    code: bool = False

    @property
    def pieces(self) -> int:
        """On so many nodes an object lies."""
        return self.data + self.parity


@dataclass(frozen=True)
class Cluster:
    """A scenario. one_client: Gbit/s, 0: not stated; votes: 0: all nodes with drives of a pool."""

    groups: tuple[Group, ...]
    pools: tuple[Pool, ...] = (Pool(1, 1),)
    one_client: float = 0.0
    votes: int = 0


@dataclass(frozen=True)
class Disk:
    """One drive as it is: TB, and MB/s after what a system on it takes."""

    row: int
    pool: str
    capacity: float
    read: float
    write: float


@dataclass(frozen=True)
class Box:
    """One node as it is. client, replication: MB/s; replication 0: it has one link for both."""

    group: int
    disks: tuple[Disk, ...]
    client: float
    replication: float

    def capacity(self, pool: str) -> float:
        """What it has in a pool."""
        return sum(disk.capacity for disk in self.of(pool))

    def of(self, pool: str) -> tuple[Disk, ...]:
        """Its drives of a pool."""
        return tuple(disk for disk in self.disks if disk.pool == pool)


def boxes(cluster: Cluster, system_takes: float = 0.2) -> list[Box]:
    """Every node of a cluster by itself."""
    return [
        Box(number, disks(group, system_takes), group.client * MB_OF_GBIT, group.replication * MB_OF_GBIT)
        for number, group in enumerate(cluster.groups)
        for _ in range(group.count)
    ]


def disks(group: Group, system_takes: float) -> tuple[Disk, ...]:
    """Every drive of one node of a group."""
    found = []
    for row, drives in enumerate(group.drives):
        left = 1 - system_takes if drives.system else 1.0
        found += [Disk(row, drives.pool, drives.capacity, drives.read * left, drives.write * left)] * drives.each
    return tuple(found)


def capacities(cluster: Cluster, pool: Pool) -> list[float]:
    """What each node that has drives of a pool has in it."""
    return [box.capacity(pool.name) for box in boxes(cluster) if box.of(pool.name)]


def number(value: float, unit: str) -> str:
    """A number as a cell holds it; empty where it is not stated. So many decimals that no sign is in doubt."""
    return f"{value:.12f} {unit}" if value else ""


def scaled(cluster: Cluster, factor: float) -> Cluster:
    """The same with drives so many times as large."""
    return with_drives(cluster, lambda drives: replace(drives, capacity=drives.capacity * factor))


def with_drives(cluster: Cluster, change) -> Cluster:  # type: ignore[no-untyped-def]
    """The same with every row of drives changed."""
    groups = tuple(replace(group, drives=tuple(map(change, group.drives))) for group in cluster.groups)
    return replace(cluster, groups=groups)


def tables(clusters: Mapping[str, Cluster], months: int, settings: tuple[str, ...] = ()) -> dict[str, str]:
    """The tables of a study whose scenarios are these clusters; the first is the baseline."""
    about = ("question,Which?", "currency,EUR", "start,2027-01", "time zone,UTC", "discount,0")
    rates = sorted({rate for cluster in clusters.values() for rate in failure_rates(cluster)})
    found = {
        "study": table("setting,value", [*about, f"horizon,{months} months", *settings]),
        "scenarios": table(
            "scenario,baseline,parts list,one client link,voting nodes",
            [scenario_row(name, cluster, not n) for n, (name, cluster) in enumerate(clusters.items())],
        ),
        "nodes": table(
            "scenario,node,count,client link,replication link",
            list(chain.from_iterable(node_rows(*one) for one in clusters.items())),
        ),
        "pools": table(
            "scenario,pool,copies,data,parity,fill limit,traffic,lead time",
            [pool_row(name, pool) for name, cluster in clusters.items() for pool in cluster.pools],
        ),
    }
    if rates:
        found["failures"] = table("curve,age,rate", [f"{curve(r)},0 years,{100 * r:.12f} %/year" for r in rates])
    return found | {f"{name}_parts": parts_list(cluster) for name, cluster in clusters.items()}


def failure_rates(cluster: Cluster) -> Iterator[float]:
    """Every failure rate of a cluster above 0."""
    for group in cluster.groups:
        yield from (rate for rate in (group.rate, *(drives.rate for drives in group.drives)) if rate)


def curve(rate: float) -> str:
    """The name of the flat failure curve of a rate."""
    return f"flat {rate!r}" if rate else ""


def scenario_row(name: str, cluster: Cluster, baseline: bool) -> str:
    """A row of scenarios.csv."""
    first = "yes" if baseline else ""
    return f"{name},{first},{name}_parts.csv,{number(cluster.one_client, 'Gbit/s')},{cluster.votes or ''}"


def node_rows(name: str, cluster: Cluster) -> list[str]:
    """A scenario's rows of nodes.csv."""
    return [
        f"{name},group {n},{group.count},{number(group.client, 'Gbit/s')},{number(group.replication, 'Gbit/s')}"
        for n, group in enumerate(cluster.groups)
    ]


def pool_row(name: str, pool: Pool) -> str:
    """A row of pools.csv."""
    copies = pool.data == 1 and not pool.code
    scheme = f"{pool.pieces},," if copies else f",{pool.data},{pool.parity}"
    traffic = "" if pool.traffic is None else f"{100 * pool.traffic:.12f} %"
    return f"{name},{pool.name},{scheme},{100 * pool.fill:.12f} %,{traffic},{pool.lead:.12f} h"


def parts_list(cluster: Cluster) -> str:
    """A scenario's parts list: a board a node, and the drives."""
    header = "part,node,quantity,price,capacity,pool,read,write,system,failures"
    rows = []
    for n, group in enumerate(cluster.groups):
        rows.append(f"board {n},group {n},{group.count},1 EUR,,,,,,{curve(group.rate)}")
        rows += [drive_row(n, row, group.count, drives) for row, drives in enumerate(group.drives)]
    return table(header, rows)


def drive_row(group: int, row: int, count: int, drives: Drives) -> str:
    """A row of drives."""
    rates = f"{number(drives.read, 'MB/s')},{number(drives.write, 'MB/s')}"
    system = "yes" if drives.system else ""
    return (
        f"drive {group} {row},group {group},{count * drives.each},1 EUR,{number(drives.capacity, 'TB')},"
        f"{drives.pool},{rates},{system},{curve(drives.rate)}"
    )


def figures(
    clusters: Mapping[str, Cluster],
    months: int = 1,
    settings: tuple[str, ...] = (),
    more_parts: tuple[str, ...] = (),
) -> dict[str, Figures]:
    """Scenario -> measure -> value, by load, compare and measures. more_parts: further rows of every parts list."""
    written = tables(clusters, months, settings)
    for name in clusters:
        written[f"{name}_parts"] += "".join(f"{row}\n" for row in more_parts)
    frame = tco.measures(compared(written))
    found: dict[str, Figures] = {name: {} for name in clusters}
    for scenario, measure, value in zip(frame.scenario, frame.measure, frame.value, strict=True):
        found[scenario][measure] = value
    return found


@cache
def measures(cluster: Cluster, months: int = 1) -> Figures:
    """One cluster's measures."""
    return figures({"it": cluster}, months)["it"]


def amount(found: Figures, measure: str) -> float:
    """A measure that must be a number."""
    value = found[measure]
    assert not isinstance(value, str), f"{measure} is {value!r}"
    return float(value)
