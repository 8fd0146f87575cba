"""A sheet as the tool writes it: each cell goes through `put`, which keeps what a fingerprint needs."""

from __future__ import annotations

from typing import Any

from xlsxwriter.worksheet import Worksheet

from tco.write.fingerprint import Listing
from tco.write.formats import Formats

USUAL_ROW, TALLEST_ROW = 15.0, 409.0  # points; no program takes a taller one


class PlainSheet(Worksheet):  # type: ignore[misc]
    """A sheet whose formulas are written as they are.

    The library searches each formula for thirty functions too new to stand without a prefix. Ours has none of them (a
    test holds that), and the searches took half the time of writing. Should the method change its name, they return.
    """

    def _prepare_formula(self, formula: str, expand_future_functions: bool = False) -> str:  # noqa: ARG002
        return formula.removeprefix("=")


class Page:
    """One sheet. Rows and columns count from 0."""

    def __init__(self, book: Any, name: str, formats: Formats, listing: Listing) -> None:
        self.book, self.name = book, name
        self.sheet = book.add_worksheet(name, PlainSheet)
        self.formats = formats
        self.cells = listing.setdefault(name, {})
        self.heights: dict[int, float] = {}

    def text(self, row: int, column: int, text: str, look: Any) -> None:
        """A text, never taken for a formula or a number; an empty one leaves the cell empty."""
        if not text:
            self.sheet.write_blank(row, column, None, look)
            return
        self.sheet.write_string(row, column, text, look)
        self.cells[row, column] = text

    def number(self, row: int, column: int, value: float, look: Any) -> None:
        """A number."""
        value += 0.0  # a negative zero would be written as -0
        self.sheet.write_number(row, column, value, look)
        self.cells[row, column] = value

    def formula(self, row: int, column: int, formula: str, value: Any, look: Any) -> None:
        """A live formula with its stored result."""
        stored = value if isinstance(value, str) else float(value) + 0.0
        self.sheet.write_formula(row, column, formula, look, stored)
        self.cells[row, column] = formula

    def wide(self, row: int, column: int, span: int, look: Any, text: str = "") -> None:
        """A text over several columns; write another kind of value over its first cell afterwards if need be."""
        if span > 1:
            self.sheet.merge_range(row, column, row, column + span - 1, "", look)
        self.text(row, column, text, look)

    def wide_formula(self, row: int, column: int, span: int, formula: str, value: Any, look: Any) -> None:
        """A live formula over several columns."""
        self.wide(row, column, span, look)
        self.formula(row, column, formula, value, look)

    def height(self, row: int, lines: int, *, line: float = 12.0, least: float = 13.0) -> None:
        """A row tall enough for that many lines of text."""
        self.points(row, min(TALLEST_ROW, max(least, line * lines + 2.0)))

    def points(self, row: int, height: float) -> None:
        """A row's height in points."""
        self.sheet.set_row(row, height)
        self.heights[row] = height

    def tall(self, first: int, end: int) -> float:
        """How tall some rows are together, in points."""
        return sum(self.heights.get(row, USUAL_ROW) for row in range(first, end))


NINE, EIGHT, BOLD, TWELVE = 1.27, 1.42, 1.1, 0.98  # letters of a size to a column's unit of width, with some to spare


def lines_of(text: str, columns: float, letters: float = NINE) -> int:
    """How many lines a text takes in a column of that width; words that do not fit go to the next."""
    width = columns * letters
    count, used = 1, 0.0
    for word in text.split():
        length = len(word)
        if used and used + 1 + length > width:
            count, used = count + 1, 0.0
        extra, rest = divmod(length, max(1, int(width)))
        count += extra if length > width else 0
        used = rest if length > width else used + length + (1 if used else 0)
    return count
