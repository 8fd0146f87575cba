"""Rows and cells put into a table; in the text of a CSV file every other byte stays as a person wrote it."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from tco.errors import Place
from tco.read.grid import Grid, Line
from tco.read.problems import Refused, shown
from tco.read.text import PHYSICAL, decoded, separator

END = re.compile(r"(?:\r\n|\r|\n)\Z")
ENCODINGS = {"cp1252": "Windows-1252", "latin-1": "Latin-1"}


@dataclass(frozen=True)
class NewRow:
    """A row to put in behind the row of line `after`, and where it is from: a row of another table.

    columns: own column -> the column it is from, both from 0.
    """

    after: int
    cells: tuple[str, ...]
    source: Grid
    line: Line
    columns: Mapping[int, int]


@dataclass
class Edits:
    """What changes in a table: headers of columns put at its end, cells by (line, column from 0), rows put in."""

    columns: list[str] = field(default_factory=list)
    cells: dict[tuple[int, int], str] = field(default_factory=dict)
    rows: list[NewRow] = field(default_factory=list)

    def __bool__(self) -> bool:
        return bool(self.cells or self.rows)

    def after(self, number: int) -> list[NewRow]:
        """The rows behind the row of a line."""
        return [row for row in self.rows if row.after == number]


@dataclass(frozen=True)
class Record:
    """A row of a CSV file as it is written: the line it starts on, the text of each cell, its line end."""

    number: int
    cells: tuple[str, ...]
    end: str


def width(grid: Grid) -> int:
    """How many cells the longest filled row has; columns put in come after them."""
    return max(len(line.cells) for line in grid.lines)


def amended(raw: bytes, grid: Grid, edits: Edits) -> bytes:
    """The file with its edits; raises Refused where its encoding has no sign for one of them.

    grid: the file as read.
    """
    text, mark, encoding = decoded(raw)
    sign = separator(text)[0]
    records = list(_records(text, sign))
    written = "".join(_written(records, sign, grid, edits))
    try:
        return mark + written.encode(encoding)
    except UnicodeEncodeError as error:
        letter, name = written[error.start], ENCODINGS.get(encoding, encoding.upper())
        raise Refused(f"{grid.file} is written in {name}, which has no {shown(letter)}") from None


def _records(text: str, sign: str) -> Iterator[Record]:
    """Every row of a file, empty ones too, cut into the texts of its cells; put together they are the file."""
    lines = PHYSICAL.findall(text)
    reader = csv.reader(iter(lines), delimiter=sign, strict=True, skipinitialspace=sign != "\t")
    done = 0
    for _ in reader:
        whole = "".join(lines[done : reader.line_num])
        found = END.search(whole)
        end = found[0] if found else ""
        yield Record(done + 1, tuple(_cells(whole[: len(whole) - len(end)], sign)), end)
        done = reader.line_num


def _cells(text: str, sign: str) -> Iterator[str]:
    """The cells of a row as they are written: blanks before them and quotes round them included."""
    blank = "" if sign == "\t" else " *"
    cell = re.compile(rf'{blank}"(?:[^"]|"")*"|[^{sign}]*')
    at = 0
    while (found := cell.match(text, at)) is not None:
        yield found[0]
        at = found.end() + 1
        if found.end() >= len(text):
            return


def _written(records: list[Record], sign: str, grid: Grid, edits: Edits) -> Iterator[str]:
    """The text of the file, piece by piece."""
    filled = {line.number for line in grid.lines}
    usual = next((record.end for record in records if record.end), "\n")
    for record in records:
        if record.number not in filled:
            yield sign.join(record.cells) + record.end
            continue
        is_head = record.number == grid.lines[0].number
        yield sign.join(_changed(record, sign, edits, width(grid), is_head=is_head))
        yield record.end
        for row in edits.after(record.number):
            text = sign.join(quoted(cell, sign, always=_quotes(record)) for cell in row.cells)
            yield text + record.end if record.end else usual + text


def _changed(record: Record, sign: str, edits: Edits, before: int, *, is_head: bool) -> list[str]:
    """The cells of a row with its edits, as they are written."""
    found = list(record.cells)
    if edits.columns:
        found += [""] * (before + len(edits.columns) - len(found))
    if is_head and edits.columns:
        found[before:] = [quoted(name, sign, always=_quotes(record)) for name in edits.columns]
    for (number, column), text in edits.cells.items():
        if number == record.number:
            found[column] = quoted(text, sign, always=_quotes(record))
    return found


def _quotes(record: Record) -> bool:
    """Whether a row puts all that it says in quotes."""
    said = [cell.strip() for cell in record.cells if cell.strip()]
    return bool(said) and all(cell.startswith('"') for cell in said)


def quoted(text: str, sign: str, *, always: bool = False) -> str:
    """A cell as it is written: in quotes where it must be, or where its neighbours are."""
    needs = text != text.strip() or any(letter in text for letter in (sign, '"', "\r", "\n"))
    return '"' + text.replace('"', '""') + '"' if needs or (always and text) else text


def expected(grid: Grid, edits: Edits) -> Iterator[tuple[Line | NewRow, tuple[str, ...]]]:
    """Each filled row after its edits: where it is from, and its cells."""
    for line in grid.lines:
        cells = [*line.cells, *[""] * (width(grid) + len(edits.columns) - len(line.cells))]
        if line is grid.lines[0] and edits.columns:
            cells[width(grid) :] = edits.columns
        for (number, column), text in edits.cells.items():
            if number == line.number:
                cells[column] = text
        yield line, tuple(cells)
        yield from ((row, row.cells) for row in edits.after(line.number))


def amended_grid(grid: Grid, edits: Edits) -> Grid:
    """The table with its edits, for a workbook's sheet: rows below what is put in move down."""
    lines, moved = [], 0
    for origin, cells in expected(grid, edits):
        if isinstance(origin, Line):
            lines.append(Line(origin.number + moved, _bare(cells)))
        else:
            moved += 1
            lines.append(Line(origin.after + moved, _bare(cells)))
    return replace(grid, lines=tuple(lines))


def _bare(cells: tuple[str, ...]) -> tuple[str, ...]:
    """Cells without the empty ones at the end."""
    filled = [number for number, cell in enumerate(cells, start=1) if cell.strip()]
    return cells[: max(filled, default=0)]


def check_same(grid: Grid, edits: Edits, found: Grid | None) -> None:
    """Raises Refused where a changed file does not read as it should: nothing a person wrote may be hurt."""
    wanted = [_bare(cells) for _, cells in expected(grid, edits)]
    if found is None or [_bare(line.cells) for line in found.lines] != wanted:
        raise Refused("cannot be changed without hurting other cells; add the row by hand")


def origins(grid: Grid, edits: Edits, found: Grid) -> dict[Place, Place]:
    """Place in the changed table -> where that stands in a person's own files."""
    known: dict[Place, Place] = {}
    for line, (origin, cells) in zip(found.lines, expected(grid, edits), strict=True):
        other = grid if isinstance(origin, Line) else origin.source
        row = origin if isinstance(origin, Line) else origin.line
        known[found.row_place(line)] = other.row_place(row)
        for column in range(len(cells)):
            own = column if isinstance(origin, Line) else origin.columns.get(column, -1)
            known[found.place(line, column)] = other.place(row, own) if own >= 0 else other.row_place(row)
    return known
