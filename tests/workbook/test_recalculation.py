"""The promise of the workbook: a spreadsheet program that recalculates it gets the tool's own numbers.

Stored results are dropped first (tests/recalculate.py). Money agrees within 0.005 of a currency unit, anything else
within 1e-9 of its size. After inputs are changed in the workbook, its totals equal a fresh run of the tool with those
inputs in its CSV files. What the workbook says of inputs that do not follow: tests/write.
"""

from __future__ import annotations

import random
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import tco
from tco.ask.compare import Comparison, measure_tables
from tco.engine import Column, absent
from tco.model.returns import NOT_KNOWN
from tco.write.layout import layout
from tco.write.workbook import write_workbook
from tests.random_studies import random_study
from tests.recalculate import cells, needs_libreoffice, recalculated_many
from tests.workbook.changes import change_study, change_workbook, figures_in, some_changes

pytestmark = needs_libreoffice
RANDOM = 20
EDITED = 8
EACH = 9  # changes to each edited workbook: 72 in all


def is_money(column: Column) -> bool:
    return "money" in str(column.unit.dimensionality) if column.unit is not None else False


def agrees(found: Any, wanted: float, *, money: bool, size: float = 0.0) -> bool:
    """Within 0.005 as money, of which a program keeps 15 digits; else within a billionth of the number, or of the
    size of what it was made from.
    """
    if not isinstance(found, int | float):
        return False
    return abs(found - wanted) <= (max(0.005, 1e-14 * abs(wanted)) if money else 1e-9 * max(abs(wanted), size))


@pytest.fixture(scope="module")
def studies(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The demo, the small study and random ones, each in a folder that a test may change."""
    root = tmp_path_factory.mktemp("studies")
    folders = {name: shutil.copytree(tco.demo().parent / name, root / name) for name in ("demo", "small", "hours")}
    return folders | {f"random {seed}": random_study(seed, root / str(seed)) for seed in range(RANDOM)}


@pytest.fixture(scope="module")
def comparisons(studies: dict[str, Path]) -> dict[str, Comparison]:
    return {name: tco.compare(tco.load(folder)) for name, folder in studies.items()}


@pytest.fixture(scope="module")
def books(comparisons: dict[str, Comparison], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    root = tmp_path_factory.mktemp("books")
    for name, comparison in comparisons.items():
        write_workbook(comparison, root / f"{name}.xlsx")
    return {name: root / f"{name}.xlsx" for name in comparisons}


@pytest.fixture(scope="module")
def recalculated(books: dict[str, Path], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    found = recalculated_many(list(books.values()), tmp_path_factory.mktemp("recalculated"))
    return dict(zip(books, found, strict=True))


def model_cells(comparison: Comparison) -> Iterator[tuple[Column, int, str, str]]:
    """Every number of the model: its column, row, sheet and cell."""
    stands = layout(comparison.built)
    for column in comparison.built.model.columns.values():
        if column.unit is not None:
            for row in range(len(column.table.rows)):
                yield column, row, *stands.cell(column, row)


def test_every_number_of_the_model_is_recalculated_alike(
    comparisons: dict[str, Comparison], recalculated: dict[str, Any]
) -> None:
    checked, told, wrong = 0, 0, []
    for name, comparison in comparisons.items():
        for column, row, sheet, cell in model_cells(comparison):
            wanted, found = float(comparison.of(column)[row]), recalculated[name][sheet].get(cell)
            if column.blank and column.blank[row]:
                found = 0.0 if found is None else found  # left empty, as in the study
            words = absent(column, row, comparison.figures)
            checked, told = checked + 1, told + bool(words)
            if found != words if words else not agrees(found, wanted, money=is_money(column)):
                wrong.append((name, column.full_name, row, sheet, cell, found, wanted))
    assert not wrong, wrong[:10]
    assert checked > 50_000
    assert told > 100


def test_every_other_number_of_the_workbook_is_recalculated_alike(
    books: dict[str, Path], recalculated: dict[str, Any]
) -> None:
    """Summary, checks, whatever else: stored results against recalculated ones, sentences included."""
    wrong = []
    for name, path in books.items():
        for sheet, stored in cells(path).items():
            for cell, value in stored.items():
                found = recalculated[name][sheet].get(cell)
                same = (
                    agrees(found, value, money=False, size=1e-3) if isinstance(value, float | int) else found == value
                )
                if not same and value != "":
                    wrong.append((name, sheet, cell, found, value))
    assert not wrong, wrong[:10]


def test_no_cell_holds_an_error(recalculated: dict[str, Any]) -> None:
    bad = [
        (name, sheet, cell, value)
        for name, book in recalculated.items()
        for sheet, found in book.items()
        for cell, value in found.items()
        if isinstance(value, str) and value.startswith("#")
    ]
    assert not bad, bad[:10]


def test_changed_inputs_give_what_a_fresh_run_gives(
    comparisons: dict[str, Comparison], books: dict[str, Path], studies: dict[str, Path], tmp_path: Path
) -> None:
    """Live cells changed at random over several workbooks; each one's totals equal a run on the changed CSV files."""
    names = ["demo", "small", "hours", *(f"random {seed}" for seed in range(EDITED - 3))]
    copies, changed = [], 0
    for number, name in enumerate(names):
        changes = some_changes(comparisons[name], random.Random(number), EACH)
        copies.append(Path(shutil.copy(books[name], tmp_path / f"{number}.xlsx")))
        change_workbook(comparisons[name], copies[-1], changes)
        change_study(Path(shutil.copytree(studies[name], tmp_path / name)), changes)
        changed += len(changes)
    assert changed >= 50
    for name, found in zip(names, recalculated_many(copies, tmp_path / "work"), strict=True):
        assert_same_totals(comparisons[name], found, tco.compare(tco.load(tmp_path / name)))
        assert "Out of date" not in words_of(found)


def assert_same_totals(before: Comparison, found: dict[str, Any], fresh: Comparison) -> None:
    """Every measure of the edited workbook is that of the fresh run."""
    wanted = {(g.scenario.scenario, m): v for g in fresh.built.grounds for m, v in measures_of(fresh, g).items()}
    figures = figures_in(before, found)
    delivered = {one.name for t in measure_tables(fresh.built.grounds[0])[1:] for one in fresh.built.model.of(t)}
    for key, value in figures.items():
        if isinstance(wanted[key], str):
            assert value == wanted[key] or value == STALE, key
        elif value != STALE:
            assert value == pytest.approx(
                wanted[key], rel=1e-9, abs=1e-9 if key[1] in delivered else allowed(key[1])
            ), key
    numbers = {key: value for key, value in figures.items() if key[1].startswith("total_")}
    assert numbers != pytest.approx({key: old_measures(before)[key] for key in numbers}, rel=1e-6)


def old_measures(comparison: Comparison) -> dict[tuple[str, str], float | str]:
    grounds = comparison.built.grounds
    return {(g.scenario.scenario, m): v for g in grounds for m, v in measures_of(comparison, g).items()}


STALE = NOT_KNOWN  # the rate of return where savings change sign more than once: found by the tool
RATES = ("month_rate", "rate_of_return", "adjusted_rate_of_return", "savings_to_investment_ratio")


def allowed(measure: str) -> float:
    """Half a cent; rates and ratios as exactly as an iteration of the spreadsheet program goes."""
    return 1e-9 if measure in RATES else 1e-6 if measure.endswith(("payback", "horizon")) else 0.005


def measures_of(comparison: Comparison, ground: Any) -> dict[str, float | str]:
    return {
        column.name: absent(column, 0, comparison.figures) or float(comparison.of(column)[0])
        for table in measure_tables(ground)
        for column in comparison.built.model.of(table)
    }


def words_of(book: dict[str, Any]) -> str:
    return "\n".join(value for found in book.values() for value in found.values() if isinstance(value, str))
