"""How fast it is, each beside a floor or a peer in the same run; never against a clock.

`pytest tests/benchmarks --benchmark-enable` prints times. What is asserted are ratios, with room for a busy machine.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from xlsxwriter import Workbook

import tco
from tco.ask.compare import Comparison
from tco.engine import evaluate
from tco.write.page import Page
from tco.write.workbook import write_workbook

DRAWS = 200
PRICES = ("tariff household.price", "settings.discount")


@pytest.fixture(scope="module")
def comparison() -> Comparison:
    return tco.compare(tco.load(tco.demo()))


def best(work: Callable[[], Any], times: int = 3) -> float:
    """The quickest of a few runs [s]."""
    found = []
    for _ in range(times):
        begun = time.perf_counter()
        work()
        found.append(time.perf_counter() - begun)
    return min(found)


def test_draws_together_against_one_at_a_time(comparison: Comparison, benchmark: Any) -> None:
    """200 draws of the price of electricity and of the discount rate: one pass against 200."""
    model = comparison.built.model
    rng = np.random.default_rng(1)
    drawn = {model[name]: model[name].values * rng.uniform(0.5, 2, (DRAWS, 1)) for name in PRICES}
    together = best(lambda: evaluate(model, drawn))
    benchmark(evaluate, model, drawn)
    alone = best(lambda: evaluate(model, {column: values[0] for column, values in drawn.items()}))
    assert together < 0.2 * DRAWS * alone, f"{DRAWS * alone / together:.0f} times as fast as one at a time"


def test_workbook_against_the_same_cells_by_the_library_alone(
    comparison: Comparison, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Our workbook's numbers, texts and formulas, written by XlsxWriter and nothing else."""
    calls: list[tuple[Any, ...]] = []
    with monkeypatch.context() as patch:
        for name in ("text", "number", "formula"):
            patch.setattr(Page, name, recording(calls, name, getattr(Page, name)))
        write_workbook(comparison, tmp_path / "recorded.xlsx")
    ours = best(lambda: write_workbook(comparison, tmp_path / "ours.xlsx"))
    floor = best(lambda: plain(calls, tmp_path / "plain.xlsx"))
    assert ours < 2.0 * floor, f"{ours / floor:.2f} times the floor"


def recording(calls: list[tuple[Any, ...]], name: str, own: Callable[..., None]) -> Callable[..., None]:
    def both(page: Page, row: int, column: int, content: Any, *more: Any) -> None:
        calls.append((page.name, name, row, column, content, *more[:-1]))
        own(page, row, column, content, *more)

    return both


def plain(calls: list[tuple[Any, ...]], path: Path) -> None:
    book = Workbook(str(path), {"strings_to_formulas": False, "strings_to_urls": False})
    sheets = {name: book.add_worksheet(name) for name in dict.fromkeys(call[0] for call in calls)}
    for name, kind, row, column, content, *more in calls:
        if kind == "formula":
            sheets[name].write_formula(row, column, content, None, more[0])
        elif kind == "number":
            sheets[name].write_number(row, column, content)
        else:
            sheets[name].write_string(row, column, content)
    book.close()
