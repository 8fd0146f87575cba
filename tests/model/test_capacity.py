"""What a cluster can hold and lose, against placements of its data: by linear programme and by trying every loss."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.clusters import (
    Cluster,
    Drives,
    Figures,
    Group,
    Pool,
    amount,
    boxes,
    capacities,
    figures,
    measures,
    scaled,
)
from tests.model.placing import (
    by_formula,
    by_halving,
    by_programme,
    laid_by_programme,
    laid_in_rows,
    missing_by_programme,
)
from tests.published.capacity import USABLE, Case, told, unequal
from tests.random_clusters import clusters, measured

CAPACITY = ("raw", "usable", "recommended", "unused", "to_free", "safe")
KINDS = pytest.mark.parametrize("kind", ["any", "redundant", "equal", "just enough"])
ENOUGH = pytest.mark.parametrize("kind", ["redundant", "equal", "just enough"])
tried = settings(max_examples=12, deadline=None, derandomize=True)
FACTOR = st.sampled_from([1.25, 1.5, 2.0, 7.0])


def close(found: float, wanted: float, size: float = 1.0) -> bool:
    """Equal to rounding: a billionth of the number, or of the size of what it was made of."""
    return found == pytest.approx(wanted, rel=1e-9, abs=1e-9 * max(size, 1e-3))


def same(one: Figures, other: Figures, names: Iterable[str], factor: float = 1.0) -> None:
    """The other's figures are the one's times a factor, or the same words."""
    for name in names:
        if isinstance(one[name], str) or isinstance(other[name], str):
            assert other[name] == one[name], name
        else:
            assert close(amount(other, name), factor * amount(one, name), factor * amount(one, "raw")), name


def sum_of(cluster: Cluster, of_pool) -> float:  # type: ignore[no-untyped-def]
    """A figure of capacities and pool, added up over the pools."""
    return float(sum(of_pool(capacities(cluster, pool), pool) for pool in cluster.pools))


# the references against each other


@pytest.mark.parametrize("seed", range(10))
def test_three_ways_to_the_largest_volume_agree(seed: int) -> None:
    rng = np.random.default_rng(seed)
    for _ in range(40):
        pieces = int(rng.integers(1, 7))
        nodes = [float(one) for one in rng.integers(1, 300, rng.integers(1, 9)) / 16]
        exact = float(by_formula(nodes, pieces))
        assert by_halving(nodes, pieces) == pytest.approx(exact, rel=1e-12)
        assert by_programme(nodes, pieces) == pytest.approx(exact, rel=1e-9)
        assert sum(volume for volume, _ in laid_in_rows(nodes, pieces)) == pytest.approx(exact, rel=1e-12)


@pytest.mark.parametrize("lay", [laid_in_rows, laid_by_programme])
@pytest.mark.parametrize("seed", range(20))
def test_a_best_placement_fills_each_node_up_to_the_volume(lay, seed: int) -> None:  # type: ignore[no-untyped-def]
    rng = np.random.default_rng(seed)
    pieces = int(rng.integers(1, 5))
    nodes = [float(one) for one in rng.integers(1, 300, rng.integers(pieces, 8)) / 16]
    volume = float(by_formula(nodes, pieces))
    for node, capacity in enumerate(nodes):
        held = sum(part for part, on in lay(nodes, pieces) if node in on)
        assert held == pytest.approx(min(capacity, volume), rel=1e-9)


# capacity


def best(nodes: list[float], pool: Pool) -> float:
    """What can be kept in the best of all placements."""
    return pool.data * by_programme(nodes, pool.pieces)


def empty(nodes: list[float], pool: Pool) -> float:
    """What a best placement leaves empty."""
    return sum(nodes) - sum(volume * len(on) for volume, on in laid_by_programme(nodes, pool.pieces))


OF_PLACEMENTS = {
    "raw": lambda nodes, pool: sum(nodes),  # noqa: ARG005
    "usable": best,
    "recommended": lambda nodes, pool: pool.fill * best(nodes, pool),
    "unused": empty,
    "to_free": lambda nodes, pool: missing_by_programme(nodes, pool.pieces),
}


@KINDS
@pytest.mark.parametrize("measure", ["raw", "usable", "recommended", "unused"])
def test_capacity_is_that_of_the_best_of_all_placements(measure: str, kind: str) -> None:
    for cluster, found in measured(kind):
        wanted = sum_of(cluster, OF_PLACEMENTS[measure])
        assert close(amount(found, measure), wanted, amount(found, "raw")), cluster


@ENOUGH
def test_what_would_free_all_is_the_least_that_a_programme_adds(kind: str) -> None:
    for cluster, found in measured(kind):
        wanted = sum_of(cluster, OF_PLACEMENTS["to_free"])
        assert close(amount(found, "to_free"), wanted, amount(found, "raw")), cluster


@ENOUGH
def test_all_is_usable_where_no_node_is_more_than_its_part(kind: str) -> None:
    """Brinkmann et al. 2007, introduction: just if the largest, as often as there are pieces, is within the whole."""
    for cluster, found in measured(kind):
        held = [(capacities(cluster, pool), pool.pieces) for pool in cluster.pools]
        fits = all(pieces * max(nodes) <= sum(nodes) for nodes, pieces in held)
        assert (amount(found, "unused") < 1e-9) == (amount(found, "to_free") < 1e-9) == fits, cluster


@pytest.mark.parametrize(("case", "printed"), USABLE.items(), ids=map(told, USABLE))
def test_the_cases_of_the_page_to_the_last_digit(case: Case, printed: str) -> None:
    """And what is usable is never what all capacity over the copies would be."""
    nodes, data, parity = case
    found = amount(measures(unequal(case)), "usable")
    assert found == pytest.approx(float(printed), rel=1e-12, abs=1e-12)
    assert found < 0.96 * data * sum(nodes) / (data + parity)


def test_too_few_nodes_hold_nothing() -> None:
    found = measures(Cluster((Group(3, (Drives(2, 8.0),)),), (Pool(2, 2),)))
    assert [amount(found, name) for name in ("usable", "recommended", "safe", "node_losses")] == [0.0] * 4
    assert amount(found, "raw") == amount(found, "unused") == pytest.approx(48.0, rel=1e-12)
    assert found["rebuild"] == "no"


def test_no_larger_drives_make_too_few_nodes_usable() -> None:
    assert isinstance(measures(Cluster((Group(3, (Drives(2, 8.0),)),), (Pool(2, 2),)))["to_free"], str)


# safe


def safe_with_spare(cluster: Cluster, pool: Pool) -> float:
    """What still fits, in the best way, whichever node is gone."""
    nodes = capacities(cluster, pool)
    rests = (nodes[:gone] + nodes[gone + 1 :] for gone in range(len(nodes)))
    return pool.fill * pool.data * min(by_programme(rest, pool.pieces) for rest in rests)


def safe_without_spare(cluster: Cluster, pool: Pool) -> float:
    """What still fits, in the best way, whichever drive is gone."""
    homes = [box for box in boxes(cluster) if box.of(pool.name)]
    nodes = capacities(cluster, pool)
    least = []
    for number, box in enumerate(homes):
        for gone in {disk.capacity for disk in box.of(pool.name)}:
            rest = [*nodes[:number], nodes[number] - gone, *nodes[number + 1 :]]
            least.append(by_programme(rest, pool.pieces))
    return pool.fill * pool.data * min(least)


def safe(cluster: Cluster, pool: Pool) -> float:
    """What may be held so that all is whole again after one loss."""
    spare = len(capacities(cluster, pool)) - pool.pieces
    if spare < 0 or not pool.parity:
        return 0.0
    return safe_with_spare(cluster, pool) if spare else safe_without_spare(cluster, pool)


@KINDS
def test_safe_fits_whichever_node_or_drive_is_lost(kind: str) -> None:
    for cluster, found in measured(kind):
        wanted = sum(safe(cluster, pool) for pool in cluster.pools)
        assert close(amount(found, "safe"), wanted, amount(found, "raw")), cluster


def test_two_drives_a_node_without_a_spare_node_are_safe_half_full() -> None:
    found = measures(Cluster((Group(3, (Drives(2, 8.0),)),), (Pool(1, 2, fill=1.0),)))
    assert amount(found, "usable") == pytest.approx(16.0, rel=1e-12)
    assert amount(found, "safe") == pytest.approx(8.0, rel=1e-12)


def test_safe_names_another_case_where_a_node_is_spare() -> None:
    cases = {n: measures(Cluster((Group(n, (Drives(2, 8.0),)),), (Pool(1, 2),)))["safe_case"] for n in (2, 3, 4)}
    assert len(set(cases.values())) == 3
    assert measures(Cluster((Group(4, (Drives(2, 8.0),)),), (Pool(1, 0),)))["safe_case"] not in cases.values()


# losses


@cache
def placed(cluster: Cluster) -> list[tuple[Pool, list[frozenset[int]]]]:
    """The sets of nodes on which objects lie, pool by pool; none where there are too few nodes."""
    found = []
    for pool in cluster.pools:
        homes = [number for number, box in enumerate(boxes(cluster)) if box.of(pool.name)]
        objects = laid_in_rows(capacities(cluster, pool), pool.pieces)
        found.append((pool, [frozenset(homes[node] for node in on) for _, on in objects]))
    return found


def survives(cluster: Cluster, lost: frozenset[int]) -> bool:
    """Whether every object has as many pieces left as restore it."""
    return all(len(on - lost) >= pool.data for pool, objects in placed(cluster) for on in objects)


def most_losses(machines: Iterable[int], goes_on) -> int:  # type: ignore[no-untyped-def]
    """The largest size of which every set of lost machines is borne."""
    machines = list(machines)
    sizes = range(len(machines) + 1)
    bad = (size for size in sizes if not all(goes_on(frozenset(lost)) for lost in combinations(machines, size)))
    return next(bad, len(machines) + 1) - 1


def losses(cluster: Cluster) -> int:
    """Losses of nodes that data survive, by trying each."""
    if not all(objects for _, objects in placed(cluster)):
        return 0
    return most_losses(range(len(boxes(cluster))), lambda lost: survives(cluster, lost))


def losses_writing(cluster: Cluster) -> int:
    """The same, and a majority of the votes must be up. Voters beyond the nodes are machines without drives."""
    if not losses(cluster):
        return 0
    homes = [number for number, box in enumerate(boxes(cluster)) if any(box.of(p.name) for p in cluster.pools)]
    votes = cluster.votes or len(homes)
    others = range(len(boxes(cluster)), len(boxes(cluster)) + votes)
    voters = frozenset([*homes, *others][:votes])

    def writes(lost: frozenset[int]) -> bool:
        return survives(cluster, lost) and 2 * len(voters - lost) > votes

    return most_losses({*range(len(boxes(cluster))), *voters}, writes)


@KINDS
def test_losses_are_those_that_every_object_bears(kind: str) -> None:
    for cluster, found in measured(kind):
        assert found["node_losses"] == losses(cluster), cluster
        assert found["losses_writing"] == losses_writing(cluster), cluster


@pytest.mark.parametrize(("nodes", "wanted"), [(2, 0), (3, 1), (4, 1), (5, 2)])
def test_writing_goes_on_with_a_majority(nodes: int, wanted: int) -> None:
    """model.md section 8: 2 nodes: none; 3: one; 4: one; 5: two."""
    cluster = Cluster((Group(nodes, (Drives(1, 8.0),)),), (Pool(1, nodes - 1),))
    assert losses_writing(cluster) == wanted
    assert measures(cluster)["losses_writing"] == wanted
    assert measures(cluster)["node_losses"] == nodes - 1


def places_left(cluster: Cluster, pool: Pool) -> bool:
    """Whether a pool's pieces can lie on distinct nodes without any one of them."""
    nodes = capacities(cluster, pool)
    return all(by_formula(nodes[:gone] + nodes[gone + 1 :], pool.pieces) > 0 for gone in range(len(nodes)))


LESS = "only if less full"


def room_left(cluster: Cluster, pool: Pool) -> bool:
    """Whether what the fill limit lets in still has a place on the others, whichever node is lost."""
    nodes = capacities(cluster, pool)
    left = min(by_formula(nodes[:gone] + nodes[gone + 1 :], pool.pieces) for gone in range(len(nodes)))
    return left >= pool.fill * by_formula(nodes, pool.pieces) * (1 - 1e-12)


@KINDS
def test_rebuild_says_whether_places_are_left_whichever_node_is_lost(kind: str) -> None:
    """Where there is redundancy; without, there is nothing to rebuild from."""
    for cluster, found in measured(kind):
        if all(pool.parity for pool in cluster.pools):
            left = all(places_left(cluster, pool) for pool in cluster.pools)
            wanted = "no" if not left else "yes" if all(room_left(cluster, one) for one in cluster.pools) else LESS
            assert found["rebuild"] == wanted, cluster


# properties


def with_group(cluster: Cluster, number: int, *groups: Group) -> Cluster:
    """Other groups in the place of one."""
    return replace(cluster, groups=(*cluster.groups[:number], *groups, *cluster.groups[number + 1 :]))


def both(one: Cluster, other: Cluster) -> tuple[Figures, Figures]:
    """The measures of two clusters, of one study."""
    found = figures({"one": one, "other": other})
    return found["one"], found["other"]


@tried
@given(clusters(), FACTOR, st.data())
def test_larger_drives_never_lower_what_is_usable(cluster: Cluster, factor: float, data: st.DataObject) -> None:
    number = data.draw(st.integers(0, len(cluster.groups) - 1))
    group = cluster.groups[number]
    larger = scaled(replace(cluster, groups=(group,)), factor).groups[0]
    one, other = both(cluster, with_group(cluster, number, larger))
    assert amount(other, "usable") >= amount(one, "usable") * (1 - 1e-12)


@tried
@given(clusters(), st.data())
def test_a_further_node_never_lowers_what_is_usable(cluster: Cluster, data: st.DataObject) -> None:
    further = replace(data.draw(st.sampled_from(cluster.groups)), count=1)
    further = scaled(replace(cluster, groups=(further,)), data.draw(st.sampled_from([0.125, 1.0, 4.0]))).groups[0]
    one, other = both(cluster, replace(cluster, groups=(*cluster.groups, further)))
    assert amount(other, "usable") >= amount(one, "usable") * (1 - 1e-12)


@tried
@given(clusters(), FACTOR)
def test_drives_so_many_times_as_large_hold_as_many_times(cluster: Cluster, factor: float) -> None:
    one, other = both(cluster, scaled(cluster, factor))
    same(one, other, CAPACITY, factor)
    same(one, other, ("rebuild", "node_losses", "losses_writing"))


@tried
@given(clusters(), st.data())
def test_the_order_of_groups_does_not_matter(cluster: Cluster, data: st.DataObject) -> None:
    mixed = tuple(data.draw(st.permutations(cluster.groups)))
    one, other = both(cluster, replace(cluster, groups=mixed, pools=cluster.pools[::-1]))
    same(one, other, (*CAPACITY, "rebuild", "node_losses", "losses_writing"))


@tried
@given(clusters(), st.data())
def test_a_group_in_two_halves_is_the_same(cluster: Cluster, data: st.DataObject) -> None:
    number = data.draw(st.integers(0, len(cluster.groups) - 1))
    half = cluster.groups[number]
    whole = replace(half, count=2 * half.count)
    one, other = both(with_group(cluster, number, whole), with_group(cluster, number, half, half))
    same(one, other, (*CAPACITY, "rebuild", "node_losses", "losses_writing"))


@tried
@given(clusters("one pool"), clusters("one pool"))
def test_two_pools_on_nodes_of_their_own_add_up(first: Cluster, second: Cluster) -> None:
    other = Cluster(
        tuple(replace(g, drives=tuple(replace(d, pool="other") for d in g.drives)) for g in second.groups),
        tuple(replace(pool, name="other") for pool in second.pools),
    )
    together = Cluster((*first.groups, *other.groups), (*first.pools, *other.pools))
    found = figures({"first": first, "second": second, "both": together})
    for name in ("raw", "usable", "recommended", "unused", "safe"):
        wanted = amount(found["first"], name) + amount(found["second"], name)
        assert close(amount(found["both"], name), wanted, amount(found["both"], "raw")), name
    losses = [amount(found[name], "node_losses") for name in ("first", "second")]
    assert amount(found["both"], "node_losses") == min(losses)
