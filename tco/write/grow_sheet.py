"""A first sheet of grow.xlsx, one a scenario that grows: sentences, two charts, purchases, what the ways come to.

Costs follow the cells of the comparison behind it; the schedule and the sentences are as tco ran.
"""

from __future__ import annotations

from collections.abc import Sequence

from tco.ask.grow import Growth, Way
from tco.ask.grow_figures import (
    above,
    cash_by_year,
    data,
    grown,
    left_over,
    measure,
    month_name,
    paid,
    paid_rows,
    years,
)
from tco.ask.grow_turns import Step
from tco.engine import Column
from tco.model import LINES
from tco.write import charts
from tco.write.chance_cells import heading
from tco.write.chance_words import PRINTED
from tco.write.formats import MONEY, WHOLE_MONEY
from tco.write.grow_chart import Charts
from tco.write.grow_text import short_years
from tco.write.grow_words import answers, cheapest, money, of_one, of_plan, renting, shared_notes
from tco.write.layout import Layout
from tco.write.page import BOLD, Page, lines_of
from tco.write.shared_sheets import asked, heads, print_setup
from tco.write.summary import over_what

NAME = "As data grow"
LEFT, WIDE, LAST = 40, 13.5, 11  # widths of the first column and of the others; the page's last column
HELP = LAST + 3  # from here on: what only the charts need
CHART_ROWS = 17  # of the usual height, under the charts
TB = "#,##0.0"
FULL = "0%"
NONE = "–"
TOTALS = (  # measure, head, look
    ("paid_at_start", "Paid at the start", WHOLE_MONEY),
    ("equivalent_month", "A month, spread evenly", MONEY),
    ("lcc", "Life-cycle cost", WHOLE_MONEY),
    ("undiscounted", "Undiscounted", WHOLE_MONEY),
    ("total_resale", "Resale (income)", WHOLE_MONEY),
)


class Front:
    """The sheet of one plan as it is written: rows count from 0."""

    def __init__(self, page: Page, found: Growth, plan: int, stands: Layout) -> None:
        self.page, self.found, self.plan, self.stands = page, found, plan, stands
        self.steps = found.plans[plan].steps
        self.ways = [grown(found, plan), *found.others(plan)]

    def write(self) -> None:
        """The whole sheet."""
        page, settings = self.page, self.found.comparison.study.settings
        page.sheet.set_column(0, 0, LEFT)
        page.sheet.set_column(1, LAST, WIDE)
        live = "Costs follow the sheets behind; what is bought when, and all words, are as tco ran."
        asked(page, settings.question, f"{over_what(settings)}. {live}")
        row = self.page.sentences(3, LAST, LEFT + LAST * WIDE, self.sentences(), "answer")
        self.charts(row)
        row = self.bought(row + CHART_ROWS)
        row = self.totals(row + 1)
        row = self.cash(row + 1)
        row = self.page.sentences(row + 1, LAST, LEFT + LAST * WIDE, [f"· {note}" for note in self.notes()], "small")
        print_setup(page, row, LAST)
        page.sheet.fit_to_pages(1, 1)
        page.sheet.center_horizontally()

    def sentences(self) -> list[str]:
        """What is said of this scenario; of several, on the first sheet, who is the cheapest before it."""
        if len(self.found.plans) == 1:
            return answers(self.found, PRINTED)
        lead = [] if self.plan else [cheapest(self.found, PRINTED)]
        rents = [told for told in [renting(self.found, self.plan, PRINTED)] if told]
        return [*lead, *of_plan(self.found, self.plan, PRINTED), *rents]

    def notes(self) -> list[str]:
        """What is worth a note of this scenario, and what holds for all."""
        return [*of_one(self.found, self.plan), *shared_notes(self.found)]

    def charts(self, row: int) -> None:
        """Data against room, and what each way has cost so far, side by side."""
        drawn = Charts(self.page, self.found, self.plan, self.stands, HELP)
        drawn.write()
        self.page.sheet.insert_chart(row, 0, drawn.room_chart(), {"x_offset": 2, "y_offset": 6, "object_position": 2})
        right = {"x_offset": charts.SUMMARY_SIZE[0] + 16, "y_offset": 6, "object_position": 2}
        self.page.sheet.insert_chart(row, 0, drawn.cost_chart(), right)

    # what is bought when

    def bought(self, row: int) -> int:
        """A row a purchase; returns the row after them. Nothing where nothing is bought."""
        if not self.steps:
            return row
        heading(self.page, row, (0, LAST), "What is bought when, at the end of its month")
        units = [("Month", ""), ("Calendar", ""), ("Paid then", money(self.found)), ("Of use from", "month"),
                 ("Data held then", "TB"), ("Room without it", "TB"), ("Room with it", "TB"),
                 ("Full without it", ""), ("Full with it", "")]  # fmt: skip
        self.heads(row + 1, "Purchase", units)
        held = data(self.found)
        for number, step in enumerate(self.steps, start=row + 3):
            self.purchase(number, step, float(held[step.of_use]), last=step is self.steps[-1])
        return row + 3 + len(self.steps)

    def purchase(self, row: int, step: Step, held: float, *, last: bool) -> None:
        """One purchase; what is paid follows its parts."""
        page, made, ground = self.page, self.page.formats, self.ways[0].ground
        page.text(row, 0, step.bought.called, made.get("label", last=last))
        page.height(row, lines_of(step.bought.called, LEFT), least=15)
        page.number(row, 1, step.bought.month, made.get("number", "0", last=last))
        page.text(row, 2, month_name(self.found, step.bought.month), made.get("text", last=last))
        outlay = [self.stands.absolute(ground.part("outlay"), one) for one in paid_rows(ground, step)]
        look = made.get("number", MONEY, last=last)
        page.formula(row, 3, f"={'+'.join(outlay) or 0}", paid(self.found, self.plan, step), look)
        page.number(row, 4, step.of_use, made.get("number", "0", last=last))
        for column, value in enumerate((held, step.room_before, step.room_after), start=5):
            page.number(row, column, value, made.get("number", TB, last=last))
        for column, value in enumerate((step.room_before, step.room_after), start=8):
            self.known(row, column, held / value if value else None, FULL, last=last)

    def heads(self, row: int, first: str, rest: Sequence[tuple[str, str]]) -> None:
        """Heads of a table as wide as the page."""
        heads(self.page, row, (first,), [*rest, *[("", "")] * (LAST - len(rest))], WIDE)

    def known(self, row: int, column: int, value: float | None, number: str, *, last: bool) -> None:
        """A number, or a dash where there is none."""
        if value is None:
            self.page.text(row, column, NONE, self.page.formats.get("text", last=last))
        else:
            self.page.number(row, column, value, self.page.formats.get("number", number, last=last))

    # what the ways come to

    def totals(self, row: int) -> int:
        """A row a way; returns the row after them."""
        heading(self.page, row, (0, LAST), "What each way comes to")
        unit = money(self.found)
        rest = [*((head, unit) for _, head, _ in TOTALS), ("Months above the room", "month"),
                ("Above it by at most", "TB"), ("Room not used at the end", "TB")]  # fmt: skip
        self.heads(row + 1, "Way", rest)
        for number, way in enumerate(self.ways, start=row + 3):
            self.total(number, way, last=way is self.ways[-1])
        return row + 3 + len(self.ways)

    def total(self, row: int, way: Way, *, last: bool) -> None:
        """One way."""
        made = self.page.formats
        self.name(row, way, last=last)
        for column, (name, _, look) in enumerate(TOTALS, start=1):
            cell = self.stands.absolute(way.ground.measure(name))
            value = measure(self.found, way, name)
            self.page.formula(row, column, f"={cell}", value, made.get("number", look, last=last))
        own, first = above(self.found, way), 1 + len(TOTALS)
        self.known(row, first, None if own is None else own.months, "0", last=last)
        self.known(row, first + 1, None if own is None else own.most, TB, last=last)
        self.known(row, first + 2, left_over(self.found, way), TB, last=last)

    def name(self, row: int, way: Way, *, last: bool) -> None:
        """A way's name, in as many lines as it needs."""
        self.page.text(row, 0, way.name, self.page.formats.get("strong", last=last))
        self.page.height(row, lines_of(way.name, LEFT, BOLD), least=15)

    def cash(self, row: int) -> int:
        """What is paid in each year, so many years side by side; returns the row after them."""
        names = short_years(years(self.found))
        heading(self.page, row, (0, LAST), "What is paid in each year, undiscounted; resale at the end is income")
        row += 1
        for start in range(0, len(names), LAST):
            own = names[start : start + LAST]
            self.heads(row, "Way", [(name, money(self.found)) for name in own])
            for number, way in enumerate(self.ways, start=row + 2):
                self.paid(number, way, range(start, start + len(own)), last=way is self.ways[-1])
            row += 2 + len(self.ways)
        return row

    def paid(self, row: int, way: Way, own: range, *, last: bool) -> None:
        """One way's years."""
        self.name(row, way, last=last)
        values = cash_by_year(self.found, way)
        lines: list[Column] = [way.ground.own("years", line.name) for line in LINES if line.cash]
        for column, year in enumerate(own, start=1):
            formula = "+".join(self.stands.absolute(line, year) for line in lines)
            look = self.page.formats.get("number", WHOLE_MONEY, last=last)
            self.page.formula(row, column, f"={formula}", float(values[year]), look)
