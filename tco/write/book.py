"""A workbook under way: its pages, its paper, its properties; the same figures give the same bytes."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from xlsxwriter import Workbook
from xlsxwriter.exceptions import XlsxWriterException

from tco.errors import ResultError
from tco.study import Study
from tco.units import WHOLE
from tco.write.fingerprint import PROPERTY, Listing, fingerprint
from tco.write.formats import FONT, Formats
from tco.write.page import Page
from tco.write.seal import seal

A4, LETTER = 9, 1
LETTER_MONEY = {"USD", "CAD", "MXN", "PHP", "CLP", "COP"}  # where paper is mostly Letter
OPTIONS = {
    "strings_to_formulas": False,
    "strings_to_urls": False,
    "strings_to_numbers": False,
    "in_memory": True,  # a run that is stopped leaves no temporary files
}


@dataclass
class Book:
    """A workbook under way and the pages made so far; properties: what it says of itself beside its fingerprint."""

    book: Workbook
    formats: Formats
    listing: Listing = field(default_factory=Listing)
    pages: list[Page] = field(default_factory=list)
    properties: dict[str, str] = field(default_factory=dict)

    def page(self, name: str) -> Page:
        """A new page, after the others."""
        self.pages.append(Page(self.book, name, self.formats, self.listing))
        return self.pages[-1]


@contextmanager
def new_book(study: Study, path: Path, paper: int = 0) -> Iterator[Book]:
    """A workbook about a study, written when the block ends well. Raises ResultError, OSError.

    paper: A4 or LETTER; without it, what is usual where the study's money is used. Nothing in it changes from run to
    run.
    """
    made = Book(book := Workbook(str(path), OPTIONS), Formats(book, whole=study.settings.currency in WHOLE))
    yield made
    for page in made.pages:
        page.widen()
        page.sheet.set_paper(paper or (LETTER if study.settings.currency in LETTER_MONEY else A4))
    book.formats[0].set_font_name(FONT)
    book.formats[0].set_font_size(10)  # its digits are as wide as XlsxWriter takes them to be
    book.set_properties({"title": study.settings.question, "created": datetime(2000, 1, 1)})
    for name, text in {PROPERTY: fingerprint(made.listing), **made.properties}.items():
        book.set_custom_property(name, text)
    book.set_calc_mode("auto")
    try:
        book.close()
        seal(path)
    except XlsxWriterException as error:
        if isinstance(refused := error.__context__, OSError):  # whoever puts the files in place says it
            raise OSError(refused.errno, refused.strerror, str(path)) from error
        raise ResultError(f"{path.name}: the workbook cannot be written: {error}") from error
