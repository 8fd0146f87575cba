"""Figures beside the measures: of each pool, each place and each kind of drive; in measures.csv, and explained."""

from __future__ import annotations

from pathlib import Path

import pytest

import tco
from tco.ask.details import details
from tco.ask.explain import explain

SMALL = tco.demo().parent / "small"


@pytest.fixture(scope="module", params=[tco.demo(), SMALL], ids=lambda path: path.name)
def comparison(request: pytest.FixtureRequest) -> tco.Comparison:
    return tco.compare(tco.load(Path(request.param)))


def test_every_one_stands_in_measures_csv_once_and_can_be_explained(comparison: tco.Comparison) -> None:
    frame = tco.measures(comparison)
    for ground in comparison.built.grounds:
        own = frame[frame.scenario == ground.scenario.scenario].set_index("measure").value
        for name, (column, row) in details(ground, comparison.figures).items():
            assert isinstance(own[name], float | str), f"{name} stands there more than once"
            if column.state is None:
                assert own[name] == comparison.of(column)[row]
            found = explain(comparison, ground.scenario.scenario, name, None, lambda _, __: "")
            assert found.headline.startswith(f"{ground.scenario.scenario}, {column.label}")
            assert "= 0\n" not in "\n".join(block.words for block in found.blocks)


def test_a_pool_speaks_for_its_worst_phase() -> None:
    """The desktops: two nodes of 6 TB, then three, then 14, 14 and 6; two copies: 6, 9 and 17 TB."""
    comparison = tco.compare(tco.load(SMALL))
    ground = next(one for one in comparison.built.grounds if one.scenario.scenario == "used desktops")
    usable = comparison.of(ground.own("pool main", "usable"))
    assert usable.tolist() == pytest.approx([6, 9, 17, 17], rel=1e-12)
    values = tco.measures(comparison).query("scenario == 'used desktops'").set_index("measure").value
    assert values["usable_of_main"] == pytest.approx(6, rel=1e-12)
    assert values["safe_case_of_main"].startswith("a lost drive is rebuilt in its node")
    assert values["cost_per_TB"] == pytest.approx(
        values["equivalent_month"] / ((6 * 5.1 + 6 * 7.65 + 24 * 14.45) / 36), rel=1e-9
    )


def test_what_the_last_places_allow() -> None:
    """A mini has two bays and one drive: one more of 16 TB in each of four."""
    comparison = tco.compare(tco.load(tco.demo()))
    values = tco.measures(comparison).query("scenario == 'quiet minis'").set_index("measure").value
    assert values["left_each_mini_bay_3.5"] == 1
    assert values["more_of_hard_drive_16_TB,_new"] == 1
