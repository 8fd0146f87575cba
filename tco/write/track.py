"""What `tco track` leaves behind: its workbook and its CSV file, written whole or not at all."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from tco.ask.from_today import Way
from tco.ask.track import Tracked
from tco.write import track_sheet
from tco.write.book import new_book
from tco.write.layout import layout
from tco.write.results import Maker, write_files
from tco.write.track_csv import track_table
from tco.write.workbook import fill

WORKBOOK, TABLE = "track.xlsx", "track.csv"


def write_tracked(found: Tracked, ways: Sequence[Way], folder: Path, *, replace: bool = False) -> list[Path]:
    """Write the workbook and the CSV file; returns their paths. Raises ResultError.

    replace: whether what a person has changed in the folder may be overwritten.
    """

    def table(path: Path) -> None:
        path.write_text(track_table(found, ways).csv, encoding="utf-8", newline="")

    makers: dict[str, Maker] = {WORKBOOK: partial(write_workbook, found, ways), TABLE: table}
    return write_files(makers, found.source, folder, replace=replace)


def write_workbook(found: Tracked, ways: Sequence[Way], path: Path, *, paper: int = 0) -> None:
    """The sheet of plan and actuals, then the comparison of both scenarios; the same ledger gives the same bytes.

    paper: A4 or LETTER; without it, what is usual where the study's money is used.
    """
    with new_book(found.source, path, paper) as book:
        front = book.page(track_sheet.NAME)
        track_sheet.Front(front, found, ways, layout(found.comparison.built)).write()
        fill(book, found.comparison)
        front.sheet.activate()
        front.sheet.set_first_sheet()
