"""The workbook's cells: everything there, nothing in error, texts as texts, and a summary on one page."""

from __future__ import annotations

import dataclasses
import re
import shutil

import openpyxl
import pytest

import tco
from tco.engine import absent
from tco.study import Study
from tco.write.book import A4, LETTER
from tco.write.delivers_sheet import is_told
from tco.write.layout import layout
from tco.write.live import Live, fixed, sentence
from tco.write.workbook import write_workbook
from tests.printing import about_pdf, pages_of, print_all
from tests.recalculate import cells, is_error, needs_libreoffice

STUDIES = ["demo", "small", "hours"]


@pytest.fixture(scope="module", params=STUDIES)
def comparison(request):
    return tco.compare(tco.load(tco.demo().parent / request.param))


@pytest.fixture(scope="module")
def path(comparison, tmp_path_factory):
    written = tmp_path_factory.mktemp("book") / "comparison.xlsx"
    write_workbook(comparison, written)
    return written


@pytest.fixture(scope="module")
def demo() -> Study:
    return tco.load(tco.demo())


def changed(study: Study, number: int, **values) -> Study:
    """The study with other values in one scenario."""
    scenarios = list(study.scenarios)
    scenarios[number] = dataclasses.replace(scenarios[number], **values)
    return dataclasses.replace(study, scenarios=tuple(scenarios))


def test_every_figure_is_stored_in_its_cell(comparison, path):
    found, made = cells(path), layout(comparison.built)
    for column in comparison.built.model.columns.values():
        for row, value in enumerate(comparison.of(column).tolist()):
            sheet, cell = made.cell(column, row)
            stored = found[sheet].get(cell, "")
            words = absent(column, row, comparison.figures)
            wanted = words or (value if column.unit is None else pytest.approx(value, rel=1e-15))
            wanted = "" if column.blank and column.blank[row] else wanted
            assert stored == wanted, column.full_name


def test_inputs_are_values_and_results_are_formulas(comparison, path):
    book, made = openpyxl.load_workbook(path), layout(comparison.built)
    for column in comparison.built.model.columns.values():
        own = column.following or (False,) * len(column.table.rows)
        for row, follows in enumerate(own):
            sheet, cell = made.cell(column, row)
            is_formula = book[sheet][cell].data_type == "f"
            assert is_formula == (column.formula is not None or follows), f"{column.full_name}, row {row}"


def test_sheets_stand_in_order(comparison, path):
    book = openpyxl.load_workbook(path)
    own = [layout(comparison.built).sheets[ground.scenario.scenario] for ground in comparison.built.grounds]
    assert book.sheetnames == [
        "Summary",
        "Against baseline",
        *(["What it delivers"] if is_told(comparison) else []),
        *own,
        *(["Electricity"] if comparison.study.home else []),
        "Checks",
        "Assumptions",
        "Calendar",
        "Curves",
        "Sources",
        "Written",
    ]
    assert book["Written"].sheet_state == "veryHidden"


def test_nothing_is_in_error(path):
    for sheet, found in cells(path).items():
        for cell, value in found.items():
            assert not is_error(value), f"{sheet}!{cell}: {value}"


def test_no_function_is_newer_than_programs_in_use(path):
    known = set("ABS AND CHOOSE FIXED IF INDEX INT LEFT LEN MATCH MAX MIN MOD N OR PMT ROUND SUBSTITUTE SUM".split())
    known |= {"COUNTIF", "LOWER", "SMALL"}
    known |= {"SUMIF", "COUNT", "FIND", "IFERROR", "IRR", "ISNUMBER", "LOG10", "NPV", "SUMIFS", "SUMPRODUCT"}
    used = set()
    for sheet in openpyxl.load_workbook(path):
        for cell in sheet._cells.values():
            if cell.data_type == "f":
                used |= set(re.findall(r"([A-Z][A-Z0-9.]*)\(", re.sub(r'"[^"]*"', "", cell.value)))
                assert len(cell.value) <= 8192
    assert used <= known


@pytest.mark.parametrize("text", ["=1+1", "+49 1", "-x", "@home", "{=1}", "http://example.org", "'", "#REF!", "1e5"])
def test_texts_stay_texts(demo, tmp_path, text):
    study = changed(demo, 1, title=text, note=text)
    study = changed(study, 2, scenario=text)
    study = dataclasses.replace(study, settings=dataclasses.replace(study.settings, question=text))
    comparison, path = tco.compare(study), tmp_path / "book.xlsx"
    write_workbook(comparison, path)
    book = openpyxl.load_workbook(path)
    assert book["Summary"]["A1"].value == text
    if text[0] in "=+-@{":
        assert book["Summary"]["A1"].data_type == "s"
    assert text in [cell.value for sheet in book for cell in sheet._cells.values()]


def test_live_inputs_do_not_count_as_out_of_date(comparison, path):
    watched = {cell.value for row in openpyxl.load_workbook(path)["Written"]["C4:C9999"] for cell in row}
    made = layout(comparison.built)
    for column, row, _ in comparison.built.model.inputs():
        assert not any(f"IF({made.absolute(column, row)}=$B$" in str(text) for text in watched)


# Printed


@pytest.mark.parametrize(("paper", "size"), [(A4, "A4"), (LETTER, "letter")])
@needs_libreoffice
def test_the_summary_is_one_printed_page(comparison, tmp_path, paper, size):
    """Pages by pdfinfo where it is installed; the text by pdftotext."""
    if not shutil.which("pdfinfo"):
        pytest.skip("pdfinfo is not installed")
    write_workbook(comparison, tmp_path / "book.xlsx", paper=paper)
    print_all([tmp_path / "book.xlsx"], tmp_path)
    assert f"({size})" in about_pdf(tmp_path / "book.pdf")
    pages = pages_of(tmp_path / "book.pdf")
    assert comparison.study.settings.question in pages[0]
    assert "page 1 of" in pages[0]
    assert "Summary" not in pages[1].splitlines()[-1]
    assert "in this workbook." in pages[0]
    assert "###" not in "".join(pages)


# Live texts


def test_a_live_text_is_cut_where_a_formula_would_be_too_long():
    long = sentence("x" * 600, fixed(Live("B1", 1234.5), 1))
    assert max(map(len, re.findall(r'"([^"]*)"', long.formula))) <= 255
    assert long.value == "x" * 600 + "1,234.5"


def test_quotes_in_live_texts_are_doubled():
    assert sentence('a "b"').formula == '"a ""b"""'
