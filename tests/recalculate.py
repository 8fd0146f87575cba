"""Workbooks recalculated by LibreOffice: what a spreadsheet program makes of their formulas.

LibreOffice shows the stored results of an XLSX and does not recalculate; once they are cut out, it computes every
cell.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import zipfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import openpyxl
import pytest

Cells = dict[str, dict[str, Any]]

PROGRAM = "soffice"
TOO_LONG = 400  # seconds
RESULT = re.compile(rb"(</f>|<f[^>]*/>)<v>[^<]*</v>")  # what is stored beside a formula


def skipped() -> bool:
    """Whether tests that recalculate are skipped: without LibreOffice, unless TCO_REQUIRE_LIBREOFFICE is set."""
    return shutil.which(PROGRAM) is None and not os.environ.get("TCO_REQUIRE_LIBREOFFICE")


needs_libreoffice = pytest.mark.skipif(
    skipped(), reason="LibreOffice is not installed; set TCO_REQUIRE_LIBREOFFICE to fail instead of skipping"
)


def recalculated(path: Path, work: Path) -> Cells:
    """Sheet -> coordinate -> value as LibreOffice computes it; see recalculated_many."""
    return recalculated_many([path], work)[0]


def recalculated_many(paths: Sequence[Path], work: Path) -> list[Cells]:
    """The cells of several workbooks, recalculated in one run of LibreOffice.

    work: a folder of this run's own (tmp_path will do); the workbooks given are left alone. Empty cells are left out,
    and cells in error hold the error's text (`#DIV/0!`).
    """
    bare, done = work / "without results", work / "recalculated"
    bare.mkdir(parents=True)
    copies = [bare / f"{number}.xlsx" for number in range(len(paths))]
    for path, copy in zip(paths, copies, strict=True):
        drop_results(path, copy)
    convert(copies, done, work / "profile")
    return [cells(done / copy.name) for copy in copies]


def drop_results(path: Path, copy: Path) -> None:
    """A copy of the workbook whose formulas have no stored results: their <v> is cut out of the sheets' XML."""
    with zipfile.ZipFile(path) as book, zipfile.ZipFile(copy, "w", zipfile.ZIP_DEFLATED) as bare:
        for entry in book.infolist():
            content = book.read(entry)
            is_sheet = entry.filename.startswith("xl/worksheets/sheet")
            bare.writestr(entry, RESULT.sub(rb"\1", content) if is_sheet else content)


def convert(paths: Sequence[Path], folder: Path, profile: Path, kind: str = "xlsx") -> None:
    """Have LibreOffice open workbooks and save them as a kind; a profile of its own lets runs go on side by side."""
    if shutil.which(PROGRAM) is None:
        pytest.fail("TCO_REQUIRE_LIBREOFFICE is set, but LibreOffice is not installed: no soffice on the path")
    command = [PROGRAM, f"-env:UserInstallation={profile.resolve().as_uri()}", "--headless", "--norestore"]
    command += ["--convert-to", kind, "--outdir", str(folder), *(str(path) for path in paths)]
    ran = subprocess.run(command, capture_output=True, text=True, timeout=TOO_LONG, check=False)
    missing = [path.name for path in paths if not (folder / path.name).with_suffix(f".{kind}").exists()]
    assert not missing, f"LibreOffice did not write {missing}: {ran.stdout}{ran.stderr}"


def cells(path: Path) -> Cells:
    """Every cell of a workbook that holds something."""
    book = openpyxl.load_workbook(path, data_only=True)
    # _cells holds what the file holds; iter_rows would make every cell of the rectangle, and takes ten times as long.
    found = {
        sheet.title: {cell.coordinate: cell.value for cell in sheet._cells.values() if cell.value is not None}
        for sheet in book.worksheets
    }
    book.close()
    return found


def is_error(value: Any) -> bool:
    """Whether a recalculated cell holds an error value."""
    return isinstance(value, str) and value.startswith("#")
