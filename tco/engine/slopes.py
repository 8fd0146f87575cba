"""By how much one figure changes for each unit more in the rows of given columns: formulas walked backwards.

Exact where the figure is linear in those columns, as costs are in failures; what lies between must be linear too. It
is the reverse sum of the chain rule: one walk gives all slopes, whatever their number.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from tco.engine.evaluate import apply, whole
from tco.engine.model import Model
from tco.engine.nodes import Array, Call, Column, Node, Ref, fold


class Slopes:
    """The way from some given columns to a figure, a column of one row.

    cofactors: the columns whose figures are needed on the way.
    """

    def __init__(self, model: Model, figure: Column, of: Sequence[Column]) -> None:
        self.figure, self.of = figure, tuple(of)
        self.way = between(model, figure, self.of)
        on_it = {*self.way, *self.of}
        met = (other for column in self.way for other in model.sources[column])
        self.cofactors = tuple(dict.fromkeys(column for column in met if column not in on_it))

    def __call__(self, figures: Mapping[Column, Array]) -> dict[Column, Array]:
        """column of `of` -> slopes, shape (..., rows). Raises ValueError where the way is not linear."""
        found: dict[Column, Array] = {self.figure: np.ones(1)}
        for column in reversed(self.way):
            slope = found.pop(column, None)
            if slope is not None and column.formula is not None:
                wide = np.broadcast_to(slope, (*slope.shape[:-1], len(column.table.rows)))
                self.back(column.formula, wide, figures, found)
        return {column: found.get(column, np.zeros(len(column.table.rows))) for column in self.of}

    def back(self, node: Node, slope: Array, figures: Mapping[Column, Array], found: dict[Column, Array]) -> None:
        """Hand the slope of a node on to what it is made of."""
        if isinstance(node, Ref):
            if self.leads(node):
                found[node.column] = found.get(node.column, np.zeros(1)) + laid(node, slope)
            return
        assert isinstance(node, Call)
        leading = [self.leads(arg) for arg in node.args]
        args = [None if on else value(arg, figures) for on, arg in zip(leading, node.args, strict=True)]
        for number in np.flatnonzero(leading):
            rule = node.function.slopes[number] if node.function.slopes else None
            try:
                handed = rule(slope, *args)  # type: ignore[misc]
            except TypeError:
                raise ValueError(
                    f"{self.figure.full_name}: {node.function.name} is not linear in what varies"
                ) from None
            self.back(node.args[number], handed, figures, found)

    def leads(self, node: Node) -> bool:
        """Whether a part of a formula rests on the columns whose slopes are sought."""
        if isinstance(node, Call):
            return any(map(self.leads, node.args))
        return isinstance(node, Ref) and (node.column in self.of or node.column in self.way)


def between(model: Model, figure: Column, of: Sequence[Column]) -> tuple[Column, ...]:
    """The columns on the way from the given ones to the figure, in order."""
    touched, needed = set(of), {figure}
    for column in model.columns.values():
        if any(other in touched for other in model.sources[column]):
            touched.add(column)
    for column in reversed(model.columns.values()):
        if column in needed:
            needed.update(model.sources[column])
    return tuple(one for one in model.columns.values() if one in touched and one in needed and one not in of)


def value(node: Node, figures: Mapping[Column, Array]) -> Array:
    """The figures of a part of a formula, for all rows."""
    return fold(node, lambda leaf: whole(leaf, figures), apply)  # type: ignore[arg-type]


def laid(ref: Ref, slope: Array) -> Array:
    """A slope as the rows of the column that a reference means; raises ValueError for the row before."""
    rows = len(ref.column.table.rows)
    if ref.reach == "at":
        at = np.zeros((*slope.shape[:-1], rows))
        at[..., ref.row] = slope.sum(axis=-1)
        return at
    if ref.reach == "before":
        raise ValueError(f"{ref.column.full_name}: slopes do not reach the row before")
    if ref.is_one_cell and rows == 1 and slope.shape[-1] > 1:
        return np.asarray(slope.sum(axis=-1, keepdims=True))
    return np.broadcast_to(slope, (*slope.shape[:-1], rows))
