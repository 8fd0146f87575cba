"""The table of pairs: the chance that one scenario costs less than another."""

from __future__ import annotations

from collections.abc import Sequence

from tco.ask.simulated import Outcome, Simulated
from tco.write.chance_cells import LEFT, WIDE, head_height, heading, share, short_heads
from tco.write.chance_figures import by_median, costs_less
from tco.write.chance_words import draws_of
from tco.write.page import NINE, Page, lines_of


class Pairs:
    """The table from a row and a column on; `span`: how many columns the names take."""

    def __init__(self, page: Page, found: Simulated, left: int, span: int) -> None:
        self.page, self.found, self.left, self.span = page, found, left, span
        self.outcomes = by_median(found)
        self.names_wide = (0 if left else LEFT) + (span - (not left)) * WIDE

    def write(self, row: int) -> int:
        """The whole table, nothing for one scenario; returns the row after it."""
        if len(self.outcomes) < 2:
            return row
        first, right = self.left + self.span, self.left + self.span + len(self.outcomes) - 1
        heading(self.page, row, (self.left, right), "Chance that the row costs less than the column")
        self.heads(row + 1, first, self.outcomes)
        for number, own in enumerate(self.outcomes, start=row + 2):
            self.line(number, first, own)
        return self.note(row + 2 + len(self.outcomes), right - self.left + 1)

    def heads(self, row: int, first: int, outcomes: Sequence[Outcome]) -> None:
        """The scenarios over the columns."""
        made, short = self.page.formats, short_heads(self.found)
        self.page.wide(row, self.left, self.span, made.get("head_left"))
        for column, own in enumerate(outcomes, start=first):
            self.page.text(row, column, short[own.scenario], made.get("head"))
        head_height(self.page, row, [*short.values()])

    def line(self, row: int, first: int, own: Outcome) -> None:
        """One scenario against each; a dash against itself."""
        is_last = own is self.outcomes[-1]
        self.page.wide(row, self.left, self.span, self.page.formats.get("strong", last=is_last), own.scenario)
        self.page.height(row, lines_of(own.scenario, self.names_wide - 2, NINE), least=16)
        for column, other in enumerate(self.outcomes, start=first):
            value = None if own is other else costs_less(self.found, own, other)
            if value is not None:
                share(self.page, row, column, value, last=is_last)
                continue
            word = "–" if own is other else "same"
            self.page.text(row, column, word, self.page.formats.get("text", last=is_last))

    def note(self, row: int, columns: int) -> int:
        """How to read it; returns the row after it."""
        told = (
            f"Of {draws_of(self.found)}. Below the diagonal: what is left to 100 %, draws of equal cost counted in."
        )
        self.page.wide(row, self.left, columns, self.page.formats.get("small"), told)
        wide = self.names_wide + (columns - self.span) * WIDE
        self.page.height(row, lines_of(told, wide, NINE))
        return row + 1
