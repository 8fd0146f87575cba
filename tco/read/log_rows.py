"""The rows of a metered log as they stand in the file, up to a million of them; what is wrong with many at once."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import islice

from tco.cell import cell
from tco.errors import Place
from tco.read import text
from tco.read.column import Column
from tco.read.grid import Grid, Line
from tco.read.problems import Problems, Refused, shown
from tco.read.quantities import Money
from tco.read.shelf import Shelf
from tco.read.tables import headed
from tco.settings import Row

BYTES_LIMIT = 40_000_000  # bytes of one log: a million rows with their seconds, offset and watts
LOG_LIMIT = 1_000_000  # rows of one log: minute by minute for almost two years
TOLD = 20  # problems of one kind that are told one by one


@dataclass(frozen=True, kw_only=True)
class LogRow(Row):
    """a metered log, named in nodes.csv (`log`): what a meter at the plug wrote of one node, row by row."""

    time: str = cell(
        "text",
        "date and time; without an offset from UTC, such as +02:00 or Z, local time of the study's time zone",
        "2026-10-25 02:30",
    )
    power: float | None = cell(
        "number", "power from this time to that of the next row; this or `reading`", "11.8 W", unit="W",
        default=None, least=0.0,
    )  # fmt: skip
    reading: float | None = cell(
        "number", "what the meter has counted until this time; this or `power`", "128.43 kWh", unit="kWh",
        default=None, least=0.0,
    )  # fmt: skip


@dataclass
class Rows:
    """The rows below the header, as texts.

    form: the column of the amounts, `power` or `reading`. at: index of a column's cells, counted from 0.
    lines: where each row begins. torn: rows whose cells do not fit the header, told already.
    stored: whether a workbook holds them.
    """

    file: str
    amount: Column
    form: str
    at: dict[str, int]
    stored: bool = False
    lines: list[int] = field(default_factory=list)
    times: list[str] = field(default_factory=list)
    amounts: list[str] = field(default_factory=list)
    torn: set[int] = field(default_factory=set)

    def place(self, row: int, column: str) -> Place:
        """Where a row's cell stands."""
        return Place(self.file, self.lines[row], self.at[column] + 1)

    def tell(
        self, problems: Problems, rows: Sequence[int], column: str, message: Callable[[int], str], what: str
    ) -> None:
        """Tell the same kind of problem of many rows: the first ones, then how many more there are."""
        for row in rows[:TOLD]:
            problems.add(self.place(row, column), f"{column}: {message(row)}")
        if len(rows) > TOLD:
            more = f"{column}: {what}, from here on in {len(rows) - TOLD:,} more rows"
            problems.add(self.place(rows[TOLD], column), more)


Found = Iterator[tuple[int, Sequence[str], int]]  # as text.filled gives rows


def read_rows(shelf: Shelf, file: str, problems: Problems) -> Rows | None:
    """The rows of a log; None where they cannot be read further, the reason told to `problems`."""
    name = shelf.shown(file)
    try:
        raw = shelf.raw(file, BYTES_LIMIT)
        return _rows(name, _of_sheet(shelf, file, problems) if raw is None else _of_bytes(raw), raw is None, problems)
    except text.Broken as broken:
        problems.add(Place(name, broken.line), str(broken))
    except Refused as refused:
        problems.add(Place(name), str(refused))
    return None


def _of_bytes(raw: bytes) -> Found:
    """The filled rows of a CSV file with their lines; raises Broken."""
    content = text.decode(raw)
    lines = io.StringIO(content, newline=None)  # as fast as lines come; CR, LF and CRLF alike
    return text.filled(content, lines)


def _of_sheet(shelf: Shelf, file: str, problems: Problems) -> Found:
    """The filled rows of a workbook's sheet."""
    grid = shelf.grid(file, problems)
    if grid is not None and not grid.whole:
        raise Refused("too long for a sheet: keep the study as a folder of CSV files, where a log has room")
    return ((line.number, line.cells, line.number) for line in (grid.lines if grid else ()))


def _rows(file: str, found: Found, stored: bool, problems: Problems) -> Rows | None:
    """The header matched to its columns, then the rows below it."""
    first = next(found, None)
    if first is None:
        raise Refused("the log is empty; its first row must name the columns")
    line = Line(first[0], tuple(first[1]))
    rows = _header(file, line, stored, problems)
    if rows is not None:
        width = max(i + 1 for i, name in enumerate(line.cells) if name.strip())
        odd = _gather(rows, islice(found, LOG_LIMIT), width)
        if more := next(found, None):
            raise text.Broken(f"more than {LOG_LIMIT:,} rows: thin the log out, or keep a part of it", more[0])
        _tell_odd(rows, odd, width, problems)
        if len(rows.lines) < 2:
            raise Refused("a log needs two rows at least: what is measured lies between them")
    return rows


def _header(file: str, line: Line, stored: bool, problems: Problems) -> Rows | None:
    """Which column is which; None where the rows cannot be read without what is missing."""
    columns, sound = headed(Grid(file, (line,)), LogRow, {}, Money(), problems)
    named = {name: (index, column) for index, (name, column) in columns.items()}
    forms = [name for name in ("power", "reading") if name in named]
    if len(forms) == 1 and "time" in named and sound:
        at = {name: index for name, (index, _) in named.items()}
        return Rows(file, named[forms[0]][1], forms[0], at, stored)
    if len(forms) != 1 and sound:
        both = "both 'power' and 'reading': keep one of them" if forms else "neither 'power [W]' nor 'reading [kWh]'"
        problems.add(Place(file, line.number), f"the header names {both}")
    return None


def _gather(rows: Rows, found: Found, width: int) -> dict[int, Sequence[str]]:
    """Fill the rows; gives those that are not as wide as the header, by number."""
    time, amount = rows.at["time"], rows.at[rows.form]
    line, when, what = rows.lines.append, rows.times.append, rows.amounts.append
    odd: dict[int, Sequence[str]] = {}
    for number, cells, _ in found:
        if len(cells) != width:
            odd[len(rows.lines)] = cells
            cells = [*cells, *[""] * width]
        line(number)
        when(cells[time])
        what(cells[amount])
    return odd


def _tell_odd(rows: Rows, odd: dict[int, Sequence[str]], width: int, problems: Problems) -> None:
    """Report rows with more cells than the header, and those with fewer unless a workbook left empty ones out."""
    extra = [number for number, cells in odd.items() if any(map(str.strip, cells[width:]))]
    short = [] if rows.stored else [number for number, cells in odd.items() if len(cells) < width]
    rows.torn.update(extra, short)
    what = "more or fewer cells than the header"
    rows.tell(problems, extra, rows.form, lambda row: _too_many(odd[row], width), what)
    rows.tell(problems, short, rows.form, lambda row: f"the row has {len(odd[row])} cells, the header {width}", what)


def _too_many(cells: Sequence[str], width: int) -> str:
    """A row with cells beyond the header, in words."""
    last = max(index + 1 for index, cell in enumerate(cells) if cell.strip())
    comma = " (a decimal comma in a file whose cells are separated by commas?)" if last == width + 1 else ""
    return f"the row has {last} cells, the header {width}; the extra one is {shown(cells[last - 1])}{comma}"
