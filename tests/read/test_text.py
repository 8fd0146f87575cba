"""The same table in whatever encoding, separator and line end a spreadsheet program exports."""

from __future__ import annotations

import codecs
import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tco.errors import Place
from tco.read import load
from tco.read.problems import Problems
from tco.read.text import parse
from tests.studies import TABLES, write_study

UMLAUT = TABLES["tariffs"].replace("the letter", "Brief für März")


def in_encoding(content: str, encoding: str) -> bytes:
    """A table's bytes, with the byte-order mark the name asks for."""
    mark = {"utf-16-le+": codecs.BOM_UTF16_LE, "utf-16-be+": codecs.BOM_UTF16_BE}.get(encoding, b"")
    return mark + content.encode(encoding.rstrip("+"))


@pytest.mark.parametrize(
    "encoding",
    ["utf-8", "utf-8-sig", "utf-16", "utf-16-le+", "utf-16-be+", "utf-16-le", "utf-16-be", "cp1252", "latin-1"],
)
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_encodings_and_line_ends_give_the_same_study(tmp_path: Path, encoding: str, end: str) -> None:
    plain = load(write_study(tmp_path / "plain", tariffs=UMLAUT))
    other = load(write_study(tmp_path / "other", tariffs=in_encoding(UMLAUT.replace("\n", end), encoding)))
    assert other.tariffs == plain.tariffs
    assert other.tariffs["household"][1].source == "Brief für März"


def respelt(content: str, separator: str, decimal: str) -> str:
    """A table with another separator and decimal sign, cells quoted where they must be."""
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator, lineterminator="\n")
    for row in csv.reader(io.StringIO(content)):
        writer.writerow([cell.replace(".", decimal) if cell[:1].isdigit() else cell for cell in row])
    return out.getvalue()


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("decimal", [".", ","])
@pytest.mark.parametrize("head", ["", "sep={}\n"])
def test_separators_and_decimal_signs_give_the_same_study(
    tmp_path: Path, separator: str, decimal: str, head: str
) -> None:
    plain = load(write_study(tmp_path / "study"))
    changed = {
        name: head.format(separator) + respelt(content, separator, decimal) for name, content in TABLES.items()
    }
    other = load(write_study(tmp_path / "other" / "study", **changed))
    assert (other.settings, other.scenarios, other.tariffs) == (plain.settings, plain.scenarios, plain.tariffs)
    assert (other.failures, other.resale) == (plain.failures, plain.resale)


def grid(content: str | bytes) -> list[tuple[int, tuple[str, ...]]]:
    """The filled rows of a table with their lines."""
    raw = content.encode() if isinstance(content, str) else content
    found = parse("t.csv", raw, Problems())
    assert found
    return [(line.number, line.cells) for line in found.lines]


def test_empty_rows_are_passed_over_and_lines_stay_true() -> None:
    assert grid("\n,,\na,b\n\n1,2\n,\n") == [(3, ("a", "b")), (5, ("1", "2"))]


def test_a_line_break_inside_quotes_shifts_what_follows() -> None:
    found = parse("t.csv", b'a,b,c\r\n"x\r\ny",2,"p\rq\nr",9\r\n3,4,5\r\n', Problems())
    assert found
    assert [found.place(found.lines[1], i) for i in range(4)] == [
        Place("t.csv", 2, 1), Place("t.csv", 3, 2), Place("t.csv", 3, 3), Place("t.csv", 5, 4),
    ]  # fmt: skip
    assert found.lines[2].number == 6


def test_quotes_inside_a_bare_cell_are_inches() -> None:
    assert grid('part,size\nrack,19"\n')[1][1] == ("rack", '19"')


def test_a_space_before_a_quote_is_no_part_of_the_cell() -> None:
    assert grid('a, "b, c"\n')[0][1] == ("a", "b, c")


def test_the_header_rows_separator_counts_outside_quotes_and_units() -> None:
    assert grid('"a, b, c";d\n1;2\n')[0][1] == ("a, b, c", "d")


def test_padding_of_a_spreadsheet_export_is_tolerated(tmp_path: Path) -> None:
    padded = "\n".join(line + ",,," for line in TABLES["tariffs"].splitlines()) + "\n,,,,,,,\n,,,,,,,\n"
    assert load(write_study(tmp_path / "a", tariffs=padded)).tariffs == load(write_study(tmp_path / "b")).tariffs


cells = st.text(alphabet=st.characters(codec="utf-8", exclude_characters="\0"), max_size=12)


@given(st.lists(st.lists(cells, min_size=2, max_size=4), min_size=1, max_size=5))
def test_any_table_of_texts_is_read_back(rows: list[list[str]]) -> None:
    out = io.StringIO()
    csv.writer(out, quoting=csv.QUOTE_ALL).writerows([["a", "b"], *rows])
    found = grid(out.getvalue())
    assert [list(row) for _, row in found[1:]] == [row for row in rows if any(cell.strip() for cell in row)]
