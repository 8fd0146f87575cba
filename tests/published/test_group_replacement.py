"""Group replacement beside the printed tables: the renewal recursion to the last digit, and the long run."""

from __future__ import annotations

import pytest

from tests.published.group_replacement import (
    UNITS,
    B,
    C,
    E,
    Shares,
    cost_a_month,
    failures_by_month,
    mean_life,
    renewed,
)

TABLES = pytest.mark.parametrize("shares", [B, C, E], ids=["bulbs 1", "bulbs 2", "street bulbs"])


@TABLES
def test_failures_by_month_are_those_of_the_recursion(shares: Shares) -> None:
    assert failures_by_month(shares, 7) == pytest.approx(renewed(shares, 7), rel=1e-9)


@TABLES
def test_in_the_long_run_the_fleet_over_the_mean_life(shares: Shares) -> None:
    """Elementary renewal theorem."""
    assert failures_by_month(shares, 300)[-1] == pytest.approx(UNITS / mean_life(shares), rel=1e-6)


@pytest.mark.parametrize(("shares", "one", "group", "best"), [(B, 3.0, 0.7, 2), (E, 60.0, 25.0, 3)])
def test_the_cheapest_months_between_group_replacements(shares: Shares, one: float, group: float, best: int) -> None:
    costs = [cost_a_month(shares, months, one, group)() for months in range(1, 7)]
    assert costs.index(min(costs)) + 1 == best
