"""One workbook whose sheets are the tables of a study -> the same rows as from CSV files.

A sheet is named as its table, without `.csv`. A workbook unpacks to many times its size, so its parts are measured
before anything reads them.
"""

from __future__ import annotations

import io
import warnings
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from datetime import date, datetime, time, timedelta
from typing import Any

from tco.errors import Place
from tco.read.grid import COLUMN_LIMIT, ROW_LIMIT, Grid, Line, Stored
from tco.read.problems import Problems, Refused

TABLE_BYTES = 3_000_000  # unpacked sheets and texts; a study of 40 scenarios needs a fifth of it
OTHER_BYTES = 500_000  # unpacked styles, relations and the like, together
SHEET_ROWS = 1_048_576  # what the format allows
TABLE_PARTS = ("xl/worksheets/", "xl/sharedStrings")
# What the zip, XML and workbook libraries raise on a damaged file; all of it means the same to a person.
DAMAGED = (
    zipfile.BadZipFile,
    zlib.error,
    OSError,
    EOFError,
    SyntaxError,  # XML that does not parse
    ArithmeticError,
    AssertionError,
    AttributeError,
    LookupError,
    MemoryError,
    RuntimeError,  # an encrypted part, recursion
    TypeError,
    ValueError,
)


def parse(name: str, raw: bytes, problems: Problems) -> Mapping[str, Grid]:
    """Sheet title -> its filled rows, empty sheets left out; raises Refused where the bytes are no workbook."""
    try:
        formulas = _check_parts(raw)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about styles and extensions, which no table needs
            return dict(_sheets(name, raw, formulas, problems))
    except Refused:
        raise
    except DAMAGED as error:
        raise Refused(f"no readable .xlsx workbook ({type(error).__name__}): save it anew") from None


def _check_parts(raw: bytes) -> bool:
    """Refuse parts that unpack too large or define entities; tells whether any sheet has formulas."""
    with zipfile.ZipFile(io.BytesIO(raw)) as packed:
        parts = [part for part in packed.infolist() if part.filename.lower().endswith((".xml", ".rels"))]
        tables = [part for part in parts if part.filename.startswith(TABLE_PARTS)]
        size = sum(part.file_size for part in tables)
        rest = sum(part.file_size for part in parts) - size
        if size > TABLE_BYTES or rest > OTHER_BYTES:
            raise Refused(f"the workbook unpacks to {(size + rest) / 1e6:.1f} MB, too large for a study")
        for part in parts:
            content = packed.read(part)
            if b"<!DOCTYPE" in content or b"<\0!\0D" in content or b"\0<\0!\0D" in content:
                raise Refused(f"the workbook's part {part.filename[:60]} defines entities, which none needs")
        return any(b"<f" in packed.read(part) or b":f" in packed.read(part) for part in tables)


def _sheets(name: str, raw: bytes, formulas: bool, problems: Problems) -> Iterator[tuple[str, Grid]]:
    """Each sheet that holds anything, by title."""
    import openpyxl

    book = openpyxl.load_workbook(io.BytesIO(raw), read_only=True, data_only=True)
    twin = openpyxl.load_workbook(io.BytesIO(raw), read_only=True, data_only=False) if formulas else None
    try:
        for sheet in book.worksheets:
            beside = twin[sheet.title] if twin else None
            grid = _grid(f"{name}/{sheet.title}", sheet, beside, problems)
            if grid.lines:
                yield sheet.title, grid
    finally:
        book.close()
        if twin:
            twin.close()


def _grid(file: str, sheet: Any, twin: Any, problems: Problems) -> Grid:
    """The filled rows of one sheet; `twin` is the same sheet with formulas in place of their results."""
    lines: list[Line] = []
    for number, (row, formulas) in enumerate(_rows(sheet, twin), start=1):
        if number > SHEET_ROWS:
            problems.add(Place(file), "a row number beyond what a sheet can hold: the workbook is damaged")
            return Grid(file, tuple(lines), whole=False, ragged=True)
        if not row:
            continue
        _tell_unstored(file, number, row, formulas, problems)
        line = _line(file, number, row, problems)
        if line and (len(lines) >= ROW_LIMIT or len(line.cells) > COLUMN_LIMIT):
            limit = f"more than {ROW_LIMIT:,} rows or {COLUMN_LIMIT} columns: no table of a study is that large"
            problems.add(Place(file, number), limit)
            return Grid(file, tuple(lines), whole=False, ragged=True)
        lines += [line] if line else []
    return Grid(file, tuple(lines), ragged=True)


def _rows(sheet: Any, twin: Any) -> Iterator[tuple[Any, Any]]:
    """Rows of values, each with the same row of formulas (empty where the workbook has none)."""
    for one in (sheet, twin) if twin else (sheet,):
        one.reset_dimensions()  # the size a file states for itself may be wrong
    if twin:
        yield from zip(sheet.iter_rows(), twin.iter_rows(), strict=True)
    else:
        yield from ((row, ()) for row in sheet.iter_rows())


def _tell_unstored(file: str, number: int, row: Any, formulas: Any, problems: Problems) -> None:
    """Report formulas whose result the workbook does not hold: only a spreadsheet program can compute it."""
    for column, (cell, formula) in enumerate(zip(row, formulas, strict=False), start=1):
        if cell.value is None and formula.value is not None and formula.data_type == "f":
            message = "a formula without a stored result: open and save the workbook in a spreadsheet program"
            problems.add(Place(file, number, column), message)


def _line(file: str, number: int, row: Any, problems: Problems) -> Line | None:
    """A row's texts without empty cells at its end; None where it is empty."""
    texts = [_text(cell) for cell in row]
    for column, cell in enumerate(row, start=1):
        if cell.value is not None and cell.data_type == "e":
            problems.add(Place(file, number, column), f"the formula here failed with {cell.value}")
            texts[column - 1] = ""
    while texts and not texts[-1].strip():
        texts.pop()
    return Line(number, tuple(texts)) if texts else None


def _text(cell: Any) -> str:
    """A cell's value as a person would type it into a CSV file."""
    value = cell.value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return _number(value, "%" in (cell.number_format or ""))
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else value.isoformat(" ")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, timedelta):  # how a workbook stores 24:00
        minutes, seconds = divmod(round(value.total_seconds()), 60)
        return f"{minutes // 60:02}:{minutes % 60:02}:{seconds:02}"
    return "" if value is None else str(value)


def _number(value: float, percent: bool) -> str:
    """A stored number; cells shown as percent hold the hundredth: 0.03 is `3 %`."""
    if percent:
        return Stored(f"{value * 100:.15g} %")
    return Stored(f"{value:.0f}" if float(value).is_integer() and abs(value) < 1e15 else repr(value))
