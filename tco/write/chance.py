"""What `tco simulate` leaves behind: its workbook and its CSV files, written whole or not at all."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from tco.ask.simulated import Simulated
from tco.write import chance_sheet, chance_years
from tco.write.book import new_book
from tco.write.chance_csv import inputs_csv, simulate_csv, years_csv
from tco.write.results import write_files, write_text

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
    with new_book(found.comparison.study, path, paper) as book:
        front, behind = (book.page(name) for name in (chance_sheet.NAME, chance_years.NAME))
        chance_sheet.Front(front, found).write()
        chance_years.Years(behind, found).write()
