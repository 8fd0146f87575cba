"""What `tco grow` leaves behind and prints: CSV read back, a workbook recalculated and on paper, text, refusals."""

from __future__ import annotations

import dataclasses
import io
import os
import re
import shutil
from functools import cache
from pathlib import Path
from typing import Any

import openpyxl
import pandas as pd
import pytest
import wcwidth
from click.testing import CliRunner, Result

import tco
from tco.ask.grow import GROW, ONCE, Growth, grow
from tco.ask.grow_figures import (
    above,
    cash,
    cash_by_year,
    data,
    grown,
    left_over,
    measure,
    month_name,
    paid,
    paid_rows,
    room,
    saving,
)
from tco.cli import main
from tco.errors import ResultError
from tco.write.book import A4, LETTER
from tco.write.chance_words import PRINTED, TYPED
from tco.write.grow import write_grown, write_workbook
from tco.write.grow_csv import grow_csv
from tco.write.grow_sheet import NAME
from tco.write.grow_text import grown_text
from tco.write.grow_words import answers, notes, of_plan
from tco.write.layout import layout
from tests.ask.grow_studies import boxes, growing, purchases, settings, write
from tests.printing import about_pdf, pages_of, print_all
from tests.recalculate import Cells, cells, needs_libreoffice, recalculated_many

WRITTEN = 1e-15  # numbers stand in a workbook with sixteen digits
STUDY = tco.demo().parent / "growing"
PAPER = {A4: "A4", LETTER: "letter"}


@cache
def found() -> Growth:
    """The study of growth that comes with the tool."""
    return grow(growing(), rent=4.2)


@cache
def three() -> Growth:
    """The demo with data that grow faster: three scenarios, and one that is rented."""
    study = dataclasses.replace(tco.load(tco.demo()), ranges=())
    return grow(dataclasses.replace(study, settings=dataclasses.replace(study.settings, data_growth=0.3)), ahead=1)


def none(folder: Path) -> Growth:
    """A study whose room lasts."""
    return grow(write(folder, study=settings("5 TB", "0", "130 months")))


def run(*words: object, **env: str) -> Result:
    return CliRunner().invoke(main, ["grow", *map(str, words)], env=env)


# CSV


@pytest.fixture(scope="module")
def frame(tmp_path_factory: pytest.TempPathFactory) -> pd.DataFrame:
    folder = tmp_path_factory.mktemp("csv")
    assert [path.name for path in write_grown(found(), folder)] == ["grow.xlsx", "grow.csv"]
    return pd.read_csv(folder / "grow.csv", keep_default_na=False)


def values(frame: pd.DataFrame, scenario: str, figure: str) -> list[float]:
    own = frame[(frame.scenario == scenario) & (frame.figure == figure)]
    return [float(value) for value in own.value]


def test_csv_has_each_purchase(frame: pd.DataFrame) -> None:
    own, name = found(), "three boxes, as data grow"
    steps = own.plans[0].steps
    rows = frame[(frame.scenario == name) & (frame.figure == "paid")]
    assert list(rows.purchase) == ["second drives", "larger switch", "one more box, no. 1"]
    assert [float(month) for month in rows.month] == [step.bought.month for step in steps]
    assert values(frame, name, "paid") == [paid(own, 0, step) for step in steps]
    assert values(frame, name, "due") == [step.due for step in steps]
    assert values(frame, name, "room_after") == [step.room_after for step in steps]
    (passed,) = frame[frame.figure == "passed_over"].itertuples()
    assert (passed.purchase, passed.value) == ("one more box, no. 1", "does not fit: shared: port: 6 needed, 5 there")


def test_csv_has_what_each_way_comes_to(frame: pd.DataFrame) -> None:
    own = found()
    for way in own.ways:
        assert values(frame, way.name, "lcc") == [measure(own, way, "lcc")]
        assert values(frame, way.name, "cash") == cash(own, way).tolist()
        assert values(frame, way.name, "data_held") == data(own).tolist()
        assert values(frame, way.name, "cash_so_far")[-1] == pytest.approx(cash(own, way).sum())
        roomy = room(own, way)
        assert values(frame, way.name, "room") == ([] if roomy is None else roomy.tolist())
    unknown = frame[(frame.scenario == "rented by the TB") & (frame.figure == "months_above")]
    assert list(unknown.value) == ["unknown: not stated"]


def test_costs_by_line_add_up_in_the_csv(frame: pd.DataFrame) -> None:
    own = found()
    for way in own.ways[1:]:
        lines = frame[(frame.scenario == way.name) & frame.figure.str.startswith("costs_more_")]
        total = values(frame, way.name, "costs_more")[0]
        assert sum(map(float, lines.value)) == pytest.approx(total)
        assert total == pytest.approx(measure(own, way, "lcc") - measure(own, own.ways[0], "lcc"))


def test_csv_tells_when_data_outgrow_all() -> None:
    own = three()
    frame = pd.read_csv(io.StringIO(grow_csv(own)), keep_default_na=False)
    first = frame[frame.figure == "outgrown_from"].set_index("scenario").value
    for plan in own.plans:
        assert first[f"{plan.scenario.scenario}, as data grow"] == f"{plan.outgrown}"


# the workbook


def texts(path: Path, sheet: str) -> list[str]:
    return [cell.value for row in openpyxl.load_workbook(path)[sheet].iter_rows() for cell in row
            if isinstance(cell.value, str)]  # fmt: skip


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Workbooks of one scenario, of three, and of one that buys nothing over eleven years; on both papers."""
    folder = tmp_path_factory.mktemp("books")
    for name, own, paper in (("one", found(), A4), ("three", three(), LETTER), ("none", none(folder / "study"), A4)):
        write_workbook(own, folder / f"{name}.xlsx", paper=paper)
    return {name: folder / f"{name}.xlsx" for name in ("one", "three", "none")}


def test_the_first_sheet_has_the_answer_and_the_schedule(books: dict[str, Path]) -> None:
    own = found()
    book = openpyxl.load_workbook(books["one"])
    assert book.sheetnames[:2] == [NAME, "Summary"]
    assert book.active.title == NAME
    told = texts(books["one"], NAME)
    assert told[0] == own.original.settings.question
    for sentence in (*answers(own, PRINTED), *(f"· {note}" for note in notes(own, PRINTED))):
        assert sentence in told
    stored = openpyxl.load_workbook(books["one"], data_only=True)[NAME]
    rows = {row[0]: row[1:10] for row in stored.iter_rows(max_col=10, values_only=True) if isinstance(row[0], str)}
    held = data(own)
    for step, name in zip(own.plans[0].steps, ("second drives", "larger switch", "one more box, no. 1"), strict=True):
        full = [held[step.of_use] / one for one in (step.room_before, step.room_after)]
        wanted = [
            step.bought.month,
            paid(own, 0, step),
            step.of_use,
            held[step.of_use],
            step.room_before,
            step.room_after,
        ]
        month, calendar, *rest = rows[name]
        assert calendar == month_name(own, step.bought.month)
        assert [month, *rest] == pytest.approx([*wanted, *full], rel=WRITTEN)


def test_the_first_sheet_has_what_each_way_comes_to(books: dict[str, Path]) -> None:
    own = found()
    stored = openpyxl.load_workbook(books["one"], data_only=True)[NAME]
    rows = [row[:9] for row in stored.iter_rows(max_col=12, values_only=True)]
    for way in own.ways:
        totals, years = (row[1:] for row in rows if row[0] == way.name)
        names = ("paid_at_start", "equivalent_month", "lcc", "undiscounted", "total_resale")
        assert totals[:5] == pytest.approx([measure(own, way, name) for name in names], rel=WRITTEN)
        over = above(own, way)
        wanted = ("–", "–", "–") if over is None else (over.months, over.most, left_over(own, way))
        assert totals[5:] == (wanted if over is None else pytest.approx(wanted, rel=1e-12))
        assert years[:6] == pytest.approx(cash_by_year(own, way).tolist(), rel=1e-12)


def test_several_scenarios_have_a_sheet_each(books: dict[str, Path]) -> None:
    names = openpyxl.load_workbook(books["three"]).sheetnames
    assert names[:4] == [NAME, f"{NAME} 2", f"{NAME} 3", "Summary"]
    for plan, name in enumerate(names[:3]):
        told = texts(books["three"], name)
        for sentence in of_plan(three(), plan, PRINTED):
            assert sentence in told


def test_a_scenario_of_the_sheet_s_name_has_its_own(tmp_path: Path) -> None:
    study = growing()
    renamed = dataclasses.replace(study.scenarios[1], scenario="as data grow")
    write_workbook(grow(dataclasses.replace(study, scenarios=(study.scenarios[0], renamed))), tmp_path / "b.xlsx")
    names = openpyxl.load_workbook(tmp_path / "b.xlsx").sheetnames
    assert names[0] == f"{NAME} 2"
    assert "as data grow" in names


@pytest.fixture(scope="module")
def recalculated(books: dict[str, Path], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Cells]:
    names = ("one", "none")
    again = recalculated_many([books[name] for name in names], tmp_path_factory.mktemp("recalculated"))
    return dict(zip(names, again, strict=True))


@needs_libreoffice
@pytest.mark.parametrize("name", ["one", "none"])
def test_every_cell_is_recalculated_alike(name: str, books: dict[str, Path], recalculated: dict[str, Cells]) -> None:
    wrong, checked = [], 0
    for sheet, stored in cells(books[name]).items():
        for cell, value in stored.items():
            again = recalculated[name][sheet].get(cell)
            is_number = isinstance(value, int | float)
            same = is_alike(again, value) if is_number else again == value or value == ""
            checked += is_number
            wrong += [] if same else [(sheet, cell, again, value)]
    assert wrong == []
    assert checked > 3000


def is_alike(again: Any, value: float) -> bool:
    return isinstance(again, int | float) and again == pytest.approx(value, rel=1e-9, abs=1e-9)


@needs_libreoffice
def test_a_price_changed_in_the_workbook_reaches_the_first_sheet(books: dict[str, Path], tmp_path: Path) -> None:
    """A drive's price in the sheet of the way as data grow, twice as high: what is paid for second drives follows."""
    own = found()
    step, ground = own.plans[0].steps[0], grown(own, 0).ground
    (row,) = paid_rows(ground, step)
    sheet, cell = layout(own.comparison.built).cell(ground.part("price"), row)
    book = openpyxl.load_workbook(books["one"])
    assert book[sheet][cell].value == 199
    book[sheet][cell] = 398
    book.save(tmp_path / "edited.xlsx")
    (again,) = recalculated_many([tmp_path / "edited.xlsx"], tmp_path / "work")
    places = {value: cell for cell, value in reversed(again[NAME].items()) if cell.startswith("A")}
    more = 3 * 199 * 0.88 ** (step.bought.month / 12)
    assert again[NAME][places["second drives"].replace("A", "D")] == pytest.approx(paid(own, 0, step) + more)
    way = grown(own, 0)
    assert again[NAME][places[way.name].replace("A", "E")] > measure(own, way, "undiscounted")


@needs_libreoffice
@pytest.mark.parametrize(("name", "fronts"), [("one", 1), ("three", 3), ("none", 1)])
def test_each_first_sheet_is_one_printed_page(name: str, fronts: int, books: dict[str, Path], tmp_path: Path) -> None:
    if not shutil.which("pdftotext"):
        pytest.skip("no pdftotext")
    print_all([books[name]], tmp_path)
    pages = pages_of(tmp_path / f"{name}.pdf")
    own = {"one": found, "three": three}.get(name, lambda: none(tmp_path / "study"))()
    for plan in range(fronts):
        told = " ".join(pages[plan].split())
        assert own.original.settings.question in told
        for sentence in of_plan(own, plan, PRINTED):
            assert sentence in told
        for heading in ("What each way comes to", "What is paid in each year"):
            assert heading in told
        assert "###" not in told
    assert "Before you decide" in pages[fronts]  # the comparison's own summary
    paper = PAPER[LETTER if name == "three" else A4]
    assert paper in about_pdf(tmp_path / f"{name}.pdf")


# text


@pytest.mark.parametrize("columns", [40, 53, 80, 120])
@pytest.mark.parametrize("which", [found, three])
def test_text_fits_any_width(columns: int, which: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    own = which()
    text = grown_text(own, [])
    assert max(map(wcwidth.wcswidth, text.splitlines())) <= columns
    plain = " ".join(text.split())
    for sentence in answers(own, TYPED):
        assert sentence in plain


def test_the_answer_comes_first_and_says_how_much() -> None:
    own = found()
    once = own.way(0, ONCE)
    assert once is not None
    lines = grown_text(own, [Path("out/grow.csv")]).splitlines()
    assert lines[0] == "All drives now, or as our films pile up?"
    saved = saving(own, grown(own, 0), once)
    told = " ".join(" ".join(lines).split())
    assert f"buying as the data grow costs {saved.lcc:,.2f} EUR less than all on day one, {saved.month:,.2f}" in told
    assert (
        "Bought for 1,079.78 EUR in all: second drives in 2028-10, larger switch in 2031-06 and one more box" in told
    )
    assert "The data are above the room in 2 months, by 0.34 TB at worst; with all on day one in no month." in told
    assert (
        "one more box, no. 1 was passed over in 2031-06: does not fit: shared: port: 6 needed, 5 there; it came"
        in told
    )
    assert (
        "In such months three boxes, as data grow misses the need to hold the data, so the summary does not" in told
    )
    assert lines[-1] == "  out/grow.csv"


def test_what_is_there_in_time_misses_no_need_and_is_the_cheapest_of_the_summary() -> None:
    own = grow(growing(), ahead=1)
    assert own.comparison.meets(own.ways[0].ground)
    assert own.comparison.ranked()[0] is own.ways[0].ground
    assert not [note for note in notes(own, TYPED) if "misses" in note]


def test_where_nothing_has_to_be_bought_the_answer_says_so(tmp_path: Path) -> None:
    own = none(tmp_path)
    told = " ".join(answers(own, TYPED))
    assert "boxes: nothing has to be bought; the room lasts to the end, 9.6 TB for 5.0 TB of data." in told
    assert "all on day one" not in told
    assert "what is bought when" not in grown_text(own, []).lower()


def test_where_nothing_would_come_in_time_the_answer_says_so(tmp_path: Path) -> None:
    """The data are above the room in the last month only: what is bought then would be of use after the end."""
    told = answers(grow(write(tmp_path, study=settings(horizon="17 months"))), TYPED)
    assert told[:2] == [
        "boxes: nothing is bought, for it would come too late to help.",
        "The data are above the room in 1 month, by less than 0.01 TB at worst.",
    ]


def test_where_data_outgrow_all_the_answer_says_since_when_and_by_how_much() -> None:
    own = three()
    told = " ".join(" ".join(of_plan(own, plan, TYPED)) for plan in range(3))
    for plan in own.plans:
        assert plan.outgrown is not None
        lacks = (data(own) - room(own, grown(own, own.plans.index(plan))))[plan.outgrown :].max()  # type: ignore[operator]
        since = (
            f"From {month_name(own, plan.outgrown)} (month {plan.outgrown}) on the data of {plan.scenario.scenario}"
        )
        assert f"{since} outgrow all that may be bought, by {lacks:.1f} TB at worst." in told


def test_room_that_comes_back_is_outgrown_for_a_while(tmp_path: Path) -> None:
    """Bays that are taken until month 30: too little room from 17 to 30, when 7 TB have become 12.2 for 9.6."""
    rows = boxes("loaned drive,box,3,0,,,,30,5,,,,,,,1 bay")
    own = grow(write(tmp_path, boxes=rows, purchases=purchases("boxes,second drives,drive,3,,,,,,,,1,")))
    told = " ".join(answers(own, TYPED))
    assert (
        "From 2028-04 (month 17) on the data of boxes for a while outgrow all that may be bought, by 2.6 TB" in told
    )
    assert "The data are above the room in 14 months, by 2.63 TB at worst" in told


def test_growing_that_costs_more_says_why(tmp_path: Path) -> None:
    own = grow(write(tmp_path, boxes=boxes().replace("drives,-10 %,fair", "drives,40 %,")))
    told = " ".join(answers(own, TYPED))
    assert re.search(r"grow costs [\d.,]+ EUR more than all on day one", told)
    assert re.search(r"dearer by purchase [\d.,]+ \(at the prices then\)", told)


def test_the_same_cost_is_told_as_the_same(tmp_path: Path) -> None:
    own = grow(write(tmp_path, study=settings("21 TB", "0")))
    assert "buying as the data grow costs the same as all on day one" in answers(own, TYPED)[0]


def test_several_scenarios_begin_with_the_cheapest() -> None:
    own = three()
    told = answers(own, TYPED)
    ways = [way for way in own.ways if way.kind == GROW]
    least = min(ways, key=lambda way: measure(own, way, "lcc"))
    assert told[0].startswith(f"As the data grow, {least.name.removesuffix(', as data grow')} costs least: ")
    assert [one.split(":")[0] for one in told[1:4]] == ["old servers", "quiet minis", "modern boards"]


# the command


def test_the_command_writes_and_tells_where(tmp_path: Path) -> None:
    done = run(STUDY, "--ahead", 1, "--out", tmp_path / "out", "--rent", "4.20 EUR/TB/month")
    assert done.exit_code == 0, done.output
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["grow.csv", "grow.xlsx"]
    assert str(tmp_path / "out" / "grow.xlsx") in done.stdout.replace("\n", "")
    assert "Bought a month before" in " ".join(done.stdout.split())


@pytest.mark.parametrize(("rent", "of"), [(0.01, " of what is bought"), (900.0, "")])
def test_what_is_bought_costs_least_only_where_no_rent_does(rent: float, of: str) -> None:
    told = answers(grow(tco.load(tco.demo()), rent=rent), TYPED)[0]
    assert re.match(rf"As the data grow, [\w ]+? costs least{of}[,:]", told)


def test_a_rent_in_another_money_takes_the_study_s_rate(tmp_path: Path) -> None:
    (tmp_path / "s").mkdir()
    for path in STUDY.iterdir():
        shutil.copy(path, tmp_path / "s")
    rates = "currency,rate,day,source\nUSD,0.5,2026-11-20,invented\n"
    (tmp_path / "s" / "exchange.csv").write_text(rates, encoding="utf-8")
    one, other = (
        run(tmp_path / "s", "--format", "csv", "--rent", rent) for rent in ("8.40 USD/TB/month", "4.2 EUR/TB/month")
    )
    assert one.exit_code == 0, one.output
    assert one.stdout == other.stdout


REFUSED = {
    "a negative rent": (["--rent", "-1 EUR/TB/month"], "is below 0 EUR/TB/month"),
    "a rent of another kind": (["--rent", "5 EUR"], "wanted is money per calendar time per data"),
    "a rent without its rate": (["--rent", "5 USD/TB/month"], "there is no rate for USD"),
    "a rent in another kind of money": (["--rent", "5 EUR/TB/month real"], "leave 'real' out"),
    "no such scenario": (["--scenario", "three boxs"], "did you mean 'three boxes'?"),
    "nothing to grow": (["--scenario", "rented space"], "no purchase for it has a turn"),
    "before the start": (["--ahead", "-1"], "it must be from 0 to 60"),
    "beyond the horizon": (["--ahead", "61"], "it must be from 0 to 60"),
    "no number of months": (["--ahead", "soon"], "not a valid integer"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_cannot_be_asked_is_refused_and_nothing_is_written(case: str, tmp_path: Path) -> None:
    words, told = REFUSED[case]
    done = run(STUDY, *words, "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert told in done.stderr
    assert not (tmp_path / "out").exists()


def test_the_library_gives_the_same() -> None:
    own = tco.grow(tco.load(STUDY), rent=4.2)
    assert answers(own, TYPED) == answers(found(), TYPED)


def test_the_same_growth_gives_the_same_bytes_and_a_changed_workbook_is_left_alone(tmp_path: Path) -> None:
    write_grown(found(), tmp_path / "one")
    write_grown(grow(growing(), rent=4.2), tmp_path / "two")
    for name in ("grow.xlsx", "grow.csv"):
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()
    write_grown(found(), tmp_path / "one")  # unchanged: overwritten without asking
    book = openpyxl.load_workbook(tmp_path / "one" / "grow.xlsx")
    book[NAME]["A1"] = "mine"
    book.save(tmp_path / "one" / "grow.xlsx")
    before = {path.name: path.read_bytes() for path in (tmp_path / "one").iterdir()}
    with pytest.raises(ResultError, match="was changed since tco wrote it"):
        write_grown(found(), tmp_path / "one")
    assert {path.name: path.read_bytes() for path in (tmp_path / "one").iterdir()} == before
    write_grown(found(), tmp_path / "one", replace=True)


def test_names_that_begin_like_a_formula_stay_text(tmp_path: Path) -> None:
    offers = purchases('"boxes","=1+1",drive,3,,,,,,,,1,')
    own = grow(write(tmp_path / "study", purchases=offers))
    write_grown(own, tmp_path / "out")
    assert "'=1+1" in (tmp_path / "out" / "grow.csv").read_text(encoding="utf-8")
    book = openpyxl.load_workbook(tmp_path / "out" / "grow.xlsx")
    named = [cell for row in book[NAME].iter_rows() for cell in row if cell.value == "=1+1"]
    assert [cell.data_type for cell in named] == ["s"] or all(cell.data_type != "f" for cell in named)
    assert os.path.getsize(tmp_path / "out" / "grow.xlsx") > 5000


def test_what_adds_no_room_by_itself_is_told(tmp_path: Path) -> None:
    told = run("growing", "--out", tmp_path).stdout
    assert "larger switch had its turn, and adds no room by itself; what came after it did." in " ".join(told.split())
    assert "second drives had its turn" not in told
