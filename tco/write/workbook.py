"""The workbook of a comparison: every column of the model as values or live formulas, with what they come to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from tco.ask.compare import Comparison
from tco.study import Study
from tco.write import names, shared_sheets
from tco.write.against_sheet import against_sheet
from tco.write.blocks import Draft
from tco.write.book import Book, new_book
from tco.write.checks_sheet import checks_sheet
from tco.write.delivers_sheet import delivers_sheet, is_told
from tco.write.electricity_sheet import billed_grounds, electricity_sheet
from tco.write.layout import Layout, layout
from tco.write.page import Page
from tco.write.scenario_sheet import scenario_sheet
from tco.write.summary import summary
from tco.write.written import write_written, written


def write_workbook(comparison: Comparison, path: Path, *, paper: int = 0) -> None:
    """Write a comparison's workbook; the same comparison gives the same bytes.

    paper: A4 or LETTER; without it, what is usual where the study's money is used.
    """
    with new_book(comparison.study, path, paper) as book:
        fill(book, Draft(comparison, layout(comparison.built)))


@contextmanager
def behind(
    comparison: Comparison, study: Study, path: Path, wanted: Sequence[str], paper: int = 0
) -> Iterator[tuple[list[Page], Layout]]:
    """A comparison's workbook behind pages of one's own, made in the block; with them, where its cells will stand.

    wanted: the names of those pages, which get a number where a sheet of the comparison has them. study, paper: see
    new_book.
    """
    draft = Draft(comparison, layout(comparison.built))
    with new_book(study, path, paper) as book:
        pages = [book.page(name) for name in first_names(wanted, draft.layout.sheets.values())]
        yield pages, draft.layout
        fill(book, draft)
        pages[0].sheet.activate()
        pages[0].sheet.set_first_sheet()


def first_names(wanted: Iterable[str], others: Iterable[str]) -> list[str]:
    """Names for pages before a comparison's, unlike each other and its own; others: its scenarios' sheets."""
    taken = {name.casefold() for name in (*others, *names.OWN)}
    found: list[str] = []
    for name in wanted:
        found.append(names.unlike(name, taken))
        taken.add(found[-1].casefold())
    return found


def fill(book: Book, draft: Draft) -> None:
    """All sheets and names of a comparison."""
    comparison = draft.comparison
    own = [*draft.layout.sheets.values()]
    sheets = (name for name in (*names.OWN[:3], *own, *names.OWN[3:]) if has_sheet(draft, name))
    pages = {name: book.page(name) for name in sheets}
    shared_sheets.assumptions(pages[names.ASSUMPTIONS], draft)
    shared_sheets.calendar(pages[names.CALENDAR], draft)
    kept = written(draft, shared_sheets.curves(pages[names.CURVES], draft))
    shared_sheets.sources(pages[names.SOURCES], draft)
    for ground in comparison.built.grounds:
        scenario_sheet(pages[draft.layout.sheets[ground.scenario.scenario]], draft, ground, kept)
    against_sheet(pages[names.AGAINST], draft)
    if names.ELECTRICITY in pages:
        electricity_sheet(pages[names.ELECTRICITY], draft)
    if names.DELIVERS in pages:
        delivers_sheet(pages[names.DELIVERS], draft)
    checks_sheet(pages[names.CHECKS], draft)
    summary(pages[names.SUMMARY], draft, kept)
    write_written(pages[names.WRITTEN], kept)
    for column, name in draft.layout.named.items():
        book.book.define_name(name, f"={draft.layout.absolute(column)}")
    pages[names.SUMMARY].sheet.activate()


def has_sheet(draft: Draft, name: str) -> bool:
    """Whether a workbook has a sheet: without bills there is none of electricity."""
    if name == names.DELIVERS:
        return is_told(draft.comparison)
    return name != names.ELECTRICITY or bool(billed_grounds(draft))
