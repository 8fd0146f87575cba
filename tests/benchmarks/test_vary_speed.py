"""How fast a grid is: 100 x 100 values of two inputs beside running the demo study for each of them.

`pytest tests/benchmarks --benchmark-enable` prints times. What is asserted are ratios within one run, of the
processor's time; a handful of single runs stands for ten thousand.
"""

from __future__ import annotations

import time
from collections.abc import Callable
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

SIDE, SINGLES = 100, 4
NAMES = ("electricity price", "hour value")


@pytest.fixture(scope="module")
def demo() -> Comparison:
    return tco.compare(tco.load(tco.demo()))


def taken(work: Callable[[], Any]) -> float:
    """The processor's time for a piece of work [s]: what else the machine does is left out."""
    begun = time.process_time()
    work()
    return time.process_time() - begun


def test_a_grid_against_single_runs(demo: Comparison, benchmark: Any) -> None:
    """At least a hundred times as fast as building and working out each, and as working each out alone."""
    work = lambda: grid(demo, NAMES, steps=SIDE)  # noqa: E731
    benchmark(work)
    batched = min(taken(work) for _ in range(3))
    whole = min(taken(lambda: evaluate(build(demo.study).model)) for _ in range(SINGLES))
    alone = min(taken(lambda: evaluate(demo.built.model)) for _ in range(SINGLES))
    cells = SIDE**2
    benchmark.extra_info.update(
        {
            "grid [s]": batched,
            "single build and run [s]": whole,
            "single run of a built model [s]": alone,
            "times as fast as building and running": cells * whole / batched,
            "times as fast as running": cells * alone / batched,
        }
    )
    assert cells * whole > 100 * batched, f"{cells * whole / batched:.0f} times"
    assert cells * alone > 100 * batched, f"{cells * alone / batched:.0f} times"


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
    benchmark.extra_info.update({"all inputs [s]": batched, "single runs [s]": ends * alone})
    assert ends * alone > 3 * batched, f"{ends * alone / batched:.1f} times"
