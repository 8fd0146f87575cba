"""A new folder of text files, whole or not at all: made beside its place, looked at, then renamed into it."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

from tco.errors import ResultError
from tco.journal import UNFINISHED
from tco.stops import Hold
from tco.whole import place_for, sweep
from tco.write.results import settle


def write_new(texts: Mapping[str, str], folder: Path, look: Callable[[Path], object]) -> list[Path]:
    """Write texts by file name into a folder that is new or empty; returns their paths. Raises ResultError.

    look: is given the finished folder before it is put into its place, and raises where it is not as it should be.
    """
    check_free(folder)
    with place_for(folder.parent):
        folder.parent.mkdir(parents=True, exist_ok=True)
        put_whole(texts, folder, look)
    return [folder / name for name in texts]


def check_free(folder: Path) -> None:
    """Raises ResultError where a folder is not there to be filled."""
    try:
        if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
            raise ResultError(f"{folder}: something of that name is in the way; name a new folder")
        if folder.exists() and any(folder.iterdir()):
            raise ResultError(f"{folder}: is not empty, so it is left alone; name a new folder")
        if folder.exists() and folder.resolve() == Path.cwd():
            raise ResultError(f"{folder}: is where you are; name a new folder in it, such as my-study")
    except (OSError, ValueError) as error:  # a name with a NUL in it, or too long
        raise ResultError(f"{folder}: is no place for a folder: {getattr(error, 'strerror', '') or error}") from None


def put_whole(texts: Mapping[str, str], folder: Path, look: Callable[[Path], object]) -> None:
    """Make all files beside the place, then put them there."""
    with Hold() as hold:
        sweep(folder.parent)
        work = Path(tempfile.mkdtemp(prefix=UNFINISHED, dir=folder.parent))
        try:
            with hold.opened():
                made = make(texts, work, look)
            if folder.exists():
                folder.rmdir()  # an empty one; where it has been filled meanwhile it stays, and this fails
            os.rename(made, folder)
        finally:
            shutil.rmtree(work, ignore_errors=True)


def make(texts: Mapping[str, str], work: Path, look: Callable[[Path], object]) -> Path:
    """The folder with all its files, in another one, so that it has the usual rights of a folder."""
    made = work / "study"
    made.mkdir()
    for name, text in texts.items():
        (made / name).write_text(text, encoding="utf-8", newline="")
        settle(made / name)
    look(made)
    return made
