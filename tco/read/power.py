"""Power supplies and their efficiency curves: what stands behind them, and whether its load is on the curve."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import fsum, isnan

from tco.read.curves import place
from tco.read.found import Found, of, tell_absent
from tco.read.problems import Problems, shown
from tco.read.tables import Table
from tco.study import EfficiencyPoint, Node, Part, Scenario

NEAR = 1 + 1e-9  # a load that is an end of the curve in decimal figures counts as that end
Curve = tuple[EfficiencyPoint, ...]


def check_efficiency(curves: Mapping[str, Curve], problems: Problems) -> None:
    """Each efficiency curve rises in load."""
    for name, points in curves.items():
        for before, point in pairwise(points):
            if point.load <= before.load:
                message = (
                    f"curve {shown(name)}: {_percent(point.load)} after {_percent(before.load)}; loads must rise"
                )
                problems.add(place(point, "load"), message)


def _percent(share: float) -> str:
    return f"{share * 100:.4g} %"


def check_supply_parts(found: Found, table: Table[Part], problems: Problems) -> None:
    """One parts list, whichever scenarios use it: supplies say their rating and node, what is behind one its node."""
    curves = found.curves
    for part in table.rows:
        if part.efficiency and part.efficiency not in curves.efficiency and curves.efficiency_whole:
            tell_absent(part, "efficiency", "curve", "efficiency.csv", set(curves.efficiency), problems)
        if part.quantity == 0:
            continue
        if part.efficiency:
            _check_rating(part, problems)
        for name, what in (("efficiency", "whose parts it supplies"), ("watts_at", "whose supply it is behind")):
            asks = bool(part.efficiency) if name == "efficiency" else part.watts_at == "supply"
            if asks and "node" not in part.places:
                message = f"{name.replace('_', ' ')}: needs 'node' beside it, the group of nodes {what}"
                problems.add(place(part, name), message)


def _check_rating(part: Part, problems: Problems) -> None:
    """A supply's rating is the one amount in watts that it provides."""
    rated = part.ratings
    refused = "provides" in part.places and not part.provides
    if refused or (len(rated) == 1 and rated[0].count > 0):
        return
    message = "efficiency: needs the supply's rating under 'provides', in watts, such as '450 W supply'"
    if len(rated) > 1:
        listed = " and ".join(shown(str(amount)) for amount in rated[:2])
        message = f"efficiency: 'provides' has {listed}; one amount in watts must be the supply's rating"
    problems.add(place(part, "efficiency"), message)


def check_supplies(found: Found, scenario: Scenario, problems: Problems) -> None:
    """One scenario's nodes with supplies: what is behind them draws through them, at a load that is on the curve."""
    table, nodes = found.parts_of(scenario), {node.node: node for node in of(found.nodes, scenario)}
    known = {row.scenario for row in found.scenarios.rows}
    strays = {node.node for node in found.nodes.rows if node.scenario not in known}
    groups: dict[str, list[Part]] = {}
    for part in table.rows:
        if part.quantity != 0 and part.node:
            groups.setdefault(part.node, []).append(part)
    for name, parts in groups.items():
        if any("watts_at" in part.places and not part.watts_at for part in parts):  # refused
            continue
        behind = [part for part in parts if part.watts_at == "supply"]
        supplies = [part for part in parts if part.efficiency]
        if behind and not nodes and found.nodes.whole and name not in strays:
            _tell_no_node(found, behind[0], parts, problems)
        if name in nodes and {"measured_idle", "log"} & set(nodes[name].places):
            _check_measured(nodes[name], parts, behind, problems)
        elif table.whole and behind and not supplies:
            message = (
                f"watts at: no part of node {shown(name)} is a supply with an 'efficiency' curve; name its curve"
            )
            problems.add(place(behind[0], "watts_at"), message)
        elif table.whole and supplies and not behind:
            _tell_no_effect(supplies[0], problems)
        elif supplies and behind and _check_times(found, behind, supplies, problems):
            _check_load(found, behind, supplies, problems)


def _tell_no_node(found: Found, part: Part, parts: Sequence[Part], problems: Problems) -> None:
    """A scenario without nodes.csv; of a node with drives of a pool delivery.py tells the same."""
    if not any(one.pool for one in parts):
        message = f"node: {found.nodes.file} must say how many nodes {shown(part.node)} there are"
        problems.add(place(part, "node"), message)


def _check_measured(node: Node, parts: Sequence[Part], behind: Sequence[Part], problems: Problems) -> None:
    """A measurement at the plug covers the parts a node was bought with; of others the supply's load is not known."""
    if any(isnan(part.bought) for part in parts):
        return
    first = min(part.bought for part in parts)
    how = "measured_idle" if "measured_idle" in node.places else "log"
    for part in behind:
        if part.bought > first:
            message = (
                f"watts at: node {shown(part.node)} is measured at the plug ({place(node, how)}), so that the load "
                "of its supply is not known; count what comes later at the plug"
            )
            problems.add(place(part, "watts_at"), message)


def _tell_no_effect(supply: Part, problems: Problems) -> None:
    """A curve that nothing draws through was meant for parts that do not say so."""
    message = (
        f"efficiency: has no effect: no part of node {shown(supply.node)} says 'supply' under 'watts at', where its "
        "watts are counted behind this supply"
    )
    problems.add(place(supply, "efficiency"), message)


def _check_times(found: Found, behind: Sequence[Part], supplies: Sequence[Part], problems: Problems) -> bool:
    """Whether what is behind a node's supplies comes and goes with them: with their load their efficiency changed."""
    first = (supplies[0].bought, _end(found, supplies[0]))
    for part in [*supplies[1:], *behind]:
        own = (part.bought, _end(found, part))
        if any(map(isnan, (*own, *first))):
            return False
        if own != first:
            name, where = "efficiency" if part.efficiency else "watts_at", place(supplies[0], "part")
            message = (
                f"{name.replace('_', ' ')}: there in {_months(own)}, the node's supply ({where}) "
                f"in {_months(first)}; with its load its efficiency would change: give what comes or goes apart a "
                "node of its own, or count its watts at the plug"
            )
            problems.add(place(part, name), message)
            return False
    return True


def _months(span: tuple[float, float]) -> str:
    """`months 1 to 60`: in which a part draws power."""
    return f"months {span[0] + 1:g} to {span[1]:g}"


def _end(found: Found, part: Part) -> float:
    """The last month in which a part draws power."""
    return found.settings.horizon if part.leaves is None else part.leaves


def _check_curve(supplies: Sequence[Part], problems: Problems) -> bool:
    """Whether the supplies of a node follow one curve, and all say one rating."""
    first = supplies[0]
    for supply in supplies[1:]:
        if supply.efficiency != first.efficiency:
            message = (
                f"efficiency: {shown(first.efficiency)} stands in {place(first, 'efficiency')}; the supplies of a "
                "node follow one curve"
            )
            problems.add(place(supply, "efficiency"), message)
            return False
    return all(len(supply.ratings) == 1 for supply in supplies)


def _check_load(found: Found, behind: Sequence[Part], supplies: Sequence[Part], problems: Problems) -> None:
    """All that is behind a node's supplies, idle and busy, loads them within their curve."""
    if not _check_curve(supplies, problems):
        return
    curve = found.curves.efficiency.get(supplies[0].efficiency, ())
    rated = fsum(supply.quantity * supply.rating for supply in supplies)
    known = found.curves.efficiency_whole and not any(isnan(point.load) for point in curve)
    if not curve or not known or not rated > 0:
        return
    idle = fsum(part.quantity * part.idle for part in behind)
    busy = fsum(part.quantity * (part.idle if part.busy is None else part.busy) for part in behind)
    least, most = min(point.load for point in curve), max(point.load for point in curve)
    low, high = idle / rated * NEAR < least, busy / rated > most * NEAR
    for watts, end, is_off, words in (
        (idle, least, low, ("idle", "begins", "below")),
        (busy, most, high, ("busy", "ends", "above")),
    ):
        if is_off:
            state, way, beyond = words
            message = (
                f"efficiency: when {state}, the parts behind this node's supplies load them to "
                f"{_percent(watts / rated)} ({watts:.6g} W of {rated:.6g} W); the curve {way} at {_percent(end)}, "
                f"and nothing is known of it {beyond}: add a row for that load to efficiency.csv, or count the "
                "watts at the plug"
            )
            problems.add(place(supplies[0], "efficiency"), message)
