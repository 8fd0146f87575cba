"""What `tco vary` leaves behind: its workbook and its CSV files, written whole or not at all."""

from __future__ import annotations

from datetime import datetime
from functools import partial
from pathlib import Path

from xlsxwriter import Workbook
from xlsxwriter.exceptions import XlsxWriterException

from tco.ask.vary import Variation
from tco.errors import ResultError
from tco.write import vary_grid_sheet, vary_sheet
from tco.write.fingerprint import PROPERTY, Listing, fingerprint
from tco.write.formats import FONT, Formats
from tco.write.page import Page
from tco.write.results import write_files, write_text
from tco.write.vary_csv import grid_csv, vary_csv
from tco.write.workbook import A4, LETTER, LETTER_MONEY, OPTIONS

WORKBOOK = "vary.xlsx"
TABLES = {"vary.csv": vary_csv, "vary_grid.csv": grid_csv}


def write_varied(found: Variation, folder: Path, *, replace: bool = False) -> list[Path]:
    """Write the workbook and the CSV files; returns their paths. Raises ResultError.

    replace: whether what a person has changed in the folder may be overwritten.
    """
    makers = {WORKBOOK: partial(write_workbook, found)}
    makers |= {name: partial(write_text, made, found) for name, made in TABLES.items()}
    return write_files(makers, found.comparison.study, folder, replace=replace)


def write_workbook(found: Variation, path: Path, *, paper: int = 0) -> None:
    """The sheet of what matters, and that of the grid where there is one; the same variation gives the same bytes.

    paper: A4 or LETTER; without it, what is usual where the study's money is used.
    """
    settings = found.comparison.study.settings
    book = Workbook(str(path), OPTIONS)
    formats, listing = Formats(book), Listing()
    pages = [Page(book, vary_sheet.NAME, formats, listing)]
    vary_sheet.Front(pages[0], found).write()
    if found.grid is not None:
        pages.append(Page(book, vary_grid_sheet.NAME, formats, listing))
        vary_grid_sheet.Cells(pages[1], found, found.grid).write()
    for page in pages:
        page.sheet.set_paper(paper or (LETTER if settings.currency in LETTER_MONEY else A4))
    book.formats[0].set_font_name(FONT)
    book.formats[0].set_font_size(10)
    book.set_properties({"title": settings.question, "created": datetime(2000, 1, 1)})
    book.set_custom_property(PROPERTY, fingerprint(listing))
    try:
        book.close()
    except (XlsxWriterException, OSError) as error:
        raise ResultError(f"{path}: the workbook cannot be written: {error}") from error
