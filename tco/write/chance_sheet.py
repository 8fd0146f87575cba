"""The sheet `Chance` of simulate.xlsx: the answer in sentences, ranges, chances, and what drives the spread."""

from __future__ import annotations

from dataclasses import dataclass

from tco.ask.simulated import Chance, Outcome, Simulated
from tco.write.chance_cells import ERROR, LEFT, WIDE, figures, over, share
from tco.write.chance_chart import Ranges
from tco.write.chance_figures import dearest, ranked
from tco.write.chance_inputs import Inputs, columns
from tco.write.chance_pairs import Pairs
from tco.write.chance_words import PRINTED, answers, draws_of, notes
from tco.write.formats import MONEY, WHOLE_MONEY
from tco.write.page import EIGHT, NINE, Page, lines_of
from tco.write.shared_sheets import asked, print_setup
from tco.write.summary import kept_for, over_what

NAME = "Chance"
ONE_PAGE = 6  # scenarios that a printed page holds
LAST = 15  # the page's last column, unless there are more scenarios than a page holds
CHART, TALLER = (655, 300), 22  # pixels; how much more each scenario beyond ONE_PAGE takes
BESIDE = 8  # where the table of pairs begins, right of the chart; its names take two columns
HELP = 2  # columns between the page and what only the chart needs
MEAN = ("p10", "p50", "p90", "mean", "error")


@dataclass(frozen=True)
class Group:
    """Columns that belong together: what stands over them, over each, and its unit."""

    heading: str
    words: tuple[str, ...]
    units: tuple[str, ...]


class Front:
    """The sheet as it is written: rows count from 0."""

    def __init__(self, page: Page, found: Simulated) -> None:
        self.page, self.found = page, found
        self.outcomes = ranked(found)
        self.fits = len(self.outcomes) <= ONE_PAGE
        self.last = max(LAST, columns(found) - 1)
        self.kinds = (*MEAN, *(["exact"] if any(own.lcc.exact is not None for own in self.outcomes) else []))

    def write(self) -> None:
        """The whole sheet."""
        self.page.sheet.set_column(0, 0, LEFT)
        self.page.sheet.set_column(1, self.last, WIDE)
        self.top()
        row = self.pairs_and_chart(self.sentences(3))
        row = self.scenarios(row + 1)
        if self.found.varied:
            row = Inputs(self.page, self.found, self.last).write(row + 1)
        row = self.notes(row + 1)
        print_setup(self.page, row, self.last)
        if self.fits:
            self.page.sheet.fit_to_pages(1, 1)
            self.page.sheet.center_horizontally()

    def top(self) -> None:
        """The question, and what kind of figures follow."""
        settings = self.found.comparison.study.settings
        about = f"{over_what(settings)}. {draws_of(self.found)}"
        told = f"{about}, seed {self.found.seed}. These are that run's results and no live cells: run tco simulate "
        asked(self.page, settings.question, f"{told}again after a change.")

    def sentences(self, row: int) -> int:
        """The answer; returns the row after it."""
        told = answers(self.found, PRINTED)
        return 1 + self.page.sentences(row, self.last, LEFT + self.last * WIDE, told, "answer")

    def pairs_and_chart(self, row: int) -> int:
        """The chart and the table of pairs, side by side where they fit; returns the row after them."""
        ranges = Ranges(self.page, self.found, 0, self.last + 1 + HELP)
        ranges.write()
        wide, tall = CHART[0], CHART[1] + TALLER * max(0, len(self.outcomes) - ONE_PAGE)
        end = Pairs(self.page, self.found, BESIDE, 2).write(row) if self.fits else row
        end = self.page.chart(row, ranges.chart((wide, tall)), tall, end)
        return end if self.fits else Pairs(self.page, self.found, 0, 1).write(end + 1)

    def groups(self) -> list[Group]:
        """The columns of the table of scenarios."""
        settings = self.found.comparison.study.settings
        money, kept = settings.currency, kept_for(settings.horizon)
        words = ("P10", "P50", "P90", "mean", PRINTED.error, "exact mean")[: len(self.kinds)]
        year = ("P50", "P90", "most often", "")
        return [
            Group("A month, all spread evenly", ("P10", "P50", "P90"), (money,) * 3),
            Group(f"Life-cycle cost, {kept}", words, (money,) * len(words)),
            Group("Is the cheapest", ("chance", PRINTED.error), ("of draws", "")),
            Group("Cash of the dearest year after the start", year, (money, money, "", "of draws")),
        ]

    def scenarios(self, row: int) -> int:
        """One row a scenario; returns the row after them."""
        self.heads(row)
        for number, own in enumerate(self.outcomes, start=row + 3):
            is_last = own is self.outcomes[-1]
            self.page.text(number, 0, own.scenario, self.page.formats.get("strong", last=is_last))
            self.page.height(number, lines_of(own.scenario, LEFT - 2, NINE), least=16)
            self.scenario(number, own, last=is_last)
        return row + 3 + len(self.outcomes)

    def heads(self, row: int) -> None:
        """Headings over groups of columns, over each, and units."""
        made, column = self.page.formats, 1
        for line, look in enumerate(("head_left", "head_left", "mark_left")):
            for left in range(self.last + 1):
                self.page.text(row + line, left, "", made.get(look))
        for group in self.groups():
            over(self.page, row, column, len(group.words), group.heading)
            for word, unit in zip(group.words, group.units, strict=True):
                self.page.text(row + 1, column, word, made.get("head"))
                self.page.text(row + 2, column, unit, made.get("mark"))
                column += 1
        wide = ((group.heading, len(group.words) * WIDE - 2) for group in self.groups())
        self.page.height(row, max(lines_of(text, width, EIGHT) for text, width in wide))

    def scenario(self, row: int, own: Outcome, *, last: bool) -> None:
        """One scenario's figures."""
        page, made = self.page, self.page.formats
        page.text(row, self.last, "", made.get("label", last=last))
        column = figures(page, (row, 1), own.equivalent_month, MEAN[:3], MONEY, last=last)
        column = figures(page, (row, column), own.lcc, self.kinds, WHOLE_MONEY, last=last)
        if own.scenario in self.found.among:
            share(page, row, column, own.cheapest.share, last=last)
            self.error(row, column + 1, own.cheapest, last=last)
        else:
            page.wide(row, column, 2, made.get("text", last=last), "not ranked")
        column = figures(page, (row, column + 2), own.worst_year, ("p50", "p90"), WHOLE_MONEY, last=last)
        page.text(row, column, dearest(own).name, made.get("text", last=last))
        share(page, row, column + 1, dearest(own).worst, last=last)

    def error(self, row: int, column: int, chance: Chance, *, last: bool) -> None:
        """The standard error of a chance; a dash where no draw differs, which leaves more open than none."""
        if 0 < chance.share < 1:
            self.page.number(row, column, chance.error, self.page.formats.get("number", ERROR, last=last))
        else:
            self.page.text(row, column, "–", self.page.formats.get("text", last=last))

    def notes(self, row: int) -> int:
        """What the figures rest on; returns the row after it."""
        told = [f"· {note}" for note in notes(self.found, PRINTED)]
        return self.page.sentences(row, self.last, LEFT + self.last * WIDE, told, "small")
