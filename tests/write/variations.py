"""Results of varying inputs with invented numbers, for tests of what is written. No study was ever run for them."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import numpy as np

import tco
from tco.ask.compare import Comparison
from tco.ask.inputs import Input, find
from tco.ask.vary import Flip, Swing, Variation
from tco.ask.vary_ends import Choice
from tco.ask.vary_grid import NOBODY, Axis, Grid
from tests.write.chances import HOSTILE, compared

PRICE, HOUR, GROWTH, COUNT = (
    "electricity price", "hour value", "data growth", "quantity of mini PC, 4 cores, two drive bays",
)  # fmt: skip


def hostile() -> Comparison:
    """The small study with scenarios that are called as unkindly as they may be."""
    study = tco.load(tco.demo().parent / "small")
    names = dict(zip([one.scenario for one in study.scenarios], HOSTILE, strict=False))
    renamed = tuple(dataclasses.replace(one, scenario=names[one.scenario]) for one in study.scenarios)
    return tco.compare(dataclasses.replace(study, scenarios=renamed, ranges=()))


def stated(comparison: Comparison) -> list[float]:
    """What scenarios cost as the study stands."""
    return [comparison.measure(ground, "lcc") for ground in comparison.built.grounds]


def choice(comparison: Comparison, name: str, low: float, high: float, *, of_ranges: bool = False) -> Choice:
    """An input of the study with ends."""
    return Choice(find(comparison, name), low, high, of_ranges)


def swing(
    comparison: Comparison,
    own: Choice,
    *changes: tuple[float, float],
    flips: Sequence[Flip] = (),
    lost: tuple[int, ...] = (),
) -> Swing:
    """What scenarios cost more at the low and the high end; lost: those that meet all needs at the high no longer."""
    more = [*changes, *[(0.0, 0.0)] * (len(stated(comparison)) - len(changes))]
    low, high = (tuple(cost + one[end] for cost, one in zip(stated(comparison), more, strict=True)) for end in (0, 1))
    meets = tuple(comparison.meets(ground) for ground in comparison.built.grounds)
    at_high = tuple(met and number not in lost for number, met in enumerate(meets))
    return Swing(own, low, high, meets, at_high, tuple(flips))


def variation(
    comparison: Comparison | None = None, swings: Sequence[Swing] | None = None, grid: Grid | None = None
) -> Variation:
    """The demo with three inputs that matter, one of which changes who is the cheapest, or as given."""
    comparison = comparison or compared()
    names = [ground.scenario.scenario for ground in comparison.built.grounds]
    meeting = tuple(ground.scenario.scenario for ground in comparison.built.grounds if comparison.meets(ground))
    swings = three(comparison) if swings is None else swings
    silent = (
        [swing(comparison, choice(comparison, "data held", 8.0, 14.4), lost=(1,))] if "quiet minis" in meeting else []
    )
    return Variation(comparison, 0.2, meeting or tuple(names), tuple(swings), tuple(silent), 70, 110, grid)


def three(comparison: Comparison) -> list[Swing]:
    """For the demo: the price of electricity, an hour's value, and a count."""
    turned = [Flip(1.31488, "quiet minis", "rented space")]
    return [
        swing(comparison, choice(comparison, PRICE, 0.8, 1.7, of_ranges=True), (-1246.4, 4361.5), (-201.0, 703.5),
              (-365.8, 1280.3), flips=turned),
        swing(comparison, choice(comparison, HOUR, 6.0, 20.0, of_ranges=True), (-668.4, 891.3), (-334.2, 445.7)),
        swing(comparison, choice(comparison, COUNT, 3.0, 5.0), (0.0, 0.0), (-303.9, 304.1), lost=(1,)),
    ]  # fmt: skip


def years(*values: int, stated: int | None = None) -> Axis:
    """An axis of years."""
    return Axis(None, tuple(12.0 * value for value in values), stated)


def axis(one: Input, count: int, stated: int | None = None) -> Axis:
    """An axis of an input from half of what the study says to twice of it."""
    low, high = 0.5 * one.likely[0], 2.0 * one.likely[0]
    return Axis(one, tuple(np.linspace(low, high, count).tolist()), stated)


def lattice(
    comparison: Comparison, rows: Axis, columns: Axis, *, seed: int = 3, level: int = 0, misses: bool = False
) -> Grid:
    """A grid of random costs over two axes. level: so many cells in which two cost the same."""
    names = tuple(ground.scenario.scenario for ground in comparison.built.grounds)
    shape = (len(rows.values), len(columns.values))
    rng = np.random.default_rng(seed)
    costs = rng.uniform(1000.0, 9000.0, (*shape, len(names)))
    order = np.sort(costs, axis=-1)
    ahead = order[..., 1] - order[..., 0] if len(names) > 1 else np.full(shape, np.nan)
    cheapest = costs.argmin(axis=-1)
    for place in list(np.ndindex(shape))[:level]:
        cheapest[place], ahead[place] = NOBODY, 0.0
    return Grid(rows, columns, names, names, costs, cheapest, ahead, rng.random(shape) < (0.3 if misses else 0.0))
