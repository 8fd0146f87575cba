"""What `tco spend` leaves behind: a workbook (what to buy, then before and after compared), and a CSV file."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from tco.ask.spend import Spending
from tco.write import spend_sheet
from tco.write.results import write_files, write_text
from tco.write.spend_csv import spend_csv
from tco.write.workbook import behind

WORKBOOK, TABLE = "spend.xlsx", "spend.csv"


def write_spent(found: Spending, folder: Path, *, replace: bool = False) -> list[Path]:
    """Write the workbook and the CSV file; returns their paths. Raises ResultError.

    replace: whether what a person has changed in the folder may be overwritten.
    """
    makers = {WORKBOOK: partial(write_workbook, found), TABLE: partial(write_text, spend_csv, found)}
    return write_files(makers, found.study, folder, replace=replace)


def write_workbook(found: Spending, path: Path, *, paper: int = 0) -> None:
    """The front sheet, then all sheets of the comparison; the same answer gives the same bytes.

    paper: A4 or LETTER; without it, what is usual where the study's money is used.
    """
    with behind(found.comparison, found.study, path, [spend_sheet.NAME], paper) as ((front,), _):
        spend_sheet.Front(front, found).write()
