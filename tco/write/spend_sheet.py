"""The front sheet of spend.xlsx: what to buy, a chart of what each purchase gives for its money, all it changes."""

from __future__ import annotations

from collections.abc import Sequence

from tco.ask.spend import HUNDRED, Figure, Single, Spending, Value
from tco.write.chance_cells import heading
from tco.write.chance_words import PRINTED
from tco.write.formats import BY_UNIT, PERCENT, WHOLE_MONEY
from tco.write.page import EIGHT, NINE, Page, lines_of
from tco.write.shared_sheets import asked, print_setup
from tco.write.spend_chart import Bars, drawn
from tco.write.spend_text import gain_heads
from tco.write.spend_words import answers, money, notes, verdict, with_along
from tco.write.summary import over_what

NAME = "What to buy"
LEFT, WIDE, WORDS = 30, 7.8, 34  # widths of the columns
PIXELS, TALL, EACH = 7.2, 130, 22  # of the chart: a unit of width, its height without bars, of each bar
HELP = 2  # columns between the page and what only the chart needs
SIGNED = '+0.0##;"−"0.0##;0'
HEADS = {
    "recommended": "room", "read": "reading", "write": "writing", "one_client_read": "one client reads",
    "one_client_write": "one client writes", "recovery_drive": "recovery of a drive",
    "recovery_node": "recovery of a node", "exposed_hours": "less redun- dancy", "node_losses": "nodes may die",
    "losses_writing": "and writing goes on", "first_power": "average power", "noise_idle": "at the bed, idle",
    "noise_busy": "at the bed, busy", "lcc": "life-cycle cost", "needs_missed": "needs missed", "fits": "does it fit",
}  # fmt: skip
TOLD = ("needs_open", "needs_shortfall")  # stand in the columns of gains


class Front:
    """The sheet as it is written: rows count from 0."""

    def __init__(self, page: Page, found: Spending) -> None:
        self.page, self.found = page, found
        figures = next((one.figures for one in found.singles if one.figures), ())
        self.figures = [figure for figure in figures if figure.name not in TOLD]
        self.gains = gain_heads(found)
        self.first = 2 + len(self.gains)  # the column of the first figure
        self.last = self.first + len(self.figures)  # that of the words
        self.wide = LEFT + WIDE * (self.last - 1) + WORDS

    def write(self) -> None:
        """The whole sheet."""
        sheet = self.page.sheet
        sheet.set_column(0, 0, LEFT)
        sheet.set_column(1, self.last - 1, WIDE)
        sheet.set_column(self.last, self.last, WORDS)
        self.top()
        row = self.page.sentences(3, self.last, self.wide, answers(self.found, PRINTED), "answer")
        row = self.chart(row + 1)
        row = self.table(row)
        row = self.page.sentences(row + 1, self.last, self.wide, [f"· {note}" for note in notes(self.found)], "small")
        print_setup(self.page, row, self.last)

    def top(self) -> None:
        """The question, and what kind of figures follow."""
        settings = self.found.study.settings
        told = (
            f"What to buy next for {self.found.scenario}; {over_what(settings)}. These are one run's results and no "
            "live cells: run tco spend again after a change. The sheets behind compare before and after, live."
        )
        asked(self.page, settings.question, told)

    def chart(self, row: int) -> int:
        """The bars; returns the row after them. Nothing where no purchase has one."""
        own = drawn(self.found)
        if not own:
            return row
        bars = Bars(self.page, self.found, self.last + 1 + HELP)
        bars.write()
        tall = TALL + EACH * len(own)
        return self.page.chart(row, bars.chart((round(PIXELS * self.wide), tall)), tall)

    def table(self, row: int) -> int:
        """As it is, the best set, then a row a purchase, the best for its money first."""
        heading(
            self.page,
            row,
            (0, self.last),
            "What each purchase makes of it, with all that it needs; in bold what changes",
        )
        self.heads(row + 1)
        self.page.sheet.repeat_rows(row + 1, row + 2)
        row += 3
        self.row(row, f"{self.found.scenario}, as it is", None, ["" for _ in self.gains],
                 [(figure, figure.before, False) for figure in self.figures], "")  # fmt: skip
        if self.found.best is not None:
            row += 1
            best = self.found.best
            words = ", ".join(best.names) or "nothing"
            after = [(figure, figure.after, is_changed(figure)) for figure in best.figures if figure.name not in TOLD]
            self.row(row, "the best set within the budget", best.price, ["" for _ in self.gains], after, words)
        for one in self.found.singles:
            row += 1
            self.single(row, one)
        return row + 1

    def single(self, row: int, one: Single) -> None:
        """One purchase."""
        after = [(figure, figure.after, is_changed(figure)) for figure in one.figures if figure.name not in TOLD]
        scale = [1.0, HUNDRED] if self.found.goal.is_needs else [HUNDRED if self.found.goal.percent else 1.0]
        gains: list[float | str] = ["unknown" if one.gains is None else "free"] * len(self.gains)
        if one.per_100 is not None:
            gains = [gain * times for gain, times in zip(one.per_100, scale, strict=True)]
        words = "" if one.is_recommended else verdict(one)
        self.row(row, with_along(one), one.price, gains, after, words)

    def heads(self, row: int) -> None:
        """Headings and units."""
        page, made = self.page, self.page.formats
        texts = ["Purchase", "price", *(text.replace("/100", " for 100") for text in self.gains)]
        units = ["", money(self.found), *[money(self.found)] * len(self.gains)]
        texts += [HEADS.get(figure.name, figure.label) for figure in self.figures]
        units += ["%" if figure.percent else figure.unit for figure in self.figures]
        for column, (text, unit) in enumerate(zip(texts, units, strict=True)):
            page.text(row, column, text, made.get("head" if column else "head_left"))
            page.text(row + 1, column, unit, made.get("mark" if column else "mark_left"))
        page.text(row, self.last, "What speaks against it, what the set is", made.get("head_aside"))
        page.text(row + 1, self.last, "", made.get("mark_aside"))
        page.height(row, max(lines_of(text, WIDE - 1, EIGHT) for text in texts), line=11.0, least=14)

    def row(
        self,
        row: int,
        name: str,
        price: float | None,
        gains: Sequence[float | str],
        figures: Sequence[tuple[Figure, Value, bool]],
        words: str,
    ) -> None:
        """A row of the table; what changes is bold."""
        page, made = self.page, self.page.formats
        page.text(row, 0, name, made.get("label"))
        if price is not None:
            page.number(row, 1, price, made.get("number", WHOLE_MONEY))
        for column, gain in enumerate(gains, start=2):
            if isinstance(gain, str):
                page.text(row, column, gain, made.get("text"))
            else:
                page.number(row, column, gain, made.get("number", SIGNED))
        for column, (figure, value, changes) in enumerate(figures, start=self.first):
            if isinstance(value, str):
                page.text(row, column, value, made.get("text"))
            else:
                look = made.get("strong" if changes else "number", number_format(figure, money(self.found)))
                page.number(row, column, value, look)
        page.text(row, self.last, words, made.get("aside"))
        tall = [lines_of(str(value), WIDE - 2, NINE) for _, value, _ in figures if isinstance(value, str)]
        page.height(row, max([lines_of(name, LEFT - 1, NINE), lines_of(words, WORDS - 3, EIGHT), *tall]))


def is_changed(figure: Figure) -> bool:
    """Whether a figure is another one than today."""
    if isinstance(figure.before, str) or isinstance(figure.after, str):
        return figure.before != figure.after
    return abs(figure.after - figure.before) > 1e-9 * max(1.0, abs(figure.before))


def number_format(figure: Figure, money: str) -> str:
    """How a figure is shown."""
    if figure.percent:
        return PERCENT
    if money in figure.unit:
        return WHOLE_MONEY
    return BY_UNIT.get(figure.unit, "0.0##" if figure.unit else "0")
