"""The chart of what to buy next: a bar a purchase, what it gives for each 100 units of money."""

from __future__ import annotations

from typing import Any

from tco.ask.spend import HUNDRED, Single, Spending
from tco.write import charts, names
from tco.write.chance_words import PRINTED
from tco.write.formats import INK
from tco.write.page import Page
from tco.write.spend_words import for_money, money

TOP = 12  # purchases in the chart
BRIEF = 44  # letters of a purchase's name
FILL, NOT = "#16324F", "#FFFFFF"


def drawn(found: Spending) -> list[Single]:
    """The purchases with a bar: those that cost something and improve the goal, recommended or not."""
    return [one for one in found.singles if one.per_100 is not None and one.improves][:TOP]


def level(found: Spending) -> int:
    """Which of the goal's figures the bars show: the first one that any purchase improves."""
    return next((n for n in range(found.goal.levels) if any((one.per_100 or (0, 0))[n] for one in drawn(found))), 0)


class Bars:
    """The chart and its cells, from a place right of the page on: a row a purchase; two series, so that print in grey
    tells what is not recommended.
    """

    def __init__(self, page: Page, found: Spending, left: int) -> None:
        self.page, self.found, self.left, self.own = page, found, left, drawn(found)

    def write(self) -> None:
        """The cells."""
        page, made, place = self.page, self.page.formats, level(self.found)
        page.text(0, self.left, finding(self.found), made.get("label"))
        for column, word in enumerate(("may be bought", "not recommended"), start=1):
            page.text(1, self.left + column, word, made.get("head"))
        scale = HUNDRED if self.found.goal.percent or place else 1.0
        for row, one in enumerate(self.own, start=2):
            page.text(row, self.left, label(one), made.get("label"))
            gain = scale * (one.per_100 or (0.0, 0.0))[place]
            for column, holds in enumerate((one.is_recommended, not one.is_recommended), start=1):
                page.number(row, self.left + column, gain if holds else 0.0, made.get("number", "0.0##"))

    def chart(self, size: tuple[int, int]) -> Any:
        """Lying bars, the first purchase on top."""
        chart = self.page.book.add_chart({"type": "bar"})
        shown = (1, 2) if any(not one.is_recommended for one in self.own) else (1,)
        for column in shown:
            filled = {"fill": {"color": FILL}} if column == 1 else {
                "pattern": {"pattern": "wide_upward_diagonal", "fg_color": INK, "bg_color": NOT}}  # fmt: skip
            chart.add_series(
                {
                    "name": f"={self.cell(1, column)}", "categories": f"={self.span(0)}",
                    "values": f"={self.span(column)}", "gap": 45, "overlap": 100,
                    "border": {"color": INK, "width": 0.5}, **filled,
                }
            )  # fmt: skip
        chart.set_y_axis(
            charts.axis("", reverse=True, crossing="max", label_position="low", major_gridlines={"visible": False})
        )
        chart.set_x_axis(charts.axis(what(self.found), "General", major_gridlines=charts.GRID))
        chart.set_legend({"position": "bottom", "font": charts.font(8)} if len(shown) > 1 else {"none": True})
        return charts.finish(chart, self.cell(0, 0), size)

    def span(self, column: int) -> str:
        """A column of the cells."""
        sign = names.letters(self.left + column)
        return f"{names.quoted(self.page.name)}${sign}$3:${sign}${2 + len(self.own)}"

    def cell(self, row: int, column: int) -> str:
        """One of the cells."""
        return f"{names.quoted(self.page.name)}${names.letters(self.left + column)}${row + 1}"


def label(one: Single) -> str:
    """A purchase's name, cut where it is long."""
    return one.name if len(one.name) <= BRIEF else f"{one.name[: BRIEF - 1]}…"


def what(found: Spending) -> str:
    """What the bars show, with the unit."""
    goal, per = found.goal, f"for each {HUNDRED:.0f} {money(found)}"
    if goal.is_needs:
        words = ("needs fewer", "how much less is short, in % of what is wanted,")
        return f"{words[level(found)]} {per}"
    unit = "%" if goal.percent else goal.unit
    return f"by how much {goal.label} gets better {per}{f' [{unit}]' if unit else ''}"


def finding(found: Spending) -> str:
    """The best for its money, in words."""
    first = next((one for one in found.singles if one.is_recommended), None)
    if first is None:
        return "None of what improves it can be recommended"
    return f"{label(first)} gives most for its money: {for_money(found, first, PRINTED)}"
