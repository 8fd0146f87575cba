"""True hours of months. Sources: the zones' clock changes in the tz database, counted here by slow quarter-hours."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tco.model.calendar import (
    grown_years,
    hours_of,
    moments_of,
    month_after,
    month_names,
    months_between,
    true_hours,
    versions_of,
    years_of,
)
from tco.settings import Settings
from tco.study import Version


@pytest.mark.parametrize(
    ("month", "zone", "hours"),
    [
        (date(2027, 3, 1), "Europe/Vienna", 743),  # clocks go forward on 28 March
        (date(2027, 10, 1), "Europe/Vienna", 745),  # and back on 31 October
        (date(2027, 7, 1), "Europe/Vienna", 744),
        (date(2028, 2, 1), "Europe/Vienna", 696),  # a leap year
        (date(2027, 4, 1), "Australia/Lord_Howe", 720.5),  # half an hour back
        (date(2027, 10, 1), "Asia/Kolkata", 744),  # no clock changes
    ],
)
def test_months_with_clock_changes(month: date, zone: str, hours: float) -> None:
    assert true_hours(month, zone) == hours


@pytest.mark.parametrize("zone", ["Europe/Vienna", "America/Chicago", "Australia/Lord_Howe", "Asia/Kolkata"])
def test_hours_equal_a_slow_count(zone: str) -> None:
    """Every quarter-hour of 2027, by the month that a wall clock in the zone shows."""
    place, counted = ZoneInfo(zone), [0] * 13
    moment = datetime(2026, 12, 31, tzinfo=UTC)
    while moment < datetime(2028, 1, 2, tzinfo=UTC):
        local = moment.astimezone(place)
        counted[local.month] += local.year == 2027
        moment += timedelta(minutes=15)
    assert [true_hours(date(2027, m, 1), zone) for m in range(1, 13)] == [n / 4 for n in counted[1:]]


def test_month_0_is_a_moment() -> None:
    assert hours_of(date(2026, 12, 1), 2, "UTC") == [0, 744, 744]
    assert month_names(date(2026, 12, 1), 2) == ["start", "2026-12", "2027-01"]
    assert years_of(13) == [0, *[1] * 12, 2]


def test_months_apart() -> None:
    assert month_after(date(2026, 12, 1), 14) == date(2028, 2, 1)
    assert months_between(date(2026, 12, 1), date(2028, 2, 1)) == 14
    assert months_between(date(2026, 12, 1), date(2026, 1, 1)) == -11


def test_when_recurring_costs_count() -> None:
    """Of 15 months: the first year counts at 12 or 6, the cut-short second one at 15 or half-way from 12 to 15."""
    assert moments_of(15, "month-end") == list(range(16))
    assert moments_of(15, "year-end") == [0, *[12] * 12, *[15] * 3]
    assert moments_of(15, "mid-year") == [0, *[6] * 12, *[13.5] * 3]


def test_prices_grow_by_the_month_or_once_a_year() -> None:
    """By the year, the first year's price is grown already (NIST Handbook 135's convention)."""
    assert [grown_years(month, "month") for month in (0, 1, 18)] == [0, 1 / 12, 1.5]
    assert [grown_years(month, "year") for month in (0, 1, 12, 13)] == [0, 1, 1, 2]


@pytest.mark.parametrize(
    ("starts", "expected"),
    [
        ([date(2026, 1, 1)], [1, 1, 1, 1, 1]),
        ([date(2026, 1, 1), date(2027, 1, 1)], [1, 1, 2, 2, 2]),  # a price that rises in the second month
        ([date(2026, 1, 1), date(2026, 12, 1), date(2027, 3, 1)], [2, 2, 2, 2, 3]),  # in the first, and in the last
        ([date(2027, 2, 1)], [1, 1, 1, 1, 1]),  # what is known first holds before as well
    ],
)
def test_each_month_has_the_version_that_began_last(starts: list[date], expected: list[int]) -> None:
    settings = Settings(
        question="", currency="EUR", time_zone="UTC", discount=0.0, start=date(2026, 12, 1), horizon=len(expected) - 1
    )
    assert versions_of(settings, [Version(tariff="grid", start=start) for start in starts]) == expected
