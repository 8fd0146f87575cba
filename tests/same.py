"""Every command in a process of its own surroundings, and what came out of it, for tests that it is the same.

`python -m tests.same STUDY` runs the commands one after the other where it stands; `came_out` starts it.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
BACKWARDS = "TCO_FOLDERS_BACKWARDS"  # set: folders list their files in the other order
TODAY = "2026-11-29"
COMMANDS: Mapping[str, tuple[str, ...]] = {
    "new": ("new", "begun", "--room", "3 TB", "--build", "minis", "--build", "rented", "--today", TODAY),
    "compare": ("compare", "{study}", "--html", "--out", "{out}"),
    "simulate": ("simulate", "{study}", "--draws", "200", "--seed", "7", "--out", "{out}"),
    "vary": ("vary", "{study}", "--years", "1..3", "--steps", "3", "--out", "{out}"),
    "reprice": ("reprice", "{study}", "--price", "0.36 EUR/kWh", "--from", "2028-01", "--out", "{out}"),
    "spend": ("spend", "{study}", "--budget", "400 EUR", "--out", "{out}"),
    "grow": ("grow", "{study}", "--rent", "5 EUR/TB/month", "--out", "{out}"),
    "track": ("track", "{study}", "--today", TODAY, "--out", "{out}"),
}
TABLES = ("check", "breakeven", "explain")  # what these print, they print for programs
OF_TABLES = {"explain": ("minis", "lcc")}
Outcome = dict[str, bytes]  # file, or stream of a command -> what is in it


class Backwards:
    """What os.scandir gives, the last entry first."""

    def __init__(self, found: Any) -> None:
        self.found = list(found)[::-1]
        found.close()

    def __enter__(self) -> Iterator[Any]:
        return iter(self.found)

    def __iter__(self) -> Iterator[Any]:
        return iter(self.found)

    def __exit__(self, *_: object) -> None:
        pass

    def close(self) -> None:
        pass


def list_backwards() -> None:
    """Let every folder list its files in the other order, as another file system may."""
    listed, scanned = os.listdir, os.scandir
    os.listdir = lambda *where: listed(*where)[::-1]
    os.scandir = lambda *where: Backwards(scanned(*where))  # type: ignore[assignment]


def one_after_the_other(study: str) -> None:
    """Run every command on a study, standard output of each in a file of its own."""
    from tco.cli import main

    for name, words in COMMANDS.items():
        said(main, name, [word.format(study=study, out=f"results-{name}") for word in words])
    for name in TABLES:
        for kind in ("csv", "json"):
            said(main, f"{name}-{kind}", [name, study, *OF_TABLES.get(name, ()), "--format", kind])


def said(main: Any, name: str, words: Sequence[str]) -> None:
    """Run one command, what it prints in a file; it must do what it was asked."""
    with Path(f"{name}.said").open("w", encoding=sys.stdout.encoding, errors=sys.stdout.errors) as stream:
        kept, sys.stdout = sys.stdout, stream
        try:
            main(args=list(words), prog_name="tco", standalone_mode=False)
        finally:
            sys.stdout = kept


def came_out(
    folder: Path, study: Path | str, python: str = sys.executable, before: Sequence[str] = (), **environment: str
) -> Outcome:
    """All that the commands print and write in a folder, a new process doing them with only that environment.

    study: as it is typed there. python: the interpreter; before: its options.
    """
    folder.mkdir(parents=True, exist_ok=True)
    needed = {name: os.environ[name] for name in ("PATH", "SYSTEMROOT", "TEMP", "HOME") if name in os.environ}
    done = subprocess.run(
        [python, *before, "-m", "tests.same", str(study)],
        cwd=folder,
        env={**needed, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1", **environment},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr.decode("utf-8", "replace")
    return {**outcome(folder), "standard error": done.stderr}


def outcome(folder: Path) -> Outcome:
    """Every file below a folder by its path, a workbook by its parts."""
    return dict(each for path in sorted(folder.rglob("*")) if path.is_file() for each in parts(folder, path))


def parts(folder: Path, path: Path) -> Iterator[tuple[str, bytes]]:
    """A file; of a workbook what is in the archive, for how it is packed is up to a library."""
    name = path.relative_to(folder).as_posix()
    if path.suffix != ".xlsx":
        yield name, path.read_bytes()
        return
    with zipfile.ZipFile(path) as book:
        yield from ((f"{name}/{part}", book.read(part)) for part in book.namelist())


def differing(one: Outcome, other: Outcome) -> list[str]:
    """What is not the same in both."""
    return sorted(name for name in one.keys() | other.keys() if one.get(name) != other.get(name))


def locales(folder: Path, names: Iterable[str]) -> list[str]:
    """Those locales that can be compiled here into a folder (LOCPATH), nothing installed."""
    made = []
    for name in names if shutil.which("localedef") else ():
        language, _, charset = name.partition(".")
        done = subprocess.run(
            ["localedef", "-i", language, "-f", charset, str(folder / name)], capture_output=True, check=False
        )
        made += [name] if done.returncode == 0 else []
    return made


if __name__ == "__main__":
    if os.environ.get(BACKWARDS):
        list_backwards()
    one_after_the_other(sys.argv[1])
