"""Printed results of documented calls against a workbook's own functions; the library's are among the cases."""

from __future__ import annotations

from pathlib import Path

import pytest
import xlsxwriter

from tests.published.functions import CALLS
from tests.recalculate import needs_libreoffice, recalculated


@pytest.fixture(scope="module")
def cells(tmp_path_factory: pytest.TempPathFactory) -> dict[str, float]:
    """A workbook with a formula for each call, recalculated: coordinate -> value."""
    folder = tmp_path_factory.mktemp("calls")
    path: Path = folder / "calls.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("calls")
        for number, call in enumerate(CALLS):
            sheet.write_formula(number, 0, call.formula)
    return recalculated(path, folder / "work")["calls"]


@needs_libreoffice
@pytest.mark.parametrize("number", range(len(CALLS)), ids=[call.check.name for call in CALLS])
def test_a_workbooks_own_function_gives_what_was_printed(number: int, cells: dict[str, float]) -> None:
    call = CALLS[number]
    assert cells[f"A{number + 1}"] == pytest.approx(call.check.value, abs=call.check.within, rel=0), call.formula


@needs_libreoffice
@pytest.mark.parametrize("number", range(len(CALLS)), ids=[call.check.name for call in CALLS])
def test_library_and_workbook_agree(number: int, cells: dict[str, float]) -> None:
    assert cells[f"A{number + 1}"] == pytest.approx(CALLS[number].check.ours(), rel=1e-7), CALLS[number].formula
