"""The electricity sheet: the home's bill without and with each build, and what a kWh of the build costs.

People quote the average price of their bill; what a build adds has another price per kWh. Both stand side by side.
"""

from __future__ import annotations

from tco.model import Ground
from tco.model.marginal import has_bill
from tco.write import charts, names
from tco.write.blocks import Draft, draw, heading, widths
from tco.write.formats import WHOLE_MONEY
from tco.write.layout import BEYOND, UNITS
from tco.write.live import Live, either, fixed, sentence, size
from tco.write.page import EIGHT, Page, lines_of
from tco.write.shared_sheets import on_page, page_breaks, print_setup, top

PRICE, ENERGY, SHARE = "0.000", "#,##0", '0%;"−"0%;0%'
ABOUT = (
    "The bill of a month is worked out twice, for the home alone and with the build; the build costs the difference. "
    "Prices, charges, thresholds and kWh of the home on Assumptions may be changed and figures follow; hours of each "
    "period are counted by the tool."
)
FINDING = BEYOND


def billed_grounds(draft: Draft) -> list[Ground]:
    """The scenarios whose electricity is the difference of two bills."""
    return [ground for ground in draft.comparison.built.grounds if has_bill(ground)]


def electricity_sheet(page: Page, draft: Draft) -> None:
    """The whole sheet."""
    widths(page)
    top(page, "Electricity: the home's bill without and with each build", "")
    page.wide(1, 0, UNITS + 1, page.formats.get("hint"), ABOUT)
    page.height(1, lines_of(ABOUT, 185, EIGHT))
    grounds = billed_grounds(draft)
    for row, ground in enumerate(grounds, start=2):
        told = finding(draft, ground)
        page.wide_formula(row, 0, UNITS + 1, f"={told.formula}", told.value, page.formats.get("label"))
    first = 2 + len(grounds) + 1
    side_by_side(page, draft, grounds, first)
    if draft.comparison.study.home:
        chart(page, draft, grounds, first)
    draw(page, draft)
    page.sheet.freeze_panes(1, 1)
    page_breaks(page, on_page(draft, page), first=True)
    print_setup(page, max(block.end for block in draft.layout.of(page.name)))


def of_year(draft: Draft, ground: Ground, table: str, name: str) -> Live:
    """A monthly column as an amount a year, on average over the horizon."""
    column = ground.model[f"{table}.{name}"]
    years = draft.comparison.study.settings.horizon / 12
    span = draft.layout.absolute(column, 0, len(column.table.rows) - 1)
    return Live(f"SUM({span})/{years!r}", float(draft.comparison.of(column).sum()) / years)


def figures(draft: Draft, ground: Ground) -> dict[str, Live]:
    """What the table shows of a scenario, a year."""
    own, home = f"bill of {ground.scenario.scenario}", f"home on {ground.scenario.tariff}"
    found = {
        "energy": of_year(draft, ground, ground.months.name, "energy"),
        "without": of_year(draft, ground, home, "bill"),
        "with": of_year(draft, ground, own, "bill"),
        "electricity": of_year(draft, ground, ground.months.name, "electricity"),
    }
    unsold = ground.has("bill", "not_sold")
    found["not sold"] = of_year(draft, ground, own, "not_sold") if unsold else Live("0", 0.0)
    for name in ("marginal_price", "average_price"):
        column = ground.measure(name)
        told = draft.comparison.measure(ground, name)
        found[name] = Live(f"N({draft.layout.absolute(column)})", told)
    at_average = f"{wrapped(found['average_price'])}*{wrapped(found['energy'])}"
    found["at average"] = Live(at_average, found["average_price"].value * found["energy"].value)
    return found


def wrapped(live: Live) -> str:
    """A formula in brackets."""
    return f"({live.formula})"


def finding(draft: Draft, ground: Ground) -> Live:
    """What a kWh of a scenario costs, and what the average price would make of it."""
    name, money, found = ground.scenario.scenario, draft.money, figures(draft, ground)
    adds = (f"A kWh of {name} adds ", fixed(found["marginal_price"], 3), f" {money} to the bill")
    if not draft.comparison.study.home:
        return sentence(*adds, ".")
    average, cost, guess = found["average_price"], found["electricity"], found["at average"]
    off = Live(f"{guess.formula}-({cost.formula})", guess.value - cost.value)
    which = either(Live(f"{off.formula}>=0", off.value >= 0), " too dear", " too cheap")
    told = ("; on average a kWh costs ", fixed(average, 3), f" {money}, which would make it look ")
    return sentence(*adds, *told, fixed(size(off)), f" {money} a year", which, ".")


def misjudged(draft: Draft, ground: Ground) -> float:
    """By how much a year the average price would misjudge a scenario, as written."""
    found = figures(draft, ground)
    return float(found["at average"].value - found["electricity"].value)


HEADS = (
    ("energy", "kWh of the build", "kWh a year", ENERGY),
    ("without", "bill of the home without it", "a year", WHOLE_MONEY),
    ("with", "bill with it", "a year", WHOLE_MONEY),
    ("not sold", "own solar power not sold", "a year", WHOLE_MONEY),
    ("electricity", "what it adds", "a year", WHOLE_MONEY),
    ("marginal_price", "price of its kWh", "a kWh", PRICE),
    ("average_price", "average price of the bill", "a kWh", PRICE),
    ("at average", "its kWh at the average price", "a year", WHOLE_MONEY),
)


def heads(draft: Draft, grounds: list[Ground]) -> list[tuple[str, str, str, str]]:
    """The table's columns: solar power not sold where there is any, averages where the home is known."""
    solar = any(ground.has("bill", "not_sold") for ground in grounds)
    left_out = {"not sold"} if not solar else set()
    left_out |= set() if draft.comparison.study.home else {"average_price", "at average"}
    return [head for head in HEADS if head[0] not in left_out]


def room(number: int) -> tuple[int, int]:
    """Where a column of the table starts, and how many narrow columns it takes: the first one, the others two."""
    return (2 * number, 2) if number else (1, 1)


def side_by_side(page: Page, draft: Draft, grounds: list[Ground], first: int) -> None:
    """The table: a scenario a row."""
    made = page.formats
    shown = heads(draft, grounds)
    heading(page, first, "Side by side, a year on average over the horizon")
    for row, look in ((1, "head_left"), (2, "mark_left")):
        page.text(first + row, 0, "", made.get(look))
    for number, (_, words, unit, _look) in enumerate(shown):
        page.wide(first + 1, *room(number), made.get("head"), words)
        mark = unit if unit.startswith("kWh") else f"{draft.money} {unit}"
        page.wide(first + 2, *room(number), made.get("mark"), mark)
    page.height(first + 1, 2)
    for row, ground in enumerate(grounds, start=first + 3):
        found = figures(draft, ground)
        page.text(row, 0, ground.scenario.scenario, made.get("strong"))
        for number, (key, _, _, look) in enumerate(shown):
            live = found[key]
            page.wide_formula(row, *room(number), f"={live.formula}", live.value, made.get("number", look))


def chart(page: Page, draft: Draft, grounds: list[Ground], first: int) -> None:
    """The price of each build's kWh beside the average price."""
    sheet, last = names.quoted(page.name), first + 2 + len(grounds)
    told = finding(draft, max(grounds, key=lambda ground: abs(misjudged(draft, ground))))
    page.formula(0, FINDING, f"={told.formula}", told.value, page.formats.get("label"))

    def span(column: int) -> str:
        letter = names.letters(column)
        return f"{sheet}${letter}${first + 4}:${letter}${last + 1}"

    least = min(
        figures(draft, ground)[key].value for ground in grounds for key in ("marginal_price", "average_price")
    )
    places = [key for key, *_ in heads(draft, grounds)]
    series = [
        charts.Series(f"{sheet}${names.letters(column)}${first + 2}", span(0), span(column), fill=fill, least=least)
        for column, fill in (
            (room(places.index("marginal_price"))[0], 0),
            (room(places.index("average_price"))[0], 2),
        )
    ]
    made = charts.side_by_side(page.book, series, f"{sheet}${names.letters(FINDING)}$1", f"{draft.money} a kWh")
    page.sheet.insert_chart(last + 2, 0, made, {"x_offset": 4, "y_offset": 4, "object_position": 2})
