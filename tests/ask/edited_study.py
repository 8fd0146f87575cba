"""A study with other values of one input, made by hand on its rows: the independent truth of what varies.

Knows nothing of models: it looks for the rows of a study that are called like the input, and writes the value there.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from typing import Any

from tco.addresses import ROWS, address
from tco.ranges import ELECTRICITY, FAILURES, RESALE
from tco.settings import Row, Settings
from tco.study import Charge, FailurePoint, Needs, Study, Version

Change = Callable[[float], float]
EMPTY = {(Charge, "kWh_share"): 1.0}  # what a cell that is left empty means, where the row has no number for it


def edited(study: Study, name: str, change: Change, scenario: str = "") -> Study:
    """The study with `change` made to each value that is called `name`, in one scenario if that is named."""
    if name == ELECTRICITY:
        return walked(study, is_price, change)
    if name == FAILURES or name.startswith(f"{FAILURES} of "):
        return with_rates(study, name.removeprefix(f"{FAILURES} of "), change(1.0))
    if name == RESALE:
        return walked(study, lambda row, field: isinstance(row, Settings) and field == "resale_level", change)
    wanted = lambda row, field: is_called(row, field, name)  # noqa: E731
    if not scenario:
        return walked(study, wanted, change)
    scenarios = (walked(one, wanted, change) if one.scenario == scenario else one for one in study.scenarios)
    return dataclasses.replace(study, scenarios=tuple(scenarios))


def is_called(row: Row, field: str, name: str) -> bool:
    """Whether a cell is called so."""
    return (type(row) in ROWS or isinstance(row, Settings | Needs)) and address(row, field) == name


def is_price(row: Row, field: str) -> bool:
    """Whether a cell is an amount of money of a tariff."""
    cells = {one.name: one.metadata["cell"] for one in dataclasses.fields(row) if "cell" in one.metadata}
    return isinstance(row, Version | Charge) and field in cells and "{money}" in cells[field].unit


def walked(found: Any, wanted: Callable[[Row, str], bool], change: Change) -> Any:
    """Rows, and whatever holds rows, with the wanted cells changed."""
    if isinstance(found, tuple):
        return tuple(walked(one, wanted, change) for one in found)
    if isinstance(found, Mapping):
        return {key: walked(one, wanted, change) for key, one in found.items()}
    if not isinstance(found, Row | Study):
        return found
    values = {field.name: getattr(found, field.name) for field in dataclasses.fields(found)}
    for (kind, name), empty in EMPTY.items():
        if isinstance(found, kind) and values[name] is None and wanted(found, name):
            values[name] = empty
    made = {
        name: walked(value, wanted, change)
        for name, value in values.items()
        if isinstance(value, tuple | Row) or (isinstance(found, Study) and isinstance(value, Mapping))
    }
    if isinstance(found, Row):
        numbers = {name: value for name, value in values.items() if is_number(value)}
        made |= {name: change(value) for name, value in numbers.items() if wanted(found, name)}
        more = {name: value for name, value in found.extra.items() if is_number(value) and wanted(found, name)}
        made |= {"extra": {**found.extra, **{name: change(value) for name, value in more.items()}}} if more else {}
    return dataclasses.replace(found, **made) if made else found


def is_number(value: Any) -> bool:
    """Whether it is a number, and not yes or no."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def with_rates(study: Study, curve: str, factor: float) -> Study:
    """The study with the failure rates of a curve, or of all, times a factor; a chance by the rate behind it."""
    curves = {
        name: tuple(faster(point, factor) for point in points) if curve in (name, FAILURES) else points
        for name, points in study.failures.items()
    }
    return dataclasses.replace(study, failures=curves)


def faster(point: FailurePoint, factor: float) -> FailurePoint:
    """A row of a failure curve: one that survives a month by p survives it by p to the power of the factor."""
    if point.chance is not None:
        return dataclasses.replace(point, chance=1.0 - (1.0 - point.chance) ** factor if factor else 0.0)
    assert point.rate is not None
    return dataclasses.replace(point, rate=point.rate * factor)
