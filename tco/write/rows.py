"""The rows of a study behind a model's table: their sources and notes, and what their cells may hold."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from pathlib import PurePath

from tco.cell import Cell
from tco.engine import Column, Table
from tco.model import StudyModel, line_inputs
from tco.model.ground import QUOTED, cells_of
from tco.study import (
    Fee,
    Needs,
    Node,
    OneOff,
    Part,
    PathPoint,
    Pool,
    ResalePoint,
    Row,
    Scenario,
    Settings,
    Site,
    Stated,
    Version,
)

BY_NAME = (Settings, Needs)  # tables of one thing a row, each with a source and a note of its own
WITHOUT_EFFECT = {"question", "title", "part", "scenario", "fee", "what"}  # names and titles, for people only
LISTS = {"parts": "parts", "nodes": "nodes", "fees": "fees", "one-offs": "one_offs", "pools": "pools"}


def rows_of(built: StudyModel, table: Table) -> Sequence[Row]:
    """The study's rows that a table was made from; none for computed tables."""
    study = built.study
    if table.scenario:
        scenario = next(one for one in study.scenarios if one.scenario == table.scenario)
        kind = table.kind
        if kind == "stated":
            return [scenario.stated] if scenario.stated is not None else []
        return [scenario] if kind == "inputs" else getattr(scenario, LISTS.get(kind, ""), ()) if kind in LISTS else ()
    if table.name == "settings":
        return [study.settings]
    if table.name == "needs" and study.needs is not None:
        return [study.needs]
    if table.name == "sites":
        return study.sites
    if table.name == "resale":
        return [point for points in study.resale.values() for point in points]
    if table.name.startswith("path "):
        return study.paths[table.name.removeprefix("path ")]
    return study.tariffs.get(table.name.removeprefix("tariff "), ()) if table.name.startswith("tariff ") else ()


def has_asides(built: StudyModel, table: Table) -> bool:
    """Whether any row of a table has a source or a note to show."""
    return any(row.source or row.note or isinstance(row, BY_NAME) for row in rows_of(built, table))


def aside(row: Row, field: str = "") -> tuple[str, str]:
    """A row's source and note; in study.csv each setting has its own."""
    if isinstance(row, BY_NAME):
        return row.sources.get(field, (row.source, row.note))
    return row.source, row.note


def place_of(row: Row, field: str = "") -> str:
    """Where a row stands in the person's files: `nodes.csv:3`; empty where it was left to its default."""
    place = row.places.get(field) or row.places.get("") or next(iter(row.places.values()), None)
    if place is None or (isinstance(row, BY_NAME) and field not in row.places):
        return ""
    return f"{PurePath(place.file).name}:{place.line}"


@cache
def cells() -> dict[type[Row], dict[str, Cell]]:
    """What each field of each kind of row may hold."""
    kinds = (Settings, Scenario, Part, Node, Version, Fee, OneOff, ResalePoint, PathPoint, Pool, Site, Stated, Needs)
    return {kind: dict(cells_of(kind, line_inputs().get(kind))) for kind in kinds}


def cell_of(column: Column) -> Cell | None:
    """What a given column's cells may hold, for columns that are a study's own."""
    kind = column.table.kind
    own: dict[str, type[Row]] = {
        "settings": Settings, "inputs": Scenario, "parts": Part, "nodes": Node, "fees": Fee, "one-offs": OneOff,
        "resale": ResalePoint, "pools": Pool, "sites": Site, "stated": Stated, "needs": Needs,
    }  # fmt: skip
    found = Version if kind.startswith("tariff ") else PathPoint if kind.startswith("path ") else own.get(kind)
    return cells()[found].get(column.name.removesuffix(QUOTED)) if found and column.sources else None
