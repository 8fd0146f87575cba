"""How the inputs of a study are called, where a person names one: `price of hard drive 8 TB, new`."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tco.delivery import Needs, Pool, Site, Stated
from tco.electricity import Charge, EfficiencyPoint, HomeUse
from tco.settings import Row, Settings
from tco.study import Fee, Node, OneOff, Part, PathPoint, ResalePoint, Scenario, Version


def label(name: str) -> str:
    """A field's name as a person reads it."""
    return name.replace("_", " ")


ROWS: dict[type[Row], Callable[[Any], str]] = {  # how a row of each kind is called, after `of`
    Scenario: lambda row: row.scenario,
    Part: lambda row: row.origin or row.part,  # what is bought on top is called as what it is one of
    Node: lambda row: row.node,
    Pool: lambda row: row.pool,
    Site: lambda row: row.site,
    Stated: lambda row: row.scenario,
    Version: lambda row: f"{row.tariff} from {row.start:%Y-%m}",
    Charge: lambda row: charge_name(row),
    Fee: lambda row: row.fee,
    OneOff: lambda row: f"{row.what} in month {row.month}",
    ResalePoint: lambda row: f"{row.curve} at {row.age} months",
    PathPoint: lambda row: f"{row.path} in year {row.year}",
    EfficiencyPoint: lambda row: f"{row.curve} at {row.load:.0%}",
    HomeUse: lambda row: f"the home in month {row.month}" if row.month else "the home",
}


def charge_name(row: Charge) -> str:
    """A charge with its period and block, and the version of the tariff it belongs to."""
    block = f" above {row.above:g} kWh" if row.above else ""
    return f"{row.charge}{f', {row.period}' if row.period else ''}{block}, {row.tariff} from {row.start:%Y-%m}"


def address(row: Row, name: str) -> str:
    """How an input is called: `price of hard drive 8 TB, new`, `discount`, `need: usable`."""
    if isinstance(row, Settings):
        return label(name)
    if isinstance(row, Needs):
        return f"need: {label(name)}"
    return f"{label(name)} of {ROWS[type(row)](row)}"


def folded(text: str) -> str:
    """A name for comparing: without capitals and runs of spaces."""
    return " ".join(text.split()).casefold()
