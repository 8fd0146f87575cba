"""Metered logs that cannot be used as they stand: every fault at its place; long ones, workbooks, and how fast."""

from __future__ import annotations

import time
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import openpyxl
import pandas
import pytest

from tco.errors import StudyError
from tco.read import load, log_rows
from tco.read.log import read_logs
from tco.read.problems import Problems
from tco.read.shelf import Folder, Workbook
from tests.read.logs import LORD_HOWE, VIENNA, local, moments, node, read_text, told
from tests.studies import NODES, write_study

HEAD = "time,power [W]"
QUARTER = timedelta(minutes=15)
GOOD = [f"{datetime(2026, 11, 2) + n * QUARTER:%Y-%m-%d %H:%M},11" for n in range(8 * 96)]


def file(rows: list[str], head: str = HEAD) -> str:
    return "\n".join([head, *rows]) + "\n"


def test_the_log_that_the_faults_are_put_into_is_good(tmp_path: Path) -> None:
    assert set(read_text(tmp_path, file(GOOD)).weekday) == {11}


CELLS = (
    # a row in the place of the fourth, where the fault is told, words
    ("2026-11-02 00:45,-3", "5:2", "power: -3 W is below 0 W"),
    ("2026-11-02 00:45,none", "5:2", "power: 'none' is not a number"),
    ("2026-11-02 00:45,", "5:2", "power: empty, which is not zero; take the row out"),
    ("2026-11-02 00:45,nan", "5:2", "power: 'nan' is not a number"),
    ("2026-11-02 00:45,1.2.3", "5:2", "power: '1.2.3' is not a number"),
    ("2026-11-02 00:45,9999999999999999", "5:2", "larger than any figure"),
    ("2026-11-02 00:45,11 V", "5:2", "power: the cell says 'V', the header 'W'"),
    ("2026-11-02 00:45,11 kWh", "5:2", "write one of them"),
    ("2026-11-02 00:45", "5:2", "the row has 1 cells, the header 2"),
    ("2026-11-02 00:45,11,8", "5:2", "the extra one is '8' (a decimal comma"),
    ("2026-11-02 0:45,11", "5:1", "time: '2026-11-02 0:45' is no date and time; write it as '2026-10-25 02:30'"),
    ("2.11.2026 00:45,11", "5:1", "is no date and time"),
    ("2026-11-02,11", "5:1", "is no date and time"),
    ("2026-W45-1 00:45,11", "5:1", "is no date and time"),
    ("today,11", "5:1", "is no date and time"),
    (",11", "5:1", "time: empty"),
    ("2026-11-02 24:00,11", "5:1", "24:00 is 00:00 of the next"),
    ("2026-11-02 23:60,11", "5:1", "is no date and time"),
    ("2026-02-29 00:45,11", "5:1", "there is no such day"),
    ("1970-01-01 00:45,11", "5:1", "the year must be from 2000 to 2099; a clock not set yet?"),
    ("2026-11-02 00:45+01:00,11", "5:1", "either all times have an offset from UTC, or none"),
    ('"2026-11-02 00:45\n2026-11-02 00:46",11', "5:1", "is no date and time"),
    ("2026-11-01 00:45,11", "5:1", "'2026-11-01 00:45' comes after '2026-11-02 00:30' in line 4; rows stand"),
    ("2026-11-02 00:30,12", "5:2", "power: '12', but '11' at the same time in line 4; keep the right one"),
    ('2026-11-02 00:45,"11', "5", "a quote opens in this row and never closes"),
)  # fmt: skip


@pytest.mark.parametrize(("row", "place", "words"), CELLS, ids=[row for row, *_ in CELLS])
def test_a_fault_is_told_at_its_place_and_nothing_else(tmp_path: Path, row: str, place: str, words: str) -> None:
    found = told(tmp_path, file([*GOOD[:3], row, *GOOD[4:]]))
    assert len(found) == 1
    assert found[0].startswith(f"node.csv:{place}: ")
    assert words in found[0]


HEADERS = (
    ("time,powr [W]", "1:2", "column 'powr [W]' is unknown; did you mean 'power'?"),
    ("tme,power [W]", "1:1", "did you mean 'time'?"),
    ("time,power (W)", "1:2", "write a unit in square brackets: 'power [unit]'"),
    ("time,power [kWh]", "1:2", "power: 'kWh' is energy; wanted is power"),
    ("time,reading [W]", "1:2", "reading: 'W' is power; wanted is energy"),
    ("time [s],power [W]", "1:1", "time: this column takes no unit"),
    ("power [W],time,power [W]", "1:3", "stands here a second time"),
    ("time", "1", "the header names neither 'power [W]' nor 'reading [kWh]'"),
    ("time,power [W],reading [kWh]", "1", "the header names both 'power' and 'reading': keep one of them"),
    ("power [W]", "1", "there is no column 'time'"),
    ("time,power", "2:2", "power: '11' has no unit: write for example '11.8 W', or head the column 'power [W]'"),
)


@pytest.mark.parametrize(("head", "place", "words"), HEADERS, ids=[head for head, *_ in HEADERS])
def test_a_faulty_header_is_told_once(tmp_path: Path, head: str, place: str, words: str) -> None:
    found = told(tmp_path, file(GOOD, head))
    assert len(found) == 1
    assert found[0].startswith(f"node.csv:{place}: ")
    assert words in found[0]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "the log is empty; its first row must name the columns"),
        (HEAD, "a log needs two rows at least"),
        (file(GOOD[:1]), "a log needs two rows at least"),
        (file(GOOD[:1] * 5), "all its rows bear the same time"),
        (file(GOOD[:96]), "only 23.8 h measured between its rows; an average takes 24 h at least"),
        (file([row for row in GOOD if row[11:13] not in ("03", "04", "22", "02")]),
         "hours of the day that were not measured: 02:00-05:00, 22:00-23:00; each takes a quarter of one at least"),
        (file(GOOD[::-1]), "the rows run from the newest to the oldest; sort them by time"),
        (file(GOOD).replace(",11\n", ",1.234\n"), "'1.234' could be 1.234 or 1234"),
        (b"PK\x03\x04" + b"x" * 50, "a zip file, perhaps a workbook renamed"),
        (file(GOOD).encode("utf-16")[:-3], "damaged UTF-16"),
        (file(GOOD).replace("11\n", "\0\n", 1), "NUL bytes"),
        ("sep=|\n" + file(GOOD), "cells are separated by comma, semicolon or tab"),
    ],
)  # fmt: skip
def test_a_log_as_a_whole_may_not_do(tmp_path: Path, text: str | bytes, words: str) -> None:
    found = told(tmp_path, text)
    assert len(found) == 1
    assert words in found[0]


def test_faults_of_all_kinds_are_told_together_and_many_of_a_kind_in_short(tmp_path: Path) -> None:
    rows = [row.replace(",11", ",x") if 100 <= number < 137 else row for number, row in enumerate(GOOD)]
    rows[5] = "yesterday,11"
    found = told(tmp_path, file(rows))
    assert found[0].startswith("node.csv:7:1: time: 'yesterday' is no date")
    assert [line.split(": ")[0] for line in found[1:]] == [f"node.csv:{line}:2" for line in range(102, 123)]
    assert found[21] == "node.csv:122:2: power: cells that are refused, from here on in 17 more rows"


def test_clocks_that_skip_a_time_are_told_with_what_may_be_meant(tmp_path: Path) -> None:
    """A meter that keeps winter time all year writes 02:15 on the day on which clocks go from 02:00 to 03:00."""
    rows = [f"{datetime(2026, 3, 27) + n * QUARTER:%Y-%m-%d %H:%M},11" for n in range(8 * 96)]
    found = told(tmp_path, file(rows))
    assert [line.split(": ")[0] for line in found] == [f"node.csv:{2 + 2 * 96 + 8 + n}:1" for n in range(4)]
    assert found[1].endswith(
        "time: '2026-03-29 02:15': clocks in Europe/Vienna went forward over this time; "
        "if the meter's clock did not, write each time with its offset, such as +01:00"
    )
    assert read_text(tmp_path, file([row.replace(",", "+01:00,") for row in rows])).weekday == (11.0,) * 24
    half = [f"2026-10-04 0{hour},11" for hour in ("1:45", "2:00", "2:29", "2:30")]
    assert [line.split(": ")[0] for line in told(tmp_path, file(half), LORD_HOWE)] == ["node.csv:3:1", "node.csv:4:1"]


def test_a_second_step_back_in_the_double_hour_is_an_error(tmp_path: Path) -> None:
    when = moments(datetime.fromisoformat("2026-10-24 00:00+02:00"), QUARTER, 3 * 96)
    rows = [f"{local(moment, VIENNA)},11" for moment in when]
    third = rows.index("2026-10-25 02:00:00,11")
    found = told(tmp_path, file([*rows[: third + 8], *rows[third : third + 4], *rows[third + 8 :]]))
    assert len(found) == 1
    assert found[0].startswith(f"node.csv:{third + 8 + 2}:1: time: '2026-10-25 02:00:00' comes after")


def test_more_rows_than_any_log_has(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(log_rows, "LOG_LIMIT", len(GOOD))
    assert read_text(tmp_path, file(GOOD))
    found = told(tmp_path, file([*GOOD, "2026-11-12 00:00,11"]))
    assert found == [f"node.csv:{len(GOOD) + 2}: more than 768 rows: thin the log out, or keep a part of it"]


def test_a_file_larger_than_any_log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(log_rows, "BYTES_LIMIT", 10_000)
    assert "and the most is 0.0 MB" in told(tmp_path, file(GOOD))[0]


def logged(folder: Path, name: str, **changes: str) -> Path:
    """The good study with a log named in nodes.csv."""
    nodes = NODES.replace("measured busy [W]", "log").replace("minis,mini,3,,", f"minis,mini,3,,{name}")
    return write_study(folder, nodes=nodes, minis=("99.50,0,0,36,", "99.50,0,0,,"), **changes)


def test_a_study_reads_its_log(tmp_path: Path) -> None:
    study = load(logged(tmp_path / "study", "plug.csv", plug=file(GOOD)))
    assert study.logs["plug.csv"].weekend == (11.0,) * 24
    assert study.logs["plug.csv"].told[0].startswith("plug.csv: 2026-11-02 00:00 to 2026-11-09 23:45, 8.0 days")


def test_a_log_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(
        StudyError, match=r"nodes.csv:2:5: log: there is no table 'plugg.csv'; did you mean 'plug.csv'"
    ):
        load(logged(tmp_path / "study", "plugg.csv", plug=file(GOOD)))


def test_a_log_is_read_once_and_not_at_all_without_a_zone(tmp_path: Path) -> None:
    (tmp_path / "node.csv").write_text(file(GOOD).replace(",11\n", ",x\n", 1))
    problems = Problems()
    two = node()
    two.rows.append(two.rows[0])
    assert read_logs(Folder(tmp_path), two, VIENNA, problems) == {}
    assert len(problems.found) == 1
    untold = Problems()
    assert read_logs(Folder(tmp_path), two, "", untold) == {}
    assert not untold.found


def sheet(folder: Path, rows: int) -> Workbook:
    """A workbook with a log whose times and numbers are stored as such."""
    book = openpyxl.Workbook()
    book.active.title = "node"
    book.active.append(HEAD.split(","))
    for number in range(rows):
        book.active.append([datetime(2026, 11, 2) + number * QUARTER, 11.125 if number % 2 else 12])
    book.save(folder / "study.xlsx")
    return Workbook(folder / "study.xlsx", Problems())


def test_a_log_in_a_workbook_has_its_midnights_and_stored_numbers(tmp_path: Path) -> None:
    problems = Problems()
    log = read_logs(sheet(tmp_path, 8 * 96 + 1), node(), "UTC", problems)["node.csv"]
    assert not problems.found
    assert log.told == ("study.xlsx/node: 2026-11-02 00:00 to 2026-11-10 00:00, 8.0 days measured, "
                        "11.56 W on average, every 15 min",)  # fmt: skip
    assert log.weekday == pytest.approx([11.5625] * 24, rel=1e-12)


def test_a_log_too_long_for_a_sheet(tmp_path: Path) -> None:
    problems = Problems()
    assert read_logs(sheet(tmp_path, 5001), node(), "UTC", problems) == {}
    assert "keep the study as a folder of CSV files, where a log has room" in str(sorted(problems.found)[-1])


@pytest.mark.parametrize(("form", "offset"), [("power [W]", ""), ("reading [kWh]", ""), ("power [W]", "+00:00")])
def test_reading_takes_a_few_times_as_long_as_splitting_the_file(tmp_path: Path, form: str, offset: str) -> None:
    """200,000 rows, beside pandas.read_csv that splits the same file into texts, each the best of three.

    Measured on two busy processors: 2 to 5 times as long, a million rows in 2.5 to 5 s. 15 times leaves room for
    chance, and would not let the rules for single cells of a table, 20 µs a cell, pass for each row.
    """
    rows = 200_000
    times = np.datetime_as_string(np.datetime64("2026-01-01T00:00:00") + np.arange(rows) * np.timedelta64(60, "s"))
    amounts = np.arange(rows) * 0.0002 + 100 if "k" in form else 10 + np.arange(rows) % 997 / 10
    lines = [
        f"{when.replace('T', ' ')}{offset},{amount:.4f}" for when, amount in zip(times, amounts.tolist(), strict=True)
    ]
    text = file(lines, f"time,{form}")
    path = tmp_path / "node.csv"
    path.write_text(text)

    def ours() -> None:
        problems = Problems()
        assert read_logs(Folder(tmp_path), node(), "UTC", problems)
        assert not problems.found

    def theirs() -> None:
        assert len(pandas.read_csv(path, dtype=str)) == rows

    best = [min(_seconds(one) for _ in range(3)) for one in (ours, theirs)]
    assert best[0] < 15 * best[1]


def _seconds(work: object) -> float:
    assert callable(work)
    start = time.perf_counter()
    work()
    return time.perf_counter() - start
