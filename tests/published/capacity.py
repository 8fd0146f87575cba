"""Usable capacity of unequal nodes, and how long a lost drive takes to re-create; worked out apart from the tool.

Each case is a study whose pool may be filled up: a group for every run of equal nodes, one drive a node.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import groupby

from tests.clusters import Cluster, Drives, Group, Pool, amount, measures
from tests.published.record import Check, Subject
from tests.published.sources import DISTINCT_NODES, RECOVERY_TIME

FAST = 1e6  # MB/s and Gbit/s: drives and links that are no limit
USABLE = {
    # capacities in TB, data pieces (1: copies), parity: what is usable
    ((10, 4, 4), 1, 1): "8",
    ((8, 8, 4, 2), 1, 2): "6",
    ((4, 8, 12, 16), 1, 2): "12",
    ((20, 12, 6, 4, 4, 2), 1, 3): "8",
    ((10, 10, 1, 1, 1), 1, 2): "3",
    ((12, 12, 4, 4, 4, 4), 4, 2): "16",
    ((16, 8, 8, 8), 2, 1): "24",
    ((10, 1, 1), 1, 1): "2",
    ((8, 8, 8, 8, 2), 3, 2): "6",
    ((8, 8), 1, 2): "0",  # fewer nodes than copies
}
LARGEST_GONE = {((8, 8, 4, 2), 1, 2): "2"}
Case = tuple[tuple[int, ...], int, int]


def unequal(case: Case) -> Cluster:
    """Nodes of these capacities, filled up."""
    nodes, data, parity = case
    runs = [(capacity, len(list(same))) for capacity, same in groupby(nodes)]
    groups = tuple(Group(count, (Drives(1, float(capacity)),)) for capacity, count in runs)
    return Cluster(groups, (Pool(data, parity, fill=1.0),))


def told(case: Case) -> str:
    """A case in words."""
    nodes, data, parity = case
    scheme = f"{parity + 1} copies" if data == 1 else f"{data} + {parity}"
    return f"nodes of {', '.join(map(str, nodes))} TB, {scheme}"


def of(cluster: Cluster, measure: str) -> Callable[[], float]:
    """Works out one measure."""
    return lambda: amount(measures(cluster), measure)


def pair(capacity: float, speed: float = FAST, client: float = FAST, replication: float = 0.0) -> Cluster:
    """Two copies on two nodes of one drive; what is lost is replaced at once and is the single target."""
    group = Group(2, (Drives(1, capacity, read=speed, write=speed),), client, replication)
    return Cluster((group,), (Pool(1, 1, fill=1.0, lead=0.0),))


RECOVERED = {
    "22 TB at 150 MB/s": (pair(22.0, speed=150.0), "40.7"),
    "16 TB at 200 MB/s": (pair(16.0, speed=200.0), "22.2"),
    "12 TB through 1 Gb/s": (pair(12.0, client=1.0), "26.7"),
    "12 TB through half of 10 Gb/s": (pair(12.0, client=10.0, replication=5.0), "5.33"),
}

CAPACITY = Subject(
    "Usable capacity of unequal nodes",
    "With every copy or piece on another node, what can be kept is what the nodes hold together, each no more than "
    "one piece of anything; not all capacity over the copies. What still fits without the largest node likewise.",
    (
        *(
            Check(f"{told(case)}: usable TB", text, DISTINCT_NODES, of(unequal(case), "usable"))
            for case, text in USABLE.items()
        ),
        *(
            Check(f"{told(case)}: without the largest node", text, DISTINCT_NODES, of(unequal(case), "safe"))
            for case, text in LARGEST_GONE.items()
        ),
    ),
)
RECOVERY = Subject(
    "Recovery time",
    "The bytes of a lost drive over the slowest drive or link on their way, in hours: two copies on two nodes, the "
    "replacement at hand.",
    tuple(
        Check(f"{name}: hours", text, RECOVERY_TIME, of(cluster, "recovery_drive"))
        for name, (cluster, text) in RECOVERED.items()
    ),
)
SUBJECTS = (CAPACITY, RECOVERY)
