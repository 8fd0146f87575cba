"""What `tco simulate` leaves behind: its workbook and its CSV files, written whole or not at all."""

from __future__ import annotations

from datetime import datetime
from functools import partial
from pathlib import Path

from xlsxwriter import Workbook
from xlsxwriter.exceptions import XlsxWriterException

from tco.ask.simulated import Simulated
from tco.errors import ResultError
from tco.write import chance_sheet, chance_years
from tco.write.chance_csv import inputs_csv, simulate_csv, years_csv
from tco.write.fingerprint import PROPERTY, Listing, fingerprint
from tco.write.formats import FONT, Formats
from tco.write.page import Page
from tco.write.results import write_files, write_text
from tco.write.workbook import A4, LETTER, LETTER_MONEY, OPTIONS

WORKBOOK = "simulate.xlsx"
TABLES = {"simulate.csv": simulate_csv, "simulate_years.csv": years_csv, "simulate_inputs.csv": inputs_csv}


def write_simulated(found: Simulated, folder: Path, *, replace: bool = False) -> list[Path]:
    """Write the workbook and the CSV files; returns their paths. Raises ResultError.

    replace: whether what a person has changed in the folder may be overwritten.
    """
    makers = {WORKBOOK: partial(write_workbook, found)}
    makers |= {name: partial(write_text, made, found) for name, made in TABLES.items()}
    return write_files(makers, found.comparison.study, folder, replace=replace)


def write_workbook(found: Simulated, path: Path, *, paper: int = 0) -> None:
    """Both sheets; the same simulation gives the same bytes.

    paper: A4 or LETTER; without it, what is usual where the study's money is used.
    """
    settings = found.comparison.study.settings
    book = Workbook(str(path), OPTIONS)
    formats, listing = Formats(book), Listing()
    front, behind = (Page(book, name, formats, listing) for name in (chance_sheet.NAME, chance_years.NAME))
    chance_sheet.Front(front, found).write()
    chance_years.Years(behind, found).write()
    for page in (front, behind):
        page.sheet.set_paper(paper or (LETTER if settings.currency in LETTER_MONEY else A4))
    book.formats[0].set_font_name(FONT)
    book.formats[0].set_font_size(10)
    book.set_properties({"title": settings.question, "created": datetime(2000, 1, 1)})
    book.set_custom_property(PROPERTY, fingerprint(listing))
    try:
        book.close()
    except (XlsxWriterException, OSError) as error:
        raise ResultError(f"{path}: the workbook cannot be written: {error}") from error
