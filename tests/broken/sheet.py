"""A table as rows of cells that know where they stand, so that a change of one knows its place."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass

from tests.broken.good import written


@dataclass(frozen=True)
class Sheet:
    """The rows of one CSV table; the first names the columns."""

    file: str
    rows: tuple[tuple[str, ...], ...]

    @property
    def header(self) -> tuple[str, ...]:
        return self.rows[0]

    @property
    def text(self) -> str:
        """As a file holds it."""
        return written(self.rows)

    def line(self, row: int) -> int:
        """The line of the file on which a row begins."""
        return 1 + sum(1 + "".join(cells).count("\n") for cells in self.rows[:row])

    def place(self, row: int, column: int | None = None) -> str:
        """Where a row, or one of its cells, stands, as messages print it; line breaks before it in its row count."""
        if column is None:
            return f"{self.file}:{self.line(row)}"
        return f"{self.file}:{self.line(row) + ''.join(self.rows[row][:column]).count(chr(10))}:{column + 1}"

    def with_cell(self, row: int, column: int, text: str) -> Sheet:
        """The table with another text in one cell."""
        cells = [*self.rows[row]]
        cells[column] = text
        return self.with_row(row, cells)

    def with_row(self, row: int, cells: Sequence[str]) -> Sheet:
        """The table with other cells in one row."""
        return Sheet(self.file, (*self.rows[:row], tuple(cells), *self.rows[row + 1 :]))

    def with_more(self, row: int, cells: Sequence[str]) -> Sheet:
        """The table with one more row, in front of the given one."""
        return Sheet(self.file, (*self.rows[:row], tuple(cells), *self.rows[row:]))

    def with_column(self, header: str, cells: Sequence[str]) -> Sheet:
        """The table with one more column, the last."""
        return Sheet(self.file, tuple((*row, cell) for row, cell in zip(self.rows, (header, *cells), strict=True)))

    def without_column(self, column: int) -> Sheet:
        """The table without one column."""
        return Sheet(self.file, tuple((*row[:column], *row[column + 1 :]) for row in self.rows))


def sheet(file: str, text: str) -> Sheet:
    """The table that a text holds."""
    return Sheet(file, tuple(tuple(row) for row in csv.reader(io.StringIO(text, newline=""))))
