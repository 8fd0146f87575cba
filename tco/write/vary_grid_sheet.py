"""The sheet `Grid` of vary.xlsx: who is the cheapest in each cell of two inputs, and by how much.

A cell says the letter of the cheapest and how much more the next one costs. Colours of scenarios are alike in
lightness and go by three steps with that margin, so that in grey the tone says the margin and the letter who.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from tco.ask.vary import Variation
from tco.ask.vary_grid import NOBODY, Axis, Grid
from tco.write.chance_words import PRINTED
from tco.write.formats import FONT, INK, PAPER
from tco.write.page import EIGHT, NINE, TWELVE, Page, lines_of
from tco.write.shared_sheets import asked, print_setup
from tco.write.summary import kept_for
from tco.write.vary_figures import axis_in_short, letter, side
from tco.write.vary_words import grid_answer, grid_heading

NAME = "Grid"
LEFT, CELL = 16, 9.5  # widths of the columns
A_PAGE = 14  # columns of a printed page
TALL = 24  # rows of figures beside which the first page has no room
FEWEST = 10  # columns over which sentences go
TOP = 3  # the row of the first sentence
COLOURS = ("#6FA8C4", "#DFA23A", "#CF8A94", "#93B160", "#AE95C6", "#A5A5A5", "#5FB3A1", "#C79A6B")
TINTS = (0.25, 0.6, 1.0)  # how much of a scenario's colour a cell has, by its margin
FRAME = 2


class Cells:
    """The sheet as it is written: rows count from 0."""

    def __init__(self, page: Page, found: Variation, grid: Grid) -> None:
        self.page, self.found, self.grid = page, found, grid
        self.money = found.comparison.study.settings.currency
        self.last = max(len(grid.columns.values), FEWEST)
        self.steps = steps(grid)
        self.made: dict[tuple[Any, ...], Any] = {}

    def write(self) -> None:
        """The whole sheet."""
        self.page.sheet.set_column(0, 0, LEFT)
        self.page.sheet.set_column(1, self.last, CELL)
        row = self.top()
        row = self.legend(row + 1)
        row = self.cells(row + 1)
        print_setup(self.page, row + 1, self.last)
        self.page.sheet.fit_to_pages(-(-self.last // A_PAGE), 0)

    def top(self) -> int:
        """What the grid shows, and the answer; returns the row after them."""
        page, made, grid = self.page, self.page.formats, self.grid
        settings = self.found.comparison.study.settings
        kind = "" if settings.money == "nominal" else f" of {settings.start:%Y-%m}"
        asked(page, settings.question, f"Life-cycle cost in {settings.currency}{kind}, {self.kept()}.")
        wide = LEFT + CELL * FEWEST
        told = (f"{grid_heading(grid)}.", grid_answer(grid))
        for row, one in enumerate(told, start=TOP):
            page.wide(row, 0, FEWEST + 1, made.get("answer"), one)
            page.height(row, lines_of(one, wide, TWELVE), line=15.5, least=18)
        return TOP + len(told)

    def kept(self) -> str:
        """How long it is kept."""
        has_years = any(axis.input is None for axis in (self.grid.rows, self.grid.columns))
        horizon = kept_for(self.found.comparison.study.settings.horizon)
        return "as if all were sold at the end of the year" if has_years else f"over {horizon}"

    def legend(self, row: int) -> int:
        """What letters, tones and marks mean; returns the row after them."""
        page, made = self.page, self.page.formats
        for number, name in enumerate(self.grid.names):
            if name in self.grid.among:
                page.text(row, 0, letter(number), self.look(number, len(TINTS) - 1))
                page.wide(row, 1, FEWEST, made.get("small"), name)
                row += 1
        for note in self.notes():
            page.wide(row, 0, FEWEST + 1, made.get("small"), f"· {note}")
            page.height(row, lines_of(note, LEFT + CELL * FEWEST, NINE))
            row += 1
        return row

    def notes(self) -> list[str]:
        """What a cell says."""
        grid, ends = self.grid, [PRINTED.amount(one) for one in self.steps]
        told = [f"The number is how much more the next one costs, {self.money}"]
        if len(grid.among) > 1:
            told[0] += f"; the darkest from {ends[1]}, the lightest below {ends[0]}"
        if len(grid.among) < len(grid.names):
            told.append("Left out are scenarios that do not meet all needs as the study stands.")
        if grid.misses.any():
            told.append("An apostrophe (B') means that the cheapest misses a need with these inputs.")
        if (grid.cheapest == NOBODY).any():
            told.append("= means that several cost the same.")
        if grid.rows.stated is not None or grid.columns.stated is not None:
            told.append("Values in a frame are what the study says.")
        return told

    def cells(self, row: int) -> int:
        """The grid itself; returns the row after it."""
        page, made, grid = self.page, self.page.formats, self.grid
        page.text(row, 0, side(grid.rows), made.get("head_left"))
        page.wide(row, 1, len(grid.columns.values), made.get("head_left"), side(grid.columns))
        page.height(row, lines_of(side(grid.rows), LEFT - 2, EIGHT))
        page.text(row + 1, 0, "", made.get("mark_left"))
        for column in range(len(grid.columns.values)):
            self.value(grid.columns, column, (row + 1, 1 + column))
        page.sheet.freeze_panes(row + 2, 1)
        if len(grid.columns.values) > A_PAGE or len(grid.rows.values) > TALL:
            page.sheet.repeat_rows(row, row + 1)
            page.sheet.repeat_columns(0)
        for number in range(len(grid.rows.values)):
            self.value(grid.rows, number, (row + 2 + number, 0))
            for column in range(len(grid.columns.values)):
                self.cell(row + 2 + number, number, column)
        return row + 2 + len(grid.rows.values)

    def value(self, axis: Axis, place: int, where: tuple[int, int]) -> None:
        """A value along a side, in a frame where the study says it."""
        self.page.text(
            *where, axis_in_short(axis, axis.values[place], PRINTED), self.head(stated=place == axis.stated)
        )

    def cell(self, row: int, number: int, column: int) -> None:
        """Who is the cheapest, and by how much."""
        grid, page = self.grid, self.page
        first, ahead = int(grid.cheapest[number, column]), float(grid.ahead[number, column])
        misses = bool(grid.misses[number, column])
        if first == NOBODY:
            page.text(row, 1 + column, "=", self.look(NOBODY, 0))
        elif np.isnan(ahead):
            page.text(row, 1 + column, f"{letter(first)}{chr(39) * misses}", self.look(first, 0))
        else:
            tint = int(np.searchsorted(self.steps, ahead, side="right"))
            page.number(row, 1 + column, ahead, self.look(first, tint, misses=misses))

    def look(self, number: int, tint: int, *, misses: bool = False) -> Any:
        """How a cell of a scenario looks."""
        key = (number, tint, misses)
        if key not in self.made:
            sign = "" if number == NOBODY else f'"{letter(number)}{chr(39) if misses else " "} "#,##0'
            fill = {} if number == NOBODY else {"bg_color": tinted(COLOURS[number % len(COLOURS)], TINTS[tint])}
            base = {"font_name": FONT, "font_size": 9, "font_color": INK, "align": "center", "valign": "vcenter"}
            self.made[key] = self.page.book.add_format({**base, **fill, **({"num_format": sign} if sign else {})})
        return self.made[key]

    def head(self, *, stated: bool) -> Any:
        """How a value along a side looks; in a frame where the study says it."""
        key = ("head", stated)
        if key not in self.made:
            look = {"font_name": FONT, "font_size": 8, "font_color": INK, "bold": True, "bg_color": PAPER}
            place = {"align": "center", "valign": "vcenter", "border": FRAME if stated else 0}
            self.made[key] = self.page.book.add_format(look | place)
        return self.made[key]


def steps(grid: Grid) -> list[float]:
    """The margins from which on a cell is darker: a third and two thirds of the cells have less."""
    own = grid.ahead[np.isfinite(grid.ahead)]
    return [0.0, 0.0] if not len(own) else [float(value) for value in np.quantile(own, (1 / 3, 2 / 3))]


def tinted(colour: str, share: float) -> str:
    """A colour thinned with white."""
    parts = [int(colour[place : place + 2], 16) for place in (1, 3, 5)]
    return "#" + "".join(f"{round(255 - (255 - part) * share):02X}" for part in parts)
