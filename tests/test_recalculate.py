"""The recalculation that other tests rest on must not hand back what was stored."""

from pathlib import Path

import pytest
import xlsxwriter

import tests.recalculate as recalculate
from tests.recalculate import is_error, needs_libreoffice, recalculated, recalculated_many


def workbook(path: Path, formula: str, stored: object) -> Path:
    """A workbook with 20 in A1, and a formula in B1 beside the result stored for it."""
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("Figures")
        sheet.write("A1", 20)
        sheet.write_formula("B1", formula, None, stored)
    return path


@needs_libreoffice
def test_a_wrong_stored_result_comes_back_right(tmp_path):
    path = workbook(tmp_path / "wrong.xlsx", "=A1*2+2", 7)
    assert recalculate.cells(path)["Figures"]["B1"] == 7
    assert recalculated(path, tmp_path / "work") == {"Figures": {"A1": 20, "B1": 42}}
    assert recalculate.cells(path)["Figures"]["B1"] == 7  # the workbook itself is left alone


@needs_libreoffice
def test_several_workbooks_come_back_in_order_and_errors_as_their_text(tmp_path):
    formulas = ["=A1+1", "=A1/0", "=MATCH(7,A1:A1,0)", '=A1&"#"']
    paths = [workbook(tmp_path / f"{number}.xlsx", formula, 0) for number, formula in enumerate(formulas)]
    found = [cells["Figures"]["B1"] for cells in recalculated_many(paths, tmp_path / "work")]
    assert found == [21, "#DIV/0!", "#N/A", "20#"]
    assert [is_error(value) for value in found] == [False, True, True, False]


def test_without_libreoffice_tests_are_skipped_unless_it_is_required(monkeypatch, tmp_path):
    monkeypatch.setattr(recalculate, "PROGRAM", "no such program")
    monkeypatch.delenv("TCO_REQUIRE_LIBREOFFICE", raising=False)
    assert recalculate.skipped()
    assert needs_libreoffice.kwargs["reason"].startswith("LibreOffice is not installed; ")
    monkeypatch.setenv("TCO_REQUIRE_LIBREOFFICE", "1")
    assert not recalculate.skipped()
    with pytest.raises(pytest.fail.Exception, match="LibreOffice is not installed"):
        recalculated(workbook(tmp_path / "book.xlsx", "=1", 1), tmp_path / "work")
