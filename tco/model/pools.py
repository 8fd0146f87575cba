"""What a pool of drives can hold: copies, or data and parity pieces, each on another node.

Nodes fail as a whole. With capacities c_i of nodes and p pieces of everything (p copies, or k data and m parity
pieces), a piece position takes the largest U with sum min(c_i, U) >= p U; usable are k U. Equivalent, with the nodes
from the largest down: U = min over j < p of (all but the j largest) / (p - j). Of equal nodes the first j counts, so
groups of equal nodes need one term each (R. McNaughton's wrap-around rule, Management Science 6, 1959;
tests/published/capacity.py). All by phase; all live.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from tco.engine import Column, Constant, Node, Table, added, at, call, least, most
from tco.engine.nodes import plain
from tco.model.ground import Ground
from tco.model.phases import in_use, over_parts
from tco.study import Pool
from tco.units import unit

FEW_NODES = "none: fewer nodes than pieces"
NESTED = 30  # cases in one formula: programs nest 64 deep at most
NOTHING = Constant(0.0, unit("TB"))
TINY = Constant(1e-9, unit("TB"))  # what a division by nothing would divide by


@dataclass(frozen=True)
class Group:
    """Equal nodes of one pool: their row in the table of nodes, the rows of their drives in the parts list."""

    node: str
    row: int
    drives: tuple[int, ...]


@dataclass(frozen=True)
class Scheme:
    """One pool: its row in the table of pools, the groups of nodes with its drives."""

    ground: Ground
    row: int
    pool: Pool
    groups: tuple[Group, ...]

    @property
    def table(self) -> Table:
        return self.ground.model.tables[f"pool {self.pool.pool} of {self.ground.scenario.scenario}"]

    def of(self, name: str) -> Column:
        """A column of the pool's own table, one row a phase."""
        return self.ground.own(f"pool {self.pool.pool}", name)

    def given(self, name: str) -> Node:
        """An input of the pool."""
        return at(self.ground.own("pools", name), self.row)

    @property
    def data(self) -> Node:
        """k: the pieces that restore the whole; 1 for copies."""
        return plain(1.0) if self.pool.copies is not None else self.given("data")

    @property
    def parity(self) -> Node:
        """m: how many pieces may be lost."""
        return self.given("copies") - 1.0 if self.pool.copies is not None else self.given("parity")

    @property
    def pieces(self) -> Node:
        """p = k + m."""
        return self.given("copies") if self.pool.copies is not None else self.given("data") + self.given("parity")

    def put(self, name: str, label: str, unit_text: str, formula: Any, **about: Any) -> Column:
        """A column of the pool's table."""
        return self.ground.model.column(self.table, name, label, unit_text, formula, **about)


def schemes(ground: Ground) -> tuple[Scheme, ...]:
    """The pools of a scenario that have drives, in its order."""
    found = (Scheme(ground, row, pool, groups_of(ground, pool)) for row, pool in enumerate(ground.scenario.pools))
    return tuple(one for one in found if one.groups)


def groups_of(ground: Ground, pool: Pool) -> tuple[Group, ...]:
    """The groups of nodes in which a pool's drives stand, in the order of nodes.csv."""
    parts = ground.scenario.parts
    own = [row for row, part in enumerate(parts) if part.pool == pool.pool and part.quantity]
    drives = {
        number: tuple(row for row in own if parts[row].node == node.node)
        for number, node in enumerate(ground.scenario.nodes)
    }
    return tuple(Group(ground.scenario.nodes[number].node, number, rows) for number, rows in drives.items() if rows)


def pool_table(one: Scheme) -> None:
    """All of a pool: its nodes, what it holds, what stays safe."""
    phases = one.ground.own("phases", "month").table
    one.ground.table(f"pool {one.pool.pool}", f"Pool: {one.pool.pool}", phases.rows, axis=phases.axis)
    for group in one.groups:
        group_columns(one, group)
    one.put("nodes", "nodes with its drives", "", added([one.of(f"nodes {g.node}") for g in one.groups]))
    one.put("raw", "raw capacity", "TB", added([whole(one, g) for g in one.groups]))
    for group in one.groups:
        shared_out(one, group)
    usable(one)
    safe(one)
    one.put("losses", "node losses that lose no data", "", call("where", enough(one), one.parity, 0.0))
    made_good = spare_node(one) * call("at_least", one.parity, 1.0)
    label = "a lost node is rebuilt on the others, or there is none (1)"
    one.put("rebuilds", label, "", call("larger", made_good, is_absent(one)))
    left = call("at_least", one.data * one.of("after_loss"), one.of("recommended"))
    one.put("holds", "the others hold then what the fill limit lets in (1)", "", call("larger", left, is_absent(one)))
    label = "a lost node is rebuilt on the others at the fill limit (1)"
    one.put("whole", label, "", one.of("rebuilds") * one.of("holds"))
    one.put("lacking", "fewer nodes than pieces (1)", "", lacks_nodes(one))


def whole(one: Scheme, group: Group) -> Node:
    """The capacity of all nodes of a group."""
    return one.of(f"nodes {group.node}") * one.of(f"one {group.node}")


def group_columns(one: Scheme, group: Group) -> None:
    """How many nodes of a group there are, what one of them holds, its largest drive."""
    ground, count = one.ground, at(one.ground.own("nodes", "count"), group.row)
    here = count * most([in_use(ground, row) for row in group.drives])
    one.put(f"nodes {group.node}", f"{group.node}: nodes", "", here)
    one.put(
        f"one {group.node}",
        f"{group.node}: capacity of one",
        "TB",
        over_parts(ground, group.drives, "capacity") / call("larger", count, 1.0),
    )
    sizes = [at(ground.part("capacity"), row) * in_use(ground, row) for row in group.drives]
    one.put(f"largest {group.node}", f"{group.node}: its largest drive", "TB", most(sizes))


def shared_out(one: Scheme, group: Group) -> None:
    """How many nodes hold more than one of this group, and what all the others hold together."""
    own = one.of(f"one {group.node}")
    larger = {
        other.node: call("more_than", one.of(f"one {other.node}"), own) for other in one.groups if other != group
    }
    above = [one.of(f"nodes {node}") * flag for node, flag in larger.items()]
    one.put(f"above {group.node}", f"{group.node}: nodes larger than one", "", added(above) if above else 0.0)
    rest = [whole(one, g) * (1.0 - larger[g.node]) if g.node in larger else whole(one, g) for g in one.groups]
    one.put(f"below {group.node}", f"{group.node}: capacity of all not larger", "TB", added(rest))


def bound(one: Scheme, group: Group) -> Node:
    """What a piece position may take at most, if all nodes larger than those of a group are filled to it."""
    above, left = one.of(f"above {group.node}"), one.pieces - one.of(f"above {group.node}")
    share = one.of(f"below {group.node}") / left
    return call("where", call("more_than", one.pieces, above), share, one.of("raw"))


def bound_after_loss(one: Scheme, group: Group) -> Node:
    """As bound, without the largest node: one of those above, or one of the group itself where none is above."""
    above, below = one.of(f"above {group.node}"), one.of(f"below {group.node}")
    left = one.pieces + 1.0 - above
    share = call("where", call("more_than", left, 0.0), below / left, one.of("raw"))
    itself = (below - one.of(f"one {group.node}")) / one.pieces
    return call("where", call("at_least", above, 1.0), share, itself)


def enough(one: Scheme) -> Node:
    """Whether there are as many nodes as pieces."""
    return call("at_least", one.of("nodes"), one.pieces)


def lacks_nodes(one: Scheme) -> Node:
    """Whether its drives are there, on fewer nodes than pieces."""
    return (1.0 - enough(one)) * (1.0 - is_absent(one))


def is_absent(one: Scheme) -> Node:
    """Whether none of its drives is there."""
    return call("more_than", 1.0, one.of("nodes"))


def spare_node(one: Scheme) -> Node:
    """Whether there are more nodes than pieces."""
    return call("more_than", one.of("nodes"), one.pieces)


def usable(one: Scheme) -> None:
    """What the pool holds when full, what is recommended, what finds no partner, what would free it."""
    largest = least([bound(one, group) for group in one.groups])
    piece = one.put("piece", "a piece position", "TB", call("where", enough(one), largest, NOTHING))
    full = one.put("usable", "usable when full", "TB", one.data * piece)
    one.put("recommended", "room within the fill limit", "TB", one.given("fill_limit") * full)
    one.put("unused", "capacity that cannot be used", "TB", beyond(one.of("raw"), one.pieces * piece))
    wanted = one.pieces * most([one.of(f"one {group.node}") for group in one.groups])
    one.put("to_free", "more on the smaller nodes would free it", "TB", enough(one) * beyond(wanted, one.of("raw")))


def beyond(more: Any, less: Any) -> Node:
    """By how much one capacity is above another; nothing where they are alike but for rounding."""
    return call("where", call("more_than", more - less, more * 1e-12), more - less, NOTHING)


def safe(one: Scheme) -> None:
    """What can be held so that after one loss all is whole again within the fill limit, and which case that is."""
    without = least([bound_after_loss(one, group) for group in one.groups])
    after = one.put("after_loss", "a piece position without the largest node", "TB", without)
    left = least([drive_lost(one, group) for group in one.groups])
    spare = one.put("drive_lost", "a piece position without a node's largest drive", "TB", left)
    waiting = call("where", enough(one), spare, NOTHING)
    held = call("where", spare_node(one), after, waiting) * call("at_least", one.parity, 1.0)
    one.put("safe", "safe: whole again after one loss", "TB", one.given("fill_limit") * one.data * held)
    cases: list[tuple[Any, str]] = [
        (is_absent(one), "its drives are not there yet, or no more"),
        (1.0 - enough(one), FEW_NODES),
        (1.0 - call("at_least", one.parity, 1.0), "none: no redundancy"),
        (spare_node(one), "a lost node is rebuilt on the others"),
        (1.0, "a lost drive is rebuilt in its node; a lost node waits for its replacement"),
    ]
    in_words(one.put, "safe_case", "safe after which loss", cases)


def drive_lost(one: Scheme, group: Group) -> Node:
    """What is left of a node without its largest drive; as much as all where the group is not there."""
    left = one.of(f"one {group.node}") - one.of(f"largest {group.node}")
    if len(one.groups) == 1:
        return left
    return call("where", call("more_than", one.of(f"nodes {group.node}"), 0.0), left, one.of("raw"))


def in_words(put: Callable[..., Column], name: str, label: str, cases: Sequence[tuple[Any, str]]) -> Column:
    """A column of words: those of the first case that holds; the last one must always hold."""
    kept = first_that_holds(put, f"{name}_state", f"{label}: which words", [holds for holds, _ in cases])
    return put(name, label, "", 0.0, state=kept, words=tuple(words for _, words in cases))


def first_that_holds(put: Callable[..., Column], name: str, label: str, cases: Sequence[Any]) -> Column:
    """The number of the first case that holds, from 1; of many, worked out in several columns one after the other."""
    before: Column | None = None
    for start in range(0, len(cases), NESTED):
        state: Node = plain(0.0)
        for number, holds in reversed(list(enumerate(cases[start : start + NESTED], start=start + 1))):
            state = call("where", holds, float(number), state)
        is_last = start + NESTED >= len(cases)
        if before is not None:
            state = call("where", call("more_than", before, 0.0), before, state)
        before = put(name if is_last else f"{name} {start}", label, "", state)
    assert before is not None
    return before
