"""Whatever the bytes: a study or a list of problems, never another failure, and never a long wait."""

from __future__ import annotations

import contextlib
import io
import tempfile
import zipfile
from collections.abc import Mapping
from datetime import timedelta
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tco.errors import StudyError
from tco.read import load
from tests.read.corpus_delivery import GOOD as DELIVERY
from tests.read.corpus_electricity import GOOD as ELECTRICITY
from tests.read.corpus_failing import GOOD as FAILING
from tests.read.corpus_hours import MONTHS
from tests.read.corpus_prices import FOLLOWING
from tests.read.corpus_supplies import LOGGED, PLUG
from tests.read.test_xlsx import write_book
from tests.studies import TABLES as GOOD
from tests.studies import Change, write_study


def _good_book(tables: dict[str, str]) -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        return write_book(Path(folder) / "s.xlsx", tables=tables).read_bytes()


def _parts(book: bytes) -> list[tuple[str, bytes]]:
    with zipfile.ZipFile(io.BytesIO(book)) as packed:
        return [(name, packed.read(name)) for name in packed.namelist()]


def _texts(*studies: Mapping[str, Change]) -> dict[str, str]:
    """The tables of several good studies as one, the later ones before the earlier."""
    return {name: text for one in studies for name, text in one.items() if isinstance(text, str)}


STUDIES = [
    _texts(GOOD, DELIVERY, FOLLOWING),
    _texts(GOOD, ELECTRICITY, {"nodes": LOGGED, "plug": PLUG, "home": MONTHS}),
    _texts(GOOD, ELECTRICITY),
    _texts(GOOD, FAILING),
]
BOOKS = [_good_book(STUDIES[number]) for number in (0, 1, 3)]
TABLE = st.sampled_from([(tables, name) for tables in STUDIES for name in sorted(tables)])
SNIPPETS = st.sampled_from(
    [b"", b",", b";", b"\t", b'"', b"\n", b"\r", b"\0", b"\xff",
     b"\xef\xbb\xbf", b"-1", b"1e999", b"nan", b"1,234",
     b"1.234", b"%", b" EUR", b"TiB", b"[", b"]", b"2026-02-30",
     b"\xc3\xa9", b"../x.csv", b"=1+1", b"9" * 400, b"USD",
     b" + ", b" dB(A)", b"main", b"2.4 B", b"yes", b"no", b"Mbps",
     b"11-4", b"weekend", b"otherwise", b"24:00", b"02-29", b"energy", b"night", b"supply", b"gold",
     b" of ", b"80 %", b"120 %", b"failure rate", b"resale", b"price of UPS", b"discount", b"600 TB", b"4 years",
     b"minis", b" real", b" nominal", b"% real", b"[real]", b"forecast"]
)  # fmt: skip
PATIENT = settings(
    max_examples=60,
    deadline=timedelta(seconds=10),
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)


def try_to_load(path: Path) -> None:
    """A study or a StudyError; anything else fails the test."""
    with contextlib.suppress(StudyError):
        load(path)


@st.composite
def damaged(draw: st.DrawFn) -> tuple[dict[str, str], str, bytes]:
    """A table of a good study with a few bytes replaced, cut or put in."""
    tables, name = draw(TABLE)
    content = tables[name].encode()
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(content)))
        stop = min(len(content), start + draw(st.integers(0, 12)))
        content = content[:start] + draw(SNIPPETS | st.binary(max_size=4)) + content[stop:]
    return tables, name, content


@settings(PATIENT, max_examples=120)
@given(damaged())
def test_a_damaged_table(change: tuple[dict[str, str], str, bytes]) -> None:
    tables, name, content = change
    with tempfile.TemporaryDirectory() as folder:
        try_to_load(write_study(Path(folder), **{**tables, name: content}))


@PATIENT
@given(TABLE, st.binary(max_size=300))
def test_any_bytes_as_a_table(table: tuple[dict[str, str], str], content: bytes) -> None:
    tables, name = table
    with tempfile.TemporaryDirectory() as folder:
        try_to_load(write_study(Path(folder), **{**tables, name: content}))


@st.composite
def damaged_book(draw: st.DrawFn) -> bytes:
    """The good study as a workbook, with a few bytes of one of its parts, or of the whole file, replaced."""
    book = draw(st.sampled_from(BOOKS))
    parts = dict(_parts(book))
    name = draw(st.sampled_from(["", *sorted(parts)]))
    content = parts.get(name, book)
    start = draw(st.integers(0, len(content)))
    cut = content[:start] + draw(SNIPPETS | st.binary(max_size=6)) + content[start + draw(st.integers(0, 9)) :]
    if not name:
        return cut
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        for part, old in parts.items():
            packed.writestr(part, cut if part == name else old)
    return out.getvalue()


@PATIENT
@given(damaged_book())
def test_a_damaged_workbook(content: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "s.xlsx"
        path.write_bytes(content)
        try_to_load(path)


@settings(PATIENT, max_examples=120)
@given(
    TABLE,
    st.integers(1, 12),
    st.integers(1, 15),
    SNIPPETS.map(lambda raw: raw.decode("latin-1")) | st.text(max_size=20),
)
def test_any_text_in_a_cell(table: tuple[dict[str, str], str], line: int, column: int, text: str) -> None:
    tables, name = table
    rows = [row.split(",") for row in tables[name].splitlines()]
    row = rows[line % len(rows)]
    row[column % len(row)] = '"' + text.replace('"', '""') + '"'
    changed = "\n".join(",".join(cells) for cells in rows).encode("utf-8", "surrogatepass")
    with tempfile.TemporaryDirectory() as folder:
        try_to_load(write_study(Path(folder), **{**tables, name: changed}))


RANGES = [name for name in ("ranges", "minis", "pools", "failures") if name in STUDIES[3]]


@settings(PATIENT, max_examples=120)
@given(
    st.sampled_from(RANGES),
    st.lists(st.tuples(st.integers(0, 12), st.integers(0, 17), SNIPPETS), min_size=1, max_size=4),
)
def test_cells_of_ranges_and_wear_changed(name: str, changes: list[tuple[int, int, bytes]]) -> None:
    rows = [row.split(b",") for row in STUDIES[3][name].encode().splitlines()]
    for line, column, snippet in changes:
        row = rows[1 + line % (len(rows) - 1)]
        row[column % len(row)] = b'"' + snippet.replace(b'"', b'""') + b'"'
    with tempfile.TemporaryDirectory() as folder:
        try_to_load(write_study(Path(folder), **{**STUDIES[3], name: b"\n".join(map(b",".join, rows))}))
