"""The first question: what does each scenario cost over the horizon, and when does it overtake the baseline?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import numpy_financial as npf

from tco.ask.details import details
from tco.engine import Array, Column, Figures, Table, absent
from tco.errors import DisagreementError, UnknownNameError
from tco.model import LINES, Ground, StudyModel, build
from tco.model.ground import PUBLISHED
from tco.model.returns import yearly_rates
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
        return float(self.figures[ground.measure(name)][0])

    def ranked(self) -> list[Ground]:
        """Scenarios that meet all needs from the lowest life-cycle cost to the highest, then the others likewise.

        The study's order where two are equal.
        """
        return sorted(self.built.grounds, key=lambda one: (not self.meets(one), cents(self.measure(one, "lcc"))))

    @property
    def among(self) -> tuple[str, ...]:
        """The scenarios among which the cheapest is sought: those that meet all needs, or all where none does."""
        grounds = self.built.grounds
        meeting = [ground for ground in grounds if self.meets(ground)] or grounds
        return tuple(ground.scenario.scenario for ground in meeting)

    def meets(self, ground: Ground) -> bool:
        """Whether a scenario meets all needs that the study states."""
        return self.measure(ground, "needs_open") == 0.0


def cents(amount: float) -> float:
    """An amount to the cent, halves away from 0 as a sheet's ROUND has it: what is nearer costs the same."""
    return math.copysign(math.floor(abs(amount) * 100 + 0.5) / 100, amount)


def compare(study: Study, *, against: str = "") -> Comparison:
    """Build and work out a study; raises UnknownNameError, FormulaError, FigureError or DisagreementError.

    against: the scenario that the others are measured against, instead of the study's baseline.
    The model's own discounted sums must be what numpy-financial's present values are.
    """
    built = build(measured_against(study, against) if against else study)
    comparison = Comparison(built, built.figures())
    for ground in built.grounds:
        agree(comparison, ground)
    return comparison


def measured_against(study: Study, baseline: str) -> Study:
    """The study with another baseline; raises UnknownNameError."""
    known = [scenario.scenario for scenario in study.scenarios]
    if baseline not in known:
        raise UnknownNameError("scenario", baseline, known)
    scenarios = (replace(scenario, baseline=scenario.scenario == baseline) for scenario in study.scenarios)
    return replace(study, scenarios=tuple(scenarios))


LOSES_DIGITS = 1e-4  # rates nearer to 0 than this leave the library's level amounts too few digits to check by


def published(comparison: Comparison, ground: Ground) -> dict[str, float]:
    """A scenario's life-cycle cost and level amounts by numpy-financial, as far as it has the digits: by half-months.

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
    found = {"lcc": lcc}
    if abs(year) > LOSES_DIGITS:
        found["equivalent_month"] = float(-npf.pmt(month, horizon, lcc))
        found["equivalent_year"] = float(-npf.pmt(year, horizon / 12, lcc))
    return found


def agree(comparison: Comparison, ground: Ground) -> None:
    """Raises DisagreementError where the model and numpy-financial differ by more than rounding."""
    worth, paid = (np.abs(comparison.of(ground.month(name))).sum() for name in ("present_value", "total"))
    for name, value in published(comparison, ground).items():
        own = comparison.measure(ground, name)
        if abs(own - value) > 1e-9 * (worth + paid + 1.0):
            raise DisagreementError(ground.scenario.scenario, name, own, value)


def crossings(comparison: Comparison, ground: Ground, name: str = "ahead") -> list[tuple[float, bool]]:
    """Where a scenario and the baseline cross, as far as one of two monthly differences says.

    name: `ahead`, cumulative costs, undiscounted, resale left out; `ahead_if_sold`, life-cycle costs by horizon.
    Each as (month, straight between months; whether the scenario is ahead from there). A shared start is no crossing,
    nor is being level for a while.
    """
    side, crosses = (comparison.of(ground.month(f"{name}_{kind}")) for kind in ("side", "crosses"))
    flips = np.flatnonzero(side[1:] * side[:-1] < 0) + 1
    return [(float(crosses[flip]), bool(side[flip] > 0)) for flip in flips]


MEETINGS = (("ahead", "crossing"), ("ahead_if_sold", "level_horizon"))  # monthly difference, name of its crossings
HOLDING = ("lcc", "equivalent_year")  # what is told by holding period
LINE_HEADER = ("scenario", "line", "month", "value", "unit")
MEASURE_HEADER = ("scenario", "measure", "value", "unit")


def line_rows(comparison: Comparison) -> Iterator[tuple[str, str, int, float, str]]:
    """(scenario, line, month, value, unit) of every cost line, and of energy."""
    for ground in comparison.built.grounds:
        for name in [*(line.name for line in LINES), "energy"]:
            column = ground.month(name)
            for month, value in enumerate(comparison.of(column)):
                yield ground.scenario.scenario, name, month, float(value), written(column.unit)


def measure_rows(comparison: Comparison) -> Iterator[tuple[str, str, float | str, str]]:
    """(scenario, measure, value, unit) of every measure, the workbook's number.

    Where a measure does not exist the value is a text that says why, and there is no unit.
    """
    model = comparison.built.model
    for ground in comparison.built.grounds:
        name = ground.scenario.scenario
        for column in (column for table in measure_tables(ground) for column in model.of(table)):
            yield name, column.name, *told(comparison, column, 0)
        for which, word in MEETINGS:
            for number, (month, ahead) in enumerate(crossings(comparison, ground, which), start=1):
                yield name, f"{word}_{number}_{'ahead' if ahead else 'behind'}", month, "month"
        yield from detail_rows(comparison, ground)
        yield from rate_rows(comparison, ground)
        yield from holding_rows(comparison, ground)


def measure_tables(ground: Ground) -> list[Table]:
    """The tables whose columns are published measures, in the order in which people read them."""
    return [ground.model.tables[f"{kind} of {ground.scenario.scenario}"] for kind in PUBLISHED]


def told(comparison: Comparison, column: Column, row: int) -> tuple[float | str, str]:
    """A figure with its unit; where there is none, why, without a unit."""
    reason = absent(column, row, comparison.figures)
    return (reason, "") if reason else (float(comparison.of(column)[row]), written(column.unit))


def detail_rows(comparison: Comparison, ground: Ground) -> Iterator[tuple[str, str, float | str, str]]:
    """What is delivered in detail: each pool at its worst, what is left of each place, room for more drives."""
    for name, spot in details(ground, comparison.figures).items():
        yield ground.scenario.scenario, name, *told(comparison, *spot)


def rate_rows(comparison: Comparison, ground: Ground) -> Iterator[tuple[str, str, float, str]]:
    """Each internal rate of return a year, where there are several."""
    reason = absent(ground.own("measures", "rate_of_return"), 0, comparison.figures)
    if reason.startswith("several"):
        for number, rate in enumerate(yearly_rates(ground, comparison.figures), start=1):
            yield ground.scenario.scenario, f"rate_of_return_{number}", rate, ""


def holding_rows(comparison: Comparison, ground: Ground) -> Iterator[tuple[str, str, float, str]]:
    """Life-cycle cost and equivalent year by holding period, as measures."""
    for column in (ground.own("holding", name) for name in HOLDING):
        for period, value in zip(column.table.rows, comparison.of(column), strict=True):
            name = holding_name(column, period)
            yield ground.scenario.scenario, name, float(value), written(column.unit)


def holding_name(column: Column, period: str) -> str:
    """`lcc_kept_3_years`."""
    return f"{column.name}_kept_{period.replace(' ', '_')}"
