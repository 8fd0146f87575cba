"""Supplies: what parts draw at the plug where their watts are counted behind a supply.

Watts at the plug = DC watts / efficiency at that load; the load is that of all parts behind the node's supplies, as a
share of their rating, idle and busy apart. Between the curve's points straight, beyond them the nearest: the reader
refuses loads outside, where nothing is known.
"""

from __future__ import annotations

from itertools import pairwise

from tco.engine import Column, Model, Node, Table, call
from tco.errors import SupplyError
from tco.model.ground import Ground, given_columns
from tco.model.measured import covered
from tco.study import Part, Scenario, Study

BEHIND = "which parts are behind which supply"
CURVES = "which points belong to an efficiency curve"


def efficiency_table(model: Model, study: Study) -> None:
    """The points of all efficiency curves, and the lines between them."""
    points = [point for curve in study.efficiency.values() for point in curve]
    if not points:
        return
    table = model.table("efficiency", "Efficiency curves of supplies", [f"{p.curve}, {p.load:.0%}" for p in points])
    given_columns(model, table, points, study.settings)
    keys = [float(list(study.efficiency).index(point.curve) + 1) for point in points]
    model.given(table, "key", "curve number", "", keys, computed=CURVES)
    inner = [0.0, *(float(one.curve == other.curve) for one, other in pairwise(points))]
    flag = model.given(table, "goes_on", "goes on from the point before (1)", "", inner, computed=CURVES)
    load, share = model["efficiency.load"], model["efficiency.efficiency"]
    before = model.column(
        table, "from_load", "from load", "", call("where", flag, call("previous", load, load), load)
    )
    risen = share - call("where", flag, call("previous", share, share), share)
    wide = call("where", flag, load - before, 1.0)
    model.column(table, "slope", "rise of efficiency by load", "", risen / wide)


def supplied(scenario: Scenario) -> list[str]:
    """The groups of nodes with parts whose watts are counted behind a supply."""
    return sorted({part.node for part in scenario.parts if is_behind(part, scenario)})


def is_behind(part: Part, scenario: Scenario) -> bool:
    """Whether a part's watts are counted behind its node's supply, and not in a measurement at the plug."""
    return part.watts_at == "supply" and part.quantity > 0 and not covered(part, scenario)


def supply_columns(ground: Ground) -> None:
    """Each node's supplies: their rating, load and efficiency, idle and busy."""
    if not (nodes := supplied(ground.scenario)):
        return
    model, part = ground.model, ground.part
    parts, table = part("quantity").table, ground.table("supplies", "Supplies", nodes)
    rows = {name: float(number) for number, name in enumerate(nodes, start=1)}
    key = [rows.get(one.node, 1.0) for one in ground.scenario.parts]
    own = model.given(parts, "supply", "supply (number)", "", key, computed=BEHIND)
    behind = [float(is_behind(one, ground.scenario)) for one in ground.scenario.parts]
    flag = model.given(parts, "behind", "behind a supply (1)", "", behind, computed=BEHIND)
    rated = [one.rating if one.efficiency and one.node in rows else 0.0 for one in ground.scenario.parts]
    one = model.given(parts, "rated", "rating of one supply", "W", rated, computed="what supplies are rated")
    number = model.given(table, "number", "number", "", list(rows.values()), computed=BEHIND)
    curves = [curve_of(ground, name) for name in nodes]
    model.given(table, "key", "curve number", "", curves, computed=CURVES)
    whole = model.column(parts, "rated_all", "rating of all", "W", part("quantity") * one)
    total = model.column(table, "rated", "rating of its supplies", "W", call("sum_where", whole, own, number))
    for state in ("idle", "busy"):
        watts = flag * part("quantity") * part(state)
        dc = model.column(parts, f"dc_{state}", f"behind a supply when {state}, all of them", "W", watts)
        efficiency(ground, table, state, call("sum_where", dc, own, number) / total)


def efficiency(ground: Ground, table: Table, state: str, load: Node) -> None:
    """Load and efficiency of each node's supplies in one state."""
    model, key = ground.model, ground.own("supplies", "key")
    points = {name: model[f"efficiency.{name}"] for name in ("key", "load", "efficiency", "from_load", "slope")}
    at = model.column(table, f"load_{state}", f"load when {state}", "", load, percent=True)
    first = call("look_up", key, points["key"], points["efficiency"])
    up = call("steps_above", at, key, points["key"], points["from_load"], points["slope"])
    down = call("steps_above", at, key, points["key"], points["load"], points["slope"])
    label = f"efficiency when {state}"
    model.column(table, f"efficiency_{state}", label, "", first + up - down, percent=True)


def curve_of(ground: Ground, node: str) -> float:
    """The number of the efficiency curve of a node's supplies."""
    return float(list(ground.study.efficiency).index(supply_curve(ground.scenario, node)) + 1)


def supply_curve(scenario: Scenario, node: str) -> str:
    """The efficiency curve of a node's supplies; raises SupplyError where it has none."""
    own = (part.efficiency for part in scenario.parts if part.node == node and part.efficiency and part.quantity)
    if (found := next(own, None)) is None:  # the reader refuses that; what is bought on top may bring it about
        raise SupplyError(scenario.scenario, node)
    return found


def at_plug(ground: Ground, state: str) -> Column:
    """Watts of one of each part at the plug, idle or busy."""
    given = ground.part(state)
    if not ground.has("parts", "behind"):
        return given
    name = f"plug_{state}"
    if ground.has("parts", name):
        return ground.part(name)
    share = call(
        "look_up",
        ground.part("supply"),
        ground.own("supplies", "number"),
        ground.own("supplies", f"efficiency_{state}"),
    )
    one = call("where", ground.part("behind"), given / share, given)
    return ground.model.column(given.table, name, f"power of one when {state}, at the plug", "W", one)
