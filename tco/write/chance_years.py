"""The sheet `By year` of simulate.xlsx: cash, chances and failures of each scenario's years."""

from __future__ import annotations

from tco.ask.simulated import Outcome, Simulated, Year
from tco.write.chance_cells import figures, head_height, over, share
from tco.write.chance_figures import ranked
from tco.write.chance_words import draws_of
from tco.write.formats import WHOLE_MONEY
from tco.write.page import NINE, Page, lines_of
from tco.write.shared_sheets import print_setup, top

NAME, HEAD = "By year", 3
FIRST = HEAD + 3
LEFT, YEAR, WIDE = 34, 16, 12.0
PAGE = 430.0  # points of rows below the headings that a printed page holds
UNITS_A_YEAR = "#,##0.00"
HEADINGS = (
    (2, 3, "Cash of the year"),
    (5, 1, "Is the dearest after the start"),
    (6, 3, "Units replaced, expected"),
    (9, 1, "Failed and worn together"),
)
COUNTS = ("failures", "covered", "worn")


class Years:
    """The sheet as it is written: rows count from 0."""

    def __init__(self, page: Page, found: Simulated) -> None:
        self.page, self.found = page, found
        money = found.comparison.study.settings.currency
        self.columns = (
            ("P10", money),
            ("P50", money),
            ("P90", money),
            ("chance", "of draws"),
            ("failed", "units"),
            ("of these covered", "units"),
            ("worn", "units"),
            ("P90", "units"),
        )
        self.last = 1 + len(self.columns)

    def write(self) -> None:
        """The whole sheet."""
        about = (
            "Cash as it is paid, resale left in. P10, P50, P90: one, five and nine draws of ten come to that at most."
        )
        top(self.page, "By year: what may be paid, and what may fail", f"{about} {draws_of(self.found)}.")
        for column, wide in enumerate((LEFT, YEAR, *([WIDE] * len(self.columns)))):
            self.page.sheet.set_column(column, column, wide)
        self.heads()
        row, begins, breaks = FIRST, FIRST, []
        for own in ranked(self.found):
            after = self.scenario(row, own)
            if begins < row and self.page.tall(begins, after) > PAGE:
                breaks.append(row)
                begins = row
            row = after
        self.page.sheet.set_h_pagebreaks(breaks)
        row = self.notes(row + 1)
        self.page.sheet.freeze_panes(FIRST, 2)
        self.page.sheet.repeat_rows(HEAD, FIRST - 1)
        print_setup(self.page, row, self.last)

    def heads(self) -> None:
        """Headings over groups of columns, over each, and units."""
        page, made = self.page, self.page.formats
        for line, look in enumerate(("head_left", "head_left", "mark_left")):
            for column in range(self.last + 1):
                page.text(HEAD + line, column, "", made.get(look))
        page.text(HEAD + 1, 0, "scenario", made.get("head_left"))
        page.text(HEAD + 1, 1, "year", made.get("head_left"))
        for column, span, text in HEADINGS:
            over(page, HEAD, column, span, text)
        head_height(page, HEAD, [HEADINGS[1][2]], WIDE)
        for column, (word, unit) in enumerate(self.columns, start=2):
            page.text(HEAD + 1, column, word, made.get("head"))
            page.text(HEAD + 2, column, unit, made.get("mark"))
        head_height(page, HEAD + 1, [word for word, _ in self.columns], WIDE)

    def scenario(self, row: int, own: Outcome) -> int:
        """One scenario's years; returns the row after them."""
        for number, year in enumerate(own.years, start=row):
            is_last = year is own.years[-1]
            look = "strong" if year is own.years[0] else "label"
            self.page.text(number, 0, own.scenario, self.page.formats.get(look, last=is_last))
            self.page.height(number, lines_of(own.scenario, LEFT - 2, NINE), least=15)
            self.year(number, year, last=is_last)
        return row + len(own.years)

    def year(self, row: int, year: Year, *, last: bool) -> None:
        """One year."""
        page, made = self.page, self.page.formats
        page.text(row, 1, year.name, made.get("label", last=last))
        figures(page, (row, 2), year.cash, ("p10", "p50", "p90"), WHOLE_MONEY, last=last)
        if year.year:
            share(page, row, 5, year.worst, last=last)
        else:
            page.text(row, 5, "–", made.get("text", last=last))
        for column, kind in enumerate(COUNTS, start=6):
            page.number(row, column, getattr(year, kind), made.get("number", UNITS_A_YEAR, last=last))
        page.number(row, 9, year.p90, made.get("number", "#,##0.##" if year.p90 % 1 else "#,##0", last=last))

    def notes(self, row: int) -> int:
        """What the words mean; returns the row after it."""
        told = (
            "Covered: replaced under warranty, for the cost of a claim. Worn: replaced since what it may be written "
            "or its calendar life is used up. Failed and worn, P90: that many together at most in nine of ten draws.",
            "Figures of one run, no live cells: run tco simulate again after a change.",
        )
        return self.page.sentences(row, self.last, LEFT + YEAR + len(self.columns) * WIDE, told, "small")
