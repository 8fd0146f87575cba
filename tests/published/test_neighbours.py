"""What stands beside the printed figures: other ways to the same number, and slips that must give another."""

from __future__ import annotations

import numpy as np
import numpy_financial as npf
import pytest

from tests.published.budgets import best_set
from tests.published.discounting import CONSTANT, ENERGY, stated
from tests.published.factors import uniform
from tests.published.functions import MIRR
from tests.published.level_amounts import CAR, DEFENDER, ECONOMIC_LIFE, FREE_DEFENDER, LIFT_TRUCK
from tests.published.paybacks import DISCOUNTED, FOUR_YEARS
from tests.published.returns import LOST, THERMAL, THREE_RATES, TWO_RATES, several
from tests.published.written import (
    Example,
    Item,
    Once,
    Yearly,
    against_nothing,
    alone,
    cash,
    figure,
    figures,
    kept,
    level_kept,
    series,
)


@pytest.mark.parametrize("stated_ways", [CONSTANT, ENERGY], ids=["constant worth", "energy"])
def test_all_ways_to_state_the_money_give_one_figure(stated_ways: dict[str, Example]) -> None:
    found = [figure(example, "lcc") for example in stated_ways.values()]
    assert found == pytest.approx([found[0]] * len(found), rel=1e-12)


@pytest.mark.parametrize(
    ("slip", "right", "wrong"),
    [
        (stated("real", "15.45 %", 0.03, 4, Yearly(1000, 1, 4)), 2855.00, 1000 * uniform(0.1545, 4)),
        (stated("real", "5 %", 0.25, 3, Yearly(25000, 1, 3)), 69377, 25000 * uniform(0.05, 3)),
    ],
)
def test_subtracting_inflation_from_a_rate_gives_another_figure(slip: Example, right: float, wrong: float) -> None:
    """18.45 % less 3 % is 15.45 %, but the real rate is 15 %; with 30 % and 25 % it is 4 %, not 5 %."""
    assert figure(slip, "lcc") == pytest.approx(wrong, rel=1e-9)
    assert abs(figure(slip, "lcc") / right - 1) > 0.005


def test_the_year_in_which_growth_begins_matters() -> None:
    """Insulation: 184 is what is saved in year 1. Taken for today's price it would give 2,820.61, not 2,518."""
    slip = against_nothing(20, 0.15, Yearly(-184, 1, 20, 0.12))
    assert figure(slip, "net_savings") == pytest.approx(2820.61, abs=0.005)


def truck(years: int) -> tuple[Item, ...]:
    """The lift truck, sold as a one-off."""
    overhauls = [Once(amount, year) for year, amount in ((5, 3000.0), (7, 4500.0)) if year <= years]
    resale = Once(-10000 * 0.75 ** (years - 1), years)
    return (Once(18000), Yearly(1000 / 1.15, 1, years, 0.15), *overhauls, resale)


def machine(years: int) -> tuple[Item, ...]:
    """Blank & Tarquin's machine, sold as a one-off."""
    sold = (10000.0, 8000, 5000, 5000, 3000)[years - 1]
    return (Once(20000), *series((5000.0, 6500, 9000, 11000, 15000)[:years]), Once(-sold, years))


@pytest.mark.parametrize("years", range(1, 8))
def test_the_table_of_holding_periods_is_what_studies_of_that_length_give(years: int) -> None:
    studies = [(LIFT_TRUCK, alone(years, 0.15, *truck(years)))]
    if years <= 5:
        studies.append((ECONOMIC_LIFE, alone(years, 0.10, *machine(years))))
    for whole, short in studies:
        assert kept(whole, years) == pytest.approx(figure(short, "lcc"), rel=1e-9)
        assert figure(whole, level_kept(years)) == pytest.approx(figure(short, "equivalent_year"), rel=1e-9)


def test_the_car_is_cheapest_in_the_year_in_which_its_printed_table_is_lowest() -> None:
    assert figure(CAR, "economic_life") == 2


def test_owned_gear_that_is_taken_for_free_costs_less() -> None:
    """12,000 today at 10 % is 13,200 at the end of year 1."""
    difference = figure(DEFENDER, level_kept(1)) - figure(FREE_DEFENDER, level_kept(1))
    assert difference == pytest.approx(13200, abs=1e-6)


@pytest.mark.parametrize("example", [TWO_RATES, LOST], ids=["9.18 % and 62.25 %", "lost"])
def test_all_rates_are_named_as_roots_of_the_polynomial_are(example: Example) -> None:
    """Not printed: OpenStax says that there are two, without their values."""
    flows = {TWO_RATES: [-350, 950, -620], LOST: [-100, 100, 0, -7]}[example]
    roots = np.roots(flows)
    rates = sorted(float(root.real) - 1 for root in roots if abs(root.imag) < 1e-12 and root.real > 0)
    assert several(example) == pytest.approx(rates, abs=0.00005)
    assert len(rates) == 2


def test_a_printed_rate_among_three_is_not_picked() -> None:
    text = figures(THREE_RATES)["it", "rate_of_return"]
    low, high = several(THREE_RATES)
    assert str(text).startswith("several (3): ")
    assert low < 0.0886 < high


@pytest.mark.parametrize("rate", [0.10, 0.20])
@pytest.mark.parametrize("flows", [MIRR, THERMAL, FOUR_YEARS], ids=["help", "windows", "four years"])
def test_the_adjusted_rate_is_the_librarys_mirr_where_all_is_invested_at_the_start(
    flows: tuple[float, ...], rate: float
) -> None:
    found = figure(cash(rate, *flows), "adjusted_rate_of_return")
    assert found == pytest.approx(float(npf.mirr(flows, rate, rate)), abs=1e-12)


def test_discounted_payback_lies_straight_between_the_years() -> None:
    """After year 3 1,329.83 are still out, of 6,830.13 that year 4 brings: 3.1947 years."""
    out = -float(npf.npv(0.10, FOUR_YEARS[:4]))
    assert figure(DISCOUNTED, "discounted_payback") == pytest.approx(3 + out / (10000 / 1.1**4), rel=1e-9)


def test_the_best_set_under_the_budget_is_the_printed_one() -> None:
    assert best_set() == ("A", "E", "F")


@pytest.mark.parametrize(
    "measure",
    [
        "rate_of_return",
        "savings_to_investment_ratio",
        "adjusted_rate_of_return",
        "simple_payback",
        "discounted_payback",
    ],
)
def test_the_baseline_has_no_return_on_itself(measure: str) -> None:
    assert str(figures(DISCOUNTED)["nothing", measure]).startswith("none: ")
