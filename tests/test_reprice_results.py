"""`tco reprice`: what it prints and writes, what it leaves alone, and that a study is changed whole or not at all."""

from __future__ import annotations

import os
import re
import shutil
import signal
from pathlib import Path
from typing import Any

import openpyxl
import pandas as pd
import pytest
from click.testing import CliRunner, Result

import tco
import tco.write.results as results
from tco.cli import main
from tests.recalculate import cells, convert, needs_libreoffice, recalculated
from tests.studies import TABLES, write_study
from tests.test_reprice_charges import offers, study

PRICE = ("--price", "0.55 EUR/kWh", "--from", "2028-03")


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, ["reprice", *(str(word) for word in words)])


def good(*words: str | Path) -> str:
    result = run(*words)
    assert result.exit_code == 0, result.output
    return " ".join(result.output.split())


def refused(*words: str | Path) -> str:
    result = run(*words)
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    return " ".join(result.stderr.split())


def contents(folder: Path) -> dict[str, bytes]:
    """Every file under a folder."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()
    }


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return write_study(tmp_path / "study")


def test_a_copy_is_changed_and_the_study_stays(folder: Path, tmp_path: Path) -> None:
    before = contents(folder)
    told = run(folder, *PRICE, "--out", tmp_path / "out")
    assert told.exit_code == 0, told.output
    lines = told.output.splitlines()
    assert lines[0] == "Which storage for our flat?"
    assert lines[2] == "household: from 2028-03 (month 16) on a kWh costs 0.5500 EUR instead of 0.3344."
    assert lines[3] == "Of the lines of cost only electricity changes."
    assert max(map(len, lines[: lines.index("written:")])) <= 80
    written = [Path(line.strip()) for line in lines[lines.index("written:") + 1 :]]
    assert written == [tmp_path / "out" / name for name in ("reprice.csv", "reprice.xlsx", "study")]
    assert contents(folder) == before
    copy = contents(tmp_path / "out" / "study")
    assert {name for name in before if copy[name] != before[name]} == {"tariffs.csv"}
    assert copy.keys() == before.keys()
    assert tco.load(tmp_path / "out" / "study").tariffs["household"][-1].price == 0.55
    assert not list((tmp_path / "out").glob(".tco-*"))


def test_only_the_csv_files_of_a_study_are_copied_those_in_sub_folders_too(folder: Path, tmp_path: Path) -> None:
    (folder / "lists").mkdir()
    (folder / "minis.csv").rename(folder / "lists" / "minis.csv")
    scenarios = (folder / "scenarios.csv").read_text().replace("minis.csv", "lists/minis.csv")
    (folder / "scenarios.csv").write_text(scenarios)
    (folder / "letter.txt").write_text("dear customer")
    (folder / "lists" / "older.csv").write_text("no list of any scenario")
    good(folder, *PRICE, "--out", tmp_path / "out")
    copy = contents(tmp_path / "out" / "study")
    assert copy.keys() == {f"{name}.csv" for name in TABLES if name != "minis"} | {"lists/minis.csv"}
    tco.load(tmp_path / "out" / "study")


def test_write_changes_the_study_and_keeps_the_old_version(folder: Path, tmp_path: Path) -> None:
    before = contents(folder)
    os.chmod(folder / "tariffs.csv", 0o640)
    told = good(folder, *PRICE, "--out", tmp_path / "out", "--write")
    after = contents(folder)
    assert {name for name in before if after[name] != before[name]} == {"tariffs.csv"}
    assert after["tariffs.csv"] == before["tariffs.csv"] + b"household,2028-03,0.55 EUR/kWh,,\n"
    assert (folder / "tariffs.csv").stat().st_mode & 0o777 == 0o640
    assert told.endswith(f"{tmp_path / 'out' / 'reprice.xlsx'} {folder / 'tariffs.csv'}")
    assert contents(tmp_path / "out").keys() == {"reprice.csv", "reprice.xlsx"}
    again = good(folder, *PRICE, "--out", tmp_path / "out", "--write")
    assert again == "nothing to change: 'household' from 2028-03 stands in tariffs.csv:4 already"
    assert contents(folder) == after


def test_what_was_written_into_a_row_is_told(folder: Path, tmp_path: Path) -> None:
    (folder / "tariffs.csv").write_text("tariff,start,price\nhousehold,2026-01,0.31 EUR/kWh\n")
    told = good(folder, *PRICE, "--out", tmp_path / "out", "--write")
    assert (
        "household from 2026-01: its growth now stands in its row (2 %, so far the study's), since a version" in told
    )
    assert (folder / "tariffs.csv").read_text() == (
        "tariff,start,price,growth\nhousehold,2026-01,0.31 EUR/kWh,2 %\nhousehold,2028-03,0.55 EUR/kWh,\n"
    )


def test_twice_gives_the_same_bytes(folder: Path, tmp_path: Path) -> None:
    good(folder, *PRICE, "--out", tmp_path / "out")
    first = contents(tmp_path / "out")
    good(folder, *PRICE, "--out", tmp_path / "out")
    assert contents(tmp_path / "out") == first


STOPS = [
    ("error", 1),
    ("error", 4),
    ("error", 6),
    ("interrupt", 2),
    ("interrupt", 5),
    ("terminate", 3),
    ("terminate", 4),
]


@pytest.mark.parametrize(("how", "number"), STOPS)
def test_a_run_that_is_stopped_between_two_files_leaves_all_as_it_was(
    how: str, number: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Six files are renamed into place: four tables, two results. Stopped at one of them, all are the old ones."""
    folder, given = study(tmp_path / "study"), offers(tmp_path)
    words = [word for path in given for word in ("--tariff", str(path))]
    good(folder, *PRICE[:2], "--from", "2029-01", "--out", tmp_path / "out")
    before, out = contents(folder), contents(tmp_path / "out")
    rename, calls = os.replace, []

    def stop(one: Any, other: Any) -> None:
        calls.append(other)
        if len(calls) != number:
            return rename(one, other)
        if how == "terminate":
            rename(one, other)
            os.kill(os.getpid(), signal.SIGTERM)
            return None
        raise OSError(5, "Input/output error", str(other)) if how == "error" else KeyboardInterrupt

    monkeypatch.setattr(results.os, "replace", stop)
    previous = signal.getsignal(signal.SIGTERM)
    try:
        result = run(folder, *words, "--out", tmp_path / "out", "--write")
    finally:
        signal.signal(signal.SIGTERM, previous)
    assert len(calls) >= number
    assert result.exit_code == (2 if how == "error" else 1), result.output
    assert contents(folder) == before
    assert contents(tmp_path / "out") == out
    assert [path.name for path in folder.iterdir() if path.name.startswith(".")] == []


def test_nothing_is_written_before_all_is_made(folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = contents(folder)
    monkeypatch.setattr("tco.write.reprice.write_workbook", lambda *_: (_ for _ in ()).throw(OSError(28, "No space")))
    assert "No space" in refused(folder, *PRICE, "--out", tmp_path / "out", "--write")
    assert contents(folder) == before
    assert not (tmp_path / "out").exists()


def test_a_study_that_is_changed_meanwhile_is_left_alone(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A person saves the table in an editor while the tool compares."""
    compare = tco.compare

    def slow(*given: Any) -> Any:
        (folder / "tariffs.csv").write_text("mine")
        return compare(*given)

    monkeypatch.setattr(tco, "compare", slow, raising=False)
    told = refused(folder, *PRICE, "--out", tmp_path / "out", "--write")
    assert f"{folder / 'tariffs.csv'}: was changed while tco was at work; nothing was written" in told
    assert (folder / "tariffs.csv").read_text() == "mine"


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_table_that_may_not_be_written_to(folder: Path, tmp_path: Path) -> None:
    os.chmod(folder / "tariffs.csv", 0o400)
    assert "may not be written to; nothing was written" in refused(folder, *PRICE, "--out", tmp_path, "--write")


def test_a_link_inside_the_study_stays_a_link(folder: Path, tmp_path: Path) -> None:
    (folder / "shared").mkdir()
    (folder / "tariffs.csv").rename(folder / "shared" / "tariffs.csv")
    (folder / "tariffs.csv").symlink_to(Path("shared") / "tariffs.csv")
    good(folder, *PRICE, "--out", tmp_path / "out", "--write")
    assert (folder / "tariffs.csv").is_symlink()
    assert "2028-03,0.55 EUR/kWh" in (folder / "shared" / "tariffs.csv").read_text()


def test_the_demo_that_comes_with_tco_is_never_changed(tmp_path: Path) -> None:
    before = contents(tco.demo())
    told = refused("demo", *PRICE, "--out", tmp_path / "out", "--write")
    assert "comes with tco and stays as it is; copy it and change the copy" in told
    assert contents(tco.demo()) == before
    assert "quiet minis" in good("demo", *PRICE, "--out", tmp_path / "out")


def test_changed_results_and_copies_are_left_alone(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    good(folder, *PRICE, "--out", out)
    (out / "study" / "fees.csv").write_text((out / "study" / "fees.csv").read_text() + "\n")
    before = contents(out)
    told = refused(folder, *PRICE, "--out", out)
    assert f"{out / 'study'}: is not as tco wrote it, so it is left alone; nothing was written" in told
    assert contents(out) == before
    good(folder, *PRICE, "--out", out, "--replace")
    assert contents(out) != before
    book = openpyxl.load_workbook(out / "reprice.xlsx")
    book["By month"]["C9"] = 1
    book.save(out / "reprice.xlsx")
    assert "reprice.xlsx: was changed since tco wrote it, so it is left alone" in refused(
        folder, *PRICE, "--out", out
    )
    good(folder, *PRICE, "--out", out, "--replace")
    (out / "reprice.csv").write_text("my notes\n")
    assert "reprice.csv: was not written by tco" in refused(folder, *PRICE, "--out", out)


def test_a_folder_of_somebody_s_own_is_not_taken_for_a_copy(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "out" / "study").mkdir(parents=True)
    (tmp_path / "out" / "study" / "thesis.txt").write_text("years of work")
    assert "is not as tco wrote it" in refused(folder, *PRICE, "--out", tmp_path / "out")
    assert (tmp_path / "out" / "study" / "thesis.txt").read_text() == "years of work"


def test_the_study_is_never_in_the_place_of_its_results(folder: Path, tmp_path: Path) -> None:
    before = contents(tmp_path)
    assert "is the study itself; results need a folder of their own" in refused(folder, *PRICE, "--out", folder)
    told = refused(folder, *PRICE, "--out", tmp_path)  # the copy would be tmp_path / "study"
    assert "the copy would take the place of the study itself; name another folder with --out" in told
    inner = tmp_path / "study" / "deeper"
    shutil.copytree(folder, inner)
    assert "the copy would take the place" in refused(inner, *PRICE, "--out", tmp_path, "--replace")
    shutil.rmtree(inner)
    assert contents(tmp_path) == before
    good(folder, *PRICE, "--out", tmp_path, "--write")


def workbook(folder: Path, path: Path) -> Path:
    """The study in a folder as one workbook."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for table in sorted(folder.glob("*.csv")):
        sheet = book.create_sheet(table.stem)
        for row in pd.read_csv(table, header=None, dtype=str, keep_default_na=False).itertuples(index=False):
            sheet.append([float(cell) if re.fullmatch(r"\d+\.\d+", cell) else cell or None for cell in row])
    book.save(path)
    return path


def test_a_workbook_is_repriced_in_memory_and_says_which_row_to_add(folder: Path, tmp_path: Path) -> None:
    """The figures are those of the folder; nothing is copied, and the row is told with its place."""
    (folder / "tariffs.csv").write_text("tariff,start,price [EUR/kWh],growth\nhousehold,2026-01,0.31,\n")
    book = workbook(folder, tmp_path / "study.xlsx")
    raw = book.read_bytes()
    told = good(book, *PRICE, "--out", tmp_path / "out")
    by_hand = (
        "study.xlsx is a workbook, which tco does not rewrite; change it by hand: study.xlsx/tariffs, row 2: "
        "growth 2 %; study.xlsx/tariffs, a row below row 2: tariff household, start 2028-03, price [EUR/kWh] 0.55"
    )
    assert by_hand in told
    assert contents(tmp_path / "out").keys() == {"reprice.csv", "reprice.xlsx"}
    good(folder, *PRICE, "--out", tmp_path / "other")
    assert contents(tmp_path / "out")["reprice.csv"] == contents(tmp_path / "other")["reprice.csv"]
    assert by_hand in refused(book, *PRICE, "--out", tmp_path / "third", "--write")
    assert book.read_bytes() == raw
    assert not (tmp_path / "third").exists()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ([], "give new rows with --tariff FILE, or one new price with --price and --from"),
        ([*PRICE, "--tariff", "x.csv"], "give new rows with --tariff FILE, or one new price"),
        (["--price", "0.4 EUR/kWh"], "--price, --from and --name go together"),
        (["--tariff", "x.csv", "--from", "2028-03"], "--price, --from and --name go together"),
        (["--tariff", "x.csv"], "x.csv: cannot be read: No such file or directory"),
        (["--price", "cheap", "--from", "2028-03"], "--price: 'cheap' is not a number"),
    ],
)
def test_what_is_asked_wrongly(words: list[str], told: str, folder: Path, tmp_path: Path) -> None:
    result = run(folder, *words, "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert told in result.stderr
    assert "Traceback" not in result.stderr
    assert not (tmp_path / "out").exists()


def test_the_tables_fit_the_screen_with_long_names_and_large_sums(tmp_path: Path) -> None:
    name = "an uncommonly long name for four quiet minis"
    folder = write_study(
        tmp_path / "study",
        scenarios=("minis,three small computers", f"{name},three small computers"),
        nodes=("minis,mini", f"{name},mini"),
        fees="scenario,fee,amount\nrented,space,1234567 EUR/month\n",
    )
    lines = run(folder, *PRICE, "--out", tmp_path / "out").output.split("\nwritten:")[0].splitlines()
    assert max(map(len, lines)) <= 80
    assert any(line.startswith("1,000 EUR") for line in lines)
    assert name in lines


def test_names_that_look_like_formulas_are_defused(tmp_path: Path) -> None:
    folder = write_study(
        tmp_path / "study",
        scenarios=("minis,three small computers", "=1+1,three small computers"),
        nodes=("minis,mini", "=1+1,mini"),
    )
    good(folder, *PRICE, "--out", tmp_path / "out")
    frame = pd.read_csv(tmp_path / "out" / "reprice.csv")
    assert "'=1+1" in set(frame.scenario)
    assert not frame.scenario.str.startswith("=").any()
    book = openpyxl.load_workbook(tmp_path / "out" / "reprice.xlsx")
    named = [cell for row in book["Before and after"].iter_rows() for cell in row if cell.value == "=1+1"]
    assert named
    assert {cell.data_type for cell in named} == {"s"}


@needs_libreoffice
def test_a_spreadsheet_program_comes_to_the_same_cells(tmp_path: Path) -> None:
    """Every stored result of a formula, numbers and sentences; then two changes that the differences follow."""
    good("demo", *PRICE, "--out", tmp_path / "out")
    path = tmp_path / "out" / "reprice.xlsx"
    stored, again = cells(path), recalculated(path, tmp_path / "work")
    assert set(stored) == set(again) == {"Before and after", "By month"}
    formulas = 0
    book = openpyxl.load_workbook(path)
    for sheet in book.worksheets:
        for cell in (cell for row in sheet.iter_rows() for cell in row if cell.data_type == "f"):
            formulas += 1
            mine, theirs = stored[sheet.title][cell.coordinate], again[sheet.title][cell.coordinate]
            wanted = mine if isinstance(mine, str) else pytest.approx(mine, rel=1e-9, abs=1e-9)
            assert theirs == wanted, f"{sheet.title}!{cell.coordinate}: {cell.value}"
    months = 60
    assert formulas >= 4 * months + 4 * 7
    front = book["Before and after"]
    row = next(row for row in range(1, 60) if front.cell(row, 1).value == "quiet minis")
    front.cell(row, 9).value = 9000
    column = next(c for c in range(3, 30) if str(book["By month"].cell(4, c).value).startswith("quiet minis: elec"))
    book["By month"].cell(6 + months, column + 1).value = 1000
    book.save(tmp_path / "changed.xlsx")
    (tmp_path / "second").mkdir()
    convert([tmp_path / "changed.xlsx"], tmp_path / "second", tmp_path / "profile")
    changed = cells(tmp_path / "second" / "changed.xlsx")
    old = stored["Before and after"]
    new = changed["Before and after"]
    assert new[f"J{row}"] == pytest.approx(9000 - old[f"H{row}"])
    extra = 1000 - stored["By month"][book["By month"].cell(6 + months, column + 1).coordinate]
    assert new[f"G{row}"] == pytest.approx(old[f"G{row}"] + extra)
    assert new[f"D{row}"] == pytest.approx(old[f"D{row}"] + extra / 45)


@needs_libreoffice
def test_an_unchanged_workbook_saved_by_a_spreadsheet_program_is_overwritten(folder: Path, tmp_path: Path) -> None:
    good(folder, *PRICE, "--out", tmp_path / "out")
    convert([tmp_path / "out" / "reprice.xlsx"], tmp_path / "saved", tmp_path / "profile")
    os.replace(tmp_path / "saved" / "reprice.xlsx", tmp_path / "out" / "reprice.xlsx")
    good(folder, *PRICE, "--out", tmp_path / "out")
