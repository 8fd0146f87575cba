"""Bytes of a CSV file -> rows of cells, each with its true line and column.

Encodings: UTF-8 and UTF-16 with or without byte-order mark, else Windows-1252 or Latin-1, as spreadsheet programs
export. Separators: comma, semicolon or tab, taken from the header row. Line ends: CR, LF, CRLF.
"""

from __future__ import annotations

import codecs
import csv
import re
from collections.abc import Iterable, Iterator

from tco.errors import Place
from tco.read.grid import COLUMN_LIMIT, ROW_LIMIT, Grid, Line
from tco.read.problems import Problems, Refused

LINE_LIMIT = 300_000  # physical lines, empty ones that a spreadsheet program padded with included
WIDTH_LIMIT = 100_000  # characters of one physical line
HEAD_LIMIT = 5000  # characters of the header that are looked at for the separator
SEPARATORS = ",;\t"
SIGNATURES = (
    (b"PK\x03\x04", "a zip file, perhaps a workbook renamed to .csv: save it as CSV, or give it as .xlsx"),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "an old spreadsheet file renamed to .csv: save it as CSV or .xlsx"),
    (b"%PDF-", "a PDF document"),
    (b"\x1f\x8b", "a gzip file: unpack it first"),
)
MARKS = ((codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"))
PHYSICAL = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")
SEPARATOR_LINE = re.compile(r'"?sep=(.)"?[,;\t ]*', re.IGNORECASE)
UTF8_LETTER = re.compile(rb"[\xc3-\xdf][\x80-\xbf]|[\xe1-\xef][\x80-\xbf]{2}")


class Broken(Refused):
    """A file that cannot be read further, with the line where it shows (0: the whole file)."""

    def __init__(self, message: str, line: int = 0) -> None:
        super().__init__(message)
        self.line = line


def parse(file: str, raw: bytes, problems: Problems) -> Grid | None:
    """The filled rows of a CSV file; None where it has none that can be read, the reason told to `problems`."""
    lines: list[Line] = []
    try:
        content = decode(raw)
        for first, cells, last in filled(content, _physical(content)):
            line = Line(first, tuple(cells), _starts(cells, first) if last > first else ())
            _check_size(line, len(lines))
            lines.append(line)
    except Broken as broken:
        problems.add(Place(file, broken.line), str(broken))
        return Grid(file, tuple(lines), whole=False) if lines else None
    if not lines:
        problems.add(Place(file), "the file is empty; its first row must name the columns")
        return None
    return Grid(file, tuple(lines))


def decode(raw: bytes) -> str:
    """The text of a file; raises Broken for what is no text."""
    return decoded(raw)[0]


def decoded(raw: bytes) -> tuple[str, bytes, str]:
    """The text of a file, its byte-order mark and its encoding; raises Broken for what is no text."""
    for signature, what in SIGNATURES:
        if raw.startswith(signature):
            raise Broken(f"this is no CSV but {what}")
    mark, encoding = _encoding(raw)
    try:
        text = raw[len(mark) :].decode(encoding)
    except UnicodeDecodeError as error:
        if encoding != "utf-8" or mark:
            raise Broken(f"damaged {encoding.upper()}: byte {error.start + 1} fits no character") from None
        text, encoding = _single_bytes(raw, error.start)
    if "\0" in text:
        line = _lines_before(text, text.index("\0"))
        raise Broken("NUL bytes: this is no text file, or a damaged one", line)
    return text, mark, encoding


def _encoding(raw: bytes) -> tuple[bytes, str]:
    """The byte-order mark and the encoding it, or the pattern of NUL bytes, speaks for."""
    for mark, encoding in MARKS:
        if raw.startswith(mark):
            return mark, encoding
    even, odd = raw[0:2000:2], raw[1:2000:2]
    # Headers are plain letters: in UTF-16 every other byte is then 0, and none of the others.
    if odd.count(0) > 0.7 * len(odd) and not even.count(0):
        return b"", "utf-16-le"
    if even.count(0) > 0.7 * len(even) and not odd.count(0):
        return b"", "utf-16-be"
    return b"", "utf-8"


def _single_bytes(raw: bytes, broken: int) -> tuple[str, str]:
    """What a spreadsheet program exports in Western Europe: Windows-1252, or Latin-1 where that has gaps."""
    if UTF8_LETTER.search(raw):
        # Mostly UTF-8 with a damaged byte: reading it as Windows-1252 would turn ü into Ã¼ without a word.
        line = _lines_before(raw[:broken].decode("latin-1"), broken)
        raise Broken("damaged UTF-8: a byte here fits no character; save the file anew as UTF-8", line)
    try:
        return raw.decode("cp1252"), "cp1252"
    except UnicodeDecodeError:
        return raw.decode("latin-1"), "latin-1"


def _lines_before(text: str, position: int) -> int:
    """The number, from 1, of the line that holds a position."""
    return sum(1 for _ in re.finditer(r"\r\n|\r|\n", text[:position])) + 1


def _physical(text: str) -> Iterator[str]:
    """The lines of a text with their ends; raises Broken where there are too many or a line is too long."""
    for number, found in enumerate(PHYSICAL.finditer(text), start=1):
        if number > LINE_LIMIT:
            raise Broken(f"more than {LINE_LIMIT:,} lines: no table of a study is that long")
        if found.end() - found.start() > WIDTH_LIMIT:
            raise Broken(f"a line of more than {WIDTH_LIMIT:,} characters: this is no table", number)
        yield found.group()


def separator(text: str) -> tuple[str, int]:
    """The character between cells, and how many lines at the top only say so (0 or 1)."""
    head = next((line.strip("\r\n") for line in _physical(text) if line.strip()), "")
    if said := SEPARATOR_LINE.fullmatch(head):
        return said[1], 1
    bare = re.sub(r'"[^"]*"|\[[^\]]*\]', "", head[:HEAD_LIMIT])  # separators inside quotes or units separate nothing
    return max(SEPARATORS, key=bare.count), 0


def filled(text: str, lines: Iterable[str]) -> Iterator[tuple[int, list[str], int]]:
    """The rows that hold anything, in order: the line each begins on, its cells, the line it ends on.

    lines: those of the text, with their ends; whoever gives them limits them. Raises Broken.
    """
    mark, skip = separator(text)
    if mark not in SEPARATORS:
        raise Broken(f"'sep={mark}': cells are separated by comma, semicolon or tab", 1)
    for row in _records(lines, mark):
        if "".join(row[1]).strip():
            if not skip:
                yield row
            skip = 0  # the first row only says which separator follows


def _check_size(line: Line, count: int) -> None:
    """Raise Broken for the row that makes a table too large."""
    if count >= ROW_LIMIT:
        raise Broken(f"more than {ROW_LIMIT:,} rows: no table of a study is that long", line.number)
    if len("".join(line.cells[COLUMN_LIMIT:]).strip()):
        raise Broken(f"more than {COLUMN_LIMIT} columns: no table of a study is that wide", line.number)


def _records(lines: Iterable[str], mark: str) -> Iterator[tuple[int, list[str], int]]:
    """Every row, empty ones too, as `filled` gives them; raises Broken where quotes do not close."""
    reader = csv.reader(lines, delimiter=mark, strict=True, skipinitialspace=mark != "\t")
    first = 1
    try:
        for cells in reader:
            yield first, cells, reader.line_num
            first = reader.line_num + 1
    except csv.Error as error:
        raise Broken(_quoting(str(error)), first) from None


def _starts(cells: list[str], line: int) -> tuple[int, ...]:
    """The line each cell of a row starts on: line breaks inside quotes shift what follows."""
    starts = []
    for cell in cells:
        starts.append(line)
        line += sum(1 for _ in re.finditer(r"\r\n|\r|\n", cell))
    return tuple(starts)


def _quoting(error: str) -> str:
    """What the csv module found, in plain words."""
    if "expected after" in error:
        return "text after a closing quote; a quote inside a quoted cell is written twice"
    if "field larger" in error:
        return "a cell of more than 100,000 characters; is a closing quote missing?"
    return "a quote opens in this row and never closes"
