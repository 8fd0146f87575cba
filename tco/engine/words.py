"""Formulas read as words: for `explain` and the notes in the workbook."""

from __future__ import annotations

from tco import units
from tco.engine.evaluate import Figures
from tco.engine.nodes import Array, Column, Constant, Node, Ref, Text, fill, fold


def in_words(formula: Node) -> str:
    """The formula with the labels of its columns: `power drawn × hours of the month`."""

    def leaf(node: Node) -> Text:
        if isinstance(node, Constant):
            return Text(quantity(node.value, node.unit))
        assert isinstance(node, Ref)
        return Text(named(node))

    return fold(formula, leaf, lambda function, args: fill(function.words, args)).text


def in_numbers(formula: Node, row: int, figures: Figures) -> str:
    """The formula with the numbers that it meets in one row (first draw): `312 W × 743 h/month`."""

    def leaf(node: Node) -> Text:
        if isinstance(node, Constant):
            return Text(quantity(node.value, node.unit))
        assert isinstance(node, Ref)
        return Text(value_of(node, row, figures))

    return fold(formula, leaf, lambda function, args: fill(function.words, args)).text


def named(node: Ref) -> str:
    """A column's label, with the row where the formula names one."""
    if node.reach == "at" and len(node.column.table.rows) > 1:
        return f"{node.column.label} ({node.column.table.rows[node.row]})"
    return node.column.label


def value_of(node: Ref, row: int, figures: Figures) -> str:
    """A column's number in the row that the formula means; whole columns keep their label."""
    if node.reach in ("range", "keys", "so far"):
        return node.column.label
    index = node.row if node.reach == "at" else row - (node.reach == "before")
    return cell_text(node.column, index, figures)


def cell_text(column: Column, row: int, figures: Figures) -> str:
    """One value of a column with its unit (first draw); the row of a one-row table is its only one."""
    if row < 0:
        return "nothing"
    values: Array = figures[column]
    row_values = values.reshape(-1, values.shape[-1])[0]
    value = row_values[min(row, len(row_values) - 1)]
    return str(value) if column.unit is None else quantity(float(value), column.unit)


def quantity(value: float, unit: object) -> str:
    """A number as a person writes it: `0.31 EUR/kWh`, `3 %`, `1,234.5 EUR`."""
    text = units.written(unit)  # type: ignore[arg-type]
    digits = f"{value:,.2f}" if abs(value) >= 1000 else f"{value:.6g}"
    return f"{digits} {text}".strip()
