"""The best set of purchases against a plain walk over all sets, each rebuilt; a published knapsack; many of them."""

from __future__ import annotations

import itertools
import random
from functools import cache
from pathlib import Path

import numpy as np
import pytest

import tco
from tco.ask.spend import Asked as Question
from tco.ask.spend import Spending, spend, without_first
from tco.ask.spend_best import MOST_SETS, Search
from tco.ask.spend_goal import DIRECTIONS, goal_of
from tco.ask.spend_offers import all_sets, candidates, with_needs
from tco.errors import AskedError, UnknownNameError
from tco.study import Study
from tests.ask.spend_cases import Asked, Outcome, best_of, every_set, rolled, with_purchases
from tests.studies import write_study

SEEDS = (1, 5, 8, 11, 26, 31, 43)  # with links, needs, wear, spares, and more going than are there
GOALS = ("recommended", "write", "recovery_node", "first_power", "noise_busy", "lcc", "needs")


@cache
def case(seed: int, folder: Path) -> tuple[Study, list[Outcome]]:
    found = with_purchases(seed, folder, 4)
    assert found is not None
    study = without_first(found)
    return study, list(every_set(study, next(one for one in study.scenarios if one.purchases)))


def budgets(outcomes: list[Outcome]) -> list[float]:
    """Nothing, something in the middle, more than anything costs."""
    paid = sorted(one.measure("paid_at_start") - outcomes[0].measure("paid_at_start") for one in outcomes)
    return [0.0, round(max(0.0, paid[len(paid) // 2]), 2), max(0.0, paid[-1]) + 1]


@pytest.mark.parametrize("seed", SEEDS)
def test_the_best_set_is_the_best_of_all_rebuilt_one_by_one(seed: int, tmp_path: Path) -> None:
    study, outcomes = case(seed, tmp_path / "study")
    scenario = next(one for one in study.scenarios if one.purchases)
    names = [one.name for one in rolled(scenario)]
    question, tried = Question(study, "", "cost"), 0
    for goal, budget in itertools.product(GOALS, budgets(outcomes)):
        try:
            question.goal = goal_of(question.sets.as_it_is, goal)
        except (AskedError, UnknownNameError):
            continue  # there is no such figure today
        way = 0.0 if goal == "needs" else DIRECTIONS[goal]
        expected = best_of(outcomes, Asked(goal, way, budget))
        found = Search(question.sets, question.goal, question.guards, budget).best()
        assert np.flatnonzero(found.chosen).tolist() == list(expected), (goal, budget)
        assert found.reasons == []
        tried += 1
    assert tried >= 6
    check_in_full(question, outcomes, names)


def check_in_full(question: Question, outcomes: list[Outcome], names: list[str]) -> None:
    """What is told of the best set is what its own comparison says."""
    budget = budgets(outcomes)[-1]
    chosen, best = question.best(budget)
    found = next(one for one in outcomes if one.bought == tuple(np.flatnonzero(chosen).tolist()))
    assert best.names == tuple(names[place] for place in found.bought)
    more = found.measure("paid_at_start") - outcomes[0].measure("paid_at_start")
    assert best.price == pytest.approx(more, abs=1e-6)
    for figure in best.figures:
        if isinstance(figure.after, float) and not figure.name.startswith("needs_"):
            assert figure.after == pytest.approx(found.measure(figure.name), rel=1e-9, abs=1e-9)


HEAD = "part,node,quantity,price [EUR],capacity,pool,read,write,failures,idle [W]\n"
STUDY = {"servers": None, "fees": None, "one_offs": None, "exchange": None, "resale": None}
ALONE = {
    **STUDY,
    "scenarios": "scenario,baseline,parts list,tariff,busy share\nminis,yes,minis.csv,household,10 %\n",
    "nodes": "scenario,node,count,client link\nminis,mini,1,10 Gbit/s\n",
    "pools": "scenario,pool,copies,fill limit,lead time\nminis,main,1,100 %,1 d\n",
}


def drives(folder: Path, sizes: list[tuple[float, float]], more: str = "", **tables: str) -> Study:
    """One node to which drives may be added, each a purchase of so many TB for so many EUR: a knapsack."""
    rows = [f"drive {n},mini,0,{price},{size} TB,main,100 MB/s,100 MB/s,," for n, (size, price) in enumerate(sizes)]
    parts = HEAD + "\n".join(["first drive,mini,1,50,1 TB,main,100 MB/s,100 MB/s,,5", *rows]) + "\n"
    offers = "".join(f"minis,buy {n},drive {n},1\n" for n in range(len(sizes)))
    purchases = f"scenario,purchase,part,quantity\n{offers}{more}"
    return tco.load(write_study(folder, **{**ALONE, "minis": parts, "purchases": purchases, **tables}))


def test_a_published_knapsack(tmp_path: Path) -> None:
    """Martello and Toth, Knapsack Problems, 1990, section 2.1's instance of seven items (from memory).

    Profits 70, 20, 39, 37, 7, 5, 10, weights 31, 10, 20, 19, 4, 3, 6, capacity 50: the best is the first and the
    fourth, 107. Profits as TB, weights as EUR. By gain for its weight alone one would take items that come to less.
    """
    profits, weights = (70, 20, 39, 37, 7, 5, 10), (31, 10, 20, 19, 4, 3, 6)
    study = drives(tmp_path / "study", list(zip(profits, weights, strict=True)))
    found = spend(study, budget=50.0)
    assert found.best is not None
    assert found.best.names == ("buy 0", "buy 3")
    assert found.best.price == pytest.approx(50.0)
    room = next(figure for figure in found.best.figures if figure.name == "recommended")
    assert (room.before, room.after) == (pytest.approx(1.0), pytest.approx(108.0))
    assert (found.best.looked_at, found.best.why_not_proven) == (2**7, ())
    ratios = [one.per_100[0] for one in found.singles if one.per_100 is not None]
    assert ratios == sorted(ratios, reverse=True)
    assert ratios[0] == pytest.approx(100 * 70 / 31)


def most_by_table(sizes: list[tuple[int, int]], budget: int) -> int:
    """The most that fits, by dynamic programming over whole amounts of money."""
    best = [0] * (budget + 1)
    for size, price in sizes:
        for money in range(budget, price - 1, -1):
            best[money] = max(best[money], best[money - price] + size)
    return best[budget]


def room_of(found: Spending) -> float:
    assert found.best is not None
    return float(next(figure.after for figure in found.best.figures if figure.name == "recommended")) - 1.0


def test_more_candidates_than_can_be_looked_at_one_and_all(tmp_path: Path) -> None:
    """The simpler rule says that it proves nothing; it is within the budget, and close to the best of all."""
    rng = random.Random(3)
    sizes = [(rng.randint(1, 30), rng.randint(5, 60)) for _ in range(24)]
    study = drives(tmp_path / "study", [(float(size), float(price)) for size, price in sizes])
    assert all_sets(candidates(study.scenarios[0]), MOST_SETS) is None
    found = spend(study, budget=300.0)
    assert found.best is not None
    assert any("step by step" in reason for reason in found.best.why_not_proven)
    assert found.best.price <= 300.0
    best = most_by_table(sizes, 300)
    assert 0.97 * best <= room_of(found) <= best


def test_many_times_the_same_are_few_sets(tmp_path: Path) -> None:
    """Thirty candidates that follow each other make 31 sets, and all of them are looked at."""
    study = drives(tmp_path / "study", [(2.0, 10.0)])
    text = "scenario,purchase,part,quantity,most\nminis,buy 0,drive 0,1,30\n"
    (tmp_path / "study" / "purchases.csv").write_text(text)
    found = spend(tco.load(study.folder), budget=125.0)
    assert found.best is not None
    assert found.best.names == tuple(f"buy 0, no. {number}" for number in range(1, 13))
    assert (found.best.looked_at, found.best.affordable, found.best.why_not_proven) == (31, 13, ())


def test_what_costs_nothing_comes_first_and_what_does_not_fit_is_never_recommended(tmp_path: Path) -> None:
    parts = (
        "part,node,quantity,price [EUR],capacity,pool,read,write,idle [W],provides,needs\n"
        "box,mini,1,100,,,,,5,2 bay,\n"
        "first drive,mini,1,50,4 TB,main,100 MB/s,100 MB/s,5,,1 bay\n"
        "large drive,mini,0,80,6 TB,main,100 MB/s,100 MB/s,5,,1 bay\n"
        "cheap drive,mini,0,40,5 TB,main,100 MB/s,100 MB/s,5,,1 bay\n"
        "wide drive,mini,0,90,90 TB,main,100 MB/s,100 MB/s,5,,3 bay\n"
        "lamp,,0,10,,,,,1,,\n"
    )
    purchases = (
        "scenario,purchase,part,quantity,in place of\n"
        "minis,one more,large drive,1,\n"
        "minis,cheaper one,cheap drive,1,first drive\n"
        "minis,too wide,wide drive,1,\n"
        "minis,a lamp,lamp,1,\n"
    )
    study = tco.load(write_study(tmp_path / "study", **{**ALONE, "minis": parts, "purchases": purchases}))
    found = spend(study)
    assert [one.name for one in found.singles] == ["cheaper one", "one more", "a lamp", "too wide"]
    free, paid, lamp, wide = found.singles
    assert (free.price, free.per_100, free.costs_nothing) == (pytest.approx(-10.0), None, True)
    assert paid.per_100 == (pytest.approx(100 * 6 / 80),)
    assert (lamp.improves, lamp.why_not) == (False, ())
    assert wide.why_not == ("does not fit: each mini: bay: 4 needed, 2 there",)
    best = spend(study, budget=1000.0).best
    assert best is not None
    assert best.names == ("one more", "cheaper one")
    nothing = spend(study, budget=0.0).best
    assert nothing is not None
    assert nothing.names == ("cheaper one",)


def test_a_need_that_is_met_today_is_never_given_up(tmp_path: Path) -> None:
    """Cheaper power by a node less: the goal would be better, the need would be missed."""
    parts = HEAD + (
        "first drive,mini,1,50,4 TB,main,100 MB/s,100 MB/s,,5\nslow drive,mini,0,20,1 TB,main,100 MB/s,100 MB/s,,1\n"
    )
    purchases = "scenario,purchase,part,quantity,in place of\nminis,slower,slow drive,1,first drive\n"
    tables = {**ALONE, "minis": parts, "purchases": purchases}
    plain = tco.load(write_study(tmp_path / "plain", **tables))
    assert spend(plain, goal="watts", budget=0.0).best.names == ("slower",)  # type: ignore[union-attr]
    guarded = tco.load(write_study(tmp_path / "guarded", **tables, needs="need,value\nusable,3 TB\n"))
    found = spend(guarded, goal="watts", budget=0.0)
    assert found.best is not None
    assert found.best.names == ()
    assert found.singles[0].why_not == ("misses a need that is met today: capacity within the fill limit, by 2 TB",)


def test_the_goal_is_what_is_missed_or_the_room(tmp_path: Path) -> None:
    study = drives(
        tmp_path / "study", [(2.0, 10.0), (4.0, 30.0)], needs="need,value\nusable,5 TB\nbudget start,1 EUR\n"
    )
    found = spend(study, budget=35.0)
    assert found.goal.is_needs
    assert found.left_out
    assert found.best is not None
    assert found.best.names == ("buy 1",)
    levels = {figure.name: (figure.before, figure.after) for figure in found.best.figures}
    assert levels["needs_open"] == (1.0, 0.0)
    assert levels["needs_shortfall"] == (pytest.approx(4 / 5), 0.0)
    met = drives(tmp_path / "met", [(2.0, 10.0)], needs="need,value\nusable,1 TB\n")
    assert spend(met).goal.name == "recommended"
    assert spend(study, goal="usable").goal.name == "usable"
    assert spend(study, goal="need usable").goal.need == "usable"


def test_what_is_needed_is_bought_along(tmp_path: Path) -> None:
    more = "minis,shelf,,\n".replace(",,", ",first drive,1") + "minis,tray,drive 0,1\n"
    study = drives(tmp_path / "study", [(2.0, 10.0)], more)
    rows = "scenario,purchase,part,quantity,needs\nminis,big,drive 0,1,tray\nminis,tray,first drive,1,shelf\n"
    (tmp_path / "study" / "purchases.csv").write_text(rows + "minis,shelf,drive 0,2,\n")
    own = candidates(tco.load(study.folder).scenarios[0])
    assert [one.name for one in own] == ["shelf", "tray", "big"]
    assert with_needs(own, 2).tolist() == [True, True, True]
    found = spend(tco.load(study.folder))
    assert {one.name: one.along for one in found.singles} == {
        "shelf": (),
        "tray": ("shelf",),
        "big": ("shelf", "tray"),
    }
    assert all_sets(own, 100).tolist() == [  # type: ignore[union-attr]
        [False, False, False], [True, False, False], [True, True, False], [True, True, True],
    ]  # fmt: skip


@pytest.fixture(scope="module")
def refusing(tmp_path_factory: pytest.TempPathFactory) -> Study:
    return drives(tmp_path_factory.mktemp("refusing") / "study", [(2.0, 10.0)])


@pytest.mark.parametrize(
    ("asked", "error", "said"),
    [
        ({"goal": "rom"}, UnknownNameError, "did you mean 'room'"),
        ({"goal": "noise"}, AskedError, "there is no such figure today (unknown: no bed distance)"),
        ({"goal": "recovery"}, AskedError, "none: no redundancy"),
        ({"goal": "fits"}, UnknownNameError, "there is no measure or need 'fits'"),
        ({"scenario": "mini"}, UnknownNameError, "did you mean 'minis'"),
        ({"budget": -1.0}, AskedError, "a budget is nothing or more"),
        ({"budget": float("nan")}, AskedError, "a budget is nothing or more"),
    ],
)
def test_what_cannot_be_asked_is_refused(
    refusing: Study, asked: dict[str, object], error: type[Exception], said: str
) -> None:
    with pytest.raises(error) as told:
        spend(refusing, **asked)  # type: ignore[arg-type]
    assert said in str(told.value)


def test_which_scenario_is_meant(tmp_path: Path) -> None:
    demo = tco.load(tco.demo())
    assert Question(demo).sets.scenario.scenario == "old servers"  # several have purchases, and it is the baseline
    with pytest.raises(AskedError, match="it does for old servers, quiet minis, modern boards"):
        spend(demo, "rented space")
    without = tco.load(write_study(tmp_path / "study"))
    with pytest.raises(AskedError, match="says nothing that may be bought"):
        spend(without)


def test_a_need_that_is_met_is_no_goal(tmp_path: Path) -> None:
    study = drives(tmp_path / "study", [(2.0, 10.0)], needs="need,value\nread,10 MB/s\nhold data,yes\n")
    with pytest.raises(AskedError, match="this need is met today"):
        goal_of(Question(study, "", "cost").sets.as_it_is, "need read")


def test_too_many_candidates_are_refused(tmp_path: Path) -> None:
    study = drives(tmp_path / "study", [(2.0, 10.0)])
    rows = "".join(f"minis,buy {n},drive 0,1,100\n" for n in range(3))
    (tmp_path / "study" / "purchases.csv").write_text(f"scenario,purchase,part,quantity,most\n{rows}")
    with pytest.raises(AskedError, match="300 purchases for minis"):
        spend(tco.load(study.folder))
