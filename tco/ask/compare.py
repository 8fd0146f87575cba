"""The first question: what does each scenario cost over the horizon, and when does it overtake the baseline?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy_financial as npf

from tco.engine import Array, Column, Figures, evaluate
from tco.errors import DisagreementError
from tco.model import LINES, Ground, StudyModel, build
from tco.study import Study
from tco.units import written


@dataclass(frozen=True)
class Comparison:
    """A study worked out: its model, and every column's figures."""

    built: StudyModel
    figures: Figures

    @property
    def study(self) -> Study:
        return self.built.study

    def of(self, column: Column) -> Array:
        """The figures of a column, shape (rows,)."""
        return self.figures[column]

    def measure(self, ground: Ground, name: str) -> float:
        """One measure of a scenario."""
        return float(self.figures[ground.own("measures", name)][0])

    def ranked(self) -> list[Ground]:
        """Scenarios from the lowest life-cycle cost to the highest; the study's order where two are equal."""
        return sorted(self.built.grounds, key=lambda ground: cents(self.measure(ground, "lcc")))


def cents(amount: float) -> float:
    """An amount to the cent, halves away from 0 as a sheet's ROUND has it: what is nearer costs the same."""
    return math.copysign(math.floor(abs(amount) * 100 + 0.5) / 100, amount)


def compare(study: Study) -> Comparison:
    """Build and work out a study; raises FormulaError, FigureError or DisagreementError.

    The published present values are numpy-financial's; they must be what the model's own discounted sums are.
    """
    built = build(study)
    comparison = Comparison(built, evaluate(built.model))
    for ground in built.grounds:
        agree(comparison, ground)
    return comparison


def published(comparison: Comparison, ground: Ground) -> dict[str, float]:
    """A scenario's life-cycle cost and level amounts by numpy-financial: one series, by half-months.

    Dated costs stand at their month's end, recurring ones where the study's timing puts them.
    """
    horizon = ground.horizon
    flows = np.zeros(2 * horizon + 1)
    ends, moments = np.arange(horizon + 1), comparison.of(ground.month("moment"))
    for line in LINES:
        halves = 2 * (ends if line.investment else moments)
        np.add.at(flows, halves.astype(int), comparison.of(ground.month(line.name)))
    year = float(comparison.of(ground.setting("discount"))[0])
    month = np.expm1(np.log1p(year) / 12)
    lcc = float(npf.npv(np.expm1(np.log1p(year) / 24), flows))
    return {
        "lcc": lcc,
        "equivalent_month": float(-npf.pmt(month, horizon, lcc)),
        "equivalent_year": float(-npf.pmt(year, horizon / 12, lcc)),
    }


def agree(comparison: Comparison, ground: Ground) -> None:
    """Raises DisagreementError where the model and numpy-financial differ by more than rounding."""
    worth, paid = (np.abs(comparison.of(ground.month(name))).sum() for name in ("present_value", "total"))
    for name, value in published(comparison, ground).items():
        own = comparison.measure(ground, name)
        if abs(own - value) > 1e-9 * (worth + paid + 1.0):
            raise DisagreementError(ground.scenario.scenario, name, own, value)


def crossings(comparison: Comparison, ground: Ground) -> list[tuple[float, bool]]:
    """Where cumulative costs (undiscounted, resale left out) of a scenario and the baseline cross.

    Each as (month, straight between flows; whether the scenario is ahead from there). A shared start is no crossing,
    nor is being level for a while.
    """
    ahead, side = (comparison.of(ground.month(name)) for name in ("ahead", "side"))
    flips = np.flatnonzero(side[1:] * side[:-1] < 0) + 1
    part_way = np.abs(ahead[flips - 1]) / (np.abs(ahead[flips - 1]) + np.abs(ahead[flips]))
    return [(float(month), bool(side[flip] > 0)) for flip, month in zip(flips, flips - 1 + part_way, strict=True)]


LINE_HEADER = ("scenario", "line", "month", "value", "unit")
MEASURE_HEADER = ("scenario", "measure", "value", "unit")


def line_rows(comparison: Comparison) -> Iterator[tuple[str, str, int, float, str]]:
    """(scenario, line, month, value, unit) of every cost line, and of energy."""
    for ground in comparison.built.grounds:
        for name in [*(line.name for line in LINES), "energy"]:
            column = ground.month(name)
            for month, value in enumerate(comparison.of(column)):
                yield ground.scenario.scenario, name, month, float(value), written(column.unit)  # type: ignore[arg-type]


def measure_rows(comparison: Comparison) -> Iterator[tuple[str, str, float, str]]:
    """(scenario, measure, value, unit) of every measure; present values as published."""
    model = comparison.built.model
    for ground in comparison.built.grounds:
        name = ground.scenario.scenario
        second = published(comparison, ground)
        for column in model.of(ground.own("measures", "lcc").table):
            value = second.get(column.name, float(comparison.of(column)[0]))
            yield name, column.name, value, written(column.unit)  # type: ignore[arg-type]
        for number, (month, ahead) in enumerate(crossings(comparison, ground), start=1):
            yield name, f"crossing_{number}_{'ahead' if ahead else 'behind'}", month, "month"
