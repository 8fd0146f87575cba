"""The charts of growing: the data against the room in steps, and what each way has cost so far; their cells.

The cells stand right of the page and follow those of the comparison's sheets.
"""

from __future__ import annotations

from typing import Any

from tco.ask.grow import ONCE, Growth, Way
from tco.ask.grow_figures import data, grown, room
from tco.engine import Column
from tco.write import charts, names
from tco.write.chance_words import PRINTED
from tco.write.grow_words import money, name_of
from tco.write.layout import Layout
from tco.write.page import Page

TB = "#,##0.00"


class Charts:
    """Both charts of one plan and their cells, from a column right of the page on."""

    def __init__(self, page: Page, found: Growth, plan: int, stands: Layout, left: int) -> None:
        self.page, self.found, self.plan, self.stands, self.left = page, found, plan, stands, left
        self.horizon = found.comparison.study.settings.horizon
        self.ways = [grown(found, plan), *found.others(plan)]

    def roomy(self) -> list[Way]:
        """The ways of this plan whose room is drawn: those with hardware."""
        once = self.found.way(self.plan, ONCE)
        return [self.ways[0], *([once] if once else [])]

    def write(self) -> None:
        """The cells: titles, heads, then two rows a month for what goes in steps."""
        page, made = self.page, self.page.formats
        for row, title in enumerate((self.room_title(), self.cost_title())):
            page.text(row, self.left, title, made.get("label"))
        for number, head in enumerate(("month", "data held", *(f"room, {way.kind}" for way in self.roomy()))):
            page.text(2, self.left + number, head, made.get("head"))
        for number, way in enumerate(self.ways):
            page.text(2, self.left + self.costs + number, way.name, made.get("head"))
        for month in range(1, self.horizon + 1):
            for side in (0, 1):
                self.step(2 * month + 1 + side, month, month - 1 + side)

    @property
    def costs(self) -> int:
        """How far right the names of the lines of costs stand."""
        return 2 + len(self.roomy())

    def step(self, row: int, month: int, at: int) -> None:
        """One end of a month: the data held then, and the room of the month."""
        page, made = self.page, self.page.formats
        page.number(row, self.left, at, made.get("number", "0"))
        calendar = self.found.comparison.built.model["calendar.data_held"]
        self.linked(row, 1, calendar, at, float(data(self.found)[at]))
        for number, way in enumerate(self.roomy(), start=2):
            own = room(self.found, way)
            if own is not None and way.ground.has("months", "recommended"):
                self.linked(row, number, way.ground.month("recommended"), month, float(own[month]))
            else:
                page.number(row, self.left + number, 0.0, made.get("number", TB))

    def linked(self, row: int, column: int, of: Column, of_row: int, value: float) -> None:
        """A cell that follows one of the comparison's."""
        formula = f"={self.stands.absolute(of, of_row)}"
        self.page.formula(row, self.left + column, formula, value, self.page.formats.get("number", TB))

    def cell(self, row: int, column: int) -> str:
        """One of the cells."""
        return f"{names.quoted(self.page.name)}${names.letters(self.left + column)}${row + 1}"

    def span(self, column: int) -> str:
        """A column of the steps."""
        letter = names.letters(self.left + column)
        return f"{names.quoted(self.page.name)}${letter}$4:${letter}${2 * self.horizon + 3}"

    def room_chart(self) -> Any:
        """Data held and room over the months; the room goes in steps."""
        count = 2 + len(self.roomy())
        series = [charts.Series(self.cell(2, number), self.span(0), self.span(number), strong=number == 1)
                  for number in range(1, count)]  # fmt: skip
        return charts.running(self.page.book, series, (), self.cell(0, 0), ("month", "TB"), self.horizon)

    def cost_chart(self) -> Any:
        """What each way has cost by each month, resale left out."""
        months = self.stands.absolute(self.found.comparison.built.model["calendar.month"], 0, self.horizon)
        series = [self.cost_series(number, way, months) for number, way in enumerate(self.ways)]
        axes = ("month", f"{money(self.found)} cost so far, undiscounted")
        return charts.running(self.page.book, series, (), self.cell(1, 0), axes, self.horizon)

    def cost_series(self, number: int, way: Way, months: str) -> charts.Series:
        """One way's line; that as data grow is strong."""
        values = self.stands.absolute(way.ground.month("cumulative"), 0, self.horizon)
        return charts.Series(self.cell(2, self.costs + number), months, values, strong=not number)

    def room_title(self) -> str:
        """How data and room go, in words."""
        own = room(self.found, self.ways[0])
        assert own is not None
        held = data(self.found)
        first, last, room_first, room_last = (
            PRINTED.amount(float(one), 1) for one in (held[0], held[-1], own[0], own[-1])
        )
        name = name_of(self.found, self.plan)
        return f"{name}: data from {first} to {last} TB, room from {room_first} to {room_last} TB"

    def cost_title(self) -> str:
        """Which way has cost least by the end."""
        paid = {way.name: float(self.found.comparison.of(way.ground.month("cumulative"))[-1]) for way in self.ways}
        least = min(paid, key=lambda name: paid[name])
        return (
            f"{least} has cost least by the end, {PRINTED.amount(paid[least])} {money(self.found)}, resale left out"
        )
