"""Buying as data grow: schedule, prices and months above the room as a plain loop has them; by hand; refusals."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache
from math import log
from pathlib import Path

import numpy as np
import pytest

import tco
from tco.ask.grow import GROW, ONCE, RENT, Growth, grow
from tco.ask.grow_figures import (
    INTEREST,
    above,
    cash,
    cash_by_year,
    data,
    grown,
    left_over,
    measure,
    paid,
    room,
    saving,
)
from tco.ask.grow_room import room_of
from tco.ask.grow_turns import schedule
from tco.ask.inputs import find
from tco.errors import AskedError, UnknownNameError
from tco.model import LINES
from tco.model.periods import Times
from tco.study import Study
from tests.ask.grow_studies import boxes, growing, purchases, random_growing, settings, write
from tests.ask.plain_grow import Plain
from tests.model.plain_bills import Billed

SEEDS, COMPARED = 60, 10


@cache
def found(ahead: int = 0) -> Growth:
    """The study of growth that comes with the tool."""
    return grow(growing(), ahead=ahead, rent=4.2)


def bought(own: Growth, plan: int = 0) -> list[tuple[str, int]]:
    """What is bought in which month."""
    return [(step.bought.offer.name, step.bought.month) for step in own.plans[plan].steps]


def changed(study: Study, **more: float) -> Study:
    """A study with other settings."""
    return replace(study, settings=replace(study.settings, **more))  # type: ignore[arg-type]


def some_ahead(seed: int, study: Study) -> int:
    return min(random.Random(f"ahead {seed}").choice([0, 0, 1, 2, 6]), study.settings.horizon)


# by hand


def test_by_hand(tmp_path: Path) -> None:
    """Three boxes with one drive of 8 TB, two copies: U = 24 / 2 = 12 TB, room 0.8 x 12 = 9.6 TB.

    7 TB x 1.25^(t/12) is above it from t = 12 ln(9.6 / 7) / ln(1.25) = 16.99 on, so in month 17. Three drives more:
    19.2 TB, full at t = 54.3, beyond 48. Each costs 180 x 0.9^(17/12) and 5 to send.
    """
    own = grow(write(tmp_path))
    (step,) = own.plans[0].steps
    assert 12 * log(9.6 / 7) / log(1.25) == pytest.approx(16.99, abs=0.005)
    assert (step.bought.offer.name, step.bought.month, step.due, step.of_use) == ("second drives", 17, 17, 18)
    assert (step.room_before, step.room_after) == (pytest.approx(9.6), pytest.approx(19.2))
    assert paid(own, 0, step) == pytest.approx(3 * (180 * 0.9 ** (17 / 12) + 5))
    way = grown(own, 0)
    assert room(own, way)[[0, 17, 18, 48]] == pytest.approx([9.6, 9.6, 19.2, 19.2])  # type: ignore[index]
    over = above(own, way)
    assert over is not None
    assert (over.months, over.first, over.most) == (1, 17, pytest.approx(7 * 1.25 ** (17 / 12) - 9.6))
    assert left_over(own, way) == pytest.approx(19.2 - 7 * 1.25**4)
    assert own.plans[0].outgrown is None


def test_ahead_it_is_there_in_time(tmp_path: Path) -> None:
    study = write(tmp_path)
    for ahead, month in ((1, 16), (6, 11), (17, 0), (48, 0)):
        own = grow(study, ahead=ahead)
        assert bought(own) == [("second drives", month)]
        over = above(own, grown(own, 0))
        assert over is not None
        assert over.months == 0


def test_a_full_pool_at_the_start_is_enlarged_at_once(tmp_path: Path) -> None:
    """10 TB are above 9.6 in month 0; what is bought then is there in month 0, and paid without a trend."""
    own = grow(write(tmp_path, study=settings("10 TB", "1 %")))
    assert bought(own) == [("second drives", 0)]
    over = above(own, grown(own, 0))
    assert over is not None
    assert over.months == 0
    assert paid(own, 0, own.plans[0].steps[0]) == pytest.approx(3 * 185)


def test_without_growth_it_is_all_on_day_one(tmp_path: Path) -> None:
    own = grow(write(tmp_path, study=settings("21 TB", "0")))
    assert bought(own) == [("second drives", 0), ("one more box", 0)]
    once = own.way(0, ONCE)
    assert once is not None
    for line in LINES:
        one, other = (own.comparison.of(way.ground.month(line.name)) for way in (grown(own, 0), once))
        assert one == pytest.approx(other, abs=1e-9)
    assert saving(own, grown(own, 0), once).lcc == pytest.approx(0, abs=1e-9)


def test_where_the_room_lasts_nothing_is_bought(tmp_path: Path) -> None:
    study = write(tmp_path, study=settings("9.6 TB", "0"))  # just full: not above it
    own = grow(study)
    assert bought(own) == []
    assert own.way(0, ONCE) is None
    plain = tco.compare(study)
    lcc = plain.measure(plain.built.grounds[0], "lcc")
    assert measure(own, grown(own, 0), "lcc") == pytest.approx(lcc, rel=1e-12)


def test_room_that_leaves_is_made_up_for(tmp_path: Path) -> None:
    """Drives that leave at the end of month 9 are missed in month 10: bought then, of use in month 11."""
    more = "loaned drive,box,3,0,,,,9,5,,,,main,4,,1 bay"
    own = grow(write(tmp_path, boxes=boxes(more), study=settings("11 TB", "0")))
    assert bought(own) == [("second drives", 10)]
    over = above(own, grown(own, 0))
    assert over is not None
    assert (over.months, over.first) == (1, 10)
    assert own.plans[0].passed == ()


def test_what_does_not_fit_is_passed_over_and_comes_when_it_does(tmp_path: Path) -> None:
    """Of four ports three are taken. The fifth box finds none until a larger switch is there, whose turn is later."""
    offers = purchases("boxes,one more box,box,1,,1,,,,,,1,2", "boxes,one more box,drive,2,,1,,,,,,,",
                       "boxes,larger switch,switch 8,1,,,switch,,,,,2,")  # fmt: skip
    rows = boxes("switch 8,,0,60,,,,,4,,,,,,8 port,")
    own = grow(write(tmp_path, boxes=rows, purchases=offers, study=settings("9 TB", "60 %")))
    assert [name for name, _ in bought(own)] == ["one more box", "larger switch", "one more box"]
    (_, first), (_, second), (_, third) = bought(own)
    assert first < second == third
    (passed,) = own.plans[0].passed
    assert (passed.name, passed.month, passed.came) == ("one more box, no. 2", second, True)
    assert passed.why == "does not fit: shared: port: 5 needed, 4 there"


def test_what_finds_its_place_later_comes_later(tmp_path: Path) -> None:
    """The second bays are taken until month 30: from then on drives fit, though the data outgrew them in month 17."""
    rows = boxes("loaned drive,box,3,0,,,,30,5,,,,,,,1 bay")
    own = grow(write(tmp_path, boxes=rows, purchases=purchases("boxes,second drives,drive,3,,,,,,,,1,")))
    assert bought(own) == [("second drives", 30)]
    assert own.plans[0].outgrown == 17
    (passed,) = own.plans[0].passed
    assert (passed.month, passed.came) == (17, True)
    assert passed.why == "does not fit: each box: bay: 3 needed, 2 there"


def test_what_brings_no_room_is_not_bought_after_all(tmp_path: Path) -> None:
    """A larger switch alone holds no data; and with nothing left, the data outgrow it all."""
    offers = purchases("boxes,larger switch,switch 8,1,,,switch,,,,,1,")
    rows = boxes("switch 8,,0,60,,,,,4,,,,,,8 port,")
    own = grow(write(tmp_path, boxes=rows, purchases=offers))
    assert bought(own) == []
    assert own.plans[0].outgrown == 17
    (passed,) = own.plans[0].passed
    assert (passed.name, passed.came) == ("larger switch", False)
    assert passed.why == "brings no room, nor does what could be bought after it"


def test_first_drives_on_too_few_nodes_are_followed_by_the_next_in_the_same_month(tmp_path: Path) -> None:
    """A second pool needs two nodes: the first new box adds nothing, the second makes its room."""
    pools = "scenario,pool,copies,fill limit\nboxes,main,2,80 %\nboxes,films,2,100 %\n"
    rows = boxes("film drive,box,0,150,,,,,5,,,,films,6,,1 bay", "little drive,box,3,10,,,47,,1,,,,films,0.001,,")
    offers = purchases("boxes,film box,box,1,,1,,,,,,1,2", "boxes,film box,film drive,2,,1,,,,,,,")
    own = grow(write(tmp_path, boxes=rows.replace("4 port", "9 port"), pools=pools, purchases=offers))
    assert bought(own) == [("film box", 17), ("film box", 17)]
    rooms = [(step.room_before, step.room_after) for step in own.plans[0].steps]
    assert rooms == [(pytest.approx(9.6), pytest.approx(9.6)), (pytest.approx(9.6), pytest.approx(9.6 + 12))]


def test_what_is_needed_is_bought_along(tmp_path: Path) -> None:
    offers = purchases("boxes,second drives,drive,3,,,,,,cage,,1,", "boxes,cage,bay cage,1,,,,,,,,,")
    own = grow(write(tmp_path, boxes=boxes("bay cage,,0,30,,,,,,,,,,,,"), purchases=offers))
    assert bought(own) == [("cage", 17), ("second drives", 17)]
    assert [step.needed_by for step in own.plans[0].steps] == ["second drives", ""]


LINK = "boxes,faster link,,,box,,,,10,,,,"
FORBIDDEN = {
    "a link": ("boxes,second drives,drive,3,,,,,,faster link,,1,", LINK,
               "it needs faster link, which changes a link; that can only be bought at the start"),
    "excluded": ("boxes,second drives,drive,3,,,,,,,one more box,2,", "boxes,one more box,box,1,,1,,,,,,1,",
                 "second drives and one more box exclude each other"),
    "gone": ("boxes,larger drives,large,3,,,drive,,,,,1,", "boxes,larger again,large,3,,,drive,,,,,2,",
             "no 'drive' is left that could go"),
}  # fmt: skip


@pytest.mark.parametrize("case", FORBIDDEN)
def test_what_may_not_be_bought_is_passed_over(case: str, tmp_path: Path) -> None:
    one, other, why = FORBIDDEN[case]
    more = "boxes,one more box,drive,1,,1,,,,,,," if "more box" in other else ""
    rows = boxes("large,box,0,300,,,,,5,,,,main,14,,1 bay")
    own = grow(write(tmp_path, boxes=rows, purchases=purchases(*filter(None, (one, other, more))),
                     study=settings("9 TB", "80 %")))  # fmt: skip
    assert why in [passed.why for passed in own.plans[0].passed]


def test_a_link_may_change_at_the_start(tmp_path: Path) -> None:
    one, other, _ = FORBIDDEN["a link"]
    own = grow(write(tmp_path, purchases=purchases(one, other), study=settings("10 TB", "0")))
    assert bought(own) == [("faster link", 0), ("second drives", 0)]


def test_what_takes_another_ones_place_sells_it(tmp_path: Path) -> None:
    """Resale in the month of the purchase: what the resale curve says of three drives of that age."""
    offers = purchases("boxes,larger drives,large,3,,,drive,,,,,1,")
    own = grow(write(tmp_path, boxes=boxes("large,box,0,300,,,,,5,,,fair,main,16,,1 bay"), purchases=offers))
    assert bought(own) == [("larger drives", 17)]
    resale = own.comparison.of(grown(own, 0).ground.month("resale"))
    assert resale[17] < 0
    assert np.count_nonzero(resale[:17]) == 0


def test_a_part_of_the_list_that_comes_later_is_waited_for(tmp_path: Path) -> None:
    """Own drives come at the end of month 17, as the data outgrow the room: nothing would be of use sooner."""
    more = "own drive,box,3,90,,,17,,5,,,,main,8,,1 bay"
    own = grow(write(tmp_path, boxes=boxes(more)))
    assert bought(own) == []
    over = above(own, grown(own, 0))
    assert over is not None
    assert (over.months, over.first) == (1, 17)


def test_what_would_be_of_use_after_the_end_only_is_not_bought(tmp_path: Path) -> None:
    assert bought(grow(write(tmp_path / "17", study=settings(horizon="17 months")))) == []
    assert bought(grow(write(tmp_path / "18", study=settings(horizon="18 months")))) == [("second drives", 17)]


# against the plain loop


@pytest.mark.parametrize("seed", range(SEEDS))
def test_the_schedule_is_that_of_a_plain_loop(seed: int, tmp_path: Path) -> None:
    study = random_growing(seed, tmp_path)
    ahead = some_ahead(seed, study)
    own, plain = schedule(study, study.scenarios[0], ahead), Plain(study, study.scenarios[0], ahead)
    found = [(step.bought.offer.name, step.bought.number, step.bought.month) for step in own.steps]
    assert found == [one[:3] for one in plain.bought]
    assert own.outgrown == plain.outgrown


@pytest.mark.parametrize("seed", range(COMPARED))
def test_prices_room_and_months_above_are_those_of_a_plain_loop(seed: int, tmp_path: Path) -> None:
    study = random_growing(1000 + seed, tmp_path)
    ahead = some_ahead(seed, study)
    own, plain = grow(study, ahead=ahead), Plain(study, study.scenarios[0], ahead)
    prices = [paid(own, 0, step) for step in own.plans[0].steps]
    assert prices == pytest.approx([price for *_, price in plain.bought], rel=1e-9)
    over, wanted = above(own, grown(own, 0)), plain.above()
    assert over is not None
    assert (over.months, over.most) == (len(wanted), pytest.approx(max(wanted, default=0.0), rel=1e-9))
    assert data(own) == pytest.approx([plain.held(month) for month in range(plain.horizon + 1)], rel=1e-12)
    assert_lines(own)


def assert_lines(own: Growth) -> None:
    """Every line of every way, month by month, as plain loops have it."""
    for way in own.ways:
        wanted = Billed(own.comparison.study, way.ground.scenario).lines()
        for name, values in wanted.items():
            assert own.comparison.of(way.ground.month(name)) == pytest.approx(np.array(values), rel=1e-9, abs=1e-8), (
                way.name, name,
            )  # fmt: skip


def test_the_demo_and_the_study_of_growth_against_plain_loops() -> None:
    assert_lines(found())
    study = tco.load(tco.demo())
    own = grow(changed(replace(study, ranges=()), data_growth=0.35))
    assert_lines(own)
    assert [len(plan.steps) for plan in own.plans] == [3, 4, 2]
    for number, plan in enumerate(own.plans):
        plain = Plain(own.original, plan.scenario, 0)
        assert bought(own, number) == [(name, month) for name, _, month, _ in plain.bought]


@pytest.mark.parametrize("seed", range(6))
def test_the_room_is_that_of_the_whole_model(seed: int, tmp_path: Path) -> None:
    study = random_growing(2000 + seed, tmp_path)
    comparison = tco.compare(study)
    ground = comparison.built.grounds[0]
    light = room_of(study, study.scenarios[0], Times(study))
    assert np.array_equal(light.room, comparison.of(ground.month("recommended")))
    assert bool(light.lacking.lacks) == (comparison.measure(ground, "places_short") > 0)


# what it comes to


def test_the_ways_are_growth_day_one_and_what_is_rented() -> None:
    own = found()
    kinds = [(way.name, way.kind) for way in own.ways]
    assert kinds == [("three boxes, as data grow", GROW), ("three boxes, all on day one", ONCE),
                     ("rented space", RENT), ("rented by the TB", RENT)]  # fmt: skip
    assert own.comparison.built.baseline is own.ways[0].ground


def test_day_one_buys_the_same_at_the_start() -> None:
    own = found()
    once = own.way(0, ONCE)
    assert once is not None
    parts = [[(part.origin, part.quantity) for part in way.ground.scenario.parts if part.origin]
             for way in (grown(own, 0), once)]  # fmt: skip
    came = [[one for one in two if one[0] != "switch, five ports"] for two in parts]
    assert came[0] == came[1] != []
    assert all(part.bought == 0 for part in once.ground.scenario.parts)


def test_rent_follows_the_data_held() -> None:
    own = found()
    assert own.rented is not None
    fees = own.comparison.of(own.rented.ground.month("fees"))
    assert fees[1:] == pytest.approx(4.2 * data(own)[1:])
    assert fees[0] == 0


def test_savings_by_line_add_up_to_the_whole() -> None:
    own = found()
    once = own.way(0, ONCE)
    assert once is not None
    saved = saving(own, grown(own, 0), once)
    assert sum(saved.lines.values()) == pytest.approx(saved.lcc)
    assert sum(value for name, value in saved.lines.items() if name != INTEREST) == pytest.approx(saved.undiscounted)
    assert saved.lcc == pytest.approx(measure(own, once, "lcc") - measure(own, grown(own, 0), "lcc"))
    assert saved.lines["purchase"] > 0
    assert saved.lines["electricity"] > 0


def test_cash_is_what_changes_hands() -> None:
    own = found()
    for way in own.ways:
        assert cash_by_year(own, way).sum() == pytest.approx(cash(own, way).sum())
        assert cash_by_year(own, way)[0] == pytest.approx(measure(own, way, "paid_at_start"))


def test_where_prices_rise_growing_costs_more(tmp_path: Path) -> None:
    own = grow(write(tmp_path, boxes=boxes().replace("-10 %", "30 %"), study=settings(discount="0 %")))
    once = own.way(0, ONCE)
    assert once is not None
    assert saving(own, grown(own, 0), once).lines["purchase"] < 0


def test_ranges_go_with_the_scenarios_that_came_of_theirs(tmp_path: Path) -> None:
    ranges = "input,scenario,low,high\nfailure rate,,50 %,200 %\nprice of drive,,80 %,120 %\n"
    own = grow(write(tmp_path, ranges=f"{ranges}idle of drive,boxes,4 W,6 W\n"))
    kept = [(one.input, one.scenario) for one in own.comparison.study.ranges]
    assert kept == [("failure rate", ""), ("price of drive", ""), ("idle of drive", "boxes, as data grow"),
                    ("idle of drive", "boxes, all on day one")]  # fmt: skip


def test_what_is_bought_on_top_varies_with_its_like() -> None:
    price = find(found().comparison, "price of hard drive 8 TB", "three boxes, as data grow")
    assert len(price.cells) == 3  # the list's own, the second drives, those of the fourth box


# refusals


def test_refusals() -> None:
    study = growing()
    refused = {
        "none has a turn": lambda: grow(tco.load(tco.demo().parent / "small")),
        "no purchase for it has a turn": lambda: grow(study, ["rented space"]),
        "it must be from 0 to 60": lambda: grow(study, ahead=-1),
        "from 0 to 60, the horizon": lambda: grow(study, ahead=61),
        "study.csv states none": lambda: grow(changed(study, data_held=0.0)),
    }
    for words, ask in refused.items():
        with pytest.raises(AskedError, match=words):
            ask()
    with pytest.raises(UnknownNameError, match="did you mean 'three boxes'"):
        grow(study, ["three boxs"])


def test_no_pools_no_room(tmp_path: Path) -> None:
    study = write(tmp_path)
    bare = replace(study, scenarios=tuple(replace(one, pools=()) for one in study.scenarios))
    with pytest.raises(AskedError, match="no pools are stated"):
        grow(bare)


def test_more_than_three_must_be_named() -> None:
    study = growing()
    own = study.scenarios[0]
    many = replace(study, scenarios=tuple(replace(own, scenario=f"no. {number}") for number in range(4)))
    with pytest.raises(AskedError, match=r"3 at most; name them with --scenario: no\. 0; no\. 1; no\. 2; no\. 3"):
        grow(many)


def test_names_that_are_taken_get_a_number() -> None:
    study = growing()
    rented = replace(study.scenarios[1], scenario="rented by the TB")
    own = grow(replace(study, scenarios=(study.scenarios[0], rented)), rent=1.0)
    assert [way.name for way in own.ways][2:] == ["rented by the TB", "rented by the TB (2)"]
