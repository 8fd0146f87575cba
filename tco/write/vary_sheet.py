"""The sheet `What matters` of vary.xlsx: the answer in sentences, bars around the study's value, every input."""

from __future__ import annotations

from collections.abc import Iterator

from tco.ask.vary import Swing, Variation
from tco.write.chance_cells import heading, over
from tco.write.chance_words import PRINTED
from tco.write.formats import WHOLE_MONEY
from tco.write.page import EIGHT, NINE, Page, lines_of
from tco.write.shared_sheets import asked, print_setup
from tco.write.summary import over_what
from tco.write.vary_chart import Bars
from tco.write.vary_figures import DIGITS, letter, number_format, unit_of, value_of
from tco.write.vary_words import answers, meeting, needs_of, notes, span

NAME = "What matters"
LEFT, VALUE, COST, WORDS = 36, 9, 8.6, 42  # widths of the columns
VALUES = ("low", "study says", "high")
PIXELS, TALL = 7.2, 350  # of the chart: a unit of width, its height
HELP = 2  # columns between the page and what only the chart needs


class Front:
    """The sheet as it is written: rows count from 0."""

    def __init__(self, page: Page, found: Variation) -> None:
        self.page, self.found = page, found
        self.first = 1 + len(VALUES)  # the column of the first scenario
        self.last = self.first + 2 * len(found.names)  # that of the words
        self.wide = LEFT + VALUE * len(VALUES) + COST * 2 * len(found.names) + WORDS

    def write(self) -> None:
        """The whole sheet."""
        sheet = self.page.sheet
        sheet.set_column(0, 0, LEFT)
        sheet.set_column(1, len(VALUES), VALUE)
        sheet.set_column(self.first, self.last - 1, COST)
        sheet.set_column(self.last, self.last, WORDS)
        self.top()
        row = self.page.sentences(3, self.last, self.wide, answers(self.found, PRINTED), "answer")
        row = self.chart(row + 1)
        row = self.table(row)
        row = self.page.sentences(row + 1, self.last, self.wide, [f"· {note}" for note in notes(self.found)], "small")
        print_setup(self.page, row, self.last)

    def top(self) -> None:
        """The question, and what kind of figures follow."""
        settings = self.found.comparison.study.settings
        about = f"{over_what(settings)}. Each input alone, from its"
        told = (
            f"{about} low to its high end. These are one run's results and no live cells: run tco vary again after "
        )
        asked(self.page, settings.question, f"{told}a change.")

    def chart(self, row: int) -> int:
        """The bars; returns the row after them. Nothing where no input changes a cost."""
        if not self.found.swings:
            return row
        bars = Bars(self.page, self.found, 0, self.last + 1 + HELP)
        bars.write()
        return self.page.chart(row, bars.chart((round(PIXELS * self.wide), TALL)), TALL)

    def table(self, row: int) -> int:
        """A row an input, the largest effect first, then those that change only who meets the needs."""
        found = self.found
        if not (found.swings or found.silent):
            return row
        told = "Every input that changes a cost, or who meets all needs; life-cycle costs"
        heading(self.page, row, (0, self.last), f"{told} {span(found)}")
        self.heads(row + 1)
        self.page.sheet.repeat_rows(row + 1, row + 3)
        first = row + 4
        for number, own in enumerate((*found.swings, *found.silent), start=first):
            self.row(number, own)
        return first + len(found.swings) + len(found.silent)

    def heads(self, row: int) -> None:
        """Headings over groups of columns, over each, and units."""
        page, made = self.page, self.page.formats
        settings = self.found.comparison.study.settings
        for line, look in enumerate(("head_left", "head_left", "mark_left")):
            for column in range(self.last + 1):
                page.text(row + line, column, "", made.get(look))
        page.text(row + 1, 0, "Input", made.get("head_left"))
        over(page, row, 1, len(VALUES), "Its values")
        for column, word in enumerate(VALUES, start=1):
            page.text(row + 1, column, word, made.get("head"))
        for number, name in enumerate(self.found.names):
            column = self.first + 2 * number
            over(page, row, column, 2, f"{letter(number)} {name}")
            for side, word in enumerate(("at low", "at high")):
                page.text(row + 1, column + side, word, made.get("head"))
                page.text(row + 2, column + side, settings.currency, made.get("mark"))
        page.text(row + 1, self.last, "What it changes", made.get("head_aside"))
        page.text(row + 2, self.last, "", made.get("mark_aside"))
        names = [f"{letter(number)} {name}" for number, name in enumerate(self.found.names)]
        page.height(row, max(lines_of(name, 2 * COST - 2, EIGHT) for name in names))

    def row(self, row: int, own: Swing) -> None:
        """One input."""
        page, made, one, choice = self.page, self.page.formats, own.choice.input, own.choice
        unit = unit_of(one)
        label = f"{one.label} [{unit}]" if unit and not one.is_factor else one.label
        page.text(row, 0, label, made.get("label"))
        for column, value in enumerate((choice.low, choice.likely, choice.high), start=1):
            if value is None:
                page.text(row, column, "several", made.get("text"))
            else:
                page.number(row, column, value, made.get("number", number_format(one, value)))
        for number, ends in enumerate(zip(own.at_low, own.at_high, strict=True)):
            for side, cost in enumerate(ends):
                page.number(row, self.first + 2 * number + side, cost, made.get("number", WHOLE_MONEY))
        words = "; ".join(self.words(own))
        page.text(row, self.last, words, made.get("aside"))
        page.height(row, max(lines_of(label, LEFT - 1, NINE), lines_of(words, WORDS - 3, EIGHT)))

    def words(self, own: Swing) -> Iterator[str]:
        """Where another one becomes the cheapest, and who meets all needs no longer."""
        for flip in own.flips:
            value = value_of(own.choice.input, flip.value, PRINTED, DIGITS)
            yield f"cheapest below {value}: {flip.before}, from there: {flip.after}"
        if needs_of(self.found, own):
            yield f"all needs: {meeting(self.found, own, PRINTED)}"
