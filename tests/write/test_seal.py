"""The mark by which an unchanged workbook is known at once; without it the cells decide."""

from __future__ import annotations

import zipfile
from pathlib import Path

import openpyxl
import pytest
from openpyxl.comments import Comment

import tco
from tco.write.edited import why_kept
from tco.write.results import why_left_alone
from tco.write.seal import is_sealed
from tco.write.workbook import write_workbook
from tests.studies import write_study


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """A workbook as the tool writes it."""
    folder = tmp_path_factory.mktemp("sealed")
    write_workbook(tco.compare(tco.load(write_study(folder / "study"))), folder / "book.xlsx")
    return (folder / "book.xlsx").read_bytes()


@pytest.fixture
def book(written: bytes, tmp_path: Path) -> Path:
    """A copy of it."""
    place = tmp_path / "book.xlsx"
    place.write_bytes(written)
    return place


def changed(book: Path, part: str, old: bytes, new: bytes) -> None:
    """Write the parts anew, one of them with other bytes; the comment is kept."""
    with zipfile.ZipFile(book) as packed:
        parts, comment = {one: packed.read(one) for one in packed.namelist()}, packed.comment
    assert parts[part].count(old) >= 1
    parts[part] = parts[part].replace(old, new)
    with zipfile.ZipFile(book, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in parts.items():
            packed.writestr(name, content)
        packed.comment = comment


def test_a_workbook_as_written_is_known_by_its_mark(book: Path) -> None:
    assert is_sealed(book)
    assert why_left_alone(book) == why_kept(book) == ""


def test_one_other_byte_of_a_part_breaks_the_mark(book: Path) -> None:
    changed(book, "xl/workbook.xml", b"Summary", b"Sunmary")
    assert not is_sealed(book)
    assert "was changed" in why_left_alone(book)


def test_saved_again_unchanged_the_cells_decide(book: Path) -> None:
    openpyxl.load_workbook(book).save(book)
    assert not is_sealed(book)
    assert why_left_alone(book) == ""


def test_a_comment_that_a_person_has_written_is_a_change(book: Path) -> None:
    noted = openpyxl.load_workbook(book)
    noted["Assumptions"]["B6"].comment = Comment("ask the insurer in May", "me")
    noted.save(book)
    assert "was changed" in why_left_alone(book)


def test_a_changed_cell_is_found_though_the_mark_is_copied(book: Path) -> None:
    with zipfile.ZipFile(book) as packed:
        mark = packed.comment
    edited = openpyxl.load_workbook(book)
    edited["Assumptions"]["B6"] = 12345
    edited.save(book)
    with zipfile.ZipFile(book, "a") as packed:
        packed.comment = mark
    assert not is_sealed(book)
    assert "was changed" in why_left_alone(book)


@pytest.mark.parametrize("content", [b"", b"PK\x05\x06", b"no archive", b"PK\x03\x04" + bytes(40)])
def test_what_is_no_archive_has_no_mark(content: bytes, tmp_path: Path) -> None:
    place = tmp_path / "book.xlsx"
    place.write_bytes(content)
    assert not is_sealed(place)
    assert not is_sealed(tmp_path / "none.xlsx")


def test_the_mark_says_nothing_that_changes_from_run_to_run(written: bytes, tmp_path: Path) -> None:
    place = tmp_path / "again.xlsx"
    write_workbook(tco.compare(tco.load(write_study(tmp_path / "study"))), place)
    assert place.read_bytes() == written
