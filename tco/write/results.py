"""The result files: written whole or not at all.

All of them are made in a new folder beside their place, then renamed into it one after another; see tco.whole.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TypeVar

from tco.ask.compare import Comparison
from tco.errors import ResultError
from tco.study import Study
from tco.whole import alone, check_name, place_for, put, same
from tco.write.seal import is_sealed
from tco.write.tables import bills_csv, checks_csv, lines_csv, measures_csv, replacements_csv

WORKBOOK, PAGE = "comparison.xlsx", "comparison.html"
TABLES = {
    "lines.csv": lines_csv,
    "measures.csv": measures_csv,
    "bills.csv": bills_csv,
    "checks.csv": checks_csv,
    "replacements.csv": replacements_csv,
}
BEGINNINGS = {".csv": b"scenario,", ".html": b"<!DOCTYPE html><!-- a page to send, made by tco -->"}
Maker = Callable[[Path], None]
T = TypeVar("T")


def write_results(comparison: Comparison, folder: Path, *, replace: bool = False, html: bool = False) -> list[Path]:
    """Write the workbook and the CSV files; returns their paths. Raises ResultError.

    replace: whether a workbook that a person has changed may be overwritten. html: the page to send as well; one that
    stands there is made anew in any case.
    """
    from tco.write.workbook import write_workbook

    check_name(folder)
    makers = {WORKBOOK: partial(write_workbook, comparison)}
    makers |= {name: partial(write_text, made, comparison) for name, made in TABLES.items()}
    if html or ((folder / PAGE).is_file() and not is_foreign(folder / PAGE)):  # none is left with older figures
        from tco.write.page_to_send.page import page

        makers[PAGE] = partial(write_text, page, comparison)
    return write_files(makers, comparison.study, folder, replace=replace)


def write_text(made: Callable[[T], str], found: T, path: Path) -> None:
    """One CSV file, or the page to send."""
    path.write_text(made(found), encoding="utf-8", newline="")


def write_files(makers: Mapping[str, Maker], study: Study, folder: Path, *, replace: bool = False) -> list[Path]:
    """Write files about a study, all of them or none; returns their paths. Raises ResultError.

    makers: name -> what makes that file at a path. replace: whether what a person has changed may be overwritten.
    """
    with place_for(folder):
        if any(same(Path(study.folder), place) for place in (folder, *(folder / name for name in makers))):
            raise ResultError(f"{folder}: is the study itself; results need a folder of their own, named with --out")
        prepare(folder)
        with alone(folder) as (work,):
            check_places(folder, list(makers), replace=replace)
            return write_whole(makers, folder, work)


def prepare(folder: Path) -> None:
    """The folder, made if need be."""
    for place in (folder, *folder.parents):
        if os.path.lexists(place) and not place.is_dir():
            what = "is a file" if place.exists() else "is a link that leads nowhere"
            raise ResultError(f"{place}: {what}, and results need a folder; name another one with --out")
    folder.mkdir(parents=True, exist_ok=True)


def check_places(folder: Path, names: Sequence[str], *, replace: bool) -> None:
    """Raises ResultError where something stands in the way, or a person's changes would be lost."""
    for name in names:
        place = folder / name
        if place.is_dir():
            raise ResultError(f"{place}: a folder of that name is in the way; move it, or use another --out")
        if os.path.lexists(place) and not (place.is_file() or place.is_symlink()):
            raise ResultError(f"{place}: what is in the way is no plain file; move it, or use another --out")
        if not replace and (why := why_left_alone(place)):
            raise ResultError(
                f"{place}: {why}, so it is left alone; nothing was written. "
                "Move it away, write to another folder with --out, or overwrite it with --replace"
            )


def why_left_alone(place: Path) -> str:
    """Why a file must not be overwritten unasked; empty where it may be, or where there is none."""
    if place.is_symlink():  # it would be replaced, and not what it shows
        return "is a link, which tco did not make"
    if place.suffix != ".xlsx":
        return "was not written by tco" if is_foreign(place) else ""
    if not place.exists() or is_sealed(place):
        return ""
    from tco.write.edited import why_kept

    return why_kept(place)


def is_foreign(path: Path) -> bool:
    """Whether a file stands there that does not begin as the tool's own do."""
    if not path.exists():
        return False
    with path.open("rb") as file:
        return not file.readline(200).startswith(BEGINNINGS[path.suffix])


def write_whole(makers: Mapping[str, Maker], folder: Path, work: Path) -> list[Path]:
    """Make all files in a folder beside their place, then put them there."""
    for name, make in makers.items():
        make(work / name)
        settle(work / name)
    put([(work / name, folder / name) for name in makers])
    return [folder / name for name in makers]


def settle(path: Path) -> None:
    """See a file onto the disk before it takes an older one's place."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())
