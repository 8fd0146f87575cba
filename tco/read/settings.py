"""Tables of one thing a row (study.csv: settings, needs.csv: needs), each with a source and a note of its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from tco.addresses import label
from tco.cell import REQUIRED, Cell, cell
from tco.errors import Place
from tco.read.column import Column
from tco.read.kinds import said
from tco.read.numbers import decimal_sign
from tco.read.problems import Problems, Refused, nearest, shown, suggestion
from tco.read.quantities import Money
from tco.read.tables import Table, cells
from tco.read.values import NUMERIC, stand_in, value
from tco.read.words import plain
from tco.study import Needs, Row, Settings

W = TypeVar("W", Settings, Needs)


@dataclass(frozen=True, kw_only=True)
class SettingRow(Row):
    """One row of study.csv."""

    setting: str = cell("name", "which setting", "currency")
    value: str = cell("text", "its value; empty: the setting's default", "EUR", default="")


@dataclass(frozen=True, kw_only=True)
class NeedRow(Row):
    """One row of needs.csv."""

    need: str = cell("name", "which need", "node losses")
    value: str = cell("text", "what is needed", "1", default="")


NamedRow = SettingRow | NeedRow
ByName = Mapping[str, NamedRow]
WORDS: Mapping[type[Row], str] = {Settings: "setting", Needs: "need", SettingRow: "setting", NeedRow: "need"}


def known(row_type: type[Row], extra: Mapping[str, Cell]) -> dict[str, Cell]:
    """Setting or need -> definition. Source and note belong to each row, not to all together."""
    return {name: spec for name, spec in cells(row_type, extra).items() if name not in ("source", "note")}


def match(
    table: Table[Any], row_type: type[Row], extra: Mapping[str, Cell], problems: Problems
) -> dict[str, NamedRow]:
    """Setting or need -> its row; those that are unknown or said twice are told.

    A misspelt one that can only mean a certain setting stands for it, so that this is not reported missing as well.
    """
    word = WORDS[row_type]
    names = {plain(name): name for name in known(row_type, extra)}
    found: dict[str, NamedRow] = {}
    meant: dict[str, NamedRow] = {}
    for row in table.rows:
        said_name = str(getattr(row, word))
        name = names.get(plain(said_name))
        place = row.places.get(word, row.places[""])
        if name is None and said_name:
            hint = suggestion(plain(said_name), [label(name) for name in names.values()])
            problems.add(place, f"{word} {shown(said_name)} is unknown{hint}")
            meant[names.get(nearest(plain(said_name), names), "")] = row
        elif name in found:
            problems.add(
                place,
                f"{word} '{label(str(name))}' is said in line {found[str(name)].places[''].line} already; keep one",
            )
        elif name:
            found[name] = row
    meant.pop("", None)
    return {**meant, **found}


def currency(found: ByName) -> str:
    """The study's currency; empty where it is missing or refused, which `build` tells."""
    row = found.get("currency")
    try:
        return str(value(row.value, Column("currency", known(Settings, {})["currency"]), Money())) if row else ""
    except Refused:
        return ""


def build(
    row_type: type[W],
    table: Table[Any],
    found: ByName,
    extra: Mapping[str, Cell],
    money: Money,
    problems: Problems,
) -> W:
    """The settings, or the needs; whatever is wrong with them is told at the place of the value."""
    specs = known(row_type, extra)
    sign = decimal_sign(row.value for name, row in found.items() if specs[name].kind in NUMERIC)
    columns = {name: Column(label(name), spec, sign=sign, heads=False) for name, spec in specs.items()}
    values = {name: _value(table, found.get(name), column, money, problems) for name, column in columns.items()}
    filled = {name: row for name, row in found.items() if row.value and not _refused_need(row, values[name])}
    made = row_type(
        **{name: values.pop(name) for name in known(row_type, {})},
        places={"": Place(table.file), **{name: _place(row) for name, row in filled.items()}},
        extra=values,
        kinds={name: word for name, row in filled.items() if (word := said(row.value, columns[name]))},
    )
    return replace(made, sources={name: (row.source, row.note) for name, row in found.items()})


def _refused_need(row: NamedRow, found: Any) -> bool:
    """Whether a row says that something is not needed: `circuit, no`. No such need is stated then."""
    return isinstance(row, NeedRow) and found is False


def _place(row: NamedRow) -> Place:
    return row.places.get("value", row.places[""])


def _empty_place(table: Table[Any], row: NamedRow) -> Place:
    """Where the value of a row is missing: the cell, where another row tells in which column values stand."""
    column = next((one.places["value"].column for one in table.rows if "value" in one.places), 0)
    return replace(row.places[""], column=column)


def _value(table: Table[Any], row: NamedRow | None, column: Column, money: Money, problems: Problems) -> Any:
    """One setting's value, its default, or a stand-in where it is missing or refused."""
    spec = column.cell
    if (row is None and not table.whole) or (row is not None and not row.value and "value" in row.places):
        return stand_in(spec)  # what was refused already is not missing as well
    if isinstance(row, NeedRow) and not row.value:
        if table.whole:  # else the column of values may be what is misspelt
            example = f"write for example {column.example(money)}, or take the row out"
            problems.add(_empty_place(table, row), f"{column.label}: empty; {example}")
        return stand_in(spec)
    if row is None or not row.value:
        if spec.default is not REQUIRED:
            return spec.default
        if row is not None:
            message = f"{column.label}: empty; write for example {column.example(money)}"
            problems.add(_empty_place(table, row), message)
        else:
            message = f"there is no setting '{column.label}' ({spec.meaning}); example: {column.example(money)}"
            problems.add(Place(table.file), message)
        return stand_in(spec)
    try:
        return value(row.value, column, money)
    except Refused as refused:
        problems.add(_place(row), f"{column.label}: {refused}")
        return stand_in(spec)
