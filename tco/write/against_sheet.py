"""All scenarios side by side: what more investment brings against the baseline, and how long to keep each."""

from __future__ import annotations

from dataclasses import dataclass

from tco.ask.compare import cents
from tco.engine import Column, absent
from tco.model import LINES, Ground
from tco.write import charts, names
from tco.write.blocks import Draft
from tco.write.formats import MONEY, WHOLE_MONEY
from tco.write.live import Live, fixed, picked, row_of, sentence, text
from tco.write.page import EIGHT, Page, lines_of
from tco.write.reprice_words import joined
from tco.write.shared_sheets import print_setup, top

LEFT, WIDE = 30, 13.2
FIRST = 6  # the row of the first scenario
FINDING = 30  # right of the page: what only the chart needs
ONE_DIGIT, PERCENT = "0.0#", '0.0%;"−"0.0%;0%'
ONE_PAGE = 20  # scenarios or holding periods that a printed page holds


@dataclass(frozen=True)
class Shown:
    """A measure in the table: what stands over it, its unit, how it looks."""

    name: str
    head: str
    unit: str
    look: str


def shown(money: str) -> list[Shown]:
    """In the order in which one asks: what is saved, what it takes, what it brings, when it is back."""
    return [
        Shown("net_savings", "Net savings", money, WHOLE_MONEY),
        Shown("extra_investment", "Extra investment, present value", money, WHOLE_MONEY),
        Shown("operating_savings", "Savings in operation, present value", money, WHOLE_MONEY),
        Shown("savings_to_investment_ratio", "Savings-to-investment ratio", "", "0.00"),
        Shown("adjusted_rate_of_return", "Adjusted internal rate of return", "a year", PERCENT),
        Shown("rate_of_return", "Internal rate of return", "a year", PERCENT),
        Shown("borrowing_rate", "Or: saving first costs, as a loan", "a year", PERCENT),
        Shown("simple_payback", "Simple payback", "years", ONE_DIGIT),
        Shown("discounted_payback", "Discounted payback", "years", ONE_DIGIT),
        Shown("level_horizon", "Both cost the same if sold after", "months", ONE_DIGIT),
        Shown("economic_life", "Cheapest a year if kept for", "years", ONE_DIGIT),
    ]


INVESTED, OPERATED = (
    joined([line.label.lower() for line in LINES if line.investment == invested]) for invested in (True, False)
)
MEANINGS = (
    f"Net savings: life-cycle cost of the baseline less the scenario's. Extra investment: {INVESTED}, beyond the "
    f"baseline's. Savings in operation: {OPERATED}.",
    "Savings-to-investment ratio: savings in operation for each unit of extra investment. Adjusted rate of return: "
    "what the extra investment earns a year if what it saves earns the discount rate until the end.",
    "Internal rate of return: the discount rate at which both cost the same. A scenario that saves first and pays "
    "later has a rate as well, that of a loan, and lower is better.",
    "Payback: when what was saved so far stays above nothing, straight between months; resale at the end counts.",
    "Kept for: the equivalent year is the level yearly amount worth the life-cycle cost if everything is sold at the "
    "end of that year. The lowest is the economic life if the same is bought again, at the same price in the study's "
    "money.",
)


def against_sheet(page: Page, draft: Draft) -> None:
    """The whole sheet."""
    name = draft.comparison.built.baseline.scenario.scenario
    page.sheet.set_column(0, 0, LEFT)
    page.sheet.set_column(1, FINDING - 2, WIDE)
    several = len(draft.comparison.built.grounds) > 1
    title = f"Against {name}: what more investment brings" if several else "How long to keep it"
    top(page, title, "Every figure follows the inputs. Where there is none, its place says why.")
    row = measures(page, draft) if several else 3
    row = holding(page, draft, row)
    for meaning in MEANINGS if several else MEANINGS[-1:]:
        page.wide(row, 0, 12, page.formats.get("small"), meaning)
        page.height(row, lines_of(meaning, LEFT + 11 * WIDE, EIGHT))
        row += 1
    print_setup(page, row, max(11, len(draft.comparison.built.grounds)))
    if max(len(draft.comparison.built.grounds), draft.comparison.study.settings.horizon // 12) <= ONE_PAGE:
        page.sheet.fit_to_pages(1, 1)


def measures(page: Page, draft: Draft) -> int:
    """The table of measures, a scenario a row; returns the row after it."""
    made, columns = page.formats, shown(draft.money)
    page.text(3, 0, "", made.get("head_left"))
    page.text(4, 0, "", made.get("mark_left"))
    for column, one in enumerate(columns, start=1):
        page.text(3, column, one.head, made.get("head"))
        page.text(4, column, one.unit, made.get("mark"))
    page.height(3, max(lines_of(one.head, WIDE - 1) for one in columns))
    row = FIRST - 1
    for ground in draft.comparison.built.grounds:
        if ground is not draft.comparison.built.baseline:
            line(page, draft, ground, columns, row)
            row += 1
    return row + 1


def line(page: Page, draft: Draft, ground: Ground, columns: list[Shown], row: int) -> None:
    """One scenario's measures."""
    page.text(row, 0, ground.scenario.scenario, page.formats.get("strong"))
    tall = [lines_of(ground.scenario.scenario, LEFT)]
    for column, one in enumerate(columns, start=1):
        figure = ground.own("measures", one.name)
        page.formula(
            row,
            column,
            f"={draft.layout.absolute(figure)}",
            value(draft, figure),
            page.formats.get("figure", one.look),
        )
        tall += [lines_of(words, WIDE - 1, EIGHT) for words in figure.words]
    page.height(row, max(tall))


def value(draft: Draft, figure: Column) -> float | str:
    """A measure, or why there is none."""
    return absent(figure, 0, draft.comparison.figures) or float(draft.comparison.of(figure)[0])


def holding(page: Page, draft: Draft, row: int) -> int:
    """The equivalent year by holding period, a scenario a column, and its chart; returns the row after them."""
    made, grounds = page.formats, draft.comparison.built.grounds
    page.text(row, 0, f"Equivalent year if all is sold after, {draft.money}", made.get("heading"))
    for column in range(1, 12):
        page.sheet.write_blank(row, column, None, made.get("rule"))
    page.text(row + 1, 0, "", made.get("mark_left"))
    for column, ground in enumerate(grounds, start=1):
        page.text(row + 1, column, ground.scenario.scenario, made.get("head"))
    page.height(row + 1, max(lines_of(ground.scenario.scenario, WIDE - 1) for ground in grounds))
    periods = grounds[0].own("holding", "equivalent_year").table.rows
    for number, period in enumerate(periods):
        page.text(row + 2 + number, 0, period, made.get("label"))
        for column, ground in enumerate(grounds, start=1):
            year = ground.own("holding", "equivalent_year")
            cell, figure = draft.layout.absolute(year, number), float(draft.comparison.of(year)[number])
            page.formula(row + 2 + number, column, f"={cell}", figure, made.get("number", MONEY))
    first, last = row + 2, row + 1 + len(periods)
    page.sheet.insert_chart(last + 2, 0, chart(page, draft, first, last), {"object_position": 2})
    return last + 24


def chart(page: Page, draft: Draft, first: int, last: int) -> object:
    """A line a scenario over the years kept."""
    grounds, sheet = draft.comparison.built.grounds, names.quoted(page.name)
    found = finding(page, draft, first, last)
    page.formula(0, FINDING, f"={found.formula}", found.value, page.formats.get("label"))
    series = [
        charts.Series(
            f"{sheet}${names.letters(column)}${first}",
            f"{sheet}$A${first + 1}:$A${last + 1}",
            f"{sheet}${names.letters(column)}${first + 1}:${names.letters(column)}${last + 1}",
            strong=ground.scenario.baseline,
        )
        for column, ground in enumerate(grounds, start=1)
    ]
    title = f"{sheet}${names.letters(FINDING)}$1"
    return charts.lines(
        page.book, series, title, ("sold after", f"{draft.money} a year, levelled"), charts.SUMMARY_SIZE
    )


def finding(page: Page, draft: Draft, first: int, last: int) -> Live:
    """Which scenario, kept for how long, costs least a year, to the cent; of two that are level, the first."""
    grounds, sheet = draft.comparison.built.grounds, names.quoted(page.name)
    spans = [
        f"{sheet}${names.letters(FINDING + n)}$2:${names.letters(FINDING + n)}${1 + len(grounds)}" for n in range(3)
    ]
    columns = list(zip(*(helpers(page, draft, ground, (first, last)) for ground in grounds), strict=True))
    for column, lives in enumerate(columns):
        for row, live in enumerate(lives, start=1):
            look = page.formats.get("number" if column == 0 else "label", MONEY if column == 0 else "")
            page.formula(row, FINDING + column, f"={live.formula}", live.value, look)
    lowest, periods, scenarios = ([live.value for live in lives] for lives in columns)
    least = Live(f"MIN({spans[0]})", min(lowest))
    place = row_of(lowest, spans[0], least)
    kept, who = picked(periods, spans[1], place), picked(scenarios, spans[2], place)
    return sentence("Least a year: ", who, ", sold after ", kept, ", ", fixed(least), f" {draft.money} a year")


def helpers(page: Page, draft: Draft, ground: Ground, rows: tuple[int, int]) -> tuple[Live, Live, Live]:
    """A scenario's lowest equivalent year to the cent, the period that has it, and its name."""
    sheet, (first, last) = names.quoted(page.name), rows
    lowest, best, months = (ground.own("holding", name) for name in ("lowest", "best", "month"))
    end = len(months.table.rows) - 1
    kept = Live(draft.layout.absolute(best, end), float(draft.comparison.of(best)[-1]))
    row = row_of(draft.comparison.of(months).tolist(), draft.layout.absolute(months, 0, end), kept)
    period = picked(list(months.table.rows), f"{sheet}$A${first + 1}:$A${last + 1}", row)
    year = Live(f"ROUND({draft.layout.absolute(lowest, end)},2)", cents(float(draft.comparison.of(lowest)[-1])))
    return year, period, text(ground.scenario.scenario)
