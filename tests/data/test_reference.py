"""The reference curves against published numbers, typed here a second time with their source and status."""

import csv
import math
from itertools import pairwise
from pathlib import Path

import pytest

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


@pytest.mark.parametrize("name", ["failures.csv", "resale.csv"])
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
