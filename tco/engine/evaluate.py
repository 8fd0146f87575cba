"""Formulas read as numbers: numpy arrays of shape (..., rows); leading axes are draws or variations."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from tco.engine.model import Model
from tco.engine.nodes import Array, Call, Column, Constant, Function, Node, Ref, finite, fold, leaves
from tco.errors import FigureError

Figures = dict[Column, Array]


def evaluate(
    model: Model, changes: Mapping[Column, Array] | None = None, known: Mapping[Column, Array] | None = None
) -> Figures:
    """Every column's figures, in one pass.

    changes: other values for given columns, shape (..., rows), leading axes alike in all of them.
    known: figures of some columns, worked out before with the same changes.
    Returns column -> (..., rows). Raises FigureError, naming column, row and inputs, at the first figure that is no
    finite number.
    """
    unknown = [column.full_name for column in changes or {} if column.values is None]
    if unknown:
        raise ValueError(f"only given columns can be changed, not {', '.join(unknown)}")
    figures: Figures = dict(known or {})
    with np.errstate(all="ignore"):
        for column in model.columns.values():
            if column not in figures:
                figures[column] = work_out(column, figures, changes or {})
    return figures


def work_out(column: Column, figures: Figures, changes: Mapping[Column, Array]) -> Array:
    """The figures of one column, given those before it."""
    if column.formula is None:
        kind = None if column.unit is None else np.float64
        found = np.asarray(changes.get(column, column.values), dtype=kind)
        found = np.broadcast_to(found, (*found.shape[:-1], len(column.table.rows)))
        if column.follows is not None:
            found = np.where(column.following, figures[column.follows], found)
        return checked(column, found, figures)
    if any(isinstance(leaf, Ref) and leaf.column is column for leaf in leaves(column.formula)):
        return row_by_row(column, column.formula, figures)
    found = outermost(column.formula, lambda leaf: whole(leaf, figures))
    if column.state is not None:
        found = np.where(figures[column.state] > 0, 0.0, found)
    wide = np.broadcast_to(found, (*found.shape[:-1], len(column.table.rows)))
    return checked(column, wide, figures)


def whole(leaf: Node, figures: Figures) -> Array:
    """A leaf for all rows at once."""
    if isinstance(leaf, Constant):
        return np.array([leaf.value])
    assert isinstance(leaf, Ref)
    values = figures[leaf.column]
    if leaf.reach == "at":
        return values[..., leaf.row : leaf.row + 1]
    return shifted(values) if leaf.reach == "before" else values


def shifted(values: Array) -> Array:
    """Each row's value is that of the row before; NaN, which no finished column holds, says there is none."""
    return np.concatenate([np.full_like(values[..., :1], np.nan), values[..., :-1]], axis=-1)


def row_by_row(column: Column, formula: Node, figures: Figures) -> Array:
    """A recurrence: loops over rows, never over draws."""
    done: list[Array] = []
    for row in range(len(column.table.rows)):
        found = outermost(formula, lambda leaf, row=row: one_row(leaf, row, column, done, figures))  # type: ignore[misc]
        if not finite(found):
            raise problem(column, (*first_bad(found)[:-1], row), figures)
        done.append(found)
    return np.concatenate(np.broadcast_arrays(*done), axis=-1)


def one_row(leaf: Node, row: int, column: Column, done: list[Array], figures: Figures) -> Array:
    """A leaf for one row, as an array whose last axis has length 1 (whole columns excepted)."""
    if isinstance(leaf, Ref) and leaf.column is column:
        return done[row - 1] if row else np.array([np.nan])
    values = whole(leaf, figures)
    own = isinstance(leaf, Ref) and leaf.is_one_cell and leaf.reach != "at"
    return values[..., row : row + 1] if own and values.shape[-1] > 1 else values


def outermost(formula: Node, leaf: Callable[[Node], Array]) -> Array:
    """A formula's numbers; nothing can hide what overflowed in its outermost function: the column's check follows."""
    if not isinstance(formula, Call):
        return leaf(formula)
    return formula.function.array(*(fold(arg, leaf, apply) for arg in formula.args))


def apply(function: Function, args: list[Array]) -> Array:
    """A function's numbers, with what overflowed turned into NaN so that no later function can hide it."""
    found = function.array(*args)
    return found if finite(found) else np.where(np.isfinite(found), found, np.nan)


def checked(column: Column, values: Array, figures: Figures) -> Array:
    """The values, if all are finite numbers (or text)."""
    if column.unit is None or finite(values):
        return values
    raise problem(column, first_bad(values), figures)


def first_bad(values: Array) -> tuple[int, ...]:
    """Draw and row of the first value that is no finite number."""
    return tuple(int(index) for index in np.argwhere(~np.isfinite(values))[0])


def problem(column: Column, where: tuple[int, ...], figures: Figures) -> FigureError:
    """The error that names the column, the row and the inputs that its formula met there, in that draw."""
    inputs = [] if column.formula is None else met(column.formula, where, figures)
    return FigureError(column.full_name, column.table.rows[where[-1]], inputs)


def met(formula: Node, where: tuple[int, ...], figures: Figures) -> list[tuple[str, float]]:
    """The numbers that a formula met in one draw and row, by column name; whole columns by their first value."""
    *draw, row = where
    found = []
    for leaf in dict.fromkeys(leaves(formula)):
        if isinstance(leaf, Ref) and leaf.unit is not None and leaf.column in figures:
            index = leaf.row_in(row)
            if index is not None:
                found.append((met_name(leaf, index), float(one_draw(figures[leaf.column], draw)[index])))
    return found


def met_name(ref: Ref, row: int) -> str:
    """What was met, with the place in the study where somebody wrote it."""
    place = ref.column.places[row] if ref.column.places else None
    about = [*([] if ref.is_one_cell else ["first row"]), *([str(place)] if place else [])]
    return " ".join([ref.column.full_name, *(f"({each})" for each in about)])


def one_draw(values: Array, draw: list[int]) -> Array:
    """The rows of one draw; columns that do not vary have fewer leading axes, or some of length 1."""
    sizes = values.shape[:-1]
    picked = draw[len(draw) - len(sizes) :]
    return values[tuple(min(number, size - 1) for number, size in zip(picked, sizes, strict=True))]  # type: ignore[no-any-return]
