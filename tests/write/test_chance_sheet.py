"""The workbook of a simulation: its cells are the figures found, and its first sheet is one page."""

from __future__ import annotations

import itertools
import re
import shutil
import zipfile
from pathlib import Path
from typing import Any

import numpy as np
import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from tco.ask.simulated import LUCK, Outcome, Simulated, Varied
from tco.study import Range
from tco.write.book import A4, LETTER
from tco.write.chance import write_workbook
from tco.write.chance_chart import axis_ends, finding, lengths
from tco.write.chance_words import PRINTED, answers, notes
from tests.printing import about_pdf, pages_of, print_all
from tests.recalculate import cells, is_error, needs_libreoffice
from tests.write.chances import DISK, HOSTILE, PRICE, compared, four, simulated, spread, with_ranges

FACTOR = Varied("failure rate", "", 0.7, 1.0, 1.6)
ROWS = (
    Range(input="electricity price", low="80 %", high="150 %", source="the regulator, invented", is_factor=True),
    Range(input=DISK.name, low="150 EUR", high="260 EUR", scenario="quiet minis", source="three shops, invented"),
    Range(input="failure rate", low="70 %", high="160 %", source="published rates, invented", is_factor=True),
)


def usual() -> Simulated:
    """Four scenarios, one of which is certain and one not ranked; three inputs vary."""
    return simulated(with_ranges(compared(), *ROWS), four(), varied=[PRICE, DISK, FACTOR], misses=["modern boards"])


def fixed() -> Simulated:
    """The same, where only failures are left to chance."""
    return simulated(compared(), four())


def written(found: Simulated, folder: Path) -> Any:
    write_workbook(found, folder / "simulate.xlsx")
    return openpyxl.load_workbook(folder / "simulate.xlsx")


def grid(sheet: Worksheet) -> list[list[Any]]:
    return [list(row) for row in sheet.iter_rows(values_only=True)]


def rows_under(sheet: Worksheet, text: str, count: int, skip: int) -> list[list[Any]]:
    """So many rows that begin `skip` rows below the cell with this text, from its column on."""
    cell = next(cell for row in sheet.iter_rows() for cell in row if cell.value == text)
    table = grid(sheet)
    return [row[cell.column - 1 :] for row in table[cell.row - 1 + skip : cell.row - 1 + skip + count]]


def ordered(found: Simulated) -> list[Outcome]:
    """Ranked ones first, by their median."""
    return sorted(found.outcomes, key=lambda own: (own.scenario not in found.among, own.lcc.p50))


def shown(share: float) -> float | str:
    """A chance as a cell has it."""
    return {0.0: "never", 1.0: "always"}.get(share, share)


def close(cells_: list[Any], wanted: list[Any]) -> bool:
    """Texts alike, numbers to the digits of a file."""
    return [
        cell if cell is None or isinstance(cell, str) else pytest.approx(cell, rel=1e-14) for cell in cells_
    ] == wanted


@pytest.mark.parametrize("make", [usual, fixed])
def test_the_answer_stands_first(make: Any, tmp_path: Path) -> None:
    found = make()
    sheet = written(found, tmp_path)["Chance"]
    assert sheet["A1"].value == "Which storage cluster for our flat in Graz?"
    assert "10,000 draws, seed 7." in sheet["A2"].value
    assert "no live cells: run tco simulate again after a change." in sheet["A2"].value
    told = answers(found, PRINTED)
    assert [sheet.cell(row, 1).value for row in range(4, 4 + len(told))] == told
    texts = [cell for row in grid(sheet) for cell in row if isinstance(cell, str)]
    assert all(f"· {note}" in texts for note in notes(found, PRINTED))


@pytest.mark.parametrize("make", [usual, fixed])
def test_the_table_of_scenarios(make: Any, tmp_path: Path) -> None:
    found = make()
    sheet = written(found, tmp_path)["Chance"]
    rows = rows_under(sheet, "A month, all spread evenly", 4, 3)
    for row, own in zip(rows, ordered(found), strict=True):
        kinds = ["p10", "p50", "p90", "mean", "error"] + ["exact"] * (not found.varied)
        worst = max(own.years[1:], key=lambda year: year.worst)
        chances: list[Any] = [shown(own.cheapest.share), own.cheapest.error if own.cheapest.error else "–"]
        wanted = [
            *(getattr(own.equivalent_month, kind) for kind in kinds[:3]),
            *(getattr(own.lcc, kind) for kind in kinds),
            *(chances if own.scenario in found.among else ["not ranked", None]),
            *(own.worst_year.p50, own.worst_year.p90, worst.name, shown(worst.worst)),
        ]
        assert close(row[: len(wanted)], wanted), own.scenario
    names = [row[0] for row in grid(sheet)]
    assert names[names.index("quiet minis") :][:4] == [own.scenario for own in ordered(found)]


def test_the_table_of_pairs(tmp_path: Path) -> None:
    found = usual()
    rows = rows_under(written(found, tmp_path)["Chance"], "Chance that the row costs less than the column", 4, 2)
    order = sorted(found.outcomes, key=lambda own: own.lcc.p50)
    for (n, row), (m, column) in itertools.product(enumerate(order), enumerate(order)):
        cell = rows[n][2 + m]
        if row is column:
            assert cell == "–"
            continue
        pair = next(p for p in found.duels if {p.one, p.other} == {row.scenario, column.scenario})
        share = pair.costs_less.share if n < m else 1 - pair.costs_less.share
        assert pair.one == (row.scenario if n < m else column.scenario)
        assert cell == (shown(share) if share in (0, 1) else pytest.approx(share))
        assert rows[n][0] == row.scenario


def test_pairs_that_always_cost_the_same_and_no_pair(tmp_path: Path) -> None:
    minis = four()["quiet minis"]
    found = simulated(compared(), {"a": minis, "b": minis.copy()})
    rows = rows_under(written(found, tmp_path)["Chance"], "Chance that the row costs less than the column", 2, 2)
    assert [row[2:4] for row in rows] == [["–", "same"], ["same", "–"]]
    one = grid(written(simulated(compared(), {"a": minis}), tmp_path)["Chance"])
    assert "Chance that the row costs less than the column" not in [cell for row in one for cell in row]


def test_what_varied_and_what_it_drives(tmp_path: Path) -> None:
    found = usual()
    title = "What varied, and how much of the variance of the life-cycle cost comes from it"
    head, *rows = rows_under(written(found, tmp_path)["Chance"], title, 5, 1)
    order = ordered(found)
    assert head[2:11] == [
        *("low", "likely", "high", "unit"), *(own.scenario for own in order), "quiet minis less rented space"
    ]  # fmt: skip
    (duel,) = (pair for pair in found.duels if (pair.one, pair.other) == ("quiet minis", "rented space"))
    lists = [*(own.drivers for own in order), duel.drivers]
    shares = [{driver.name: driver.share for driver in drivers} for drivers in lists]
    known = {row.input: row for row in ROWS}
    for row, name in zip(rows, [PRICE.name, FACTOR.name, DISK.name, LUCK], strict=True):
        own = next((one for one in found.varied if one.name == name), None)
        label = f"{name} (quiet minis)" if name == DISK.name else name
        unit = None if own is None else own.unit or "times"
        assert row[:6] == [label, None, *((own.low, own.likely, own.high) if own else [None] * 3), unit]
        assert row[6:11] == [one.get(name) if one else "–" for one in shares]
        assert row[11] == (known[name].source if own else None)


def test_inputs_of_one_name_stand_together_and_have_one_share(tmp_path: Path) -> None:
    rows = [Range(input="price of a box", low="1 EUR", high="3 EUR", scenario=name) for name in ("a", "b")]
    boxes = [Varied("price of a box", "EUR", low, 2.0, 3.0) for low in (1.0, 1.5)]
    costs = {"a": four()["quiet minis"], "b": four()["modern boards"]}
    found = simulated(with_ranges(compared(), *rows), costs, varied=boxes)
    title = "What varied, and how much of the variance of the life-cycle cost comes from it"
    one, other, luck = rows_under(written(found, tmp_path)["Chance"], title, 3, 2)
    assert (one[0], one[2], one[6:9]) == ("price of a box (a)", 1.0, [0.75] * 3)
    assert (other[0], other[2], other[6:9]) == ("price of a box (b)", 1.5, ["–"] * 3)
    assert (luck[0], luck[6:9]) == (LUCK, [0.25] * 3)


def test_there_is_no_table_of_inputs_where_none_varies(tmp_path: Path) -> None:
    texts = [cell for row in grid(written(fixed(), tmp_path)["Chance"]) for cell in row]
    assert not any(str(text).startswith("What varied") for text in texts)
    assert "exact mean" in texts


@pytest.mark.parametrize("make", [usual, fixed])
def test_every_year_of_every_scenario(make: Any, tmp_path: Path) -> None:
    found = make()
    table = [
        row
        for row in grid(written(found, tmp_path)["By year"])
        if row[1] in {f"year {n}" for n in range(1, 6)} | {"start"}
    ]
    years = [(own, year) for own in ordered(found) for year in own.years]
    for row, (own, year) in zip(table, years, strict=True):
        wanted = [
            *(own.scenario, year.name, year.cash.p10, year.cash.p50, year.cash.p90),
            shown(year.worst) if year.year else "–",
            *(year.failures, year.covered, year.worn, year.p90),
        ]
        assert close(row, wanted)


# the chart


def test_the_chart_shows_the_cells_beside_the_page(tmp_path: Path) -> None:
    found = usual()
    sheet = written(found, tmp_path)["Chance"]
    assert len(sheet._charts) == 1
    with zipfile.ZipFile(tmp_path / "simulate.xlsx") as book:
        text = book.read("xl/charts/chart1.xml").decode()
    spans = re.findall(r"<c:val><c:numRef><c:f>'?Chance'?!\$([A-Z]+)\$(\d+):\$[A-Z]+\$(\d+)</c:f>", text)
    assert len(spans) == 8
    for n, own in enumerate(ordered(found)):
        parts = [sheet[f"{column}{int(first) + n}"].value for column, first, _ in spans]
        ends = np.cumsum(parts[:4])  # above 0: P10, the mark's two ends, P90
        assert (ends[0], ends[3]) == pytest.approx(
            (min(own.equivalent_month.p10, ends[1]), max(own.equivalent_month.p90, ends[2]))
        )
        assert (ends[1] + ends[2]) / 2 == pytest.approx(own.equivalent_month.p50)
        assert parts[4:] == [0, 0, 0, 0]
    assert {int(last) - int(first) for _, first, last in spans} == {3}
    assert text.count("<a:noFill/>") >= 4  # both invisible rows of bars, fill and line
    assert sheet["S1"].value == finding(found)
    assert "$S$1" in text
    assert "EUR a month, all spread evenly" in text
    assert [sheet.cell(row, 19).value for row in range(3, 7)] == [
        "quiet minis", "rented space", "old servers", "modern boards (not ranked)"]  # fmt: skip


def test_the_finding_is_true() -> None:
    month = {own.scenario: own.equivalent_month for own in usual().outcomes}
    assert finding(usual()) == (
        f"Eight draws of ten: {month['quiet minis'].p10:.0f} to {month['quiet minis'].p90:.0f} EUR a month for quiet "
        "minis, 96 for rented space"
    )
    assert (
        finding(simulated(compared(), {"rented": np.full(9, 5500.0)}))
        == "rented costs 100.00 EUR a month in every draw"
    )
    one = simulated(compared(), {"a name that is far too long for the title of any chart": four()["quiet minis"]})
    assert finding(one).endswith(" EUR a month for a name that is far too long…")


@pytest.mark.parametrize(
    "ends", [(100, 110, 120), (-5, 1, 8), (-9, -4, -1), (0, 0, 0), (96, 96, 96), (-3, -3, -3), (-1, 0.001, 4)]
)
def test_a_bar_reaches_from_p10_to_p90_on_either_side_of_nothing(ends: tuple[float, float, float]) -> None:
    """Where it is drawn, by how bars stack: away from 0, what is above and what is below each for itself."""
    own, mark = spread(np.array([1.0, 2.0])), 0.02
    own = type(own)(*ends, own.mean, own.error)
    above, below = np.array(lengths(own, mark)).reshape(2, 4)
    assert (above >= 0).all()
    assert (below <= 0).all()
    drawn = sorted([*np.cumsum(above)[[0, 3]], *np.cumsum(below)[[0, 3]]])
    low, high = min(ends[0], ends[1] - mark / 2), max(ends[2], ends[1] + mark / 2)
    assert (drawn[0], drawn[-1]) == pytest.approx((min(low, 0), max(high, 0)))
    assert above[1:].sum() - below[1:].sum() == pytest.approx(high - low)
    assert above[2] - below[2] == pytest.approx(mark)


@pytest.mark.parametrize(
    ("ends", "axis"),
    [((85.2, 227.8), (75, 250, 25)), ((0, 100), (0, 120, 20)), ((96, 96), (95, 97, 1)), ((-41, 76), (-60, 80, 20)),
     ((0, 0), (0, 0.06, 0.01)), ((1e6, 3e6), (0, 3_500_000, 500_000)), ((-9, -1), (-10, 0, 2)), ((2, 9), (0, 10, 2))],
)  # fmt: skip
def test_axes_end_at_round_numbers_around_all(ends: tuple[float, float], axis: tuple[float, float, float]) -> None:
    least, most, step = axis_ends(*ends)
    assert (least, most, step) == pytest.approx(axis)
    assert least <= ends[0]
    assert most > ends[1]
    assert (least / step, most / step) == pytest.approx((round(least / step), round(most / step)))
    assert 2 <= (most - least) / step <= 12


# texts, bytes, paper


def test_long_and_hostile_names_survive(tmp_path: Path) -> None:
    costs = dict(zip(HOSTILE, [*four().values(), *four(seed=8).values()], strict=False))
    many = [Varied(f"price of {name}", "EUR", 1.0, 2.0, 3.0) for name in HOSTILE]
    book = written(simulated(compared(), costs, varied=many), tmp_path)
    for sheet in book:
        named = [cell for row in sheet.iter_rows() for cell in row if cell.value in HOSTILE]
        assert {cell.value for cell in named} == set(HOSTILE)
        assert all(cell.data_type == "s" for row in sheet.iter_rows() for cell in row if isinstance(cell.value, str))
    assert all(f"price of {name}" in [row[0] for row in grid(book["Chance"])] for name in HOSTILE)


def test_no_cell_is_in_error_and_none_is_a_formula(tmp_path: Path) -> None:
    book = written(usual(), tmp_path)
    assert not any(cell.data_type == "f" for sheet in book for row in sheet.iter_rows() for cell in row)
    for found in cells(tmp_path / "simulate.xlsx").values():
        assert not any(is_error(value) for value in found.values())


def test_the_same_simulation_gives_the_same_bytes(tmp_path: Path) -> None:
    write_workbook(usual(), tmp_path / "one.xlsx")
    write_workbook(usual(), tmp_path / "other.xlsx")
    assert (tmp_path / "one.xlsx").read_bytes() == (tmp_path / "other.xlsx").read_bytes()


def many(count: int) -> Simulated:
    rng = np.random.default_rng(5)
    names = [f"{HOSTILE[2][:57]} {n}" for n in range(count)]
    costs = {name: 4000.0 + 200 * n + 300 * rng.gamma(2.0, 1.0, 500) for n, name in enumerate(names)}
    return simulated(with_ranges(compared(), *ROWS), costs, varied=[PRICE, DISK, FACTOR], misses=names[3:])


@needs_libreoffice
@pytest.mark.parametrize(
    ("make", "paper", "size"),
    [(usual, A4, "A4"), (fixed, LETTER, "letter"), (lambda: many(6), A4, "A4"), (lambda: many(1), LETTER, "letter")],
    ids=["usual", "fixed", "six", "one"],
)
def test_the_first_sheet_is_one_printed_page(make: Any, paper: int, size: str, tmp_path: Path) -> None:
    """Pages by pdfinfo where it is installed; the text by pdftotext."""
    if not shutil.which("pdfinfo"):
        pytest.skip("pdfinfo is not installed")
    found = make()
    about, pages = as_printed(found, paper, tmp_path)
    assert f"({size})" in about
    assert re.search(r"Chance\s+page 1 of", pages[0])
    assert re.search(r"By year\s+page 2 of", pages[1])
    for page in pages[1:-1]:  # no scenario is cut in two
        assert page.count("start") - page.count("the start") == page.count("year 5")
    first = " ".join(pages[0].split())
    assert found.comparison.study.settings.question in first
    assert "a cluster is not a backup." in first
    assert "run tco simulate again after a change." in " ".join("".join(pages[1:]).split())
    assert "###" not in "".join(pages)


@needs_libreoffice
def test_more_scenarios_take_more_pages_and_nothing_is_lost(tmp_path: Path) -> None:
    if not shutil.which("pdfinfo"):
        pytest.skip("pdfinfo is not installed")
    found = many(9)
    _, pages = as_printed(found, A4, tmp_path)
    own = [page for page in pages if re.search(r"Chance\s+page \d+ of", page)]
    assert len(own) > 1
    words = " ".join(" ".join(own).split())
    assert "a cluster is not a backup." in words
    assert "###" not in words


def as_printed(found: Simulated, paper: int, folder: Path) -> tuple[str, list[str]]:
    """What pdfinfo says of the printed workbook, and the text of each page."""
    write_workbook(found, folder / "book.xlsx", paper=paper)
    print_all([folder / "book.xlsx"], folder)
    return about_pdf(folder / "book.pdf"), pages_of(folder / "book.pdf")
