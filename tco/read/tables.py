"""One table: its header matched to the definitions, its rows as dataclass instances that know their places."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any, Generic, TypeVar

from tco.addresses import label
from tco.cell import REQUIRED, Cell
from tco.errors import Place
from tco.read.column import Column
from tco.read.grid import Grid, Line
from tco.read.kinds import check_word, said, split
from tco.read.numbers import decimal_sign
from tco.read.problems import Problems, Refused, nearest, shown, suggestion
from tco.read.quantities import Money, factor
from tco.read.values import NUMERIC, check_percent, stand_in, value
from tco.read.words import plain
from tco.study import Row

R = TypeVar("R", bound=Row)
HEADER_LIMIT = 200  # characters; the pattern would take long over more
HEADER = re.compile(r"(?P<name>[^\[\]]*?)\s*(?:\[(?P<unit>[^\[\]]*)\])?\s*")


@dataclass
class Table(Generic[R]):
    """The rows of a table. whole: whether all of its names are known; if not, a missing one is no news."""

    file: str
    rows: list[R] = field(default_factory=list)
    whole: bool = True


def cells(row_type: type[Row], extra: Mapping[str, Cell] | None = None) -> dict[str, Cell]:
    """Field name -> definition, the columns that cost lines add included."""
    found = {item.name: item.metadata["cell"] for item in fields(row_type) if "cell" in item.metadata}
    first = row_type.__annotations__  # what it inherits comes after
    own: dict[str, Cell] = dict(sorted(found.items(), key=lambda item: item[0] not in first))
    last: dict[str, Cell] = {name: own.pop(name) for name in ("source", "note") if name in own}
    return own | dict(extra or {}) | last


def read(grid: Grid, row_type: type[R], extra: Mapping[str, Cell], money: Money, problems: Problems) -> Table[R]:
    """All rows of a table; refused cells are told to `problems` and hold a stand-in."""
    known = cells(row_type, extra)
    columns, sound = headed(grid, row_type, extra, money, problems)
    rows = _Rows(grid, row_type, known, columns, money, problems)
    made = [rows.row(line) for line in grid.lines[1:]]
    return Table(grid.file, made, whole=grid.whole and sound and rows.sound)


def headed(
    grid: Grid, row_type: type[Row], extra: Mapping[str, Cell], money: Money, problems: Problems
) -> tuple[dict[int, tuple[str, Column]], bool]:
    """(cell index -> field name and how its cells are read; whether the header is without fault)."""
    columns, sound = _Header(grid, cells(row_type, extra), problems).columns(money)
    return _with_signs(grid, columns), sound


def _with_signs(grid: Grid, columns: Mapping[int, tuple[str, Column]]) -> dict[int, tuple[str, Column]]:
    """The columns with the decimal sign that the numbers of the whole table agree on."""
    numeric = [index for index, (_, column) in columns.items() if column.cell.kind in NUMERIC]
    sign = decimal_sign(line.cells[i] for line in grid.lines[1:] for i in numeric if i < len(line.cells))
    return {index: (name, replace(column, sign=sign)) for index, (name, column) in columns.items()}


class _Header:
    """The first row: which column is which."""

    def __init__(self, grid: Grid, known: Mapping[str, Cell], problems: Problems) -> None:
        self.grid, self.known, self.problems = grid, known, problems
        self.line = grid.lines[0]
        self.names = {plain(name): name for name in known}
        self.sound = True

    def columns(self, money: Money) -> tuple[dict[int, tuple[str, Column]], bool]:
        """(cell index -> field name and column; whether the header is without fault)."""
        found: dict[int, tuple[str, Column]] = {}
        meant: dict[int, str] = {}
        for index, text in enumerate(self.line.cells):
            if not text.strip():
                continue
            match = HEADER.fullmatch(text.strip()) if len(text) <= HEADER_LIMIT else None
            name = self.names.get(plain(match["name"])) if match else None
            if name is None:
                meant[index] = self._tell_unknown(index, text)
            elif name in {other for other, _ in found.values()}:
                self._tell(index, f"column '{label(name)}' stands here a second time; keep one")
            else:
                unit = (match["unit"] or "").strip() if match else ""
                found[index] = (name, self._column(index, name, unit, money))
        for index, name in meant.items():
            if name and name not in {other for other, _ in found.values()}:
                found[index] = (name, Column(label(name), self.known[name], unit=FAULTY))
        self._tell_missing({name for name, _ in found.values()})
        return found, self.sound

    def _tell(self, index: int, message: str) -> None:
        self.sound = False
        self.problems.add(self.grid.place(self.line, index), message)

    def _tell_unknown(self, index: int, text: str) -> str:
        """Report a header nobody knows; gives the field that was probably meant."""
        bare = re.split(r"[\[(]", text[:HEADER_LIMIT])[0]
        labels = [label(name) for name in self.known]
        hint = suggestion(plain(bare), labels)
        if plain(bare) in self.names:
            hint = f"; write a unit in square brackets: '{label(self.names[plain(bare)])} [unit]'"
        self._tell(index, f"column {shown(text.strip())} is unknown{hint}")
        return self.names.get(plain(nearest(plain(bare), labels)), "")

    def _tell_missing(self, present: set[str]) -> None:
        """Report required columns that are not there; one that is only misspelt is reported already."""
        for name, cell in self.known.items():
            if cell.default is REQUIRED and name not in present:
                self.sound = False
                message = f"there is no column '{label(name)}' ({cell.meaning})"
                self.problems.add(self.grid.row_place(self.line), message)

    def _column(self, index: int, name: str, unit: str, money: Money) -> Column:
        """The column of a known header; a unit that does not fit is told once, here, not at each cell."""
        bare, word = split(unit)
        column = Column(label(name), self.known[name])
        try:
            check_word(unit, word, column.cell)
            _check_unit(bare, column, money)
        except Refused as refused:
            self.problems.add(self.grid.place(self.line, index), f"{column.label}: {refused}")
            return replace(column, unit=FAULTY) if column.cell.kind in NUMERIC else column
        return replace(column, unit=bare, kind=word)


FAULTY = "?"  # a header that is misspelt, or its unit refused: its cells are not judged, nor missed


def _check_unit(unit: str, column: Column, money: Money) -> None:
    """Refuse a header's unit that does not suit its column."""
    cell = column.cell
    if not unit:
        return
    if cell.kind in ("share", "growth"):
        check_percent(unit, cell.kind)
    elif cell.kind == "months":
        factor(unit, "month", money)
    elif cell.kind != "number" or not cell.unit:
        raise Refused(f"this column takes no unit; head it '{column.label}'")
    elif money.code or "{money}" not in cell.unit:
        factor(unit, cell.unit, money)


class _Rows:
    """The rows below the header."""

    def __init__(
        self,
        grid: Grid,
        row_type: type[Any],
        known: Mapping[str, Cell],
        columns: Mapping[int, tuple[str, Column]],
        money: Money,
        problems: Problems,
    ) -> None:
        self.grid, self.row_type, self.known, self.columns = grid, row_type, known, columns
        self.money, self.problems = money, problems
        header = grid.lines[0].cells
        self.width = max((i + 1 for i, text in enumerate(header) if text.strip()), default=0)
        self.own = {item.name for item in fields(row_type)}
        self.sound = True

    def row(self, line: Line) -> Any:
        """One row; a cell that is empty, absent or refused holds its default or a stand-in."""
        self._check_width(line)
        values: dict[str, Any] = dict(self._absent())
        places = {"": self.grid.row_place(line)}
        kinds: dict[str, str] = {}
        for index, (name, column) in self.columns.items():
            if index >= len(line.cells) and not self.grid.ragged:
                continue
            text = line.cells[index] if index < len(line.cells) else ""
            if text.strip():
                places[name] = self.grid.place(line, index)
                kinds |= {name: word} if (word := said(text, column)) else {}
            values[name] = self._value(text, column, self.grid.place(line, index))
        more = {name: values.pop(name) for name in list(values) if name not in self.own}
        return self.row_type(**values, places=places, extra=more, kinds=kinds)

    def _absent(self) -> Iterator[tuple[str, Any]]:
        """What every field holds until its cell is read: its default, or a stand-in where it has none."""
        for name, cell in self.known.items():
            yield name, stand_in(cell) if cell.default is REQUIRED else cell.default

    def _value(self, text: str, column: Column, place: Place) -> Any:
        cell = column.cell
        if not text.strip():
            if cell.default is not REQUIRED:
                return cell.default
            return self._refuse(f"empty, which is not zero; write for example {column.example(self.money)}",
                                column, place)  # fmt: skip
        if column.unit == FAULTY:
            return stand_in(cell)
        try:
            return value(text, column, self.money)
        except Refused as refused:
            return self._refuse(str(refused), column, place)

    def _refuse(self, message: str, column: Column, place: Place) -> Any:
        self.problems.add(place, f"{column.label}: {message}")
        if column.cell.kind == "name":
            self.sound = False  # a name is not known, so others may rightly refer to it
        return stand_in(column.cell)

    def _check_width(self, line: Line) -> None:
        """Report cells beyond the header, and headers beyond the cells."""
        header = self.grid.lines[0].cells
        for index, text in enumerate(line.cells):
            if text.strip() and (index >= len(header) or not header[index].strip()):
                self._tell_extra(line, index, text)
        if len(line.cells) < self.width and not self.grid.ragged:
            missing = ", ".join(shown(text) for text in header[len(line.cells) : self.width] if text.strip())
            message = f"the row has {len(line.cells)} cells, the header {self.width}; missing: {missing}"
            self.problems.add(self.grid.row_place(line), message)
            self.sound = False

    def _tell_extra(self, line: Line, index: int, text: str) -> None:
        message = f"no header stands over {shown(text)}"
        if index >= self.width:
            filled = max(i + 1 for i, cell in enumerate(line.cells) if cell.strip())
            message = f"the row has {filled} cells, the header {self.width}; the extra one is {shown(text)}"
        self.problems.add(self.grid.place(line, index), message)
