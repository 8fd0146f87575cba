"""A sheet as the tool writes it: each cell goes through `put`, which keeps what a fingerprint needs."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from tco.write.fingerprint import NOTED, Listing
from tco.write.formats import Formats
from tco.write.plain_sheet import PlainSheet

USUAL_COLUMN = 8.43  # characters; as programs have it
LETTER = 11.4  # points of a font that is one unit of width to a digit, with some to spare
WIDEST = 60.0
USUAL_ROW, TALLEST_ROW = 15.0, 409.0  # points; no program takes a taller one


class Page:
    """One sheet. Rows and columns count from 0."""

    def __init__(self, book: Any, name: str, formats: Formats, listing: Listing) -> None:
        self.book, self.name = book, name
        self.sheet = book.add_worksheet(name, PlainSheet)
        self.formats = formats
        self.cells = listing.setdefault(name, {})
        self.heights: dict[int, float] = {}
        self.largest: dict[tuple[int, Any], float] = {}  # by column and look: the number that needs most room

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
        self.measure(column, value, look)

    def formula(self, row: int, column: int, formula: str, value: Any, look: Any) -> None:
        """A live formula with its stored result."""
        stored = value if isinstance(value, str) else float(value) + 0.0
        self.sheet.write_formula(row, column, formula, look, stored)
        self.cells[row, column] = formula
        if not isinstance(stored, str):
            self.measure(column, stored, look)

    def comment(self, row: int, column: int, text: str, options: dict[str, Any]) -> None:
        """A comment on a cell."""
        self.sheet.write_comment(row, column, text, options)
        self.cells[row, column, NOTED] = ""

    def measure(self, column: int, value: float, look: Any) -> None:
        """Keep the largest number of a column, by how it looks."""
        if abs(value) > self.largest.get((column, look), 0.0):
            self.largest[column, look] = abs(value)

    def widen(self) -> None:
        """Make columns as wide as their largest numbers, which would be shown as ### otherwise."""
        for (column, look), value in self.largest.items():
            wide = room_for(value, look)
            if wide > self.sheet.widths.get(column, USUAL_COLUMN):
                self.sheet.set_column(column, column, wide)

    def wide(self, row: int, column: int, span: int, look: Any, text: str = "") -> None:
        """A text over several columns; write another kind of value over its first cell afterwards if need be."""
        if span > 1:
            self.sheet.merge_range(row, column, row, column + span - 1, "", look)
        self.text(row, column, text, look)

    def wide_formula(self, row: int, column: int, span: int, formula: str, value: Any, look: Any) -> None:
        """A live formula over several columns."""
        self.wide(row, column, span, look)
        self.formula(row, column, formula, value, look)

    def sentences(self, row: int, last: int, wide: float, texts: Sequence[str], look: str) -> int:
        """Sentences one below the other, from the first column to `last`; returns the row after them.

        look: `answer` or `small`; wide: the units of width that they have.
        """
        is_answer = look == "answer"
        for number, one in enumerate(texts, start=row):
            self.wide(number, 0, last + 1, self.formats.get(look), one)
            count = lines_of(one, wide, TWELVE if is_answer else NINE)
            self.height(number, count, line=15.5 if is_answer else 12.0, least=18 if is_answer else 13)
        return row + len(texts)

    def chart(self, row: int, chart: Any, tall: float, end: int = 0) -> int:
        """A chart of so many pixels in height over the rows from one on; returns the row after it, at least `end`."""
        self.sheet.insert_chart(row, 0, chart, {"x_offset": 2, "object_position": 2})
        end = max(row, end)
        while self.tall(row, end) < tall * 0.75 + 8:
            end += 1
        return end

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


def room_for(value: float, look: Any) -> float:
    """How wide a column must be for a number as it looks, with a sign and some to spare; 0 where any will do."""
    if look.num_format in (0, "General"):
        return 0.0
    sample = look.num_format.split(";")[0]
    shown, percent = re.search(r"0\.([0#]+)", sample), "%" in sample
    beside = sum(map(len, re.findall(r'"(.*?)"', sample)))
    digits = len(shown.group(1)) if shown else 0
    text = f"{value * (100 if percent else 1):,.{digits}f}"
    return min(WIDEST, (len(text) + 2 + percent + beside) * float(look.font_size) / LETTER)


@lru_cache(10_000)  # most texts stand on each scenario's sheet
def lines_of(text: str, columns: float, letters: float = NINE) -> int:
    """How many lines a text takes in a column of that width; words that do not fit go to the next."""
    width = columns * letters
    if len(text) <= width:
        return 1
    count, used = 1, 0.0
    for word in text.split():
        length = len(word)
        if used and used + 1 + length > width:
            count, used = count + 1, 0.0
        extra, rest = divmod(length, max(1, int(width)))
        count += extra if length > width else 0
        used = rest if length > width else used + length + (1 if used else 0)
    return count
