"""A model: tables of named columns in the order in which they are worked out. Units are checked as it is built."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from tco import units
from tco.engine.nodes import Column, Node, Ref, Table, as_node, in_unit, leaves
from tco.errors import FormulaError, Place


@dataclass
class Model:
    """Columns by full name; a formula refers only to columns that are there already, so one pass works it out."""

    tables: dict[str, Table] = field(default_factory=dict)
    by_axis: dict[str, Table] = field(default_factory=dict)  # the first on each axis
    columns: dict[str, Column] = field(default_factory=dict)
    by_table: dict[Table, list[Column]] = field(default_factory=dict)
    sources: dict[Column, tuple[Column, ...]] = field(default_factory=dict)  # what each is worked out from

    def table(self, name: str, label: str, rows: Sequence[str], scenario: str = "", axis: str = "") -> Table:
        """A new table; `rows` are its row labels; see Table. Raises FormulaError where name or axis do not fit."""
        new = Table(name, label, tuple(rows), scenario, axis)
        if name in self.tables:
            raise FormulaError(name, "name", "the same table twice", "a name of its own")
        first = self.by_axis.setdefault(axis, new) if axis else new
        if first.rows != new.rows:
            raise FormulaError(name, f"rows of the axis {axis}", f"{len(rows)} rows", f"those of {first.name}")
        self.tables[name] = new
        return new

    def given(
        self,
        table: Table,
        name: str,
        label: str,
        unit: str | None,
        values: Any,
        **about: Any,
    ) -> Column:
        """A column of given values: numbers of shape (rows,) in `unit`, or text (unit None). A single value fills it.

        about: live, computed, follows, following, blank, places, sources; see Column.
        """
        kind = np.str_ if unit is None else np.float64
        filled = np.broadcast_to(np.asarray(values, dtype=kind), (len(table.rows),))
        measured = None if unit is None else units.unit(unit)
        about.setdefault("places", (None,) * len(table.rows))
        return self._keep(Column(table, name, label, measured, values=filled, **about))

    def column(self, table: Table, name: str, label: str, unit: str, formula: Any, **about: Any) -> Column:
        """A column worked out by one formula; raises FormulaError where its unit or its rows do not fit.

        about: percent, state, words, note; see Column.
        """
        return self._worked_out(Column(table, name, label, units.unit(unit), **about), as_node(formula))

    def recurrence(self, table: Table, name: str, label: str, unit: str, formula: Any) -> Column:
        """As column, but `formula` is a function of the column itself, which it may meet through `previous` only."""
        bare = Column(table, name, label, units.unit(unit))
        node = as_node(formula(bare))
        check_recurrence(bare, node)
        return self._worked_out(bare, node)

    def of(self, table: Table) -> list[Column]:
        """The columns of a table, in order."""
        return list(self.by_table.get(table, ()))

    def inputs(self) -> Iterator[tuple[Column, int, Place | None]]:
        """Every live input: its column, row and place in the study (None where it was left to its default)."""
        for column in self.columns.values():
            if column.live:
                none = (False,) * len(column.table.rows)
                skipped = map(max, column.following or none, column.blank or none)
                yield from ((column, row, column.places[row]) for row, other in enumerate(skipped) if not other)

    def __getitem__(self, full_name: str) -> Column:
        return self.columns[full_name]

    def _worked_out(self, bare: Column, node: Node) -> Column:
        """Keep a column that gets its formula."""
        formula = in_unit(node, bare.unit, bare.full_name)
        check_rows(bare, formula)
        object.__setattr__(bare, "formula", formula)  # a formula may need its column, as the column its formula
        return self._keep(bare)

    def _keep(self, column: Column) -> Column:
        if column.full_name in self.columns:
            raise FormulaError(column.full_name, "name", "the same name twice", "a name of its own")
        others = [ref.column for ref in refs(column.formula)] if column.formula else []
        for other in others:
            if other.state is not None:
                raise FormulaError(column.full_name, "formula", f"{other.full_name}, which may be words", "a number")
        sources = dict.fromkeys([*others, *(one for one in (column.follows, column.state) if one)])
        for other in sources:
            if other is not column and self.columns.get(other.full_name) is not other:
                raise FormulaError(column.full_name, "formula", f"{other.full_name} of no model", "its own columns")
        self.sources[column] = tuple(other for other in sources if other is not column)
        self.columns[column.full_name] = column
        self.by_table.setdefault(column.table, []).append(column)
        return column


def check_rows(column: Column, node: Node) -> None:
    """Cells of another table meet a formula only where that table has one row; raises FormulaError.

    `before` and `so far` never do: one row has none before it. A whole column must have a row.
    """
    for ref in refs(node):
        table = ref.column.table
        one_row = len(table.rows) == 1 and ref.reach in ("cell", "key")
        if not table.rows or not (ref.reach in ("range", "keys", "at") or one_row or table.meets(column.table)):
            found = f"{table.name} ({ref.column.name})" if table.rows else f"{table.name}, which has no rows"
            raise FormulaError(column.full_name, "rows of the formula", found, column.table.name)


def check_recurrence(column: Column, node: Node) -> None:
    """A recurrence meets itself through `previous` only, and no running total; raises FormulaError."""
    for ref in refs(node):
        if ref.column is column and ref.reach != "before":
            raise FormulaError(column.full_name, "recurrence", "the column itself", "its previous row")
        if ref.reach in ("so far", "to end"):
            raise FormulaError(column.full_name, "recurrence", "a running total", "a column of its own for it")


def refs(node: Node) -> list[Ref]:
    """The references of a formula."""
    return [leaf for leaf in leaves(node) if isinstance(leaf, Ref)]
