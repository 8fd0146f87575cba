"""Result files are written whole or not at all, and a person's changes are not lost."""

from __future__ import annotations

import dataclasses
import io
import os
import sys

import openpyxl
import pandas as pd
import pytest

import tco
import tco.write.results as results
from tco.errors import ResultError
from tco.write.frames import lines_frame, measures_frame
from tco.write.results import write_results
from tco.write.tables import csv_text, lines_csv, measures_csv
from tests.recalculate import convert, needs_libreoffice
from tests.studies import write_study

NAMES = ["comparison.xlsx", "lines.csv", "measures.csv", "bills.csv", "checks.csv", "replacements.csv"]


def tiny():
    """A study of one scenario without hardware: what is written hardly matters here."""
    study = tco.load(tco.demo())
    rented = dataclasses.replace(study.scenarios[-1], baseline=True)
    return dataclasses.replace(
        study,
        scenarios=(rented,),
        settings=dataclasses.replace(study.settings, horizon=6),
        tariffs={},
        failures={},
        resale={},
    )


@pytest.fixture(scope="module")
def comparison():
    return tco.compare(tiny())


def contents(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_the_same_study_gives_the_same_bytes(comparison, tmp_path):
    files = write_results(comparison, tmp_path / "new" / "out")
    assert [path.name for path in files] == NAMES
    first = contents(tmp_path / "new" / "out")
    again = tco.compare(tiny())
    write_results(again, tmp_path / "other")
    assert contents(tmp_path / "other") == first


def test_unchanged_results_are_overwritten_without_asking(comparison, tmp_path):
    write_results(comparison, tmp_path)
    write_results(comparison, tmp_path)
    assert sorted(contents(tmp_path)) == sorted(NAMES)


@pytest.mark.parametrize("error", [OSError(28, "No space left on device"), KeyboardInterrupt()])
@pytest.mark.parametrize("where", ["write_text", "settle", "put"])
def test_what_stops_half_way_leaves_the_earlier_results(comparison, tmp_path, monkeypatch, error, where):
    write_results(comparison, tmp_path)
    before = contents(tmp_path)
    calls = []

    def stop(*args):
        calls.append(args)
        raise error

    if where == "put":
        rename = os.replace

        def second(old, new):
            calls.append(new)
            if len(calls) == 2:
                raise error
            rename(old, new)

        monkeypatch.setattr(results.os, "replace", second)
    else:
        monkeypatch.setattr(results, where, stop)
    (tmp_path / "lines.csv").write_text("scenario,older\n")
    before["lines.csv"] = b"scenario,older\n"
    with pytest.raises((ResultError, KeyboardInterrupt)) as caught:
        write_results(comparison, tmp_path)
    assert isinstance(error, KeyboardInterrupt) or "No space left on device" in str(caught.value)
    assert calls
    assert contents(tmp_path) == before


def test_a_first_run_that_fails_leaves_nothing(comparison, tmp_path, monkeypatch):
    monkeypatch.setattr(results, "settle", lambda path: (_ for _ in ()).throw(OSError(5, "Input/output error", path)))
    with pytest.raises(ResultError, match="Input/output error"):
        write_results(comparison, tmp_path)
    assert not list(tmp_path.iterdir())


def test_a_file_where_the_folder_should_be(comparison, tmp_path):
    (tmp_path / "out").write_text("mine")
    with pytest.raises(ResultError, match="is a file, and results need a folder"):
        write_results(comparison, tmp_path / "out")
    with pytest.raises(ResultError, match="out: is a file, and results need a folder"):
        write_results(comparison, tmp_path / "out" / "deeper")


def test_a_folder_where_a_file_should_be(comparison, tmp_path):
    (tmp_path / "measures.csv").mkdir()
    with pytest.raises(ResultError, match="a folder of that name is in the way"):
        write_results(comparison, tmp_path)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_without_permission(comparison, tmp_path):
    tmp_path.chmod(0o500)
    with pytest.raises(ResultError, match="Permission denied"):
        write_results(comparison, tmp_path)


@pytest.mark.parametrize("value", [9.0, "note to myself", "=1+1", True])
@pytest.mark.parametrize("cell", ["B8", "Z99"])
def test_a_changed_workbook_is_left_alone(comparison, tmp_path, value, cell):
    write_results(comparison, tmp_path)
    path = tmp_path / "comparison.xlsx"
    book = openpyxl.load_workbook(path)
    book["Assumptions"][cell] = value
    book.save(path)
    before = contents(tmp_path)
    with pytest.raises(ResultError, match=r"was changed since tco wrote it.*nothing was written.*--replace"):
        write_results(comparison, tmp_path)
    assert contents(tmp_path) == before
    write_results(comparison, tmp_path, replace=True)
    write_results(comparison, tmp_path)


@pytest.mark.parametrize("text", [b"", b"not a workbook", b"PK\x03\x04 broken"])
def test_what_is_no_workbook_is_left_alone(comparison, tmp_path, text):
    (tmp_path / "comparison.xlsx").write_bytes(text)
    with pytest.raises(ResultError, match="cannot be read as a workbook"):
        write_results(comparison, tmp_path)
    assert contents(tmp_path) == {"comparison.xlsx": text}


def test_a_workbook_of_another_origin_is_left_alone(comparison, tmp_path):
    openpyxl.Workbook().save(tmp_path / "comparison.xlsx")
    with pytest.raises(ResultError, match="was not written by tco"):
        write_results(comparison, tmp_path)


@needs_libreoffice
def test_saving_unchanged_in_a_spreadsheet_program_is_no_change(tmp_path):
    one = tco.compare(tco.load(tco.demo()))
    write_results(one, tmp_path)
    convert([tmp_path / "comparison.xlsx"], tmp_path / "saved", tmp_path / "profile")
    os.replace(tmp_path / "saved" / "comparison.xlsx", tmp_path / "comparison.xlsx")
    write_results(one, tmp_path)


def test_frames_and_csv_say_the_same(comparison):
    for frame, text in ((lines_frame, lines_csv), (measures_frame, measures_csv)):
        read = pd.read_csv(io.StringIO(text(comparison)), keep_default_na=False)
        own = frame(comparison)
        pd.testing.assert_frame_equal(read.drop(columns="value"), own.drop(columns="value"))
        numbers = pd.to_numeric(own.value, errors="coerce")
        pd.testing.assert_series_equal(pd.to_numeric(read.value, errors="coerce"), numbers, rtol=1e-15)
        assert read.value[numbers.isna()].tolist() == own.value[numbers.isna()].tolist()


def test_frames_have_a_row_for_each_figure(comparison):
    lines = lines_frame(comparison)
    assert list(lines.columns) == ["scenario", "line", "month", "value", "unit"]
    months = len(comparison.built.grounds[0].months.rows)
    assert lines.groupby(["scenario", "line"]).size().eq(months).all()
    assert list(measures_frame(comparison).columns) == ["scenario", "measure", "value", "unit"]


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_texts_that_begin_like_formulas_are_defused_and_numbers_are_not(start):
    text = csv_text(("a", "b"), [(f"{start}1+1", -2.5)])
    row = pd.read_csv(io.StringIO(text)).iloc[0]
    assert row["a"].startswith("'" + start.replace("\r", "\n"))
    assert row["b"] == -2.5


def test_floats_are_written_in_full():
    assert csv_text(("a", "b"), [(0.1 + 0.2, -0.0)]) == "a,b\n0.30000000000000004,0.0\n"


@pytest.mark.parametrize("system", ["with locks", "without"])
def test_what_a_killed_run_left_is_cleared_away_later(system, comparison, tmp_path, monkeypatch):
    """All of it where nobody else can be at work; else folders of runs long gone, not one that may be in use."""
    if system == "without":
        monkeypatch.setitem(sys.modules, "fcntl", None)
    old, new = tmp_path / ".tco-old", tmp_path / ".tco-new"
    for folder in (old, new):
        folder.mkdir()
        (folder / "comparison.xlsx").write_text("half")
    os.utime(old, (0, 0))
    write_results(comparison, tmp_path)
    assert not old.exists()
    assert new.exists() == (system == "without")


def test_results_are_not_written_into_the_study_itself(tmp_path):
    folder = write_study(tmp_path)
    before = sorted(path.name for path in folder.iterdir())
    with pytest.raises(ResultError, match="is the study itself"):
        write_results(tco.compare(tco.load(folder)), folder)
    assert sorted(path.name for path in folder.iterdir()) == before


def test_other_peoples_csv_is_left_alone(comparison, tmp_path):
    (tmp_path / "lines.csv").write_text("my notes\n")
    with pytest.raises(ResultError, match="was not written by tco"):
        write_results(comparison, tmp_path)
    assert (tmp_path / "lines.csv").read_text() == "my notes\n"
    write_results(comparison, tmp_path, replace=True)


def test_a_study_workbook_is_never_replaced_by_its_results(comparison, tmp_path):
    study = dataclasses.replace(comparison.study, folder=str(tmp_path / "comparison.xlsx"))
    own = dataclasses.replace(comparison, built=dataclasses.replace(comparison.built, study=study))
    with pytest.raises(ResultError, match="is the study itself"):
        write_results(own, tmp_path, replace=True)
