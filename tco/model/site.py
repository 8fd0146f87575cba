"""Where a build stands: how loud it is at the bed, power when all is busy, heat, what its circuit and plug carry.

Sound: each source is brought to the bed first, then levels add as power does, L = 10 log10(sum 10^(L_i / 10)), for
sources that do not keep in step. A pressure given at d0 falls by 20 log10(d / d0); a sound power W makes a pressure
of W - 11 dB at 1 m all around (10 log10 4 pi = 10.99), W - 8 dB above a floor (10 log10 2 pi = 7.98). That is a free
field: rooms throw sound back, so the bed may hear more.
Circuit: amperes = W / power factor / V, of all that is busy at once. All by phase; all live.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tco.engine import Column, Constant, Node, added, at, call
from tco.engine.nodes import as_node, plain
from tco.model.ground import Ground
from tco.model.measure import Measure, Reason, always
from tco.model.measured import measured_nodes
from tco.model.power import has_logs, through_ups
from tco.model.supplies import at_plug
from tco.study import Part, Scenario
from tco.units import unit

STATES = ("idle", "busy")
AT_1_M = {"floor": 8.0, "free": 11.0}  # dB that a sound power is above the pressure it makes at 1 m
NOT_STATED, POWER, PRESSURE = range(3)
CONTINUOUS = 1.25  # NEC 210.20(A): what runs for three hours or more counts a quarter more

WORDS = {
    "voltage": "unknown: no voltage",
    "breaker": "unknown: no breaker",
    "power_factor": "unknown: no power factor",
    "plug": "none: no plug rating stated",
}
NEEDED = {
    "amperes": ("voltage", "power_factor"),
    "circuit_load": ("voltage", "breaker", "power_factor"),
    "plug_load": ("plug", "voltage", "power_factor"),
}


def site_columns(ground: Ground) -> None:
    """Sound, power and load of a scenario that has parts, by phase; what is unknown has no column."""
    if has_bed(ground.scenario) and ground.has("parts", "noise_idle"):
        levels_at_bed(ground)
        if unheard(ground.scenario) is None:
            loudness(ground)
    busy_power(ground)
    by_phase(ground, "amperes", "current when all is busy at once, evenly over its circuits", "A", amperes)
    by_phase(ground, "circuit_load", "load of the circuit", "", circuit_load, percent=True)
    by_phase(ground, "plug_load", "load of the plug", "", plug_load, percent=True)


def by_phase(
    ground: Ground, name: str, label: str, unit_text: str, build: Callable[[Ground], Node], **about: Any
) -> None:
    """A figure of the circuit, where all that it needs is stated."""
    if not lacking(ground.scenario, name):
        ground.model.column(ground.phases, name, label, unit_text, build(ground), **about)


def present(ground: Ground, table: str, name: str) -> Node:
    """A column of the parts or the measured nodes, added up over what is there in each phase."""
    bought, leaves = (ground.own(table, word) for word in ("bought", "leaves"))
    return call("sum_between", ground.own(table, name), bought, leaves, ground.own("phases", "month"))


def decibels(value: float) -> Constant:
    """So many dB(A)."""
    return Constant(value, unit("dBA"))


def has_bed(scenario: Scenario) -> bool:
    """Whether it is known how far the bed is."""
    return scenario.stands is not None and scenario.stands.bed_distance is not None


def unheard(scenario: Scenario) -> Part | None:
    """The first part that draws power and of whose sound nothing is known: no level of its own or of its node's."""
    measured = {node.node for node in measured_nodes(scenario)}
    used = [part for part in scenario.parts if part.quantity]
    heard = {part.node for part in used if part.noise_idle is not None} - {""}
    for part in used:
        draws = max(part.idle, part.busy or 0.0) > 0 or part.node in measured
        if draws and part.noise_idle is None and part.node not in heard:
            return part
    return None


def level(ground: Ground, state: str) -> Column:
    """The sound level given of one of each part; busy as idle where no part says otherwise."""
    return ground.part(f"noise_{state}" if ground.has("parts", f"noise_{state}") else "noise_idle")


def levels_at_bed(ground: Ground) -> None:
    """Each row of the parts list at the bed: the level of one, and the sound of all, which can be added up.

    A level given as 0 dB(A) is silence, not a sound that is just heard: it adds nothing.
    """
    model, parts = ground.model, ground.part("quantity").table
    kinds = [float(kind_of(part)) for part in ground.scenario.parts]
    label = "what its sound level is (0: not stated, 1: power, 2: pressure)"
    kind = model.given(parts, "noise_kind", label, "", kinds, computed="what the sound levels are")
    model.column(parts, "noise_way", "what its sound loses on the way to the bed", "dBA", way(ground, kind))
    for state in STATES:
        given = level(ground, state)
        loud = call("where", call("at_least", kind, float(POWER)), call("more_than", given, decibels(0.0)), 0.0)
        here = call("where", loud, given - ground.part("noise_way"), decibels(0.0))
        one = model.column(parts, f"bed_{state}", f"sound level of one at the bed, {state} (0: silent)", "dBA", here)
        ratio = call("where", loud, plain(10.0) ** (one / decibels(10.0)), 0.0)
        label = f"sound of all of them at the bed, {state} (1: 0 dB(A))"
        model.column(parts, f"sound_{state}", label, "", ground.part("quantity") * ratio)


def kind_of(part: Part) -> int:
    """What a part's sound level is; a reader asks for it where the level is above 0."""
    if part.noise_idle is None:
        return NOT_STATED
    return PRESSURE if part.noise_as == "pressure" else POWER


def way(ground: Ground, kind: Column) -> Node:
    """What a level loses from where it was given (a sound power: from 1 m) to the bed."""
    assert ground.scenario.stands is not None
    metre, is_pressure = Constant(1.0, unit("m")), call("at_least", kind, float(PRESSURE))
    stated = ground.has("parts", "noise_distance")
    near = call("where", is_pressure, ground.part("noise_distance"), metre) if stated else metre
    first = call("where", is_pressure, decibels(0.0), decibels(AT_1_M[ground.scenario.stands.standing]))
    spread = decibels(20.0) * call("decimal_log", ground.site("bed_distance") / near)
    return first + spread + ground.site("wall")


def loudness(ground: Ground) -> None:
    """The level at the bed. None is below 0 dB(A): that is not heard, and silence has no logarithm."""
    phases = ground.phases
    for state in STATES:
        sound = call("larger", present(ground, "parts", f"sound_{state}"), 1.0)
        label = f"sound level at the bed, {state}"
        ground.model.column(phases, f"noise_{state}", label, "dBA", decibels(10.0) * call("decimal_log", sound))


def busy_power(ground: Ground) -> None:
    """Power when all that is there is busy at once; a node's measurement replaces the parts that it covers."""
    model, part, phases = ground.model, ground.part, ground.phases
    label = "power when busy, all of them"
    whole = part("counted") * part("quantity") * at_plug(ground, "busy")
    model.column(part("quantity").table, "power_busy", label, "W", whole)
    drawn = [present(ground, "parts", "power_busy")]
    if ground.has("nodes", "leaves"):  # some are measured
        count, one = ground.own("nodes", "count"), as_node(ground.own("nodes", "measured_busy"))
        one = one + ground.own("nodes", "logged_peak") if has_logs(ground.scenario) else one
        model.column(count.table, "power_busy", label, "W", count * one)
        drawn.append(present(ground, "nodes", "power_busy"))
    watts = model.column(
        phases, "power_busy", "power when all is busy at once", "W", through_ups(ground, added(drawn))
    )
    if ground.scenario.power_factor is not None:
        apparent = watts * Constant(1.0, unit("VA/W")) / ground.own("inputs", "power_factor")
        model.column(phases, "apparent", "apparent power when all is busy at once", "VA", apparent)


def amperes(ground: Ground) -> Node:
    """The current, shared evenly by the circuits if there are several."""
    assert ground.scenario.stands is not None
    whole = ground.own("phases", "apparent") * Constant(1.0, unit("W/VA")) / ground.site("voltage")
    return whole / ground.site("circuits") if ground.scenario.stands.circuits > 1 else whole


def circuit_load(ground: Ground) -> Node:
    """What is on a circuit as a share of its breaker's rating, by the site's rule. A build runs day and night."""
    assert ground.scenario.stands is not None
    steady = ground.own("phases", "amperes") + ground.site("others_continuous")
    counted = steady if ground.scenario.stands.rule == "rating" else CONTINUOUS * steady
    return (counted + ground.site("others_short")) / ground.site("breaker")


def plug_load(ground: Ground) -> Node:
    """The build's current as a share of what its plug may carry for hours."""
    return ground.own("phases", "amperes") / ground.site("plug")


def lacking(scenario: Scenario, name: str) -> str:
    """Why there is no such figure of the circuit; empty where there is."""
    if not scenario.parts:
        return "none: no hardware"
    if scenario.stands is None:
        return "unknown: no site"
    given = vars(scenario.stands) | {"power_factor": scenario.power_factor}
    return next((WORDS[word] for word in NEEDED[name] if given[word] is None), "")


def noise_reasons(scenario: Scenario, state: str) -> tuple[Reason, ...]:
    """Why there is no sound level. A build that is silent is so wherever the bed is."""
    if not scenario.parts:
        return (always("silent: no hardware"),)
    missing = unheard(scenario)
    silent = Reason(lambda ground: is_silent(ground, state), "silent")
    if not has_bed(scenario):
        nowhere = always("unknown: no bed distance")
        return (nowhere,) if missing or any(loud(part, state) for part in scenario.parts) else (silent, nowhere)
    return (always(f"unknown: no noise level of {missing.part}"),) if missing else (silent,)


def loud(part: Part, state: str) -> bool:
    """Whether a part is stated to be heard."""
    level = part.noise_idle if state == "idle" or part.noise_busy is None else part.noise_busy
    return bool(part.quantity and level)


def is_silent(ground: Ground, state: str) -> Node:
    """1 where every level given is 0, or none is and none is missing."""
    if not ground.has("parts", "noise_idle"):
        return plain(1.0)
    heard = call("sum_product", ground.part("quantity"), level(ground, state))
    return call("where", call("more_than", heard, decibels(0.0)), 0.0, 1.0)


def most(name: str, unit_text: str) -> Callable[[Ground], Node]:
    """The largest of all phases; 0 where there is none, which is told or is what no hardware draws."""

    def build(ground: Ground) -> Node:
        if not ground.has("phases", name):
            return Constant(0.0, unit(unit_text))
        return call("largest", ground.own("phases", name))

    return build


def measures(ground: Ground) -> list[Measure]:
    """The loudest phase, the one that draws most, and why one of these is unknown or none."""
    watts = most("power_busy", "W")
    return [
        *(sound(ground.scenario, state) for state in STATES),
        Measure("power_busy", "power when all is busy at once", "W", watts),
        Measure("heat", "heat of the average power in month 1", "BTU/h", lambda g: at(g.month("power"), 1)),
        Measure("heat_busy", "heat when all is busy at once", "BTU/h", watts),
        circuit(ground.scenario, "amperes", "current when all is busy at once, evenly over its circuits", "A"),
        circuit(ground.scenario, "circuit_load", "load of the circuit, of its breaker's rating", ""),
        circuit(ground.scenario, "plug_load", "load of the plug, of what it may carry for hours", ""),
    ]


def sound(scenario: Scenario, state: str) -> Measure:
    """The level at the bed in one state."""
    name, label = f"noise_{state}", f"sound level at the bed when {state}"
    return Measure(name, label, "dBA", most(name, "dBA"), reasons=noise_reasons(scenario, state))


def circuit(scenario: Scenario, name: str, label: str, unit_text: str) -> Measure:
    """A figure of the circuit; without a unit a share."""
    missing = lacking(scenario, name)
    reasons = (always(missing),) if missing else ()
    return Measure(name, label, unit_text, most(name, unit_text), percent=not unit_text, reasons=reasons)
