"""What a spreadsheet program makes of the workbook: all cells, the sentences in all their turns, what is out of date.

All workbooks are recalculated in one run. Studies at random and changes to live inputs: tests/workbook.
"""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path

import openpyxl
import pytest

import tco
from tco.study import Study
from tco.write.layout import layout
from tco.write.workbook import write_workbook
from tests.recalculate import cells, needs_libreoffice, recalculated_many

pytestmark = needs_libreoffice

NAMES = ["Summary", "a'b", "History", "x" * 60, "R1C1", "A1", "büro", "50 %", 'the "best"', "=1+1"]
CHANGES = {
    "horizon of Settings": ("settings", "horizon", 48),
    "time zone of Settings": ("settings", "time_zone", "UTC"),
    "age of mini PC, 4 cores, two drive bays (quiet minis)": ("parts of quiet minis", "age", 7),
    "failures of mini PC, 4 cores, two drive bays (quiet minis)": ("parts of quiet minis", "failures", ""),
    "tariff of quiet minis": ("inputs of quiet minis", "tariff", "other"),
    "start of 2026-01 (Tariff: household)": ("tariff household", "start", "2026-05-01"),
}
MISFITS = {
    "quantity of mini PC, 4 cores, two drive bays does not fit its nodes (quiet minis).": (
        "parts of quiet minis",
        "quantity",
        3,
    ),
    "by its resale curve rack server, 2 units high is worth nothing when bought (old servers).": (
        "resale",
        "share",
        0,
    ),
}
REFUSED = {
    "price (Parts) is empty or filled where it was not, no number, or out of its range.": (
        "parts of quiet minis",
        "price",
        None,
    ),
    "busy share (quiet minis) is empty or filled where it was not, no number, or out of its range.": (
        "inputs of quiet minis",
        "busy_share",
        20,
    ),
    "quantity (Parts) is empty or filled where it was not, no number, or out of its range.": (
        "parts of quiet minis",
        "quantity",
        1.5,
    ),
    "a part of quiet minis draws less when busy than when idle.": ("parts of quiet minis", "idle", 900),
    "a part of quiet minis is owned already (fetches today) and bought as well.": (
        "parts of quiet minis",
        "fetches_today",
        30,
    ),
    "mini PC, 4 cores, two drive bays of quiet minis has no price, and what fails would be replaced for nothing.": (
        "parts of quiet minis",
        "price",
        0,
    ),
    "count (Nodes) is empty or filled where it was not, no number, or out of its range.": (
        "nodes of quiet minis",
        "count",
        0,
    ),
}
MISFITS |= REFUSED
OLD, MINIS, BOARDS, RENTED = range(4)


def some(study: Study, *numbers: int, baseline: int) -> Study:
    """The study with some of its scenarios, one of them the baseline."""
    kept = (dataclasses.replace(study.scenarios[n], baseline=n == baseline) for n in numbers)
    return dataclasses.replace(study, scenarios=tuple(kept))


def twins(study: Study, name: str, number: int) -> Study:
    """A scenario against one that differs in its name only."""
    one = some(study, number, baseline=number)
    twin = dataclasses.replace(one.scenarios[0], scenario=name, baseline=False)
    return dataclasses.replace(one, scenarios=(one.scenarios[0], twin))


def studies() -> dict[str, Study]:
    """Every study that is written, by what it is for."""
    whole = tco.load(tco.demo())
    demo = dataclasses.replace(
        whole, needs=None
    )  # what is said where needs are stated: tests/workbook/test_needs_live.py
    return {
        "demo": whole,
        "small": tco.load(tco.demo().parent / "small"),
        "baseline cheapest": some(demo, OLD, MINIS, RENTED, baseline=MINIS),
        "ahead from the start": some(demo, OLD, RENTED, baseline=OLD),
        "one": some(demo, RENTED, baseline=RENTED),
        **{f"named {name}": twins(demo, name, RENTED) for name in NAMES},
    }


def change(path: Path, study: Study, places: tuple[str, str, object], into: Path) -> None:
    """A copy of a workbook in which one input has another value (of curves, the last point of a server's)."""
    built = tco.compare(study).built
    table, name, value = places
    curves, first = list(study.resale), 0
    if table == "resale":
        upto = curves[: curves.index(study.scenarios[0].parts[0].resale) + 1]
        first = sum(len(study.resale[curve]) for curve in upto) - 1
    sheet, cell = layout(built).cell(built.model[f"{table}.{name}"], first)
    book = openpyxl.load_workbook(path)
    book[sheet][cell] = value
    book.save(into)


@pytest.fixture(scope="module")
def books(tmp_path_factory):
    """Name -> cells as stored and as recalculated."""
    root, paths = tmp_path_factory.mktemp("books"), {}
    for number, (name, study) in enumerate(studies().items()):
        paths[name] = root / f"{number}.xlsx"
        write_workbook(tco.compare(study), paths[name])
    two = some(tco.load(tco.demo()), OLD, MINIS, baseline=OLD)
    write_workbook(tco.compare(two), root / "two.xlsx")
    for number, (says, places) in enumerate({**CHANGES, **MISFITS}.items()):
        paths[says] = root / f"changed {number}.xlsx"
        change(root / "two.xlsx", two, places, paths[says])
    found = recalculated_many(list(paths.values()), root / "work")
    return {name: (cells(path), again) for (name, path), again in zip(paths.items(), found, strict=True)}


@pytest.mark.parametrize("name", ["demo", "small", "baseline cheapest", *(f"named {name}" for name in NAMES)])
def test_recalculated_cells_are_what_was_stored(books, name):
    """Sentences included; numbers within a billionth."""
    stored, found = books[name]
    for sheet, wanted in stored.items():
        for cell, value in wanted.items():
            same = pytest.approx(value, rel=1e-9, abs=1e-9) if isinstance(value, int | float) else value
            assert found[sheet].get(cell) == same, f"{sheet}!{cell}"


def answer(books, name: str) -> list[str]:
    """The summary's sentences, recalculated."""
    return [books[name][1]["Summary"].get(f"A{row}", "") for row in (4, 5, 6, 7)]


def test_the_answer_against_a_dearer_baseline(books):
    first, second, third, _ = answer(books, "demo")
    assert first.startswith("Cheapest of those that meet all needs: quiet minis, at ")
    assert re.match(r"That is [\d.,]+ EUR a month less than old servers, the baseline, and ", second)
    assert third.startswith("Paid at the start: 2,980 EUR for quiet minis, 2,071 EUR for old servers. Resale left ")
    assert third.endswith("quiet minis has cost less than the baseline from month 9 (2027-08) to the end.")


def test_the_answer_where_the_baseline_is_cheapest(books):
    first, second, third, _ = answer(books, "baseline cheapest")
    assert first.startswith("Cheapest: quiet minis, at ")
    assert second.startswith("It is the baseline. The next one, rented space, costs ")
    assert third.startswith("Paid at the start: 199 EUR for rented space, ")
    assert re.search(r"has cost more than the baseline from month \d\d \(20\d\d-\d\d\) to the end\.$", third)


def test_the_answer_where_the_cheapest_is_ahead_from_the_start(books):
    assert answer(books, "ahead from the start")[2].endswith("has cost less than the baseline from the start.")


def test_the_answer_with_one_scenario(books):
    first, second, *_ = answer(books, "one")
    assert first.startswith("The only scenario: rented space, at ")
    assert second.startswith("How sure: ")


def test_the_answer_between_two_alike(books):
    """Of two that cost the same the first comes first, and the other is named as the next."""
    first, second, third, _ = answer(books, "named A1")
    assert first.startswith("Cheapest: rented space, at ")
    assert second == "It is the baseline; A1 costs the same."
    assert third.endswith("A1 has cost the same.")


@pytest.mark.parametrize("says", CHANGES)
def test_a_change_that_does_not_follow_is_said(books, says):
    found = books[says][1]
    lines = [text for text in found["Summary"].values() if str(text).startswith("Out of date: ")]
    assert len(lines) == 1
    assert lines[0].startswith(f"Out of date: {says} was changed. Computed by the tool: ")
    assert lines[0].endswith(". Run tco again.")
    assert found["quiet minis"]["A2"].startswith(f"Out of date: {says}")
    others = "Figures hold: " if "quiet minis" in says else "Out of date: "
    assert found["old servers"]["A2"].startswith(others)


@pytest.mark.parametrize("says", MISFITS)
def test_what_the_reader_would_refuse_is_said(books, says):
    """Changed to what no study may hold: said in words, and no cell in error."""
    found = books[says][1]
    own = "old servers" if "old servers" in says else "quiet minis"
    assert found[own]["A2"] == f"Out of date: {says} tco would refuse this, or count it otherwise."
    assert not [value for sheet in found.values() for value in sheet.values() if str(value).startswith("#")]
