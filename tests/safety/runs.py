"""Runs of commands that are stopped in their midst: how they are begun, when they are stopped, what they leave."""

from __future__ import annotations

import errno
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypedDict

import tco

ROOT = Path(tco.__file__).parents[1]
LONG = int(os.environ.get("TCO_SAFETY", "0"))  # how many random moments a command is stopped at; 0: a few
ERRORS = {"ENOSPC": errno.ENOSPC, "EFBIG": errno.EFBIG, "EIO": errno.EIO}
Files = dict[str, bytes]


class Request(TypedDict):
    """What a child is to do."""

    words: list[str]
    beside: list[str]
    folder: str
    temporary: str
    told: str
    wrong: str
    roots: list[str]
    numbers: list[int]
    how: str
    log: str
    largest: int
    uid: int


@dataclass(frozen=True)
class Ended:
    """How a run ended: exit code (less than 0: the signal that killed it), what it printed, its seconds."""

    code: int
    told: str
    wrong: str
    seconds: float
    changes: list[str] = field(default_factory=list)
    beside: tuple[int, str] = (0, "")  # exit code and errors of the run beside it


class Warm:
    """A process that runs commands for us; see warm.py."""

    def __init__(self, work: Path, commands: list[list[str]]) -> None:
        self.work = work
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.safety.warm"], cwd=ROOT, text=True, start_new_session=True,
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, env={**os.environ, "PYTHONPATH": str(ROOT)},
        )  # fmt: skip
        self.say(commands)
        if self.heard() != "ready":
            self.close()
            raise AssertionError("the commands do not run; see what they printed")

    def say(self, what: Any) -> None:
        """One line for the process."""
        assert self.process.stdin is not None
        self.process.stdin.write(json.dumps(what) + "\n")
        self.process.stdin.flush()

    def heard(self) -> str:
        """One line from the process."""
        assert self.process.stdout is not None
        return self.process.stdout.readline().strip()

    def begin(self, words: Sequence[str | Path], folder: Path, **more: Any) -> int:
        """Start a run in a folder; returns the number of its process. See Request."""
        for name in ("told", "wrong", "log", "told beside", "wrong beside"):
            (self.work / name).unlink(missing_ok=True)
        temporary = folder / "temporary"
        temporary.mkdir(exist_ok=True)
        request: Request = {
            "words": [str(word) for word in words], "beside": [], "folder": str(folder), "temporary": str(temporary),
            "told": str(self.work / "told"), "wrong": str(self.work / "wrong"), "roots": [str(folder)],
            "numbers": [], "how": "", "log": str(self.work / "log"), "largest": 0, "uid": 0,
        }  # fmt: skip
        self.say(request | more)
        return int(self.heard())

    def end(self, begun: float = 0.0) -> Ended:
        """Wait for the run that was begun."""
        code, *others = (os.waitstatus_to_exitcode(int(status)) for status in self.heard().split())
        texts = [(self.work / name).read_text() if (self.work / name).exists() else "" for name in ("told", "wrong")]
        log = self.work / "log"
        changes = log.read_text().splitlines() if log.exists() else []
        beside = (others[0], (self.work / "wrong beside").read_text()) if others else (0, "")
        return Ended(code, *texts, time.monotonic() - begun, changes, beside)

    def run(self, words: Sequence[str | Path], folder: Path, **more: Any) -> Ended:
        """A run to its end."""
        begun = time.monotonic()
        self.begin(words, folder, **more)
        return self.end(begun)

    def stopped(self, words: Sequence[str | Path], folder: Path, signals: Sequence[tuple[float, int]]) -> Ended:
        """A run that is sent signals, each some seconds after the one before."""
        begun, number = time.monotonic(), self.begin(words, folder)
        for seconds, one in signals:
            time.sleep(seconds)
            if is_alive(number):
                os.kill(number, one)
        return self.end(begun)

    def close(self) -> None:
        """End the process."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.close()
        self.process.wait()
        self.process.stdout.close()


def takes_room(event: str, path: str) -> bool:
    """Whether a full disk refuses a change; a folder that is there already is made once more without a word."""
    return event in ("open", "os.rename") or (event == "os.mkdir" and Path(path).name.startswith(".tco-"))


def is_alive(number: int) -> bool:
    """Whether a child still runs, and is not only waited for."""
    try:
        return Path(f"/proc/{number}/stat").read_text().rsplit(")", 1)[1].split()[0] != "Z"
    except OSError:
        return False


def contents(folder: Path) -> Files:
    """Every file below a folder; a link as what it shows."""
    found = {}
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if path.is_symlink():
            found[name] = f"-> {os.readlink(path)}".encode()
        elif path.is_file():
            found[name] = path.read_bytes()
    return found


def litter(folder: Path) -> list[str]:
    """What a run must not leave: its own folders and temporary files, wherever below a folder."""
    return [
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.name.startswith((".tco-", "tmp")) or path.parent.name == "temporary"
    ]


def again(wanted: Path, folder: Path) -> Path:
    """A fresh copy of a folder, in the place of what was there."""
    shutil.rmtree(folder, ignore_errors=True)
    shutil.copytree(wanted, folder, symlinks=True)
    return folder


def moments(seed: str, seconds: float, few: int) -> list[float]:
    """When to stop a run: half of them anywhere in its length, half where files are made and put in place."""
    drawn = random.Random(seed)
    count = LONG or few
    return [
        drawn.uniform(0.0, seconds) if number % 2 else drawn.uniform(0.6 * seconds, 1.05 * seconds)
        for number in range(count)
    ]


def signals() -> dict[str, list[tuple[float, int]]]:
    """Ways to stop a run from outside; the first number is replaced by the moment."""
    return {
        "SIGKILL": [(0.0, signal.SIGKILL)],
        "SIGTERM": [(0.0, signal.SIGTERM)],
        "SIGINT": [(0.0, signal.SIGINT)],
        "SIGINT twice": [(0.0, signal.SIGINT), (0.002, signal.SIGINT)],
    }
