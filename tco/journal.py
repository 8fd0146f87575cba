"""What is moved into place by a run, written down beside it, so that another can undo it after the run was killed.

A journal stands in each folder the moves come from; the first of them is the one that counts. It may have come with a
study from anywhere, so it is believed for files beside it only, or where the other folder holds the same.
"""

from __future__ import annotations

import json
import os
import shutil
import time
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

UNFINISHED = ".tco-"  # folders of runs in progress
JOURNAL, LONGEST = "journal.json", 1_000_000  # its name, and the bytes that it may have


@dataclass(frozen=True)
class Move:
    """One new file or folder and its place.

    content: what it is, see content_of. was_there: whether something stood there before.
    """

    made: Path
    place: Path
    content: str
    was_there: bool

    @property
    def earlier(self) -> Path:
        """Where what stood there before is kept."""
        return self.made.with_name(f"earlier {self.made.name}")

    def keep(self) -> None:
        """Copy an earlier file; an earlier folder is moved aside when its turn comes, and a link stays a link."""
        if self.was_there and not is_folder(self.place):
            shutil.copy2(self.place, self.earlier, follow_symlinks=False)

    def do(self) -> None:
        """Put the new one into its place. A folder cannot be replaced in one step."""
        if is_folder(self.place):
            os.rename(self.place, self.earlier)
        os.replace(self.made, self.place)

    def undo(self) -> None:
        """What stood there before stands there again, or nothing; what somebody has put there since stays."""
        if self.was_there and not os.path.lexists(self.earlier):
            return  # a folder that was not moved yet, or what was brought back before
        if os.path.lexists(self.place):
            if content_of(self.place) != self.content:
                return
            if is_folder(self.place) or not self.was_there:
                os.rename(self.place, self.made.with_name(f"later {self.made.name}"))
        if self.was_there:
            os.replace(self.earlier, self.place)


@dataclass(frozen=True)
class Journal:
    """All that a run moves. works: the folders it comes from, the one that counts first."""

    works: tuple[Path, ...]
    moves: tuple[Move, ...]

    @classmethod
    def of(cls, moves: Sequence[tuple[Path, Path]]) -> Journal:
        """The journal of pairs of what was made and its place."""
        works = tuple(dict.fromkeys(made.parent.resolve() for made, _ in moves))
        return cls(works, tuple(move_of(made, place) for made, place in moves))

    @property
    def text(self) -> str:
        """What is written down."""
        rows = [[str(move.made), str(move.place), move.content, move.was_there] for move in self.moves]
        return json.dumps({"works": [str(work) for work in self.works], "moves": rows})

    @property
    def age(self) -> float:
        """How long ago it was written [s]."""
        return time.time() - (self.works[0] / JOURNAL).stat().st_mtime

    def keep(self) -> None:
        """Copy what is replaced, then write it down; the one that counts comes last."""
        for move in self.moves:
            move.keep()
        for work in reversed(self.works):
            (work / JOURNAL).write_text(self.text, encoding="utf-8")

    def undo(self) -> None:
        """Everything stands as it stood before."""
        for move in self.moves:
            move.undo()
        self.done()

    def done(self) -> None:
        """From here on nothing is to be undone."""
        for work in self.works:
            (work / JOURNAL).unlink(missing_ok=True)


def move_of(made: Path, place: Path) -> Move:
    """A move by full paths; a link in the place itself is replaced and not followed."""
    place = place.parent.resolve() / place.name
    return Move(made.parent.resolve() / made.name, place, content_of(made), os.path.lexists(place))


def is_folder(path: Path) -> bool:
    """Whether it is a folder, and no link to one."""
    return path.is_dir() and not path.is_symlink()


def content_of(path: Path) -> str:
    """What a file, a link or the files of a folder are, as one short text."""
    if path.is_symlink():
        return f"link {os.readlink(path)}"
    if path.is_file():
        return sha256(path.read_bytes()).hexdigest()
    if not path.is_dir():
        return "neither"  # a device, or a pipe that would be waited for
    found = sha256()
    for one in sorted(path.rglob("*")):
        if one.is_file():
            found.update(f"{one.relative_to(path).as_posix()}\n{sha256(one.read_bytes()).hexdigest()}\n".encode())
    return found.hexdigest()


def left_in(folder: Path) -> list[Journal]:
    """The journals that runs have left in a folder, but for those that are done."""
    try:
        names = sorted(entry.name for entry in os.scandir(folder) if entry.name.startswith(UNFINISHED))
    except OSError:  # what may not be listed
        return []
    return [journal for name in names if (journal := read(folder.resolve() / name))]


def read(work: Path) -> Journal | None:
    """The journal in a folder of a run; None where none counts there."""
    text = text_in(work)
    try:
        journal = parsed(text)
    except (ValueError, TypeError, KeyError, AttributeError):
        return None
    first = journal.works[0]
    if work not in journal.works or text_in(first) != text:  # it was moved here, or the run came to its end
        return None
    same = tuple(one for one in journal.works if text_in(one) == text)
    return Journal(same, tuple(move for move in journal.moves if move.made.parent in same and is_safe(move)))


def parsed(text: str) -> Journal:
    """A journal's text; raises ValueError, TypeError, KeyError or AttributeError for what is none."""
    found: dict[str, Any] = json.loads(text)
    works = tuple(Path(work) for work in found["works"])
    rows = [(Path(made), Path(place), str(content), bool(was)) for made, place, content, was in found["moves"]]
    if not works:
        raise ValueError("no folder")
    return Journal(works, tuple(Move(*row) for row in rows))


def text_in(work: Path) -> str:
    """The text of the journal in a folder of a run; empty where there is none, or where it is not our own."""
    path = work / JOURNAL
    try:
        whose = {work.lstat().st_uid, path.lstat().st_uid}
        is_ours = not hasattr(os, "geteuid") or whose == {os.geteuid()}
        plain = is_folder(work) and work.name.startswith(UNFINISHED) and path.is_file() and not path.is_symlink()
        if not (is_ours and plain and path.stat().st_size <= LONGEST):
            return ""
        return path.read_text(encoding="utf-8")
    except (OSError, ValueError):
        return ""


def is_safe(move: Move) -> bool:
    """Whether a move stays where its folder stands."""
    home = move.made.parent.parent
    return ".." not in move.place.parts and move.place.parent.resolve().is_relative_to(home)
