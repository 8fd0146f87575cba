"""Everything read from a study's tables, before it is known to fit together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeVar

from tco.addresses import label
from tco.read.curves import place
from tco.read.problems import Problems, shown, suggestion
from tco.read.tables import Table
from tco.study import (
    Charge,
    EfficiencyPoint,
    Entry,
    FailurePoint,
    Fee,
    Holiday,
    HomeUse,
    Log,
    Needs,
    Node,
    OneOff,
    Part,
    PathPoint,
    Period,
    Pool,
    Purchase,
    Range,
    ResalePoint,
    Row,
    Scenario,
    Settings,
    ShapePoint,
    Site,
    Stated,
    Version,
)

S = TypeVar("S", Node, Fee, OneOff, Pool, Stated, Purchase)


@dataclass(frozen=True)
class Curves:
    """Curves by name, the study's own and the reference ones. whole: whether all names are known."""

    failures: Mapping[str, tuple[FailurePoint, ...]]
    resale: Mapping[str, tuple[ResalePoint, ...]]
    efficiency: Mapping[str, tuple[EfficiencyPoint, ...]]
    failures_whole: bool = True
    resale_whole: bool = True
    efficiency_whole: bool = True


@dataclass(frozen=True)
class Found:
    """The tables of a study. parts: file of a parts list -> its table, unreadable ones with no rows. logs: by file.

    settings: its rows may hold stand-ins for what was refused; these compare false with everything.
    """

    settings: Settings
    scenarios: Table[Scenario]
    nodes: Table[Node]
    tariffs: Table[Version]
    charges: Table[Charge]
    hours: Table[Period]
    holidays: Table[Holiday]
    home: Table[HomeUse]
    shapes: Table[ShapePoint]
    fees: Table[Fee]
    one_offs: Table[OneOff]
    paths: Table[PathPoint]
    pools: Table[Pool]
    sites: Table[Site]
    stated: Table[Stated]
    needs: Needs | None
    ranges: Table[Range]
    purchases: Table[Purchase]
    ledger: Table[Entry]
    rates: Mapping[str, float]
    parts: Mapping[str, Table[Part]]
    curves: Curves
    logs: Mapping[str, Log]

    def parts_of(self, scenario: Scenario) -> Table[Part]:
        """A scenario's parts list; empty where it names none, or one that could not be read."""
        missing: Table[Part] = Table("", whole="parts_list" not in scenario.places)
        return self.parts.get(scenario.parts_list, missing)

    def versions(self, tariff: str) -> list[Version]:
        """The versions of a tariff in rising order of their start."""
        return sorted((row for row in self.tariffs.rows if row.tariff == tariff), key=lambda row: row.start)


def of(table: Table[S], scenario: Scenario) -> tuple[S, ...]:
    """The rows of a table that belong to a scenario."""
    return tuple(row for row in table.rows if row.scenario == scenario.scenario)


def tell_absent(row: Row, name: str, what: str, where: str, names: set[str], problems: Problems) -> None:
    """Report the name a row has in a field where nothing in `where` bears it; `names` are there instead."""
    text = str(getattr(row, name))
    message = f"{label(name)}: there is no {what} {shown(text)} in {where}{suggestion(text, names)}"
    problems.add(place(row, name), message)
