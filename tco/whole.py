"""Files put in place together: all of them or none, whatever stops that, and by one run at a time.

They are made in folders beside their places. Before the first is moved, copies of what they replace stand there too,
and a journal: a run that is killed while it moves them leaves it, and the next run brings the earlier ones back.
"""

from __future__ import annotations

import os
import shutil
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

from tco.errors import ResultError
from tco.journal import UNFINISHED, Journal, left_in
from tco.stops import Hold

ABANDONED = 3600.0  # how old a folder of a run is that no longer goes on, where that cannot be seen otherwise [s]
PATIENCE, PAUSE = 60.0, 0.05  # how long another run is waited for, and how often to look [s]


@contextmanager
def place_for(folder: Path) -> Iterator[None]:
    """A folder that is made and filled in the block; where that fails, folders that were made for it go again.

    Raises ResultError for what the system refuses.
    """
    check_name(folder)
    above = missing(folder)
    try:
        yield
    except OSError as error:
        take_away(above)
        place = lasting(Path(error.filename or folder))
        raise ResultError(f"{place}: cannot be written: {error.strerror or error}; nothing was written") from error
    except BaseException:
        take_away(above)
        raise


def lasting(path: Path) -> Path:
    """A path, or where it was to go, if it is in a folder of a run."""
    works = [one for one in (path, *path.parents) if one.name.startswith(UNFINISHED)]
    return works[0].parent / path.relative_to(works[0]) if works else path


def check_name(folder: Path) -> None:
    """Raises ResultError for what cannot name a folder."""
    try:
        folder.exists()
        folder.resolve()
    except (OSError, ValueError, RuntimeError) as error:  # too long; a NUL in it; a link to itself
        raise ResultError(f"{folder}: is no place for a folder: {getattr(error, 'strerror', '') or error}") from None


def same(one: Path, other: Path) -> bool:
    """Whether two paths lead to one place; a link to itself leads nowhere."""
    try:
        return one.resolve() == other.resolve()
    except (OSError, RuntimeError):
        return False


def missing(folder: Path) -> list[Path]:
    """A folder and those above it that are not there yet, the deepest first."""
    return [one for one in (folder, *folder.parents) if not one.exists()]


def take_away(made: Sequence[Path]) -> None:
    """Take away folders that were made for nothing, if nobody has used them since."""
    with Hold(), suppress(OSError):
        for one in made:
            one.rmdir()


@contextmanager
def alone(*homes: Path) -> Iterator[list[Path]]:
    """A new folder in each of some folders to make files in, gone at the end; no other run works there meanwhile.

    Raises ResultError, OSError.
    """
    with Hold() as hold, mended(hold, homes):
        works: list[Path] = []
        try:
            for home in homes:  # one by one, so that the first goes where the second cannot be made
                works.append(Path(tempfile.mkdtemp(prefix=UNFINISHED, dir=home)))  # noqa: PERF401
            with hold.opened():
                yield works
        finally:
            for work in works:
                shutil.rmtree(work, ignore_errors=True)


def mend(folder: Path) -> None:
    """Bring back what stood in a folder before a run that was killed moved some files there. Raises ResultError."""
    if not left_in(folder):
        return
    try:
        with Hold() as hold, mended(hold, [folder]):
            pass
    except OSError as error:
        raise ResultError(
            f"{folder}: an earlier run was killed while it put files in place here, and those that stood here before "
            f"cannot be brought back: {error.strerror or error}"
        ) from error


@contextmanager
def mended(hold: Hold, homes: Sequence[Path]) -> Iterator[None]:
    """Folders in which no other run works, and nothing is left of one that was killed."""
    left = [journal for home in homes for journal in left_in(home)]
    everyone = {home.resolve() for home in homes} | {work.parent for journal in left for work in journal.works}
    with ExitStack() as held:
        with hold.opened():
            alive = [held.enter_context(locked(home)) for home in sorted(everyone) if home.is_dir()]
        for home in homes:
            for journal in left_in(home):
                if all(alive) or journal.age > PATIENCE:
                    journal.undo()
            sweep(home, is_alone=all(alive))
        yield


@contextmanager
def locked(folder: Path) -> Iterator[bool]:
    """A folder that is ours; False where the system knows no locks. Raises ResultError where another run keeps it."""
    with ExitStack() as held:
        is_ours: bool | None = False
        with suppress(OSError):
            file = os.open(folder, os.O_RDONLY)
            held.callback(os.close, file)
            is_ours = taken(file)
        if is_ours is None:
            raise ResultError(
                f"{folder}: another run of tco has been at work here for more than {PATIENCE:.0f} seconds; nothing "
                "was written. Wait for it, or name another folder with --out"
            )
        yield is_ours


def taken(file: int) -> bool | None:
    """Whether an open folder could be locked; None where somebody else keeps it. It is free when it is closed."""
    try:
        import fcntl
    except ImportError:  # the system has another way, which would leave a file
        return False
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            time.sleep(PAUSE)
        else:
            return True
    return None


def sweep(folder: Path, *, is_alone: bool = False) -> None:
    """Clear away what a run that was killed left behind; what is younger may belong to one that still goes on."""
    for left in folder.glob(f"{UNFINISHED}*"):
        with suppress(FileNotFoundError):  # another run's, which has ended just now
            if is_alone or time.time() - left.lstat().st_mtime > ABANDONED:
                shutil.rmtree(left, ignore_errors=True)


def put(moves: Sequence[tuple[Path, Path]]) -> None:
    """Rename new files and folders into place in turn; if that stops half way, the earlier ones come back.

    moves: what was made in a folder of `alone`, and its place. Those of the first one's folder hold for all: as long
    as the journal stands there, nothing is done.
    """
    hold = Hold.own or Hold()
    with hold.closed():
        journal = Journal.of(moves)
        journal.keep()
        try:
            for move in journal.moves:
                move.do()
                hold.check()
        except BaseException:
            journal.undo()
            raise
        journal.done()
