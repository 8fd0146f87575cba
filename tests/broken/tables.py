"""What can be wrong with a table's header, its rows and its file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tco.cell import REQUIRED
from tco.read.log_rows import LogRow
from tco.read.values import NUMERIC
from tco.study import Part
from tests.broken.sheet import Sheet
from tests.broken.spots import Spot

Told = tuple[str, ...]


@dataclass(frozen=True)
class Wrong:
    """A table that is wrong. place: where that must be told. alone: whether nothing else is wrong then."""

    kind: str
    sheet: Sheet
    place: str
    words: Told
    alone: bool = True


def headers(spot: Spot) -> Iterator[Wrong]:
    """Faults of a column's header."""
    own, column = spot.sheet, spot.column
    place, name = own.place(0, column), spot.name

    def named(kind: str, text: str, *words: str) -> Wrong:
        return Wrong(kind, own.with_cell(0, column, text), place, words)

    yield named("column misspelt", f"{name}z", f"column '{name}z' is unknown", f"did you mean '{name}'")
    if spot.cell.kind in NUMERIC:
        yield named("unit in round brackets", f"{name} (kg)", f"column '{name} (kg)' is unknown", "square brackets")
    more = own.with_column(name, [cells[column] for cells in own.rows[1:]])
    yield Wrong(
        "column twice",
        more,
        more.place(0, len(own.header)),
        (f"column '{name}' stands here a second time", "keep one"),
    )
    if spot.cell.default is REQUIRED:
        words = (f"there is no column '{name}'", spot.cell.meaning)
        yield Wrong("column missing", own.without_column(column), own.place(0), words, alone=False)
    yield from units(spot)


def units(spot: Spot) -> Iterator[Wrong]:
    """Faults of the unit that a header may have."""
    own, kind, name = spot.sheet, spot.cell.kind, spot.name

    def headed(fault: str, unit: str, *words: str) -> Wrong:
        changed = own.with_cell(0, spot.column, f"{name} [{unit}]")
        return Wrong(fault, changed, own.place(0, spot.column), (f"{name}: ", *words))

    if kind in ("share", "growth"):
        yield headed("header in another unit", "kg", "'kg' is not what belongs here", "'%'")
    elif kind == "months" or spot.cell.unit:
        yield headed("header in an unknown unit", "Foo", "unit 'Foo' is unknown")
        yield headed("header in another unit", "W" if spot.unit == "kg" else "kg", "wanted is")
    else:
        yield headed("unit over what has none", "EUR", "this column takes no unit", f"head it '{name}'")


def rows(one: Sheet, last: Spot) -> Iterator[Wrong]:
    """Faults of a table's rows; last: a spot of its last column."""
    width, row = len(one.header), len(one.rows) - 1
    cells = one.rows[row]
    wide = one.with_row(row, (*cells, "more"))
    of_log = last.kind is LogRow
    words = f"the row has {width + 1} cells, the header {width}", "the extra one is 'more'"
    yield Wrong("too many cells", wide, wide.place(row, 1 if of_log else width), words)
    words = f"the row has {width - 1} cells, the header {width}", "" if of_log else f"missing: '{one.header[-1]}'"
    short = one.with_row(row, cells[:-1])
    yield Wrong("too few cells", short, short.place(row, 1 if of_log else None), words)
    more = Sheet(one.file, tuple((*cells, "" if number else " ") for number, cells in enumerate(one.rows))).with_cell(
        row, width, "stray"
    )
    if not of_log:
        yield Wrong("cell without header", more, more.place(row, width), ("the row has", "the extra one is 'stray'"))
    else:
        yield Wrong("cell without header", more, more.place(row, 1), ("the row has", "the extra one is 'stray'"))


@dataclass(frozen=True)
class Bytes:
    """A file that is wrong as a file."""

    kind: str
    content: bytes
    place: str
    words: Told


def files(one: Sheet, *, large: bool) -> Iterator[Bytes]:
    """Faults of a file, whatever its columns are; large: those that make it long as well."""
    text, file = one.text, one.file
    plain = text.encode()
    last = f"{file}:{text.count(chr(10))}"
    second = f"{file}:{one.line(1)}"
    first_line = len(text.split("\n", 1)[0]) + 1
    for kind, content, words in (
        (
            "empty file",
            b"",
            ("the file is empty" if file not in LOGS else "the log is empty", "first row must name the columns"),
        ),
        ("blank file", b"\r\n , ,\r\n", ("empty", "first row must name the columns")),
        ("zip", b"PK\x03\x04" + plain, ("this is no CSV but a zip file", "save it as CSV")),
        ("old workbook", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + plain, ("an old spreadsheet file", "save it as CSV")),
        ("document", b"%PDF-1.7" + plain, ("a PDF document",)),
        ("packed", b"\x1f\x8b" + plain, ("a gzip file", "unpack it first")),
        ("torn UTF-16", b"\xff\xfe" + text.encode("utf-16-le") + b"\x00", ("damaged UTF-16-LE",)),
        ("half a pair in UTF-16", b"\xff\xfe\x00\xd8" + text.encode("utf-16-le"), ("damaged UTF-16-LE", "byte 1")),
    ):
        yield Bytes(kind, content, file, words)
    yield Bytes("NUL byte", plain[:-1] + b"\0\n", last, ("NUL bytes", "no text file"))
    yield Bytes(
        "damaged UTF-8",
        "ü".encode() + plain[:-1] + b"\xc3\n",
        f"{file}:{text.count(chr(10))}",
        ("damaged UTF-8", "save the file anew as UTF-8"),
    )
    yield Bytes(
        "quote that never closes",
        plain + b'"',
        f"{file}:{text.count(chr(10)) + 1}",
        ("a quote opens in this row and never closes",),
    )
    yield Bytes(
        "text after a quote",
        plain[:first_line] + b'"a"b' + plain[first_line:],
        second,
        ("text after a closing quote", "written twice"),
    )
    yield Bytes("odd separator", b"sep=|\n" + plain, f"{file}:1", ("'sep=|'", "comma, semicolon or tab"))
    if large:
        yield Bytes(
            "very long line",
            plain + b"x" * 100_001,
            f"{file}:{text.count(chr(10)) + 1}",
            ("more than 100,000 characters",),
        )
        yield Bytes("very many lines", plain + b"\n" * 300_001, file, ("more than 300,000 lines",))
    if file in LOGS:
        yield Bytes("a single row", plain[:first_line], file, ("a log needs two rows at least",))


LOGS = ("plug.csv", "meter.csv")
REPEATED = {  # tables whose rows may not be the same twice: the column at which the second is told, words
    "study.csv": ("setting", "is said in line 2 already; keep one"),
    "needs.csv": ("need", "is said in line 2 already; keep one"),
    "scenarios.csv": ("scenario", "stands in line 2 already"),
    "nodes.csv": ("node", "stands in line 2 already"),
    "tariffs.csv": ("start", "already"),
    "charges.csv": ("charge", "stands in line 2 already"),
    "hours.csv": ("hours", "every hour belongs to one row"),
    "holidays.csv": ("day", "already"),
    "home.csv": ("month", "already"),
    "shapes.csv": ("shape", "every hour belongs to one row"),
    "efficiency.csv": ("load", "loads must rise"),
    "failures.csv": ("age", "ages must rise"),
    "resale.csv": ("age", "ages must rise"),
    "paths.csv": ("year", "years must rise"),
    "pools.csv": ("pool", "already"),
    "sites.csv": ("site", "already"),
    "stated.csv": ("scenario", "already"),
    "ranges.csv": ("input", "has a range in line 2 already"),
    "exchange.csv": ("currency", "has a rate already; keep the one to use"),
}
MAY_REPEAT = {  # rows that may well be alike
    "minis.csv": Part, "fees.csv": None, "one_offs.csv": None, "ledger.csv": None, "purchases.csv": None,
}  # fmt: skip


def repeated(one: Sheet) -> Wrong | None:
    """The first row a second time, where that cannot be meant."""
    if one.file not in REPEATED:
        return None
    column, words = REPEATED[one.file]
    more = one.with_more(2, one.rows[1])
    at = one.header.index(column) if column in one.header and more.rows[2][one.header.index(column)] else None
    return Wrong("row twice", more, more.place(2, at), (words,), alone=False)
