"""From a study to its model: shared tables, then each scenario's, then what is measured across them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from tco.cell import Cell
from tco.engine import Constant, Model, Node, call, evaluate
from tco.model import measures
from tco.model.calendar import MONTHS, month_names
from tco.model.delivers import delivers
from tco.model.ground import Ground, given_columns
from tco.model.lines import LINES
from tco.model.returns import rate_of_return, timed_savings
from tco.model.shared import shared_tables
from tco.model.slots import slot_columns, slots_of
from tco.model.versus import against
from tco.study import Node as NodeGroup
from tco.study import Part, Row, Scenario, Settings, Study
from tco.units import unit


@dataclass(frozen=True)
class StudyModel:
    """A model with the scenarios that stand on it, in the study's order."""

    model: Model
    study: Study
    grounds: tuple[Ground, ...]

    @property
    def baseline(self) -> Ground:
        return next(ground for ground in self.grounds if ground.scenario.baseline)


def line_inputs() -> dict[type[Row], dict[str, Cell]]:
    """Inputs that cost lines declare beyond the study's own, by row type: for the reader."""
    settings = {name: cell for line in LINES for name, cell in line.settings.items()}
    parts = {name: cell for line in LINES for name, cell in line.parts.items()}
    return {Settings: settings, Part: parts}


def build(study: Study) -> StudyModel:
    """The model of a study; units are checked as it is built (FormulaError).

    It is worked out once in between, for the rates of return that no cell formula finds (FigureError).
    """
    model = Model()
    shared_tables(model, study, line_inputs()[Settings])
    grounds = tuple(scenario_tables(model, study, scenario) for scenario in study.scenarios)
    built = StudyModel(model, study, grounds)
    for ground in grounds:
        against(ground, built.baseline)
        timed_savings(ground, built.baseline)
    figures = evaluate(model)
    for ground in grounds:
        rate_of_return(ground, built.baseline, figures)
    return built


def scenario_tables(model: Model, study: Study, scenario: Scenario) -> Ground:
    """One scenario's inputs, months, years and measures."""
    name = scenario.scenario
    rows = month_names(study.settings.start, study.settings.horizon)
    months = model.table(f"months of {name}", f"{name}: months", rows, scenario=name, axis=MONTHS)
    bare = Ground(model, study, scenario, months)
    ground = replace(bare, slots=slots_of(bare))
    inputs(ground)
    if scenario.parts:
        slot_columns(ground)
        power_by_part(ground)
    power_by_month(ground)
    delivers(ground)
    for line in LINES:
        model.column(months, line.name, line.label, ground.money, line.build(ground))
    measures.totals(ground)
    return ground


def inputs(ground: Ground) -> None:
    """The scenario's given tables: itself, parts, measured nodes, fees and one-offs."""
    scenario, model, last = ground.scenario, ground.model, {"last": float(ground.horizon)}
    own = ground.table("inputs", scenario.scenario, ["this scenario"])
    given_columns(model, own, [scenario], ground.study.settings)
    if scenario.parts:
        parts = ground.table("parts", "Parts", [part.part for part in scenario.parts])
        extra, leaves = line_inputs()[Part], {"leaves": float(ground.horizon)}
        given_columns(
            model,
            parts,
            scenario.parts,
            ground.study.settings,
            extra=extra,
            follows={"busy": "idle", "noise_busy": "noise_idle"},
            empty=leaves,
        )
    if scenario.nodes:
        nodes = ground.table("nodes", "Nodes", [node.node for node in scenario.nodes])
        given_columns(model, nodes, scenario.nodes, ground.study.settings, follows={"measured_busy": "measured_idle"})
    if scenario.pools:
        pools = ground.table("pools", "Pools", [pool.pool for pool in scenario.pools])
        given_columns(model, pools, scenario.pools, ground.study.settings)
    if scenario.stated is not None:
        stated = ground.table("stated", "What it states to deliver", ["this scenario"])
        given_columns(model, stated, [scenario.stated], ground.study.settings)
    if scenario.fees:
        fees = ground.table("fees", "Fees", [fee.fee for fee in scenario.fees])
        given_columns(model, fees, scenario.fees, ground.study.settings, empty=last)
    if scenario.one_offs:
        one_offs = ground.table("one-offs", "Once", [row.what for row in scenario.one_offs])
        given_columns(model, one_offs, scenario.one_offs, ground.study.settings, months="month")


def power_by_part(ground: Ground) -> None:
    """Average power of each row of the parts list and of each measured group of nodes."""
    model, parts, share = ground.model, ground.part("price").table, ground.own("inputs", "busy_share")
    counted = [0.0 if covered(part, ground.scenario) else 1.0 for part in ground.scenario.parts]
    model.given(
        parts, "counted", "power counted here (0: in its node's measurement)", "", counted,
        computed="which parts a node's measurement covers",
    )  # fmt: skip
    one = ground.part("idle") + share * (ground.part("busy") - ground.part("idle"))
    average = ground.part("counted") * ground.part("quantity") * one
    model.column(parts, "power", "average power, all of them", "W", average)
    if measured_nodes(ground.scenario):
        nodes = ground.own("nodes", "count").table
        bought, leaves = zip(*(times(ground, node) for node in ground.scenario.nodes), strict=True)
        told = "when a measured node is bought and leaves"
        model.given(nodes, "bought", "bought", "month", bought, computed=told)
        model.given(nodes, "leaves", "leaves", "month", leaves, computed=told)
        idle, busy = ground.own("nodes", "measured_idle"), ground.own("nodes", "measured_busy")
        model.column(nodes, "power", "average power, all of them", "W", ground.own("nodes", "count") * (
            idle + share * (busy - idle)))  # fmt: skip


def measured_nodes(scenario: Scenario) -> list[NodeGroup]:
    """The groups of nodes whose power was measured at the plug."""
    return [node for node in scenario.nodes if node.measured_idle is not None]


def times(ground: Ground, node: NodeGroup) -> tuple[int, int]:
    """When a measured group of nodes is bought and leaves, with the first parts that it covers; never without any."""
    own = members(ground.scenario, node.node)
    if not own or node.measured_idle is None:
        return ground.horizon, ground.horizon
    first = min(own, key=lambda part: part.bought)
    return first.bought, ground.horizon if first.leaves is None else first.leaves


def covered(part: Part, scenario: Scenario) -> bool:
    """Whether a wall-plug measurement covers a part: its node is measured, and it was bought with the node."""
    measured = {node.node for node in measured_nodes(scenario)}
    first = min((other.bought for other in members(scenario, part.node)), default=part.bought)
    return part.node in measured and part.bought == first


def members(scenario: Scenario, node: str) -> list[Part]:
    """The parts of a group of nodes; a quantity of 0 only lists a price."""
    return [part for part in scenario.parts if part.node == node and part.quantity]


def power_by_month(ground: Ground) -> None:
    """Power drawn in each month by what is there in it, and the energy it takes."""
    nothing: Node = Constant(0.0, unit("W"))
    drawn = nothing
    for table in ("parts", "nodes"):
        if f"{table} of {ground.scenario.scenario}.power" in ground.model.columns:
            power, bought, leaves = (ground.own(table, name) for name in ("power", "bought", "leaves"))
            present = call("sum_between", power, bought, leaves, ground.month("month"))
            drawn = present if drawn is nothing else drawn + present
    watts = ground.model.column(ground.months, "power", "average power", "W", drawn)
    ground.model.column(ground.months, "energy", "energy", "kWh", watts * ground.month("hours"))
