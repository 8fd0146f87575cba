"""What a person offers as a new version of a tariff: tables in files, or one price in options of the command line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from tco.cell import REQUIRED, Cell
from tco.errors import Place
from tco.read import text
from tco.read.column import Column
from tco.read.grid import Grid, Line
from tco.read.problems import Problems, Refused
from tco.read.quantities import Money
from tco.read.shelf import load_bytes
from tco.read.tables import HEADER, cells, headed, read
from tco.read.values import value
from tco.read.words import plain
from tco.study import Charge, Holiday, Period, Row, Version

KINDS: Mapping[str, type[Row]] = {
    "tariffs.csv": Version,
    "charges.csv": Charge,
    "hours.csv": Period,
    "holidays.csv": Holiday,
}
GROUPED: Mapping[str, tuple[str, ...]] = {  # which rows of a table come and stay together
    "tariffs.csv": ("tariff", "start"),
    "charges.csv": ("tariff", "start"),
    "hours.csv": ("hours",),
    "holidays.csv": ("day", "hours"),
}
Key = tuple[Any, ...]


@dataclass(frozen=True)
class Sheet:
    """A table as read: its cells, how its columns are read (by number from 0), its rows. table: `tariffs.csv`.

    raw: the bytes of its file, if it is one.
    """

    table: str
    grid: Grid
    columns: Mapping[int, tuple[str, Column]]
    rows: Sequence[Any]
    raw: bytes = b""

    def lines(self) -> list[tuple[Any, Line]]:
        """Each row with the line it was read from."""
        return list(zip(self.rows, self.grid.lines[1:], strict=True))

    def places(self) -> dict[str, int]:
        """Field name -> number of its column."""
        return {name: column for column, (name, _) in self.columns.items()}

    def groups(self) -> dict[Key, list[tuple[Any, Line]]]:
        """Rows that come together, by what they share, in the order of the table."""
        found: dict[Key, list[tuple[Any, Line]]] = {}
        for row, line in self.lines():
            found.setdefault(key_of(self.table, row), []).append((row, line))
        return found


@dataclass(frozen=True)
class OptionGrid(Grid):
    """A table of one row whose cells are options: `--name`, `--from`, `--price`."""

    def place(self, line: Line, index: int) -> Place:
        """The option in the place of a cell."""
        return Place(OPTIONS[index] if line is self.lines[1] else "--price")

    def row_place(self, line: Line) -> Place:
        """The option that all others go with."""
        return self.place(line, PRICE)


OPTIONS, FIELDS, PRICE = ("--name", "--from", "--price"), ("tariff", "start", "price"), 2


def key_of(table: str, row: Row) -> Key:
    """What the rows of a group share."""
    return tuple(getattr(row, name) for name in GROUPED[table])


def said(row: Row) -> dict[str, Any]:
    """What a row says that counts: all but where it is from."""
    names = [one.name for one in fields(row) if "cell" in one.metadata and one.name not in ("source", "note")]
    return {name: getattr(row, name) for name in names}


def sheet(
    table: str, grid: Grid, extra: Mapping[str, Cell], money: Money, problems: Problems, raw: bytes = b""
) -> Sheet:
    """A table with its rows; what is wrong in it is told to `problems`."""
    columns, _ = headed(grid, KINDS[table], extra, money, Problems())
    return Sheet(table, grid, columns, read(grid, KINDS[table], extra, money, problems).rows, raw)


def from_file(path: Path, money: Money, problems: Problems) -> Sheet | None:
    """The table in a file, told by its header; None where it cannot be read, the reason told to `problems`."""
    try:
        raw = load_bytes(path)
    except Refused as refused:
        problems.add(Place(str(path)), str(refused))
        return None
    grid = text.parse(str(path), raw, problems)
    if grid is None:
        return None
    if not (table := table_of(grid)):
        tables = ", ".join(KINDS)
        problems.add(grid.row_place(grid.lines[0]), f"the first row is the header of none of {tables}")
        return None
    if len(grid.lines) == 1:
        problems.add(Place(str(path)), f"no row below the header; write one as in {table}")
    return sheet(table, grid, {}, money, problems, raw)


def table_of(grid: Grid) -> str:
    """Which of the tables a header is of: the one of whose columns it has most, and lacks least; empty for none."""
    matches = (HEADER.fullmatch(cell.strip()[:200]) for cell in grid.lines[0].cells if cell.strip())
    names = {plain(match["name"]) if match else "" for match in matches}

    def likeness(table: str) -> int:
        known = {plain(name): spec.default is REQUIRED for name, spec in cells(KINDS[table]).items()}
        needed = {name for name, required in known.items() if required}
        return 2 * len(names & set(known)) - len(names) - len(needed - names)

    best = max(KINDS, key=likeness)
    own = {plain(name) for name in cells(KINDS[best])} - {"source", "note"}
    return best if names & own else ""


def from_options(price: str, start: str, tariff: str, money: Money, problems: Problems) -> Sheet:
    """A new price as one row of tariffs.csv; problems name the option."""
    spec = cells(Version)
    for name, typed, option in zip(FIELDS, (tariff, start, price), OPTIONS, strict=True):
        column = Column(name, spec[name], heads=False)
        try:
            if not typed.strip():
                raise Refused(f"empty; write for example {column.example(money)}")
            value(typed, column, money)
        except Refused as refused:
            problems.add(Place(option), str(refused))
    problems.settle()
    grid = OptionGrid("--price", (Line(1, FIELDS), Line(2, (tariff.strip(), start.strip(), price.strip()))))
    return sheet("tariffs.csv", grid, {}, money, problems)
