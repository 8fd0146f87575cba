"""What `tco spend` prints and writes: text that fits, CSV that reads back, a workbook that recalculates."""

from __future__ import annotations

import json
import shutil
import zipfile
from pathlib import Path

import openpyxl
import pandas as pd
import pytest
from click.testing import CliRunner, Result

import tco
from tco.ask.spend import Spending
from tco.cli import main
from tco.write.chance_words import PRINTED, TYPED
from tco.write.spend import write_workbook
from tco.write.spend_csv import HEADER, spend_csv
from tco.write.spend_sheet import NAME
from tco.write.spend_text import spent_text
from tco.write.spend_words import answers, notes
from tco.write.workbook import first_names
from tests.ask.test_spend import drives
from tests.printing import pages_of, print_all
from tests.recalculate import cells, is_error, needs_libreoffice, recalculated

WIDTHS = ("40", "60", "80", "120")


@pytest.fixture(scope="module")
def minis() -> Spending:
    return tco.spend(tco.load(tco.demo()), scenario="quiet minis", budget=800.0)


@pytest.fixture(scope="module")
def servers() -> Spending:
    return tco.spend(tco.load(tco.demo()))


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, ["spend", *(str(word) for word in words)])


def test_the_answer_says_what_to_buy_what_it_costs_and_what_it_changes(minis: Spending) -> None:
    to_buy, beside, proof = answers(minis, TYPED)
    assert to_buy == (
        "Of 800 EUR for quiet minis, buy larger drives (720 EUR): "
        "room within the fill limit goes from 17.1 to 25.6 TB."
    )
    assert beside.startswith("Besides, life-cycle cost over 5 years goes from 4,967 to 5,640 EUR")
    assert proof.startswith(
        "All 84 sets that respect what purchases need and exclude were looked at; 14 can be bought"
    )


def test_without_a_budget_the_first_is_the_best_for_its_money(servers: Spending) -> None:
    first, following = answers(servers, PRINTED)
    assert first.startswith(
        "For old servers, three more drives, no. 1, 123 EUR, gives most for its money: 0.813 needs"
    )
    assert following.startswith("Next: slow fans, 0.794 needs fewer")
    names = [ground.scenario.scenario for ground in servers.comparison.built.grounds]
    assert names == ["old servers", "old servers + three more drives, no. 1"]


@pytest.mark.parametrize("columns", WIDTHS)
def test_text_fits_and_says_all(
    columns: str, minis: Spending, servers: Spending, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    for found in (minis, servers):
        lines = spent_text(found, []).splitlines()
        assert max(map(len, lines)) <= int(columns)
        told = " ".join(" ".join(lines).split())
        for sentence in (*answers(found, TYPED), *notes(found)):
            assert sentence in told
        for one in found.singles:
            assert one.name in told
            assert all(reason in told for reason in one.why_not)


def test_csv_reads_back(minis: Spending, tmp_path: Path) -> None:
    path = tmp_path / "spend.csv"
    path.write_text(spend_csv(minis), encoding="utf-8")
    table = pd.read_csv(path)
    assert tuple(table.columns) == HEADER
    assert set(table.what) == {"purchase", "set"}
    own = table[(table.what == "purchase") & (table.bought == "larger drives")].set_index("figure")
    assert float(own.after["price"]) == pytest.approx(720.0)
    room = own.loc["recommended"]
    assert float(room.change) == pytest.approx(float(room.after) - float(room.before))
    assert float(room.per_100) == pytest.approx(100 * float(room.change) / 720)
    best = table[table.what == "set"].set_index("figure")
    assert best.bought.unique().tolist() == ["larger drives"]
    assert best.after["verdict"] == "no set is better"
    assert float(best.after["budget"]) == 800.0
    second = table[(table.bought == "one more node, no. 2") & (table.figure == "verdict")]
    assert second.after.item() == "not recommended: does not fit: shared: outlet: 7 needed, 6 there"
    assert second.along.item() == "one more node, no. 1"
    order = table[table.what == "purchase"].bought.drop_duplicates().tolist()
    assert order == [one.name for one in minis.singles]


def test_the_front_sheet_has_the_answer_and_every_figure(minis: Spending, tmp_path: Path) -> None:
    write_workbook(minis, tmp_path / "spend.xlsx")
    book = openpyxl.load_workbook(tmp_path / "spend.xlsx")
    assert book.sheetnames[:2] == [NAME, "Summary"]
    assert book.active is not None
    assert book.active.title == NAME
    sheet = book[NAME]
    assert sheet.page_setup.orientation == "landscape"
    texts = [cell.value for row in sheet.iter_rows() for cell in row if isinstance(cell.value, str)]
    for sentence in (*answers(minis, PRINTED), *(f"· {note}" for note in notes(minis))):
        assert sentence in texts
    rows = {row[0].value: [cell.value for cell in row] for row in sheet.iter_rows() if row[0].value}
    now, larger = rows["quiet minis, as it is"], rows["larger drives"]
    figures = [figure for figure in minis.singles[0].figures if not figure.name.startswith("needs_s")]
    assert now[3 : 3 + len(figures)] == [
        pytest.approx(figure.before) if isinstance(figure.before, float) else figure.before for figure in figures
    ]
    assert larger[1:4] == [pytest.approx(720.0), pytest.approx(100 * 8.5333333333 / 720), pytest.approx(25.6)]
    assert rows["one more node, no. 2 (with no. 1)"][-1] is None or "does not fit" in str(rows)
    with zipfile.ZipFile(tmp_path / "spend.xlsx") as parts:
        chart = parts.read("xl/charts/chart1.xml").decode()
    assert "'What to buy'!" in chart


def test_the_same_answer_gives_the_same_bytes(minis: Spending, tmp_path: Path) -> None:
    for name in ("one.xlsx", "two.xlsx"):
        write_workbook(minis, tmp_path / name)
    assert (tmp_path / "one.xlsx").read_bytes() == (tmp_path / "two.xlsx").read_bytes()


def test_a_scenario_s_sheet_does_not_take_the_front_sheet_s_name() -> None:
    assert first_names([NAME], ["what to buy", "other"]) == ["What to buy 2"]
    assert first_names([NAME], ["other"]) == [NAME]


def test_nothing_to_buy_is_a_workbook_of_the_scenario_alone(tmp_path: Path) -> None:
    study = drives(tmp_path / "study", [(2.0, 10.0)])
    found = tco.spend(study, goal="watts", budget=100.0)
    assert found.best is not None
    assert found.best.names == ()
    assert "buy nothing: no set within it" in answers(found, TYPED)[0]
    write_workbook(found, tmp_path / "spend.xlsx")
    assert NAME in openpyxl.load_workbook(tmp_path / "spend.xlsx").sheetnames
    alone = tco.spend(study, goal="watts")
    assert answers(alone, TYPED) == ["Nothing that may be bought for minis improves this: average power in month 1."]


@needs_libreoffice
def test_the_workbook_recalculates_and_prints_on_one_front_page(minis: Spending, tmp_path: Path) -> None:
    path = tmp_path / "spend.xlsx"
    write_workbook(minis, path)
    found = recalculated(path, tmp_path / "work")
    wrong = []
    for sheet, stored in cells(path).items():
        for cell, value in stored.items():
            other = found[sheet].get(cell)
            same = other == value
            if isinstance(value, int | float) and isinstance(other, int | float):
                same = abs(other - value) <= 1e-9 * max(abs(value), 1e-3)
            if not same or is_error(other):
                wrong.append((sheet, cell, value, other))
    assert not wrong, wrong[:10]
    print_all([path], tmp_path)
    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext")
    first = " ".join(pages_of(tmp_path / "spend.pdf")[0].split())
    for sentence in answers(minis, PRINTED):
        assert sentence in first
    assert "page 1 of" in first
    assert "never recommended" in first  # the last note
    assert "###" not in first


def test_json_says_the_same(tmp_path: Path) -> None:
    drives(tmp_path / "study", [(2.0, 10.0), (5.0, 30.0)])
    result = run(tmp_path / "study", "--budget", "35 EUR", "--format", "json")
    assert result.exit_code == 0, result.output
    found = json.loads(result.stdout)
    assert found["command"] == "spend"
    assert found["table"]["name"] == "spend.csv"
    assert found["answer"][0].startswith("Of 35 EUR for minis, buy buy 1 (30 EUR): room within the fill limit goes")
    rows = [row for row in found["table"]["rows"] if row["what"] == "set" and row["figure"] == "recommended"]
    assert [row["after"] for row in rows] == [pytest.approx(6.0)]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--budget", "800"), "'800' has no unit: write for example '800 EUR'"),
        (("--budget", "-5 EUR"), "-5 EUR is below 0 EUR, which is the least"),
        (("--budget", "50 CHF"), "there is no rate for CHF; add one to exchange.csv"),
        (("--budget", "lots"), "'lots' is not a number"),
        (("--budget", "4 TB"), "'TB' is data; wanted is money"),
        (("--budget", "800 EUR real"), "leave 'real' out"),
        (("--for", "rom"), "did you mean 'room'?"),
        (("--scenario", "mini"), "did you mean 'minis'?"),
    ],
)
def test_what_cannot_be_asked_is_refused_and_nothing_is_written(
    words: tuple[str, str], said: str, tmp_path: Path
) -> None:
    drives(tmp_path / "study", [(2.0, 10.0)])
    result = run(tmp_path / "study", *words, "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert said in result.stderr
    assert not (tmp_path / "out").exists()


def test_a_budget_in_other_money_goes_by_the_study_s_rate(tmp_path: Path) -> None:
    exchange = "currency,rate,day\nUSD,0.50,2026-11-20\n"
    drives(tmp_path / "study", [(2.0, 10.0), (5.0, 30.0)], exchange=exchange)
    result = run(tmp_path / "study", "--budget", "60 USD", "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output
    assert "Of 30 EUR for minis, buy buy 1 (30 EUR)" in result.stdout
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["spend.csv", "spend.xlsx"]
