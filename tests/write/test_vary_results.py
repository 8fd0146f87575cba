"""The files of `tco vary` are written whole or not at all; what it cannot do it says, with exit code 2."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner, Result

import tco
import tco.write.results as results
from tco.ask.vary import Variation
from tco.cli import main
from tco.errors import ResultError
from tco.write.vary import TABLES, write_varied
from tests.write.chances import compared
from tests.write.variations import HOUR, axis, choice, lattice, variation, years

NAMES = ["vary.xlsx", "vary.csv", "vary_grid.csv"]
SMALL = str(tco.demo().parent / "small")


def made(seed: int) -> Variation:
    comparison = compared("small")
    return variation(
        comparison, [], lattice(comparison, axis(choice(comparison, HOUR, 1, 2).input, 4), years(1, 2, 3), seed=seed)
    )


@pytest.fixture(scope="module")
def found() -> Variation:
    return made(1)


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_the_same_variation_gives_the_same_bytes(found: Variation, tmp_path: Path) -> None:
    files = write_varied(found, tmp_path / "new" / "out")
    assert files == [tmp_path / "new" / "out" / name for name in NAMES]
    write_varied(made(1), tmp_path / "other")
    assert contents(tmp_path / "other") == contents(tmp_path / "new" / "out")
    write_varied(made(2), tmp_path / "other")
    assert contents(tmp_path / "other") != contents(tmp_path / "new" / "out")


def test_a_workbook_changed_by_hand_is_left_alone(found: Variation, tmp_path: Path) -> None:
    write_varied(found, tmp_path)
    book = openpyxl.load_workbook(tmp_path / "vary.xlsx")
    book["Grid"]["Z1"] = 1
    book.save(tmp_path / "vary.xlsx")
    before = contents(tmp_path)
    with pytest.raises(ResultError, match=r"vary.xlsx: was changed since tco wrote it, so it is left alone"):
        write_varied(made(2), tmp_path)
    assert contents(tmp_path) == before
    write_varied(made(2), tmp_path, replace=True)
    assert contents(tmp_path) != before


@pytest.mark.parametrize("name", NAMES)
def test_files_of_somebody_s_own_are_left_alone(name: str, found: Variation, tmp_path: Path) -> None:
    (tmp_path / name).write_text("my notes\n")
    with pytest.raises(ResultError, match=rf"{name}: (was not written by tco|cannot be read as a workbook)"):
        write_varied(found, tmp_path)
    assert contents(tmp_path) == {name: b"my notes\n"}


@pytest.mark.parametrize("number", range(1, 4))
def test_a_run_that_is_stopped_leaves_all_as_it_was(
    number: int, found: Variation, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Three files are renamed into place; stopped at any one of them, all are the old ones."""
    write_varied(found, tmp_path)
    before, rename, calls = contents(tmp_path), os.replace, []

    def stop(one: Any, place: Any) -> None:
        calls.append(place)
        if len(calls) == number:
            raise OSError(28, "No space left on device", str(place))
        rename(one, place)

    monkeypatch.setattr(results.os, "replace", stop)
    with pytest.raises(ResultError, match="cannot be written: No space left on device"):
        write_varied(made(2), tmp_path)
    assert contents(tmp_path) == before


def test_nothing_is_put_in_place_before_all_is_made(
    found: Variation, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(_: Variation) -> str:
        raise OSError(28, "No space left on device")

    monkeypatch.setitem(TABLES, "vary_grid.csv", fail)
    with pytest.raises(ResultError, match="No space left"):
        write_varied(found, tmp_path / "out")
    assert list(tmp_path.iterdir()) == []


def run(*args: str) -> Result:
    return CliRunner().invoke(main, ["vary", *args])


def test_the_command_prints_the_answer_and_writes_its_files(tmp_path: Path) -> None:
    result = run(SMALL, "--out", str(tmp_path / "out"), "--steps", "5")
    assert result.exit_code == 0, result.stderr
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == sorted(NAMES)
    assert result.stdout.splitlines()[0] == tco.load(SMALL).settings.question
    assert max(map(len, result.stdout.splitlines()[:-3])) <= 80
    assert "What matters most to those that meet all needs is " in " ".join(result.stdout.split())
    assert result.stdout.splitlines()[-3:] == [f"  {tmp_path / 'out' / name}" for name in NAMES]


@pytest.mark.parametrize(
    ("args", "message"),
    [
        (["--grid", "hour valeu"], "there is no input 'hour valeu'; did you mean 'hour value'?"),
        (["--by", "0 %"], "0 %: write how much less and more than the study says, such as 20 %"),
        (["--by", "-5 %"], "-5 %: write how much less and more than the study says, such as 20 %"),
        (["--by", "30"], "30: '30' could be 30 % or 3000 %: write '30 %'"),
        (["--by", "wide"], "wide: 'wide' is not a number"),
        (["--steps", "1"], "1 steps: a grid has from 2 to"),
        (["--steps", "100000"], "100000 steps: a grid has from 2 to"),
        (["--grid", "tax", "--grid", "discount", "--grid", "years"], "a grid has two inputs"),
        (["--grid", "tax", "--grid", "Tax"], "tax: a grid has two inputs that differ"),
        (["--grid", "years", "--grid", "Years"], "years: a grid has two inputs that differ"),
        (["--years", "1..9"], "path 'utility forecast' ends with year 3, the horizon of 108 months with year 9"),
        (["--years", "10"], "10: write the first and the last year, such as 1..10"),
        (["--grid", "tax", "--grid", "discount", "--years", "1..2"], "this grid has no years"),
    ],
)
def test_what_cannot_be_asked_is_said_and_nothing_written(args: list[str], message: str, tmp_path: Path) -> None:
    result = run(SMALL, *args, "--out", str(tmp_path / "out"))
    assert result.exit_code == 2
    assert message in result.stderr
    assert "Traceback" not in result.stderr
    assert not (tmp_path / "out").exists()
