"""The workbook of a comparison: every column of the model as values or live formulas, with what they come to."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from xlsxwriter import Workbook
from xlsxwriter.exceptions import XlsxWriterException

from tco.ask.compare import Comparison
from tco.errors import ResultError
from tco.write import names, shared_sheets
from tco.write.against_sheet import against_sheet
from tco.write.blocks import Draft
from tco.write.checks_sheet import checks_sheet
from tco.write.electricity_sheet import billed_grounds, electricity_sheet
from tco.write.fingerprint import PROPERTY, Listing, fingerprint
from tco.write.formats import FONT, Formats
from tco.write.layout import layout
from tco.write.page import Page
from tco.write.scenario_sheet import scenario_sheet
from tco.write.summary import summary
from tco.write.written import write_written, written

A4, LETTER = 9, 1
LETTER_MONEY = {"USD", "CAD", "MXN", "PHP", "CLP", "COP"}  # where paper is mostly Letter
OPTIONS = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}


def write_workbook(comparison: Comparison, path: Path, *, paper: int = 0) -> None:
    """Write a comparison's workbook; the same comparison gives the same bytes.

    paper: A4 or LETTER; without it, what is usual where the study's money is used.
    """
    book = Workbook(str(path), OPTIONS)
    usual = LETTER if comparison.study.settings.currency in LETTER_MONEY else A4
    fill(book, comparison, paper or usual)
    try:
        book.close()
    except (XlsxWriterException, OSError) as error:
        raise ResultError(f"{path}: the workbook cannot be written: {error}") from error


def fill(book: Workbook, comparison: Comparison, paper: int) -> None:
    """All sheets and names."""
    draft = Draft(comparison, layout(comparison.built))
    formats, listing = Formats(book), Listing()
    own = [*draft.layout.sheets.values()]
    sheets = (name for name in (*names.OWN[:2], *own, *names.OWN[2:]) if has_sheet(draft, name))
    pages = {name: Page(book, name, formats, listing) for name in sheets}
    shared_sheets.assumptions(pages[names.ASSUMPTIONS], draft)
    shared_sheets.calendar(pages[names.CALENDAR], draft)
    kept = written(draft, shared_sheets.curves(pages[names.CURVES], draft))
    shared_sheets.sources(pages[names.SOURCES], draft)
    for ground in comparison.built.grounds:
        scenario_sheet(pages[draft.layout.sheets[ground.scenario.scenario]], draft, ground, kept)
    against_sheet(pages[names.AGAINST], draft)
    if names.ELECTRICITY in pages:
        electricity_sheet(pages[names.ELECTRICITY], draft)
    checks_sheet(pages[names.CHECKS], draft)
    summary(pages[names.SUMMARY], draft, kept)
    write_written(pages[names.WRITTEN], kept)
    for column, name in draft.layout.named.items():
        book.define_name(name, f"={draft.layout.absolute(column)}")
    for page in pages.values():
        page.sheet.set_paper(paper)
    about(book, comparison, fingerprint(listing))


def has_sheet(draft: Draft, name: str) -> bool:
    """Whether a workbook has a sheet: without bills there is none of electricity."""
    return name != names.ELECTRICITY or bool(billed_grounds(draft))


def about(book: Workbook, comparison: Comparison, mark: str) -> None:
    """Properties: nothing that changes from run to run."""
    book.formats[0].set_font_name(FONT)
    book.formats[0].set_font_size(10)  # its digits are as wide as XlsxWriter takes them to be
    book.set_properties({"title": comparison.study.settings.question, "created": datetime(2000, 1, 1)})
    book.set_custom_property(PROPERTY, mark)
    book.set_calc_mode("auto")
    book.get_worksheet_by_name(names.SUMMARY).activate()
