"""Time and memory grow with what is asked, no faster: more scenarios, more years, more draws at once."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import tco
from tco.engine import Replay
from tco.read import checks
from tests import hostile
from tests.benchmarks import fleet_study
from tests.benchmarks.beside import Row, beside, in_turns, taken
from tests.benchmarks.by_hand import Lines, inputs

DRAWS = 1000
SLACK = 1.5  # times what growing in proportion would take


def test_the_engine_against_numpy_by_hand(tmp_path: Path) -> None:
    """1,000 draws of prices, tariff and discount for one scenario's lines: the same figures, in a like time."""
    comparison = tco.compare(tco.load(fleet_study.fleet_study(tmp_path / "study")))
    ground = comparison.built.grounds[1]
    rng = np.random.default_rng(1)
    drawn = {one: comparison.of(one) * rng.uniform(0.5, 2, (DRAWS, len(one.table.rows)))
             for one in inputs(comparison, ground)}  # fmt: skip
    lines, lcc = Lines.of(comparison, ground), ground.measure("lcc")
    replay = Replay(comparison.built.model, comparison.figures, [lcc])
    assert replay(drawn)[lcc][:, 0] == pytest.approx(lines.lcc(*drawn.values()), rel=1e-11)
    ours, hand = in_turns(
        lambda: taken(lambda: replay(drawn)), lambda: taken(lambda: lines.lcc(*drawn.values())), runs=25
    )
    beside(Row("engine, 1,000 draws of a scenario", ours, "the same lines in numpy by hand", hand, 1.5))


def compared(folder: Path, count: int) -> float:
    """Seconds to read and compare so many scenarios."""
    names = tuple(f"build {number}" for number in range(count))
    hostile.study(folder, names)
    return taken(lambda: tco.compare(tco.load(folder)))


def test_scenarios_grow_in_proportion(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """10, 100 and 1,000 scenarios; a study on disk may have 50, each a sheet, so the reader's limit is lifted."""
    monkeypatch.setattr(checks, "SCENARIO_LIMIT", 1000)
    few = min(compared(tmp_path / f"few {run}", 10) for run in range(3))
    for count in (100, 1000):
        many = compared(tmp_path / str(count), count)
        beside(Row(f"{count:,} scenarios compared", many, f"{count // 10} times 10 of them", count / 10 * few, SLACK))


def test_a_workbook_grows_in_proportion(tmp_path: Path) -> None:
    """The results of 40 scenarios beside those of 10."""

    def saved(count: int) -> float:
        folder = hostile.study(tmp_path / f"of {count}", tuple(f"build {number}" for number in range(count)))
        comparison = tco.compare(tco.load(folder))
        return taken(lambda: tco.save(comparison, tmp_path / f"out {count}", replace=True))

    few, many = in_turns(lambda: saved(10), lambda: saved(40), runs=2)
    beside(Row("results of 40 scenarios", many, "4 times those of 10", 4 * few, SLACK))


def test_years_grow_in_proportion(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """5 to 50 years, written as well."""

    def seconds(years: int) -> float:
        monkeypatch.setattr(fleet_study, "YEARS", years)
        folder = fleet_study.fleet_study(tmp_path / f"{years} years")
        return taken(lambda: tco.save(tco.compare(tco.load(folder)), tmp_path / f"out {years}", replace=True))

    five, ten, fifty = in_turns(lambda: seconds(5), lambda: seconds(10), lambda: seconds(50), runs=2)
    beside(Row("10 years", ten, "twice 5 years", 2 * five, SLACK))
    beside(Row("50 years", fifty, "10 times 5 years", 10 * five, SLACK))
