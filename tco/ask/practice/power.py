"""Checks of supplies and circuits."""

from __future__ import annotations

from collections.abc import Iterator
from math import fsum

from tco.ask.compare import Comparison
from tco.ask.practice.cluster import NODES, WATTS, measured, powered
from tco.ask.practice.rule import PRACTICE, PUBLISHED, NotStated, Rule, Told
from tco.ask.practice.words import counted, number
from tco.model import Ground
from tco.study import Node

ORDER = 60
FULL = {  # share of a circuit, by the site's rule
    "rating": 0.8,  # common practice, no source: IEC 60364-4-43 asks for no reserve
    "continuous 125 %": 1.0,  # the quarter more of NEC 210.20(A) is counted in the load already
}
PLUG_FULL = 1.0  # what the site says that the plug carries for hours
BAD_FACTOR = 0.55  # small supplies without correction: from memory
LEAST_LOAD = 0.2  # the lowest load at which most 80 PLUS levels ask for an efficiency
SUPPLY = NotStated("watts of `supply` that parts of nodes provide (`provides` in the parts list)")
SITE = NotStated("the site (`site` in scenarios.csv, and sites.csv)")


def one_circuit(_: Comparison, ground: Ground) -> Iterator[Told]:
    """All supplies of several nodes on one circuit."""
    site, nodes = ground.scenario.stands, sum(node.count for node in ground.scenario.nodes)
    if not nodes:
        yield NODES
    elif nodes > 1 and site is None:
        yield SITE
    elif nodes > 1 and site is not None and site.circuits == 1:
        told = "one circuit" if "circuits" in site.places else "one circuit (no other number is stated)"
        yield f"All {counted(nodes, 'node')} hang on {told} at '{site.site}': one tripped breaker stops all."


def circuit_full(comparison: Comparison, ground: Ground) -> Iterator[Told]:
    """The circuit or the plug near its limit."""
    site = ground.scenario.stands
    if site is None:
        yield SITE
        return
    loads = (("circuit", FULL.get(site.rule, FULL["rating"])), ("plug", PLUG_FULL))
    for what, most in loads:
        load = measured(comparison, ground, f"{what}_load")
        if isinstance(load, NotStated):
            yield load
        elif load is not None and load > most:
            told = f"{number(100 * load)} % when all is busy at once, above {number(100 * most)} %"
            yield f"The {what} at '{site.site}' is loaded to {told}."


def no_power_factor(comparison: Comparison, ground: Ground) -> Iterator[Told]:
    """Power drawn whose volt-amperes are not known."""
    watts = measured(comparison, ground, "power_busy")
    if not powered(ground.scenario):
        yield WATTS
    if isinstance(watts, float) and watts > 0 and ground.scenario.power_factor is None:
        apparent = f"{number(watts)} VA, or {number(watts / BAD_FACTOR)} VA at {BAD_FACTOR:g}"
        yield f"The power factor is not stated: {number(watts)} W when all is busy may be {apparent}."


def light_load(_: Comparison, ground: Ground) -> Iterator[Told]:
    """Supplies far larger than what their node draws when idle."""
    supplies = {node.node: supply(ground, node) for node in ground.scenario.nodes}
    if not any(supplies.values()):
        yield SUPPLY
    for node in ground.scenario.nodes:
        watts, most = idle_of(ground, node), supplies[node.node]
        if 0 < watts < LEAST_LOAD * most:
            told = f"{number(watts)} W of the {number(most)} W that its supply gives, {number(100 * watts / most)} %"
            yield f"Idle, one '{node.node}' draws {told}: no badge promises efficiency below {100 * LEAST_LOAD:g} %."


def supply(ground: Ground, node: Node) -> float:
    """What the supplies of one node give, in watts; 0 where it is not stated."""
    own = [part for part in ground.scenario.parts if part.node == node.node]
    given = [(part.quantity, one) for part in own for one in part.ratings if one.name == "supply"]
    return fsum(many * (one.watts or 0.0) for many, one in given) / node.count


def idle_of(ground: Ground, node: Node) -> float:
    """What one node of a group draws when idle, by its measurement or its parts."""
    if node.measured_idle is not None:
        return node.measured_idle
    if log := ground.study.logs.get(node.log):
        return min(*log.weekday, *log.weekend)
    own = [part for part in ground.scenario.parts if part.node == node.node]
    return fsum(part.quantity * part.idle for part in own) / node.count


RULES = (
    Rule(
        "all supplies on one circuit",
        "circuits of the site, and nodes",
        "Copies on several nodes do not help when all of them go dark at once.",
        f"{PRACTICE}: nodes spread over circuits, or over a UPS each",
        one_circuit,
    ),
    Rule(
        "circuit load",
        "busiest load of the site's circuit and plug, with what else is on them",
        "A load that runs day and night warms plugs and wires that carry short loads without harm. The local code "
        "and a licensed electrician decide.",
        f"{PUBLISHED}: NEC 210.20(A), a quarter more for what runs for hours, under the rule `continuous 125 %`; "
        f"elsewhere common practice, no source: {100 * FULL['rating']:g} % of the breaker",
        circuit_full,
    ),
    Rule(
        "power factor not stated",
        "`power factor` of scenarios that draw power",
        "Breakers and UPSs are sized by volt-amperes, and small supplies without correction draw nearly twice their "
        "watts.",
        f"{PRACTICE}: read it off the plug meter; {BAD_FACTOR:g} is from memory",
        no_power_factor,
    ),
    Rule(
        "supply hardly loaded",
        "idle power of a node, and watts of `supply` that its parts provide",
        "Supplies waste most when they have least to do, and a small build runs day and night at that end.",
        f"{PUBLISHED}: 80 PLUS, minimum efficiencies at 20, 50 and 100 % load (two agreeing reprints seen); only "
        "the two highest levels are tested at 10 %",
        light_load,
    ),
)
