"""What drives and links allow clients, and how long recovery takes, against bytes traced object by object."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.clusters import (
    MB_OF_GBIT,
    Cluster,
    Drives,
    Figures,
    Group,
    Pool,
    amount,
    boxes,
    figures,
    measures,
    scaled,
    with_drives,
)
from tests.model.flows import (
    Key,
    ceiling,
    drive_hours,
    node_hours,
    recovered_by_objects,
    recovered_by_shares,
    recovery_drive,
    recovery_node,
    rows,
    traffic,
    usable,
)
from tests.model.placing import laid_by_programme, laid_evenly, laid_in_rows
from tests.random_clusters import clusters, measured, some

WAYS = pytest.mark.parametrize("way", ["read", "write"])
CEILINGS = ("read", "write", "one_client_read", "one_client_write")
RECOVERY = ("recovery_node", "recovery_drive")
FAST = 1e6  # MB/s: drives that never limit
KINDS = pytest.mark.parametrize("kind", ["redundant", "equal", "just enough"])
EXACT = pytest.mark.parametrize("kind", ["equal", "just enough"])  # where lost objects lie evenly on the other nodes
tried = settings(max_examples=12, deadline=None, derandomize=True)


def close(found: float, wanted: float) -> bool:
    """Equal to rounding."""
    return found == pytest.approx(wanted, rel=1e-9, abs=1e-12)


def same(one: Figures, other: Figures, names: Iterable[str]) -> None:
    """The same figures of both."""
    for name in names:
        assert close(amount(other, name), amount(one, name)), name


def even(nodes: int, pool: Pool, client: float = 1.0, replication: float = 0.0, speed: float = FAST) -> Cluster:
    """Equal nodes of two drives of 8 TB."""
    return Cluster((Group(nodes, (Drives(2, 8.0, pool.name, speed, speed),), client, replication),), (pool,))


# the references against each other


def by_shares(cluster: Cluster, way: str) -> float:
    """The ceiling from each node's share of the bytes, without going through objects."""
    homes, loads = boxes(cluster), []
    for box in homes:
        client = between = 0.0
        for pool, part in zip(cluster.pools, traffic(homes, cluster.pools), strict=True):
            if not box.of(pool.name):
                continue
            volume = usable(homes, pool) / pool.data
            share = part * min(box.capacity(pool.name), volume) / (pool.pieces * volume)
            client += share
            between += share * ((pool.data if way == "read" else pool.pieces) - 1) / pool.data
            written = 1.0 if way == "read" else pool.pieces / pool.data
            own = share * written / box.capacity(pool.name)
            loads += [own * disk.capacity / getattr(disk, way) for disk in box.of(pool.name)]
        apart = [client / box.client, between / box.replication] if box.replication else []
        loads += apart or [(client + between) / box.client]
    return 1 / max(loads)


@WAYS
@KINDS
def test_shares_are_what_objects_move(kind: str, way: str) -> None:
    for cluster in some(kind):
        wanted = by_shares(cluster, way)
        for lay in (laid_in_rows, laid_by_programme):
            assert close(ceiling(cluster, way, lay)[0], wanted), cluster


@EXACT
@pytest.mark.parametrize("longest", [recovery_node, recovery_drive])
def test_shares_of_a_recovery_are_what_objects_move(longest, kind: str) -> None:  # type: ignore[no-untyped-def]
    for cluster in some(kind):
        assert close(longest(cluster, recovered_by_objects), longest(cluster, recovered_by_shares)), cluster


# throughput


LAYS = {"redundant": laid_in_rows, "equal": laid_evenly, "just enough": laid_evenly}


@WAYS
@KINDS
def test_the_ceiling_is_where_a_drive_or_link_is_full(kind: str, way: str) -> None:
    for cluster, found in measured(kind):
        wanted, _ = ceiling(cluster, way, LAYS[kind])
        assert close(amount(found, way), wanted), cluster
        assert close(amount(found, f"one_client_{way}"), min(wanted, cluster.one_client * MB_OF_GBIT)), cluster


def shared(way: str, pool: Pool, n: int, nic: float) -> float:
    """model.md section 8, one network for clients and replication, in MB/s."""
    k, m = pool.data, pool.parity
    if k == 1:
        return n * nic if way == "read" else n * nic / (1 + m)
    return n * nic / (1 + ((k - 1) if way == "read" else (k + m - 1)) / k)


SCHEMES = pytest.mark.parametrize("pool", [Pool(1, 0), Pool(1, 1), Pool(1, 2), Pool(2, 1), Pool(4, 2)], ids=str)


@WAYS
@SCHEMES
@pytest.mark.parametrize("nodes", [6, 7])
def test_one_network_for_both(pool: Pool, nodes: int, way: str) -> None:
    cluster = even(nodes, pool, client=2.5)
    wanted = shared(way, pool, nodes, 312.5)
    assert close(ceiling(cluster, way, laid_evenly)[0], wanted)
    assert close(amount(measures(cluster), way), wanted)


def separate(way: str, pool: Pool, n: int, client: float, replication: float) -> float:
    """model.md section 8, separate networks, in MB/s."""
    k, m = pool.data, pool.parity
    sent = k - 1 if way == "read" else k + m - 1
    return min(n * client, n * replication * k / sent if sent else math.inf)


@WAYS
@pytest.mark.parametrize("replication", [0.5, 1.0, 2.0, 3.0, 10.0])
@SCHEMES
def test_a_network_for_replication_alone(pool: Pool, replication: float, way: str) -> None:
    cluster = even(7, pool, 1.0, replication)
    wanted = separate(way, pool, 7, 125.0, 125.0 * replication)
    assert close(ceiling(cluster, way, laid_evenly)[0], wanted)
    assert close(amount(measures(cluster), way), wanted)


@pytest.mark.parametrize(("pool", "factor"), [(Pool(1, 0), 1.0), (Pool(1, 2), 3.0), (Pool(4, 2), 1.5)], ids=str)
def test_the_slowest_drive_for_its_share_limits(pool: Pool, factor: float) -> None:
    """A drive of 4 TB beside one of 12 TB has a quarter of its node's data; twelve and four nodes in six."""
    drives = (Drives(1, 12.0, read=240.0, write=150.0), Drives(1, 4.0, read=70.0, write=60.0))
    found = measures(Cluster((Group(6, drives, 1000.0),), (pool,)))
    assert close(amount(found, "read"), 6 * min(240 / 0.75, 70 / 0.25))
    assert close(amount(found, "write"), 6 * min(150 / 0.75, 60 / 0.25) / factor)


def test_bytes_follow_data() -> None:
    """8, 8 and 4 TB, two copies: 0.4, 0.4 and 0.2 of all bytes; the small node's drive has half as much to do."""
    large, small = (Group(n, (Drives(1, size, read=100, write=100),), 1000) for n, size in ((2, 8.0), (1, 4.0)))
    found = measures(Cluster((large, small)))
    assert close(amount(found, "read"), 100 / 0.4)
    assert close(amount(found, "write"), 100 / 0.8)


def test_what_a_large_node_cannot_use_draws_no_bytes() -> None:
    """10, 4 and 4 TB, two copies: 8 TB usable, so that half of all bytes lie on the large node, not 10 / 18."""
    large, small = (Group(n, (Drives(1, size, read=100, write=100),), 1000) for n, size in ((1, 10.0), (2, 4.0)))
    assert close(amount(measures(Cluster((large, small))), "read"), 100 / 0.5)


def test_two_pools_on_one_link_share_it() -> None:
    """Of a byte written 0.3 go three times over the link, 0.7 (2 + 1) twice."""
    drives = (Drives(1, 8.0, "main", FAST, FAST), Drives(1, 8.0, "other", FAST, FAST))
    pools = (Pool(1, 2, traffic=0.3), Pool(2, 1, "other", traffic=0.7))
    found = measures(Cluster((Group(4, drives, 1.0),), pools))
    assert close(amount(found, "write"), 4 * 125 / (0.3 * 3 + 0.7 * 2))
    assert close(amount(found, "read"), 4 * 125 / (0.3 + 0.7 * 1.5))


def test_traffic_that_is_not_stated_goes_where_there_is_most_room() -> None:
    """Three nodes of 8 TB, two copies: 12 TB; their drives of 2 TB without copies: 6 TB."""
    drives = (Drives(1, 8.0, "main", FAST, 90.0), Drives(1, 2.0, "other", FAST, 100.0))
    found = measures(Cluster((Group(3, drives, 1000.0),), (Pool(1, 1), Pool(1, 0, "other"))))
    assert close(amount(found, "write"), min(3 * 90 / (2 * 12 / 18), 3 * 100 / (6 / 18)))


@pytest.mark.parametrize(
    ("setting", "left"), [((), 0.8), (("system takes,0 %",), 1.0), (("system takes,35 %",), 0.65)]
)
def test_a_system_on_a_drive_takes_its_part(setting: tuple[str, ...], left: float) -> None:
    drives = (Drives(1, 8.0, read=200.0, write=100.0, system=True), Drives(1, 8.0, read=200.0, write=100.0))
    cluster = Cluster((Group(5, drives, 1000.0),))
    found = figures({"it": cluster}, settings=setting)["it"]
    assert close(amount(found, "read"), 5 * 2 * 200 * left)
    assert close(amount(found, "write"), 5 * 2 * 100 * left / 2)
    assert close(amount(found, "recovery_drive"), 0.8 * 8e6 / 4 / (2 * 100 * left) / 3600)


# what limits, in words


def test_the_bottleneck_is_named() -> None:
    slow = (Drives(1, 8.0, read=500.0, write=100.0), Drives(1, 8.0, read=400.0, write=600.0))
    found = measures(Cluster((Group(3, slow, 1000.0),)))
    assert found["read_bottleneck"] == "drives: drive 0 1"
    assert found["write_bottleneck"] == "drives: drive 0 0"


@WAYS
@KINDS
def test_the_bottleneck_is_what_the_trace_finds(kind: str, way: str) -> None:
    tried = 0
    for cluster, found in measured(kind):
        _, key = ceiling(cluster, way)
        if faster(cluster, key, way) > 1.001:  # no two limit at once
            assert found[f"{way}_bottleneck"] == named(cluster, key), cluster
            tried += 1
    assert tried > len(some(kind)) / 2


def named(cluster: Cluster, key: Key) -> str:
    """What limits, in words: a part, or the link of a group."""
    node, what, _ = key
    box = boxes(cluster)[int(str(node))]
    if isinstance(what, int):
        return f"drives: drive {box.group} {box.disks[what].row}"
    link = (
        "replication network" if what == "replication" else "network" if box.replication else "network, one for all"
    )
    return f"{link}: group {box.group}"


def faster(cluster: Cluster, key: Key, way: str) -> float:
    """How much the ceiling rises where what limits it is 1 % faster: nothing if something else limits as well."""
    node, what, _ = key
    box = boxes(cluster)[int(str(node))]
    group = cluster.groups[box.group]
    if isinstance(what, int):
        drives = list(group.drives)
        row = box.disks[what].row
        drives[row] = replace(drives[row], **{way: getattr(drives[row], way) * 1.01})
        better = replace(group, drives=tuple(drives))
    else:
        better = replace(group, **{str(what): getattr(group, str(what)) * 1.01})
    groups = [*cluster.groups[: box.group], better, *cluster.groups[box.group + 1 :]]
    return ceiling(replace(cluster, groups=tuple(groups)), way)[0] / ceiling(cluster, way)[0]


# recovery


LONGEST = {"recovery_node": recovery_node, "recovery_drive": recovery_drive}


@EXACT
@pytest.mark.parametrize("measure", LONGEST)
def test_recovery_is_what_objects_need(measure: str, kind: str) -> None:
    for cluster, found in measured(kind):
        assert close(amount(found, measure), LONGEST[measure](cluster, recovered_by_objects)), cluster


@pytest.mark.parametrize("measure", LONGEST)
def test_recovery_of_unequal_nodes_follows_what_they_hold(measure: str) -> None:
    for cluster, found in measured("redundant"):
        assert close(amount(found, measure), LONGEST[measure](cluster, recovered_by_shares)), cluster


def test_copies_move_each_byte_once() -> None:
    """Five nodes, two copies, 80 % of 16 TB lost: a quarter of it from and to each other node, by 1 Gbit/s."""
    assert close(amount(measures(even(5, Pool(1, 1))), "recovery_node"), 0.8 * 16e6 / 4 / 125 / 3600)


def test_pieces_are_restored_from_as_many_as_data_has() -> None:
    """Seven nodes, 4 + 2: four times 80 % of 16 TB through six links."""
    assert close(amount(measures(even(7, Pool(4, 2))), "recovery_node"), 4 * 0.8 * 16e6 / 6 / 125 / 3600)


def test_without_a_spare_node_the_replacement_comes_first_and_takes_it_all() -> None:
    """Three nodes, 2 + 1, lead time 48 h: both others' data through the one link of what is put in."""
    found = measures(even(3, Pool(2, 1, lead=48.0)))
    assert close(amount(found, "recovery_node"), 48 + 2 * 0.8 * 16e6 / 125 / 3600)
    assert close(amount(found, "recovery_drive"), 48 + 2 * 0.8 * 8e6 / 125 / 3600)


def test_a_drive_that_is_put_in_writes_all_by_itself() -> None:
    """A new node's two drives write half each, a new drive alone writes its half: the same time."""
    found = measures(even(2, Pool(1, 1, lead=0.0), client=1000.0, speed=100.0))
    assert close(amount(found, "recovery_node"), 0.8 * 8e6 / 100 / 3600)
    assert close(amount(found, "recovery_drive"), 0.8 * 8e6 / 100 / 3600)


def test_recovery_goes_over_the_link_for_replication() -> None:
    assert close(amount(measures(even(5, Pool(1, 1), 1.0, 2.0)), "recovery_node"), 0.8 * 16e6 / 4 / 250 / 3600)
    assert close(amount(measures(even(5, Pool(1, 1), 1.0, 0.5)), "recovery_node"), 0.8 * 16e6 / 4 / 62.5 / 3600)


def test_recovery_needs_no_link_to_clients() -> None:
    found = measures(even(5, Pool(1, 1), 0.0, 2.0))
    assert close(amount(found, "recovery_node"), 0.8 * 16e6 / 4 / 250 / 3600)
    assert isinstance(found["read"], str)


# exposed hours


def failures_a_year(count: int, rate: float) -> float:
    """Of so many at a flat rate, each replaced at the end of its month."""
    return 12 * count * -math.expm1(-rate / 12)


def exposed(cluster: Cluster) -> float:
    """Hours a year in which something is not whole yet."""
    total = 0.0
    for group, row in rows(cluster):
        drives, count = cluster.groups[group].drives[row], cluster.groups[group].count
        total += failures_a_year(count * drives.each, drives.rate) * drive_hours(cluster, group, row)
    for group, one in enumerate(cluster.groups):
        total += failures_a_year(one.count, one.rate) * node_hours(cluster, group)
    return total


@KINDS
def test_exposed_hours_are_failures_times_recoveries(kind: str) -> None:
    for cluster, found in measured(kind):
        assert close(amount(found, "exposed_hours"), exposed(cluster)), cluster


def test_exposed_hours_are_of_a_year_however_long_the_horizon() -> None:
    cluster = some("redundant")[0]
    for months in (1, 12, 30):
        assert close(amount(measures(cluster, months), "exposed_hours"), exposed(cluster))


def test_what_stands_in_no_node_exposes_nothing() -> None:
    """A scenario's switch fails as well; no data are lost with it."""
    cluster = even(4, Pool(1, 1))
    fails = with_drives(
        replace(cluster, groups=(replace(cluster.groups[0], rate=0.03),)), lambda d: replace(d, rate=0.02)
    )
    wanted = failures_a_year(8, 0.02) * recovery_drive(fails) + failures_a_year(4, 0.03) * recovery_node(fails)
    found = figures({"it": fails}, months=24, more_parts=("switch,,1,40 EUR,,,,,,flat 0.03",))["it"]
    assert close(amount(found, "exposed_hours"), wanted)


# properties


@tried
@given(clusters("redundant"), st.data())
def test_the_order_of_groups_and_pools_does_not_matter(cluster: Cluster, data: st.DataObject) -> None:
    mixed = tuple(data.draw(st.permutations(cluster.groups)))
    found = figures({"one": cluster, "other": replace(cluster, groups=mixed, pools=cluster.pools[::-1])})
    same(found["one"], found["other"], (*CEILINGS, *RECOVERY, "exposed_hours"))


@tried
@given(clusters("redundant"), st.data())
def test_a_group_in_two_halves_is_the_same(cluster: Cluster, data: st.DataObject) -> None:
    number = data.draw(st.integers(0, len(cluster.groups) - 1))
    half = cluster.groups[number]
    before, after = cluster.groups[:number], cluster.groups[number + 1 :]
    whole = replace(cluster, groups=(*before, replace(half, count=2 * half.count), *after))
    found = figures({"one": whole, "other": replace(cluster, groups=(*before, half, half, *after))})
    same(found["one"], found["other"], (*CEILINGS, *RECOVERY, "exposed_hours"))


@tried
@given(clusters("redundant"))
def test_a_row_of_drives_in_two_is_the_same(cluster: Cluster) -> None:
    def split(drives: Drives) -> tuple[Drives, ...]:
        return (replace(drives, each=1), replace(drives, each=drives.each - 1)) if drives.each > 1 else (drives,)

    groups = tuple(
        replace(group, drives=tuple(half for drives in group.drives for half in split(drives)))
        for group in cluster.groups
    )
    found = figures({"one": cluster, "other": replace(cluster, groups=groups)})
    same(found["one"], found["other"], (*CEILINGS, *RECOVERY, "exposed_hours"))


@tried
@given(clusters("redundant"), st.sampled_from([0.5, 3.0]))
def test_larger_drives_change_no_ceiling_and_take_longer(cluster: Cluster, factor: float) -> None:
    pools = tuple(replace(pool, lead=0.0) for pool in cluster.pools)
    cluster = replace(cluster, pools=pools)
    found = figures({"one": cluster, "other": scaled(cluster, factor)})
    same(found["one"], found["other"], CEILINGS)
    for name in (*RECOVERY, "exposed_hours"):
        assert close(amount(found["other"], name), factor * amount(found["one"], name)), name


@tried
@given(clusters("redundant"), st.data())
def test_a_faster_part_never_slows_anything(cluster: Cluster, data: st.DataObject) -> None:
    number = data.draw(st.integers(0, len(cluster.groups) - 1))
    group = cluster.groups[number]
    faster_drives = tuple(replace(d, read=2 * d.read, write=3 * d.write) for d in group.drives)
    better = data.draw(
        st.sampled_from([replace(group, drives=faster_drives), replace(group, client=2 * group.client)])
    )
    groups = (*cluster.groups[:number], better, *cluster.groups[number + 1 :])
    found = figures({"one": cluster, "other": replace(cluster, groups=groups)})
    for name in CEILINGS:
        assert amount(found["other"], name) >= amount(found["one"], name) * (1 - 1e-12), name
    for name in RECOVERY:
        assert amount(found["other"], name) <= amount(found["one"], name) * (1 + 1e-12), name
