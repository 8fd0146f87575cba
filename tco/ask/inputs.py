"""The inputs that may vary, by name, and what other values of them change in the model.

An input is one cell, or all cells that are called alike (the price of a part that several scenarios use); or a factor
on many: all amounts of all tariffs, all failure curves or one, what all sales fetch.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tco.addresses import folded
from tco.ask.compare import Comparison
from tco.ask.input_names import near, why_not
from tco.ask.reprice import amounts
from tco.cell import Cell
from tco.engine import Array, Column
from tco.errors import AskedError, UnknownNameError
from tco.model import Ground
from tco.model.slots import with_failure_rates
from tco.ranges import ELECTRICITY, FAILURES, RESALE, failure_rate_of
from tco.units import written

Spot = tuple[Column, int]  # a cell of the model: a given column and a row


@dataclass(frozen=True)
class Input:
    """What may vary under one name.

    cells: where it stands; none for failure rates, which stand above the engine. likely: what the study says there.
    is_factor: whether its values multiply what the study says; `likely` is 1 then. whole: whether it is a count.
    is_share: whether people write it in %. least, most: what a study may hold there. curves: the failure curves it
    multiplies. scenario: the only one in which it varies, where that is not all of them.
    """

    name: str
    unit: str
    cells: tuple[Spot, ...]
    likely: tuple[float, ...]
    is_factor: bool = False
    whole: bool = False
    is_share: bool = False
    least: float | None = None
    most: float | None = None
    curves: tuple[str, ...] = ()
    scenario: str = ""

    @property
    def cell(self) -> Cell | None:
        """What a person may type for it; None for a factor, which is a share of what the study says."""
        return None if self.is_factor else self.cells[0][0].cell

    @property
    def label(self) -> str:
        """Its name, with the scenario where it varies in one only and its name does not say so."""
        said = not self.scenario or self.name.endswith(f" of {self.scenario}")
        return self.name if said else f"{self.name} ({self.scenario})"

    def told(self, value: float) -> str:
        """A value as a person writes it: `0.36 EUR/kWh`, `12 %`; `1.2 times what the study says` for a factor."""
        if self.is_factor:
            return f"{value:.6g} times what the study says"
        return f"{100 * value:.6g} %" if self.is_share else f"{value:,.6g} {self.unit}".strip()


def inputs(comparison: Comparison) -> dict[str, Input]:
    """Every input by its name; factors first, then in the order of the model."""
    found = {one.name: one for one in factors(comparison)}
    cells: dict[str, list[Spot]] = {}
    for column, row, _ in comparison.built.model.inputs():
        if column.inputs and column.inputs[row] and column.values is not None:
            cells.setdefault(column.inputs[row], []).append((column, row))
    return found | {name: of_cells(name, spots) for name, spots in cells.items() if name not in found}


def of_cells(name: str, spots: list[Spot]) -> Input:
    """An input that stands in some cells."""
    column, cell = spots[0][0], spots[0][0].cell
    assert column.unit is not None
    assert cell is not None
    likely = tuple(float(one.values[row]) for one, row in spots if one.values is not None)
    return Input(
        name, written(column.unit), tuple(spots), likely, whole=cell.kind == "whole", is_share=column.percent,
        least=cell.least, most=cell.most,
    )  # fmt: skip


def factors(comparison: Comparison) -> list[Input]:
    """The inputs that multiply many cells."""
    model, study = comparison.built.model, comparison.study
    spots = tuple(spot for column in amounts(comparison, list(study.tariffs)) for spot in stated(column))
    level = ((model["settings.resale_level"], 0),) if study.resale else ()  # of shares alike nothing would be left
    names = {failure_rate_of(name): (name,) for name in study.failures}
    found = [factor(ELECTRICITY, spots), factor(FAILURES, (), tuple(study.failures)), factor(RESALE, level)]
    found += [factor(name, (), curves) for name, curves in names.items()]
    return [one for one in found if one.cells or one.curves]


def factor(name: str, cells: tuple[Spot, ...], curves: tuple[str, ...] = ()) -> Input:
    """An input whose values multiply what the study says."""
    return Input(name, "", cells, (1.0,), is_factor=True, least=0.0, curves=curves)


def stated(column: Column) -> list[Spot]:
    """The cells of a given column that have a value."""
    blank = column.blank or (False,) * len(column.table.rows)
    return [(column, row) for row, empty in enumerate(blank) if not empty]


def find(comparison: Comparison, name: str, scenario: str = "") -> Input:
    """The input of a name, in one scenario if that is named; raises UnknownNameError with near names, AskedError."""
    return found_in(inputs(comparison), comparison, name, scenario)


def found_in(known: Mapping[str, Input], comparison: Comparison, name: str, scenario: str) -> Input:
    """See find; known: the comparison's inputs."""
    wanted = folded(name)
    found = known.get(name) or next((one for key, one in known.items() if folded(key) == wanted), None)
    if found is not None:
        return within(comparison, found, scenario) if scenario else found
    if why := why_not(comparison.study, name):
        raise AskedError(name, why)
    close = near(name, known)
    more = f"and {len(known) - len(close)} more, the most important of which tco vary lists"
    raise UnknownNameError("input", name, [*close, more] if close else [more.removeprefix("and ")], close[:1])


def within(comparison: Comparison, one: Input, scenario: str) -> Input:
    """An input in one scenario only; raises UnknownNameError where it does not stand there."""
    names = [ground.scenario.scenario for ground in comparison.built.grounds]
    if scenario not in names:
        raise UnknownNameError("scenario", scenario, names)
    own = [place for place, (column, _) in enumerate(one.cells) if column.table.scenario == scenario]
    if not own:
        theirs = {column.table.scenario for column, _ in one.cells} - {""}
        if not theirs:
            raise AskedError(one.name, "is one for all scenarios; leave the scenario out")
        raise UnknownNameError(f"'{one.name}' in scenario", scenario, sorted(theirs))
    cells = tuple(one.cells[place] for place in own)
    return replace(one, cells=cells, likely=tuple(one.likely[place] for place in own), scenario=scenario)


def changes(comparison: Comparison, values: Mapping[Input, Array]) -> dict[Column, Array]:
    """What other values of inputs make of given columns: column -> (..., rows).

    values: input -> its values; their axes meet as numpy's do, so that (draws, 1) and (1, draws) make a grid of which
    each column has only the axes it needs. Inputs of one cell multiply if they are factors.
    """
    found: dict[Column, Array] = {}
    by_column: dict[Column, list[tuple[Input, int]]] = {}
    for one in sorted(values, key=lambda one: one.is_factor):  # factors come on top of values
        for column, row in one.cells:
            by_column.setdefault(column, []).append((one, row))
    for column, places in by_column.items():
        assert column.values is not None
        shape = np.broadcast_shapes(*(np.shape(values[one]) for one, _ in places))
        found[column] = np.array(np.broadcast_to(column.values, (*shape, len(column.values))))
        for one, row in places:
            cell = found[column][..., row]
            cell[...] = cell * values[one] if one.is_factor else values[one]
    return found | failing(comparison, {one: wanted for one, wanted in values.items() if one.curves})


def failing(comparison: Comparison, rates: Mapping[Input, Array]) -> dict[Column, Array]:
    """What factors on failure rates make of the columns that are worked out above the engine, one by one."""
    if not rates:
        return {}
    factors = list(each_factor(rates))
    shape = np.broadcast_shapes(*map(np.shape, rates.values()))
    found: dict[Column, Array] = {}
    for ground in comparison.built.grounds:
        own = [{curve: factor[curve] for curve in curves_of(ground) if curve in factor} for factor in factors]
        if not own[0]:
            continue
        known: dict[tuple[float, ...], dict[Column, Array]] = {}
        for one in own:
            if (key := tuple(one.values())) not in known:
                known[key] = with_failure_rates(ground, one) if set(key) != {1.0} else {}
        columns = dict.fromkeys(column for one in known.values() for column in one)
        rows = [known[tuple(one.values())] for one in own]
        found |= {
            column: np.array([row.get(column, column.values) for row in rows]).reshape(*shape, -1)
            for column in columns
        }
    return found


def each_factor(rates: Mapping[Input, Array]) -> Iterator[dict[str, float]]:
    """What each failure curve is multiplied by, draw by draw; factors on one curve multiply."""
    for factors in zip(*(wide.ravel() for wide in np.broadcast_arrays(*rates.values())), strict=True):
        found: dict[str, float] = {}
        for one, factor in zip(rates, factors, strict=True):
            found |= {curve: found.get(curve, 1.0) * float(factor) for curve in one.curves}
        yield found


def curves_of(ground: Ground) -> Sequence[str]:
    """The failure curves that parts of a scenario follow."""
    return sorted({part.failures for part in ground.scenario.parts} - {""})


def ranged(comparison: Comparison) -> list[tuple[Input, float, float]]:
    """The inputs that ranges.csv names, with the ends as numbers: in the input's unit, or factors."""
    found, known = [], inputs(comparison) if comparison.study.ranges else {}
    for one in comparison.study.ranges:
        met = found_in(known, comparison, one.input, one.scenario)
        found.append((replace(met, is_factor=one.is_factor), one.least, one.greatest))
    return found
