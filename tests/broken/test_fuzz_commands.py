"""Mutants and odd options through every command: an answer, or exit code 2 and what is wrong; in time, in bounds.

The same seeds each time; a long run takes others: TCO_FUZZ=1200 pytest tests/broken/test_fuzz_commands.py
"""

from __future__ import annotations

import csv
import io
import json
import math
import re
import resource
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import Any

import pytest
from click.testing import CliRunner

from tco.cli import COMMANDS, main
from tests.broken.fuzzing import TOO_LONG, TOO_MUCH, lean, quick, rounds
from tests.broken.mutate import MILD, Mutant, mutant, seeds, write
from tests.broken.sheet import sheet
from tests.broken.typed import OPTIONS, SUITED, typed

PLACE = re.compile(r"\.csv|\.xlsx|--[a-z]|'[^']*'|: ")  # a file, an option, a word that was given, or what is meant
NO_FIGURE = re.compile(r"(?<![\w'-])(nan|inf|-inf|infinity)(?![\w'-])", re.IGNORECASE)


def made(seed: str, command: str, luck: Random) -> Mutant:
    """A study, often changed a little, sometimes much, sometimes not at all; mostly one that suits the command."""
    study = luck.choice(SUITED[command]) if command in SUITED and luck.random() < 0.8 else None
    changes = luck.choice([0, 0, 1, 1, 2])
    return mutant(seed, study=study, changes=changes, kinds=None if luck.random() < 0.2 else MILD)


def scenarios(one: Mutant) -> list[str]:
    """The names of its scenarios before it was changed."""
    return [cells[0] for cells in sheet("", seeds()[one.study]["scenarios.csv"].decode()).rows[1:]]


def check_answer(words: list[str], out: str) -> None:
    """An answer is there, and its numbers are numbers."""
    kind = words[words.index("--format") + 1] if "--format" in words else "text"
    if kind == "json":
        found = json.loads(out, parse_constant=_no_constant)
        check_sums(words, found["table"]["rows"])
    elif kind == "csv":
        rows = list(csv.reader(io.StringIO(out)))
        assert len({len(row) for row in rows}) == 1, "rows of several widths"
        assert not [cell for row in rows for cell in row if NO_FIGURE.fullmatch(cell)], "a figure that is none"
    else:
        assert out.strip() or "--quiet" in words, "nothing was printed"


def _no_constant(name: str) -> Any:
    raise AssertionError(f"{name} in JSON")


def check_sums(words: list[str], rows: list[dict[str, Any]]) -> None:
    """The lines of each scenario add up to its total."""
    if words[0] != "compare":
        return
    found: dict[str, dict[str, float]] = {}
    for row in rows:
        if isinstance(row["value"], int | float):
            found.setdefault(row["scenario"], {})[row["measure"]] = row["value"]
    for own in found.values():
        lines = [value for name, value in own.items() if name.startswith("total_") and name != "total_energy"]
        scale = max(1.0, *map(abs, lines))
        assert math.isclose(sum(lines), own["undiscounted"], abs_tol=1e-9 * scale, rel_tol=1e-9), own


def check_refused(err: str) -> None:
    """What is wrong is said, and it is no fault of the tool."""
    assert err.strip(), "refused without a word"
    assert PLACE.search(err), "no place"
    assert "Traceback" not in err, "traceback"
    assert "fault of tco" not in err, "the tool says that it is at fault"


def outcome(seed: str, root: Path) -> tuple[str, int]:
    """One command about one mutant; its name and exit code. Fails where it ends otherwise than it may."""
    luck = Random(seed)
    command = luck.choice(sorted(OPTIONS))
    one = made(seed, command, luck)
    study = write(one, root / "study")
    words = typed(command, study, scenarios(one), luck)
    with quick((words, one.how)):
        result = CliRunner().invoke(main, words)
    try:
        if result.exception is not None and not isinstance(result.exception, SystemExit):
            raise result.exception
        assert result.exit_code in (0, 2), f"exit code {result.exit_code}"
        if result.exit_code:
            check_refused(result.stderr)
        else:
            check_answer(words, result.stdout)
    except Exception as error:
        what = f"{seed}: {one.study} {one.how}, tco {' '.join(map(repr, words[:1] + words[2:]))}"
        raise AssertionError(f"{what}: {error!r}\n{result.stderr[-500:]}") from error
    return words[0], result.exit_code


def test_every_command_answers_or_says_what_is_wrong(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    codes: Counter[tuple[str, int]] = Counter()
    with lean():
        for number, seed in enumerate(rounds("command", 200)):
            root = tmp_path / str(number)
            root.mkdir()
            monkeypatch.chdir(root)
            codes[outcome(seed, root)] += 1
    assert {command for command, _ in codes} == set(OPTIONS)
    answered = sum(count for (_, code), count in codes.items() if code == 0)
    assert answered > len(codes), codes


def limited() -> None:
    """Holds a process to the time and the memory that it may take."""
    resource.setrlimit(resource.RLIMIT_CPU, (int(TOO_LONG), int(TOO_LONG) + 1))
    resource.setrlimit(resource.RLIMIT_DATA, (TOO_MUCH, TOO_MUCH))


def processes() -> Iterator[tuple[str, list[str], Mutant]]:
    for seed in rounds("process", 6):
        luck = Random(seed)
        command = luck.choice(sorted(OPTIONS))
        one = made(seed, command, luck)
        yield seed, typed(command, Path("study"), scenarios(one), luck), one


def test_whole_processes_keep_their_limits(tmp_path: Path) -> None:
    for number, (seed, words, one) in enumerate(processes()):
        root = tmp_path / str(number)
        write(one, root / "study")
        command = [sys.executable, "-m", "tco.cli", *words]
        ran = subprocess.run(command, cwd=root, capture_output=True, preexec_fn=limited, timeout=300, check=False)
        err = ran.stderr.decode()
        assert ran.returncode in (0, 2), f"{seed}: {ran.returncode}: {words} {one.how}\n{err[-500:]}"
        if ran.returncode:
            check_refused(err)
        else:
            check_answer(words, ran.stdout.decode())


COMMON = {"--out", "--replace", "--format", "--quiet", "--verbose", "--write", "--no-questions", "--help"}


def test_every_command_option_and_study_takes_part() -> None:
    assert set(OPTIONS) == {command.name for command in COMMANDS}
    for command in COMMANDS:
        known = {word for option in command.params for word in option.opts if word.startswith("--")}
        assert known - COMMON == OPTIONS[command.name or ""].keys() - COMMON
    assert len(seeds()) == 7
