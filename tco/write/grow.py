"""What `tco grow` leaves behind: its workbook and its CSV file, written whole or not at all."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from tco.ask.grow import Growth
from tco.write import grow_csv
from tco.write.grow_sheet import NAME, Front
from tco.write.results import write_files, write_text
from tco.write.workbook import behind

WORKBOOK = "grow.xlsx"


def write_grown(found: Growth, folder: Path, *, replace: bool = False) -> list[Path]:
    """Write the workbook and the CSV file; returns their paths. Raises ResultError.

    replace: whether what a person has changed in the folder may be overwritten.
    """
    makers = {
        WORKBOOK: partial(write_workbook, found),
        grow_csv.NAME: partial(write_text, grow_csv.grow_csv, found),
    }
    return write_files(makers, found.original, folder, replace=replace)


def write_workbook(found: Growth, path: Path, *, paper: int = 0) -> None:
    """A sheet for each scenario that grows, then the comparison of the ways; the same growth gives the same bytes.

    paper: A4 or LETTER; without it, what is usual where the study's money is used.
    """
    wanted = [NAME for _ in found.plans]
    with behind(found.comparison, found.comparison.study, path, wanted, paper) as (pages, stands):
        for plan, page in enumerate(pages):
            Front(page, found, plan, stands).write()
