"""The first sheet of track.xlsx: plan and actuals in sentences, what it costs so far as lines, tables by cost line.

Amounts are live: they add up the months of the two scenarios' sheets.
"""

from __future__ import annotations

from collections.abc import Sequence

from tco.ask.from_today import Way
from tco.ask.track import PLANNED, WENT, Apart, Tracked, by_line
from tco.model import Ground
from tco.write import charts, names
from tco.write.chance_cells import heading
from tco.write.chance_words import PRINTED
from tco.write.formats import WHOLE_MONEY
from tco.write.layout import Layout
from tco.write.page import Page, lines_of
from tco.write.shared_sheets import asked, print_setup
from tco.write.summary import over_what
from tco.write.track_words import against, answers, called, energies, notes

NAME = "Plan and actuals"
LEFT, WIDE, LAST = 46, 16.0, 9
FINDING = 12  # right of the page: what only the chart needs
CHART, TALL = (1370, 270), 15
GROUPS = (  # of columns: where they begin, what is told in them
    (1, "So far", ("planned", "actual", "difference")),
    (4, "To come", ("planned", "forecast", "difference")),
    (7, "In all", ("planned", "now", "difference")),
)
NOW, LATER, WHOLE = (left for left, _, _ in GROUPS)
WAYS = ("in all", "more than going on", "gear, next month")  # heads over the figures of a way to go on
NEAR = '[>=0.5]#,##0;[<=-0.5]"−"#,##0;0'  # what rounds to nothing has no sign


class Front:
    """The sheet as it is written: rows count from 0."""

    def __init__(self, page: Page, found: Tracked, ways: Sequence[Way], stands: Layout) -> None:
        self.page, self.found, self.ways, self.stands = page, found, ways, stands
        self.money = found.source.settings.currency
        self.wide = LEFT + LAST * WIDE

    def write(self) -> None:
        """The whole sheet."""
        self.page.sheet.set_column(0, 0, LEFT)
        self.page.sheet.set_column(1, LAST, WIDE)
        self.top()
        row = self.page.sentences(3, LAST, self.wide, answers(self.found, self.ways, PRINTED), "answer")
        self.chart(row + 1)
        row = self.lines(row + 1 + TALL)
        row = self.from_today(row + 1)
        row = self.page.sentences(
            row + 1, LAST, self.wide, [f"· {note}" for note in notes(self.found, self.ways)], "small"
        )
        print_setup(self.page, row, LAST)
        self.page.sheet.fit_to_pages(1, 1 if len(self.ways) <= 8 else 0)

    def top(self) -> None:
        """The question, and what follows the cells."""
        settings = self.found.source.settings
        told = (
            f"{over_what(settings)}; known to {self.found.today}. Amounts by line follow the sheets behind; sentences"
        )
        asked(self.page, settings.question, f"{told} and what is worked out from today are as tco ran.")

    def chart(self, row: int) -> None:
        """What both have cost so far, month by month."""
        found, stands, page = self.found, self.stands, self.page
        title = self.finding()
        page.text(0, FINDING, title, page.formats.get("label"))
        months = stands.absolute(found.comparison.built.model["calendar.month"], 0, found.horizon)
        series = []
        for number, (ground, word) in enumerate(
            ((found.plan, PLANNED), (found.went, f"{WENT}, then forecast")), start=1
        ):
            page.text(number, FINDING, word, page.formats.get("label"))
            values = stands.absolute(ground.month("cumulative"), 0, found.horizon)
            series.append(charts.Series(self.cell(number), months, values, strong=number == 2))
        now = self.now(3)
        axes = (f"month; the diamond is {found.today}", f"{self.money} so far")
        chart = charts.running(page.book, series, [now], self.cell(0), axes, found.horizon)
        chart.set_size({"width": CHART[0], "height": CHART[1]})
        page.sheet.insert_chart(row, 0, chart, {"x_offset": 2, "object_position": 2})

    def finding(self) -> str:
        """What the chart shows: both up to now, resale left out."""
        found = self.found
        sides = (found.comparison.of(one.month("cumulative"))[found.months] for one in (found.plan, found.went))
        planned, went = map(float, sides)
        return f"Paid by {found.today}, resale left out: {against(went - planned, found, PRINTED)}"

    def now(self, row: int) -> charts.Series:
        """Where the last known month is on the line of what happened."""
        found, page = self.found, self.page
        paid = self.stands.absolute(found.went.month("cumulative"), found.months, found.months)
        cost = float(found.comparison.of(found.went.month("cumulative"))[found.months])
        page.text(row, FINDING, "known to here", page.formats.get("label"))
        page.number(row, FINDING + 1, found.months, page.formats.get("number", "0"))
        page.formula(row, FINDING + 2, f"={paid}", cost, page.formats.get("number", WHOLE_MONEY))
        return charts.Series(self.cell(row), self.cell(row, 1), self.cell(row, 2))

    def cell(self, row: int, beside: int = 0) -> str:
        """A cell right of the page."""
        return f"{names.quoted(self.page.name)}${names.letters(FINDING + beside)}${row + 1}"

    # costs by line

    def lines(self, row: int) -> int:
        """Each cost line so far, to come and in all; returns the row after them."""
        heading(self.page, row, (0, LAST), f"Costs by line, {self.money}, undiscounted")
        self.heads(row + 1)
        first, every = row + 3, by_line(self.found)
        for number, one in enumerate(every, start=first):
            self.line(number, one, is_last=number >= first + len(every) - 2)
        row = first + len(every)
        if (taken := energies(self.found)) is not None:
            self.line(row, taken, is_last=True, unit=" [kWh]")
            row += 1
        return row

    def heads(self, row: int) -> None:
        """Headings over groups of columns and over each."""
        page, made = self.page, self.page.formats
        for line, look in enumerate(("head_left", "mark_left")):
            for column in range(LAST + 1):
                page.text(row + line, column, "", made.get(look))
        for left, word, own in GROUPS:
            page.wide(
                row, left, len(own), made.get("head"), f"{word}, to {self.found.today}" if left == NOW else word
            )
            for column, told in enumerate(own, start=left):
                page.text(row + 1, column, told, made.get("mark"))

    def line(self, row: int, one: Apart, *, is_last: bool, unit: str = "") -> None:
        """One line of costs."""
        page, made = self.page, self.page.formats
        page.text(row, 0, f"{one.label}{unit}", made.get("strong" if one.name == "total" else "label", last=is_last))
        spans = ((NOW, 0, self.found.months), (LATER, self.found.months + 1, self.found.horizon))
        number = made.get("number", NEAR, last=is_last)
        sides = ((self.found.plan, one.planned), (self.found.went, one.went))
        for place, (left, begins, ends) in enumerate(spans):
            for side, (ground, amounts) in enumerate(sides):
                formula = self.summed(ground, one.name, begins, ends)
                page.formula(row, left + side, f"={formula}", amounts[place], number)
            self.less(row, left, one.differences[place], number)
        for side, whole in enumerate(one.whole):
            now, later = (f"{names.letters(left + side)}{row + 1}" for left in (NOW, LATER))
            page.formula(row, WHOLE + side, f"={now}+{later}", whole, number)
        self.less(row, WHOLE, one.differences[2], number)

    def summed(self, ground: Ground, name: str, first: int, last: int) -> str:
        """The formula of a monthly figure over some months; 0 over none."""
        return f"SUM({self.stands.absolute(ground.month(name), first, last)})" if first <= last else "0"

    def less(self, row: int, left: int, value: float, look: object) -> None:
        """What went less what was planned."""
        planned, went = (f"{names.letters(left + side)}{row + 1}" for side in (0, 1))
        self.page.formula(row, left + 2, f"={went}-{planned}", value, look)

    # from today

    def from_today(self, row: int) -> int:
        """What each way to go on costs; returns the row after them. Nothing where the horizon is over."""
        able = [way for way in self.ways if not way.impossible]
        if not able:
            return row
        page, made, going = self.page, self.page.formats, self.ways[0]
        told = f"From today: costs to the end, {self.money} at their worth today; what is spent is left out"
        heading(page, row, (0, LAST), told)
        for column in range(LAST + 1):
            page.text(row + 1, column, "", made.get("head_left"))
        page.text(row + 1, 0, "Way to go on", made.get("head_left"))
        for column, word in enumerate(WAYS, start=2):
            page.text(row + 1, column, word, made.get("head"))
        page.text(row + 1, 5, "needs that it misses", made.get("head_aside"))
        page.height(row + 1, 2)
        for number, way in enumerate(sorted(able, key=lambda way: way.cost), start=row + 2):
            self.way(number, way, going)
        return row + 2 + len(able)

    def way(self, row: int, way: Way, going: Way) -> None:
        """One way to go on."""
        page, made = self.page, self.page.formats
        name = called(self.found, way)
        page.wide(row, 0, 2, made.get("strong"), name[0].upper() + name[1:])
        for column, value in enumerate((way.cost, way.cost - going.cost, way.first), start=2):
            page.number(row, column, value, made.get("number", NEAR))
        words = "; ".join(way.misses) or "none"
        page.wide(row, 5, LAST - 4, made.get("aside"), words)
        page.height(row, max(lines_of(name, LEFT + WIDE - 2), lines_of(words, (LAST - 4) * WIDE - 3)))
