"""Formulas read as live cells. Knows no spreadsheet library: `write/` places the strings."""

from __future__ import annotations

from collections.abc import Callable

from tco.engine.nodes import Column, Constant, Function, Node, Ref, Text, fill, fold

# Where cells stand: (column, first row, last row) -> `$B$7`, `$B$7:$B$66` or a name.
Address = Callable[[Column, int, int], str]


def cell_formula(column: Column, row: int, address: Address) -> str:
    """The formula of one row, with its equals sign; raises AssertionError for a given column."""
    assert column.formula is not None

    def leaf(node: Node) -> Text:
        return Text(constant(node.value)) if isinstance(node, Constant) else Text(reference(node, row, address))

    def join(function: Function, args: list[Text]) -> Text:
        first = row == 0 and function.sheet_first is not None
        return fill(function.sheet_first if first and function.sheet_first else function.sheet, args)

    formula = fold(column.formula, leaf, join).text
    if column.state is None:
        return f"={formula}"
    state = address(column.state, row, row)
    return f"=IF({state}>0,CHOOSE({state},{','.join(map(text, column.words))}),{formula})"


def text(words: str) -> str:
    """A text as a cell formula holds it."""
    return '"' + words.replace('"', '""') + '"'


def reference(node: Node, row: int, address: Address) -> str:
    """The address that a reference means in a row; empty for the row before the first."""
    assert isinstance(node, Ref)
    last = len(node.column.table.rows) - 1
    here = min(row, last)  # the only row of a one-row table
    spans = {
        "cell": (here, here),
        "key": (here, here),
        "at": (node.row, node.row),
        "range": (0, last),
        "keys": (0, last),
        "so far": (0, here),
        "to end": (last - here, last),
        "before": (here - 1, here - 1),
    }
    start, end = spans[node.reach]
    return address(node.column, start, end) if start >= 0 else ""


def constant(value: float) -> str:
    """A number as a cell formula holds it; a negative one is bracketed, never left to precedence."""
    text = repr(float(value) + 0.0).upper()  # + 0.0: no minus before a 0
    text = text.removesuffix(".0")
    return f"({text})" if value < 0 else text
