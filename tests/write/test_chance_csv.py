"""The CSV of a simulation: every figure found, to the bit, and nothing that a spreadsheet takes for a formula."""

from __future__ import annotations

import io

import pandas as pd
import pytest

from tco.ask.simulated import LUCK, Simulated, Varied
from tco.study import Range
from tco.write.chance_csv import inputs_csv, simulate_csv, years_csv
from tests.write.chances import DISK, HOSTILE, PRICE, compared, four, simulated, with_ranges

KINDS = ("p10", "p50", "p90", "mean", "error", "exact")


def frame(text: str) -> pd.DataFrame:
    return pd.read_csv(io.StringIO(text), keep_default_na=False, dtype={"scenario": str, "source": str})


@pytest.fixture(params=[(), (PRICE, DISK)], ids=["fixed", "varied"])
def found(request: pytest.FixtureRequest) -> Simulated:
    return simulated(compared(), four(), varied=request.param, misses=["old servers"])


def test_every_figure_is_there_once_to_the_bit(found: Simulated) -> None:
    table = frame(simulate_csv(found))
    assert list(table.columns) == ["scenario", "figure", "other", "value", "unit"]
    assert not table.duplicated(["scenario", "figure", "other"]).any()
    value = {(one, two, three): cell for one, two, three, cell in table[table.columns[:4]].itertuples(index=False)}
    wanted: dict[tuple[str, str, str], object] = {("", "draws", ""): found.draws, ("", "seed", ""): found.seed}
    for own in found.outcomes:
        for figure in ("lcc", "equivalent_month", "worst_year"):
            numbers = {kind: getattr(getattr(own, figure), kind) for kind in KINDS}
            wanted |= {(own.scenario, f"{figure}_{k}", ""): v for k, v in numbers.items() if v is not None}
        worst = max(own.years[1:], key=lambda year: year.worst)
        wanted[own.scenario, "worst_year_most_often", ""] = worst.year
        for kind in ("failures", "covered", "worn"):
            wanted[own.scenario, f"{kind}_a_year", ""] = sum(getattr(year, kind) for year in own.years) / 5
        ranks = own.scenario != "old servers"
        wanted[own.scenario, "chance_cheapest", ""] = own.cheapest.share if ranks else "none: does not meet all needs"
        wanted |= {(own.scenario, "chance_cheapest_error", ""): own.cheapest.error} if ranks else {}
        wanted |= {(own.scenario, "driver_share", driver.name): driver.share for driver in own.drivers}
    for pair in found.duels:
        wanted[pair.one, "chance_costs_less", pair.other] = pair.costs_less.share
        wanted[pair.one, "chance_costs_less_error", pair.other] = pair.costs_less.error
        numbers = {kind: getattr(pair.difference, kind) for kind in KINDS}
        wanted |= {(pair.one, f"difference_{k}", pair.other): v for k, v in numbers.items() if v is not None}
        share = f"difference_share_with_{pair.other}"
        wanted |= {(pair.one, share, driver.name): driver.share for driver in pair.drivers}
    assert value.keys() == wanted.keys()
    for key, number in wanted.items():
        assert value[key] == number if isinstance(number, str) else float(value[key]) == number, key
    assert any(kind == "lcc_exact" for _, kind, _ in value) == (not found.varied)


def test_units_are_those_of_the_study(found: Simulated) -> None:
    units = frame(simulate_csv(found)).groupby("figure").unit.unique().map(list).to_dict()
    assert units["lcc_p50"] == units["difference_mean"] == units["worst_year_p90"] == ["EUR"]
    assert units["equivalent_month_error"] == ["EUR/month"]
    assert (units["failures_a_year"], units["worst_year_most_often"], units["chance_cheapest"]) == (
        ["1/year"],
        ["year"],
        [""],
    )


def test_every_pair_stands_there_once_the_lower_median_first(found: Simulated) -> None:
    table = frame(simulate_csv(found)).query("figure == 'chance_costs_less'")
    median = {own.scenario: own.lcc.p50 for own in found.outcomes}
    assert len(table) == 6
    assert all(median[one] <= median[other] for one, other in zip(table.scenario, table.other, strict=True))


def test_years(found: Simulated) -> None:
    table = frame(years_csv(found))
    assert list(table.columns) == ["scenario", "year", "figure", "value", "unit"]
    value = table.set_index(["scenario", "year", "figure"]).value
    assert value.index.is_unique
    count = 0
    for own in found.outcomes:
        for year in own.years:
            names = {f"cash_{kind}": getattr(year.cash, kind) for kind in KINDS}
            names |= {"failures": year.failures, "covered": year.covered, "worn": year.worn}
            names |= {"replacements_p90": year.p90} | ({"worst": year.worst} if year.year else {})
            for figure, number in names.items():
                count += number is not None
                assert number is None or value[own.scenario, year.year, figure] == number
    assert count == len(table)
    assert set(table.unit) == {"EUR", ""}


def test_inputs() -> None:
    rows = (
        Range(input=DISK.name, low="150 EUR", high="260 EUR", scenario="quiet minis", source="three shops"),
        Range(input=DISK.name, low="80 %", high="150 %", scenario="old servers", source="=cmd", is_factor=True),
    )
    varied = [PRICE, DISK, Varied(DISK.name, "EUR", 0.8, 1.0, 1.5)]
    assert inputs_csv(simulated(with_ranges(compared(), *rows), four(), varied=varied)).splitlines() == [
        "scenario,input,low,likely,high,unit,source",
        ",electricity price,0.8,1.0,1.5,times,",
        f'quiet minis,"{DISK.name}",150.0,180.0,260.0,EUR,three shops',
        f'old servers,"{DISK.name}",0.8,1.0,1.5,times,\'=cmd',
    ]
    assert inputs_csv(simulated(compared(), four())) == "scenario,input,low,likely,high,unit,source\n"


def test_names_that_look_like_formulas_are_defused() -> None:
    costs = dict(zip(HOSTILE, [*four().values(), *four(seed=8).values()], strict=False))
    found = simulated(compared(), costs, varied=[Varied("=input", "EUR", 1, 2, 3)])
    for text in (simulate_csv(found), years_csv(found), inputs_csv(found)):
        table = pd.read_csv(io.StringIO(text), keep_default_na=False, dtype=str)
        cells = [cell for column in table.columns for cell in table[column]]
        numbers = pd.to_numeric(pd.Series(cells), errors="coerce")
        texts = [cell for cell, number in zip(cells, numbers, strict=True) if pd.isna(number)]
        assert texts
        assert not any(cell.startswith(("=", "+", "-", "@")) for cell in texts)
    names = set(frame(simulate_csv(found)).scenario) - {""}
    assert names == {f"'{name}" if name[0] in "=@-" else name for name in HOSTILE}


def test_luck_is_named_as_the_simulation_names_it() -> None:
    table = frame(simulate_csv(simulated(compared(), four(), varied=[PRICE]))).query("figure == 'driver_share'")
    assert set(table.other) == {PRICE.name, LUCK}
