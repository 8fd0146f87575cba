"""Random models: mixed tables, every function of the registry, formulas up to six calls deep."""

from __future__ import annotations

from random import Random
from typing import Any

import numpy as np

from tco.engine import FUNCTIONS, Array, Column, Constant, Figures, Model, Node, Ref, Table, call
from tco.engine.evaluate import work_out
from tco.errors import FigureError
from tco.units import unit

KEYS = ("number", "text", "after", "until")  # names of the columns that serve as keys
CONSTANTS = (0.0, 1.0, 2.0, 3.0, -1.0, -2.5, 0.5, 1e-3, -1e-6, 12.0, 730.5, 1e6)
DEEP = 6
DRAWN = [name for name in FUNCTIONS if name != "only_rate"]  # which has one meaning only for one change of sign
SANE = (1e-6, 1e7)  # results of this size go on into other formulas; beyond it most later ones would overflow


class Maker:
    """A model under way, with the figures of its columns so far."""

    def __init__(self, seed: int) -> None:
        self.draw = Random(seed)
        self.model = Model()
        self.figures: Figures = {}
        self.failed: dict[Column, FigureError] = {}
        self.tables = [
            self.model.table("one", "One", ["here"]),
            self.model.table("few", "Few", [f"row {n}" for n in range(self.draw.randrange(2, 6))]),
            *(
                self.model.table(name, name, [f"month {n}" for n in range(7)], axis="months")
                for name in ("now", "then")
            ),
        ]
        self.numbers: dict[Table, list[Column]] = {table: [] for table in self.tables}
        self.made = 0
        for table in self.tables:
            self.given(table)

    def given(self, table: Table) -> None:
        """Numbers of several magnitudes and signs, and keys."""
        rows = range(len(table.rows))
        number = [float(self.draw.randrange(1, 4)) for _ in rows]
        after = [float(self.draw.randrange(0, 5)) for _ in rows]
        until = [start + self.draw.randrange(4) for start in after]
        keys = (number, [("north", "south", "east")[int(key) - 1] for key in number], after, until)
        for name, values in zip(KEYS, keys, strict=True):
            self.work_out(self.model.given(table, name, name, None if name == "text" else "", values))
        for size in (1e-3, 1.0, 50.0, 4e4):
            values = [round(size * self.draw.uniform(-0.3, 1), 6) for _ in rows]
            self.keep(self.model.given(table, f"g{size:g}", f"given {size:g}", "", values))

    def work_out(self, column: Column) -> Array:
        """The figures of a column, kept for those to come."""
        with np.errstate(all="ignore"):
            self.figures[column] = work_out(column, self.figures, {})
        return self.figures[column]

    def keep(self, column: Column) -> None:
        """Let other formulas use a column if its figures are of a sane size."""
        size = np.abs(self.work_out(column))
        if np.all((size == 0) | ((size > SANE[0]) & (size < SANE[1]))):
            self.numbers[column.table].append(column)

    def formulas(self, count: int) -> list[Column]:
        """That many formulas, those without a number among them (see failed)."""
        return [self.formula() for _ in range(count)]

    def formula(self) -> Column:
        """One formula of random depth in a random table; now and then a recurrence."""
        self.made += 1
        table = self.draw.choice(self.tables)
        name, depth = f"f{self.made}", self.draw.randrange(1, DEEP + 1)
        if self.draw.random() < 0.05:
            column = self.model.recurrence(table, name, name, "", lambda own: self.recurrence(own))
        else:
            column = self.model.column(table, name, name, "", self.node(table, depth))
        try:
            self.keep(column)
        except FigureError as error:
            self.failed[column] = error
        return column

    def recurrence(self, own: Column) -> Node:
        """What a balance does: some of the row before, and something on top."""
        before = call("previous", own, self.leaf(own.table))
        side = self.draw.choice(self.tables)
        keys, key = (self.argument(reach, own.table, side, "number", 0) for reach in ("keys", "key"))
        on_top = call("sum_where", self.draw.choice(self.numbers[side]), keys, key) + self.leaf(own.table)
        return before * Constant(self.draw.uniform(-0.5, 1.1), unit("")) + on_top

    def node(self, table: Table, depth: int) -> Node:
        """A random call for cells of a table."""
        function = FUNCTIONS[self.draw.choice(DRAWN)]
        side, key = self.draw.choice(self.tables), "number"
        if function.name in ("sum_where", "look_up", "steps_above"):
            key = self.draw.choice(("number", "text"))
        if function.name == "power":
            return call("power", self.cell(table, depth), self.draw.choice((2.0, 3.0, -1.0, 0.5, self.leaf(table))))
        args = [self.argument(reach, table, side, key, depth) for reach in function.reach]
        if function.name == "sum_between":
            args[1:3] = [Ref(self.model[f"{side.name}.{name}"], "keys") for name in ("after", "until")]
        return call(function.name, *args)

    def argument(self, reach: str, table: Table, side: Table, key: str, depth: int) -> Any:
        """What an argument of a reach can be."""
        if reach == "cell":
            return self.cell(table, depth)
        if reach in ("key", "keys"):
            return self.model[f"{(side if reach == 'keys' else table).name}.{key}"]
        return self.draw.choice(self.numbers[side if reach == "range" else table])

    def cell(self, table: Table, depth: int) -> Any:
        """A call if there is depth left, or a leaf."""
        return self.node(table, depth - 1) if depth > 1 and self.draw.random() < 0.8 else self.leaf(table)

    def leaf(self, table: Table) -> Any:
        """A cell of the table, of its axis, of a table with one row, of a fixed row, or a constant."""
        if self.draw.random() < 0.25:
            return Constant(self.draw.choice(CONSTANTS), unit(""))
        other = self.draw.choice(self.tables)
        column = self.draw.choice(self.numbers[other])
        if other.meets(table) or len(other.rows) == 1:
            return Ref(column)
        return Ref(column, "at", self.draw.randrange(len(other.rows)))
