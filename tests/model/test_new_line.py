"""The promise that a new kind of cost is one file: filters for fans, by the year and unit, added for a test.

The line is declared here as a file in tco/model/lines would declare it, with an input of its own in parts lists, and
must appear in reading, months, years, measures and explain without a change elsewhere. One with a setting of its own
is tco/model/lines/insurance.py.
"""

from __future__ import annotations

from importlib import import_module
from pathlib import Path

import pytest

import tco
from tco.ask import explain
from tco.cell import Cell
from tco.engine import Node, call
from tco.model import LINES, Ground, Line, measures
from tco.model.ground import one_month
from tco.model.measure import A_YEAR
from tests.studies import SERVERS, write_study


def filtered(ground: Ground) -> Node:
    if not ground.has("parts", "filters"):
        return ground.nothing()
    running = call("more_than", ground.month("month"), 0.0 * one_month())
    parts, each = ground.part("filters").table, ground.part("quantity") * ground.part("filters")
    a_year = ground.model.column(parts, "filters_all", "filters for all, a year", f"{ground.money}/year", each)
    return running * call("sum_of", a_year) * (one_month() / A_YEAR)


FILTERS = Line(
    "filters",
    "Filters",
    66,
    investment=False,
    build=filtered,
    parts={
        "filters": Cell(
            "number", "filters for its fans, a year", "6 EUR/year", unit="{money}/year", default=0.0, live=True
        )
    },
)


@pytest.fixture
def with_filters(monkeypatch: pytest.MonkeyPatch) -> None:
    building, asking = import_module("tco.model.build"), import_module("tco.ask.compare")
    for module in (building, measures, asking):
        monkeypatch.setattr(module, "LINES", (*LINES, FILTERS))


@pytest.mark.usefixtures("with_filters")
def test_a_new_line_is_read_worked_out_and_explained(tmp_path: Path) -> None:
    """Two servers at 6 EUR a year each: 1 EUR a month."""
    rows = [f"{row},{more}" for row, more in zip(SERVERS.splitlines(), ("filters", "6 EUR/year", ""), strict=True)]
    comparison = tco.compare(tco.load(write_study(tmp_path, servers="\n".join(rows) + "\n")))
    servers = explain.ground_of(comparison, "servers")
    assert comparison.of(servers.month("filters"))[:3] == pytest.approx([0, 1, 1])
    assert comparison.measure(servers, "total_filters") == pytest.approx(60)
    assert comparison.of(servers.own("years", "filters"))[1] == pytest.approx(12)
    told = explain.explain(comparison, "servers", "filters", 1, lambda _column, _row: "A1")
    assert any(block.label == "filters" and block.entries[0].value == "6 EUR/year" for block in told.blocks)
    minis = explain.ground_of(comparison, "minis")
    assert not minis.has("parts", "filters")
    assert comparison.measure(minis, "total_filters") == 0
