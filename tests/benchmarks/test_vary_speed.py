"""How fast a grid is: 100 x 100 values of two inputs beside running the demo study for each of them.

What is asserted are ratios within one run, see beside.py; a handful of single runs stands for ten thousand.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import tco
from tco.ask.compare import Comparison
from tco.ask.inputs import find
from tco.ask.vary import vary
from tco.ask.vary_grid import grid
from tco.engine import evaluate
from tco.model import build
from tests.benchmarks.beside import Row, beside, taken

SIDE, SINGLES = 100, 4
NAMES = ("electricity price", "hour value")


@pytest.fixture(scope="module")
def demo() -> Comparison:
    return tco.compare(tco.load(tco.demo()))


def test_a_grid_against_single_runs(demo: Comparison, benchmark: Any) -> None:
    """At least a hundred times as fast as building and working out each, and as working each out alone."""
    work = lambda: grid(demo, NAMES, steps=SIDE)  # noqa: E731
    benchmark(work)
    batched = min(taken(work) for _ in range(3))
    whole = min(taken(lambda: evaluate(build(demo.study).model)) for _ in range(SINGLES))
    alone = min(taken(lambda: evaluate(demo.built.model)) for _ in range(SINGLES))
    cells = SIDE**2
    name = f"a grid of {SIDE} x {SIDE}"
    beside(Row(name, batched, "building and running each", cells * whole, 100, least=True), benchmark)
    beside(Row(name, batched, "running each, built once", cells * alone, 100, least=True), benchmark)


def test_the_grid_that_is_fast_is_the_one_of_single_runs(demo: Comparison) -> None:
    """In its corners, the model worked out for each by itself."""
    found = grid(demo, NAMES, steps=SIDE)
    price, hour = (find(demo, name) for name in NAMES)
    column = hour.cells[0][0]
    for row, place in ((0, 0), (SIDE - 1, 0), (0, SIDE - 1), (SIDE - 1, SIDE - 1)):
        changes = {one: found.rows.values[row] * demo.of(one) for one, _ in price.cells}
        changes[column] = np.array([found.columns.values[place]])
        figures = evaluate(demo.built.model, changes)
        costs = [float(figures[ground.measure("lcc")][0]) for ground in demo.built.grounds]
        assert list(found.costs[row, place]) == pytest.approx(costs, rel=1e-12)


def test_what_matters_against_single_runs(demo: Comparison, benchmark: Any) -> None:
    """All inputs at nine values each, beside one run of the built model for each end of each input."""
    benchmark.pedantic(vary, (demo,), rounds=1)
    batched = taken(lambda: vary(demo))
    alone = min(taken(lambda: evaluate(demo.built.model)) for _ in range(SINGLES))
    found = vary(demo)
    ends = 2 * (len(found.swings) + len(found.silent) + found.without_effect)
    beside(Row("all inputs, low and high", batched, "running each end", ends * alone, 3, least=True), benchmark)
