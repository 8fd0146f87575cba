"""Formulas read as words: for `explain` and the notes in the workbook."""

from __future__ import annotations

import math
from dataclasses import replace

from tco import units
from tco.engine.evaluate import Figures, apply, whole
from tco.engine.nodes import Array, Call, Column, Constant, Node, Ref, Text, fill, fold


def in_words(formula: Node, scenario: str = "") -> str:
    """The formula with the labels of its columns: `power drawn × hours of the month`.

    scenario: whose formula it is; columns of another one are named with that one's name.
    """

    def leaf(node: Node) -> Text:
        if isinstance(node, Constant):
            return written_value(quantity(node.value, node.unit))
        assert isinstance(node, Ref)
        return Text(named(node, scenario))

    return fold(formula, leaf, lambda function, args: fill(function.words, args)).text


def in_numbers(formula: Node, row: int, figures: Figures) -> str:
    """The formula with the numbers that it meets in one row (first draw): `312 W × 743 h`.

    What is sought or added up over whole columns inside a formula stands there as the number found.
    """

    def leaf(node: Node) -> Text:
        if isinstance(node, Constant):
            return written_value(quantity(node.value, node.unit))
        assert isinstance(node, Ref)
        text = value_of(node, row, figures)
        return written_value(text) if node.unit is not None and node.is_one_cell else Text(text)

    shown = inside(formula, row, figures) if isinstance(formula, Call) else formula
    return fold(shown, leaf, lambda function, args: fill(function.words, args)).text


def inside(call: Call, row: int, figures: Figures) -> Call:
    """A call with settled arguments."""
    return replace(call, args=tuple(settled(arg, row, figures) for arg in call.args))


def settled(node: Node, row: int, figures: Figures) -> Node:
    """A part of a formula with each call over whole columns replaced by the number that it gives in a row."""
    if not isinstance(node, Call):
        return node
    if not any(isinstance(arg, Ref) and not arg.is_one_cell for arg in node.args):
        return inside(node, row, figures)
    found = fold(node, lambda leaf: whole(leaf, figures), apply)
    first = found.reshape(-1, found.shape[-1])[0]
    value = float(first[min(row, len(first) - 1)])
    return Constant(value, node.unit) if math.isfinite(value) else inside(node, row, figures)


def written_value(text: str) -> Text:
    """A value; a negative one binds as a difference does, lest `-2 to the power 2` be read either way."""
    return Text(text, 10 if text.startswith("-") else 30)


def named(node: Ref, scenario: str) -> str:
    """A column's label, with the row where the formula names one, and the scenario where it is another's."""
    other = node.column.table.scenario
    if other not in ("", scenario):
        return f"{node.column.label} of {other}"
    if node.reach == "at" and len(node.column.table.rows) > 1:
        return f"{node.column.label} ({node.column.table.rows[node.row]})"
    return node.column.label


def value_of(node: Ref, row: int, figures: Figures) -> str:
    """A column's number in the row that the formula means; whole columns keep their label."""
    if not node.is_one_cell:
        return node.column.label
    index = node.row if node.reach == "at" else row - (node.reach == "before")
    return cell_text(node.column, index, figures)


def cell_text(column: Column, row: int, figures: Figures) -> str:
    """One value of a column with its unit (first draw); the row of a one-row table is its only one."""
    if row < 0:
        return "nothing"
    values: Array = figures[column]
    row_values = values.reshape(-1, values.shape[-1])[0]
    here = min(row, len(row_values) - 1)
    value = row_values[here]
    if reason := absent(column, here, figures):
        return reason
    if column.blank and column.blank[here]:
        return "not stated"
    if column.percent:
        return f"{100 * float(value):.6g} %"
    return str(value) if column.unit is None else quantity(float(value), column.unit)


def quantity(value: float, unit: object) -> str:
    """A number as a person writes it: `0.31 EUR/kWh`, `3 %`, `1,234.5 EUR`."""
    text = units.written(unit)
    value += 0.0  # a negative zero is none
    digits = f"{value:,.2f}" if abs(value) >= 1000 else f"{value:.6g}"
    if text in ("month", "year") and value != 1:
        text += "s"
    return f"{digits} {text}".strip()


def absent(column: Column, row: int, figures: Figures) -> str:
    """Why a figure does not exist (first draw); empty where it does."""
    if column.state is None:
        return ""
    number = int(figures[column.state].reshape(-1, figures[column.state].shape[-1])[0][row])
    return column.words[number - 1] if number else ""
