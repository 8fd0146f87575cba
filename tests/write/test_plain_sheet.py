"""What is left out of the library's way of writing changes nothing in the file."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import tco
from tco.ask.compare import Comparison
from tco.write import page
from tco.write.plain_sheet import Sheet
from tco.write.workbook import write_workbook
from tests import hostile
from tests.same import parts


@pytest.mark.parametrize("name", ["demo", "hostile"])
def test_the_file_is_the_library_s(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every part to the byte, but for the spans of rows; escaped signs, comments, rules and charts among them."""
    names = ("a & b", 'the "quoted" <one>', "it's, with a comma")
    folder = tco.demo() if name == "demo" else hostile.study(tmp_path / "study", names)
    comparison = tco.compare(tco.load(folder))
    ours = written(comparison, tmp_path / "plain")
    monkeypatch.setattr(page, "PlainSheet", Sheet)
    theirs = written(comparison, tmp_path / "library")
    assert ours.keys() == theirs.keys()
    assert all(re.sub(rb' spans="[0-9:]+"', b"", theirs[part]) == ours[part] for part in ours)


def written(comparison: Comparison, folder: Path) -> dict[str, bytes]:
    """The files inside its workbook."""
    folder.mkdir()
    write_workbook(comparison, folder / "comparison.xlsx")
    return dict(parts(folder, folder / "comparison.xlsx"))
