"""The sheet `By month` of reprice.xlsx: prices and electricity of each month before and after, differences live."""

from __future__ import annotations

from dataclasses import dataclass

from tco.ask.reprice import Figure, Repriced, price_pair
from tco.write import names
from tco.write.formats import MONEY
from tco.write.page import Page, lines_of
from tco.write.shared_sheets import top

NAME, HEAD = "By month", 3
FIRST = HEAD + 3  # the row of month 1
PRICE = '#,##0.0000;"−"#,##0.0000;0'
LEFT, WIDE = 12, 11.0
PAGE = 14  # columns that a printed page holds


@dataclass(frozen=True)
class Group:
    """Columns that belong together: a figure before and after, and perhaps its change.

    before, after: a value a month, from month 1.
    """

    heading: str
    unit: str
    before: list[Figure]
    after: list[Figure]
    look: str
    changes: bool

    @property
    def columns(self) -> int:
        return 3 if self.changes else 2


def groups(found: Repriced) -> dict[str, Group]:
    """Flat prices by tariff; then each scenario's electricity, and the price of its kWh where that is its own."""
    money = found.study.settings.currency
    made: dict[str, Group] = {}
    for tariff in found.tariffs:
        if f"calendar.price {tariff}" in found.before.built.model.columns:
            number = next(n for n, (ground, _) in enumerate(found.pairs) if ground.scenario.tariff == tariff)
            made[f"tariff {tariff}"] = prices(found, number, f"{tariff}: a kWh")
    for number, (ground, _) in enumerate(found.pairs):
        name = ground.scenario.scenario
        one, other = ([float(value) for value in values[1:]] for values in found.months("electricity", number))
        made[f"electricity {name}"] = Group(f"{name}: electricity", money, [*one], [*other], MONEY, changes=True)
        if ground.scenario.tariff in found.tariffs and f"tariff {ground.scenario.tariff}" not in made:
            made[f"price {name}"] = prices(found, number, f"{name}: a kWh")
    return made


def prices(found: Repriced, number: int, heading: str) -> Group:
    """The price of a scenario's kWh by month."""
    pairs = [price_pair(found, number, month) for month in range(1, found.horizon + 1)]
    unit = f"{found.study.settings.currency}/kWh"
    return Group(heading, unit, [one.before for one in pairs], [one.after for one in pairs], PRICE, changes=False)


class Months:
    """Where the months' figures stand on their sheet."""

    def __init__(self, found: Repriced) -> None:
        self.found, self.groups = found, groups(found)
        self.lefts: dict[str, int] = {}
        left = 2
        for key, group in self.groups.items():
            self.lefts[key] = left
            left += group.columns
        self.end = left

    def span(self, key: str, side: int, first: int, last: int) -> str:
        """The cells of some months of a group: side 0 is before, 1 after."""
        letter = names.letters(self.lefts[key] + side)
        one = f"{names.quoted(NAME)}${letter}${FIRST + first}"
        return one if first == last else f"{one}:${letter}${FIRST + last}"

    def write(self, page: Page) -> None:
        """The whole sheet."""
        found = self.found
        top(page, "By month: before and after", "Change is after less before. A price is that of the month.")
        page.sheet.set_column(0, 0, LEFT)
        page.sheet.set_column(1, 1, 7)
        page.sheet.set_column(2, self.end - 1, WIDE)
        for row, look in ((HEAD, "head_left"), (HEAD + 1, "head_left"), (HEAD + 2, "mark_left")):
            for column, word in enumerate(("month", "number")):
                page.text(row, column, word if row == HEAD + 1 else "", page.formats.get(look))
        labels = found.after.built.grounds[0].months.rows[1:]
        for month, label in enumerate(labels, start=1):
            page.text(FIRST + month - 1, 0, label, page.formats.get("label", last=month % 12 == 0))
            page.number(FIRST + month - 1, 1, month, page.formats.get("number", "0", last=month % 12 == 0))
        for key, group in self.groups.items():
            self.group(page, self.lefts[key], group)
        self.printed(page)

    def group(self, page: Page, left: int, group: Group) -> None:
        """One group of columns."""
        made = page.formats
        page.wide(HEAD, left, group.columns, made.get("head"), group.heading)
        page.height(HEAD, max(page_lines(page), lines_of(group.heading, WIDE * group.columns - 2)))
        for column, word in enumerate(("before", "after", "change")[: group.columns]):
            page.text(HEAD + 1, left + column, word, made.get("head"))
            page.text(HEAD + 2, left + column, group.unit, made.get("mark"))
        for row, values in enumerate(zip(group.before, group.after, strict=True), start=FIRST):
            is_last = (row - FIRST + 1) % 12 == 0
            for column, value in enumerate(values):
                figure(page, row, left + column, value, group.look, last=is_last)
            if group.changes:
                one, other = (f"{names.letters(left + side)}{row + 1}" for side in (0, 1))
                change = float(values[1]) - float(values[0])
                page.formula(row, left + 2, f"={other}-{one}", change, made.get("number", group.look, last=is_last))

    def printed(self, page: Page) -> None:
        """Landscape, as many pages wide as it takes, months and headings on each."""
        sheet = page.sheet
        sheet.freeze_panes(FIRST, 2)
        sheet.repeat_rows(HEAD, FIRST - 1)
        sheet.repeat_columns(0, 1)
        sheet.set_landscape()
        sheet.set_margins(left=0.4, right=0.4, top=0.7, bottom=0.55)
        sheet.set_header('&L&"Arial,Bold"&12By month: before and after')  # a title would be cut on later pages
        sheet.fit_to_pages(-(-self.end // PAGE), 0)
        sheet.print_area(HEAD, 0, FIRST + self.found.horizon - 1, self.end - 1)
        sheet.set_footer("&L&8&A&R&8page &P of &N")
        sheet.hide_gridlines(2)


def page_lines(page: Page) -> int:
    """How many lines the headings have so far."""
    return round((page.heights.get(HEAD, 14.0) - 2.0) / 12.0)


def figure(page: Page, row: int, column: int, value: Figure, look: str, *, last: bool = False) -> None:
    """A number, or the words for why there is none."""
    if isinstance(value, str):
        page.text(row, column, value, page.formats.get("text", last=last))
    else:
        page.number(row, column, value, page.formats.get("number", look, last=last))


__all__ = ["NAME", "PRICE", "Months", "figure"]
