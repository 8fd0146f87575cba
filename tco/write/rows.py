"""The rows of a study behind a model's table: their sources and notes, and what their cells may hold."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import PurePath

from tco.engine import Table
from tco.model import StudyModel
from tco.model.tariff import Tariff
from tco.study import (
    Needs,
    Row,
    Settings,
    Study,
)

BY_NAME = (Settings, Needs)  # tables of one thing a row, each with a source and a note of its own
WITHOUT_EFFECT = {"question", "title", "part", "scenario", "fee", "what"}  # names and titles, for people only
LISTS = {"parts": "parts", "nodes": "nodes", "fees": "fees", "one-offs": "one_offs", "pools": "pools"}


def points(curves: Mapping[str, Sequence[Row]]) -> list[Row]:
    """The points of all curves, one after the other."""
    return [point for curve in curves.values() for point in curve]


SHARED: dict[str, Callable[[Study], Sequence[Row]]] = {
    "sites": lambda study: study.sites,
    "resale": lambda study: points(study.resale),
    "efficiency": lambda study: points(study.efficiency),
    "home": lambda study: study.home,
    "holidays": lambda study: study.holidays,
}
NAMED: dict[str, Callable[[Study, str], Sequence[Row]]] = {  # the table's name without the stem says which
    "path ": lambda study, name: study.paths[name],
    "tariff ": lambda study, name: study.tariffs[name],
    "charges ": lambda study, name: Tariff(study, name).rows,
    "hours ": lambda study, name: study.hours[name],
    "shape ": lambda study, name: study.shapes[name],
}


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
    if table.name in SHARED:
        return SHARED[table.name](study)
    for stem, of in NAMED.items():
        if table.name.startswith(stem):
            return of(study, table.name.removeprefix(stem))
    return ()


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
