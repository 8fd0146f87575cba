"""Clusters at random: what tests of capacity, throughput and recovery try their references on.

References are tried on a fixed number of each kind, whose measures are worked out once, many clusters to a study:
that takes a fraction of the time. Properties are tried on clusters of hypothesis, which come from the same makers.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache, partial
from random import Random

from hypothesis import strategies as st

from tests.clusters import Cluster, Drives, Figures, Group, Pool, capacities, figures

NAMES = ("main", "other")
WIDEST = 7  # pieces at most
EACH = 30  # clusters of a kind
MONTHS = 5
BATCH = 10  # clusters to a study


def drives(rng: Random, pool: str) -> tuple[Drives, ...]:
    """One or two rows of drives of a pool."""
    return tuple(
        Drives(
            rng.randint(1, 3),
            rng.choice([4.0, 8.0, 16.0, rng.randint(1, 320) / 16]),
            pool,
            10.0 * rng.randint(1, 60),
            10.0 * rng.randint(1, 60),
            rng.random() < 0.3,
            rng.choice([0.0, 0.01, 0.02, 0.05]),
        )
        for _ in range(rng.randint(1, 2))
    )


def group(rng: Random, homes: tuple[str, ...], most: int) -> Group:
    """Nodes with drives of these pools, up to so many nodes."""
    return Group(
        rng.randint(1, most),
        tuple(row for pool in homes for row in drives(rng, pool)),
        rng.choice([0.5, 1.0, 2.5, 10.0]),
        rng.choice([0.0, 0.0, 1.0, 2.5, 25.0]),
        rng.choice([0.0, 0.01, 0.03]),
    )


def scheme(rng: Random, name: str, nodes: int, spare: int | None, parity: int) -> Pool:
    """A redundancy scheme for so many nodes: of any width, or one that leaves at least so many nodes spare."""
    widest = nodes + 1 if spare is None else nodes - spare
    pieces = rng.randint(1 + parity, max(1 + parity, min(widest, WIDEST)))
    data = rng.randint(1, pieces - parity)
    fill, lead = rng.choice([1.0, 0.8, 0.5]), rng.choice([0.0, 24.0, 72.5])
    return Pool(data, pieces - data, name, fill, lead=lead, code=rng.random() < 0.5)


def shared_out(rng: Random, pools: tuple[Pool, ...]) -> tuple[Pool, ...]:
    """The pools, and how clients' traffic goes to them: by what they hold, or stated."""
    share = rng.choice([None, 0.0, 0.25, 0.5])
    if len(pools) == 1 or share is None:
        return pools
    return (replace(pools[0], traffic=share), replace(pools[1], traffic=1 - share))


def of_groups(rng: Random, found: tuple[Group, ...], spare: int | None, parity: int) -> Cluster:
    """These nodes with schemes for their drives, and the rest."""
    bare = Cluster(found, ())
    names = sorted({drives.pool for one in found for drives in one.drives})
    pools = tuple(scheme(rng, name, len(capacities(bare, Pool(1, 0, name))), spare, parity) for name in names)
    return Cluster(
        found, shared_out(rng, pools), rng.choice([0.5, 1.0, 2.5]), rng.choice([0, 0, 0, 1, 2, 3, 5, 6, 9])
    )


def unequal(rng: Random, pools: int = 2, spare: int | None = None, parity: int = 0) -> Cluster:
    """Up to so many pools on one to three kinds of nodes.

    spare: nodes beyond a pool's pieces at least; None: there may also be one too few. parity: at least so much.
    """
    names = NAMES[: rng.randint(1, pools)]
    homes = [rng.choice([*((name,) for name in names), names]) for _ in range(rng.randint(1, 3))]
    least = spare + parity if spare is not None else 0
    found = (*(group(rng, names, 1) for _ in range(least + 1)), *(group(rng, home, 3) for home in homes))
    return of_groups(rng, found, spare, parity)


def equal(rng: Random, pools: int = 2, spare: int = 0, parity: int = 1) -> Cluster:
    """Equal nodes, as many as every pool has pieces at least."""
    one = group(rng, NAMES[: rng.randint(1, pools)], 1)
    return of_groups(rng, (replace(one, count=rng.randint(1 + parity + spare, 6)),), spare, parity)


def just_enough(rng: Random) -> Cluster:
    """Unequal nodes, as many as pieces; there is redundancy."""
    cluster = unequal(rng, pools=1, spare=0, parity=1)
    nodes = len(capacities(cluster, cluster.pools[0]))
    data = rng.randint(1, nodes - 1)
    return replace(cluster, pools=(replace(cluster.pools[0], data=data, parity=nodes - data),))


MAKERS: dict[str, Callable[[Random], Cluster]] = {
    "any": unequal,
    "one pool": partial(unequal, pools=1),
    "redundant": partial(unequal, spare=0, parity=1),
    "equal": equal,
    "just enough": just_enough,
}


def clusters(kind: str = "any") -> st.SearchStrategy[Cluster]:
    """Clusters of a kind, for properties."""
    return st.randoms(use_true_random=False).map(MAKERS[kind])


@cache
def some(kind: str) -> tuple[Cluster, ...]:
    """Clusters of a kind, the same ones every time."""
    return tuple(MAKERS[kind](Random(seed)) for seed in range(EACH))


@cache
def measured(kind: str) -> tuple[tuple[Cluster, Figures], ...]:
    """The same with their measures, of a few months."""
    found: list[tuple[Cluster, Figures]] = []
    for first in range(0, EACH, BATCH):
        named = {f"c{number}": cluster for number, cluster in enumerate(some(kind)[first : first + BATCH])}
        measures = figures(named, MONTHS)
        found += [(cluster, measures[name]) for name, cluster in named.items()]
    return tuple(found)
