"""Recovery: how long until all is whole again after a drive or a node is lost, and what that adds up to in a year.

The pool is filled to its fill limit. D bytes are lost; k D are read from the other nodes and travel, D are written.
Other nodes give, and take where there is room, in proportion to what they hold, within by drive. Where what was lost
has no place on the others the lead time comes first and the replacement is the single target. The slowest drive or
link decides: all at once, nothing else going on, so a floor and no promise.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tco.engine import Column, Constant, Node, added, at, call, most
from tco.engine.nodes import as_node, in_unit
from tco.model.ceilings import DOES, part_of_node, rate, unknown
from tco.model.ground import Ground
from tco.model.phases import in_use, while_there
from tco.model.pools import TINY, Group, Scheme, in_words
from tco.units import unit

NO_TIME = Constant(0.0, unit("h"))
STEPS = {"reading": "what the sources read", "writing": "what the targets write", "network": "the network"}


def why_unknown(ground: Ground, pools: Sequence[Scheme]) -> str:
    """Which input is missing to know recovery times; empty where none is."""
    return next((text for way in DOES if (text := unknown(ground, pools, way, clients=False))), "")


def recovery(one: Scheme) -> None:
    """How long the pool takes after each kind of loss, and its longest."""
    for group in one.groups:
        own_hours(one, group)
    for group in one.groups:
        node_recovery(one, group)
    drives = [drive_recovery(one, group, row) for group in one.groups for row in group.drives]
    for step, words in STEPS.items():
        found = most([one.of(f"{step} {group.node}") for group in one.groups])
        one.put(f"recovery_{step}", f"recovery of a node: {words}", "h", found)
    bottleneck(one)
    nodes = [one.of(f"recovery {group.node}") for group in one.groups]
    one.put("recovery_node", "recovery of a node, longest", "h", most(nodes))
    one.put("recovery_drive", "recovery of a drive, longest", "h", most(drives))


def bottleneck(one: Scheme) -> None:
    """Which of reading, writing and network takes longest once recovery has begun."""
    steps = [one.of(f"recovery_{step}") for step in STEPS]
    cases = [(call("at_least", step, most(steps)), words) for step, words in zip(steps, STEPS.values(), strict=True)]
    in_words(one.put, "recovery_bottleneck", "what limits recovery", cases)


def own_hours(one: Scheme, group: Group) -> None:
    """How long a node of a group takes to read, to write, to send all that it holds when full."""
    ground, held = one.ground, one.of(f"held {group.node}")
    for way, step in DOES.items():
        slowest = most([part_of_node(one, group, row) / rate(ground, row, way) for row in group.drives])
        one.put(f"all {step} {group.node}", f"{group.node}: {step} all that one holds", "h", held * slowest)
    apart = ground.scenario.nodes[group.row].replication_link is not None
    own = at(ground.own("nodes", "replication_link" if apart else "client_link"), group.row)
    one.put(f"all network {group.node}", f"{group.node}: sending all that one holds", "h", held / own)


def slowest_other(one: Scheme, group: Group, step: str) -> Node:
    """The longest of the others' hours when one node of a group is lost; its like are among the others."""
    alone = call("more_than", 2.0, one.of(f"nodes {group.node}"))
    own = one.of(f"all {step} {group.node}") * (1.0 - alone)
    return most([one.of(f"all {step} {g.node}") if g != group else own for g in one.groups])


def node_recovery(one: Scheme, group: Group) -> None:
    """After losing one node of a group: reading, writing, network, and all together with the lead time."""
    held = one.of(f"held {group.node}")
    others = call("larger", one.pieces * one.of("piece") - held, TINY)
    label = f"recovery of {group.node}"
    lost = one.put(
        f"lost {group.node}",
        f"{label}: lost bytes by what the others hold",
        "",
        one.given("fill_limit") * (held / others),
    )
    spare = one.of("whole")
    alone = one.given("fill_limit") * one.of(f"all writing {group.node}")
    received = one.given("fill_limit") * one.data * one.of(f"all network {group.node}")
    sent = one.data * lost * slowest_other(one, group, "network")
    steps = {
        "reading": one.data * lost * slowest_other(one, group, "reading"),
        "writing": call("where", spare, lost * slowest_other(one, group, "writing"), alone),
        "network": call("where", spare, sent, call("larger", sent, received)),
    }
    found = [one.put(f"{step} {group.node}", f"{label}: {STEPS[step]}", "h", node) for step, node in steps.items()]
    one.put(f"recovery {group.node}", label, "h", is_here(one, group) * (waiting(one) + most(found)))


def waiting(one: Scheme) -> Node:
    """The lead time, where a lost node is not rebuilt on the others."""
    if one.pool.lead_time is None:
        return NO_TIME
    return (1.0 - one.of("whole")) * one.given("lead_time")


def drive_recovery(one: Scheme, group: Group, row: int) -> Column:
    """After losing one drive: as its node, for its part of it; a replaced drive writes all of its own."""
    ground, share = one.ground, part_of_node(one, group, row)
    own = one.given("fill_limit") * one.of(f"held {group.node}") * share
    alone = in_hours(own / rate(ground, row, "write"))
    writing = call("where", one.of("whole"), share * one.of(f"writing {group.node}"), alone)
    steps = [share * one.of(f"reading {group.node}"), writing, share * one.of(f"network {group.node}")]
    part = ground.scenario.parts[row].part
    time = in_use(ground, row) * (waiting(one) + most(steps))
    return one.put(f"recovery_of_drive {row}", f"recovery of one {part}", "h", time)


def node_hours(ground: Ground, pools: Sequence[Scheme]) -> list[Column]:
    """How long after losing a node of each group, all its pools together."""
    rows = sorted({group.row for one in pools for group in one.groups})
    return [
        group_hours(ground, [(one, group) for one in pools for group in one.groups if group.row == row])
        for row in rows
    ]


def group_hours(ground: Ground, lost: Sequence[tuple[Scheme, Group]]) -> Column:
    """One group: pools that are rebuilt at once share the links, and so do those that wait for the replacement."""
    (one, group), *more = lost
    time: Node = as_node(one.of(f"recovery {group.node}"))
    if more:
        waits = [is_here(pool, own) * waiting(pool) for pool, own in lost]
        at_once = together(lost, [as_node(pool.of("whole")) for pool, _ in lost])
        later = together(lost, [1.0 - pool.of("whole") for pool, _ in lost])
        time = most([at_once, most(waits) + later])
    return ground.model.column(ground.phases, f"recovery {group.node}", f"recovery of {group.node}", "h", time)


def is_here(one: Scheme, group: Group) -> Node:
    """Whether there are nodes of a group."""
    return call("more_than", one.of(f"nodes {group.node}"), 0.0)


def together(lost: Sequence[tuple[Scheme, Group]], counts: Sequence[Node]) -> Node:
    """Hours in which several pools recover at once from the loss of a node; counts: whether each takes part (1)."""
    steps: list[Node] = []
    busy: dict[int, list[Node]] = {}
    received: list[Node] = []
    for (pool, group), count in zip(lost, counts, strict=True):
        steps += [count * pool.of(f"{step} {group.node}") for step in ("reading", "writing")]
        for other in pool.groups:
            busy.setdefault(other.row, []).append(count * sent_by(pool, group, other))
        taken_in = pool.given("fill_limit") * pool.data * pool.of(f"all network {group.node}")
        received.append(count * (1.0 - pool.of("whole")) * taken_in)
    return most([*steps, *(added(one) for one in busy.values()), added(received)])


def sent_by(one: Scheme, lost: Group, other: Group) -> Node:
    """How long the link of a node of another group is busy after a loss; a lost one that is alone sends nothing."""
    hours = one.data * one.of(f"lost {lost.node}") * one.of(f"all network {other.node}")
    return hours * call("at_least", one.of(f"nodes {other.node}"), 2.0) if other == lost else hours


def in_hours(time: Any) -> Node:
    """A time in hours."""
    return in_unit(as_node(time), unit("h"), "a time")


def exposed(ground: Ground, pools: Sequence[Scheme]) -> Node:
    """Hours a year in which redundancy is less than it should be: expected failures a year times recovery time."""
    drives = {row: one.of(f"recovery_of_drive {row}") for one in pools for g in one.groups for row in g.drives}
    holding = {group.node for one in pools for group in one.groups}
    others = {
        row: ground.own("phases", f"recovery {part.node}")
        for row, part in enumerate(ground.scenario.parts)
        if part.node in holding and part.quantity and not part.pool
    }
    times = {**drives, **others}
    failing = {row: time for row, time in times.items() if ground.scenario.parts[row].failures and stays(ground, row)}
    terms = [exposed_by(ground, row, time) for row, time in sorted(failing.items())]
    return added(terms) if terms else NO_TIME / Constant(1.0, unit("year"))


def stays(ground: Ground, row: int) -> bool:
    """Whether a row of the parts list is there for any month: what is bought in the last one can no longer fail."""
    return ground.slots[row].leaves > ground.slots[row].part.bought


def exposed_by(ground: Ground, row: int, time: Column) -> Column:
    """What the failures of one row of the parts list add."""
    hours = while_there(ground, row, failures_a_year(ground, row) * time)
    label = f"hours a year with less redundancy, {ground.scenario.parts[row].part}"
    return ground.model.column(ground.phases, f"exposed {row}", label, "h/year", hours)


def failures_a_year(ground: Ground, row: int) -> Node:
    """Expected failures a year of all units of a row of the parts list, evenly over the time that it is there."""
    slot = ground.slots[row]
    years = Constant((slot.leaves - slot.part.bought) / 12, unit("year"))
    each = call("sum_of", ground.own("units", f"failures {row}"))
    return at(ground.part("quantity"), row) * each / years
