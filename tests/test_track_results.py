"""`tco track`: what it prints and writes; its workbook recalculated, its CSV read back."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import openpyxl
import pandas as pd
import pytest
from click.testing import CliRunner, Result

import tco
from tco.ask.from_today import ways
from tco.ask.simulate import simulate
from tco.ask.track import Tracked, by_line, energy
from tco.cli import main
from tco.model import LINES
from tco.places import data_folder
from tco.write import track, track_sheet
from tco.write.chance_words import PRINTED
from tco.write.track_words import answers, notes
from tests import asked
from tests.printing import pages_of, print_all
from tests.recalculate import cells, needs_libreoffice, recalculated

TODAY = date(2100, 1, 1)


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, ["track", *map(str, words)])


@pytest.fixture(scope="module")
def found() -> Tracked:
    return tco.track(tco.load(data_folder() / "kept"), today=TODAY)


@pytest.fixture(scope="module")
def book(found: Tracked, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("track") / "track.xlsx"
    track.write_workbook(found, ways(found), path)
    return path


def test_it_tells_the_answer_first_and_where_the_files_are(tmp_path: Path) -> None:
    result = run("kept", "--out", tmp_path)
    assert result.exit_code == 0, result.output
    told = result.output.split("\n\n")
    assert told[0] == "Did the cluster under the stairs cost what we thought?"
    first = "three boxes has cost 2,213 EUR in 21 months, to 2026-09: 331 EUR more than planned."
    assert " ".join(told[1].split()).startswith(first)
    assert "larger drives" in told[1]
    assert told[-1].split() == ["written:", str(tmp_path / "track.xlsx"), str(tmp_path / "track.csv")]
    assert max(map(len, result.output.splitlines()[:-2])) <= 80


def test_the_csv_holds_what_was_found_to_the_bit(found: Tracked, tmp_path: Path) -> None:
    track.write_tracked(found, every := ways(found), tmp_path)
    frame = pd.read_csv(tmp_path / "track.csv", keep_default_na=False)
    assert set(frame["scenario"]) == {"three boxes"}
    whole = frame[frame["month"] == ""].set_index(["figure", "item"])
    for one in [*by_line(found), energy(found)]:
        for figure, planned, went in zip(("so_far", "to_come"), one.planned, one.went, strict=True):
            row = whole.loc[(figure, one.name)]
            assert (float(row["planned"]), float(row["actual"])) == (planned, went)
            assert float(row["difference"]) == went - planned
    costs = whole.loc["from_today"]["actual"]
    assert [float(costs.iloc[number]) for number in range(len(every))] == [way.cost for way in every]
    months = frame[(frame["figure"] == "month") & (frame["item"] == "total")]
    assert list(months["month"].astype(int)) == list(range(73))
    total = by_line(found)[-1]
    assert months["actual"].astype(float).sum() == pytest.approx(total.whole[1], rel=1e-12)
    stock = whole.loc["stock"]
    assert stock.loc["hard drive 8 TB"][["planned", "actual"]].astype(float).tolist() == [3.0, 3.0]


def test_the_lines_add_up(found: Tracked) -> None:
    *lines, total = by_line(found)
    for side in ("planned", "went"):
        for number in (0, 1):
            assert sum(getattr(one, side)[number] for one in lines) == pytest.approx(
                getattr(total, side)[number], abs=1e-9
            )
    some = ["purchase", "one_off", "electricity", "replacement", "fees", "resale", "disposal"]
    assert [one.name for one in lines] == [line.name for line in LINES if line.name in some]
    assert len(lines) == len(some)


@needs_libreoffice
def test_recalculated_every_cell_is_what_is_stored(book: Path, tmp_path: Path) -> None:
    again, stored = recalculated(book, tmp_path), cells(book)
    assert list(stored) == list(again)
    assert next(iter(stored)) == track_sheet.NAME
    for sheet, own in stored.items():
        for place, value in own.items():
            other = again[sheet].get(place)
            if isinstance(value, float | int) and not isinstance(value, bool):
                assert other == pytest.approx(value, rel=1e-9, abs=5e-6), (sheet, place)
            else:
                assert other == value, (sheet, place)


def test_the_first_sheet_has_the_sentences_and_the_tables(found: Tracked, book: Path) -> None:
    sheet = openpyxl.load_workbook(book, data_only=True)[track_sheet.NAME]
    texts = [cell.value for row in sheet.iter_rows(max_col=1) for cell in row if cell.value]
    for sentence in answers(found, ways(found), PRINTED):
        assert sentence in texts
    for note in notes(found, ways(found)):
        assert f"· {note}" in texts
    rows = {row[0].value: [cell.value for cell in row[1:10]] for row in sheet.iter_rows(max_col=10) if row[0].value}
    for one in by_line(found):
        planned, went, less = rows[one.label][0], rows[one.label][1], rows[one.label][2]
        assert (planned, went) == pytest.approx((one.planned[0], one.went[0]), abs=1e-9)
        assert less == pytest.approx(one.differences[0], abs=1e-9)
        assert rows[one.label][6:9] == pytest.approx([*one.whole, one.differences[2]], abs=1e-9)


@needs_libreoffice
@pytest.mark.parametrize("paper", [9, 1], ids=["A4", "Letter"])
def test_the_first_sheet_is_one_page(found: Tracked, paper: int, tmp_path: Path) -> None:
    track.write_workbook(found, ways(found), tmp_path / "track.xlsx", paper=paper)
    print_all([tmp_path / "track.xlsx"], tmp_path)
    pages = pages_of(tmp_path / "track.pdf")
    assert "Way to go on" in pages[0]
    assert "Replacing sells what is there" in pages[0]
    assert "###" not in "".join(pages)
    assert track_sheet.NAME not in pages[1]


def test_the_same_ledger_gives_the_same_bytes(found: Tracked, tmp_path: Path) -> None:
    for name in ("one", "other"):
        track.write_tracked(found, ways(found), tmp_path / name)
    for file in ("track.xlsx", "track.csv"):
        assert (tmp_path / "one" / file).read_bytes() == (tmp_path / "other" / file).read_bytes()


def test_nothing_is_written_where_the_ledger_is_refused(tmp_path: Path) -> None:
    folder = asked.study(tmp_path / "study")
    with (folder / "ledger.csv").open("a") as file:
        file.write("minis,2026-11-04,sold,switch,2,5,\n")
    result = run(folder, "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert result.stdout == ""
    assert "ledger.csv:6:5: quantity: 2 'switch' sold, and 1 were there: 1 bought" in result.stderr
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("until", "told"),
    [("2026", "'2026' is not a month"), ("2099-01", "until 2099-01: is in the future")],
)
def test_a_last_month_that_is_none(until: str, told: str, tmp_path: Path) -> None:
    result = run(asked.study(tmp_path / "study"), "--until", until, "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert told in " ".join(result.stderr.split())
    assert not (tmp_path / "out").exists()


def test_draws_of_what_is_known_have_the_mean_of_what_is_expected(found: Tracked) -> None:
    """The same model drawn: units known to live do not fail before, those that came later do."""
    drawn = simulate(found.comparison, draws=4000, seed=5)
    for ground in (found.plan, found.went):
        own = next(one for one in drawn.outcomes if one.scenario == ground.scenario.scenario)
        lcc = found.comparison.measure(ground, "lcc")
        assert abs(own.lcc.mean - lcc) < 4 * own.lcc.error


def test_what_was_planned_and_never_bought_is_told_at_once(tmp_path: Path) -> None:
    folder = asked.study(tmp_path / "study")
    text = (folder / "ledger.csv").read_text(encoding="utf-8")
    text = text.replace("drive 8 TB,3,290", "drive 8 TB,1,97").replace("minis,2026-11-02,bought,switch,1,45,\n", "")
    (folder / "ledger.csv").write_text(text, encoding="utf-8")
    told = " ".join(run(folder, "--out", tmp_path / "out").stdout.split())
    assert "not in the ledger as bought: 2 of drive 8 TB; 1 of switch. If they are there, write them down." in told
    assert "drive 8 TB: 3 planned by now, 1 there." in told
    whole = " ".join(run(asked.study(tmp_path / "whole"), "--out", tmp_path / "out").stdout.split())
    assert "not in the ledger as bought" not in whole
