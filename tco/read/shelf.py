"""Where the tables of a study stand: a folder of CSV files, or one workbook with a sheet for each."""

from __future__ import annotations

import stat
from collections.abc import Mapping
from pathlib import Path
from typing import Protocol

from tco.errors import Place
from tco.read import text
from tco.read.grid import SIZE_LIMIT, Grid, megabytes
from tco.read.problems import Problems, Refused
from tco.whole import mend


class Shelf(Protocol):
    """What the reader asks of a folder or a workbook. Tables go by the names of their files: `tariffs.csv`."""

    elsewhere: str  # what to do with a table that is none of a study's

    def has(self, file: str) -> bool:
        """Whether there is such a table."""

    def shown(self, file: str) -> str:
        """The table's name as messages give it."""

    def grid(self, file: str, problems: Problems) -> Grid | None:
        """The table's rows; None where it cannot be read, the reason told to `problems`."""

    def raw(self, file: str, limit: int) -> bytes | None:
        """The bytes of a CSV file, up to a limit; None where tables are no files. Raises Refused."""

    def names(self) -> list[str]:
        """Every table there is, in order."""


def load_bytes(path: Path, limit: int = SIZE_LIMIT) -> bytes:
    """A file's content; raises Refused, before reading, for what is no file or too large."""
    try:
        status = path.stat()
        _check_status(status.st_mode, status.st_size, limit)
        with path.open("rb") as file:
            raw = file.read(limit + 1)
    except OSError as error:
        raise Refused(f"cannot be read: {error.strerror or error}") from None
    _check_status(stat.S_IFREG, len(raw), limit)  # a file may grow while it is read
    return raw


def _check_status(mode: int, size: int, limit: int) -> None:
    if stat.S_ISDIR(mode):
        raise Refused("this is a folder; a table is a file")
    if not stat.S_ISREG(mode):
        raise Refused("this is no plain file")
    if size > limit:
        raise Refused(f"{megabytes(size)}, and the most is {megabytes(limit)}: no table of a study is so large")


class Folder:
    """A folder of CSV files. prefix: what stands before their names in messages, if anything."""

    elsewhere = "Keep other lists in a sub-folder"

    def __init__(self, path: Path, prefix: str = "") -> None:
        self.path, self.prefix = path, prefix

    def has(self, file: str) -> bool:
        """Whether there is such a file (or a folder or link of that name, which reading then refuses)."""
        try:
            return (self.path / file).exists() or (self.path / file).is_symlink()
        except (OSError, ValueError):
            return False

    def shown(self, file: str) -> str:
        """The path inside the study's folder."""
        return self.prefix + file

    def grid(self, file: str, problems: Problems) -> Grid | None:
        """The rows of a CSV file inside the folder."""
        try:
            return text.parse(self.shown(file), self.raw(file), problems)
        except Refused as refused:
            problems.add(Place(self.shown(file)), str(refused))
            return None

    def raw(self, file: str, limit: int = SIZE_LIMIT) -> bytes:
        """The bytes of a file inside the folder."""
        self._check_inside(file)
        return load_bytes(self.path / file, limit)

    def _check_inside(self, file: str) -> None:
        """Refuse a link that leads out of the study's folder: what it shows is not part of the study."""
        try:
            inside = (self.path / file).resolve().is_relative_to(self.path.resolve())
        except (OSError, RuntimeError, ValueError):  # a link to itself
            inside = False
        if not inside:
            raise Refused("a link that leads out of the study's folder; put the file itself there")

    def names(self) -> list[str]:
        """The CSV files at the top of the folder; hidden ones belong to other programs."""
        try:
            names = sorted(path.name for path in self.path.iterdir() if path.suffix.casefold() == ".csv")
        except OSError:  # what may not be listed may still be read by name
            return []
        return [name for name in names if not name.startswith((".", "~$"))]


class Workbook:
    """One workbook whose sheets are the tables."""

    elsewhere = "Take the sheet out of the workbook"

    def __init__(self, path: Path, problems: Problems) -> None:
        from tco.read import xlsx

        self.path = path
        self.sheets: Mapping[str, Grid] = xlsx.parse(path.name, load_bytes(path), problems)

    def has(self, file: str) -> bool:
        """Whether there is a sheet of that name with anything in it."""
        return _sheet(file) in self.sheets

    def shown(self, file: str) -> str:
        """`study.xlsx/tariffs`."""
        return f"{self.path.name}/{_sheet(file)}"

    def grid(self, file: str, _: Problems) -> Grid | None:
        """The rows of a sheet."""
        return self.sheets.get(_sheet(file))

    def raw(self, _: str, __: int) -> None:
        """Nothing: a sheet is no file."""
        return

    def names(self) -> list[str]:
        """The sheets that hold anything."""
        return [f"{title}.csv" for title in self.sheets]


def _sheet(file: str) -> str:
    return file[:-4] if file.casefold().endswith(".csv") else file


def find(path: Path, problems: Problems) -> Shelf:
    """The folder or workbook a study is in; raises StudyError where there is none."""
    place = Place(str(path))
    try:
        if path.is_dir():
            return _folder(path)
        if path.suffix.casefold() == ".xlsx":
            return Workbook(path, problems)
        what = "is no study: give the study's folder, or one .xlsx file"
        raise Refused(f"this file {what}" if path.exists() else "there is no such folder")
    except (Refused, OSError, ValueError) as error:
        problems.add(place, str(getattr(error, "strerror", "") or error))
        problems.settle()
        raise


def _folder(path: Path) -> Folder:
    mend(path)
    folder = Folder(path)
    if not folder.has("study.csv"):
        there = ", ".join(folder.names()[:5]) or "no .csv file at all"
        raise Refused(f"this folder holds no study: study.csv is missing (there is {there})")
    return folder
