"""Every column of a model has its cells, and no two share one."""

from __future__ import annotations

import pytest

import tco
from tco.engine import cell_formula
from tco.write import names
from tco.write.formulas import column_formulas
from tco.write.layout import layout


@pytest.fixture(scope="module", params=["demo", "small", "hours"])
def built(request):
    return tco.compare(tco.load(tco.demo().parent / request.param)).built


def test_every_column_has_cells_of_its_own(built):
    made, taken = layout(built), {}
    for column in built.model.columns.values():
        for row in range(len(column.table.rows)):
            place = made.cell(column, row)
            assert place not in taken, f"{column.full_name} and {taken[place]} share {place}"
            taken[place] = column.full_name


def test_blocks_do_not_overlap(built):
    made, taken = layout(built), set()
    for block in made.blocks:
        left = block.lefts[0] if block.kind == "beyond" else 0
        right = max(block.lefts) if block.kind == "beyond" else 16
        cells = {(block.sheet, r, c) for r in range(block.top, block.end) for c in range(left, right + 1)}
        assert not cells & taken, f"{block.table.name} ({block.heading}) stands on another block"
        taken |= cells


def test_formulas_of_a_column_are_those_of_its_rows(built):
    """The shortcut in column_formulas against one tree walk a row."""
    made = layout(built)
    for column in built.model.columns.values():
        if column.formula is not None:
            address = made.address(made.spots[column][0])
            rows = range(len(column.table.rows))
            assert list(column_formulas(column, address)) == [cell_formula(column, row, address) for row in rows]


def test_names_of_input_cells_are_unique_and_plain(built):
    found = list(layout(built).named.values())
    assert len({name.casefold() for name in found}) == len(found)
    assert all(name.isascii() and not name[0].isdigit() for name in found)
    assert "tax" in found


@pytest.mark.parametrize(
    ("scenarios", "sheets"),
    [
        (["Summary", "summary"], ["Summary 2", "summary 3"]),
        (["History"], ["History 2"]),
        (["a/b", "a:b", "A*b"], ["a b", "a b 2", "A b 3"]),
        (["'quoted'"], ["quoted"]),
        (["?"], ["scenario"]),
        (["x" * 40, "x" * 41], ["x" * 31, "x" * 29 + " 2"]),
        (["\U0001f600" * 20], ["\U0001f600" * 15]),
    ],
)
def test_sheet_names_are_allowed_and_unlike(scenarios, sheets):
    assert list(names.sheet_names(scenarios).values()) == sheets


def test_letters_of_columns():
    """Spreadsheet columns: Z is the 26th, AA the 27th, XFD the 16,384th and last."""
    assert [names.letters(n) for n in (0, 25, 26, 701, 702, 16383)] == ["A", "Z", "AA", "ZZ", "AAA", "XFD"]


def test_cell_names_avoid_each_other():
    taken: set[str] = set()
    found = [names.cell_name("busy_share", name, taken) for name in ("größe 1", "Grosse-1", "grosse 1", "日本")]
    assert found == ["busy_share.groe_1", "busy_share.Grosse_1", "busy_share.grosse_1.2", "busy_share.scenario"]
