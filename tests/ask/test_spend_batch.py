"""Sets of purchases worked out in batches are the sets rebuilt one by one: every figure, price, what is lacking."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import tco
from tco.ask.offers import with_all
from tco.ask.spend import without_first
from tco.ask.spend_figures import Sets
from tco.ask.spend_goal import DIRECTIONS, NEEDS
from tco.ask.spend_offers import all_sets, candidates
from tco.errors import StockError, SupplyError
from tco.study import Scenario, Study
from tests.ask.spend_cases import Outcome, every_set, with_purchases
from tests.ask.test_spend import ALONE, HEAD
from tests.studies import write_study

SEEDS = (12, 7, 9, 14, 19, 29)
GUARDS = ("needs_open", "needs_missed", "need_hold_data", "need_usable_short", "need_power_short", "paid_at_start")


def asked(study: Study) -> Sets:
    scenario = next(one for one in study.scenarios if one.purchases)
    return Sets(study, scenario, candidates(scenario))


def flags(outcomes: list[Outcome], count: int) -> np.ndarray:
    found = np.zeros((len(outcomes), count), dtype=bool)
    for row, one in enumerate(outcomes):
        found[row, list(one.bought)] = True
    return found


def check(study: Study, outcomes: list[Outcome]) -> int:
    """All figures of all sets; returns how many numbers were compared."""
    own = asked(study)
    names = [name for name in (*DIRECTIONS, *GUARDS) if own.as_it_is.built.grounds[0].has_measure(name)]
    sets = flags(outcomes, len(own.candidates))
    found = own.read(sets, names)
    plain = np.array([[one.measure(name) for name in names] for one in outcomes])
    for column, name in enumerate(names):
        assert found[:, column] == pytest.approx(plain[:, column], rel=1e-9, abs=1e-7, nan_ok=True), name
    if not own.keeps_spares:
        paid = plain[:, names.index("paid_at_start")]
        assert own.prices(own.stock.outcome(sets)) == pytest.approx(paid - paid[0], abs=1e-6)
    return int((~np.isnan(plain)).sum())


@pytest.mark.parametrize("seed", SEEDS)
def test_random_purchases(seed: int, tmp_path: Path) -> None:
    study = with_purchases(seed, tmp_path / "study", 4)
    assert study is not None
    study = without_first(study)
    scenario = next(one for one in study.scenarios if one.purchases)
    outcomes = list(every_set(study, scenario))
    assert check(study, outcomes) > 12 * len(outcomes)
    own = candidates(scenario)
    every = all_sets(own, 10_000)
    assert every is not None
    lacking = asked(study).stock.outcome(every).lacking
    for one, lacks in zip(every, lacking, strict=True):
        assert is_lacking(study, scenario, [own[place].bought for place in np.flatnonzero(one)]) == lacks


def is_lacking(study: Study, scenario: Scenario, bought: list) -> bool:  # type: ignore[type-arg]
    try:
        with_all(study, scenario, bought)
    except StockError:
        return True
    return False


def test_the_demo() -> None:
    """With measured nodes that are copied, links, what goes, what is needed and excluded."""
    demo = without_first(tco.load(tco.demo()))
    minis = next(one for one in demo.scenarios if one.scenario == "quiet minis")
    wanted = ("larger drives", "one more node", "faster switch", "slow fans")
    rows = tuple(replace(row, excludes=()) for row in minis.purchases if row.purchase in wanted)
    study = replace(demo, scenarios=(replace(minis, purchases=rows),))
    outcomes = list(every_set(study, study.scenarios[0]))
    assert len(outcomes) == 24
    assert check(study, outcomes) > 700


def test_spares_and_wear_are_counted_anew(tmp_path: Path) -> None:
    """A drive wears by its share of what is written to the pool: more drives, less wear; one model does not do."""
    head = HEAD.strip().replace("failures", "endurance") + "\n"
    parts = head + "first drive,mini,2,50,2 TB,main,100 MB/s,100 MB/s,30 TB,5\n"
    tables = {
        **ALONE,
        "minis": parts,
        "pools": ALONE["pools"].replace("lead time", "lead time,written").replace("1 d", "1 d,60 GB/d"),
    }
    purchases = "scenario,purchase,part,quantity,most\nminis,one more,first drive,1,3\n"
    study = tco.load(write_study(tmp_path / "study", **tables, purchases=purchases))
    own = asked(study)
    sets = all_sets(own.candidates, 100)
    assert sets is not None
    assert own.is_anew(sets, ["total_replacement"]).all()
    assert not own.is_anew(sets, ["recommended", "first_power"]).any()
    assert check(study, list(every_set(study, study.scenarios[0]))) > 60
    worn = own.read(sets, ["total_replacement"])[:, 0]
    assert min(worn[0], worn[1]) > worn[-1] == 0  # with all of them nothing wears, so that their model has no wear


def test_a_set_that_leaves_no_figure_is_none_and_the_others_are_as_they_are(tmp_path: Path) -> None:
    """A board whose supply goes: nothing is known of that set, all of the others."""
    parts = (
        "part,node,quantity,price [EUR],capacity,pool,read,write,idle [W],watts at,efficiency,provides\n"
        "supply,mini,1,40,,,,,0,,bronze,100 W supply\nboard,mini,1,100,,,,,20,supply,,\n"
        "drive,mini,1,50,4 TB,main,100 MB/s,100 MB/s,5,,,\nbrick,mini,0,9,,,,,1,,,\n"
    )
    points = "curve,load,efficiency\nbronze,10 %,80 %\nbronze,100 %,85 %\n"
    purchases = (
        "scenario,purchase,part,quantity,in place of\nminis,no supply,brick,1,supply\nminis,a drive,drive,1,\n"
    )
    tables = {**ALONE, "minis": parts, "efficiency": points, "purchases": purchases}
    study = tco.load(write_study(tmp_path / "study", **tables))
    own = asked(study)
    sets = np.array([[False, False], [True, False], [False, True], [True, True]])
    room, watts = own.read(sets, ["recommended", "first_power"]).T
    assert room == pytest.approx([4.0, np.nan, 8.0, np.nan], nan_ok=True)
    assert np.isnan(watts).tolist() == [False, True, False, True]
    assert watts[2] - watts[0] == pytest.approx(5.0)
    with pytest.raises(SupplyError, match=r"^minis: no power supply of node 'mini' is there, so what its parts draw"):
        own.worked_out(sets[1])


def test_needs_are_read_as_two_figures(tmp_path: Path) -> None:
    purchases = "scenario,purchase,part,quantity\nminis,one more,first drive,1\n"
    tables = {**ALONE, "minis": HEAD + "first drive,mini,1,50,2 TB,main,100 MB/s,100 MB/s,,5\n"}
    study = tco.load(
        write_study(
            tmp_path / "study", **tables, purchases=purchases, needs="need,value\nusable,5 TB\nnoise idle,30 dB(A)\n"
        )
    )
    found = asked(study).read(np.array([[False], [True]]), [NEEDS])
    assert found.tolist() == [[2.0, pytest.approx(3 / 5 + 1)], [2.0, pytest.approx(1 / 5 + 1)]]  # no bed is known
