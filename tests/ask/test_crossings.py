"""Where cumulative costs cross, by hand; and what the answer says of it, whatever the study."""

from __future__ import annotations

from pathlib import Path

import pytest

import tco
from tco.ask.compare import Comparison, crossings
from tco.write.summary import kept_for
from tco.write.told import told
from tests.studies import write_study

STUDY = "setting,value\nquestion,Which?\ncurrency,EUR\nstart,2027-01\nhorizon,{months} months\n"
STUDY += "time zone,UTC\ndiscount,0\n"
NONE = dict.fromkeys(
    ("minis", "servers", "nodes", "tariffs", "fees", "one_offs", "failures", "resale", "exchange"), None
)


def of_flows(folder: Path, months: int, flows: dict[str, dict[int, float]]) -> Comparison:
    """A study in which each scenario pays the given amounts in the given months; the first is the baseline."""
    names = [f"{name},{'' if number else 'yes'}" for number, name in enumerate(flows)]
    rows = [f"{name},x,{month},{amount} EUR" for name, paid in flows.items() for month, amount in paid.items()]
    tables = {
        **NONE,
        "study": STUDY.format(months=months),
        "scenarios": "scenario,baseline\n" + "\n".join(names) + "\n",
        "one_offs": "scenario,what,month,amount\n" + "\n".join(rows) + "\n",
    }
    return tco.compare(tco.load(write_study(folder, **tables)))


def ground(comparison: Comparison, name: str):  # type: ignore[no-untyped-def]
    return next(g for g in comparison.built.grounds if g.scenario.scenario == name)


def test_the_cheaper_one_catches_up(tmp_path: Path) -> None:
    """a pays 100 in each of 10 months; b 450 at the start and 10 a month: level after 5 months exactly."""
    paid = dict.fromkeys(range(1, 11), 100.0)
    comparison = of_flows(tmp_path, 10, {"a": paid, "b": {0: 450.0, **dict.fromkeys(paid, 10.0)}})
    assert crossings(comparison, ground(comparison, "b")) == [(pytest.approx(5.0), True)]
    text = " ".join(told(comparison).answer)
    assert "Cheapest: b, at 55.00 EUR a month, spread evenly; 550 EUR over 10 months" in text
    assert "45.00 EUR a month less than a, the baseline, and 450 EUR less over 10 months" in text


def test_a_crossing_lies_straight_between_flows(tmp_path: Path) -> None:
    """a pays 100 a month, b 250 at the start: level in the middle of the third month."""
    comparison = of_flows(tmp_path, 4, {"a": dict.fromkeys(range(1, 5), 100.0), "b": {0: 250.0}})
    assert crossings(comparison, ground(comparison, "b")) == [(pytest.approx(2.5), True)]
    assert "b has cost less than the baseline from month 3 (2027-03) to the end" in " ".join(told(comparison).answer)


def test_every_crossing_is_told(tmp_path: Path) -> None:
    flows = {"a": {1: 100.0, 3: 0.0, 4: 100.0}, "b": {0: 50.0, 2: 100.0}}
    comparison = of_flows(tmp_path, 4, flows)
    found = crossings(comparison, ground(comparison, "b"))
    assert [ahead for _, ahead in found] == [True, False, True]
    assert [month for month, _ in found] == [pytest.approx(0.5), pytest.approx(1.5), pytest.approx(3.5)]


def test_the_baseline_may_be_the_cheapest(tmp_path: Path) -> None:
    comparison = of_flows(tmp_path, 4, {"a": {0: 100.0}, "b": {0: 300.0}})
    text = " ".join(told(comparison).answer)
    assert "Cheapest: a, at" in text
    assert "The next one, b, costs 50.00 EUR a month more, 200 EUR more over 4 months" in text
    assert "Paid at the start: 300 EUR for b, 100 EUR for a. Resale left out, b has cost more than the" in text


def test_two_that_cost_the_same(tmp_path: Path) -> None:
    comparison = of_flows(tmp_path, 4, {"a": {0: 100.0}, "b": {0: 100.0}})
    text = " ".join(told(comparison).answer)
    assert "It is the baseline; b costs the same." in text


def test_one_scenario_alone(tmp_path: Path) -> None:
    comparison = of_flows(tmp_path, 4, {"a": {0: 100.0}})
    assert len(told(comparison).answer) == 2
    assert "The only scenario: a, at 25.00 EUR a month" in told(comparison).answer[0]


def test_spans_in_words() -> None:
    assert [kept_for(12), kept_for(60), kept_for(18), kept_for(1)] == ["1 year", "5 years", "18 months", "1 month"]


def all_told(folder: Path, flows: dict[str, dict[int, float]], months: int = 4) -> str:
    """All that is said of two scenarios' payments."""
    return " ".join(told(of_flows(folder, months, flows)).answer)


def test_rounding_noise_is_no_difference(tmp_path: Path) -> None:
    """0.1 + 0.2 is not 0.3 in binary, and yet the two cost the same."""
    comparison = of_flows(tmp_path, 4, {"a": {0: 0.1, 1: 0.2}, "b": {1: 0.3}})
    assert [g.scenario.scenario for g in comparison.ranked()] == ["a", "b"]
    text = " ".join(told(comparison).answer)
    assert "Cheapest: a" in text
    assert "It is the baseline; b costs the same." in text
    assert "b has cost the same" in text


def test_level_again_at_the_end(tmp_path: Path) -> None:
    """b is ahead by 100 until it pays as much in the last month: level is not ahead, and was never behind."""
    flows = {"a": {0: 100.0}, "b": {4: 100.0}}
    comparison = of_flows(tmp_path, 4, flows)
    assert crossings(comparison, ground(comparison, "b")) == []
    assert "b has cost the same" in " ".join(told(comparison).answer)


def test_level_for_a_while_then_ahead(tmp_path: Path) -> None:
    """b is behind at first, level from month 1, ahead from month 3: sentence and crossing say the same."""
    comparison = of_flows(tmp_path, 4, {"a": {1: 100.0, 3: 50.0}, "b": {0: 100.0}})
    assert crossings(comparison, ground(comparison, "b")) == [(pytest.approx(2.0), True)]
    assert "b has cost less than the baseline from month 3" in " ".join(told(comparison).answer)


def test_ahead_at_first_and_behind_in_the_end(tmp_path: Path) -> None:
    text = all_told(tmp_path, {"a": {0: 100.0}, "b": {2: 300.0}})
    assert "b has cost more than the baseline from month 2 (2027-02) to the end" in text
