"""Going on, extending, replacing: each against a study of its own that begins where the other one has got to."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

import tco
from tco.ask.compare import compare
from tco.ask.from_today import Way, best, ways
from tco.ask.offers import Bought, with_bought
from tco.ask.track import Tracked, track
from tco.errors import AskedError
from tco.purchase import offers
from tco.study import Study
from tests.studies import write_study

TODAY = date(2100, 1, 1)
BOXES = (
    "part,node,quantity,price [EUR],shipping [EUR],idle [W],failures,price trend,resale,disposal [EUR],pool,"
    "capacity [TB],warranty\n"
    "box,mini,3,129,6,9,small things,,fair,2,,,\n"
    "drive,mini,3,99,2,5,drives,-8 %,fair,1,main,8,2 years\n"
    "large drive,mini,0,199,2,6,drives,-8 %,fair,1,main,16,5 years\n"
)
TOWERS = (
    "part,node,quantity,price [EUR],shipping [EUR],idle [W],failures,resale,disposal [EUR],pool,capacity [TB]\n"
    "tower,tower,2,300,12,20,small things,fair,5,,\n"
    "tower drive,tower,4,150,3,6,drives,fair,1,main,12\n"
)
TABLES = {
    "minis": BOXES,
    "servers": TOWERS,
    "nodes": "scenario,node,count\nminis,mini,3\nservers,tower,2\n",
    "pools": "scenario,pool,copies\nminis,main,2\nservers,main,2\n",
    "needs": "need,value\nhold data,yes\n",
    "stated": "scenario,usable\nrented,100 TB\n",
    "purchases": (
        "scenario,purchase,part,quantity,in place of,excludes\n"
        "minis,second drives,drive,3,,larger drives\nminis,larger drives,large drive,3,drive,\n"
    ),
    "ledger": (
        "scenario,day,what,part,quantity,amount [EUR],line,energy [kWh]\n"
        "minis,2026-12-01,bought,box,3,405,,\nminis,2026-12-01,bought,drive,3,303,,\n"
        "minis,2027-12-31,metered,,,,,300\nminis,2028-01-31,failed,drive,1,,,\nminis,2028-01-31,bought,drive,1,95,,\n"
        "minis,2028-07-30,metered,,,,,160\n"
    ),
    "one_offs": "scenario,what,month,amount\nservers,a lockable rack,0,120 EUR\nservers,rack sold,60,-40 EUR\n",
}
KNOWN = 20


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_study(tmp_path_factory.mktemp("study"), **TABLES)


@pytest.fixture(scope="module")
def found(folder: Path) -> Tracked:
    return track(tco.load(folder), today=TODAY)


@pytest.fixture(scope="module")
def every(found: Tracked) -> list[Way]:
    return ways(found)


def way(every: list[Way], name: str) -> Way:
    return next(one for one in every if one.name == name)


def test_going_on_is_what_is_to_come_at_its_worth_today(found: Tracked, every: list[Way]) -> None:
    """Discounted anew from the undiscounted months, month by month."""
    total = found.comparison.of(found.went.month("total"))
    worth = sum(float(total[KNOWN + n]) / 1.03 ** (n / 12) for n in range(1, 61 - KNOWN))
    assert found.months == KNOWN
    assert every[0].kind == "go on"
    assert every[0].cost == pytest.approx(worth, rel=1e-9)


def test_extending_is_the_same_with_what_is_bought(found: Tracked, every: list[Way]) -> None:
    bought = {offer.name: offer for offer in offers(found.source.scenarios[0].purchases)}
    scenario = with_bought(found.source, found.went.scenario, Bought(bought["second drives"], KNOWN + 1))
    comparison = compare(replace(found.comparison.study, scenarios=(replace(scenario, baseline=True),)))
    total = comparison.of(comparison.built.grounds[0].month("total"))
    worth = sum(float(total[KNOWN + n]) / 1.03 ** (n / 12) for n in range(1, 61 - KNOWN))
    own = way(every, "second drives")
    assert own.cost == pytest.approx(worth, rel=1e-9)
    price = 3 * (99 * 0.92 ** ((KNOWN + 1) / 12) + 2)
    assert own.first - every[0].first == pytest.approx(price, rel=1e-9)


def later_study(folder: Path, work: Path) -> Study:
    """The towers alone, in a study that begins when they would come: in month 21, at the end of August 2028."""
    changes = {
        **TABLES,
        "study": None,
        "scenarios": "scenario,parts list,tariff,busy share,upkeep\nservers,servers.csv,household,5 %,2 h/month\n",
        "one_offs": "scenario,what,month,amount\nservers,a lockable rack,0,120 EUR\nservers,rack sold,39,-40 EUR\n",
        "nodes": "scenario,node,count\nservers,tower,2\n", "pools": "scenario,pool,copies\nservers,main,2\n",
        "tariffs": f"tariff,start,price,growth\nhousehold,2026-01,{0.33 * 1.02 ** (13 / 12):.12f} EUR/kWh,2 %\n",
    }  # fmt: skip
    for name in ("ledger", "purchases", "fees", "stated", "minis", "exchange"):
        changes[name] = None
    place = write_study(work, **changes)
    text = (folder / "study.csv").read_text(encoding="utf-8")
    text = text.replace("start,2026-12", "start,2028-09").replace("horizon,5 years", "horizon,39 months")
    (place / "study.csv").write_text(text, encoding="utf-8")
    return tco.load(place)


def test_replacing_is_selling_all_and_the_other_scenario_in_a_study_of_its_own(
    folder: Path, found: Tracked, every: list[Way], tmp_path: Path
) -> None:
    """The price of a kWh is that of month 21 by then, all other prices do not grow; the same calendar months."""
    comparison = compare(later_study(folder, tmp_path))
    ground = comparison.built.grounds[0]
    cost = comparison.measure(ground, "lcc")
    going = found.comparison

    def at(name: str) -> float:
        return float(going.of(found.went.month(name))[KNOWN + 1])

    sold = at("if_sold") - at("resale") - at("disposal")
    wanted = (at("total") + sold + cost) / 1.03 ** (1 / 12)
    assert way(every, "servers").cost == pytest.approx(wanted, rel=1e-6)


def test_what_it_would_fetch_by_hand(found: Tracked) -> None:
    """All sold in month 21: at 0.8 x 0.5^(months / 36) of what each cost, for the curve has 80 % new, 40 % at 3.

    What fails in month 21 is new by its end: a box at its price, a drive of the first lot back under its warranty at
    the price then, the one that came later likewise, from what it cost.
    """
    sold = found.comparison.of(found.went.month("if_sold"))[KNOWN + 1]
    q_box, q_drive = 1 - np.exp(-0.02 / 12), 1 - np.exp(-0.013 / 12)
    boxes = 3 * ((1 - q_box) * 129 * 0.5 ** (21 / 36) + q_box * 129)
    old = 2 * ((1 - q_drive) * 99 * 0.5 ** (21 / 36) + q_drive * 99 * 0.92 ** (21 / 12))
    # bought at the turn of January 2028, month 14, for 95 with 2 for shipping
    new = (1 - q_drive) * 93 * 0.5 ** (7 / 36) + q_drive * 93 * 0.92 ** (7 / 12)
    disposal = 3 * 2 + 3 * 1
    assert -float(sold) == pytest.approx(0.8 * (boxes + old + new) - disposal, rel=1e-9)


def test_the_best_way_meets_all_needs(every: list[Way]) -> None:
    """Data of 8 TB grow by 10 % a year and pass 9.6 TB in month 23: 80 % of three drives of 8 TB in two copies."""
    assert every[0].misses == ("room for the data held (from 2028-10)",)
    assert way(every, "second drives").misses == ()
    meeting = [one for one in every if one.counts]
    assert best(every) == min(meeting, key=lambda one: one.cost)
    assert min(every, key=lambda one: one.cost) == every[0]
    nothing = [replace(one, misses=("room",)) for one in every]
    assert best(nothing) == replace(every[0], misses=("room",))
    assert best([]) is None


def test_what_is_there_no_more_cannot_go(tmp_path: Path) -> None:
    text = TABLES["ledger"] + "minis,2028-07-31,sold,drive,2,80,,\n"
    place = write_study(tmp_path, **{**TABLES, "ledger": text})
    every = ways(track(tco.load(place), today=TODAY))
    own = way(every, "larger drives")
    assert own.impossible == "2 'drive' fewer are there than would go"
    assert not own.counts
    assert best(every) != own


def test_after_the_horizon_there_is_no_way(found: Tracked, folder: Path) -> None:
    done = track(tco.load(folder), until=date(2031, 11, 1), today=TODAY)
    assert done.months == done.horizon
    assert ways(done) == []
    last = track(tco.load(folder), until=date(2031, 10, 1), today=TODAY)
    assert len(ways(last)) == len(ways(found))


def test_what_does_not_fit_cannot_be_bought(tmp_path: Path) -> None:
    """One bay a box, taken: second drives find no place, larger ones take it over."""
    lines = BOXES.splitlines()
    more = ["provides,needs", "1 bay,", ",1 bay", ",1 bay"]
    boxes = "\n".join(f"{line},{end}" for line, end in zip(lines, more, strict=True)) + "\n"
    every = ways(track(tco.load(write_study(tmp_path, **{**TABLES, "minis": boxes})), today=TODAY))
    assert (
        way(every, "second drives").impossible == "it does not fit: months 22–60, each mini: bay: 2 needed, 1 there"
    )
    assert way(every, "larger drives").impossible == ""


def test_what_lacks_a_place_as_it_goes_on_may_still_be_extended(tmp_path: Path) -> None:
    """One outlet too few for three boxes is no news; what is bought makes it no worse, though a phase begins."""
    more = ["provides,needs", "2 bay,1 outlet", ",1 bay", ",1 bay"]
    boxes = "\n".join(f"{line},{end}" for line, end in zip(BOXES.splitlines(), more, strict=True))
    boxes += "\nstrip,,1,9,0,,,,,,,,,2 outlet,\n"
    first = "minis,2026-12-01,bought,drive"
    ledger = TABLES["ledger"].replace(first, f"minis,2026-12-01,bought,strip,1,9,,\n{first}")
    every = ways(track(tco.load(write_study(tmp_path, **{**TABLES, "minis": boxes, "ledger": ledger})), today=TODAY))
    assert way(every, "second drives").impossible == ""


def test_more_lots_than_a_formula_holds_are_refused(tmp_path: Path) -> None:
    rows = "".join(f"minis,2027-{month:02}-{day:02},bought,drive,1,{day}.{month:02},,\n"
                   for month in range(1, 13) for day in range(1, 16, 3))  # fmt: skip
    ledger = TABLES["ledger"].splitlines()[0] + "\n" + rows
    study = tco.load(write_study(tmp_path, **{**TABLES, "ledger": ledger}))
    with pytest.raises(AskedError, match="it makes 120 rows of a parts list"):
        track(study, today=TODAY)


# purchases that the ledger has made


def with_ledger(folder: Path, *rows: str, purchases: str = "") -> list[Way]:
    tables = {**TABLES, "ledger": TABLES["ledger"] + "".join(rows)} | ({"purchases": purchases} if purchases else {})
    return ways(track(tco.load(write_study(folder, **tables)), today=TODAY))


def test_what_was_bought_is_not_offered_again_and_excludes(tmp_path: Path) -> None:
    every = with_ledger(tmp_path, "minis,2028-07-31,bought,drive,3,250,,\n")
    assert [one.name for one in every if one.kind == "extend"] == ["larger drives"]
    assert way(every, "larger drives").impossible == "second drives, which was bought, excludes larger drives"
    fewer = with_ledger(tmp_path / "fewer", "minis,2028-07-31,bought,drive,2,250,,\n")
    assert way(fewer, "second drives").impossible == ""
    replaced = with_ledger(
        tmp_path / "replaced", "minis,2028-07-30,failed,drive,3,,,\n", "minis,2028-07-31,bought,drive,3,250,,\n"
    )
    assert way(replaced, "second drives").impossible == ""


def test_what_was_bought_is_not_needed_again(tmp_path: Path) -> None:
    purchases = (
        "scenario,purchase,part,quantity,needs,most\nminis,box more,box,3,,2\nminis,drive more,drive,3,box more,\n"
    )
    before = with_ledger(tmp_path, purchases=purchases)
    assert [one.name for one in before if one.kind == "extend"] == ["box more", "box more + drive more"]
    after = with_ledger(tmp_path / "after", "minis,2028-07-31,bought,box,3,360,,\n", purchases=purchases)
    assert [one.name for one in after if one.kind == "extend"] == ["box more", "drive more"]
    twice = with_ledger(tmp_path / "twice", "minis,2028-07-31,bought,box,6,720,,\n", purchases=purchases)
    assert [one.name for one in twice if one.kind == "extend"] == ["drive more"]


@pytest.mark.parametrize("base", ["own price", "new price then"])
def test_what_was_paid_counts_only_where_the_curve_is_a_share_of_it(base: str, tmp_path: Path) -> None:
    """Nobody asks what it cost where it is a share of a new one's price; a gift is worth what others are."""
    tables = {**TABLES, "resale": f"curve,base,age,share\nfair,{base},0 years,80 %\nfair,{base},5 years,20 %\n"}

    def resale(paid: str) -> float:
        ledger = TABLES["ledger"].replace("drive,3,303", f"drive,3,{paid}")
        found = track(tco.load(write_study(tmp_path / paid, **{**tables, "ledger": ledger})), today=TODAY)
        return float(found.comparison.measure(found.went, "total_resale"))

    assert (resale("606") == pytest.approx(resale("303"), rel=1e-12)) is (base == "new price then")
    assert resale("0") == pytest.approx(resale("303"), rel=1e-12)  # 303 is the list's price with shipping
