"""The formulas of a whole column at once.

From the second row on, a column's formulas differ only in row numbers, which run on evenly, and mostly the first is
of the same form; so the text is made once a column, not once a row. A test holds this to `cell_formula`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain, count, repeat, starmap
from string import digits

from tco.engine import Address, Column, Span, cell_formula, spans, starts_otherwise

OPENS, CLOSES = "\x01", "\x02"  # beside a reference's number; no formula holds one


def column_formulas(column: Column, address: Address) -> Iterator[str]:
    """The formula of each row, in order."""
    rows = len(column.table.rows)
    assert column.formula is not None
    if rows < 3:
        yield from (cell_formula(column, row, address) for row in range(rows))
        return
    own_start = starts_otherwise(column.formula)
    if own_start:
        yield cell_formula(column, 0, address)
    text = template(column)
    steps = zip(spans(column, 1), spans(column, 2), strict=True)
    runs: list[Iterable[str]] = [run(one, after, rows - 1, address) for one, after in steps]
    if not own_start:
        firsts = (address(*one) for one in spans(column, 0))
        runs = [chain([first], rest) for first, rest in zip(firsts, runs, strict=True)]
    yield from starmap(text.format, zip(*runs, strict=True)) if runs else repeat(text.format(), rows - own_start)


def template(column: Column) -> str:
    """The formula of all rows but the first, with a number in braces for each reference."""
    numbers = count()
    text = cell_formula(column, 1, lambda *_: f"{OPENS}{next(numbers)}{CLOSES}")
    return text.replace("{", "{{").replace("}", "}}").replace(OPENS, "{").replace(CLOSES, "}")


def run(one: Span, after: Span, rows: int, address: Address) -> Iterable[str]:
    """Where a reference leads in each of so many rows, given its span in the first and in the second."""
    text = address(*one)
    if one == after:
        return repeat(text, rows)
    if one[1] == one[2] and after[1:] == (one[1] + 1, one[2] + 1):  # a cell a row, whose address ends in its number
        stem = text.rstrip(digits)
        first = int(text[len(stem) :])
        return [f"{stem}{number}" for number in range(first, first + rows)]
    return (address(*moved(one, after, row)) for row in range(rows))


def moved(one: Span, after: Span, steps: int) -> Span:
    """A span that many rows on, given where it is and where it is one row on."""
    column, start, end = one
    return column, start + (after[1] - start) * steps, end + (after[2] - end) * steps
