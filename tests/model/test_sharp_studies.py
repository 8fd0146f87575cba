"""Small studies whose figures a reader can check: what larger tests leave to chance."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import tco
from tco.engine import cell_text
from tco.model.fit import short_of
from tco.model.shelf import leaned_on
from tco.study import Log
from tests.model.fleets import everything
from tests.model.places import found_in
from tests.published.written import table
from tests.studies import TABLES, write_study

ABOUT = ["question,?", "currency,EUR", "start,2027-01", "time zone,UTC", "horizon,24 months", "discount,5 %"]
SITE = "cellar,6-8,2.5,11 + 12,60 %,0.08 EUR/kWh,0.9"


def compared(folder: Path, **tables: str) -> tco.Comparison:
    """A study of just these tables."""
    own = {"study": table("setting,value", ABOUT), **tables}
    return tco.compare(tco.load(write_study(folder, **{**dict.fromkeys(TABLES), **own})))


def cooled(folder: Path, price: str, *, home: bool) -> tuple[float, float]:
    """Life-cycle cost, and electricity and cooling at present value, of 100 W in a cellar cooled in summer."""
    more = {"home": table("use", ["1200 kWh"])} if home else {}
    found = compared(
        folder,
        scenarios=table("scenario,parts list,tariff,site", ["box,box.csv,flat,cellar"]),
        box=table("part,quantity,price,idle", ["box,1,100 EUR,100 W"]),
        tariffs=table("tariff,start,price", [f"flat,2026-01,{price}"]),
        sites=table("site,cooling,cooling COP,heating,heat used,heat price,heat efficiency", [SITE]),
        **more,
    )
    [ground] = found.built.grounds
    return tuple(found.measure(ground, name) for name in ("lcc", "electricity_worth"))  # type: ignore[return-value]


@pytest.mark.parametrize("home", [False, True])
def test_twice_the_price_costs_what_electricity_and_cooling_are_worth_once_more(home, tmp_path):
    once, twice = (cooled(tmp_path / price[:3], price, home=home) for price in ("0.3 EUR/kWh", "0.6 EUR/kWh"))
    assert twice[0] - once[0] == pytest.approx(once[1], rel=1e-9)
    hours = [744, 672, 744, 720, 744, 720, 744, 744, 720, 744, 720, 744] * 2
    hours[13] += 24  # February 2028
    kwh = [0.1 * h * (1 + 1 / 2.5 * (n % 12 in (5, 6, 7))) for n, h in enumerate(hours)]
    by_hand = sum(0.3 * used / 1.05 ** ((n + 1) / 12) for n, used in enumerate(kwh))
    assert once[1] == pytest.approx(by_hand, rel=1e-9)


@pytest.mark.parametrize(("paid_later", "rate"), [("110 EUR", 0.1), ("90 EUR", "none: never costs more")])
def test_what_saving_first_and_paying_later_costs(paid_later, rate, tmp_path):
    """100 EUR kept today and so much paid in a year."""
    found = compared(
        tmp_path,
        scenarios=table("scenario,baseline", ["today,yes", "later,"]),
        one_offs=table("scenario,what,month,amount", ["today,all,0,100 EUR", f"later,all,12,{paid_later}"]),
    )
    frame = tco.measures(found)
    [value] = frame[(frame.scenario == "later") & (frame.measure == "borrowing_rate")].value
    assert value == (rate if isinstance(rate, str) else pytest.approx(rate, rel=1e-6))


def test_a_shortage_says_what_is_needed_and_what_is_there(tmp_path):
    parts = "box,mini,3,1 EUR,,,,2 bay,\ndrive,mini,9,1 EUR,,,8 TB,,1 bay\n"
    found = found_in(tmp_path, parts)
    short = list(short_of(found.ground, found.comparison.figures))
    assert [(one.spot.group, one.spot.name, one.needed, one.provided) for one in short] == [("mini", "bay", 3.0, 2.0)]


DRIVES = "part,node,quantity,price,failures,endurance,written,capacity,pool"
NODE = {
    "nodes": table("scenario,node,count", ["it,mini,2"]),
    "failures": table("curve,age,rate", ["bath,0,9 %/year"]),
}


@pytest.mark.parametrize(
    ("drives", "written", "spares", "leaned"),
    [
        ("bath,,,8 TB,main", "", "", {}),
        ("bath,10 TB,20 GB/d,8 TB,main", "", "", {}),
        ("bath,,,8 TB,main", "", "95 %", {"parts.quantity": "spares"}),
        ("bath,10 TB,,8 TB,main", "30 GB/d", "", dict.fromkeys(
            ("parts.capacity", "nodes.count", "pools.copies", "parts.quantity"), "what is worn, by month")),
    ],
)  # fmt: skip
def test_inputs_that_the_tool_counts_with_beforehand_are_told(drives, written, spares, leaned, tmp_path):
    more = [f"spares confidence,{spares}", "spares lead time,10 d"] if spares else []
    found = compared(
        tmp_path,
        study=table("setting,value", [*ABOUT, *more]),
        scenarios=table("scenario,parts list", ["it,it.csv"]),
        it=table(DRIVES, [f"drive,mini,4,90 EUR,{drives}"]),
        pools=table("scenario,pool,copies,written", [f"it,main,2,{written}"]),
        **NODE,
    )
    [ground] = found.built.grounds
    told = leaned_on(ground)
    assert {f"{column.table.kind}.{column.name}": words for column, words in told.items()} == leaned


def test_what_draws_power_when_busy_only_may_be_heard_as_well(tmp_path):
    found = compared(
        tmp_path,
        scenarios=table("scenario,parts list,tariff,site,busy share", ["it,it.csv,flat,cellar,5 %"]),
        it=table("part,quantity,price,idle,busy,noise idle,noise as,noise distance",
                 ["board,1,9 EUR,5 W,,20 dB(A),pressure,1 m", "pump,1,9 EUR,0 W,8 W,,,"]),
        tariffs=table("tariff,start,price", ["flat,2026-01,0.3 EUR/kWh"]),
        sites=table("site,bed distance", ["cellar,3 m"]),
    )  # fmt: skip
    frame = tco.measures(found)
    assert set(frame[frame.measure.isin(["noise_idle", "noise_busy"])].value) == {"unknown: no noise level of pump"}


def test_what_is_not_stated_is_told_from_nothing(tmp_path):
    found = compared(
        tmp_path,
        scenarios=table("scenario,parts list", ["it,it.csv"]),
        it=table("part,quantity,price,capacity,life", ["drive,1,9 EUR,8 TB,", "board,1,9 EUR,,40 months"]),
    )
    [ground] = found.built.grounds
    assert [ground.part(name).blank for name in ("capacity", "price")] == [(False, True), ()]
    live = [(column.name, row) for column, row, _ in found.built.model.inputs() if column.name == "capacity"]
    assert live == [("capacity", 0)]
    assert cell_text(ground.part("capacity"), 1, found.figures) == "not stated"


def test_a_logged_group_of_nodes_beside_one_that_is_not(tmp_path):
    """Two at 100 W by their log and one at 20 W, in two periods: all of it, whichever period it falls in."""
    folder = write_study(tmp_path, **{**dict.fromkeys(TABLES),
        "study": table("setting,value", ABOUT),
        "scenarios": table("scenario,parts list,tariff", ["it,it.csv,grid"]),
        "it": table("part,node,quantity,price,idle", ["board,plain,1,9 EUR,20 W", "box,logged,2,9 EUR,7 W"]),
        "nodes": table("scenario,node,count", ["it,plain,1", "it,logged,2"]),
        "tariffs": table("tariff,start,hours", ["grid,2026-01,tou"]),
        "charges": table("tariff,start,charge,period,price",
                         ["grid,2026-01,day,day,0.4 EUR/kWh", "grid,2026-01,night,night,0.1 EUR/kWh"]),
        "hours": table("hours,period,months,days,begins,ends", ["tou,day,,,08:00,20:00", "tou,night,,otherwise,,"]),
    })  # fmt: skip
    study = tco.load(folder)
    [scenario] = study.scenarios
    nodes = tuple(replace(node, log="log.csv" if node.node == "logged" else "") for node in scenario.nodes)
    logs = {"log.csv": Log("log.csv", (100.0,) * 24, (100.0,) * 24)}
    found = tco.compare(replace(study, scenarios=(replace(scenario, nodes=nodes),), logs=logs))
    [ground] = found.built.grounds
    assert found.measure(ground, "total_energy") == pytest.approx(0.22 * 24 * 731)
    assert found.measure(ground, "total_electricity") == pytest.approx(0.22 * 12 * 731 * (0.4 + 0.1))


def test_current_is_shared_evenly_by_circuits(tmp_path):
    found = compared(
        tmp_path,
        scenarios=table("scenario,parts list,tariff,site,power factor", ["it,it.csv,flat,cellar,0.8"]),
        it=table("part,quantity,price,idle", ["board,2,9 EUR,460 W"]),
        tariffs=table("tariff,start,price", ["flat,2026-01,0.3 EUR/kWh"]),
        sites=table("site,voltage,circuits", ["cellar,230 V,2"]),
    )
    [ground] = found.built.grounds
    assert found.measure(ground, "amperes") == pytest.approx(2 * 460 / 230 / 0.8 / 2)


def test_what_fails_by_year_is_that_of_its_months_times_how_many_there_are(tmp_path):
    found = tco.compare(everything(tmp_path))
    [ground] = found.built.grounds
    years = found.of(ground.month("year"))
    told = [column for column in ground.model.of(ground.model.tables["failing of it"]) if column.name != "year"]
    kinds = {column.name.split()[0] for column in told}
    assert kinds == {"failures", "covered", "worn", "cost"}
    for column in told:
        kind, key = column.name.split()
        units = ground.scenario.parts[int(key)].quantity if kind != "cost" else 1
        own = [one for one in ground.model.of(ground.own("units", f"cost {key}").table)
               if one.name == column.name or one.name.startswith(f"{column.name} ")]  # fmt: skip
        monthly = sum(found.of(one) for one in own)
        by_year = [units * monthly[years == year].sum() for year in range(5)]
        np.testing.assert_allclose(found.of(column), by_year, rtol=1e-12)
        assert own
        assert sum(by_year) > 0
