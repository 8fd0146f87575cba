"""The workbook of `tco vary`: its cells are the figures found, its charts point at them, its grid is read in grey."""

from __future__ import annotations

import dataclasses
import itertools
import re
import shutil
import zipfile
from pathlib import Path

import numpy as np
import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from tco.ask.vary import Variation
from tco.ask.vary_grid import NOBODY, Grid
from tco.write.chance_words import PRINTED
from tco.write.vary import write_workbook
from tco.write.vary_chart import finding, label
from tco.write.vary_figures import changed, letter
from tco.write.vary_grid_sheet import COLOURS, TINTS, steps, tinted
from tco.write.vary_words import answers, grid_answer, grid_heading, notes
from tests.printing import pages_of, print_all
from tests.recalculate import needs_libreoffice
from tests.write.chances import compared
from tests.write.variations import COUNT, HOUR, PRICE, axis, choice, hostile, lattice, swing, variation, years

WRITTEN = 1e-15  # numbers stand in a workbook with sixteen digits


def written(found: Variation, folder: Path) -> openpyxl.Workbook:
    write_workbook(found, folder / "vary.xlsx")
    return openpyxl.load_workbook(folder / "vary.xlsx")


def gridded(**more: object) -> Variation:
    comparison = compared()
    price = choice(comparison, PRICE, 0.5, 2.0).input
    grid = lattice(comparison, axis(price, 7, 2), years(1, 2, 3, 5, stated=3), **more)  # type: ignore[arg-type]
    return variation(grid=grid)


def texts(sheet: Worksheet) -> list[str]:
    return [cell.value for row in sheet.iter_rows() for cell in row if isinstance(cell.value, str)]


def row_of(sheet: Worksheet, text: str) -> int:
    return next(cell.row for (cell,) in sheet.iter_rows(max_col=1) if cell.value == text)


def test_the_first_sheet_has_the_answer_and_every_figure(tmp_path: Path) -> None:
    found = gridded()
    sheet = written(found, tmp_path)["What matters"]
    assert sheet["A1"].value == found.comparison.study.settings.question
    for sentence in (*answers(found, PRINTED), *(f"· {note}" for note in notes(found))):
        assert sentence in texts(sheet)
    names = [PRICE, "hour value [EUR/h]", COUNT, "data held [TB]"]
    for name, own in zip(names, (*found.swings, *found.silent), strict=True):
        row = [cell.value for cell in sheet[row_of(sheet, name)]]
        costs = [cost for ends in zip(own.at_low, own.at_high, strict=True) for cost in ends]
        assert row[1:4] == [own.choice.low, own.choice.likely, own.choice.high]
        assert row[4:12] == pytest.approx(costs, rel=WRITTEN)
    words = [sheet.cell(row_of(sheet, name), 13).value for name in names]
    assert words[0] == "cheapest below 131.5 %: quiet minis, from there: rented space"
    assert words[1:3] == [None, "all needs: quiet minis no longer at 5"]
    assert sheet.cell(row_of(sheet, names[0]), 2).number_format.startswith("#,##0%")


def test_the_bars_are_what_each_input_changes(tmp_path: Path) -> None:
    found = gridded()
    sheet = written(found, tmp_path)["What matters"]
    rows = list(sheet.iter_rows(min_row=1, max_row=5, min_col=16, max_col=18, values_only=True))
    assert rows[0][0] == finding(found)
    assert rows[1][1:] == ("at its low end", "at its high end")
    for row, own in zip(rows[2:], found.swings, strict=True):
        assert row[0] == label(own)
        assert row[1:] == pytest.approx(changed(found, own, own.most), rel=WRITTEN)
    assert rows[2][0] == "electricity price, 80 % to 170 % (A)"
    with zipfile.ZipFile(tmp_path / "vary.xlsx") as book:
        chart = book.read("xl/charts/chart1.xml").decode()
    ranges = re.findall(r"<c:f>'What matters'!\$([A-Z]+)\$(\d+)(?::\$[A-Z]+\$(\d+))?</c:f>", chart)
    assert ("P", "1", "") in ranges
    assert {("P", "3", "5"), ("Q", "3", "5"), ("R", "3", "5")} <= set(ranges)


def cells_of(sheet: Worksheet, grid: Grid) -> np.ndarray:
    """The grid's cells; its first row of figures stands below the values across."""
    shape = grid.cheapest.shape
    first = [str(cell.value) for (cell,) in sheet.iter_rows(max_col=1)]
    top = 3 + next(place for place, text in enumerate(first) if text.startswith("electricity price"))
    own = [[sheet.cell(top + row, 2 + column) for column in range(shape[1])] for row in range(shape[0])]
    return np.array(own, dtype=object)


def test_each_cell_says_who_and_by_how_much(tmp_path: Path) -> None:
    found = gridded(level=2, misses=True)
    grid = found.grid
    assert grid is not None
    sheet = written(found, tmp_path)["Grid"]
    assert [sheet["A4"].value, sheet["A5"].value] == [f"{grid_heading(grid)}.", grid_answer(grid)]
    for place, cell in np.ndenumerate(cells_of(sheet, grid)):
        number = int(grid.cheapest[place])
        if number == NOBODY:
            assert cell.value == "="
            continue
        assert cell.value == pytest.approx(grid.ahead[place], rel=WRITTEN)
        mark = "'" if grid.misses[place] else " "
        assert cell.number_format == f'"{letter(number)}{mark} "#,##0'
        tint = sum(grid.ahead[place] >= step for step in steps(grid))
        assert cell.fill.fgColor.rgb == f"FF{tinted(COLOURS[number], TINTS[tint])[1:]}"
    told = texts(sheet)
    assert {"A", "B", "C", "D", *grid.names} <= set(told)
    assert any("= means that several cost the same" in one for one in told)
    assert any("misses a need" in one for one in told)


def test_what_the_study_says_stands_in_a_frame(tmp_path: Path) -> None:
    sheet = written(gridded(), tmp_path)["Grid"]
    framed = [cell.value for row in sheet.iter_rows() for cell in row if cell.border.left.style == "medium"]
    assert framed == ["5", "100 %"]


def luminance(colour: str) -> float:
    """How light a colour is in grey, 0 to 1 (ITU-R BT.709 weights, from memory)."""
    red, green, blue = (int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_in_grey_the_tone_says_the_margin_and_text_stays_legible() -> None:
    """One step darker is darker than any scenario's step before; ink on the darkest stays far from it."""
    for light, dark in itertools.pairwise(TINTS):
        darker, lighter = ([luminance(tinted(one, tint)) for one in COLOURS] for tint in (dark, light))
        assert max(darker) < min(lighter)
    assert min(luminance(one) for one in COLOURS) > 0.5
    assert luminance("#222222") < 0.15


def test_a_third_of_the_cells_has_each_tone() -> None:
    grid = gridded().grid
    assert grid is not None
    tints = np.searchsorted(steps(grid), grid.ahead, side="right")
    assert set(np.bincount(tints.ravel())) <= {9, 10}


@pytest.mark.parametrize("count", [1, 2])
def test_hostile_names_stay_text_and_fit(count: int, tmp_path: Path) -> None:
    comparison = hostile()
    own = [swing(comparison, choice(comparison, HOUR, 1.0, 2.0), (-1.0, 1.0))] * count
    grid = lattice(comparison, years(1, 2, 3), axis(choice(comparison, "discount", 0, 1).input, 30, 4))
    found = dataclasses.replace(variation(comparison, own, grid), among=tuple(comparison_names(comparison)))
    book = written(found, tmp_path)
    assert book.sheetnames == ["What matters", "Grid"]
    for sheet in book:
        assert all(cell.data_type != "f" for row in sheet.iter_rows() for cell in row)
        assert sheet.page_setup.orientation == "landscape"
    assert any("=1+1" in text for text in texts(book["What matters"]))
    assert book["Grid"].page_setup.fitToWidth == 3


def comparison_names(comparison) -> list[str]:
    return [ground.scenario.scenario for ground in comparison.built.grounds]


def test_nothing_that_matters_leaves_no_chart_and_no_grid_no_sheet(tmp_path: Path) -> None:
    book = written(dataclasses.replace(variation(swings=[]), silent=()), tmp_path)
    assert book.sheetnames == ["What matters"]
    with zipfile.ZipFile(tmp_path / "vary.xlsx") as parts:
        assert not [name for name in parts.namelist() if "chart" in name]


@needs_libreoffice
def test_on_paper_nothing_is_cut(tmp_path: Path) -> None:
    """The first page has the answer and the bars; the grid is one page."""
    found = gridded()
    write_workbook(found, tmp_path / "vary.xlsx")
    print_all([tmp_path / "vary.xlsx"], tmp_path)
    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext")
    pages = pages_of(tmp_path / "vary.pdf")
    assert len(pages) == 2
    words = [" ".join(page.split()) for page in pages]
    for sentence in answers(found, PRINTED):
        assert sentence in words[0]
    assert grid_answer(found.grid) in words[1]  # type: ignore[arg-type]
    assert "###" not in "".join(pages)
