"""True hours of months. Sources: the zones' clock changes in the tz database, counted here by slow quarter-hours."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tco.model.calendar import hours_of, month_after, month_names, months_between, true_hours, years_of


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
