"""The months of a study: their names, their years and their true hours."""

from __future__ import annotations

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

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
