"""Where a figure comes from: its formula in words and with its numbers, down to given values and their sources."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from tco.ask.compare import HOLDING, MEETINGS, Comparison, crossings, holding_name, measure_tables
from tco.ask.details import details
from tco.engine import Array, Call, Column, Figures, Node, Ref, absent, cell_text, in_numbers, in_words
from tco.errors import UnknownNameError
from tco.model import Ground
from tco.model.calendar import MONTHS
from tco.units import written

OVER_THE_HORIZON = {"total": "undiscounted"}  # lines whose measure has another name


@dataclass(frozen=True)
class Entry:
    """One figure: its row, value, formula with its numbers (empty where given), its cell, where it is from.

    value: with its unit, as people write it. amount: the number in full, or the words that stand in its place.
    """

    row: str
    value: str
    amount: float | str
    unit: str
    numbers: str
    cell: str
    origin: str


@dataclass(frozen=True)
class Block:
    """One column that took part: its label, its formula in words (empty where given), its figures."""

    label: str
    words: str
    entries: tuple[Entry, ...]
    scenario: str


@dataclass(frozen=True)
class Explanation:
    """A figure's headline, and the columns it comes from, the nearest first."""

    headline: str
    blocks: tuple[Block, ...]


def explain(
    comparison: Comparison, scenario: str, line: str, month: int | None, cell: Callable[[Column, int], str]
) -> Explanation:
    """How one figure comes about: a line of a month, or a measure (a line without a month: its total).

    cell: where a column's row stands in the workbook. Raises UnknownNameError.
    """
    ground = ground_of(comparison, scenario)
    found = crossing_of(comparison, ground, line) or holding_of(ground, line) or detail_of(comparison, ground, line)
    column, row = found or figure_of(ground, line, month)
    rows = reached(column, row, comparison.figures)
    where = "" if len(column.table.rows) == 1 else f", {row_name(column, row)}"
    value = cell_text(column, row, comparison.figures)
    headline = ". ".join(filter(None, (f"{ground.scenario.scenario}, {titled(column)}{where}: {value}", column.note)))
    blocks = [block(one, found, comparison.figures, cell) for one, found in rows.items()]
    return Explanation(headline, tuple(named(one, ground) for one in blocks))


def ground_of(comparison: Comparison, scenario: str) -> Ground:
    """The scenario of that name."""
    grounds = {ground.scenario.scenario: ground for ground in comparison.built.grounds}
    if scenario not in grounds:
        raise UnknownNameError("scenario", scenario, grounds)
    return grounds[scenario]


def figure_of(ground: Ground, line: str, month: int | None) -> tuple[Column, int]:
    """The column and row that a person means."""
    model = ground.model
    monthly = {spelled(column.name): column for column in model.of(ground.months)}
    measures = {spelled(one.name): one for table in measure_tables(ground) for one in model.of(table)}
    asked = spelled(line)
    asked = OVER_THE_HORIZON.get(asked, asked) if month is None else asked
    whole = measures.get(asked) or measures.get(f"total_{asked}")
    if month is None and whole is not None:
        return whole, 0
    if asked not in monthly:
        kind = "line by month" if whole is not None or month is not None else "line"
        raise UnknownNameError(kind, line, monthly if month is not None else [*monthly, *measures])
    if month is None or not 0 <= month <= ground.horizon:
        raise UnknownNameError("month", "left out" if month is None else str(month), [f"0 to {ground.horizon}"])
    return monthly[asked], month


def crossing_of(comparison: Comparison, ground: Ground, line: str) -> tuple[Column, int] | None:
    """Where a crossing among the measures shows: what a scenario is ahead in the month after it."""
    for which, word in MEETINGS:
        for number, (month, _) in enumerate(crossings(comparison, ground, which), start=1):
            if spelled(line).startswith(f"{word}_{number}_"):
                return ground.month(which), min(int(month) + 1, ground.horizon)
    return None


def holding_of(ground: Ground, line: str) -> tuple[Column, int] | None:
    """A figure by holding period: `lcc_kept_3_years`; or one of several rates of return, `rate_of_return_2`."""
    if spelled(line).startswith("rate_of_return_"):
        return ground.own("measures", "rate_of_return"), 0
    for column in (ground.own("holding", name) for name in HOLDING):
        for row, period in enumerate(column.table.rows):
            if spelled(line) == holding_name(column, period):
                return column, row
    return None


def detail_of(comparison: Comparison, ground: Ground, line: str) -> tuple[Column, int] | None:
    """A figure of a pool, a place or a kind of drive: `usable_of_main`."""
    named = details(ground, comparison.figures)
    alike = [spot for name, spot in named.items() if spelled(name) == spelled(line)]
    return named.get(line) or (alike[0] if len(alike) == 1 else None)


def spelled(name: str) -> str:
    """A name as it is compared: case, spaces, hyphens and underscores make no difference."""
    return name.replace(" ", "_").replace("-", "_").lower()


def reached(column: Column, row: int, figures: Figures) -> dict[Column, list[int]]:
    """Every figure that takes part in one, by column, the nearest first; each once."""
    found: dict[Column, list[int]] = {column: [row]}
    waiting = [(column, row)]
    while waiting:
        here, at_row = waiting.pop(0)
        for next_column, next_row in inputs_of(here, at_row, figures):
            rows = found.setdefault(next_column, [])
            if next_row not in rows:
                rows.append(next_row)
                waiting.append((next_column, next_row))
    return found


def inputs_of(column: Column, row: int, figures: Figures) -> list[tuple[Column, int]]:
    """The figures that one formula meets in one row."""
    if column.follows is not None and column.following[row]:
        return [(column.follows, min(row, len(column.follows.table.rows) - 1))]
    if column.formula is None:
        return []
    state = [] if column.state is None else [(column.state, row)]  # why it is words, or that it is none
    return state + [(c, r) for c, r in of_node(column.formula, row, figures) if r >= 0]


def of_node(node: Node, row: int, figures: Figures) -> list[tuple[Column, int]]:
    """As inputs_of, for a part of a formula; of a whole column, only the rows that count."""
    if isinstance(node, Call):
        ranges = [arg for arg in node.args if isinstance(arg, Ref) and not arg.is_one_cell and arg.reach != "keys"]
        met = [(arg.column, r) for arg in ranges for r in counting(node, arg, row, figures)]
        return met + [pair for arg in node.args if arg not in ranges for pair in of_node(arg, row, figures)]
    if not isinstance(node, Ref) or node.reach == "keys":
        return []
    index = node.row if node.reach == "at" else row - (node.reach == "before")
    return [(node.column, min(index, len(node.column.table.rows) - 1))]


def counting(call: Call, arg: Ref, row: int, figures: Figures) -> list[int]:
    """The rows of a whole column that change a call's result: tried one at a time, all together in one batch.

    Of months, which are many and alike, only the one that counts most.
    """
    size = len(arg.column.table.rows)
    tried = [np.eye(size) if one is arg else plain_argument(one, row, figures) for one in call.args]
    result = np.broadcast_to(call.function.array(*tried), (size, *call.function.array(*tried).shape[1:]))
    column = min(row, result.shape[-1] - 1)
    rows = [int(r) for r in np.flatnonzero(result[:, column]) if figures[arg.column][r] != 0]
    if arg.column.table.axis == MONTHS and rows:
        return [max(rows, key=lambda r: abs(figures[arg.column][r]))]
    return rows


def plain_argument(node: Node, row: int, figures: Figures) -> Array:
    """An argument beside a whole column: a cell as one number, a whole column as it is."""
    if isinstance(node, Ref):
        values = figures[node.column]
        if not node.is_one_cell:
            return values
        index = node.row if node.reach == "at" else row
        return values[min(index, len(values) - 1)][None]  # type: ignore[no-any-return]
    return np.ones(1)


def named(block: Block, ground: Ground) -> Block:
    """The block with another scenario's name, where it is another's."""
    own = block.scenario in ("", ground.scenario.scenario)
    return block if own else replace(block, label=f"{block.label} of {block.scenario}")


def block(column: Column, rows: list[int], figures: Figures, cell: Callable[[Column, int], str]) -> Block:
    """One column as it is shown."""
    entries = tuple(entry(column, row, figures, cell) for row in rows)
    words = "" if column.formula is None else in_words(column.formula, column.table.scenario)
    if column.is_words:
        words = "by number: " + ", ".join(f"{number} {text}" for number, text in enumerate(column.words, start=1))
    return Block(titled(column), words, entries, column.table.scenario)


def titled(column: Column) -> str:
    """A column's label; of a pool's figures with the pool's name."""
    pool = column.table.kind.removeprefix("pool ")
    return column.label if pool == column.table.kind else f"{column.label} ({pool})"


def entry(column: Column, row: int, figures: Figures, cell: Callable[[Column, int], str]) -> Entry:
    """One figure as it is shown."""
    formula = None if absent(column, row, figures) else column.formula
    numbers = "" if formula is None else in_numbers(formula, row, figures)
    value, (amount, unit) = cell_text(column, row, figures), amount_of(column, row, figures)
    return Entry(row_name(column, row), value, amount, unit, numbers, cell(column, row), origin(column, row))


def amount_of(column: Column, row: int, figures: Figures) -> tuple[float | str, str]:
    """A figure as a number in full, with its unit; words where it is none."""
    blank = bool(column.blank) and column.blank[row]
    if column.unit is None or blank or absent(column, row, figures):
        return cell_text(column, row, figures), ""
    return float(figures[column][row]), written(column.unit)


def row_name(column: Column, row: int) -> str:
    """A row's label; months with their number."""
    name = column.table.rows[row]
    return f"month {row} ({name})" if column.table.axis == MONTHS and row else name


def origin(column: Column, row: int) -> str:
    """Where a given value comes from."""
    if column.formula is not None:
        return ""
    if column.computed:
        return f"computed by the tool: {column.computed}"
    if column.following and column.following[row]:
        assert column.follows is not None
        return f"left empty: the same as {column.follows.label}"
    place = column.places[row]
    source = column.sources[row] if column.sources else ""
    where = str(place) if place else ("default" if column.sources else "follows from the study")
    return f"{where}; {source}" if source else where
