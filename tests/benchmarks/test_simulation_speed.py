"""How fast a simulation is and how much memory it takes: four scenarios of 44 units over five years.

Times asserted are ratios within one run, see beside.py; memory is the peak of a whole program that loads the study,
compares and simulates.
"""

from __future__ import annotations

import subprocess
import sys
from functools import partial
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
import pytest

import tco
from tco.ask.compare import Comparison
from tco.ask.simulate import simulate
from tests.benchmarks.beside import Row, beside, in_turns, taken
from tests.benchmarks.fleet_study import NODES, PER_NODE, SCENARIOS, fleet_study
from tests.model.fleet_by_events import Events

DRAWS, LONG = 100_000, 300_000
EVENT_DRAWS = 100  # of each scenario, a run
BLOCK = 4096  # draws of uniform numbers made at once: they stay in the processor's cache
MEMORY = 300.0  # MB
COLUMNS = 3  # of one number a draw: two figures read back, and one for what is passing
PEAK = """
import resource, sys
import tco
from tco.ask.simulate import simulate
simulate(tco.compare(tco.load(sys.argv[1])), int(sys.argv[2]), 1)
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the study."""
    return fleet_study(tmp_path_factory.mktemp("fleet"))


@pytest.fixture(scope="module")
def comparison(folder: Path) -> Comparison:
    return tco.compare(tco.load(folder))


def by_events(fleets: list[Events], rng: Random) -> None:
    """Fates of all scenarios' fleets unit by unit; what they cost is left out, to their favour."""
    for fleet in fleets:
        for _ in range(EVENT_DRAWS):
            fleet.draw(rng)


def uniform_numbers(rng: np.random.Generator, block: np.ndarray) -> None:
    """One number for each drive, draw and scenario, into the same place again and again: as quick as it gets.

    All at once takes eight times as long, for the memory that it needs.
    """
    for start in range(0, LONG, BLOCK):
        rng.random(out=block[: min(BLOCK, LONG - start)])


def test_a_simulation_against_unit_by_unit(comparison: Comparison, benchmark: Any) -> None:
    """At least a hundred times as fast a draw as an event-by-event simulation of the same fleets."""
    study, rng = comparison.study, Random(1)
    fleets = [Events(study, scenario) for scenario in study.scenarios]
    by_events(fleets, rng)  # curves are looked up once
    work = partial(simulate, comparison, DRAWS)
    benchmark(work)
    events, drawn = in_turns(lambda: taken(lambda: by_events(fleets, rng)), lambda: taken(work))
    beside(Row("a draw of the simulation", drawn / DRAWS, "unit by unit", events / EVENT_DRAWS, 100, least=True))


def test_a_simulation_against_its_random_numbers(comparison: Comparison, benchmark: Any) -> None:
    """At most twenty times what one uniform number for each drive, draw and scenario takes.

    Long runs: what is made ready once, two tenths of a second, is then a tenth of it.
    """
    rng, block = np.random.default_rng(1), np.empty((BLOCK, SCENARIOS, NODES * PER_NODE))
    work = partial(simulate, comparison, LONG)
    benchmark(work)
    numbers, drawn = in_turns(lambda: taken(lambda: uniform_numbers(rng, block)), lambda: taken(work))
    beside(Row("a draw of the simulation", drawn / LONG, "its uniform numbers alone", numbers / LONG, 20))


def peak(folder: Path, draws: int) -> float:
    """The most memory of a program that simulates the study, in MB.

    A program's peak as the system tells it is never below that of the one that started it, so a small shell starts it
    and stays: an `exec` would pass its own peak on.
    """
    command = ["sh", "-c", '"$0" "$@"; exit $?', sys.executable, "-c", PEAK, str(folder), str(draws)]
    ran = subprocess.run(command, capture_output=True, text=True, check=True, cwd=Path(tco.__file__).parents[1])
    unit = 1 if sys.platform == "darwin" else 1024
    return int(ran.stdout) * unit / 1e6


def test_memory_is_flat(folder: Path) -> None:
    """Below a bound for 100,000 draws; for 1,000,000 only the draws of what is summed up at the moment come on top.

    Each figure's draws are kept on disk and read back when its turn comes, 8 bytes a draw. All of the figures, nine a
    scenario, would be 288 MB.
    """
    few, some, many = (peak(folder, draws) for draws in (10_000, DRAWS, 1_000_000))
    assert some < MEMORY
    assert many - few < COLUMNS * 8 * (1_000_000 - 10_000) / 1e6, f"{few:.0f} MB to {many:.0f} MB"
