"""Two inputs at once, or one and the years it is kept: who is the cheapest in each cell of a grid, by how much."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tco.addresses import folded
from tco.ask.compare import Comparison
from tco.ask.inputs import Input, find
from tco.ask.vary_costs import Costs
from tco.ask.vary_ends import USUAL, Choice, choices
from tco.engine import Array
from tco.errors import AskedError, UnknownNameError
from tco.model.measure import LEVEL
from tco.ranges import ELECTRICITY, YEARS

STEPS, FEWEST, MOST = 13, 2, 400  # values of an input in a grid
CELLS_AT_ONCE = 4096
NOBODY = -1  # in the place of the cheapest: two cost the same


@dataclass(frozen=True)
class Axis:
    """One side of a grid: an input and its values, or (None) the months for which it is kept.

    stated: the place of what the study says among the values; None where it is not among them.
    """

    input: Input | None
    values: tuple[float, ...]
    stated: int | None = None

    @property
    def label(self) -> str:
        return self.input.label if self.input else YEARS


@dataclass(frozen=True, eq=False)
class Grid:
    """Life-cycle costs over two axes; those by the years are as if all were sold then.

    names: the scenarios of the last axis of `costs` (rows, columns, scenarios); among: those that are ranked.
    cheapest: the number of the scenario, or NOBODY; ahead: by how much of the next one, NaN without one; misses:
    whether the cheapest misses a need there. All of shape (rows, columns).
    """

    rows: Axis
    columns: Axis
    names: tuple[str, ...]
    among: tuple[str, ...]
    costs: Array
    cheapest: Array
    ahead: Array
    misses: Array


def grid(
    comparison: Comparison,
    wanted: Sequence[str] = (),
    by: float = USUAL,
    steps: int = STEPS,
    *,
    longer: Comparison | None = None,
    years: Sequence[int] = (),
    matter: Sequence[str] = (),
) -> Grid:
    """The grid of two inputs by name; one of them may be `years`, which is also the second where one is named.

    longer: the study with a horizon that has all of `years`, where its own has not. matter: inputs that change a
    cost, the first of which takes the place of a price of electricity that changes none. Raises AskedError,
    UnknownNameError, VariedError.
    """
    if not FEWEST <= steps <= MOST:
        raise AskedError(f"{steps} steps", f"a grid has from {FEWEST} to {MOST} steps a side")
    names = sides_of(comparison, wanted, years, matter)
    long = longer or comparison
    month_axis = Axis(None, months(comparison, long, years), stated=None) if YEARS in names else None
    chosen = [None if name == YEARS else choice_of(long, name, by) for name in names]
    axes = [axis(choice, steps) if choice else with_stated(comparison, month_axis) for choice in chosen]
    if month_axis:
        costs, needs = by_months(comparison, long, axes)
    else:
        costs, needs = by_inputs(Costs(comparison), axes)
    return settled(comparison, axes, costs, needs)


def sides_of(comparison: Comparison, wanted: Sequence[str], years: Sequence[int], matter: Sequence[str]) -> list[str]:
    """The two names of a grid: as asked, the years beside one, electricity price and years beside none."""
    names = [YEARS if folded(name) == YEARS else name for name in wanted]
    if len(names) > 2:
        raise AskedError(", ".join(names), "a grid has two inputs")
    if len(names) < 2 and YEARS not in names:
        names.append(YEARS)
    if len(names) < 2:
        names.append(usual(comparison, matter))
    names = names if len(wanted) else names[::-1]
    if folded(names[0]) == folded(names[1]):
        raise AskedError(names[0], "a grid has two inputs that differ")
    if years and YEARS not in names:
        raise AskedError("years", "this grid has no years; name one input only")
    return names


def usual(comparison: Comparison, matter: Sequence[str]) -> str:
    """The input of a grid for which none is named: the price of electricity, or the first that changes a cost."""
    labels = matter or [one.input.label for one in choices(comparison)[0]]
    if not labels:
        raise AskedError("grid", "no input of this study has a low and a high end; ranges.csv may say them")
    return ELECTRICITY if ELECTRICITY in labels else labels[0]


def choice_of(comparison: Comparison, name: str, by: float) -> Choice:
    """An input by its name, or by how `tco vary` lists it, with its ends."""
    chosen, _ = choices(comparison, by)
    exact = [one for one in chosen if folded(one.input.label) == folded(name)]
    found = exact or [one for one in chosen if folded(one.input.name) == folded(name)]
    if len(found) == 1:
        return found[0]
    if found:
        raise AskedError(name, f"differs by scenario; name one of {', '.join(one.input.label for one in found)}")
    try:
        known = find(comparison, name)
    except UnknownNameError as error:
        raise UnknownNameError("input", name, [YEARS, *error.known], error.meant or None) from None
    raise AskedError(known.label, "has no per cent (it is 0, or a sound level); ranges.csv may say its ends")


def axis(choice: Choice, steps: int) -> Axis:
    """An input's values from its low to its high end; what the study says is one of them where it lies between."""
    if choice.input.whole:
        values = np.unique(np.round(np.linspace(choice.low, choice.high, steps)))
    elif choice.likely is None or not choice.low < choice.likely < choice.high or steps < 3:
        values = np.linspace(choice.low, choice.high, steps)
    else:
        part = (choice.likely - choice.low) / (choice.high - choice.low)
        before = min(max(1, round(part * (steps - 1))), steps - 2)
        values = np.concatenate(
            [
                np.linspace(choice.low, choice.likely, before + 1),
                np.linspace(choice.likely, choice.high, steps - before)[1:],
            ]
        )
    own = values.tolist()
    return Axis(choice.input, tuple(own), own.index(choice.likely) if choice.likely in own else None)


def months(comparison: Comparison, long: Comparison, years: Sequence[int]) -> tuple[float, ...]:
    """The months for which it is kept: the years asked for, else all up to the horizon; of a short one all months."""
    horizon = long.study.settings.horizon
    if years:
        first, last = years
        if not 1 <= first <= last or 12 * last > horizon:
            raise AskedError(f"years {first}..{last}", "write the first and the last year, such as 1..10")
        return tuple(12.0 * year for year in range(first, last + 1))
    horizon = comparison.study.settings.horizon
    whole = [12.0 * year for year in range(1, horizon // 12 + 1)]
    return tuple(dict.fromkeys([*whole, float(horizon)])) if whole else tuple(map(float, range(1, horizon + 1)))


def with_stated(comparison: Comparison, own: Axis | None) -> Axis:
    """The axis of years, with the place of the study's horizon."""
    assert own is not None
    horizon = float(comparison.study.settings.horizon)
    return Axis(None, own.values, own.values.index(horizon) if horizon in own.values else None)


def by_inputs(costs: Costs, axes: Sequence[Axis]) -> tuple[Array, Array]:
    """Costs and open needs over two inputs, in bands of rows; shape (rows, columns, scenarios)."""
    (one, rows), (other, columns) = ((own.input, np.array(own.values)) for own in axes)
    assert one is not None
    assert other is not None
    bands = np.array_split(rows, -(-len(rows) * len(columns) // CELLS_AT_ONCE))
    found = [
        costs.grid({one: band[:, None], other: columns[None, :]}, (len(band), len(columns)))
        for band in bands
        if len(band)
    ]
    both = [np.concatenate(parts) for parts in zip(*found, strict=True)]
    return both[0], both[1]


def by_months(comparison: Comparison, long: Comparison, axes: Sequence[Axis]) -> tuple[Array, Array]:
    """Costs if sold at each month's end over one input, and open needs over the study's own horizon; as by_inputs."""
    own = next(one for one in axes if one.input)
    assert own.input is not None
    values, columns = np.array(own.values), [int(month) for one in axes if not one.input for month in one.values]
    costs = Costs(long).if_sold(own.input, values)[:, columns]
    short = own.input if long is comparison else same_input(comparison, own.input)
    _, needs = Costs(comparison).grid({short: values}, (len(values),))
    needs = np.broadcast_to(needs[:, None, :], costs.shape)
    return (costs, needs) if axes[0].input else (costs.swapaxes(0, 1), needs.swapaxes(0, 1))


def same_input(comparison: Comparison, one: Input) -> Input:
    """The input of another comparison of the study that has the same name and cells."""
    model = comparison.built.model
    cells = tuple((model[column.full_name], row) for column, row in one.cells)
    return replace(one, cells=cells)


def settled(comparison: Comparison, axes: Sequence[Axis], costs: Array, needs: Array) -> Grid:
    """Who is the cheapest in each cell, and by how much, of those that meet all needs as the study stands."""
    names = [ground.scenario.scenario for ground in comparison.built.grounds]
    among = comparison.among
    own = np.array([names.index(name) for name in among])
    order = np.argsort(costs[..., own], axis=-1, kind="stable")
    first = own[order[..., 0]]
    ahead = np.full(first.shape, np.nan)
    if len(own) > 1:
        ranked = np.take_along_axis(costs[..., own], order[..., :2], axis=-1)
        ahead = ranked[..., 1] - ranked[..., 0]
    misses = np.take_along_axis(needs, first[..., None], axis=-1)[..., 0] > 0
    cheapest = np.where(ahead < LEVEL, NOBODY, first)
    return Grid(axes[0], axes[1], tuple(names), among, costs, cheapest, ahead, misses)
