"""What `tco reprice` leaves behind: its workbook, its CSV and a copy of the study, or the study's own tables changed.

All are made beside their places and put there together; whatever stops that leaves everything as it was.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path

from tco.ask.reprice import HEADER, Repriced, reprice_rows
from tco.errors import ResultError
from tco.journal import content_of
from tco.places import data_folder
from tco.study import Study
from tco.whole import alone, place_for, put, same
from tco.write import reprice_months, reprice_sheet
from tco.write.book import new_book
from tco.write.results import check_places, prepare, settle
from tco.write.tables import Table

WORKBOOK, TABLE, COPY = "reprice.xlsx", "reprice.csv", "study"
MARK = "tco study"  # property of the workbook: what the copy of the study beside it was when it was written
Tables = Mapping[str, tuple[bytes, bytes]]  # table -> its bytes before and after
Moves = list[tuple[Path, Path]]


def write_repriced(
    found: Repriced, tables: Tables, folder: Path, *, change: bool = False, replace: bool = False
) -> list[Path]:
    """Write what was found, and the study changed: a copy of it, or (change) itself. Returns the paths.

    tables: those that change; none where the study is a workbook, which is neither copied nor changed.
    replace: whether what a person has changed in the folder may be overwritten. Raises ResultError.
    """
    study = Path(found.study.folder)
    with place_for(folder):
        check_apart(study, folder, copied=bool(tables) and not change)
        if change:
            check_changeable(study, tables)
        prepare(folder)
        with alone(folder, *([study] if change else [])) as works:
            check_places(folder, (WORKBOOK, TABLE), replace=replace)
            if tables and not change and not replace:
                check_copy(folder)
            if change:
                check_changeable(study, tables)  # once more: another run may have been waited for
            return write_whole(found, tables, folder, study if change else None, works)


def reprice_table(found: Repriced) -> Table:
    """What reprice.csv has."""
    figures = ("month", "before", "after", "change")
    return Table(TABLE, HEADER, reprice_rows(found), figures, "none: over the horizon, or no number on both sides")


def nothing_table() -> Table:
    """The same where nothing changes."""
    return Table(TABLE, HEADER, ())


def check_apart(study: Path, folder: Path, *, copied: bool) -> None:
    """Raises ResultError where results or the copy would take the place of the study they are about."""
    if same(study, folder) or same(study, folder / WORKBOOK):
        raise ResultError(f"{folder}: is the study itself; results need a folder of their own, named with --out")
    copy = folder / COPY
    if copied and copy.is_symlink():
        raise ResultError(f"{copy}: is a link, which tco did not make, so it is left alone; nothing was written")
    if copied and study.resolve().is_relative_to(copy.resolve()):
        raise ResultError(
            f"{copy}: the copy would take the place of the study itself; name another folder with --out"
        )


def check_changeable(study: Path, tables: Tables) -> None:
    """Raises ResultError where a study is not to be changed, or was changed meanwhile."""
    if study.resolve().is_relative_to(data_folder().resolve()):
        raise ResultError(f"{study}: comes with tco and stays as it is; copy it and change the copy")
    for name, (before, _) in tables.items():
        path = study / name
        if (path.read_bytes() if path.exists() else b"") != before:
            raise ResultError(f"{path}: was changed while tco was at work; nothing was written; run it again")
        if path.exists() and not os.access(path, os.W_OK):
            raise ResultError(f"{path}: may not be written to; nothing was written")


def check_copy(folder: Path) -> None:
    """Raises ResultError where a copy of an earlier run was changed since."""
    copy = folder / COPY
    if not copy.exists():
        return
    from tco.write.edited import property_of

    if not copy.is_dir() or property_of(folder / WORKBOOK, MARK) != content_of(copy):
        raise ResultError(
            f"{copy}: is not as tco wrote it, so it is left alone; nothing was written. "
            "Move it away, write to another folder with --out, or overwrite it with --replace"
        )


def write_whole(found: Repriced, tables: Tables, folder: Path, study: Path | None, works: list[Path]) -> list[Path]:
    """Make everything beside its place in `works`, then put it there; `study` is the one to change, if any."""
    moves = changed(study, tables, works[-1]) if study else copied(found.study, tables, folder, works[0])
    write_workbook(found, works[0] / WORKBOOK, content_of(works[0] / COPY) if moves and not study else "")
    (works[0] / TABLE).write_text(reprice_table(found).csv, encoding="utf-8", newline="")
    moves += [(works[0] / name, folder / name) for name in (WORKBOOK, TABLE)]
    for made, _ in moves:
        for path in made.rglob("*") if made.is_dir() else [made]:
            if path.is_file():
                settle(path)
    put(moves)
    return [place for _, place in sorted(moves, key=lambda move: (move[0].parent != works[0], move[1].name))]


def changed(study: Path, tables: Tables, work: Path) -> Moves:
    """The study's changed tables; versions come last, since what they refer to must be there."""
    moves = []
    for name in sorted(tables, key=lambda one: (one == "tariffs.csv", one)):
        made, place = work / name, study / name
        made.write_bytes(tables[name][1])
        if place.exists():
            shutil.copymode(place, made)
        moves.append((made, place.resolve() if place.exists() else place))
    return moves


def copied(study: Study, tables: Tables, folder: Path, work: Path) -> Moves:
    """A copy of the study's CSV files, some of them changed; nothing for a workbook."""
    if not tables:
        return []
    home, copy = Path(study.folder), work / COPY
    for name in dict.fromkeys([*files_of(study), *tables]):
        (copy / name).parent.mkdir(parents=True, exist_ok=True)
        (copy / name).write_bytes(tables[name][1] if name in tables else (home / name).read_bytes())
    return [(copy, folder / COPY)]


def files_of(study: Study) -> Iterator[str]:
    """The CSV files of a study: those at the top of its folder, and those that its tables name."""
    home = Path(study.folder)
    for path in sorted(home.iterdir()):
        if path.suffix.casefold() == ".csv" and path.is_file() and not path.name.startswith((".", "~$")):
            yield path.name
    yield from (scenario.parts_list for scenario in study.scenarios if scenario.parts_list)
    yield from study.logs


def write_workbook(found: Repriced, path: Path, mark: str) -> None:
    """Both sheets; the same change gives the same bytes."""
    with new_book(found.study, path) as book:
        front, behind = (book.page(name) for name in (reprice_sheet.NAME, reprice_months.NAME))
        months = reprice_months.Months(found)
        months.write(behind)
        reprice_sheet.Front(front, found, months).write()
        book.properties[MARK] = mark or "none"
