"""Savings, ratios, rates of return and paybacks against plain computations; each reason for there being none."""

from __future__ import annotations

import random
from pathlib import Path

import numpy as np
import numpy_financial as npf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tco
from tests.ask.test_crossings import NONE, STUDY
from tests.studies import write_study

HEAD = STUDY.replace("discount,0\n", "")


def against(
    folder: Path, dated: dict[int, float], monthly: dict[int, float], months: int, more: str = "discount,5 %\n"
) -> dict[str, object]:
    """Measures of a scenario that costs `dated` and, as fees, `monthly`, against a baseline that costs nothing."""
    once = [f"b,x,{month},{amount} EUR" for month, amount in dated.items()]
    fees = [f"b,y,{amount},{month},{month}" for month, amount in monthly.items()]
    tables = {
        **NONE,
        "study": HEAD.format(months=months) + more,
        "scenarios": "scenario,baseline\na,yes\nb,\n",
        "one_offs": "\n".join(["scenario,what,month,amount", "a,z,0,0", "b,z,0,0", *once]) + "\n",
        "fees": "\n".join(["scenario,fee,amount [EUR/month],first,last", "a,z,0,,", *fees]) + "\n",
    }
    found = tco.measures(tco.compare(tco.load(write_study(folder, **tables))))
    own = found[found.scenario == "b"]
    return dict(zip(own.measure, own.value, strict=True))


def month_rate(yearly: float) -> float:
    return (1 + yearly) ** (1 / 12) - 1


def test_ratio_and_adjusted_rate_by_hand(tmp_path: Path) -> None:
    """500 at the start and 100 in month 12 save 30 a month for 2 years, at 5 %."""
    found = against(tmp_path, {0: 500, 12: 100}, dict.fromkeys(range(1, 25), -30.0), 24)
    saved = float(-npf.pv(month_rate(0.05), 24, 30))
    extra = 500 + 100 / 1.05
    assert found["operating_savings"] == pytest.approx(saved)
    assert found["extra_investment"] == pytest.approx(extra)
    assert found["net_savings"] == pytest.approx(saved - extra)
    assert found["savings_to_investment_ratio"] == pytest.approx(saved / extra)
    assert found["adjusted_rate_of_return"] == pytest.approx(1.05 * (saved / extra) ** 0.5 - 1)


def test_adjusted_rate_is_the_librarys_mirr_where_all_is_invested_at_once(tmp_path: Path) -> None:
    flows = [-400.0, *(25.0 + month for month in range(1, 13))]
    found = against(tmp_path, {0: 400}, {m: -flows[m] for m in range(1, 13)}, 12)
    rate = month_rate(0.05)
    assert found["adjusted_rate_of_return"] == pytest.approx((1 + npf.mirr(flows, rate, rate)) ** 12 - 1, rel=1e-9)


@settings(max_examples=30, deadline=None, derandomize=True)
@given(seed=st.integers(0, 10_000))
def test_one_change_of_sign_has_one_rate_the_librarys(seed: int, tmp_path_factory: pytest.TempPathFactory) -> None:
    rng = random.Random(seed)
    months = rng.randint(2, 40)
    flows = [-round(rng.uniform(50, 900), 2), *(round(rng.uniform(1, 90), 2) for _ in range(months))]
    found = against(
        tmp_path_factory.mktemp("x"), {0: -flows[0]}, {m: -flows[m] for m in range(1, months + 1)}, months
    )
    monthly = npf.irr(flows)
    yearly = (1 + monthly) ** 12 - 1
    if -0.99 < yearly < 10:
        assert found["rate_of_return"] == pytest.approx(yearly, rel=1e-6)
    else:
        assert found["rate_of_return"] == "none from −99 % to 1,000 %"
    assert found["simple_payback"] == plain_payback(np.array(flows))
    worth = np.array(flows) / 1.05 ** (np.arange(months + 1) / 12)
    assert found["discounted_payback"] == plain_payback(worth)


def plain_payback(flows: np.ndarray) -> object:
    """Years until the running total stays at 0 or above, straight between months; or why not."""
    total = 0.0
    back = None
    for month, flow in enumerate(flows):
        before, total = total, total + flow
        if month and before < -0.005 <= total:
            back = month - 1 + before / (before - total) if total > 0 else float(month)
    return pytest.approx(back / 12, rel=1e-6) if back and total >= -0.005 else "none: not within the horizon"


def test_two_rates_are_both_told(tmp_path: Path) -> None:
    """OpenStax Principles of Finance 16.3: -350, 950, -620; recomputed 9.1797 % and 62.2488 %."""
    found = against(tmp_path, {0: 350, 12: -950, 24: 620}, {}, 24)
    assert found["rate_of_return"] == "several: 9.18 % and 62.25 %"
    assert found["rate_of_return_1"] == pytest.approx(0.091797, abs=5e-7)
    assert found["rate_of_return_2"] == pytest.approx(0.622488, abs=5e-7)


def test_three_rates_are_counted(tmp_path: Path) -> None:
    """Roots at 10 %, 20 % and 30 %: (x - 1.1)(x - 1.2)(x - 1.3) with x = 1 + rate."""
    flows = [1000 * value for value in np.poly([1.1, 1.2, 1.3])]
    found = against(tmp_path, {12 * year: -flow for year, flow in enumerate(flows)}, {}, 36)
    assert found["rate_of_return"] == "several (3): 10.00 % to 30.00 %"
    assert [found[f"rate_of_return_{n}"] for n in (1, 2, 3)] == pytest.approx([0.1, 0.2, 0.3], rel=1e-9)


def test_two_changes_of_sign_and_one_rate(tmp_path: Path) -> None:
    """-100, +300 after a year, -1 after two: one rate of 199.7 %, the other below -99 %, where none is told."""
    found = against(tmp_path, {0: 100, 12: -300, 24: 1}, {}, 24)
    high, low = sorted(np.roots([-100, 300, -1]) - 1, reverse=True)
    assert low < -0.99
    assert found["rate_of_return"] == pytest.approx(high, rel=1e-9)
    assert found["borrowing_rate"] == "none: it is no loan"


def test_the_one_rate_of_a_loan_is_no_return(tmp_path: Path) -> None:
    """The same with all signs turned: 100 saved at the start, 300 paid after a year, 1 saved after two."""
    found = against(tmp_path, {0: -100, 12: 300, 24: -1}, {}, 24)
    assert found["rate_of_return"] == "none: saves first, pays later"
    assert found["borrowing_rate"] == pytest.approx(max(np.roots([-100, 300, -1])) - 1, rel=1e-9)
    months = dict.fromkeys(range(1, 21), 90.0)
    rented = against(tmp_path / "rented", {0: -1000, 24: -30}, months, 24)
    flows = [1000.0, *[-90.0] * 20, 0.0, 0.0, 0.0, 30.0]
    assert rented["rate_of_return"] == "none: saves first, pays later"
    assert rented["borrowing_rate"] == pytest.approx((1 + npf.irr(flows)) ** 12 - 1, rel=1e-9)


def test_no_rate_where_the_worth_is_never_0(tmp_path: Path) -> None:
    """-100, +150, -100: the present value is below 0 at every rate."""
    found = against(tmp_path, {0: 100, 12: -150, 24: 100}, {}, 24)
    assert found["rate_of_return"] == "none from −99 % to 1,000 %"


@pytest.mark.parametrize(("timing", "power"), [("year-end", 0), ("mid-year", 0.5)])
def test_timing_moves_recurring_savings_only(timing: str, power: float, tmp_path: Path) -> None:
    """100 at the start saves 60 in each of two years, counted at the end or in the middle of each."""
    monthly = dict.fromkeys(range(1, 25), -5.0)
    found = against(tmp_path, {0: 100}, monthly, 24, f"discount,5 %\ntiming,{timing}\n")
    rate = found["rate_of_return"]
    assert -100 + 60 * (1 + rate) ** (power - 1) + 60 * (1 + rate) ** (power - 2) == pytest.approx(0, abs=1e-9)
    assert found["simple_payback"] == pytest.approx(20 / 12)
    assert found["net_savings"] == pytest.approx(-100 + 60 * 1.05 ** (power - 1) + 60 * 1.05 ** (power - 2))


def test_the_middle_of_a_cut_year_may_fall_between_months(tmp_path: Path) -> None:
    """15 months: the second year's three months count half-way, after 13.5 months."""
    monthly = dict.fromkeys(range(1, 16), -10.0)
    found = against(tmp_path, {0: 100}, monthly, 15, "discount,5 %\ntiming,mid-year\n")
    growth = 1 + found["rate_of_return"]
    assert -100 + 120 * growth ** (-6 / 12) + 30 * growth ** (-13.5 / 12) == pytest.approx(0, abs=1e-9)


def test_each_reason_is_reached(tmp_path: Path) -> None:
    same = against(tmp_path / "same", {}, {}, 12)
    assert same["savings_to_investment_ratio"] == "none: no extra investment"
    assert same["rate_of_return"] == same["simple_payback"] == "none: never costs more"
    assert same["level_horizon"] == "none: same at every horizon"
    dearer = against(tmp_path / "dearer", {0: 50}, {}, 12)
    assert dearer["savings_to_investment_ratio"] == 0
    assert dearer["adjusted_rate_of_return"] == "none: operation saves nothing"
    assert dearer["rate_of_return"] == "none: one sign throughout"
    assert dearer["simple_payback"] == dearer["discounted_payback"] == "none: not within the horizon"
    assert dearer["level_horizon"] == "none: more at every horizon"
    cheaper = against(tmp_path / "cheaper", {0: -50}, {}, 12)
    assert cheaper["adjusted_rate_of_return"] == "none: no extra investment"
    assert cheaper["level_horizon"] == "none: less at every horizon"
    lost = against(tmp_path / "lost", {0: 50, 6: -80, 9: 90}, {}, 12)
    assert lost["simple_payback"] == "none: falls behind again"
    first = against(tmp_path / "first", {0: -50, 6: 80}, {}, 12)
    assert first["rate_of_return"] == "none: saves first, pays later"
    assert first["borrowing_rate"] == pytest.approx((80 / 50) ** 2 - 1)
    assert first["simple_payback"] == "none: ahead first, then behind"
    assert dearer["borrowing_rate"] == lost["borrowing_rate"] == "none: it is no loan"
    fast = against(tmp_path / "fast", {0: 1, 1: -50}, {}, 12)
    assert fast["rate_of_return"] == "none from −99 % to 1,000 %"


def test_the_baseline_is_not_measured_against_itself(tmp_path: Path) -> None:
    against(tmp_path, {0: 50}, {}, 12)
    found = tco.measures(tco.compare(tco.load(tmp_path))).set_index(["scenario", "measure"]).value
    for measure in ("savings_to_investment_ratio", "adjusted_rate_of_return", "rate_of_return", "simple_payback"):
        assert found["a", measure] == "none: it is the baseline"
    assert found["a", "net_savings"] == 0


def test_level_horizons_are_all_told(tmp_path: Path) -> None:
    """50 more at the start, 80 less in month 6, 90 more in month 9 and 70 less in month 11, nothing discounted."""
    found = against(tmp_path, {0: 50, 6: -80, 9: 90, 11: -70}, {}, 12, "discount,0\n")
    names = [name for name in found if str(name).startswith("level_horizon_")]
    assert names == ["level_horizon_1_ahead", "level_horizon_2_behind", "level_horizon_3_ahead"]
    assert [found[name] for name in names] == pytest.approx([5 + 50 / 80, 8 + 30 / 90, 10 + 60 / 70])
    assert found["level_horizon"] == pytest.approx(10 + 60 / 70)


def test_level_at_the_horizon_is_level_there(tmp_path: Path) -> None:
    """600 at once against 10 a month for 60 months, nothing discounted: as dear at the very end."""
    found = against(tmp_path, {0: 600}, dict.fromkeys(range(1, 61), -10.0), 60, "discount,0\n")
    assert found["level_horizon"] == 60
    assert found["net_savings"] == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("rate", ["5.05 %", "3.77 %", "0.0000000001 %"])
def test_a_discount_rate_next_to_nothing(rate: str, tmp_path: Path) -> None:
    """Equal to inflation in real money, it is exactly 0; a tiny one loses no digits."""
    kinds = f"money,real\ninflation,{rate}\ndiscount,{rate} nominal\n" if len(rate) < 8 else f"discount,{rate}\n"
    found = against(tmp_path, {0: 600}, dict.fromkeys(range(1, 61), 10.0), 60, kinds)
    assert found["equivalent_month"] == pytest.approx((600 + 10 * 60) / 60, rel=1e-8)
