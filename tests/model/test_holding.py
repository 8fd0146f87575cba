"""How long to keep a build: each horizon costs what a study that ends there does; owned gear; the cheapest year."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tco
from tco.study import Scenario, Study
from tests.model.test_properties import without_spares
from tests.random_studies import random_study
from tests.studies import write_study

tried = settings(max_examples=25, deadline=None, derandomize=True)
NONE = dict.fromkeys(("minis", "servers", "nodes", "tariffs", "fees", "one_offs", "failures", "resale", "exchange"))
STUDY = "setting,value\nquestion,Which?\ncurrency,EUR\nstart,2027-01\ntime zone,UTC\ntiming,year-end\n"


def ended(study: Study, horizon: int) -> Study:
    """The study with a shorter horizon: what comes later is left out, what leaves later leaves then."""

    def until(month: int | None) -> int | None:
        return None if month is None or month > horizon else month

    def of(scenario: Scenario) -> Scenario:
        parts = tuple(
            replace(part, leaves=until(part.leaves))
            if part.bought <= horizon
            else replace(part, quantity=0, bought=0, leaves=None)
            for part in scenario.parts
        )
        fees = tuple(replace(fee, last=until(fee.last)) for fee in scenario.fees if fee.first <= horizon)
        return replace(
            scenario, parts=parts, fees=fees, one_offs=tuple(o for o in scenario.one_offs if o.month <= horizon)
        )

    scenarios = tuple(of(scenario) for scenario in study.scenarios)
    return replace(study, settings=replace(study.settings, horizon=horizon), scenarios=scenarios)


@tried
@given(st.integers(0, 10_000), st.integers(1, 40))
def test_cost_by_horizon_is_that_of_a_study_which_ends_there(seed: int, month: int) -> None:
    """Whatever the timing, growth step and kind of money; cut years included.

    Spares aside: their number follows the worst month of the whole horizon.
    """
    with tempfile.TemporaryDirectory() as folder:
        study = without_spares(tco.load(random_study(seed, Path(folder))))
    month = min(month, study.settings.horizon)
    whole, short = tco.compare(study), tco.compare(ended(study, month))
    for ground, own in zip(whole.built.grounds, short.built.grounds, strict=True):
        size = np.abs(whole.of(ground.month("total"))).sum() + 1
        found = whole.of(ground.month("lcc_if_sold"))[month]
        assert found == pytest.approx(short.measure(own, "lcc"), rel=1e-9, abs=1e-9 * size)
        sold = short.measure(own, "total_resale") + short.measure(own, "total_disposal")
        earlier = sum(whole.of(ground.month(name))[:month].sum() for name in ("resale", "disposal"))
        assert whole.of(ground.month("if_sold"))[month] == pytest.approx(sold - earlier, rel=1e-9, abs=1e-9 * size)


def machine(folder: Path, **more: str | None) -> dict[str, object]:
    """Measures of a machine for 20,000 whose resale is 10,000, 8,000, 5,000, 5,000, 3,000, run for 5 years at 10 %.

    Blank & Tarquin, lecture slides on economic life (seen): the lowest of its equivalent years is the fourth.
    """
    shares = [(0, 100), (1, 50), (2, 40), (3, 25), (4, 25), (5, 15)]
    costs = [5000, 6500, 9000, 11000, 15000]
    tables: dict[str, str | None] = {
        **NONE,
        "study": f"{STUDY}horizon,5 years\ndiscount,10 %\n",
        "scenarios": "scenario,parts list\nmachine,parts.csv\n",
        "parts": "part,quantity,price,resale\nmachine,1,20000 EUR,falling\n",
        "resale": "curve,base,age,share\n" + "".join(f"falling,own price,{y} years,{s} %\n" for y, s in shares),
        "fees": "scenario,fee,amount [EUR/month],first,last\n"
        + "".join(f"machine,year {y},{c / 12:.12f},{12 * y - 11},{12 * y}\n" for y, c in enumerate(costs, start=1)),
        **more,
    }
    measures = tco.measures(tco.compare(tco.load(write_study(folder, **tables))))
    return dict(zip(measures.measure, measures.value, strict=True))


def test_the_economic_life_of_a_machine(tmp_path: Path) -> None:
    found = machine(tmp_path)
    years = [found[f"equivalent_year_kept_{n}_year{'s' if n > 1 else ''}"] for n in range(1, 6)]
    assert years == pytest.approx([17000.00, 13428.57, 13238.67, 12864.04, 13623.40], abs=0.005)
    assert found["economic_life"] == 4
    assert found["lcc_kept_5_years"] == pytest.approx(found["lcc"])


def test_one_holding_period_is_no_choice(tmp_path: Path) -> None:
    found = machine(tmp_path, study=f"{STUDY}horizon,8 months\ndiscount,10 %\n", fees=None)
    assert found["economic_life"] == "none: one holding period"
    assert found["lcc_kept_8_months"] == pytest.approx(found["lcc"])


def test_what_costs_the_same_each_year_has_no_economic_life(tmp_path: Path) -> None:
    rent = "scenario,fee,amount [EUR/month]\nmachine,rent,10\n"
    free = "part,quantity,price\nmachine,1,0\n"
    assert (
        machine(tmp_path / "free", parts=free, resale=None, fees=rent)["economic_life"]
        == "none: the same at any length"
    )
    found = machine(tmp_path, scenarios="scenario\nmachine\n", fees=rent, parts=None, resale=None)
    assert found["economic_life"] == "none: no hardware to sell"


OWNED = "part,quantity,price,fetches today,age,resale,selling cost\nmachine,2,0,500 EUR,1 year,falling,20 EUR\n"


@pytest.mark.parametrize(("owned", "kept"), [("cost", 2 * (500 * 0.9 - 20)), ("free", 0.0)])
def test_what_owned_gear_would_fetch_is_a_cost_if_the_study_says_so(owned: str, kept: float, tmp_path: Path) -> None:
    """Its resale goes on from there along its curve: from 50 % of new at one year to 25 % at four."""
    study = f"{STUDY}horizon,3 years\ndiscount,10 %\nselling share,10 %\nowned gear,{owned}\n"
    found = machine(tmp_path, study=study, parts=OWNED, fees=None)
    assert found["total_owned"] == pytest.approx(kept)
    assert found["paid_at_start"] == 0
    assert found["total_purchase"] == 0
    assert found["total_resale"] == pytest.approx(-2 * (500 * 25 / 50 * 0.9 - 20))
    assert found["lcc"] == pytest.approx(kept + found["total_resale"] / 1.1**3)


def test_old_gear_sold_at_the_start_is_income_in_month_0(tmp_path: Path) -> None:
    sold = "scenario,what,month,amount\nmachine,old server sold,0,-300 EUR\n"
    found, without = machine(tmp_path / "with", one_offs=sold), machine(tmp_path / "without")
    assert found["paid_at_start"] == pytest.approx(20000 - 300)
    assert found["lcc"] == pytest.approx(without["lcc"] - 300)


def test_both_bases_of_a_resale_curve_and_beyond_its_end(tmp_path: Path) -> None:
    """New prices fall 20 % a year. Own price: 15 % of what was paid at 5 years, going on at 15/25 a year from there.

    Of the new price then: the same share of a price that has fallen until the sale.
    """
    for base, priced in (("own price", 1000.0), ("new price then", 1000 * 0.8**7)):
        rows = [(0, 100), (4, 25), (5, 15)]
        table = "curve,base,age,share\n" + "".join(f"falling,{base},{y} years,{s} %\n" for y, s in rows)
        part = "part,quantity,price,price trend,resale\nmachine,1,1000 EUR,-20 %,falling\n"
        study = f"{STUDY}horizon,7 years\ndiscount,0\n"
        found = machine(tmp_path / base, study=study, resale=table, parts=part, fees=None)
        assert found["total_resale"] == pytest.approx(-priced * 0.15 * (15 / 25) ** 2)
