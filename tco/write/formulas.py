"""The formulas of a whole column at once.

From the second row on, a column's formulas differ only in row numbers, which run on evenly; so two rows show what all
the others are, and the tree is walked three times, not once a row. A test holds this to `cell_formula`.
"""

from __future__ import annotations

from collections.abc import Iterator

from tco.engine import Address, Column, cell_formula

Span = tuple[Column, int, int]
MARK = "\x00"  # stands before and after a reference's number; no formula holds one


def column_formulas(column: Column, address: Address) -> Iterator[str]:
    """The formula of each row, in order."""
    rows = len(column.table.rows)
    if rows < 4:
        yield from (cell_formula(column, row, address) for row in range(rows))
        return
    yield cell_formula(column, 0, address)
    pieces, spans = marked(column, 1)
    numbers = [int(piece) for piece in pieces[1::2]]
    _, after = marked(column, 2)
    still = [address(*one) if one == other else "" for one, other in zip(spans, after, strict=True)]
    for row in range(1, rows):
        places = [
            fixed or address(*moved(one, other, row - 1))
            for fixed, one, other in zip(still, spans, after, strict=True)
        ]
        pieces[1::2] = [places[number] for number in numbers]
        yield "".join(pieces)


def marked(column: Column, row: int) -> tuple[list[str], list[Span]]:
    """A row's formula in pieces, every second one the number of a reference, and what each reference spans."""
    spans: list[Span] = []

    def note(other: Column, start: int, end: int) -> str:
        spans.append((other, start, end))
        return f"{MARK}{len(spans) - 1}{MARK}"

    return cell_formula(column, row, note).split(MARK), spans


def moved(one: Span, after: Span, steps: int) -> Span:
    """A span that many rows on, given where it is and where it is one row on."""
    column, start, end = one
    return column, start + (after[1] - start) * steps, end + (after[2] - end) * steps
