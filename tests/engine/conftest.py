"""One run of LibreOffice for all workbooks of these tests: starting it takes longer than most of them."""

from __future__ import annotations

from typing import Any

import pytest

from tests.engine.layout import SHEET
from tests.recalculate import recalculated_many

Books = dict[str, tuple[Any, dict[str, Any]]]


@pytest.fixture(scope="session")
def books(tmp_path_factory) -> Books:
    """Name of the workbook -> what its test keeps of it, and its recalculated cells."""
    from tests.engine import test_functions, test_random_formulas, test_traps

    laid_out = {
        "cases": test_functions.lay_out_cases(),
        "random": test_random_formulas.lay_out_models(),
        "failures": test_traps.lay_out_failures(),
        "keys": test_traps.lay_out_keys(),
    }
    work = tmp_path_factory.mktemp("engine")
    paths = [layout.save(work / f"{name}.xlsx") for name, (layout, _) in laid_out.items()]
    cells = recalculated_many(paths, work)
    return {name: (kept, found[SHEET]) for (name, (_, kept)), found in zip(laid_out.items(), cells, strict=True)}
