"""What varying the inputs finds as CSV: two tidy tables, floats in full.

vary.csv (scenario, input, end, value, unit, lcc, meets_needs): what each scenario costs with one input at its `low`
or `high` end and all others as the study says; inputs that change neither a cost nor who meets needs are left out.
`study`: as the study stands, once a scenario, without input. Where an input changes who is the cheapest: `below`, the
scenario that is the cheapest just below the value, and `from`, the one that is from there on. Unit `times`: a factor
on what the study says. An input that varies in some scenarios only has them in brackets.

vary_grid.csv (scenario, x_input, x, x_unit, y_input, y, y_unit, lcc, next, margin, unit, meets_needs): a cell a row;
the scenario that is the cheapest there (`none: several cost the same`), what it costs, the next one and how much more
that costs. x goes across, y down. `years`: as if all were sold at their end.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from tco.ask.vary import Swing, Variation
from tco.ask.vary_costs import Costs
from tco.ask.vary_grid import NOBODY, Axis, Grid
from tco.write.tables import Table
from tco.write.vary_figures import costs, unit_of

HEADER = ("scenario", "input", "end", "value", "unit", "lcc", "meets_needs")
GRID_HEADER = (
    "scenario", "x_input", "x", "x_unit", "y_input", "y", "y_unit", "lcc", "next", "margin", "unit", "meets_needs",
)  # fmt: skip
SAME = "none: several cost the same"
YES, NO = "yes", "no"
Row = tuple[str, str, str, float | str, str, float, str]


def vary_csv(found: Variation) -> str:
    """See above."""
    return vary_table(found).csv


def vary_table(found: Variation) -> Table:
    """What vary.csv has."""
    rows = [*as_stated(found), *end_rows(found), *flip_rows(found)]
    return Table("vary.csv", HEADER, rows, ("value", "lcc"), "none: as the study stands")


def as_stated(found: Variation) -> Iterator[Row]:
    """What each scenario costs as the study stands."""
    for ground, (name, cost) in zip(found.comparison.built.grounds, costs(found).items(), strict=True):
        yield name, "", "study", "", "", cost, yes(found.comparison.meets(ground))


def end_rows(found: Variation) -> Iterator[Row]:
    """What each scenario costs at both ends of each input."""
    for own in (*found.swings, *found.silent):
        one, choice = own.choice.input, own.choice
        for number, name in enumerate(found.names):
            low, high = own.meets_low[number], own.meets_high[number]
            yield name, one.label, "low", choice.low, unit_of(one), own.at_low[number], yes(low)
            yield name, one.label, "high", choice.high, unit_of(one), own.at_high[number], yes(high)


def flip_rows(found: Variation) -> Iterator[Row]:
    """Where the cheapest changes, with what both cost there."""
    turned = [own for own in found.swings if own.flips]
    wanted = [(own.choice.input, np.array([flip.value for flip in own.flips])) for own in turned]
    for own, (lcc, needs) in zip(turned, Costs(found.comparison).one_by_one(wanted), strict=True):
        yield from flips_of(found, own, lcc.tolist(), (needs == 0.0).tolist())


def flips_of(
    found: Variation, own: Swing, lcc: Sequence[Sequence[float]], meets: Sequence[Sequence[bool]]
) -> Iterator[Row]:
    """Two rows a flip: the cheapest below it and from it on."""
    one = own.choice.input
    for flip, costs_there, meets_there in zip(own.flips, lcc, meets, strict=True):
        for end, name in (("below", flip.before), ("from", flip.after)):
            number = found.names.index(name)
            yield name, one.label, end, flip.value, unit_of(one), costs_there[number], yes(meets_there[number])


def yes(holds: bool) -> str:
    """A yes or no."""
    return YES if holds else NO


def grid_csv(found: Variation) -> str:
    """See above; the header alone where there is no grid."""
    return grid_table(found).csv


def grid_table(found: Variation) -> Table:
    """What vary_grid.csv has."""
    rows = grid_rows(found.grid, found) if found.grid else []
    return Table("vary_grid.csv", GRID_HEADER, rows, ("x", "y", "lcc", "margin"), "none: no other scenario is ranked")


def grid_rows(grid: Grid, found: Variation) -> Iterator[Sequence[str | float]]:
    """A row a cell, row by row of the grid."""
    money = found.comparison.study.settings.currency
    among = [grid.names.index(name) for name in grid.among]
    x, y = grid.columns, grid.rows
    for row, column in np.ndindex(grid.cheapest.shape):
        own = sorted(among, key=lambda number: grid.costs[row, column, number])
        first = int(grid.cheapest[row, column])
        name, following = (SAME, "") if first == NOBODY else (grid.names[first], "")
        if len(own) > 1 and first != NOBODY:
            following = grid.names[own[1]]
        lcc, margin = float(grid.costs[row, column, own[0]]), float(grid.ahead[row, column])
        yield (
            name, x.label, number_of(x, column), unit(x), y.label, number_of(y, row), unit(y), lcc, following,
            margin if len(own) > 1 else "", money, NO if grid.misses[row, column] else YES,
        )  # fmt: skip


def number_of(axis: Axis, place: int) -> float:
    """A value along an axis; the years as years."""
    return axis.values[place] if axis.input else axis.values[place] / 12


def unit(axis: Axis) -> str:
    """The unit of an axis."""
    return unit_of(axis.input) if axis.input else "year"
