"""The chart of ranges: a bar from P10 to P90 for each scenario, P50 marked, and what it needs beside the page.

Bars that begin anywhere are bars stacked on an invisible first part. What lies below 0 stacks from 0 to the left, so
each part is two rows of bars, one for what is above 0 and one for what is below.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from tco.ask.simulated import Outcome, Simulated, Spread
from tco.write import charts, names
from tco.write.chance_figures import favourite, is_certain, ranked, runner_up
from tco.write.chance_words import PRINTED
from tco.write.formats import INK, MONEY, WHOLE_MONEY
from tco.write.page import Page
from tco.write.terminal import short_names

PALE = "#BFDDE2"
MARK = 0.008  # how wide the mark of P50 is, of the axis
BRIEF = 28  # letters of a name in a title
PARTS = ("", "P10 to P90: eight draws of ten", "P50: half of the draws cost less", "")
STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)


def axis_ends(low: float, high: float) -> tuple[float, float, float]:
    """Where an axis begins and ends around some figures, and its step: round numbers, from 0 where that is near."""
    wide = max(high - low, abs(high) * 0.05, 0.05)
    if 0 <= low <= wide / 2:
        reach = max(high, wide)
        step = round_up(reach / 6)
        return 0.0, step_after(reach, step), step
    step = round_up(wide / 6)
    return math.floor((low - 0.02 * wide) / step) * step, step_after(high, step), step


def round_up(value: float) -> float:
    """The next round number: 1, 2, 2.5 or 5 and noughts."""
    power = 10.0 ** math.floor(math.log10(value))
    return float(power * next(step for step in STEPS if step * power >= value * (1 - 1e-9)))


def step_after(value: float, step: float) -> float:
    """The first step beyond a value."""
    return (math.floor(value / step * (1 + 1e-9)) + 1) * step


def lengths(spread: Spread, mark: float) -> list[float]:
    """How long the parts of a bar are: those above 0 from 0 on, then those below, from 0 on as well.

    Above: nothing shown, P10 to the mark, the mark, the mark to P90; below the same from the other end.
    """
    left, right = spread.p50 - mark / 2, spread.p50 + mark / 2
    edges = (min(spread.p10, left), left, right, max(spread.p90, right))
    above = [max(edge, 0.0) for edge in edges]
    below = [min(edge, 0.0) for edge in reversed(edges)]
    return [
        *(one - other for one, other in zip(above, [0.0, *above[:3]], strict=True)),
        *(one - other for one, other in zip(below, [0.0, *below[:3]], strict=True)),
    ]


class Ranges:
    """The chart and its cells: names and eight lengths a scenario, from a place right of the page on."""

    def __init__(self, page: Page, found: Simulated, row: int, left: int) -> None:
        self.page, self.found, self.row, self.left = page, found, row, left
        self.outcomes = ranked(found)
        months = [own.equivalent_month for own in self.outcomes]
        self.axis = axis_ends(min(one.p10 for one in months), max(one.p90 for one in months))

    def write(self) -> None:
        """The cells."""
        page, made = self.page, self.page.formats
        page.text(self.row, self.left, finding(self.found), made.get("label"))
        mark = MARK * (self.axis[1] - self.axis[0])
        for number, word in enumerate((*PARTS, *PARTS)):
            page.text(self.row + 1, self.left + 1 + number, word, made.get("head"))
        short = short_names([own.scenario for own in self.outcomes])
        labels = [
            name if own.scenario in self.found.among else f"{name} (not ranked)"
            for name, own in zip(short, self.outcomes, strict=True)
        ]
        for row, (label, own) in enumerate(zip(labels, self.outcomes, strict=True), start=self.row + 2):
            page.text(row, self.left, label, made.get("label"))
            for number, value in enumerate(lengths(own.equivalent_month, mark), start=1):
                page.number(row, self.left + number, value, made.get("number", MONEY))

    def span(self, column: int) -> str:
        """A column of the cells."""
        letter, first = names.letters(self.left + column), self.row + 3
        return f"{names.quoted(self.page.name)}${letter}${first}:${letter}${first + len(self.outcomes) - 1}"

    def cell(self, row: int, column: int) -> str:
        """One of the cells."""
        return f"{names.quoted(self.page.name)}${names.letters(self.left + column)}${row + 1}"

    def chart(self, size: tuple[int, int]) -> Any:
        """Lying bars, the first scenario on top."""
        chart = self.page.book.add_chart({"type": "bar", "subtype": "stacked"})
        for number in range(8):
            chart.add_series(self.series(number))
        least, most, step = self.axis
        chart.set_y_axis(
            charts.axis("", reverse=True, crossing="max", label_position="low", major_gridlines={"visible": False})
        )
        money = f"{self.found.comparison.study.settings.currency} a month, all spread evenly"
        ends = {"min": least, "max": most, "major_unit": step}
        chart.set_x_axis(
            charts.axis(money, WHOLE_MONEY if step == round(step) else MONEY, major_gridlines=charts.GRID, **ends)
        )
        legend = {"position": "bottom", "font": charts.font(8), "delete_series": self.unnamed()}
        chart.set_legend(legend)
        return charts.finish(chart, self.cell(self.row, 0), size)

    def unnamed(self) -> Sequence[int]:
        """The rows of bars that the legend leaves out: all but one range and one mark."""
        return [0, 3, 4, 5, 6, 7] if self.axis[1] > 0 else [0, 1, 2, 3, 4, 7]

    def series(self, number: int) -> dict[str, Any]:
        """One row of bars."""
        part = number % 4
        look: dict[str, Any] = {"fill": {"none": True}, "border": {"none": True}}
        if part:
            colour = INK if part == 2 else PALE
            look = {"fill": {"color": colour}, "border": {"color": INK, "width": 0.5}}
        return {
            "name": f"={self.cell(self.row + 1, 1 + number)}", "categories": f"={self.span(0)}",
            "values": f"={self.span(1 + number)}", "gap": 60, **look,
        }  # fmt: skip


def finding(found: Simulated) -> str:
    """The ranges of the favourite and the runner-up in words."""
    best, other, money = favourite(found), runner_up(found), found.comparison.study.settings.currency
    if other is None:
        if is_certain(best.lcc, found.draws):
            return f"{brief(best)} costs {PRINTED.amount(best.equivalent_month.p50, 2)} {money} a month in every draw"
        return f"Eight draws of ten: {ends(best)} {money} a month for {brief(best)}"
    return f"Eight draws of ten: {ends(best)} {money} a month for {brief(best)}, {ends(other)} for {brief(other)}"


def ends(own: Outcome) -> str:
    """From where to where it goes in eight draws of ten; one figure where that is the same."""
    low, high = (PRINTED.amount(value) for value in (own.equivalent_month.p10, own.equivalent_month.p90))
    return low if low == high else f"{low} to {high}"


def brief(own: Outcome) -> str:
    """A name as short as a title needs it."""
    return own.scenario if len(own.scenario) <= BRIEF else f"{own.scenario[: BRIEF - 1]}…"
