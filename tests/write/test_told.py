"""The summary's words are true for every study: held against figures found another way, and small cases by hand."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import tco
import tco.ask.simulate as simulating
from tco.ask.compare import Comparison
from tco.ask.reprice import costs
from tco.ask.simulate import simulate
from tco.ask.sure import DRAWS, sure
from tco.write.told import told
from tests.ask.test_crossings import NONE
from tests.random_studies import random_study
from tests.studies import write_study

FLAT = "tariff,start,price\nflat,2026-01,0.25 EUR/kWh\n"
STUDY = "setting,value\nquestion,Which?\ncurrency,EUR\nstart,2027-01\nhorizon,{years} years\ntime zone,UTC\n"
STUDY += "discount,{rate}\n"


def boxes(
    folder: Path, rows: dict[str, tuple[float, float]], *, years: int = 3, rate: str = "0 %", **more: str
) -> Comparison:
    """Scenarios of one box each, by price and watts; the first is the baseline. more: further tables."""
    names = "".join(f"{name},{'' if number else 'yes'},{name}.csv,flat\n" for number, name in enumerate(rows))
    lists = {
        name: f"part,quantity,price,idle\nbox,1,{price} EUR,{watts} W\n" for name, (price, watts) in rows.items()
    }
    tables = {
        **NONE, **lists, "study": STUDY.format(years=years, rate=rate),
        "scenarios": "scenario,baseline,parts list,tariff\n" + names, "tariffs": FLAT, **more,
    }  # fmt: skip
    return tco.compare(tco.load(write_study(folder, **tables)))


def electricity(comparison: Comparison) -> str:
    return next(text for text in told(comparison).changes if text.startswith("Electricity"))


def time(comparison: Comparison) -> str:
    return next(text for text in told(comparison).changes if text.startswith("Time"))


def test_the_price_of_electricity_at_which_two_are_level_by_hand(tmp_path: Path) -> None:
    """10 W for 3 years (26,304 h) are 263.04 kWh, at 0.25 EUR 65.76 EUR; 131.52 EUR in price is twice as much."""
    found = electricity(boxes(tmp_path, {"thrifty": (331.52, 10.0), "plain": (200.0, 20.0)}))
    assert found == (
        "Electricity: from 2.00 times its price (0.500 EUR for a kWh, on average) on thrifty costs least."
    )


def test_the_same_with_the_thrifty_one_ahead(tmp_path: Path) -> None:
    found = electricity(boxes(tmp_path, {"thrifty": (232.88, 10.0), "plain": (200.0, 20.0)}))
    assert found == "Electricity: below 0.50 times its price (0.125 EUR for a kWh, on average) plain costs least."


@pytest.mark.parametrize("watts", [20.0, 30.0])
def test_no_price_changes_places_where_the_cheaper_one_draws_less_or_as_much(tmp_path: Path, watts: float) -> None:
    found = electricity(boxes(tmp_path, {"good": (200.0, 20.0), "worse": (300.0, watts)}))
    assert found == "Electricity: no price of it, from nothing up, changes who costs least."


def test_the_nearest_price_counts_whoever_takes_over(tmp_path: Path) -> None:
    """Of 30, 20, 10 and 8 W at 0.25 EUR for 26.304 h a W: b leads; c from 1.2, d from 3 times, a below 0.5 times."""
    watt = 26.304 * 0.25
    rows = {
        "a": (300 - 5 * watt, 30.0),
        "b": (300.0, 20.0),
        "c": (300 + 12 * watt, 10.0),
        "d": (300 + 36 * watt, 8.0),
    }
    assert electricity(boxes(tmp_path, rows)) == (
        "Electricity: from 1.20 times its price (0.300 EUR for a kWh, on average) on c costs least; "
        "below 0.50 times its price (0.125 EUR for a kWh, on average) a costs least."
    )


@pytest.mark.parametrize(("price", "told_of"), [("0", "costs nothing here"), ("-0.05", "below nothing here")])
def test_what_electricity_costs_nothing_says_so(tmp_path: Path, price: str, told_of: str) -> None:
    tariffs = f"tariff,start,price\nflat,2026-01,{price} EUR/kWh\n"
    assert told_of in electricity(boxes(tmp_path, {"a": (1.0, 10.0), "b": (2.0, 20.0)}, tariffs=tariffs))


@pytest.mark.parametrize("seed", range(30))
def test_it_is_what_working_the_study_out_again_gives(tmp_path: Path, seed: int) -> None:
    """The present value of what is billed is what twice the tariffs' amounts add, cooling too."""
    comparison = tco.compare(tco.load(random_study(seed, tmp_path / "study")))
    for ground in comparison.built.grounds:
        added = costs(comparison, list(comparison.study.tariffs))[ground.scenario.scenario].electricity
        assert comparison.measure(ground, "electricity_worth") == pytest.approx(added, rel=1e-9, abs=1e-6)


def test_the_demo_agrees_with_the_root_that_break_even_finds() -> None:
    comparison = tco.compare(tco.load(tco.demo()))
    level = tco.breakeven(comparison, "electricity price", between=("quiet minis", "rented space")).levels[0]
    factor = re.search(r"from ([\d.]+) times", electricity(comparison))
    assert factor
    assert float(factor.group(1)) == pytest.approx(level.meetings[0].value, abs=0.005)


def test_who_costs_least_if_all_is_sold_sooner(tmp_path: Path) -> None:
    """Nothing is sold here: 100 + 12 x 3 a year against 40 + 24 x 3 pass each other within the second year."""
    fees = "scenario,fee,amount\nslow,rent,3 EUR/month\nfast,rent,6 EUR/month\n"
    found = boxes(tmp_path, {"slow": (100.0, 0.0), "fast": (40.0, 0.0)}, fees=fees)
    lead = "Time, year by year up to 3 years: "
    assert time(found) == f"{lead}if all is sold then, from 1 year on fast costs least, from 2 years on slow."


def test_nothing_crosses(tmp_path: Path) -> None:
    found = boxes(tmp_path, {"good": (100.0, 0.0), "worse": (140.0, 0.0)})
    assert time(found) == "Time, year by year up to 3 years: whenever all is sold, good costs least."


@pytest.mark.parametrize("seed", range(30))
def test_time_is_told_as_the_measures_have_it(tmp_path: Path, seed: int) -> None:
    """Who costs least after each year, from measures.csv, among those that meet all needs (or all)."""
    comparison = tco.compare(tco.load(random_study(seed, tmp_path / "study")))
    frame = tco.measures(comparison)
    rows = frame[frame.measure.str.startswith("lcc_kept_") & frame.scenario.isin(comparison.among)]
    table = rows.pivot(index="scenario", columns="measure", values="value").astype(float).round(2)
    best: list[set[str]] = [set(table.index[table[name] <= table[name].min()]) for name in rows.measure.unique()]
    lines = [text for text in told(comparison).changes if text.startswith("Time")]
    if len(comparison.among) == 1 or len(best) == 1:
        assert lines == []
        return
    runs = [names for number, names in enumerate(best) if not number or names != best[number - 1]]
    if len(runs) == 1:
        alike = " (level with another)" if len(runs[0]) > 1 else ""
        assert any(f"whenever all is sold, {name}{alike} costs least." in lines[0] for name in runs[0])
    elif all(len(names) == 1 for names in runs):
        assert re.findall(r" on (.+?)(?: costs least)?(?=[,.] ?(?:from|$))", lines[0]) == [
            min(names) for names in runs
        ]


def test_what_a_need_costs_is_told(tmp_path: Path) -> None:
    """The loud one is 36 EUR cheaper over 3 years, 1 EUR a month, and is left out for its noise."""
    lists = {
        name: "part,quantity,price,noise idle,noise as,noise distance\n"
        f"box,1,{price} EUR,{noise} dB(A),pressure,1 m\n"
        for name, price, noise in (("calm", 236, 20), ("loud", 200, 60))
    }
    needs = "need,value\nnoise idle,30 dB(A)\n"
    sites = "site,bed distance\nroom,1 m\n"
    scenarios = "scenario,baseline,parts list,site\ncalm,yes,calm.csv,room\nloud,,loud.csv,room\n"
    tables = {**NONE, **lists, "study": STUDY.format(years=3, rate="0 %"), "scenarios": scenarios, "sites": sites}
    found = told(tco.compare(tco.load(write_study(tmp_path, **tables, needs=needs))))
    assert found.answer[0].startswith("Cheapest of those that meet all needs: calm")
    assert found.changes[-1] == (
        "Needs: without those it misses or leaves unknown, loud would come first, 1.00 EUR a month below calm."
    )


def test_where_none_meets_the_needs_that_comes_first(tmp_path: Path) -> None:
    budget = "need,value\nbudget start,50 EUR\n"
    found = told(boxes(tmp_path, {"a": (100.0, 0.0), "b": (140.0, 0.0)}, needs=budget))
    assert found.answer[0].startswith("No scenario is known to meet all needs, so none is ranked. The one that costs")
    assert not any(text.startswith("Needs") for text in found.changes)


def failing(folder: Path, units: dict[str, tuple[int, float]], rate: str) -> Comparison:
    """Scenarios of some units at a price each, which fail at a rate."""
    lists = {name: f"part,quantity,price,failures\nunit,{own[0]},{own[1]} EUR,c\n" for name, own in units.items()}
    scenarios = "".join(f"{name},{'' if number else 'yes'},{name}.csv\n" for number, name in enumerate(units))
    tables = {
        **NONE, **lists, "study": STUDY.format(years=3, rate="0 %"),
        "scenarios": "scenario,baseline,parts list\n" + scenarios, "failures": f"curve,age,rate\nc,0 years,{rate}\n",
    }  # fmt: skip
    return tco.compare(tco.load(write_study(folder, **tables)))


def test_two_that_cost_the_same_within_the_spread_are_said_to(tmp_path: Path) -> None:
    found = told(failing(tmp_path, {"a": (10, 100.0), "b": (5, 204.0)}, "30 %/year")).answer[-1]
    assert found.startswith("How sure: in eight of ten of 1,000 draws (of what fails) a costs ")
    assert found.endswith("Within that spread either may turn out cheaper: let other reasons weigh too.")


def test_two_that_are_far_apart_are_not(tmp_path: Path) -> None:
    found = told(failing(tmp_path, {"a": (10, 100.0), "b": (5, 600.0)}, "2 %/year")).answer[-1]
    assert found.endswith("it costs less than b in all of them.")


def test_without_chance_there_is_nothing_to_be_sure_of(tmp_path: Path) -> None:
    assert "leaves nothing to chance" in told(boxes(tmp_path, {"a": (1.0, 0.0), "b": (2.0, 0.0)})).answer[-1]


def test_stopping_the_draws_stops_the_run(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C meanwhile must not leave results behind in which only this sentence is missing."""

    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    comparison = tco.compare(tco.load(tco.demo()))
    monkeypatch.setattr(simulating, "keep", stopped)
    with pytest.raises(KeyboardInterrupt):
        sure(comparison)
    monkeypatch.undo()
    assert sure(comparison) is not None


def test_how_sure_is_what_a_simulation_of_all_finds() -> None:
    comparison = tco.compare(tco.load(tco.demo()))
    full = simulate(comparison, DRAWS)
    duel = next(one for one in full.duels if {one.one, one.other} == {"quiet minis", "rented space"})
    month = next(one.equivalent_month for one in full.outcomes if one.scenario == "quiet minis")
    found = sure(comparison)
    assert found is not None
    assert (found.first, found.second, found.inputs) == ("quiet minis", "rented space", 9)
    assert (found.low, found.high) == pytest.approx((month.p10, month.p90), rel=1e-12)
    wins = duel.costs_less.share if duel.one == "quiet minis" else 1.0 - duel.costs_less.share
    assert found.wins == pytest.approx(wins, abs=1e-12)


def test_a_single_scenario_has_nothing_to_change_places_with(tmp_path: Path) -> None:
    found = told(boxes(tmp_path, {"alone": (100.0, 5.0)}))
    assert found.changes == ()
    assert found.assumed[0].startswith("A kWh more costs 0.250 EUR, on average over 3 years.")


def test_what_was_assumed_names_what_the_study_has() -> None:
    (text,) = told(tco.compare(tco.load(tco.demo()))).assumed
    for piece in (
        "A kWh more costs 0.336 EUR",
        "3.0 % a year",
        "12.0 TB are held, growing by 6.0 %",
        "worth 12.00 EUR",
    ):
        assert piece in text


def test_a_baseline_that_is_not_ranked_may_cost_less(tmp_path: Path) -> None:
    """The baseline is dearer at the start than was put aside; the other one costs 1 EUR a month more."""
    needs, fees = "need,value\nbudget start,50 EUR\n", "scenario,fee,amount\nrent,rent,4 EUR/month\n"
    found = told(boxes(tmp_path, {"bought": (108.0, 0.0), "rent": (0.0, 0.0)}, needs=needs, fees=fees))
    assert found.answer[0].startswith("Cheapest of those that meet all needs: rent, at 4.00 EUR")
    assert found.answer[1] == (
        "That is 1.00 EUR a month more than bought, the baseline, and 36 EUR more over 3 years."
    )
    assert found.changes[0].startswith("No other scenario meets all needs, so neither the price of electricity nor")


def test_nothing_is_said_of_what_is_not_there(tmp_path: Path) -> None:
    """Without parts nothing fails and no parts list has a price; without a curve nothing fails."""
    fees = "scenario,fee,amount\na,rent,4 EUR/month\nb,rent,5 EUR/month\n"
    rented = told(boxes(tmp_path / "rented", {"a": (1.0, 0.0), "b": (2.0, 0.0)}, fees=fees))
    assert "What fails" not in " ".join(rented.assumed)
    assert "Prices are as the parts lists" in rented.assumed[0]
