"""vary.csv and vary_grid.csv hold the figures to the bit, and read back as they are."""

from __future__ import annotations

import dataclasses
import io

import numpy as np
import pandas as pd
import pytest

from tco.ask.vary import vary
from tco.ask.vary_costs import Costs
from tco.ask.vary_grid import NOBODY
from tco.write.vary_csv import GRID_HEADER, HEADER, SAME, grid_csv, vary_csv
from tests.write.chances import compared
from tests.write.variations import HOUR, PRICE, axis, choice, hostile, lattice, swing, variation, years


def read(text: str) -> pd.DataFrame:
    empty = {"value": [""], "margin": [""]}
    exact = {"float_precision": "round_trip"} if pd.__version__ < "3" else {}  # 3 reads the last digit unasked
    return pd.read_csv(io.StringIO(text), keep_default_na=False, na_values=empty, **exact)


def test_every_end_of_every_input_has_a_row_for_each_scenario() -> None:
    found = variation()
    frame = read(vary_csv(found))
    assert tuple(frame.columns) == HEADER
    stated = frame[frame.end == "study"]
    assert list(stated.scenario) == found.names
    assert list(stated.lcc) == [found.comparison.measure(g, "lcc") for g in found.comparison.built.grounds]
    assert list(stated.meets_needs) == [
        "yes" if found.comparison.meets(g) else "no" for g in found.comparison.built.grounds
    ]
    for own in (*found.swings, *found.silent):
        for end, value, costs, meets in (
            ("low", own.choice.low, own.at_low, own.meets_low),
            ("high", own.choice.high, own.at_high, own.meets_high),
        ):
            rows = frame[(frame.input == own.choice.input.label) & (frame.end == end)]
            assert list(rows.scenario) == found.names
            assert set(rows.value) == {value}
            assert list(rows.lcc) == list(costs)
            assert list(rows.meets_needs) == ["yes" if met else "no" for met in meets]
    units = dict(zip(frame.input, frame.unit, strict=True))
    assert (units["electricity price"], units["hour value"], units["data held"]) == ("times", "EUR/h", "TB")


def test_a_flip_has_both_scenarios_and_what_they_cost_there() -> None:
    found = vary(compared())
    turned = [own for own in found.swings if own.flips]
    assert turned
    frame = read(vary_csv(found))
    rows = frame[frame.end.isin(["below", "from"])]
    assert len(rows) == 2 * sum(len(own.flips) for own in turned)
    costs = Costs(found.comparison)
    for own in turned:
        here = rows[rows.input == own.choice.input.label]
        assert [(flip.before, flip.after) for flip in own.flips] == list(
            zip(here[here.end == "below"].scenario, here[here.end == "from"].scenario, strict=True)
        )
        for flip, (_, pair) in zip(own.flips, here.groupby(here.value, sort=True), strict=True):
            assert set(pair.value) == {flip.value}
            there = costs.at(own.choice.input, np.array([flip.value]))[0]
            assert list(pair.lcc) == pytest.approx(
                [there[found.names.index(name)] for name in pair.scenario], rel=1e-12
            )


def test_every_cell_of_a_grid_is_a_row() -> None:
    comparison = compared()
    price = choice(comparison, PRICE, 0.5, 2.0).input
    grid = lattice(comparison, axis(price, 6), years(1, 2, 5), level=2, misses=True)
    frame = read(grid_csv(variation(grid=grid)))
    assert tuple(frame.columns) == GRID_HEADER
    assert len(frame) == 18
    for number, (row, column) in enumerate(np.ndindex(6, 3)):
        own = frame.iloc[number]
        first, costs = int(grid.cheapest[row, column]), grid.costs[row, column]
        order = np.argsort(costs)
        assert own.scenario == (SAME if first == NOBODY else grid.names[first])
        assert own["next"] == ("" if first == NOBODY else grid.names[order[1]])
        assert (own.x, own.y, own.lcc, own.margin) == (
            (1.0, 2.0, 5.0)[column], price.likely[0] * np.linspace(0.5, 2.0, 6)[row], costs[order[0]],
            grid.ahead[row, column],
        )  # fmt: skip
        assert own.meets_needs == ("no" if grid.misses[row, column] else "yes")
    assert {*frame.x_input, *frame.x_unit, *frame.y_input, *frame.y_unit} == {"years", "year", PRICE, "times"}


def test_without_a_grid_there_is_its_header() -> None:
    assert grid_csv(variation()) == ",".join(GRID_HEADER) + "\n"


def test_no_text_begins_as_a_formula() -> None:
    comparison = hostile()
    hour = choice(comparison, HOUR, 1.0, 2.0)
    grid = lattice(comparison, axis(hour.input, 4), years(1, 2))
    found = variation(comparison, [swing(comparison, hour, (-1.0, 1.0))], grid)
    found = dataclasses.replace(found, among=tuple(found.names))
    for text in (vary_csv(found), grid_csv(found)):
        assert text.startswith("scenario,")
        cells = pd.read_csv(io.StringIO(text), dtype=str, keep_default_na=False).to_numpy().ravel()
        numbers = [cell for cell in cells if cell[:1] in ("=", "+", "-", "@")]
        assert all(float(cell) < 0 for cell in numbers)
        assert "'=1+1" in cells
