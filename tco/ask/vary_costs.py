"""What scenarios cost at other values of inputs: the model worked out once for many of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from tco.ask.compare import Comparison
from tco.ask.inputs import Input, changes
from tco.engine import Array, Column, Figures, Replay
from tco.errors import FigureError, VariedError
from tco.model import Ground

AT_ONCE = 512  # variations that are worked out together: more take memory and no less time

Wanted = tuple[Input, Array]  # an input and the values that it is to have, shape (values,)


class Costs:
    """The scenarios of a comparison at other values of inputs, one input at a time or several.

    names: the scenarios in the study's order, that of the last axis of all arrays.
    """

    def __init__(self, comparison: Comparison) -> None:
        self.comparison = comparison
        self.grounds: tuple[Ground, ...] = comparison.built.grounds
        self.names = [ground.scenario.scenario for ground in self.grounds]
        self.lcc, self.open = ([ground.measure(name) for ground in self.grounds] for name in ("lcc", "needs_open"))
        model, figures = comparison.built.model, comparison.figures
        self.of_costs = Replay(model, figures, self.lcc)
        self.of_needs = Replay(model, figures, [*self.lcc, *self.open])
        self.of_months = Replay(model, figures, [ground.month("lcc_if_sold") for ground in self.grounds])

    @property
    def as_stated(self) -> Array:
        """Life-cycle costs as the study has them; shape (scenarios,)."""
        return side_by_side(self.comparison.figures, self.lcc)[..., 0, :]

    def one_by_one(self, wanted: Sequence[Wanted]) -> list[tuple[Array, Array]]:
        """Each input alone at each of its values, all of them worked out in one pass, or a few.

        Returns for each (life-cycle costs, needs left open), shape (values, scenarios). Raises VariedError.
        """
        found: list[tuple[Array, Array]] = []
        for some in parts_of(wanted):
            try:
                figures = self.of_needs(merged(self.comparison, some))
            except FigureError as error:
                raise self.culprit(some, error) from None
            ends = np.cumsum([len(values) for _, values in some])
            shape = (int(ends[-1]), len(self.names))
            both = (whole(side_by_side(figures, columns)[..., 0, :], shape) for columns in (self.lcc, self.open))
            found += zip(*(np.split(one, ends[:-1]) for one in both), strict=True)
        return found

    def at(self, one: Input, values: Array) -> Array:
        """Life-cycle costs at values of one input, shape (values, scenarios); raises VariedError."""
        found = []
        for part in np.array_split(values, -(-len(values) // AT_ONCE)):
            try:
                figures = self.of_costs(changes(self.comparison, {one: part}))
            except FigureError as error:
                raise self.culprit([(one, part)], error) from None
            found.append(whole(side_by_side(figures, self.lcc)[..., 0, :], (len(part), len(self.names))))
        return np.concatenate(found)

    def grid(self, values: Mapping[Input, Array], shape: tuple[int, ...]) -> tuple[Array, Array]:
        """Costs and open needs where inputs vary together, their values broadcast to a shape; raises VariedError."""
        figures = self.together(self.of_needs, values)
        costs, needs = (side_by_side(figures, columns)[..., 0, :] for columns in (self.lcc, self.open))
        return whole(costs, (*shape, len(self.names))), whole(needs, (*shape, len(self.names)))

    def if_sold(self, one: Input | None, values: Array) -> Array:
        """Life-cycle costs if all is sold at the end of each month 0..H, at values of one input.

        Returns shape (values, months, scenarios). Raises VariedError.
        """
        figures = self.together(self.of_months, {one: values} if one else {})
        found = side_by_side(figures, self.of_months.wanted)
        return whole(found, (len(values), *found.shape[-2:]))

    def together(self, replay: Replay, values: Mapping[Input, Array]) -> Figures:
        """The figures where inputs vary together; raises VariedError."""
        try:
            return replay(changes(self.comparison, values))
        except FigureError as error:
            for place in np.ndindex(np.broadcast_shapes(*map(np.shape, values.values()))):
                cell = {one: broadcast_at(wanted, place) for one, wanted in values.items()}
                self.check_alone(replay, cell)
            raise AssertionError("a figure that is no number, and at no value alone") from error

    def culprit(self, some: Sequence[Wanted], error: FigureError) -> VariedError:
        """Which input at which value leaves no figure."""
        for one, values in some:
            for value in values:
                try:
                    self.of_needs(changes(self.comparison, {one: np.array([value])}))
                except FigureError as own:
                    return VariedError(f"{one.label} at {one.told(float(value))}", own)
        return VariedError(" or ".join(one.label for one, _ in some), error)

    def check_alone(self, replay: Replay, cell: Mapping[Input, Array]) -> None:
        """Raises VariedError where these values together leave no figure."""
        try:
            replay(changes(self.comparison, cell))
        except FigureError as error:
            said = " and ".join(f"{one.label} at {one.told(float(value[0]))}" for one, value in cell.items())
            raise VariedError(said, error) from None


def parts_of(wanted: Sequence[Wanted]) -> Iterator[list[Wanted]]:
    """Inputs with their values in groups small enough to be worked out together."""
    some: list[Wanted] = []
    for one, values in wanted:
        if some and sum(len(own) for _, own in some) + len(values) > AT_ONCE:
            yield some
            some = []
        some.append((one, values))
    if some:
        yield some


def merged(comparison: Comparison, some: Sequence[Wanted]) -> dict[Column, Array]:
    """Changes that leave one input after the other at its values and all others as stated: (all values, rows)."""
    total, first = sum(len(values) for _, values in some), 0
    found: dict[Column, Array] = {}
    for one, values in some:
        for column, rows in changes(comparison, {one: values}).items():
            if column not in found:
                found[column] = np.repeat(np.asarray(column.values)[None, :], total, axis=0)
            found[column][first : first + len(values)] = rows
        first += len(values)
    return found


def side_by_side(figures: Figures, columns: Sequence[Column]) -> Array:
    """A figure of each scenario, scenarios last: (..., rows, scenarios)."""
    return np.stack(np.broadcast_arrays(*(figures[column] for column in columns)), axis=-1)


def whole(found: Array, shape: tuple[int, ...]) -> Array:
    """Figures for all values, whether any of them was touched or not."""
    return np.broadcast_to(found, shape)


def broadcast_at(values: Array, place: tuple[int, ...]) -> Array:
    """The value in one place of a grid; an axis of length 1 has the same one along the grid's."""
    own = tuple(min(number, size - 1) for number, size in zip(place[-values.ndim :], values.shape, strict=True))
    return np.array([values[own]])
