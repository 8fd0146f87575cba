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
from tco.write.shared_sheets import UPRIGHT, on_page, page_breaks, print_setup, top

PRICE, ENERGY = "0.000", "#,##0"
ABOUT = (
    "The bill of a month is worked out twice, for the home alone and with the build; the build costs the difference. "
    "Prices, charges, thresholds and kWh of the home on Assumptions may be changed and figures follow; hours of each "
    "period are counted by the tool."
)
FINDING = BEYOND
Figures = dict[str, Live]
Head = tuple[str, str, str, str]  # what it shows, heading, unit, how it looks


def billed_grounds(draft: Draft) -> list[Ground]:
    """The scenarios whose electricity is the difference of two bills."""
    return [ground for ground in draft.comparison.built.grounds if has_bill(ground)]


def electricity_sheet(page: Page, draft: Draft) -> None:
    """The whole sheet."""
    widths(page)
    top(page, "Electricity: the home's bill without and with each build", "")
    page.wide(1, 0, UNITS + 1, page.formats.get("hint"), ABOUT)
    page.height(1, lines_of(ABOUT, 185, EIGHT))
    found = {ground.scenario.scenario: figures(draft, ground) for ground in billed_grounds(draft)}
    for row, (name, own) in enumerate(found.items(), start=2):
        told = finding(draft, name, own)
        page.wide_formula(row, 0, UNITS + 1, f"={told.formula}", told.value, page.formats.get("label"))
    first = draft.layout.rooms[page.name]
    shown = heads(draft)
    side_by_side(page, draft, found, shown, first)
    if draft.comparison.study.home:
        chart(page, draft, found, [key for key, *_ in shown], first)
    draw(page, draft)
    page.sheet.freeze_panes(1, 1)
    page_breaks(page, on_page(draft, page), first=True, full=UPRIGHT)
    print_setup(page, max(block.end for block in draft.layout.of(page.name)), upright=True)


def of_year(draft: Draft, ground: Ground, table: str, name: str) -> Live:
    """A monthly column as an amount a year, on average over the horizon."""
    column = ground.model[f"{table}.{name}"]
    years = draft.comparison.study.settings.horizon / 12
    span = draft.layout.absolute(column, 0, len(column.table.rows) - 1)
    return Live(f"SUM({span})/{years!r}", float(draft.comparison.of(column).sum()) / years)


def figures(draft: Draft, ground: Ground) -> Figures:
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


def finding(draft: Draft, name: str, found: Figures) -> Live:
    """What a kWh of a scenario costs, and what the average price would make of it."""
    money = draft.money
    adds = (f"A kWh of {name} adds ", fixed(found["marginal_price"], 3), f" {money} to the bill")
    if not draft.comparison.study.home:
        return sentence(*adds, ".")
    average, cost, guess = found["average_price"], found["electricity"], found["at average"]
    off = Live(f"{guess.formula}-({cost.formula})", guess.value - cost.value)
    which = either(Live(f"{off.formula}>=0", off.value >= 0), " too dear", " too cheap")
    told = ("; on average a kWh costs ", fixed(average, 3), f" {money}, which would make it look ")
    return sentence(*adds, *told, fixed(size(off)), f" {money} a year", which, ".")


def misjudged(found: Figures) -> float:
    """By how much a year the average price would misjudge a scenario, as written."""
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


def heads(draft: Draft) -> list[Head]:
    """The table's columns: solar power not sold where there is any, averages where the home is known."""
    solar = any(ground.has("bill", "not_sold") for ground in billed_grounds(draft))
    left_out = {"not sold"} if not solar else set()
    left_out |= set() if draft.comparison.study.home else {"average_price", "at average"}
    return [head for head in HEADS if head[0] not in left_out]


def room(number: int) -> tuple[int, int]:
    """Where a column of the table starts, and how many narrow columns it takes: the first one, the others two."""
    return (2 * number, 2) if number else (1, 1)


def side_by_side(page: Page, draft: Draft, found: dict[str, Figures], shown: list[Head], first: int) -> None:
    """The table: a scenario a row."""
    made = page.formats
    heading(page, first, "Side by side, a year on average over the horizon")
    for row, look in ((1, "head_left"), (2, "mark_left")):
        page.text(first + row, 0, "", made.get(look))
    for number, (_, words, unit, _look) in enumerate(shown):
        page.wide(first + 1, *room(number), made.get("head"), words)
        mark = unit if unit.startswith("kWh") else f"{draft.money} {unit}"
        page.wide(first + 2, *room(number), made.get("mark"), mark)
    page.height(first + 1, 2)
    for row, (name, own) in enumerate(found.items(), start=first + 3):
        page.text(row, 0, name, made.get("strong"))
        for number, (key, _, _, look) in enumerate(shown):
            page.wide_formula(row, *room(number), f"={own[key].formula}", own[key].value, made.get("number", look))


def chart(page: Page, draft: Draft, found: dict[str, Figures], keys: list[str], first: int) -> None:
    """The price of each build's kWh beside the average price; the title is of the one most misjudged by it."""
    sheet, last = names.quoted(page.name), first + 2 + len(found)
    told = finding(draft, *max(found.items(), key=lambda one: abs(misjudged(one[1]))))
    page.formula(0, FINDING, f"={told.formula}", told.value, page.formats.get("label"))

    def span(column: int) -> str:
        letter = names.letters(column)
        return f"{sheet}${letter}${first + 4}:${letter}${last + 1}"

    series = []
    for key, fill in (("marginal_price", 0), ("average_price", 2)):
        column, least = room(keys.index(key))[0], min(own[key].value for own in found.values())
        name = f"{sheet}${names.letters(column)}${first + 2}"
        series.append(charts.Series(name, span(0), span(column), fill=fill, least=least))
    made = charts.side_by_side(page.book, series, f"{sheet}${names.letters(FINDING)}$1", f"{draft.money} a kWh")
    page.sheet.insert_chart(last + 2, 0, made, {"x_offset": 4, "y_offset": 4, "object_position": 2})
