"""How fast it is as people meet it, each beside a floor or a peer in the same run; never against a clock.

`pytest tests/benchmarks` prints a table; with `--benchmark-enable` also times of their own.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
from xlsxwriter import Workbook

import tco
from tco.ask.compare import Comparison
from tco.engine import evaluate
from tco.write.page import Page
from tco.write.plain_sheet import PlainSheet
from tco.write.workbook import write_workbook
from tests.benchmarks.beside import Row, beside, in_turns, taken, whole

DRAWS = 200
PRICES = ("tariff household.price", "settings.discount")
LIBRARIES = "click, numpy, numpy_financial, pint, wcwidth, xlsxwriter"  # what a comparison imports
ALL = f"{LIBRARIES}, jinja2, openpyxl, pandas, scipy.optimize, scipy.special"  # all that pyproject.toml names
WHOLE = 2.25  # 1.7 on a machine of its own, 1.95 where the other core is busy; beside what it needs alone, 5 to 6
RUN = "from tco.cli import main; main()"
BARE = "import click; click.Group('bare', {f'c{n}': click.Command(f'c{n}', help='A command.') for n in range(14)})()"


@pytest.fixture(scope="module")
def comparison() -> Comparison:
    return tco.compare(tco.load(tco.demo()))


@pytest.fixture(scope="module")
def calls(comparison: Comparison, tmp_path_factory: pytest.TempPathFactory) -> list[tuple[Any, ...]]:
    """Every number, text and formula that the workbook of the demo is told."""
    found: list[tuple[Any, ...]] = []
    with pytest.MonkeyPatch.context() as patch:
        for name in ("text", "number", "formula"):
            patch.setattr(Page, name, recording(found, name, getattr(Page, name)))
        write_workbook(comparison, tmp_path_factory.mktemp("recorded") / "book.xlsx")
    return found


def recording(calls: list[tuple[Any, ...]], name: str, own: Callable[..., None]) -> Callable[..., None]:
    def both(page: Page, row: int, column: int, content: Any, *more: Any) -> None:
        calls.append((page.name, name, row, column, content, *more[:-1]))
        own(page, row, column, content, *more)

    return both


def plain(calls: list[tuple[Any, ...]], path: Path, sheet: Any = None) -> None:
    """The same cells written by the library and nothing else; sheet: of which class."""
    book = Workbook(str(path), {"strings_to_formulas": False, "strings_to_urls": False})
    sheets = {name: book.add_worksheet(name, sheet) for name in dict.fromkeys(call[0] for call in calls)}
    for name, kind, row, column, content, *more in calls:
        if kind == "formula":
            sheets[name].write_formula(row, column, content, None, more[0])
        elif kind == "number":
            sheets[name].write_number(row, column, content)
        else:
            sheets[name].write_string(row, column, content)
    book.close()


def test_help_against_bare_click() -> None:
    """`tco --help` beside a group of as many commands that do nothing."""
    ours, bare = in_turns(
        lambda: whole([sys.executable, "-c", RUN, "--help"]), lambda: whole([sys.executable, "-c", BARE, "--help"])
    )
    beside(Row("tco --help, whole process", ours, "a bare click group's", bare, 2.0))


def test_a_comparison_against_what_cannot_be_done_without(calls: list[tuple[Any, ...]], tmp_path: Path) -> None:
    """`tco compare demo` as a whole process: beside imports alone, and with its cells by the library alone.

    It imports only what it needs, half of what the package depends on. The workbook has some 60,000 cells, of which
    28,000 are formulas: to hand these to the library takes as long as its imports, so the second ratio says how much
    a live workbook costs, the third what is ours.
    """
    out = tmp_path / "out"
    run = [sys.executable, "-c", RUN, "compare", "demo", "--quiet", "--out", str(out)]

    def fresh() -> float:
        shutil.rmtree(out, ignore_errors=True)
        return whole(run)

    ours, again, every, imports, cells = in_turns(
        fresh, lambda: whole(run), *(lambda names=names: whole([sys.executable, "-c", f"import {names}"])  # type: ignore[misc]
                                     for names in (ALL, LIBRARIES)),
        lambda: taken(lambda: plain(calls, tmp_path / "plain.xlsx", PlainSheet)), runs=4,
    )  # fmt: skip
    beside(Row("tco compare demo, whole process", ours, "importing all that the package depends on", every, WHOLE))
    beside(Row("tco compare demo, whole process", ours, "importing what a comparison needs of it", imports))
    beside(Row("tco compare demo, whole process", ours, "imports, and its cells by XlsxWriter", imports + cells, 3.5))
    beside(Row("tco compare demo, once more", again, "into an empty folder", ours, 1.25))


def test_reading_against_pandas() -> None:
    """The demo read, checked and told apart, beside its tables read by pandas into frames of text."""
    tables = sorted(tco.demo().glob("*.csv"))
    ours, frames = in_turns(
        lambda: taken(lambda: tco.load(tco.demo())),
        lambda: taken(lambda: [pd.read_csv(one, dtype=str) for one in tables]),
    )
    beside(Row("reading the demo", ours, "pandas.read_csv of its tables", frames, 10.0))


def test_workbook_against_the_same_cells_by_the_library_alone(
    comparison: Comparison, calls: list[tuple[Any, ...]], tmp_path: Path
) -> None:
    """Our workbook's numbers, texts and formulas, written by XlsxWriter and nothing else.

    As the library has it; and without its search of each formula for functions that ours never have, which we leave
    out as well (PlainSheet). Comments, merged cells, looks, charts and the fingerprint are ours only.
    """
    ours, library, least = in_turns(
        lambda: taken(lambda: write_workbook(comparison, tmp_path / "ours.xlsx")),
        lambda: taken(lambda: plain(calls, tmp_path / "plain.xlsx")),
        lambda: taken(lambda: plain(calls, tmp_path / "plain.xlsx", PlainSheet)),
        runs=3,
    )
    beside(Row("workbook of the demo", ours, "XlsxWriter, the same cells", library, 1.5))
    beside(Row("workbook of the demo", ours, "the same without its search in formulas", least, 4.0))


def test_draws_together_against_one_at_a_time(comparison: Comparison, benchmark: Any) -> None:
    """200 draws of the price of electricity and of the discount rate: one pass against 200."""
    model = comparison.built.model
    rng = np.random.default_rng(1)
    drawn = {model[name]: model[name].values * rng.uniform(0.5, 2, (DRAWS, 1)) for name in PRICES}
    single = {column: values[0] for column, values in drawn.items()}
    benchmark(evaluate, model, drawn)
    together, alone = in_turns(
        lambda: taken(lambda: evaluate(model, drawn)), lambda: taken(lambda: evaluate(model, single)), runs=3
    )
    beside(Row("200 draws in one pass", together, "one at a time", DRAWS * alone, 5.0, least=True), benchmark)
