"""Every column that the reader declares, each with a filled cell of a good study in which faults can be made."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from tco.addresses import label
from tco.cell import Cell
from tco.model import line_inputs
from tco.read.columns import tables
from tco.read.log_rows import LogRow
from tco.read.settings import WORDS, known
from tco.read.tables import cells
from tco.read.words import plain
from tco.study import Part, Row, Settings
from tests.broken.good import STUDIES
from tests.broken.sheet import Sheet, sheet

EXTRA = line_inputs()


@dataclass(frozen=True)
class Spot:
    """A filled cell of a declared column. row, column: counted from 0, the header being row 0.

    name: the column's label as messages begin with. is_setting: whether it is a row of settings or needs.
    """

    study: str
    kind: type[Row]
    field: str
    cell: Cell
    sheet: Sheet
    row: int
    column: int
    is_setting: bool = False

    @property
    def name(self) -> str:
        return label(self.field)

    @property
    def text(self) -> str:
        """What stands in the cell."""
        return self.sheet.rows[self.row][self.column]

    @property
    def place(self) -> str:
        """Where the cell stands."""
        return self.sheet.place(self.row, self.column)

    @property
    def unit(self) -> str:
        """The definition's unit in the study's currency."""
        return self.cell.unit.replace("{money}", "EUR")


def kind_of(file: str) -> type[Row]:
    """What the rows of a table are."""
    declared = tables()
    if file in declared:
        return declared[file]
    return LogRow if file in ("plug.csv", "meter.csv") else Part


@cache
def sheets(study: str) -> dict[str, Sheet]:
    """The tables of a good study; the first has each setting, those not written out by their examples, whole."""
    found = {file: sheet(file, text) for file, text in STUDIES[study].items()}
    if study == next(iter(STUDIES)):
        own = found["study.csv"]
        said = {plain(row[0]) for row in own.rows}
        lacking = {name: cell for name, cell in known(Settings, EXTRA[Settings]).items() if plain(name) not in said}
        more = tuple((label(name), re.sub(r"\.[0-9]+", "", cell.example), "", "") for name, cell in lacking.items())
        found["study.csv"] = Sheet(own.file, own.rows + more)
    return found


def declared() -> Iterator[tuple[type[Row], str, Cell]]:
    """Every column, setting and need that the reader knows."""
    for row_type in tables().values():
        found = (known if row_type in WORDS else cells)(row_type, EXTRA.get(row_type, {}))
        yield from ((row_type, name, cell) for name, cell in found.items())


@cache
def spots() -> tuple[Spot, ...]:
    """One filled cell for each declared column; the first that there is."""
    found: dict[tuple[type[Row], str], Spot] = {}
    for study in STUDIES:
        for one in _of_study(study):
            found.setdefault((one.kind, one.field), one)
    return tuple(found.values())


@cache
def last_spots() -> tuple[Spot, ...]:
    """The last filled cell of each of those columns in the same table, where it is another one."""
    last = {(one.study, one.sheet.file, one.field): one for study in STUDIES for one in _of_study(study)}
    found = (last[one.study, one.sheet.file, one.field] for one in spots() if not one.is_setting)
    return tuple(one for one in found if one not in spots())


def _of_study(study: str) -> Iterator[Spot]:
    for file, own in sheets(study).items():
        kind = kind_of(file)
        if kind in WORDS:
            yield from _settings(study, kind, own)
            continue
        fields = {plain(name): (name, cell) for name, cell in cells(kind, EXTRA.get(kind, {})).items()}
        for column, head in enumerate(own.header):
            name, cell = fields[plain(head)]
            filled = (row for row in range(1, len(own.rows)) if own.rows[row][column])
            yield from (Spot(study, kind, name, cell, own, row, column) for row in filled)


def _settings(study: str, kind: type[Row], own: Sheet) -> Iterator[Spot]:
    """The rows of a table of settings or needs."""
    fields = {plain(name): (name, cell) for name, cell in known(kind, EXTRA.get(kind, {})).items()}
    for row in range(1, len(own.rows)):
        name, cell = fields[plain(own.rows[row][0])]
        yield Spot(study, kind, name, cell, own, row, 1, is_setting=True)
