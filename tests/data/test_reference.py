"""The reference curves and prices against published numbers, typed here again with their source and status."""

import csv
import io
import math
import re
from collections import Counter
from datetime import date
from itertools import pairwise
from pathlib import Path

import pytest

from tco import units
from tco.errors import UnknownNameError
from tco.read import load
from tco.read.averages import average, averages, starting_tariff
from tests.studies import FEES, MINIS, ONE_OFFS, SCENARIOS, SERVERS, STUDY, write_study

REFERENCE = Path(__file__).parents[2] / "data" / "reference"
STATUS = ("seen", "second-hand", "from memory", "by definition")


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def months(text: str) -> int:
    number, word = text.split()
    return int(number) * {"month": 1, "months": 1, "year": 12, "years": 12}[word]


def curve(name: str, value: str) -> dict[int, float]:
    """Age in months -> the value as printed, in per cent."""
    table = "failures.csv" if value == "rate [%/year]" else "resale.csv"
    return {months(row["age"]): float(row[value]) for row in rows(table) if row["curve"] == name}


def rates(name: str) -> dict[int, float]:
    return curve(name, "rate [%/year]")


def shares(name: str) -> dict[int, float]:
    return curve(name, "share [%]")


def hazard(name: str, month: int) -> float:
    """Failures a month in that month of age (0 is the first), as a fraction."""
    points = rates(name)
    return points[max(age for age in points if age <= month)] / 100 / 12


def survival(name: str, years: float) -> float:
    return math.exp(-sum(hazard(name, month) for month in range(round(years * 12))))


# Survival to the end of each year of age, Backblaze Drive Stats April 2013 - June 2026, from a public survival
# analysis regrouped by year (seen). Its five digits come from quarterly rates of more digits than
# our table's three: agreement within one of its last digit.
PUBLISHED_SURVIVAL = (
    0.98937, 0.97655, 0.96188, 0.94570, 0.92830, 0.90708, 0.88241, 0.86040, 0.84485, 0.82542,
)  # fmt: skip


@pytest.mark.parametrize(("years", "published"), list(enumerate(PUBLISHED_SURVIVAL, start=1)))
def test_measured_hard_drives_survive_as_published(years: int, published: float) -> None:
    assert survival("hard drive, measured", years) == pytest.approx(published, abs=1e-5)


# Failures / drive-years pooled by year of age and their exact Poisson 95 % interval, same source (seen).
POOLED_INTERVALS = (
    (1.03, 1.09), (1.26, 1.33), (1.48, 1.57), (1.64, 1.74), (1.80, 1.91),
    (2.22, 2.37), (2.62, 2.84), (2.40, 2.67), (1.72, 2.01), (1.80, 2.44),
)  # fmt: skip


@pytest.mark.parametrize(("year", "interval"), list(enumerate(POOLED_INTERVALS)))
def test_measured_hard_drives_lie_within_the_pooled_interval(year: int, interval: tuple[float, float]) -> None:
    least, most = interval
    assert least <= rates("hard drive, measured")[12 * year] <= most


# Failures a year in % by year of age, from the first year on: means of four quarterly rates (seen, put together by
# us); and the same never falling, from 10 years on at the peak that was published in October 2025 (seen).
BY_AGE = {
    "hard drive, measured": (1.069, 1.303, 1.514, 1.696, 1.858, 2.313, 2.757, 2.525, 1.824, 2.327),
    "hard drive, cautious": (1.069, 1.303, 1.514, 1.696, 1.858, 2.313, 2.757, 2.757, 2.757, 2.757, 4.25),
}


@pytest.mark.parametrize("name", BY_AGE)
def test_hard_drives_have_the_published_rate_at_every_age(name: str) -> None:
    assert rates(name) == {12 * year: rate for year, rate in enumerate(BY_AGE[name])}


def test_the_first_year_is_the_mean_of_its_published_quarters() -> None:
    quarters = (1.395, 1.015, 0.920, 0.946)  # same source (seen)
    assert rates("hard drive, measured")[0] == pytest.approx(sum(quarters) / 4, abs=0.0005)


def test_cautious_hard_drives_follow_the_measured_ones_and_never_fall() -> None:
    cautious, measured = rates("hard drive, cautious"), rates("hard drive, measured")
    assert all(cautious[age] == max(measured[a] for a in measured if a <= age) for age in measured)
    values = [cautious[age] for age in sorted(cautious)]
    assert values == sorted(values)


def test_cautious_hard_drives_beyond_ten_years_stand_at_the_published_peak() -> None:
    # Backblaze, bathtub review, October 2025: peak 4.25 % at 10 years 3 months (seen).
    assert rates("hard drive, cautious")[120] == 4.25


def test_large_drives_take_the_highest_of_the_published_sizes() -> None:
    # Backblaze Drive Stats by size, failures and drive-years of the 16, 20 and 22 TB models (seen, regrouped).
    published = [100 * failures / years for failures, years in ((3577, 393557), (201, 25586), (421, 73249))]
    assert rates("hard drive, large and recent") == {0: pytest.approx(max(published), abs=0.01)}


def test_consumer_drives_of_2013_survive_four_years_as_published() -> None:
    # Beach, Backblaze, November 2013: "nearly 80 %" alive at four years (second-hand); from its three rates by hand
    # 1.5 x 5.1 % + 1.5 x 1.4 % + 1 x 11.8 % = 0.2155, exp(-0.2155) = 0.8061.
    assert survival("hard drive, consumer 2009-2013", 4) == pytest.approx(0.8061, abs=5e-5)


def test_consumer_drives_of_2013_have_the_three_published_rates() -> None:
    # Same source: 5.1 % to 18 months, 1.4 % to 3 years, 11.8 % after; 3.25 % in the second year (second-hand).
    name = "hard drive, consumer 2009-2013"
    assert rates(name) == {0: 5.1, 18: 1.4, 36: 11.8}
    assert 100 * sum(hazard(name, month) for month in range(12, 24)) == pytest.approx(3.25)


def test_large_drives_say_how_little_is_known() -> None:
    (row,) = [row for row in rows("failures.csv") if row["curve"] == "hard drive, large and recent"]
    assert "younger than 5 years" in row["note"]
    assert "model matters more than size" in row["note"]


def test_what_is_from_memory_is_a_bad_case_and_no_usual_curve() -> None:
    recalled = {row["curve"] for row in rows("failures.csv") if "from memory" in row["source"]}
    assert recalled == {"solid-state drive, 2016 high"}
    assert rates("solid-state drive, 2016 high")[0] > 2 * rates("solid-state drive")[0]


def test_solid_state_drives_are_flat_at_the_published_rate() -> None:
    # Backblaze SSD review 2022: 25 failures in 934,441 drive-days, printed as 0.98 % (seen, recomputed 0.9765).
    assert rates("solid-state drive") == {0: 0.98}
    assert rates("solid-state drive")[0] == pytest.approx(100 * 25 / 934_441 * 365, abs=0.005)


def test_solid_state_drives_of_2016_lose_a_tenth_in_four_years() -> None:
    # Schroeder, Lagisetty, Merchant, FAST 2016: 4-10 % replaced within four years (from memory).
    assert 1 - survival("solid-state drive, 2016 high", 4) == pytest.approx(0.10, abs=5e-4)


def test_computers_halve_each_year() -> None:
    # Doms, Dunn, Oliner, Sichel, NBER working paper 10521, 2004, abstract: roughly half each year (seen).
    published = {0: 100, 12: 50, 24: 25, 36: 12.5, 48: 6.25, 60: 3.125}
    assert shares("computer, halving each year") == published


def test_office_machines_follow_the_geometric_rate() -> None:
    # BEA, Survey of Current Business, July 1997, table 3: rate 0.3119 (seen); remaining value recomputed from it.
    published = (0.6881, 0.4735, 0.3258, 0.2242, 0.1543, 0.1061, 0.0730)
    assert shares("office machine, slow") == {
        0: 100, **{12 * year: pytest.approx(100 * share) for year, share in enumerate(published, start=1)}
    }  # fmt: skip
    assert all(round((1 - 0.3119) ** year, 4) == share for year, share in enumerate(published, start=1))


def test_used_drives_stand_at_the_ends_of_the_published_range() -> None:
    # Kenny, European Journal of Business and Management, 2024: 50-80 % cheaper than new (second-hand).
    assert shares("drive, of its new price then") == {0: 100, 12: 100 - 50, 60: 100 - 80}
    assert {row["base"] for row in rows("resale.csv") if row["curve"].startswith("drive")} == {"new price then"}


@pytest.mark.parametrize("name", ["failures.csv", "resale.csv", "efficiency.csv", "prices.csv"])
def test_every_row_says_where_it_comes_from_and_how_sure_that_is(name: str) -> None:
    for line, row in enumerate(rows(name), start=2):
        assert any(word in row["source"] for word in STATUS), f"{name}:{line}: {row['source']!r}"


@pytest.mark.parametrize("name", ["failures.csv", "resale.csv"])
def test_ages_of_a_curve_rise_from_zero(name: str) -> None:
    ages: dict[str, list[int]] = {}
    for row in rows(name):
        ages.setdefault(row["curve"], []).append(months(row["age"]))
    for one in ages.values():
        assert one[0] == 0
        assert all(a < b for a, b in pairwise(one))


def prices() -> dict[tuple[str, str], str]:
    """(region, period) -> the price as printed there."""
    return {(row["region"], row["period"]): row["price"] for row in rows("prices.csv")}


# US residential average, c/kWh, April 2025: EIA, Electric Power Monthly, table 5.6.A, release of 25 June 2025 (seen).
MONTHLY = {
    "Connecticut": 32.28, "Maine": 28.11, "Massachusetts": 30.65, "New Hampshire": 23.66, "Rhode Island": 28.89,
    "Vermont": 23.20, "New Jersey": 20.16, "New York": 25.67, "Pennsylvania": 18.98, "Illinois": 18.32,
    "Indiana": 17.01, "Michigan": 19.95, "Ohio": 16.34, "Wisconsin": 18.27, "Iowa": 13.41, "Kansas": 14.78,
    "Minnesota": 15.12, "Missouri": 12.83,
}  # fmt: skip
# The same of the year 2023: EIA, Electric Power Annual, release of 17 October 2024 (seen).
YEARLY = {
    "Alaska": 23.90, "Arizona": 14.02, "California": 29.51, "Colorado": 14.30, "Florida": 15.21, "Georgia": 13.69,
    "Hawaii": 42.39, "Idaho": 11.05, "Louisiana": 11.55, "North Carolina": 12.93, "Oregon": 12.73, "Tennessee": 12.19,
    "Texas": 14.46, "Virginia": 14.26, "Washington": 10.98,
}  # fmt: skip
# Eurostat nrg_pc_204, all taxes, EUR/100 kWh: second half of 2024 (second-hand; the EU's as revised), and first half
# of 2025 (seen).
AUTUMN = {
    "Germany": 39.43, "Denmark": 37.63, "Ireland": 36.99, "Belgium": 33.13, "Czechia": 33.02, "Cyprus": 32.51,
    "Italy": 31.11, "France": 29.26, "Portugal": 26.26, "Malta": 13.01, "Bulgaria": 12.17, "Hungary": 10.32,
    "European Union (27 countries)": 28.87,
}  # fmt: skip
SPRING = {
    "Germany": 38.35, "Denmark": 34.85, "Belgium": 35.71, "Malta": 12.44, "Bulgaria": 13.00, "Hungary": 10.40,
    "European Union (27 countries)": 28.72,
}  # fmt: skip


def test_every_average_price_is_the_published_one_and_there_is_no_other() -> None:
    published = {(f"{state}, USA", "2025-04"): f"{cents / 100:.4f} USD/kWh" for state, cents in MONTHLY.items()}
    published |= {(f"{state}, USA", "2023-01 to 2023-12"): f"{c / 100:.4f} USD/kWh" for state, c in YEARLY.items()}
    for period, table in (("2024-07 to 2024-12", AUTUMN), ("2025-01 to 2025-06", SPRING)):
        published |= {(country, period): f"{cents / 100:.4f} EUR/kWh" for country, cents in table.items()}
    # Ofgem, price cap of October to December 2024: 24.50 p/kWh and 60.99 p a day (seen).
    published[("Great Britain", "2024-10 to 2024-12")] = "0.2450 GBP/kWh"
    assert prices() == published
    assert len(rows("prices.csv")) == len(published)
    assert {row["region"]: row["fixed a day"] for row in rows("prices.csv") if row["fixed a day"]} == {
        "Great Britain": "0.6099 GBP/d"
    }


def test_what_each_average_price_is_and_how_sure_it_is() -> None:
    for row in rows("prices.csv"):
        first, _, last = row["period"].partition(" to ")
        assert date.fromisoformat(f"{first}-01") < date.fromisoformat(f"{last or first}-28")
        british = row["region"] == "Great Britain"
        assert row["kind"] == ("unit price" if british else "average revenue per kWh, not a marginal price")
        assert row["taxes"] == ("not told" if row["region"].endswith(", USA") else "all in")
        assert ("second-hand" in row["source"]) == (row["period"] == "2024-07 to 2024-12")
        assert re.search(
            r"release of \d+ \w+ 202\d|text of 29 October 2025|1 October 2024|release not seen", row["source"]
        )
    revised = [row for row in rows("prices.csv") if "revised" in row["note"]]
    assert [(row["region"][:14], row["period"]) for row in revised] == [("European Union", "2024-07 to 2024-12")]
    assert "first published as 28.72 EUR/100 kWh" in revised[0]["note"]


def test_every_average_price_is_money_per_energy() -> None:
    for one in averages():
        found, unit = one.price.split()
        assert float(found) > 0
        assert units.same_kind(units.unit(unit), units.unit(f"{one.currency}/kWh"))
        assert not one.fixed_a_day or units.unit(one.fixed_a_day.split()[1]) == units.unit("GBP/d")


@pytest.mark.parametrize(
    ("asked", "period", "price"),
    [
        ("Germany", "2025-01 to 2025-06", "0.3835 EUR/kWh"),
        ("france", "2024-07 to 2024-12", "0.2926 EUR/kWh"),
        (" Maine, USA", "2025-04", "0.2811 USD/kWh"),
        ("Georgia", "2023-01 to 2023-12", "0.1369 USD/kWh"),
        ("Great Britain", "2024-10 to 2024-12", "0.2450 GBP/kWh"),
    ],
)
def test_the_latest_average_of_a_region(asked: str, period: str, price: str) -> None:
    assert (average(asked).period, average(asked).price) == (period, price)


def test_a_region_that_is_not_there() -> None:
    with pytest.raises(UnknownNameError, match=r"there is no region 'Germny'; did you mean 'Germany'\?") as caught:
        average("Germny")
    assert len(caught.value.known) == len({row["region"] for row in rows("prices.csv")})


@pytest.mark.parametrize("region", ["Connecticut", "Germany", "Great Britain"])
def test_a_study_begins_with_the_average_of_its_region(tmp_path: Path, region: str) -> None:
    (row,) = starting_tariff(region, date(2026, 12, 1))
    text = io.StringIO()
    writer = csv.DictWriter(text, row, lineterminator="\n")
    writer.writeheader()
    writer.writerow(row)
    name, money = f'"{row["tariff"]}"', average(region).currency
    study = load(
        write_study(
            tmp_path,
            tariffs=text.getvalue(),
            scenarios=SCENARIOS.replace("household", name),
            study=STUDY.replace("EUR", money),
            exchange=f"currency,rate,day\n{'USD' if money == 'EUR' else 'EUR'},0.92,2026-11-20\n",
            minis=MINIS, servers=SERVERS.replace("[EUR]", f"[{money}]"),
            fees=FEES.replace("EUR", money), one_offs=ONE_OFFS.replace("EUR", money),
        )
    )  # fmt: skip
    (version,) = study.tariffs[row["tariff"]]
    assert version.price == float(average(region).price.split()[0])
    assert (version.start, version.source) == (date(2026, 12, 1), row["source"])
    if region == "Great Britain":
        assert version.note.startswith(
            "unit price of 2024-10 to 2024-12; the standing charge of 0.6099 GBP/d is not in"
        )
    else:
        assert version.note == "average revenue, not a marginal price: what one more kWh costs is on your bill"


# 80 PLUS, minimum efficiency in % by load in %, the article's table and a reprint (seen, two agreeing).
EFFICIENCIES = {
    "white, 115 V internal": {20: 80, 50: 80, 100: 80},
    "white, 230 V EU internal non-redundant": {20: 82, 50: 85, 100: 82},
    "bronze, 230 V internal redundant": {20: 81, 50: 85, 100: 81},
    "silver, 115 V internal": {20: 85, 50: 88, 100: 85},
    "gold, 115 V internal": {20: 87, 50: 90, 100: 87},
    "gold, 230 V internal redundant": {20: 88, 50: 92, 100: 88},
    "gold, 230 V EU internal non-redundant": {20: 90, 50: 92, 100: 89},
    "platinum, 230 V internal redundant": {20: 90, 50: 94, 100: 91},
    "titanium, 115 V internal": {10: 90, 20: 92, 50: 94, 100: 90},
    "titanium, 230 V EU internal non-redundant": {10: 90, 20: 94, 50: 96, 100: 94},
    "ruby, 230 V internal redundant": {5: 90, 10: 91, 20: 95, 50: 96.5, 100: 92},
}


def efficiency(name: str) -> dict[int, float]:
    """Load -> efficiency of a curve, both in per cent."""
    found = [row for row in rows("efficiency.csv") if row["curve"] == name]
    return {int(row["load"].removesuffix(" %")): float(row["efficiency"].removesuffix(" %")) for row in found}


@pytest.mark.parametrize("name", EFFICIENCIES)
def test_efficiency_curves_are_as_published(name: str) -> None:
    assert efficiency(f"80 PLUS {name}") == EFFICIENCIES[name]


def test_each_level_has_its_curves_and_the_lowest_load_says_so() -> None:
    curves: dict[str, list[dict[str, str]]] = {}
    for row in rows("efficiency.csv"):
        curves.setdefault(row["curve"], []).append(row)
    levels = Counter(name.split(",")[0].removeprefix("80 PLUS ") for name in curves)
    assert levels == {"white": 2, "bronze": 3, "silver": 3, "gold": 3, "platinum": 3, "titanium": 3, "ruby": 1}
    for name, points in curves.items():
        loads = list(efficiency(name))
        assert loads == sorted(loads)
        assert loads[0] == {"titanium": 10, "ruby": 5}.get(name.split(",")[0].split()[-1], 20)
        assert loads[-1] == 100
        assert ["nothing is guaranteed" in row["note"] for row in points] == [True] + [False] * (len(points) - 1)


def test_every_efficiency_curve_may_be_lent(tmp_path: Path) -> None:
    """A supply at just a quarter of its rating: 3 nodes with 22.5 W of 90 W each, which every curve covers."""
    for name in {row["curve"] for row in rows("efficiency.csv")}:
        minis = (
            "part,node,quantity,price [EUR],idle [W],watts at,efficiency,provides\n"
            f'supply,mini,3,30,,,"{name}",90 W supply\nboard,mini,3,100,22.5,supply,,\n'
        )
        study = load(write_study(tmp_path, minis=minis))
        (curve,) = study.efficiency.values()
        assert {100 * point.load: 100 * point.efficiency for point in curve} == pytest.approx(efficiency(name))
        assert curve[0].places["load"].file == "reference/efficiency.csv"
