"""Whatever the bytes: a study or a list of problems, never another failure, and never a long wait."""

from __future__ import annotations

import contextlib
import io
import tempfile
import zipfile
from datetime import timedelta
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tco.errors import StudyError
from tco.read import load
from tests.read.corpus_delivery import GOOD as DELIVERY
from tests.read.corpus_prices import FOLLOWING
from tests.read.test_xlsx import write_book
from tests.studies import TABLES as GOOD
from tests.studies import write_study


def _good_book() -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        return write_book(Path(folder) / "s.xlsx", tables=TABLES).read_bytes()


def _parts(book: bytes) -> list[tuple[str, bytes]]:
    with zipfile.ZipFile(io.BytesIO(book)) as packed:
        return [(name, packed.read(name)) for name in packed.namelist()]


TABLES = {name: text for name, text in {**GOOD, **DELIVERY, **FOLLOWING}.items() if text is not None}
GOOD_BOOK = _good_book()
GOOD_PARTS = _parts(GOOD_BOOK)
SNIPPETS = st.sampled_from(
    [b"", b",", b";", b"\t", b'"', b"\n", b"\r", b"\0", b"\xff",
     b"\xef\xbb\xbf", b"-1", b"1e999", b"nan", b"1,234",
     b"1.234", b"%", b" EUR", b"TiB", b"[", b"]", b"2026-02-30",
     b"\xc3\xa9", b"../x.csv", b"=1+1", b"9" * 400, b"USD",
     b" + ", b" dB(A)", b"main", b"2.4 B", b"yes", b"no", b"Mbps",
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
def damaged(draw: st.DrawFn) -> tuple[str, bytes]:
    """A table of the good study with a few bytes replaced, cut or put in."""
    name = draw(st.sampled_from(sorted(TABLES)))
    content = TABLES[name].encode()
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(content)))
        stop = min(len(content), start + draw(st.integers(0, 12)))
        content = content[:start] + draw(SNIPPETS | st.binary(max_size=4)) + content[stop:]
    return name, content


@PATIENT
@given(damaged())
def test_a_damaged_table(change: tuple[str, bytes]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        try_to_load(write_study(Path(folder), **{**TABLES, change[0]: change[1]}))


@PATIENT
@given(st.sampled_from(sorted(TABLES)), st.binary(max_size=300))
def test_any_bytes_as_a_table(name: str, content: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        try_to_load(write_study(Path(folder), **{**TABLES, name: content}))


@st.composite
def damaged_book(draw: st.DrawFn) -> bytes:
    """The good study as a workbook, with a few bytes of one of its parts, or of the whole file, replaced."""
    parts = dict(GOOD_PARTS)
    name = draw(st.sampled_from(["", *sorted(parts)]))
    content = parts.get(name, GOOD_BOOK)
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


@settings(PATIENT, max_examples=40)
@given(
    st.sampled_from(["minis", "tariffs", "study", "scenarios", "paths", "fees", "pools", "sites", "stated", "needs"]),
    st.integers(1, 12),
    st.integers(1, 15),
    st.text(max_size=20),
)
def test_any_text_in_a_cell(name: str, line: int, column: int, text: str) -> None:
    rows = [row.split(",") for row in TABLES[name].splitlines()]
    row = rows[line % len(rows)]
    row[column % len(row)] = '"' + text.replace('"', '""') + '"'
    changed = "\n".join(",".join(cells) for cells in rows).encode("utf-8", "surrogatepass")
    with tempfile.TemporaryDirectory() as folder:
        try_to_load(write_study(Path(folder), **{**TABLES, name: changed}))
