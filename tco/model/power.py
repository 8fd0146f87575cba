"""Power drawn: by each part and measured node, by month, and how it is split over the hours of a tariff's periods.

A measurement of a node at the plug, or a metered log of one, replaces the parts that it was bought with.
"""

from __future__ import annotations

from collections.abc import Sequence
from statistics import fmean as mean

from tco.engine import Column, Constant, Node, added, call
from tco.model.ground import Ground
from tco.model.measured import covered, measured_nodes, members
from tco.model.supplies import at_plug
from tco.study import Node as NodeGroup
from tco.study import Scenario
from tco.units import unit

LOGGED = "the average power of a metered log"
SHAPED = "how busy it is by its load shape (start, horizon, time zone)"


def power_by_part(ground: Ground) -> None:
    """Average power of each row of the parts list and of each measured group of nodes."""
    model, parts = ground.model, ground.part("price").table
    counted = [0.0 if covered(part, ground.scenario) else 1.0 for part in ground.scenario.parts]
    model.given(
        parts, "counted", "power counted here (0: in its node's measurement)", "", counted,
        computed="which parts a node's measurement covers",
    )  # fmt: skip
    number = ground.part("counted") * ground.part("quantity")
    idle, busy = at_plug(ground, "idle"), at_plug(ground, "busy")
    by_state(ground, "parts", number, idle, busy)
    if measured_nodes(ground.scenario):
        nodes = ground.own("nodes", "count").table
        bought, leaves = zip(*(times(ground, node) for node in ground.scenario.nodes), strict=True)
        told = "when a measured node is bought and leaves"
        model.given(nodes, "bought", "bought", "month", bought, computed=told)
        model.given(nodes, "leaves", "leaves", "month", leaves, computed=told)
        measured = ground.own("nodes", "measured_idle"), ground.own("nodes", "measured_busy")
        by_state(ground, "nodes", ground.own("nodes", "count"), *measured)


def by_state(ground: Ground, kind: str, number: Node | Column, idle: Column | Node, busy: Column | Node) -> None:
    """Average power of all in each row of a table; idle and what being busy adds apart where a shape says when."""
    model, table, share = ground.model, ground.own(kind, "bought").table, ground.own("inputs", "busy_share")
    if ground.scenario.busy_shape:
        least = model.column(table, "power_idle", "power when idle, all of them", "W", number * idle)
        more = model.column(table, "power_more", "more when busy, all of them", "W", number * (busy - idle))
        average = least + ground.own("inputs", "mean_share") * more
    else:
        average = number * (idle + share * (busy - idle))
    if kind == "nodes" and has_logs(ground.scenario):
        average = average + logged(ground)
    model.column(table, "power", "average power, all of them", "W", average)


def has_logs(scenario: Scenario) -> bool:
    """Whether a metered log says what nodes of a scenario draw."""
    return any(node.log for node in scenario.nodes)


def logged(ground: Ground) -> Column:
    """What metered logs say that each group of nodes draws on average; 0 without a log."""
    model, count = ground.model, ground.own("nodes", "count")
    means, peaks = ([of(week_of(ground, node) or (0.0,)) for node in ground.scenario.nodes] for of in (mean, max))
    one = model.given(count.table, "logged", "average of its metered log, one", "W", means, computed=LOGGED)
    model.given(count.table, "logged_peak", "busiest hour of its metered log, one", "W", peaks, computed=LOGGED)
    return model.column(count.table, "power_logged", "average power by its log, all of them", "W", count * one)


def week_of(ground: Ground, node: NodeGroup) -> Sequence[float]:
    """A logged node's average power by hour of the week, Monday first [W]; empty without a log."""
    log = ground.study.logs.get(node.log)
    return () if log is None else log.week


def times(ground: Ground, node: NodeGroup) -> tuple[int, int]:
    """When a measured group of nodes is bought and leaves, with the parts that it covers; never without any."""
    own = [part for part in members(ground.scenario, node.node) if covered(part, ground.scenario)]
    if not own:
        return ground.horizon, ground.horizon
    leaves = max(ground.horizon if part.leaves is None else part.leaves for part in own)
    return min(part.bought for part in own), leaves


def power_by_month(ground: Ground) -> None:
    """Power drawn in each month by what is there in it, and the energy it takes."""
    drawn = drawn_power(ground, "power") if not ground.scenario.busy_shape else shaped_power(ground)
    watts = ground.model.column(ground.months, "power", "average power", "W", drawn)
    ground.model.column(ground.months, "energy", "energy", "kWh", watts * ground.month("hours"))


def shaped_power(ground: Ground) -> Node:
    """Average power where a load shape says how busy it is: by the month's own share."""
    model, months = ground.model, ground.months
    least = model.column(months, "power_idle", "power when idle", "W", drawn_power(ground, "power_idle"))
    more = model.column(months, "power_more", "more when busy", "W", drawn_power(ground, "power_more"))
    whole = least + ground.month("busy_share") * more
    return whole + drawn_power(ground, "power_logged") if has_logs(ground.scenario) else whole


def drawn_power(ground: Ground, name: str) -> Node:
    """A column of power of parts and measured nodes, over what is there in each month, with UPS losses."""
    terms = []
    for table in ("parts", "nodes"):
        if ground.has(table, name):
            bought, leaves = (ground.own(table, word) for word in ("bought", "leaves"))
            terms.append(call("sum_between", ground.own(table, name), bought, leaves, ground.month("month")))
    return loaded(ground, through_ups(ground, added(terms))) if terms else Constant(0.0, unit("W"))


def loaded(ground: Ground, watts: Node) -> Node:
    """Power by month, where a meter read more or less than the parts list says."""
    return watts * ground.month("load") if ground.has("months", "load") else watts


def through_ups(ground: Ground, watts: Node) -> Node:
    """What is drawn at the wall for so much behind the scenario's UPS, if it has one."""
    if ground.scenario.ups_efficiency is None:
        return watts
    return watts / ground.own("inputs", "ups_efficiency")
