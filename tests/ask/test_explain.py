"""Explanations lead from a figure to given values, and their numbers are the model's."""

from __future__ import annotations

import pytest

import tco
from tco.ask.compare import Comparison
from tco.ask.explain import Explanation, UnknownNameError, explain
from tco.engine import Column
from tests.studies import write_study


@pytest.fixture(scope="module")
def comparison(tmp_path_factory: pytest.TempPathFactory) -> Comparison:
    return tco.compare(tco.load(write_study(tmp_path_factory.mktemp("study"))))


def cell(column: Column, row: int) -> str:
    return f"{column.full_name}@{row}"


def told(comparison: Comparison, line: str, month: int | None, scenario: str = "minis") -> Explanation:
    return explain(comparison, scenario, line, month, cell)


def block(explanation: Explanation, label: str) -> str:
    """All that is told of one column."""
    found = next(block for block in explanation.blocks if block.label == label)
    return " ".join([found.words, *(f"{e.row} {e.value} {e.numbers} {e.origin}" for e in found.entries)])


def test_electricity_by_hand(comparison: Comparison) -> None:
    """Month 4 is March 2027, 743 hours; busy 10 %: 3 mini PCs at 10.9 W, 3 drives at 5.75 W, a switch at 4 W."""
    explanation = told(comparison, "electricity", 4)
    watts = 3 * (9 + 0.1 * (28 - 9)) + 3 * (5.5 + 0.1 * (8 - 5.5)) + 4
    kwh = watts * 743 / 1000
    assert f"{watts:.6g} W × 743 h × 0.001" in block(explanation, "energy")
    cost = kwh * 0.31 * 1.0 ** (4 / 12)
    assert explanation.headline == f"minis, Electricity, month 4 (2027-03): {cost:.6g} EUR"


def test_it_leads_down_to_given_values_with_place_and_source(comparison: Comparison) -> None:
    explanation = told(comparison, "electricity", 4)
    assert "0.31 EUR/kWh  tariffs.csv:2:3; the bill" in block(explanation, "price")
    assert "minis.csv:2:9" in block(explanation, "idle")
    assert "left empty: the same as idle" in block(explanation, "busy")
    assert "computed by the tool: true hours" in block(explanation, "hours of the month")


def test_every_formula_is_followed_by_all_that_it_names(comparison: Comparison) -> None:
    """Nothing is left hanging: the inputs of every figure told of are told of as well."""
    for line in ("electricity", "replacement", "resale", "total"):
        labels = [block.label for block in told(comparison, line, 60).blocks]
        assert len(labels) > 3, line
        assert any("price" in label for label in labels)


def test_only_the_rows_that_count_are_followed(comparison: Comparison) -> None:
    assert "drive" not in block(told(comparison, "one_off", 60, "servers"), "amount")
    found = block(told(comparison, "one_off", 60, "servers"), "amount")
    assert "rack sold" in found
    assert "lockable" not in found


def test_a_line_without_a_month_is_its_total(comparison: Comparison) -> None:
    minis = told(comparison, "purchase", None)
    assert minis.headline.startswith("minis, Purchase, undiscounted: ")


def test_zero_is_explained_too(comparison: Comparison) -> None:
    assert told(comparison, "purchase", 5, "rented").headline.endswith(": 0 EUR")


@pytest.mark.parametrize(
    ("scenario", "line", "month", "words"),
    [
        ("mini", "electricity", 1, "did you mean 'minis'"),
        ("minis", "electrcity", 1, "did you mean 'electricity'"),
        ("minis", "electricity", 61, "0 to 60"),
        ("minis", "electricity", -1, "0 to 60"),
        ("minis", "nonsense", None, "there is no line 'nonsense'"),
    ],
)
def test_unknown_names_say_what_there_is(
    comparison: Comparison, scenario: str, line: str, month: int | None, words: str
) -> None:
    with pytest.raises(UnknownNameError, match=words):
        told(comparison, line, month, scenario)


@pytest.mark.parametrize("folder", ["demo", "small"])
def test_every_line_of_every_month_can_be_explained(folder: str) -> None:
    comparison = tco.compare(tco.load(tco.demo().parent / folder))
    for ground in comparison.built.grounds:
        for column in comparison.built.model.of(ground.months):
            for month in (0, 1, ground.horizon):
                found = explain(comparison, ground.scenario.scenario, column.name, month, cell)
                assert found.blocks[0].label == column.label
