"""How fast sets of purchases are: batches beside rebuilding the same sets, in the same run.

What is asserted are ratios within one run, see beside.py; a handful of rebuilt sets stands for all.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

import tco
from tco.ask.spend_figures import Sets
from tco.ask.spend_offers import Flags, all_sets, candidates
from tests.ask.test_spend import drives
from tests.benchmarks.beside import Row, beside, taken

SINGLES = 4
NAMES = ("recommended", "write", "first_power", "lcc")


def measured(sets: Sets, every: Flags, least: float) -> None:
    """Batches beside rebuilding, models and all: at least so many times as fast, with the same figures."""
    found: list[np.ndarray] = []
    batched = taken(lambda: found.append(sets.read(every, NAMES)))
    some = np.linspace(0, len(every) - 1, SINGLES).astype(int)
    anew = [sets.anew(every[place], NAMES) for place in some]
    for place, own in zip(some, anew, strict=True):
        assert found[0][place] == pytest.approx([own[name][0] for name in NAMES], rel=1e-9)
    single = taken(lambda: [sets.anew(every[place], NAMES) for place in some]) / SINGLES
    beside(
        Row(
            f"{len(every):,} sets of purchases", batched, "rebuilt one by one", len(every) * single, least, least=True
        )
    )


def test_batches_against_rebuilding_on_the_demo(benchmark: Any) -> None:
    """84 sets, in three models: at least five times as fast."""
    study = tco.load(tco.demo())
    minis = next(one for one in study.scenarios if one.scenario == "quiet minis")
    sets = Sets(study, minis, candidates(minis))
    every = all_sets(sets.candidates, 1000)
    assert every is not None
    every = every[~sets.stock.outcome(every).lacking]
    measured(sets, every, 5)
    benchmark.pedantic(sets.read, (every, NAMES), rounds=1)


def test_batches_against_rebuilding_many_sets(tmp_path: Path, benchmark: Any) -> None:
    """4,096 sets in one model: at least a hundred times as fast."""
    study = drives(tmp_path / "study", [(float(n + 1), 10.0 * (n % 5 + 1)) for n in range(12)])
    sets = Sets(study, study.scenarios[0], candidates(study.scenarios[0]))
    every = all_sets(sets.candidates, 10_000)
    assert every is not None
    measured(sets, every, 100)
    benchmark.pedantic(sets.read, (every, NAMES), rounds=1)
