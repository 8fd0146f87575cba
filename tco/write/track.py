"""What `tco track` leaves behind: its workbook and its CSV file, written whole or not at all."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from tco.ask.from_today import Way
from tco.ask.track import Tracked
from tco.write import track_sheet
from tco.write.results import write_files, write_text
from tco.write.track_csv import track_table
from tco.write.workbook import behind

WORKBOOK, TABLE = "track.xlsx", "track.csv"


def write_tracked(found: Tracked, ways: Sequence[Way], folder: Path, *, replace: bool = False) -> list[Path]:
    """Write the workbook and the CSV file; returns their paths. Raises ResultError.

    replace: whether what a person has changed in the folder may be overwritten.
    """
    makers = {
        WORKBOOK: partial(write_workbook, found, ways),
        TABLE: partial(write_text, lambda own: track_table(own, ways).csv, found),
    }
    return write_files(makers, found.source, folder, replace=replace)


def write_workbook(found: Tracked, ways: Sequence[Way], path: Path, *, paper: int = 0) -> None:
    """The sheet of plan and actuals, then the comparison of both scenarios; the same ledger gives the same bytes.

    paper: A4 or LETTER; without it, what is usual where the study's money is used.
    """
    with behind(found.comparison, found.source, path, [track_sheet.NAME], paper) as ((front,), stands):
        track_sheet.Front(front, found, ways, stands).write()
