"""Groups of nodes: the parts that belong to them, and what was measured at the plug."""

from __future__ import annotations

from math import isnan

from tco.addresses import label
from tco.read.curves import place
from tco.read.found import Found, of, tell_absent
from tco.read.problems import Problems, shown
from tco.study import Node, Part, Scenario


def check_nodes(found: Found, scenario: Scenario, problems: Problems) -> None:
    """The groups of one scenario and the parts that name them fit together."""
    table, nodes = found.parts_of(scenario), of(found.nodes, scenario)
    groups: dict[str, Node] = {}
    for node in nodes:
        first = groups.setdefault(node.node, node)
        if node.node and first is not node:
            message = f"node {shown(node.node)} of this scenario stands in line {first.places[''].line} already"
            problems.add(place(node, "node"), message)
        _check_measured(node, problems)
    _check_membership(found, table.rows, groups, problems)
    members_of: dict[str, list[Part]] = {}
    for part in table.rows:
        members_of.setdefault(part.node, []).append(part)
    for node in groups.values():
        if not node.node:  # refused
            continue
        members = members_of.get(node.node, [])
        if not members and table.whole:
            where = f"any part of {table.file}" if table.file else "this scenario: it has no parts list"
            tell_absent(node, "node", "node", where, set(members_of), problems)
        _check_quantities(node, members, problems)
        _check_leaving(found, node, members, problems)


def _check_measured(node: Node, problems: Problems) -> None:
    """One measurement a node; a busy power alone, or one below the idle power, is a slip."""
    for name in ("measured_idle", "measured_busy"):
        if "log" in node.places and name in node.places:
            message = f"log: '{label(name)}' stands in {place(node, name)} already; keep one measurement"
            problems.add(place(node, "log"), message)
            return
    if node.measured_busy is None:
        return
    if node.measured_idle is None:
        problems.add(place(node, "measured_busy"), "measured busy: needs 'measured idle' beside it")
    elif node.measured_busy < node.measured_idle:
        message = f"measured busy: {node.measured_busy:g} W is below the idle power, {node.measured_idle:g} W"
        problems.add(place(node, "measured_busy"), message)


def _check_membership(found: Found, parts: list[Part], groups: dict[str, Node], problems: Problems) -> None:
    """Where a scenario lists its groups, each part's group is among them."""
    if not groups or not found.nodes.whole:
        return
    for part in parts:
        if part.node and part.node not in groups:
            tell_absent(part, "node", "node", found.nodes.file, set(groups), problems)


def _check_quantities(node: Node, members: list[Part], problems: Problems) -> None:
    """Equal nodes have equal parts: quantities are multiples of their count."""
    for part in members:
        if isnan(part.quantity) or isnan(node.count) or not part.quantity % node.count:
            continue
        message = (
            f"quantity: {part.quantity} cannot be shared evenly by the {node.count} nodes {shown(node.node)} "
            f"({place(node, 'count')}); parts that only some nodes have need a group of their own, or none"
        )
        problems.add(place(part, "quantity"), message)


def _check_leaving(found: Found, node: Node, members: list[Part], problems: Problems) -> None:
    """What a measurement covers is the parts a node was bought with; it ends with them, so they leave together."""
    name = "log" if "log" in node.places else "measured_idle"
    if node.measured_idle is None and name != "log":
        return
    first = min((part.bought for part in members if part.quantity > 0), default=0)
    covered = [part for part in members if part.quantity > 0 and part.bought == first]
    ends = {part.leaves or found.settings.horizon for part in covered if not isnan(part.leaves or 0)}
    if len(ends) > 1 and not isnan(found.settings.horizon):
        message = (
            f"{label(name)}: the parts it covers leave in different months "
            f"({', '.join(str(month) for month in sorted(ends))}); a measured node leaves as a whole"
        )
        problems.add(place(node, name), message)
