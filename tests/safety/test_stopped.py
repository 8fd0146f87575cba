"""Runs that are stopped at any moment leave the old files or the new ones, whole, and nothing else.

Random moments are drawn by seed; with TCO_SAFETY=300 there are so many of them for each command, and every single
change of a file is tried instead of some.
"""

from __future__ import annotations

import os
import random
import re
import shutil
import signal
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path

import pytest

from tests.hostile import study
from tests.safety.runs import ERRORS, LONG, ROOT, moments, signals, takes_room
from tests.safety.worlds import COMMANDS, World, check_killed, check_stopped

pytestmark = pytest.mark.skipif(not hasattr(os, "fork") or not Path("/proc").exists(), reason="needs fork and /proc")
FEW = {"compare": 25, "reprice --write": 25, "reprice": 12, "simulate": 25, "new": 8, "track": 4}
HOWS = ["SIGKILL", "SIGINT", "SIGTERM", "ENOSPC"]


@pytest.mark.parametrize("name", COMMANDS)
def test_stopped_at_any_moment(name: str, every: dict[str, World]) -> None:
    """Real signals from outside."""
    own, ways, found = every[name], signals(), Counter[str]()
    for number, moment in enumerate(moments(name, own.ended.seconds, FEW[name])):
        how = list(ways)[number % len(ways)]
        folder = own.fresh()
        ended = own.warm.stopped(own.words, folder, [(moment, ways[how][0][1]), *ways[how][1:]])
        assert ended.code in (0, 1, *(-ways[how][0][1] for how in ways)), ended
        if ended.code < 0:
            found[told := check_killed(own, folder, run_again=number % 8 == 0)] += 1
            assert how == "SIGKILL" or told == "old", ended  # it had not begun to listen
        else:
            found[check_stopped(own, folder, ended)] += 1
            assert ended.code == 0 or ended.wrong.startswith("stopped"), ended
    print(name, dict(found))
    assert found["old"] + found["mixed"]


def refusable(changes: list[str]) -> list[str]:
    """Those that take room on a disk."""
    return [change for change in changes if takes_room(*change.split(" ", 1))]


def numbers(own: World, how: str, name: str) -> list[int]:
    """The changes at which a run is stopped: those where files are put in place, some before and after."""
    changes = refusable(own.ended.changes) if how in ERRORS else own.ended.changes
    every = range(1, len(changes) + 1)
    if LONG:
        return list(every)
    put = [n for n, change in enumerate(changes, 1) if change.startswith("os.rename") or "journal" in change]
    others = [number for number in every if number not in put]
    drawn = random.Random(f"{name} {how}")
    if how != "SIGKILL":
        put = drawn.sample(put, min(3, len(put)))
    return sorted([*put, *drawn.sample(others, min(6 if how == "SIGKILL" else 2, len(others)))])


@pytest.mark.parametrize("how", HOWS)
@pytest.mark.parametrize("name", [name for name in COMMANDS if name != "track" or LONG])
def test_stopped_at_a_change_of_a_file(name: str, how: str, every: dict[str, World]) -> None:
    """Just before a folder is made, a file is opened, renamed or taken away: places that moments seldom hit."""
    own, found = every[name], Counter[str]()
    for number in numbers(own, how, name):
        folder = own.fresh()
        ended = own.warm.run(own.words, folder, numbers=[number], how=how)
        if how == "SIGKILL":
            assert ended.code == -signal.SIGKILL, ended
            found[check_killed(own, folder, run_again=number % 5 == 0)] += 1
            continue
        found[check_stopped(own, folder, ended)] += 1
        if how in ERRORS:
            assert ended.code == 2, ended
            assert os.strerror(ERRORS[how]) in ended.wrong
        else:
            assert ended.code == 1, (number, ended)
            assert ended.wrong.startswith("stopped")
    print(name, how, dict(found))
    assert found["old"]
    assert how != "SIGKILL" or name == "new" or found["mixed"]


@pytest.mark.parametrize("how", ["SIGINT", "SIGTERM", "EIO"])
@pytest.mark.parametrize("name", ["compare", "reprice --write", "reprice"])
def test_stopped_again_while_it_clears_up(name: str, how: str, every: dict[str, World]) -> None:
    """A second time at each of the next changes, those by which the first is undone; an error only once."""
    own = every[name]
    changes = refusable(own.ended.changes) if how == "EIO" else own.ended.changes
    first = next(n for n, change in enumerate(changes, 1) if change.startswith("os.rename")) + 2
    for second in range(first + 1, first + (10 if LONG else 3)):
        folder = own.fresh()
        ended = own.warm.run(own.words, folder, numbers=[first, second] if how != "EIO" else [first], how=how)
        assert ended.code == (2 if how == "EIO" else 1), ended
        assert check_stopped(own, folder, ended) == "old"
        if how == "EIO":
            break


PYTHON = "runpy|import_site"  # its own beginning, in which nothing of ours is read yet


def heard() -> None:
    """A process in the background would ignore Ctrl-C."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def test_stopped_before_it_has_begun(tmp_path: Path) -> None:
    """A real process in its first moments, most of them while Python imports: no traceback from any line of ours."""
    drawn, codes = random.Random(1), Counter[int]()
    folder = study(tmp_path / "study", ("one", "two"), question="Which?", months=6)
    for number in range(LONG or 10):
        command = [sys.executable, "-m", "tco", "compare", str(folder), "--out", str(tmp_path / "out")]
        with subprocess.Popen(
            command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, preexec_fn=heard
        ) as process:
            time.sleep(drawn.uniform(0.02, 0.4))
            process.send_signal(signal.SIGTERM if number % 4 == 3 else signal.SIGINT)
            told, wrong = process.communicate(timeout=120)
        codes[process.returncode] += 1
        if process.returncode == 0:  # it was done by then
            shutil.rmtree(tmp_path / "out")
            continue
        assert process.returncode in (1, -signal.SIGINT, -signal.SIGTERM), wrong
        assert told == ""
        assert f"{ROOT}/tco/cli" not in wrong
        assert process.returncode != 1 or wrong.startswith("stopped") or re.search(PYTHON, wrong)
        assert not (tmp_path / "out").exists()
    assert codes[1]
