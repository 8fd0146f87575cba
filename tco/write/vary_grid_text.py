"""A grid as letters, one a cell, that fits 80 columns; of a large one only some rows and columns are shown."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tco.ask.vary_grid import NOBODY, Axis, Grid
from tco.write.chance_words import TYPED
from tco.write.lines import wrapped
from tco.write.screen import width
from tco.write.vary_figures import axis_in_short, letter, wins
from tco.write.vary_words import grid_answer, grid_heading

SIDE, CELL = 14, 5  # width of the values at the side, and of a cell at least
TALL = 26  # rows that are shown at most
LEVEL_SIGN, MISSES, STATED = "=", "'", "*"


def grid_text(grid: Grid) -> list[str]:
    """Heading, letters, what they mean."""
    rows = picked(len(grid.rows.values), TALL, grid.rows.stated)
    wide = max(CELL, *(len(marked(grid.columns, place)) + 1 for place in range(len(grid.columns.values))))
    columns = picked(len(grid.columns.values), (width() - 1 - SIDE) // wide, grid.columns.stated)
    head = f"{'':<{SIDE}}" + "".join(f"{marked(grid.columns, place):>{wide}}" for place in columns)
    lines = [f"{marked(grid.rows, row):>{SIDE}}" + cells(grid, row, columns, wide) for row in rows]
    return [
        *wrapped(grid_heading(grid)),
        "",
        head.rstrip(),
        "-" * len(head),
        *lines,
        "",
        *legend(grid),
        *left(grid, rows, columns),
    ]


def picked(count: int, most: int, stated: int | None) -> list[int]:
    """Places evenly spread over so many, first and last among them, and that of the study."""
    own = {int(place) for place in np.linspace(0, count - 1, min(count, most)).round()}
    if stated is not None and stated not in own:
        near = min(own - {0, count - 1} or own, key=lambda place: abs(place - stated))
        own = (own - {near}) | {stated}
    return sorted(own)


def marked(axis: Axis, place: int) -> str:
    """A value at the side, with a mark where the study has it."""
    text = axis_in_short(axis, axis.values[place], TYPED)
    return f"{text}{STATED if place == axis.stated else ' '}"


def cells(grid: Grid, row: int, columns: Sequence[int], wide: int) -> str:
    """The letters of a row."""
    return "".join(f"{sign(grid, row, column):>{wide}}" for column in columns).rstrip()


def sign(grid: Grid, row: int, column: int) -> str:
    """The letter of who is the cheapest in a cell."""
    number = int(grid.cheapest[row, column])
    own = LEVEL_SIGN if number == NOBODY else letter(number)
    return f"{own}{MISSES if grid.misses[row, column] else ' '}"


def legend(grid: Grid) -> list[str]:
    """What letters and marks mean."""
    known = wins(grid)
    told = [f"{letter(number)} {name}" for number, name in enumerate(grid.names) if name in known]
    told += [f"{LEVEL_SIGN} several cost the same"] if (grid.cheapest == NOBODY).any() else []
    told += [f"{MISSES} misses a need there"] if grid.misses.any() else []
    stated = any(axis.stated is not None for axis in (grid.rows, grid.columns))
    told += [f"{STATED} as the study says"] if stated else []
    return [*wrapped("; ".join(told)), *wrapped(grid_answer(grid))]


def left(grid: Grid, rows: Sequence[int], columns: Sequence[int]) -> list[str]:
    """What is not shown."""
    if (len(rows), len(columns)) == grid.cheapest.shape:
        return []
    tall, wide = grid.cheapest.shape
    return wrapped(f"{len(rows)} of {tall} rows and {len(columns)} of {wide} columns; vary_grid.csv has all")
