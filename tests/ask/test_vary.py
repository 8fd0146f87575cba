"""What matters: costs at each end are those of fresh runs of the edited study, as are flips and cells of grids."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

import tco
from tco.ask import vary_costs
from tco.ask.compare import Comparison
from tco.ask.inputs import Input, find, inputs
from tco.ask.vary import Swing, Variation, vary
from tco.ask.vary_ends import Choice, choices
from tco.ask.vary_grid import NOBODY, grid
from tco.errors import AskedError, UnknownNameError, VariedError
from tco.model.measure import LEVEL
from tco.study import Study
from tests.ask.edited_study import edited
from tests.published.written import table
from tests.random_studies import random_study
from tests.studies import write_study

FRESH = 1e-9  # of the costs


@cache
def compared(name: str) -> Comparison:
    """A study that comes with tco."""
    return tco.compare(tco.load(tco.demo().parent / name))


@cache
def varied(name: str) -> Variation:
    return vary(compared(name))


def fresh(comparison: Comparison, one: Input, value: float) -> Comparison:
    """The study with a value of an input, run from its rows."""
    change = (lambda old: old * value) if one.is_factor else (lambda _old: value)
    return tco.compare(edited(comparison.study, one.name, change, one.scenario))


def lcc(comparison: Comparison) -> list[float]:
    return [comparison.measure(ground, "lcc") for ground in comparison.built.grounds]


def meets(comparison: Comparison) -> tuple[bool, ...]:
    return tuple(comparison.meets(ground) for ground in comparison.built.grounds)


def some(found: Variation, count: int, seed: int) -> list[Swing]:
    """The largest effects, and others at random; those of one scenario or of all."""
    plain = [one for one in (*found.swings, *found.silent) if "," not in one.choice.input.scenario]
    rest = random.Random(seed).sample(plain[3:], min(count, len(plain[3:])))
    return [*plain[:3], *rest]


@pytest.mark.parametrize("which", ["demo", "small", "hours", 1, 2, 5, 8])
def test_costs_at_both_ends_are_those_of_fresh_runs(which: str | int, tmp_path: Path) -> None:
    found = varied(which) if isinstance(which, str) else vary(tco.compare(tco.load(random_study(which, tmp_path))))
    assert len(found.swings) > 10
    for one in some(found, 4, 3):
        choice = one.choice
        for value, costs, met in (
            (choice.low, one.at_low, one.meets_low),
            (choice.high, one.at_high, one.meets_high),
        ):
            run = fresh(found.comparison, choice.input, value)
            assert costs == pytest.approx(lcc(run), rel=FRESH, abs=1e-7), (choice.input.label, value)
            assert met == meets(run), (choice.input.label, value)


def test_the_largest_effect_comes_first() -> None:
    found = varied("demo")
    effects = [one.effect for one in found.swings]
    assert effects == sorted(effects, reverse=True)
    for one in found.swings:
        apart = [abs(high - low) for low, high in zip(one.at_low, one.at_high, strict=True)]
        assert (one.effect, apart[one.most]) == (max(apart), max(apart))


def test_what_is_not_listed_changes_no_cost() -> None:
    found = varied("demo")
    listed = {one.choice.input.label for one in (*found.swings, *found.silent)}
    chosen, without = choices(found.comparison)
    still = [choice for choice in chosen if choice.input.label not in listed]
    assert (len(still), without) == (found.without_effect, found.without_ends)
    assert len(still) + len(found.swings) + len(found.silent) == len(chosen)
    for choice in random.Random(1).sample(still, 4):
        for value in (choice.low, choice.high):
            run = fresh(found.comparison, choice.input, value)
            assert lcc(run) == pytest.approx(lcc(found.comparison), abs=LEVEL)
            assert meets(run) == meets(found.comparison)


@pytest.mark.parametrize("which", ["demo", "small", 2])
def test_an_input_of_one_scenario_changes_no_other(which: str | int, tmp_path: Path) -> None:
    """Neither to the cent nor in the last digit."""
    found = varied(which) if isinstance(which, str) else vary(tco.compare(tco.load(random_study(which, tmp_path))))
    checked = 0
    for one in found.swings:
        owners = {column.table.scenario for column, _ in one.choice.input.cells}
        if not owners or "" in owners:
            continue
        for name, change in zip(found.names, one.changes, strict=True):
            assert name in owners or change == 0.0
        checked += 1
    assert checked > 5


def test_one_pass_gives_what_single_ones_give(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = vary(compared("small"))
    monkeypatch.setattr(vary_costs, "AT_ONCE", 1)
    single = vary(compared("small"))
    assert [one.choice.input.label for one in whole.swings] == [one.choice.input.label for one in single.swings]
    for one, other in zip(whole.swings, single.swings, strict=True):
        assert (one.at_low, one.at_high, one.flips) == (other.at_low, other.at_high, other.flips)


def cheapest(comparison: Comparison, among: tuple[str, ...]) -> str:
    costs = {g.scenario.scenario: comparison.measure(g, "lcc") for g in comparison.built.grounds}
    return min(among, key=lambda name: costs[name])


def test_flips_change_the_cheapest_on_their_two_sides() -> None:
    """By fresh runs a little below and above, as far as both scenarios are apart by more than half a cent there."""
    found = varied("demo")
    turned = [one for one in found.swings if one.flips and not one.choice.input.whole]
    assert len(turned) >= 4
    for one in turned:
        for flip in one.flips:
            step = 1e-4 * (one.choice.high - one.choice.low)
            for value, name in ((flip.value - step, flip.before), (flip.value + step, flip.after)):
                assert cheapest(fresh(found.comparison, one.choice.input, value), found.among) == name
            level = fresh(found.comparison, one.choice.input, flip.value)
            costs = {g.scenario.scenario: level.measure(g, "lcc") for g in level.built.grounds}
            assert costs[flip.before] == pytest.approx(costs[flip.after], abs=LEVEL)


def test_no_flip_means_that_the_cheapest_stays() -> None:
    found = varied("demo")
    first = cheapest(found.comparison, found.among)
    quiet = [one for one in found.swings if not one.flips and "," not in one.choice.input.scenario]
    for one in random.Random(5).sample(quiet, 6):
        for part in (0.0, 0.37, 1.0):
            value = one.choice.low + part * (one.choice.high - one.choice.low)
            value = round(value) if one.choice.input.whole else value
            assert cheapest(fresh(found.comparison, one.choice.input, value), found.among) == first


def three(folder: Path) -> Comparison:
    """Rented spaces only: a fee a month that varies against two others, one of which wins for a short way.

    Costs a month: `dear` 10, `steep` the data held times 1, `flat` half of it and 4: they cross at 8 TB, 10 and 12.
    """
    scenarios = "scenario,baseline\nsteep,yes\nflat,\ndear,\n"
    fees = (
        "scenario,fee,amount,amount per TB\nsteep,space,0 EUR/month,1 EUR/TB/month\n"
        "flat,space,4 EUR/month,0.5 EUR/TB/month\ndear,space,10 EUR/month,0 EUR/TB/month\n"
    )
    settings = table(
        "setting,value",
        ["question,?", "currency,EUR", "start,2026-01", "horizon,2 years", "time zone,UTC", "discount,3 %",
         "data held,10 TB", "data growth,0 %"],
    )  # fmt: skip
    ranges = table("input,scenario,low,high", ["data held,,1 TB,40 TB"])
    gone = dict.fromkeys(["minis", "servers", "nodes", "tariffs", "one_offs", "failures", "resale", "exchange"])
    study = write_study(folder, study=settings, scenarios=scenarios, fees=fees, ranges=ranges, **gone)
    return tco.compare(tco.load(study))


def test_a_third_one_that_is_the_cheapest_for_a_while_is_found(tmp_path: Path) -> None:
    """By hand: steep to 8 TB, flat to 12 TB, then dear; at the values that are looked at flat may never be seen."""
    found = vary(three(tmp_path))
    data = next(one for one in found.swings if one.choice.input.name == "data held")
    assert [(flip.before, flip.after) for flip in data.flips] == [("steep", "flat"), ("flat", "dear")]
    assert [flip.value for flip in data.flips] == pytest.approx([8.0, 12.0], abs=1e-9)


def ends(comparison: Comparison, by: float = 0.2) -> dict[str, Choice]:
    return {choice.input.label: choice for choice in choices(comparison, by)[0]}


def test_ends_are_those_of_ranges_else_some_per_cent_within_what_a_study_may_hold() -> None:
    own = ends(compared("demo"))
    assert (own["electricity price"].low, own["electricity price"].high) == (0.8, 1.7)
    assert (own["hour value"].low, own["hour value"].high) == (6.0, 20.0)
    assert own["hour value"].of_ranges
    held = own["data held"]
    assert (held.low, held.high, held.of_ranges) == (pytest.approx(9.6), pytest.approx(14.4), False)
    assert own["fill limit of main"].high == pytest.approx(0.96)
    assert ends(compared("demo"), 0.5)["fill limit of main"].high == 1.0
    sold = own["amount of cabinet sold in month 60"]
    assert (sold.low, sold.high) == (pytest.approx(-108.0), pytest.approx(-72.0))
    drives = own["quantity of hard drive 16 TB, new"]
    assert (drives.low, drives.high) == (3.0, 5.0)
    assert "quantity of hard drive 12 TB, new" not in own  # 0: nobody buys it
    assert own["quantity of UPS 700 VA, new"].low == 1.0  # without any it would be another build
    assert "noise busy of mini PC, 4 cores, two drive bays" not in own  # a share of a sound level means nothing
    assert "resale level" not in own  # it is the factor `resale`, told once
    several = own["price of UPS battery"]
    assert several.input.is_factor
    assert (several.low, several.high) == (0.8, 1.2)


def test_a_range_of_one_scenario_leaves_the_others_per_cent(tmp_path: Path) -> None:
    ranges = table("input,scenario,low,high", ["upkeep of minis,minis,0.5 h/month,3 h/month"])
    folder = write_study(tmp_path, ranges=ranges)
    own = ends(tco.compare(tco.load(folder)))
    assert (own["upkeep of minis"].low, own["upkeep of minis"].high) == (0.5, 3.0)


@pytest.mark.parametrize("by", [0.0, -0.2])
def test_a_width_of_nothing_is_refused(by: float) -> None:
    with pytest.raises(AskedError, match="write how much less and more than the study says, such as 20 %"):
        vary(compared("small"), by)


def kept(study: Study, horizon: int) -> Study:
    """The study with another horizon, without what is dated after it."""
    if horizon >= study.settings.horizon:
        return tco.load(study.folder, horizon=horizon)
    scenarios = (
        replace(one, one_offs=tuple(row for row in one.one_offs if row.month <= horizon)) for one in study.scenarios
    )
    return replace(study, settings=replace(study.settings, horizon=horizon), scenarios=tuple(scenarios))


def cell_costs(comparison: Comparison, pairs: list[tuple[Input, float]], horizon: int) -> list[float]:
    """A cell of a grid by a fresh run."""
    study = kept(comparison.study, horizon)
    for one, value in sorted(pairs, key=lambda pair: pair[0].is_factor):  # a factor comes on top of a value
        change = (lambda old, by=value: old * by) if one.is_factor else (lambda _old, to=value: to)
        study = edited(study, one.name, change, one.scenario)
    return lcc(tco.compare(study))


@pytest.mark.parametrize(
    ("study", "names"),
    [
        ("demo", ["hour value", "electricity price"]),
        ("demo", ["failure rate", "price of hard drive 16 TB, new"]),
        ("demo", ["electricity price", "price of energy, household from 2026-01"]),
        ("small", ["discount", "quantity of box"]),
        ("hours", ["electricity price", "discount"]),
    ],
)
def test_cells_of_a_grid_are_those_of_fresh_runs(study: str, names: list[str]) -> None:
    comparison = compared(study)
    if study == "small":
        names = [names[0], next(name for name in inputs(comparison) if name.startswith("quantity of "))]
    found = grid(comparison, names, steps=5)
    noise = random.Random(4)
    for _ in range(4):
        row, column = noise.randrange(len(found.rows.values)), noise.randrange(len(found.columns.values))
        assert found.rows.input is not None
        assert found.columns.input is not None
        pairs = [(found.rows.input, found.rows.values[row]), (found.columns.input, found.columns.values[column])]
        costs = cell_costs(comparison, pairs, comparison.study.settings.horizon)
        assert list(found.costs[row, column]) == pytest.approx(costs, rel=FRESH, abs=1e-7)


@pytest.mark.parametrize("years", [(), (2, 7)])
def test_years_of_a_grid_are_studies_with_that_horizon(years: tuple[int, ...]) -> None:
    comparison = compared("demo")
    found = tco.vary(comparison, grid=["electricity price"], steps=4, years=years).grid
    assert found is not None
    assert found.columns.values == tuple(12.0 * year for year in range(years[0] if years else 1, 8 if years else 6))
    noise = random.Random(2)
    for _ in range(3):
        row, column = noise.randrange(4), noise.randrange(len(found.columns.values))
        assert found.rows.input is not None
        pairs = [(found.rows.input, found.rows.values[row])]
        costs = cell_costs(comparison, pairs, int(found.columns.values[column]))
        assert list(found.costs[row, column]) == pytest.approx(costs, rel=FRESH, abs=1e-7)


def test_who_is_the_cheapest_in_a_cell_and_by_how_much() -> None:
    found = grid(compared("demo"), ["electricity price", "hour value"], steps=9)
    own = [found.names.index(name) for name in found.among]
    assert set(found.among) == {"quiet minis", "rented space"}
    for place in np.ndindex(found.cheapest.shape):
        costs = sorted((found.costs[place][number], number) for number in own)
        assert found.ahead[place] == costs[1][0] - costs[0][0]
        assert found.cheapest[place] == (costs[0][1] if found.ahead[place] >= LEVEL else NOBODY)
    assert len(np.unique(found.cheapest)) > 1
    assert found.rows.stated is not None
    assert found.rows.values[found.rows.stated] == 1.0


def test_level_scenarios_leave_a_cell_to_nobody() -> None:
    study = compared("small").study
    one = replace(study.scenarios[0], baseline=True)
    twin = replace(one, scenario="twin", baseline=False)
    bare = replace(study, needs=None, scenarios=(one, twin))
    found = grid(tco.compare(bare), ["electricity price", "discount"], steps=3)
    assert (found.cheapest == NOBODY).all()


def test_a_need_that_the_cheapest_misses_in_a_cell_is_told() -> None:
    comparison = compared("demo")
    found = grid(comparison, ["data growth", "hour value"], steps=4)
    for row in range(len(found.rows.values)):
        assert found.rows.input is not None
        assert found.columns.input is not None
        study = edited(comparison.study, found.rows.input.name, lambda _, to=found.rows.values[row]: to)
        met = meets(tco.compare(study))
        for column in range(len(found.columns.values)):
            number = found.cheapest[row, column]
            assert found.misses[row, column] == (not met[number])
    assert found.misses.any()


@pytest.mark.parametrize(
    ("names", "steps", "years", "error", "told"),
    [
        (["hour value"], 1, (), AskedError, "a grid has from 2 to 400 steps a side"),
        (["hour value"], 0, (), AskedError, "a grid has from 2 to 400 steps a side"),
        (["hour value"], 401, (), AskedError, "a grid has from 2 to 400 steps a side"),
        (["a", "b", "c"], 5, (), AskedError, "a grid has two inputs"),
        (["hour value", "Hour  value"], 5, (), AskedError, "a grid has two inputs that differ"),
        (["hour value", "discount"], 5, (1, 2), AskedError, "this grid has no years"),
        (["electrcity price"], 5, (), UnknownNameError, "did you mean 'electricity price'"),
        (["fetches today of UPS battery"], 5, (), AskedError, "has no per cent"),
        (["hour value"], 5, (3, 2), AskedError, "write the first and the last year"),
    ],
)
def test_grids_that_cannot_be(
    names: list[str], steps: int, years: tuple[int, ...], error: type[Exception], told: str
) -> None:
    with pytest.raises(error, match=told):
        grid(compared("demo"), names, steps=steps, years=years)


def test_an_input_that_leaves_no_figure_is_named_with_its_value(monkeypatch: pytest.MonkeyPatch) -> None:
    """A width that no person asks for takes a price beyond what a number can hold."""
    comparison = compared("small")
    one = find(comparison, "hour value")
    huge = Choice(one, 1.0, 1.7e308)
    monkeypatch.setattr("tco.ask.vary.choices", lambda *_: ([huge], 0))
    with pytest.raises(VariedError, match=r"hour value at .*e\+30\d.* leaves no figure") as caught:
        vary(comparison)
    assert "not a finite number" in str(caught.value)
