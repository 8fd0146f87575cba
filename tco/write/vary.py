"""What `tco vary` leaves behind: its workbook and its CSV files, written whole or not at all."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from tco.ask.vary import Variation
from tco.write import vary_grid_sheet, vary_sheet
from tco.write.book import new_book
from tco.write.results import write_files, write_text
from tco.write.vary_csv import grid_csv, vary_csv

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
    with new_book(found.comparison.study, path, paper) as book:
        vary_sheet.Front(book.page(vary_sheet.NAME), found).write()
        if found.grid is not None:
            vary_grid_sheet.Cells(book.page(vary_grid_sheet.NAME), found, found.grid).write()
