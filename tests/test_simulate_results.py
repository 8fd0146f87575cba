"""The files of a simulation are written whole or not at all, and what a person changed is left alone."""

from __future__ import annotations

import dataclasses
import os
import shutil
from pathlib import Path
from typing import Any

import openpyxl
import pytest

import tco.write.results as results
from tco.ask.simulated import Simulated
from tco.errors import ResultError
from tco.write.book import A4, LETTER
from tco.write.chance import TABLES, write_simulated
from tests.recalculate import convert, needs_libreoffice
from tests.write.chances import PRICE, compared, four, simulated

NAMES = ["simulate.xlsx", "simulate.csv", "simulate_years.csv", "simulate_inputs.csv"]


@pytest.fixture(scope="module")
def found() -> Simulated:
    return simulated(compared("small"), four(200), varied=[PRICE])


@pytest.fixture(scope="module")
def other() -> Simulated:
    return simulated(compared("small"), four(200, seed=8), varied=[PRICE], seed=8)


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_the_same_simulation_gives_the_same_bytes(found: Simulated, tmp_path: Path) -> None:
    files = write_simulated(found, tmp_path / "new" / "out")
    assert files == [tmp_path / "new" / "out" / name for name in NAMES]
    first = contents(tmp_path / "new" / "out")
    assert sorted(first) == sorted(NAMES)
    again = simulated(compared("small"), four(200), varied=[PRICE])
    write_simulated(again, tmp_path / "other")
    assert contents(tmp_path / "other") == first


def test_unchanged_results_are_overwritten_without_asking(found: Simulated, other: Simulated, tmp_path: Path) -> None:
    write_simulated(found, tmp_path)
    before = contents(tmp_path)
    write_simulated(other, tmp_path)
    assert contents(tmp_path).keys() == before.keys()
    assert contents(tmp_path) != before


def test_a_workbook_changed_by_hand_is_left_alone(found: Simulated, other: Simulated, tmp_path: Path) -> None:
    write_simulated(found, tmp_path)
    book = openpyxl.load_workbook(tmp_path / "simulate.xlsx")
    book["By year"]["C9"] = 1
    book.save(tmp_path / "simulate.xlsx")
    before = contents(tmp_path)
    with pytest.raises(ResultError, match=r"simulate.xlsx: was changed since tco wrote it, so it is left alone"):
        write_simulated(other, tmp_path)
    assert contents(tmp_path) == before
    write_simulated(other, tmp_path, replace=True)
    assert not any(contents(tmp_path)[name] == before[name] for name in NAMES if name != "simulate_inputs.csv")


@pytest.mark.parametrize("name", NAMES)
def test_files_of_somebody_s_own_are_left_alone(name: str, found: Simulated, tmp_path: Path) -> None:
    (tmp_path / name).write_text("my notes\n")
    with pytest.raises(ResultError, match=rf"{name}: (was not written by tco|cannot be read as a workbook)"):
        write_simulated(found, tmp_path)
    assert contents(tmp_path) == {name: b"my notes\n"}


@pytest.mark.parametrize("number", range(1, 5))
def test_a_run_that_is_stopped_leaves_all_as_it_was(
    number: int, found: Simulated, other: Simulated, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Four files are renamed into place; stopped at any one of them, all are the old ones."""
    write_simulated(found, tmp_path)
    before, rename, calls = contents(tmp_path), os.replace, []

    def stop(one: Any, place: Any) -> None:
        calls.append(place)
        if len(calls) == number:
            raise OSError(28, "No space left on device", str(place))
        rename(one, place)

    monkeypatch.setattr(results.os, "replace", stop)
    with pytest.raises(ResultError, match="cannot be written: No space left on device"):
        write_simulated(other, tmp_path)
    assert contents(tmp_path) == before


def test_nothing_is_put_in_place_before_all_is_made(
    found: Simulated, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(_: Simulated) -> str:
        raise OSError(28, "No space left on device")

    monkeypatch.setitem(TABLES, "simulate_inputs.csv", fail)
    with pytest.raises(ResultError, match="No space left"):
        write_simulated(found, tmp_path / "out")
    assert list(tmp_path.iterdir()) == []


def test_the_study_is_never_in_the_place_of_its_results(found: Simulated, tmp_path: Path) -> None:
    folder = tmp_path / "study"
    shutil.copytree(found.comparison.study.folder, folder)
    study = dataclasses.replace(found.comparison.study, folder=str(folder))
    built = dataclasses.replace(found.comparison.built, study=study)
    moved = dataclasses.replace(found, comparison=dataclasses.replace(found.comparison, built=built))
    before = contents(folder)
    with pytest.raises(ResultError, match="is the study itself; results need a folder of their own"):
        write_simulated(moved, folder, replace=True)
    assert contents(folder) == before
    (tmp_path / "file").write_text("x")
    with pytest.raises(ResultError, match="is a file, and results need a folder"):
        write_simulated(moved, tmp_path / "file")


def test_paper_and_kind_of_money_are_the_study_s(found: Simulated, tmp_path: Path) -> None:
    write_simulated(found, tmp_path)
    book = openpyxl.load_workbook(tmp_path / "simulate.xlsx")
    assert {sheet.page_setup.paperSize for sheet in book} == {LETTER}
    assert book["Chance"]["A2"].value.startswith(
        "3 years from 2027-02, in USD of 2027-02 (real: inflation is left out). "
    )
    write_simulated(simulated(compared(), four(200)), tmp_path)
    book = openpyxl.load_workbook(tmp_path / "simulate.xlsx")
    assert {sheet.page_setup.paperSize for sheet in book} == {A4}
    assert book["Chance"]["A2"].value.startswith("5 years from 2026-12, in EUR. ")
    assert {sheet.page_setup.orientation for sheet in book} == {"landscape"}


@needs_libreoffice
def test_an_unchanged_workbook_saved_by_a_spreadsheet_program_is_overwritten(
    found: Simulated, tmp_path: Path
) -> None:
    write_simulated(found, tmp_path / "out")
    convert([tmp_path / "out" / "simulate.xlsx"], tmp_path / "saved", tmp_path / "profile")
    os.replace(tmp_path / "saved" / "simulate.xlsx", tmp_path / "out" / "simulate.xlsx")
    write_simulated(found, tmp_path / "out")
