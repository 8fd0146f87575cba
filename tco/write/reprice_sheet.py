"""The first sheet of reprice.xlsx: what a new price changes in sentences, two charts, and tables before and after."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tco.ask.reprice import Pair, Repriced, break_evens, from_then_on, level_factor, level_with, ranking
from tco.write import charts, names
from tco.write.formats import MONEY, WHOLE_MONEY
from tco.write.live import Live, either, fixed, picked, row_of, sentence, size, text
from tco.write.page import EIGHT, NINE, Page, lines_of
from tco.write.reprice_months import PRICE, Months, figure
from tco.write.reprice_words import crossing_sentences, headline, lines_sentence, new_remarks, ranking_sentence
from tco.write.shared_sheets import asked, print_setup
from tco.write.summary import kept_for

NAME = "Before and after"
LEFT, WIDE, LAST = 26, 10.6, 13
FINDING = 16  # right of the page: what only the charts need
ONE_PAGE = 5  # scenarios that a printed page holds
CHART, CHART_ROWS = (598, 300), 16
MONTHLY, TOTAL, LCC, PLACE, WORTH = 1, 4, 7, 10, 12  # where the groups of columns begin
SAME, LESS = "none: their electricity costs the same", " costs less at any price"
FACTOR, NOW, LEVEL_PRICE = 3, 7, 9  # likewise of the second table, whose factors take two columns each


@dataclass(frozen=True)
class Head:
    """What stands over columns that belong together: before, after, and perhaps change.

    left: the first of them; each: how many sheet columns one takes.
    """

    heading: str
    unit: str
    left: int
    changes: bool = False
    each: int = 1

    @property
    def words(self) -> tuple[str, ...]:
        return ("before", "after", "change") if self.changes else ("before", "after")

    @property
    def span(self) -> int:
        return self.each * len(self.words)


class Front:
    """The sheet as it is written: rows count from 0."""

    def __init__(self, page: Page, found: Repriced, months: Months) -> None:
        self.page, self.found, self.months = page, found, months
        self.money = found.study.settings.currency
        self.names = [ground.scenario.scenario for ground, _ in found.pairs]
        self.since = found.after.built.grounds[0].months.rows[found.shown_month]
        self.first = 0  # the row of the first scenario

    def write(self) -> None:
        """The whole sheet."""
        page, settings = self.page, self.found.study.settings
        page.sheet.set_column(0, 0, LEFT)
        page.sheet.set_column(1, LAST, WIDE)
        about = f"{kept_for(self.found.horizon)} from {settings.start:%Y-%m}, in {self.money}."
        line = f"{about} Change is after less before, and follows the cells; sentences are as tco ran."
        asked(page, settings.question, line)
        row = self.sentences(3)
        chart_row, row = row, row + CHART_ROWS
        row = self.costs(row + 1)
        self.charts(chart_row)
        row = self.levels(row + 1)
        row = self.notes(row + 1)
        print_setup(page, row, LAST)
        if len(self.names) <= ONE_PAGE:
            page.sheet.fit_to_pages(1, 1)

    def sentences(self, row: int) -> int:
        """What changes, in words; returns the row after them."""
        told = [*headline(self.found), f"{lines_sentence(self.found)} {ranking_sentence(self.found)}"]
        return 1 + self.page.sentences(row, LAST, LEFT + LAST * WIDE, told, "answer")

    # the table of costs

    def costs(self, row: int) -> int:
        """Electricity, all costs and place of each scenario; returns the row after them."""
        horizon = kept_for(self.found.horizon)
        heads = [
            Head(f"Electricity a month from {self.since} on", self.money, MONTHLY, changes=True),
            Head(f"Electricity, {horizon}", self.money, TOTAL, changes=True),
            Head(f"Life-cycle cost, {horizon}", self.money, LCC, changes=True),
            Head("Place", "", PLACE),
            Head("By the tariff, present value", self.money, WORTH),
        ]
        self.heads(row, heads)
        self.first = row + 3
        for number in range(len(self.names)):
            self.cost_row(self.first + number, number)
        return self.first + len(self.names)

    def heads(self, row: int, heads: Sequence[Head]) -> None:
        """Headings over groups of columns, before, after and perhaps change, and units."""
        made = self.page.formats
        for line, look in enumerate(("head_left", "head_left", "mark_left")):
            for column in range(LAST + 1):
                self.page.text(row + line, column, "", made.get(look))
        for head in heads:
            self.page.wide(row, head.left, head.span, made.get("head"), head.heading)
            for number, word in enumerate(head.words):
                left = head.left + number * head.each
                self.page.wide(row + 1, left, head.each, made.get("head"), word)
                self.page.wide(row + 2, left, head.each, made.get("mark"), head.unit)
        self.page.height(row, max(lines_of(head.heading, WIDE * head.span - 2, EIGHT) for head in heads))

    def cost_row(self, row: int, number: int) -> None:
        """One scenario."""
        page, found, name = self.page, self.found, self.names[number]
        is_last = number == len(self.names) - 1
        page.text(row, 0, name, page.formats.get("strong", last=is_last))
        page.height(row, lines_of(name, LEFT), least=15)
        key, one = f"electricity {name}", from_then_on(found, number)
        self.live_pair(row, MONTHLY, "AVERAGE", (key, found.shown_month), one, (MONEY, is_last))
        self.live_pair(
            row, TOTAL, "SUM", (key, 1), found.measure("total_electricity", number), (WHOLE_MONEY, is_last)
        )
        lcc, worth = (Pair(*(getattr(side[name], what) for side in found.costs)) for what in ("lcc", "electricity"))
        for left, pair in ((LCC, lcc), (WORTH, worth)):
            for column, value in enumerate((pair.before, pair.after), start=left):
                figure(page, row, column, value, WHOLE_MONEY, last=is_last)
        self.change(row, LCC, lcc, (WHOLE_MONEY, is_last))
        place = ranking(found)[name]
        for column, value in enumerate((place.before, place.after), start=PLACE):
            figure(page, row, column, value.split(":")[0] if isinstance(value, str) else value, "0", last=is_last)

    def live_pair(
        self, row: int, left: int, function: str, months: tuple[str, int], pair: Pair, look: tuple[str, bool]
    ) -> None:
        """Two figures from the months' sheet, and their change."""
        key, first = months
        for side, value in enumerate((pair.before, pair.after)):
            formula = f"={function}({self.months.span(key, side, first, self.found.horizon)})"
            self.page.formula(
                row, left + side, formula, value, self.page.formats.get("number", look[0], last=look[1])
            )
        self.change(row, left, pair, look)

    def change(self, row: int, left: int, pair: Pair, look: tuple[str, bool]) -> None:
        """After less before."""
        one, other = (f"{names.letters(left + side)}{row + 1}" for side in (0, 1))
        made = self.page.formats.get("number", look[0], last=look[1])
        self.page.formula(row, left + 2, f"={other}-{one}", pair.change, made)

    def cell(self, column: int, name: str) -> str:
        """A scenario's cell in the table of costs."""
        return f"${names.letters(column)}${self.first + self.names.index(name) + 1}"

    def span(self, column: int) -> str:
        """All scenarios' cells in the table of costs."""
        letter = names.letters(column)
        return f"{names.quoted(NAME)}${letter}${self.first + 1}:${letter}${self.first + len(self.names)}"

    # charts

    def charts(self, row: int) -> None:
        """Electricity a month, and life-cycle cost, before and after."""
        monthly = [from_then_on(self.found, number) for number in range(len(self.names))]
        lcc = [self.found.measure("lcc", number) for number in range(len(self.names))]
        drawn = (
            (MONTHLY, self.finding(MONTHLY, monthly, f"From {self.since} on", " a month for electricity"), "a month"),
            (LCC, self.finding(LCC, lcc, "In all", " at its worth at the start"), "life-cycle cost"),
        )
        for number, (left, title, words) in enumerate(drawn):
            self.page.formula(number, FINDING, f"={title.formula}", title.value, self.page.formats.get("label"))
            place = f"{names.quoted(NAME)}${names.letters(FINDING)}${number + 1}"
            chart = self.chart(left, place, f"{self.money} {words}")
            offset = {"x_offset": 2 + number * (CHART[0] + 14), "object_position": 2}
            self.page.sheet.insert_chart(row, 0, chart, offset)

    def finding(self, left: int, pairs: Sequence[Pair], when: str, what: str) -> Live:
        """Who pays how much more or less, of all the one for whom it changes most."""
        changes = [float(pair.change) for pair in pairs]
        span = self.span(left + 2)
        most, least = Live(f"MAX({span})", max(changes)), Live(f"MIN({span})", min(changes))
        up = Live(f"{most.formula}>=-{least.formula}", most.value >= -least.value)
        most_changed = either(up, most, least)
        place = row_of(changes, span, most_changed)
        name, change = picked(self.names, self.span(0), place), picked(changes, span, place)
        way = either(Live(f"{change.formula}>0", change.value > 0), "more", "less")
        told = sentence(f"{when} ", name, " costs ", fixed(size(change)), f" {self.money} ", way, what)
        none = Live(f"ABS({change.formula})<0.5", abs(change.value) < 0.5)
        return either(none, text(f"{when} no scenario's cost{what} changes"), told)

    def chart(self, left: int, title: str, axis: str) -> object:
        """Two bars a scenario."""
        chart = self.page.book.add_chart({"type": "column"})
        for side, (word, fill) in enumerate((("before", "#BFDDE2"), ("after", "#16324F"))):
            chart.add_series(
                {
                    "name": word, "categories": f"={self.span(0)}", "values": f"={self.span(left + side)}",
                    "gap": 70, "overlap": 0, "fill": {"color": fill}, "border": {"color": "#FFFFFF", "width": 0.5},
                }
            )  # fmt: skip
        chart.set_x_axis(charts.axis("", label_position="low", major_gridlines={"visible": False}))
        chart.set_y_axis(charts.axis(axis, WHOLE_MONEY, major_gridlines=charts.GRID))
        chart.set_legend({"position": "bottom", "font": charts.font(8)})
        return charts.finish(chart, title, CHART)

    # at which price scenarios cost the same

    def levels(self, row: int) -> int:
        """Break-even prices; returns the row after them."""
        rows, page, made = break_evens(self.found), self.page, self.page.formats
        if not rows:
            return row
        page.text(row, 0, "At which price of electricity two scenarios cost the same", made.get("heading"))
        for column in range(1, LAST + 1):
            page.sheet.write_blank(row, column, None, made.get("rule"))
        unit = f"{self.money}/kWh"
        heads = [
            Head("All the tariff's prices times", "", FACTOR, each=2),
            Head(f"A kWh in {self.since}, as it is", unit, NOW),
            Head("A kWh if both cost the same", unit, LEVEL_PRICE),
        ]
        self.heads(row + 1, heads)
        page.wide(row + 2, 1, 2, made.get("head_left"), "and")
        for number, one in enumerate(rows, start=row + 4):
            self.level_row(number, one.one, one.other)
        return row + 4 + len(rows)

    def level_row(self, row: int, one: str, other: str) -> None:
        """Two scenarios: what the prices would have to be multiplied with, and what that makes of a kWh."""
        page, made = self.page, self.page.formats
        page.text(row, 0, other, made.get("strong"))
        page.wide(row, 1, 2, made.get("label"), one)
        price, tall = level_with(self.found, one, other), [lines_of(other, LEFT), lines_of(one, 2 * WIDE)]
        for side, now in enumerate((price.before, price.after)):
            factor, left = self.factor(one, other, side), FACTOR + 2 * side
            look = made.get("figure", "0.000")
            page.wide_formula(row, left, 2, f"={factor.formula}", factor.value, look)
            figure(page, row, NOW + side, now, PRICE)
            first, second = (f"{names.letters(column)}{row + 1}" for column in (left, NOW + side))
            formula = f'=IF(AND(ISNUMBER({first}),ISNUMBER({second})),{first}*{second},"none")'
            numbers = isinstance(factor.value, float) and isinstance(now, float)
            level = factor.value * now if numbers else "none"
            page.formula(row, LEVEL_PRICE + side, formula, level, made.get("figure", PRICE))
            tall.append(lines_of(str(factor.value), 2 * WIDE - 2, NINE) if isinstance(factor.value, str) else 1)
        page.height(row, max(tall), least=15)

    def factor(self, one: str, other: str, side: int) -> Live:
        """The multiple of the prices at which two scenarios cost the same, or why there is none from nothing up."""
        mine, theirs = self.found.costs[side][one], self.found.costs[side][other]
        (lcc, worth), (lcc2, worth2) = ((self.cell(LCC + side, n), self.cell(WORTH + side, n)) for n in (one, other))
        apart, more = f"({worth}-{worth2})", f"({lcc}-{lcc2})"
        less = f'"none: "&IF({lcc}<{lcc2},{self.cell(0, one)},{self.cell(0, other)})&"{LESS}"'
        times = f"1-{more}/{apart}"
        formula = f'IF(ABS{apart}<0.005,"{SAME}",IF({times}<0,{less},{times}))'
        return Live(formula, level_factor((one, mine), (other, theirs)))

    def notes(self, row: int) -> int:
        """Crossings and what the figures rest on; returns the row after them."""
        baseline = self.found.before.built.baseline.scenario.scenario
        told = [f"Against {baseline}, resale left out: {one}." for one in crossing_sentences(self.found)]
        return self.page.sentences(row, LAST, LEFT + LAST * WIDE, [*told, *new_remarks(self.found)], "small")
