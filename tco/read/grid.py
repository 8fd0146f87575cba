"""A table before anybody knows what its cells mean: texts with their true places."""

from __future__ import annotations

from dataclasses import dataclass

from tco.errors import Place

SIZE_LIMIT = 20_000_000  # bytes of one file
ROW_LIMIT = 5_000  # filled rows of one table; a study for the home has dozens
COLUMN_LIMIT = 200


class Stored(str):
    """The text of a number that a workbook stores as a number: its decimal sign is a point, beyond doubt."""

    __slots__ = ()


@dataclass(frozen=True)
class Line:
    """One row: its cells, the line each cell starts on, and the line of the row itself, counted from 1."""

    number: int
    cells: tuple[str, ...]
    starts: tuple[int, ...] = ()  # empty: all cells start on the row's own line

    def start(self, index: int) -> int:
        """The line on which cell `index`, counted from 0, starts."""
        return self.starts[index] if index < len(self.starts) else self.number


@dataclass(frozen=True)
class Grid:
    """The filled rows of one table; the first one is the header.

    whole: False where reading broke off, so that names it lacks may be in the rest.
    ragged: True where short rows are usual, because a workbook does not store empty cells.
    """

    file: str
    lines: tuple[Line, ...]
    whole: bool = True
    ragged: bool = False

    def place(self, line: Line, index: int) -> Place:
        """Where cell `index`, counted from 0, of a row stands."""
        return Place(self.file, line.start(index), index + 1)

    def row_place(self, line: Line) -> Place:
        """Where a row stands."""
        return Place(self.file, line.number)


def megabytes(size: int) -> str:
    """A size in bytes for people: 209.7 MB."""
    return f"{size / 1e6:.1f} MB"
