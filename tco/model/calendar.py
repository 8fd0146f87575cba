"""The months of a study: their names, their years and their true hours."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from datetime import UTC, date, datetime
from itertools import pairwise
from zoneinfo import ZoneInfo

from tco.study import Settings, Version

MONTHS = "months"  # the axis on which the months of all tables meet


def month_after(start: date, months: int) -> date:
    """The first day of the calendar month that many months after the first month."""
    years, month = divmod(start.month - 1 + months, 12)
    return date(start.year + years, month + 1, 1)


def months_between(start: date, end: date) -> int:
    """Whole calendar months from one month to another; negative where `end` is earlier."""
    return (end.year - start.year) * 12 + end.month - start.month


def true_hours(start: date, zone: str) -> float:
    """Hours of one calendar month in a time zone: 743 or 745 in a 31-day month whose clocks change."""
    place = ZoneInfo(zone)
    first, last = (
        datetime(day.year, day.month, 1, tzinfo=place).astimezone(UTC) for day in (start, month_after(start, 1))
    )
    return (last - first).total_seconds() / 3600


def month_names(start: date, horizon: int) -> list[str]:
    """Row labels of months 0..horizon: `start`, then the calendar months, `2026-12` and on."""
    return ["start", *(f"{month_after(start, t):%Y-%m}" for t in range(horizon))]


def hours_of(start: date, horizon: int, zone: str) -> list[float]:
    """True hours of months 0..horizon; month 0 is a moment and has none."""
    return [0.0, *(true_hours(month_after(start, t), zone) for t in range(horizon))]


def days_of(start: date, horizon: int) -> list[float]:
    """Days of months 0..horizon; month 0 is a moment and has none."""
    firsts = [month_after(start, t) for t in range(horizon + 1)]
    return [0.0, *(float((after - first).days) for first, after in pairwise(firsts))]


def shares_of_year(settings: Settings) -> list[float]:
    """The hours of months 0..horizon as shares of their calendar year's."""

    def whole(year: int) -> float:
        return sum(hours_of(date(year, 1, 1), 12, settings.time_zone))

    months = [month_after(settings.start, t) for t in range(settings.horizon)]
    years = {year: whole(year) for year in {month.year for month in months}}
    return [0.0, *(true_hours(month, settings.time_zone) / years[month.year] for month in months)]


def versions_of(settings: Settings, versions: Sequence[Version]) -> list[int]:
    """Which version of a tariff holds in months 0..horizon, counted from 1; month 0 has what month 1 has."""
    starts = [months_between(settings.start, version.start) for version in versions]
    return [max(1, bisect_right(starts, max(0, t - 1))) for t in range(settings.horizon + 1)]


def grown_years(month: int, step: str) -> float:
    """For how many years prices have grown by a month: its twelfths, or whole years of which the first is grown."""
    return month / 12 if step == "month" else float(year_of(month))


def moments_of(horizon: int, timing: str) -> list[float]:
    """The month at which each month's recurring costs count: its own end, or its year's end or middle.

    A last year that the horizon cuts short ends with it.
    """
    ends = [min(12 * year, horizon) for year in years_of(horizon)]
    if timing == "month-end":
        return [float(month) for month in range(horizon + 1)]
    if timing == "year-end":
        return [float(end) for end in ends]
    return [(end + 12 * max(0, year - 1)) / 2 for year, end in zip(years_of(horizon), ends, strict=True)]


def year_of(month: int) -> int:
    """The year a month belongs to: 0 for the start, then 1 for months 1 to 12, and so on."""
    return (month + 11) // 12


def years_of(horizon: int) -> list[int]:
    """The year each month belongs to, months 0..horizon."""
    return [year_of(month) for month in range(horizon + 1)]
