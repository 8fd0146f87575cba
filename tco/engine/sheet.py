"""Formulas read as live cells. Knows no spreadsheet library: `write/` places the strings."""

from __future__ import annotations

from collections.abc import Callable

from tco.engine.nodes import Column, Constant, Function, Node, Ref, Text, fill, fold, leaves

# Where cells stand: (column, first row, last row) -> `$B$7`, `$B$7:$B$66` or a name.
Address = Callable[[Column, int, int], str]
Span = tuple[Column, int, int]


def cell_formula(column: Column, row: int, address: Address) -> str:
    """The formula of one row, with its equals sign; raises AssertionError for a given column."""
    assert column.formula is not None

    def leaf(node: Node) -> Text:
        return Text(constant(node.value)) if isinstance(node, Constant) else Text(reference(node, row, address))

    def join(function: Function, args: list[Text]) -> Text:
        return fill(function.sheet if row or function.sheet_first is None else function.sheet_first, args)

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
    start, end = span(node, row)
    return address(node.column, start, end) if start >= 0 else ""


def span(node: Ref, row: int) -> tuple[int, int]:
    """The first and the last row that a reference means in a row; -1 for the row before the first."""
    last = len(node.column.table.rows) - 1
    here = min(row, last)  # the only row of a one-row table
    match node.reach:
        case "cell" | "key":
            return here, here
        case "range" | "keys":
            return 0, last
        case "so far":
            return 0, here
        case "to end":
            return last - here, last
        case "before":
            return here - 1, here - 1
    return node.row, node.row


def spans(column: Column, row: int) -> list[Span]:
    """What the references of a row's formula span, in the order in which cell_formula asks for their addresses."""
    assert column.formula is not None
    found = [(leaf.column, *span(leaf, row)) for leaf in leaves(column.formula) if isinstance(leaf, Ref)]
    return found if column.state is None else [*found, (column.state, row, row)]


def starts_otherwise(formula: Node) -> bool:
    """Whether the first row's formula is of another form than the others'."""
    return fold(
        formula,
        lambda leaf: isinstance(leaf, Ref) and leaf.reach == "before",
        lambda function, parts: function.sheet_first is not None or any(parts),
    )


def constant(value: float) -> str:
    """A number as a cell formula holds it; a negative one is bracketed, never left to precedence."""
    text = repr(float(value) + 0.0).upper()  # + 0.0: no minus before a 0
    text = text.removesuffix(".0")
    return f"({text})" if value < 0 else text
