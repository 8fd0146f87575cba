"""Where scenarios cost the same: by hand, by a root finder on fresh runs of edited studies, by the measures."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

import tco
from tco.ask.breakeven import Ends, Level, breakeven
from tco.ask.compare import Comparison, crossings
from tco.ask.inputs import find
from tco.ask.vary_roots import CROSSES, JUMPS, SAME, TOUCHES, Meeting, counted, meetings, monthly
from tco.errors import AskedError, TcoError, UnknownNameError, VariedError
from tco.model.measure import LEVEL
from tests.ask.edited_study import edited
from tests.random_studies import random_study


@cache
def compared(name: str) -> Comparison:
    """A study that comes with tco."""
    return tco.compare(tco.load(tco.demo().parent / name))


def fresh(comparison: Comparison, level: Level, value: float) -> tuple[float, float]:
    """What both scenarios cost with a value of the input, run from the study's rows."""
    one = level.input
    assert one is not None
    change = (lambda old: old * value) if one.is_factor else (lambda _old: value)
    run = tco.compare(edited(comparison.study, one.name, change, one.scenario))
    costs = {ground.scenario.scenario: run.measure(ground, "lcc") for ground in run.built.grounds}
    return costs[level.one], costs[level.other]


def one_level(comparison: Comparison, name: str, between: tuple[str, str], low: float, high: float) -> Level:
    return breakeven(comparison, name, between, Ends(low, high)).levels[0]


PRICES = [
    ("hour value", 0.0, 60.0),
    ("price of hard drive 16 TB, new", 0.0, 2000.0),
    ("amount per TB of storage by the TB", 0.0, 25.0),
    ("electricity price", 0.0, 5.0),
    ("shipping of mini PC, 4 cores, two drive bays", 0.0, 400.0),
]


@pytest.mark.parametrize(("name", "low", "high"), PRICES)
def test_prices_are_lines_and_two_fresh_runs_say_where_they_meet(name: str, low: float, high: float) -> None:
    comparison = compared("demo")
    level = one_level(comparison, name, ("quiet minis", "rented space"), low, high)
    first, last = (np.subtract(*fresh(comparison, level, value)) for value in (low, high))
    exact = low + (high - low) * first / (first - last)
    assert [met.kind for met in level.meetings] == [CROSSES]
    assert level.meetings[0].value == pytest.approx(exact, rel=1e-9)
    assert level.meetings[0].before == np.sign(first)
    assert level.meetings[0].after == np.sign(last)
    assert level.costs[0] == pytest.approx(fresh(comparison, level, exact)[0], rel=1e-9)


CURVES = [
    ("discount", -0.3, 0.6, ("quiet minis", "rented space")),
    ("data growth", -0.5, 1.0, ("quiet minis", "rented space")),
    ("resale", 0.0, 3.0, ("rented space", "quiet minis")),
]


@pytest.mark.parametrize(("name", "low", "high", "between"), CURVES)
def test_curves_meet_where_a_root_finder_on_fresh_runs_says(
    name: str, low: float, high: float, between: tuple[str, str]
) -> None:
    """Brent's method by itself, between fresh runs that say different things."""
    comparison = compared("demo")
    level = one_level(comparison, name, between, low, high)
    values = np.linspace(low, high, 5)
    apart = [float(np.subtract(*fresh(comparison, level, value))) for value in values]
    roots = [
        brentq(
            lambda value: float(np.subtract(*fresh(comparison, level, value))), values[n], values[n + 1], xtol=1e-10
        )
        for n in range(len(values) - 1)
        if apart[n] * apart[n + 1] < 0
    ]
    assert roots
    assert [met.value for met in level.meetings] == pytest.approx(roots, rel=1e-7, abs=1e-9)


def test_failure_rates_meet_where_fresh_runs_cost_the_same() -> None:
    comparison = compared("demo")
    level = one_level(comparison, "failure rate", ("quiet minis", "rented space"), 0.0, 40.0)
    assert [met.kind for met in level.meetings] == [CROSSES]
    one, other = fresh(comparison, level, level.meetings[0].value)
    assert one == pytest.approx(other, abs=LEVEL)
    for step, side in ((-1e-3, level.meetings[0].before), (1e-3, level.meetings[0].after)):
        assert np.sign(np.subtract(*fresh(comparison, level, level.meetings[0].value + step))) == side


@pytest.mark.parametrize(("seed", "names"), [(3, ["electricity price"]), (4, ["data held"]), (5, ["selling share"])])
def test_what_is_found_in_studies_at_random_is_so_by_fresh_runs(seed: int, names: list[str], tmp_path: Path) -> None:
    """Both cost the same where they meet; where they never do, the same one is cheaper at the ends and half-way."""
    comparison = tco.compare(tco.load(random_study(seed, tmp_path)))
    met = never = 0
    for level in (level for name in names for level in breakeven(comparison, name).levels):
        for own in level.meetings[:2]:
            one, other = fresh(comparison, level, own.value)
            assert one == pytest.approx(other, abs=LEVEL)
            met += 1
        if not level.meetings:
            for part in (0.0, 0.5, 1.0):
                costs = fresh(comparison, level, level.low + part * (level.high - level.low))
                assert costs[level.cheaper == level.other] < costs[level.cheaper != level.other]
            never += 1
    assert met
    assert never


@pytest.mark.parametrize("which", ["demo", "small", "hours", 1, 2, 4, 5, 7, 8, 10, 11, 13])
def test_years_are_those_of_the_measure(which: str | int, tmp_path: Path) -> None:
    """Against the baseline: every crossing, and the last of them is `level_horizon`."""
    comparison = compared(which) if isinstance(which, str) else tco.compare(tco.load(random_study(which, tmp_path)))
    baseline = comparison.built.baseline.scenario.scenario
    for ground in comparison.built.grounds:
        name = ground.scenario.scenario
        if name == baseline:
            continue
        level = breakeven(comparison, "years", (name, baseline)).levels[0]
        crossed = [met for met in level.meetings if met.kind == CROSSES]
        wanted = crossings(comparison, ground, "ahead_if_sold")
        assert [met.value for met in crossed] == pytest.approx([month for month, _ in wanted], rel=1e-12)
        assert [met.after < 0 for met in crossed] == [ahead for _, ahead in wanted]
        horizon = comparison.measure(ground, "level_horizon")
        if crossed and not any(met.after == 0 for met in level.meetings):
            assert crossed[-1].value == pytest.approx(horizon, rel=1e-12)


def test_years_agree_with_studies_of_that_horizon() -> None:
    """Small has a crossing after five months: a study of five months is cheaper one way, one of six the other."""
    comparison = compared("small")
    level = breakeven(comparison, "years", ("new boxes", "used desktops")).levels[0]
    met = level.meetings[-1]
    for month, side in ((int(met.value), met.before), (int(met.value) + 1, met.after)):
        ends = [comparison.of(g.month("lcc_if_sold"))[month] for g in comparison.built.grounds[:2]]
        names = [g.scenario.scenario for g in comparison.built.grounds[:2]]
        costs = dict(zip(names, ends, strict=True))
        assert np.sign(costs[level.one] - costs[level.other]) == side


def test_years_beyond_the_horizon() -> None:
    comparison = compared("demo")
    level = tco.breakeven(comparison, "years", between=("quiet minis", "old servers"), high=96).levels[0]
    longer = tco.compare(tco.load(tco.demo(), horizon=96))
    costs = {g.scenario.scenario: longer.of(g.month("lcc_if_sold")) for g in longer.built.grounds}
    apart = costs["quiet minis"] - costs["old servers"]
    assert (level.low, level.high) == (0.0, 96.0)
    assert bool(level.meetings) == bool((np.sign(apart[1:]) != np.sign(apart[1])).any())


def test_alike_scenarios_cost_the_same_at_any_value() -> None:
    study = compared("small").study
    one = replace(study.scenarios[0], baseline=True)
    twin = replace(one, scenario="twin", baseline=False)
    comparison = tco.compare(replace(study, scenarios=(one, twin)))
    for name in ("electricity price", "years", "discount"):
        level = breakeven(comparison, name).levels[0]
        assert level.is_same
        assert not level.depends


def test_counts_tell_the_first_number_at_which_the_other_one_is_cheaper() -> None:
    comparison = compared("demo")
    name = "quantity of mini PC, 4 cores, two drive bays"
    level = breakeven(comparison, name, ("quiet minis", "rented space")).levels[0]
    assert [met.kind for met in level.meetings] == [CROSSES]
    first = level.meetings[0].value
    before, after = (np.subtract(*fresh(comparison, level, value)) for value in (first - 1, first))
    assert before < 0 < after


def test_by_default_electricity_years_and_all_ranges_for_the_cheapest_against_the_others() -> None:
    comparison = compared("demo")
    found = breakeven(comparison)
    cheapest, *others = [ground.scenario.scenario for ground in comparison.ranked()]
    assert {(level.one, level.other) for level in found.levels} == {(cheapest, other) for other in others}
    labels = list(dict.fromkeys(level.label for level in found.levels))
    assert labels[:2] == ["electricity price", "years"]
    assert set(labels[2:]) <= {find(comparison, one.input, one.scenario).label for one in comparison.study.ranges}
    assert all(level.depends for level in found.levels)
    price = found.levels[0].price
    assert price == pytest.approx(0.16 * 1.2 + 0.0725 * 1.2 + 0.0158 * 1.2, rel=1e-9)


def test_one_scenario_s_own_input() -> None:
    """The same input in one scenario only, by fresh runs of that one."""
    comparison = compared("demo")
    name, between = "amount of backup elsewhere", ("modern boards", "quiet minis")
    assert not breakeven(comparison, name, between).levels[0].depends  # alike in both
    level = breakeven(comparison, name, between, Ends(0.0, 200.0), "quiet minis").levels[0]
    assert level.label == f"{name} (quiet minis)"
    one, other = fresh(comparison, level, level.meetings[0].value)
    assert one == pytest.approx(other, abs=LEVEL)


SHAPES = {
    "one": (lambda x: 100 * (x - 2.3), [(CROSSES, 2.3)]),
    "three": (lambda x: 1000 * (x - 1) * (x - 3.3) * (x - 4.1), [(CROSSES, 1.0), (CROSSES, 3.3), (CROSSES, 4.1)]),
    "two between neighbours": (lambda x: 1000 * ((x - 1.234) ** 2 - 1e-5),
                               [(CROSSES, 1.234 - 1e-5**0.5), (CROSSES, 1.234 + 1e-5**0.5)]),
    "touches between": (lambda x: 1000 * (x - 1.234) ** 2, [(TOUCHES, 1.234)]),
    "touches at a value looked at": (lambda x: 100 * (x - 2.5) ** 2, [(TOUCHES, 2.5)]),
    "touches with an edge": (lambda x: 100 * abs(x - 2.503), [(TOUCHES, 2.503)]),
    "crosses at a value looked at": (lambda x: 100 * (x - 2.5), [(CROSSES, 2.5)]),
    "at the low end": (lambda x: 100 * x, [(TOUCHES, 0.0)]),
    "at the high end": (lambda x: 100 * (x - 5), [(TOUCHES, 5.0)]),
    "level for a while": (lambda x: max(x - 2, 0) * 100 - max(1 - x, 0) * 100, [(SAME, 1 - LEVEL / 100)]),
    "jumps": (lambda x: -3.0 if x < 2.2 else 4.0, [(JUMPS, 2.2)]),
    "the same": (lambda _: 0.0, [(SAME, 0.0)]),
    "never": (lambda _: 5.0, []),
    "near, and never": (lambda x: 100 * (x - 2.5) ** 2 + 0.02, []),
}  # fmt: skip


@pytest.mark.parametrize("name", SHAPES)
def test_meetings_of_known_functions(name: str) -> None:
    """All of them at once give what each gives alone."""
    functions = [function for function, _ in SHAPES.values()]

    def of(values: np.ndarray, pairs: np.ndarray) -> np.ndarray:
        return np.array([functions[int(pair)](float(value)) for value, pair in zip(values, pairs, strict=True)])

    values = np.linspace(0, 5, 401)
    found = np.array([[function(float(value)) for function in functions] for value in values])
    number = list(SHAPES).index(name)
    every = meetings(values, found, np.full(len(functions), 1000.0), of)[number]
    alone = meetings(values, found[:, [number]], np.array([1000.0]), lambda at, _: of(at, np.full(len(at), number)))
    assert every == alone[0]
    assert [met.kind for met in every] == [kind for kind, _ in SHAPES[name][1]]
    assert [met.value for met in every] == pytest.approx([value for _, value in SHAPES[name][1]], abs=1e-5)
    for met in every:
        if met.kind == CROSSES:
            assert met.before * met.after == -1
            assert abs(functions[number](met.value)) < LEVEL


def test_counts_and_months_of_known_differences() -> None:
    numbers = np.arange(1.0, 8.0)
    assert counted(numbers, np.array([-3.0, -1.0, 0.0, 2.0, 3.0, -1.0, 0.0])) == [
        Meeting(SAME, 3.0, 3.0, -1, 1),
        Meeting(CROSSES, 6.0, 6.0, 1, -1),
        Meeting(SAME, 7.0, 7.0, -1, 0),
    ]
    months = np.arange(6)
    assert monthly(months, np.array([0.0, -3.0, 1.0, 2.0, 0.0, 2.0])) == [
        Meeting(CROSSES, 1.75, 1.75, -1, 1),
        Meeting(TOUCHES, 4, 4, 1, 1),
    ]
    assert monthly(months, np.array([-1.0, 0.0, 0.0, 2.0, 2.0, 0.0])) == [
        Meeting(CROSSES, 2.0, 2.0, -1, 1),
        Meeting(TOUCHES, 5, 5, 1, 0),
    ]


@pytest.mark.parametrize(
    ("asked", "error", "told"),
    [
        ({"name": "hour vale"}, UnknownNameError, "did you mean 'hour value'"),
        ({"between": ("quiet minis", "quiet minis")}, AskedError, "name two scenarios that differ"),
        ({"between": ("quiet minis", "loud maxis")}, UnknownNameError, "there is no scenario 'loud maxis'"),
        ({"name": "hour value", "ends": Ends(5.0, 5.0)}, AskedError, "must be below the high one"),
        ({"name": "hour value", "ends": Ends(9.0, 5.0)}, AskedError, "must be below the high one"),
        ({"name": "hour value", "ends": Ends(-1.0, 5.0)}, AskedError, "the least that a study may hold is 0 EUR/h"),
        ({"name": "tax", "ends": Ends(0.0, 1.5)}, AskedError, "the most that a study may hold is 100 %"),
        ({"name": "fetches today of UPS battery"}, AskedError, "is 0 in the study, so name the range"),
        ({"name": "years", "ends": Ends(30.0, 20.0)}, AskedError, "between 0 and 60 months"),
        ({"name": "years", "scenario": "quiet minis"}, AskedError, "all scenarios are kept as long"),
        ({"scenario": "quiet minis"}, AskedError, "name the input that varies"),
        ({"ends": Ends(0.0, 1.0)}, AskedError, "name the input whose range this is"),
        ({"name": "discount", "scenario": "quiet minis"}, AskedError, "is one for all scenarios"),
        ({"name": "hour value", "ends": Ends(0.0, 1e308)}, VariedError, "hour value at .* leaves no figure"),
    ],
)
def test_what_cannot_be_asked(asked: dict[str, object], error: type[TcoError], told: str) -> None:
    with pytest.raises(error, match=told):
        breakeven(compared("demo"), **asked)  # type: ignore[arg-type]


def test_a_study_of_one_scenario_has_no_pair() -> None:
    study = compared("small").study
    comparison = tco.compare(replace(study, scenarios=(replace(study.scenarios[0], baseline=True),)))
    with pytest.raises(AskedError, match="the study has one scenario"):
        breakeven(comparison)


def test_every_pair_gives_the_same_meetings_whichever_is_named_first() -> None:
    comparison = compared("demo")
    names = [ground.scenario.scenario for ground in comparison.built.grounds]
    for one, other in random.Random(3).sample(list(combinations(names, 2)), 3):
        first, second = (breakeven(comparison, "discount", pair).levels[0] for pair in ((one, other), (other, one)))
        assert [met.value for met in first.meetings] == pytest.approx(
            [met.value for met in second.meetings], abs=1e-9
        )
        assert [met.before for met in first.meetings] == [-met.before for met in second.meetings]
