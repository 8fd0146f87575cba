"""Tables of the page: a row a figure, a column a scenario."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from tco.write.page_to_send.shown import Figure

NARROW, WIDEST = 8, 24  # of a column, in digits
PAPER = 76  # digits beside the rows' heads on paper
PHONE = 40  # digits side by side on a phone
NOTHING = ("", "–", "unknown", "none")


@dataclass(frozen=True)
class Row:
    """A figure of every scenario: what stands before it, and its unit."""

    head: str
    unit: str
    cells: tuple[Figure, ...]


@dataclass(frozen=True)
class Table:
    """A table. key: its name in the page; words: what stands under a scenario's name."""

    key: str
    caption: str
    names: tuple[str, ...]
    rows: tuple[Row, ...]
    words: tuple[str, ...] = ()

    @property
    def columns(self) -> tuple[tuple[str, str], ...]:
        """Each scenario's name with its word."""
        return tuple(zip(self.names, self.words or ("",) * len(self.names), strict=True))

    @property
    def is_words(self) -> bool:
        """Whether the table holds words, and numbers only within them."""
        return all(cell.value is None or cell.strong for row in self.rows for cell in row.cells)

    @property
    def least(self) -> int:
        """How wide a column is at least, in digits: as its longest number; words are broken."""
        numbers = [cell for row in self.rows for cell in row.cells if cell.value is not None and not cell.strong]
        texts = [len(cell.text) for cell in numbers]
        return max(NARROW, min(WIDEST, max(texts, default=0))) + 1

    @property
    def is_wide(self) -> bool:
        """Whether a phone shows a part of it at a time."""
        return len(self.names) * (self.least + 1) > PHONE

    @property
    def parts(self) -> tuple[Table, ...]:
        """The table in pieces that fit a sheet of paper side by side; itself alone where it fits."""
        count = max(1, PAPER // (self.least + 2))
        if len(self.names) <= count:
            return (self,)
        return tuple(self.part(first, first + count) for first in range(0, len(self.names), count))

    def part(self, first: int, end: int) -> Table:
        """Some of the scenarios."""
        rows = tuple(replace(row, cells=row.cells[first:end]) for row in self.rows)
        name = f"{self.key}-{first + 1}"
        return replace(self, key=name, names=self.names[first:end], words=self.words[first:end], rows=rows)


def filled(rows: Iterable[Row]) -> tuple[Row, ...]:
    """Rows in which at least one scenario has a figure, or words that say more than that there is none."""
    return tuple(row for row in rows if any(cell.text not in NOTHING for cell in row.cells))
