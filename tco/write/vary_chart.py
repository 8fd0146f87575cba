"""The chart of what matters: a bar an input from its low to its high end, around the cost as the study stands."""

from __future__ import annotations

from typing import Any

from tco.ask.vary import Swing, Variation
from tco.write import charts, names
from tco.write.chance_words import PRINTED
from tco.write.formats import INK, WHOLE_MONEY
from tco.write.page import Page
from tco.write.vary_figures import changed, letter, value_in_short

TOP = 12  # inputs in the chart
LOW, HIGH = "#BFDDE2", "#16324F"
BRIEF = 44  # letters of an input's name


class Bars:
    """The chart and its cells, from a place right of the page on: a row an input, what its ends change."""

    def __init__(self, page: Page, found: Variation, row: int, left: int) -> None:
        self.page, self.found, self.row, self.left = page, found, row, left
        self.own = found.swings[:TOP]

    def write(self) -> None:
        """The cells."""
        page, made = self.page, self.page.formats
        page.text(self.row, self.left, finding(self.found), made.get("label"))
        for column, word in enumerate(("at its low end", "at its high end"), start=1):
            page.text(self.row + 1, self.left + column, word, made.get("head"))
        for row, own in enumerate(self.own, start=self.row + 2):
            page.text(row, self.left, label(own), made.get("label"))
            for column, change in enumerate(changed(self.found, own, own.most), start=1):
                page.number(row, self.left + column, change, made.get("number", WHOLE_MONEY))

    def chart(self, size: tuple[int, int]) -> Any:
        """Lying bars, the first input on top; both ends on one line."""
        chart = self.page.book.add_chart({"type": "bar"})
        for column, colour in ((1, LOW), (2, HIGH)):
            chart.add_series(
                {
                    "name": f"={self.cell(self.row + 1, column)}", "categories": f"={self.span(0)}",
                    "values": f"={self.span(column)}", "gap": 45, "overlap": 100,
                    "fill": {"color": colour}, "border": {"color": INK, "width": 0.5},
                }
            )  # fmt: skip
        chart.set_y_axis(
            charts.axis("", reverse=True, crossing="max", label_position="low", major_gridlines={"visible": False})
        )
        money = self.found.comparison.study.settings.currency
        name = f"{money} more or less than as the study stands, of the scenario in brackets"
        chart.set_x_axis(charts.axis(name, WHOLE_MONEY, major_gridlines=charts.GRID))
        chart.set_legend({"position": "bottom", "font": charts.font(8)})
        return charts.finish(chart, self.cell(self.row, 0), size)

    def span(self, column: int) -> str:
        """A column of the cells."""
        sign, first = names.letters(self.left + column), self.row + 3
        return f"{names.quoted(self.page.name)}${sign}${first}:${sign}${first + len(self.own) - 1}"

    def cell(self, row: int, column: int) -> str:
        """One of the cells."""
        return f"{names.quoted(self.page.name)}${names.letters(self.left + column)}${row + 1}"


def label(own: Swing) -> str:
    """An input with its ends and the scenario that it changes most: `hour value, 6 to 20 EUR/h (A)`."""
    one, choice = own.choice.input, own.choice
    name = one.label if len(one.label) <= BRIEF else f"{one.label[: BRIEF - 1]}…"
    low, high = (value_in_short(one, value, PRINTED) for value in (choice.low, choice.high))
    unit = "" if one.is_factor or not one.unit else f" {one.unit}"
    return f"{name}, {low} to {high}{unit} ({letter(own.most)})"


def finding(found: Variation) -> str:
    """The largest effect in words."""
    own, money = found.swings[0], found.comparison.study.settings.currency
    effect = PRINTED.amount(own.effect)
    name = found.names[own.most]
    unranked = "" if name in found.among else " (not ranked)"
    return f"{own.choice.input.label} changes most: {effect} {money} between its ends, for {name}{unranked}"
