"""What is left out of the library's way of writing changes nothing in the file."""

from __future__ import annotations

import re
from pathlib import Path
from zipfile import ZipFile

import pytest

import tco
from tco.write import page
from tco.write.plain_sheet import Sheet
from tco.write.workbook import write_workbook
from tests import hostile


@pytest.mark.parametrize("name", ["demo", "hostile"])
def test_the_file_is_the_library_s(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every part to the byte, but for the spans of rows; escaped signs, comments, rules and charts among them."""
    names = ("a & b", 'the "quoted" <one>', "it's, with a comma")
    folder = tco.demo() if name == "demo" else hostile.study(tmp_path / "study", names)
    comparison = tco.compare(tco.load(folder))
    write_workbook(comparison, tmp_path / "plain.xlsx")
    monkeypatch.setattr(page, "PlainSheet", Sheet)
    write_workbook(comparison, tmp_path / "library.xlsx")
    ours, theirs = (parts(tmp_path / f"{one}.xlsx") for one in ("plain", "library"))
    assert ours.keys() == theirs.keys()
    assert all(re.sub(rb' spans="[0-9:]+"', b"", theirs[part]) == ours[part] for part in ours)


def parts(path: Path) -> dict[str, bytes]:
    """The files inside a workbook."""
    with ZipFile(path) as book:
        return {one: book.read(one) for one in book.namelist()}
