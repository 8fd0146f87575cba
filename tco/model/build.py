"""From a study to its model: shared tables, then each scenario's, then what is measured across them."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from tco.addresses import label
from tco.cell import Cell
from tco.engine import Figures, Model, evaluate
from tco.model import measures
from tco.model.calendar import MONTHS, month_names
from tco.model.delivers import delivers
from tco.model.ground import Ground, cells_of, given_columns
from tco.model.lines import LINES
from tco.model.marginal import bill_of, shape_columns
from tco.model.past import as_it_went, past_columns
from tco.model.periods import Times
from tco.model.power import power_by_month, power_by_part
from tco.model.returns import rate_of_return, timed_savings
from tco.model.shared import shared_tables
from tco.model.shelf import shelf_table, with_shelf
from tco.model.slots import slot_columns, slots_of
from tco.model.supplies import supply_columns
from tco.model.versus import against
from tco.study import Entry, Part, Row, Scenario, Settings, Study


@dataclass(frozen=True)
class StudyModel:
    """A model with the scenarios that stand on it, in the study's order.

    early: the figures that were worked out while it was built.
    """

    model: Model
    study: Study
    grounds: tuple[Ground, ...]
    early: Figures = field(default_factory=dict, repr=False, compare=False)

    def figures(self) -> Figures:
        """Every column's figures, as given; raises FigureError."""
        return evaluate(self.model, known=self.early)

    @property
    def baseline(self) -> Ground:
        return next(ground for ground in self.grounds if ground.scenario.baseline)


def line_inputs() -> dict[type[Row], dict[str, Cell]]:
    """Inputs that cost lines declare beyond the study's own, by row type: for the reader."""
    settings = {name: cell for line in LINES for name, cell in line.settings.items()}
    parts = {name: cell for line in LINES for name, cell in line.parts.items()}
    paid = tuple(label(line.name) for line in LINES if line.cash)
    booked = {name: replace(spec, kind="choice", choices=paid) for name, spec in cells_of(Entry) if name == "line"}
    return {Settings: settings, Part: parts, Entry: booked}


def build(study: Study) -> StudyModel:
    """The model of a study; units are checked as it is built (FormulaError).

    It is worked out once in between, for the rates of return that no cell formula finds (FigureError).
    """
    model = Model()
    times = Times(study)
    shared_tables(model, times, line_inputs()[Settings])
    grounds = tuple(scenario_tables(model, times, scenario) for scenario in study.scenarios)
    built = StudyModel(model, study, grounds)
    for ground in grounds:
        against(ground, built.baseline)
        timed_savings(ground, built.baseline)
    built.early.update(evaluate(model))
    for ground in grounds:
        rate_of_return(ground, built.baseline, built.early)
    return built


def scenario_tables(model: Model, times: Times, scenario: Scenario) -> Ground:
    """One scenario's inputs, months, years and measures."""
    name, study = scenario.scenario, times.study
    rows = month_names(study.settings.start, study.settings.horizon)
    months = model.table(f"months of {name}", f"{name}: months", rows, scenario=name, axis=MONTHS)
    bare = Ground(model, study, scenario, months, times)
    ground = with_shelf(replace(bare, slots=slots_of(bare)))
    inputs(ground)
    past_columns(ground)
    shape_columns(ground)
    if scenario.parts:
        shelf_table(ground)
        slot_columns(ground)
        supply_columns(ground)
        power_by_part(ground)
    power_by_month(ground)
    delivers(ground)
    bill_of(ground)
    for line in LINES:
        model.column(months, line.name, line.label, ground.money, as_it_went(ground, line, line.build(ground)))
    measures.totals(ground)
    return ground


def inputs(ground: Ground) -> None:
    """The scenario's given tables: itself (no busy share where a shape says it), parts, nodes, fees and one-offs."""
    scenario, model, last = ground.scenario, ground.model, {"last": float(ground.horizon)}
    own = ground.table("inputs", scenario.scenario, ["this scenario"])
    said = replace(scenario, busy_share=None) if scenario.busy_shape else scenario  # type: ignore[arg-type]
    given_columns(model, own, [said], ground.study.settings)
    if scenario.parts:
        parts = ground.table("parts", "Parts", [part.part for part in scenario.parts])
        extra, empty = line_inputs()[Part], {"leaves": float(ground.horizon), "claim": 0.0}
        given_columns(
            model,
            parts,
            scenario.parts,
            ground.study.settings,
            extra=extra,
            follows={"busy": "idle", "noise_busy": "noise_idle"},
            empty=empty,
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
        one_offs = ground.table("one-offs", "One-offs", [row.what for row in scenario.one_offs])
        given_columns(model, one_offs, scenario.one_offs, ground.study.settings, months="month")
