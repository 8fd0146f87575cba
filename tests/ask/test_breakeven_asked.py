"""What `tco breakeven` looks at, and where scenarios meet by inputs of several kinds: against studies run anew."""

from __future__ import annotations

import itertools
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

import tco
from tco.ask.breakeven import (
    FEWER,
    LOOKED_AT,
    BreakEvens,
    Ends,
    breakeven,
    looked_at,
    price_of,
    together,
    usual_range,
)
from tco.ask.compare import Comparison
from tco.ask.inputs import Input, find, inputs
from tco.ask.vary_ends import as_one
from tco.ask.vary_roots import CROSSES
from tco.errors import AskedError, StudyError
from tco.model.measure import LEVEL
from tco.study import Study
from tests.ask.edited_study import edited
from tests.model.test_holding import ended
from tests.random_studies import random_study
from tests.studies import write_study

PAIR = ("quiet minis", "rented space")


@cache
def compared(name: str = "demo") -> Comparison:
    """A study that comes with tco."""
    return tco.compare(tco.load(tco.demo().parent / name))


def costs(study: Study) -> dict[str, float]:
    """Life-cycle costs of a study that is run anew."""
    run = tco.compare(study)
    return {ground.scenario.scenario: run.measure(ground, "lcc") for ground in run.built.grounds}


def apart(name: str, value: float, pair: tuple[str, str] = PAIR, *, scenario: str = "") -> float:
    """How much more the first of a pair costs with a value of an input, run from the study's rows."""
    found = costs(edited(compared().study, name, lambda _: value, scenario))
    return found[pair[0]] - found[pair[1]]


@pytest.mark.parametrize(
    ("name", "low", "high", "scenario"),
    [
        ("idle of mini PC, 4 cores, two drive bays", 0.0, 60.0, ""),
        ("idle of mini PC, 4 cores, two drive bays", 0.0, 60.0, "quiet minis"),
        ("price of mini PC, 4 cores, two drive bays", 0.0, 600.0, "quiet minis"),
        ("claim of hard drive 16 TB, new", 0.0, 3000.0, ""),
    ],
)
def test_watts_and_amounts_are_lines(name: str, low: float, high: float, scenario: str) -> None:
    """Two fresh runs make a line; where it passes 0, both cost the same, and a third fresh run says so."""
    level = breakeven(compared(), name, PAIR, Ends(low, high), scenario).levels[0]
    first, last = (apart(name, value, scenario=scenario) for value in (low, high))
    assert [met.kind for met in level.meetings] == [CROSSES] * (first * last < 0)
    assert level.cheaper == PAIR[0 if first < 0 else 1]
    for met in level.meetings:
        assert met.value == pytest.approx(low + (high - low) * first / (first - last), rel=1e-6)
        assert abs(apart(name, met.value, scenario=scenario)) < LEVEL


@pytest.mark.parametrize("pair", [PAIR, PAIR[::-1]])
def test_which_one_is_named_first_changes_only_the_signs(pair: tuple[str, str]) -> None:
    level = breakeven(compared(), "resale level", pair, Ends(0.0, 3.0)).levels[0]
    root = brentq(lambda value: apart("resale level", value), 0.0, 3.0, xtol=1e-10)
    assert [met.value for met in level.meetings] == pytest.approx([root], abs=1e-8)
    assert (level.one, level.other) == pair
    assert level.cheaper_of(level.meetings[0].after) == "quiet minis"
    assert level.cheaper == level.cheaper_of(level.meetings[0].before) == "rented space"


@pytest.mark.parametrize("which", ["demo", "small", "hours", 1, 3, 4, 6, 9, 12])
def test_years_are_where_studies_that_end_there_cost_the_same(which: str | int, tmp_path: Path) -> None:
    """A crossing lies straight between the differences of the two studies that end before and after it.

    Without spares: those are counted once, for the whole horizon.
    """
    study = compared(which).study if isinstance(which, str) else tco.load(random_study(which, tmp_path))
    extra = {**study.settings.extra, "spares_confidence": 0.0}
    comparison = tco.compare(replace(study, settings=replace(study.settings, extra=extra)))
    horizon, run = comparison.study.settings.horizon, cache(lambda month: costs(ended(comparison.study, month)))
    names = [ground.scenario.scenario for ground in comparison.built.grounds]
    for one, other in itertools.combinations(names[:3], 2):
        level = breakeven(comparison, "years", (one, other)).levels[0]
        for met in [met for met in level.meetings if met.kind == CROSSES and met.value > 1][:2]:
            month = int(np.ceil(met.value)) - 1
            first, last = (run(month)[one] - run(month)[other], run(month + 1)[one] - run(month + 1)[other])
            assert np.sign(last) == met.after or abs(last) < LEVEL
            if abs(first) > LEVEL:
                assert met.value == pytest.approx(month + first / (first - last), abs=1e-6)
        if not level.meetings and not level.is_same:
            found = run(max(1, horizon // 2))
            assert level.cheaper == (one if found[one] < found[other] else other)


def test_years_beyond_the_horizon_are_where_longer_studies_cost_the_same() -> None:
    found = tco.breakeven(compared(), "years", between=PAIR, high=96)
    level = found.levels[0]
    assert (found.horizon, level.high) == (96, 96.0)
    assert level.meetings
    for months in (60, 84, 96):
        longer = costs(tco.load(tco.demo(), horizon=months))
        past = [met for met in level.meetings if met.kind == CROSSES and met.value < months]
        assert np.sign(longer[PAIR[0]] - longer[PAIR[1]]) == past[-1].after


def test_years_for_which_the_study_does_not_say_enough_are_refused() -> None:
    """The price path of small ends with its third year."""
    with pytest.raises(StudyError, match="path 'utility forecast' ends with year 3"):
        tco.breakeven(compared("small"), "years", high=120)


def made(likely: float, **more: object) -> Input:
    return replace(find(compared(), "hour value"), likely=(likely,), **more)  # type: ignore[arg-type]


RANGES = [
    (made(12.0), (0.0, 60.0)),
    (made(-3.0, least=None), (-15.0, 0.0)),
    (made(12.0, most=20.0), (0.0, 20.0)),
    (made(12.0, least=1.0), (1.0, 60.0)),
    (made(1.0, is_factor=True), (0.0, 5.0)),
    (made(0.0, is_share=True, least=-0.99, most=10.0), (-0.5, 1.0)),
    (made(0.4, is_share=True, least=-0.99, most=10.0), (-0.5, 2.0)),
    (made(-0.2, is_share=True, least=-0.95, most=1.0), (-0.95, 1.0)),
    (made(0.1, is_share=True, least=0.0, most=1.0), (0.0, 1.0)),
]


@pytest.mark.parametrize(("one", "wanted"), RANGES)
def test_ranges_without_ends(one: Input, wanted: tuple[float, float]) -> None:
    assert usual_range(one) == pytest.approx(wanted)


def test_every_range_has_the_study_s_value_and_only_what_it_may_hold() -> None:
    """All inputs of the demo: what the study says is looked at, the values rise, none is beyond the cell's limits."""
    checked, refused = 0, []
    for one in map(as_one, inputs(compared()).values()):
        try:
            low, high = usual_range(one)
            values = looked_at(one, low, high)
        except AskedError as error:
            refused.append(str(error))
            continue
        likely = 1.0 if one.is_factor else one.likely[0]
        assert likely in values
        assert (values[0], values[-1]) == (low, high)
        assert (np.diff(values) > 0).all()
        assert one.least is None or low >= one.least
        assert one.most is None or high <= one.most
        assert one.whole or len(values) == (FEWER if one.curves else LOOKED_AT)
        checked += 1
    assert checked > 200
    assert all("is 0 in the study" in told or "whole numbers" in told for told in refused)


def test_values_beside_an_end_keep_their_order() -> None:
    for likely in (0.0, 1e-9, 0.01, 59.99, 60.0):
        values = looked_at(made(likely), 0.0, 60.0)
        assert likely in values
        assert (np.diff(values) > 0).all()


def test_several_inputs_make_one_answer() -> None:
    """Asked one by one and put together, in the order in which they were asked."""
    each = [breakeven(compared(), name, PAIR) for name in ("discount", "hour value")]
    both = together(each)
    assert [level.label for level in both.levels] == ["discount", "hour value"]
    assert both.levels == each[0].levels + each[1].levels
    assert both.horizon == 60
    assert together([both, replace(each[0], horizon=96)]).horizon == 96
    assert isinstance(both, BreakEvens)


def test_a_kwh_has_a_price_only_where_both_pay_the_same(tmp_path: Path) -> None:
    """One tariff for both, or for one of them; two tariffs have no one price, and none has none."""
    other = "other,2026-01,0.42 EUR/kWh,,the bill\n"
    scenarios = "scenario,title,baseline,parts list,tariff,busy share,upkeep,source\n"
    second = "minis,,yes,minis.csv,household,10 %,,\nservers,,,servers.csv,{},5 %,,\nrented,,,,,,,\n"
    tables = (Path(tmp_path / name) for name in ("same", "two"))
    found = []
    for folder, name in zip(tables, ("household", "other"), strict=True):
        folder.mkdir()
        base = write_study(folder, scenarios=scenarios + second.format(name))
        if name == "other":
            path = base / "tariffs.csv"
            path.write_text(path.read_text() + other)
        found.append(tco.compare(tco.load(base)))
    same, two = (comparison.built.grounds for comparison in found)
    price = 0.31 * 1.02 ** (1 / 12)
    assert price_of(found[0], same[:2]) == pytest.approx(price, rel=0.03)
    assert price_of(found[0], same[:2]) == price_of(found[0], same[1::-1]) == price_of(found[0], same[::2])
    assert price_of(found[0], same[2:]) == "none: no tariff"
    assert price_of(found[1], two[:2]) == "none: the two pay different prices"
    assert isinstance(price_of(found[1], two[1:]), float)
