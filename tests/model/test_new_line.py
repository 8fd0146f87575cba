"""The promise that a new kind of cost is one file: insurance, a yearly share of the purchase price, added for a test.

The line is declared here as a file in tco/model/lines would declare it, and must appear in reading, months, years,
measures and explain without a change elsewhere.
"""

from __future__ import annotations

from importlib import import_module
from pathlib import Path

import pytest

import tco
from tco.ask import explain
from tco.cell import Cell
from tco.engine import Constant, Node, call
from tco.model import LINES, Ground, Line, measures
from tco.units import unit
from tests.studies import STUDY, write_study


def insured(ground: Ground) -> Node:
    if not ground.scenario.parts:
        return ground.nothing()
    value = call("sum_of", ground.part("outlay"))
    running = call("more_than", ground.month("month"), Constant(0.0, unit("month")))
    return running * value * ground.setting("insurance") / 12.0


INSURANCE = Line(
    "insurance",
    "Insurance",
    65,
    investment=False,
    build=insured,
    settings={"insurance": Cell("share", "premium a year, share of the purchase", "1 %", default=0.0, live=True)},
)


@pytest.fixture
def with_insurance(monkeypatch: pytest.MonkeyPatch) -> None:
    building, asking = import_module("tco.model.build"), import_module("tco.ask.compare")
    for module in (building, measures, asking):
        monkeypatch.setattr(module, "LINES", (*LINES, INSURANCE))


@pytest.mark.usefixtures("with_insurance")
def test_a_new_line_is_read_worked_out_and_explained(tmp_path: Path) -> None:
    folder = write_study(tmp_path, study=STUDY + "insurance,1.2 %,,\n")
    comparison = tco.compare(tco.load(folder))
    minis = explain.ground_of(comparison, "minis")
    bought = comparison.measure(minis, "total_purchase")
    assert comparison.of(minis.month("insurance"))[:3] == pytest.approx([0, 0.001 * bought, 0.001 * bought])
    assert comparison.measure(minis, "total_insurance") == pytest.approx(60 * 0.001 * bought)
    assert comparison.of(minis.own("years", "insurance"))[1] == pytest.approx(12 * 0.001 * bought)
    told = explain.explain(comparison, "minis", "insurance", 1, lambda _column, _row: "A1")
    assert any(block.label == "insurance" and block.entries[0].value == "1.2 %" for block in told.blocks)
