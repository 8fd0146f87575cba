"""Random formulas over mixed tables: what evaluate says is what a spreadsheet program makes of the cells."""

from __future__ import annotations

import itertools
from collections import Counter
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest

from tco.engine import Array, Column, Constant, Ref, evaluate
from tco.engine.evaluate import apply, whole
from tco.engine.nodes import Call, Function, fold
from tests.engine.layout import Layout, formulas
from tests.engine.maker import DRAWN, Maker
from tests.recalculate import is_error, needs_libreoffice

SEEDS = range(1, 25)
EACH = 60
ENOUGH = 1000

RELATIVE = 1e-9
# A spreadsheet program calls a difference 0 where two numbers agree to 2^-48 (4e-15), and numpy does not. So every
# call's result is moved by up to 1e-13 of itself, many times over: what moves in the formula's number is what such a
# difference, a comparison of near-equal numbers or a division by one can do to it.
SHAKE = 1e-13
SHAKES = 12
MARGIN = 4.0
LOOSE = 1e-3  # a tolerance of more than this share of the number proves nothing: such formulas are not counted


@dataclass
class Sheet:
    """All random models in one workbook, and what LibreOffice makes of them."""

    makers: list[Maker]
    cells: dict[Column, list[Any]]


def lay_out_models() -> tuple[Layout, tuple[list[Maker], Layout]]:
    """Makes the models and puts them all into one workbook."""
    makers, layout = [Maker(seed) for seed in SEEDS], Layout()
    for maker in makers:
        maker.formulas(EACH)
        layout.add(maker.model.columns.values())
    return layout, (makers, layout)


@pytest.fixture(scope="module")
def sheet(books) -> Sheet:
    """The models beside their recalculated cells."""
    (makers, layout), found = books["random"]
    cells = {
        column: [found.get(layout.cell(column, row)) for row in range(len(column.table.rows))]
        for column in layout.letters
    }
    return Sheet(makers, cells)


def shaken(column: Column, maker: Maker) -> Array:
    """The column's figures, many times, with every call's result moved a little."""
    random = np.random.default_rng(maker.made)

    def join(function: Function, args: list[Array]) -> Array:
        found = apply(function, args)
        rows = max(found.shape[-1], len(column.table.rows))
        return found * (1.0 + random.uniform(-SHAKE, SHAKE, size=(SHAKES, rows if found.shape[-1] > 1 else 1)))

    with np.errstate(all="ignore"):
        found = fold(column.formula, lambda leaf: whole(leaf, maker.figures), join)
    return np.broadcast_to(found, (SHAKES, len(column.table.rows)))


def is_recurrence(column: Column) -> bool:
    """Whether the column meets itself."""
    return fold(column.formula, lambda leaf: getattr(leaf, "column", None) is column, lambda _, args: any(args))


def tolerance(column: Column, maker: Maker) -> Array:
    """How far each row's cell may be off; infinite where the number hangs on rounding."""
    figures = maker.figures[column]
    if is_recurrence(column):  # made to stay near its inputs
        return RELATIVE * np.abs(figures) + SHAKE * 1e2 * np.abs(figures).max()
    spread = np.abs(shaken(column, maker) - figures).max(axis=0)
    return np.where(np.isfinite(spread), RELATIVE * np.abs(figures) + MARGIN * spread, np.inf)


@needs_libreoffice
def test_numbers_are_those_of_the_recalculated_cells(sheet):
    proved = loose = 0
    for maker in sheet.makers:
        for column in formula_columns(maker):
            if column in maker.failed:
                continue
            figures, allowed = maker.figures[column], tolerance(column, maker)
            tight = allowed <= np.maximum(LOOSE * np.abs(figures), 1e-9)
            cells = [cell if ok else 0.0 for cell, ok in zip(sheet.cells[column], np.isfinite(allowed), strict=True)]
            assert not any(is_error(cell) for cell in cells), about(column, sheet)
            off = np.abs(np.array(cells, dtype=float) - figures)
            assert np.all(off <= allowed), about(column, sheet)
            proved, loose = proved + bool(tight.all()), loose + (not tight.all())
    assert proved >= ENOUGH
    assert loose < 0.03 * proved


def formula_columns(maker: Maker) -> list[Column]:
    """The random formulas of a model."""
    return [column for column in maker.model.columns.values() if column.formula is not None]


def about(column: Column, sheet: Sheet) -> str:
    """What a person needs to see of a formula that differs."""
    maker = next(maker for maker in sheet.makers if maker.model.columns.get(column.full_name) is column)
    return f"{formulas(maker.model, column)}\nengine: {maker.figures.get(column)}\nsheet: {sheet.cells[column]}"


@needs_libreoffice
def test_figures_that_are_no_numbers_are_errors_in_the_sheet(sheet):
    kinds = Counter(kind(column, maker, sheet) for maker in sheet.makers for column in maker.failed)
    assert kinds["an error in both"] > 100
    assert kinds["an error in both"] > 0.9 * kinds.total()
    assert kinds["unexplained"] == 0, kinds


def kind(column: Column, maker: Maker, sheet: Sheet) -> str:
    """How a formula that the engine refuses fares in the sheet, in the row that the engine names."""
    row = column.table.rows.index(maker.failed[column].row)
    if is_error(sheet.cells[column][row]):
        return "an error in both"
    if is_recurrence(column):
        return "unexplained"
    if np.isfinite(lenient(column, maker)[row]):
        return "0^0 or too small: refused on purpose"
    if np.isfinite(shaken(column, maker)[:, row]).any():
        return "hangs on rounding"
    return "unexplained"


# 0^0 is 1 in LibreOffice and an error elsewhere; a result too small to hold is 0 in most programs.
LENIENT = {"multiply": np.multiply, "power": np.power, "divide": lambda a, b: a / np.where(b == 0, np.nan, b)}


def lenient(column: Column, maker: Maker) -> Array:
    """The column's figures as a program that takes 0^0 and numbers too small to hold would have them."""

    def join(function: Function, args: list[Array]) -> Array:
        found = LENIENT.get(function.name, function.array)(*args)
        return np.where(np.isfinite(found), found, np.nan)

    with np.errstate(all="ignore"):
        found = fold(column.formula, lambda leaf: whole(leaf, maker.figures), join)
    return np.broadcast_to(found, (len(column.table.rows),))


def test_the_formulas_are_as_mixed_as_they_should_be():
    maker = Maker(SEEDS[0])
    for _ in itertools.repeat(None, 10):
        maker.formulas(EACH)
    columns = formula_columns(maker)
    met = Counter(name for column in columns for name in names(column.formula))
    assert all(met[name] >= 10 for name in DRAWN), met
    assert max(depth(column.formula) for column in columns) >= 6
    leaves = [leaf for column in columns for leaf in found_leaves(column.formula)]
    assert {leaf.reach for leaf in leaves if isinstance(leaf, Ref)} == {
        "cell", "range", "key", "keys", "so far", "to end", "before", "at",
    }  # fmt: skip
    assert any(isinstance(leaf, Constant) and leaf.value < 0 for leaf in leaves)
    assert {len(column.table.rows) for column in columns} >= {1, 7}


def names(formula: Any) -> list[str]:
    """The functions of a formula."""
    return fold(formula, lambda _: [], lambda function, args: [function.name, *itertools.chain(*args)])


def depth(formula: Any) -> int:
    """How many calls stand inside one another."""
    return fold(formula, lambda _: 0, lambda _, args: 1 + max(args))


def found_leaves(formula: Any) -> list[Any]:
    """The leaves of a formula."""
    return fold(formula, lambda leaf: [leaf], lambda _, args: list(itertools.chain(*args)))


def test_evaluate_gives_the_figures_that_the_formulas_were_made_with():
    for seed in SEEDS[:5]:
        maker = Maker(seed)
        maker.formulas(EACH)
        for column in maker.failed:
            del maker.model.columns[column.full_name]
        for column, figures in evaluate(maker.model).items():
            assert np.array_equal(figures, maker.figures[column])
            assert column.formula is None or isinstance(column.formula, Call | Ref | Constant)
