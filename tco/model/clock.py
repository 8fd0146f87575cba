"""Every quarter of an hour of a study's months: its day and time by the local clock, and by winter time.

Counted in UTC, where no hour is missing or double. Time zones are those of the tz database; changes of clocks fall on
quarters of an hour today, and the few of earlier years that did not count from the next quarter.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from tco.electricity import DAY_SLOTS, DAYS, SLOTS, STEP, WEEK, Holiday, Timed, year_of
from tco.model.calendar import month_after

Numbers = NDArray[np.int64]
QUARTER = timedelta(minutes=STEP)
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, eq=False)
class Quarters:
    """All quarters of an hour of a study, in order. Each array has shape (quarters,).

    month: of the study, 1 to the horizon, by the local calendar.
    local, winter: quarters since 1970-01-01 00:00 by the local clock and by winter time.
    """

    month: Numbers
    local: Numbers
    winter: Numbers


@lru_cache(maxsize=2)
def quarters(start: date, horizon: int, zone: str) -> Quarters:
    """The quarters of the months that follow `start`, in a time zone."""
    place = ZoneInfo(zone)
    edges = [number(midnight(month_after(start, month), place)) for month in range(horizon + 1)]
    utc = np.arange(edges[0], edges[-1])
    spans = list(offsets(edges[0], edges[-1], place))
    sizes = [last - first for first, last, _ in spans]
    offset = np.repeat([ahead for *_, ahead in spans], sizes)
    month = np.repeat(np.arange(1, horizon + 1), np.diff(edges))
    return Quarters(month, utc + offset, utc + winter_offset(edges[0], place))


def midnight(day: date, place: ZoneInfo) -> datetime:
    """The moment at which a day begins by the local clock."""
    return datetime(day.year, day.month, day.day, tzinfo=place).astimezone(UTC)


def number(moment: datetime) -> int:
    """Whole quarters of an hour since 1970 in UTC."""
    return (moment - EPOCH) // QUARTER


def offsets(first: int, last: int, place: ZoneInfo) -> Iterator[tuple[int, int, int]]:
    """Spans of quarters with one offset from UTC: (first, one past the last, the offset in quarters)."""
    start, here = first, ahead(first, place)
    for day in range(first, last, SLOTS):
        end = min(day + SLOTS, last)
        while ahead(end, place) != here and end > start:
            change = changes_at(max(start, day), end, place)
            yield start, change, here
            start, here = change, ahead(change, place)
    yield start, last, here


def changes_at(low: int, high: int, place: ZoneInfo) -> int:
    """The first quarter whose offset differs from that of `low`, by halving; `high` differs."""
    before = ahead(low, place)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if ahead(middle, place) == before else (low, middle)
    return high


def ahead(quarter: int, place: ZoneInfo) -> int:
    """By how many quarters the local clock is ahead of UTC."""
    offset = (EPOCH + quarter * QUARTER).astimezone(place).utcoffset()
    assert offset is not None
    return offset // QUARTER


def winter_offset(first: int, place: ZoneInfo) -> int:
    """The zone's winter time: its least offset from UTC in the year after a quarter, in quarters."""
    return min(ahead(first + week * 7 * SLOTS, place) for week in range(53))


def year_slots(clock: Numbers, holidays: Sequence[Holiday]) -> Numbers:
    """The slot of the year (electricity.py) of each quarter of a clock: month, kind of day, quarter of the day."""
    days, slots = np.divmod(clock, SLOTS)
    every = np.arange(days.min(), days.max() + 1)
    month = every.astype("datetime64[D]").astype("datetime64[M]").astype(int) % 12
    kind = (every + THURSDAY) % len(WEEK)
    kind[np.isin(every, holiday_numbers(every, holidays))] = DAYS.index("holiday")
    found: Numbers = (month * DAY_SLOTS + kind * SLOTS)[days - every[0]] + slots
    return found


THURSDAY = 3  # 1970-01-01 was one; weeks are counted from Monday


def holiday_numbers(days: Numbers, holidays: Sequence[Holiday]) -> list[int]:
    """The holidays among days, as days since 1970; one of every year counts in every year that has it."""
    text = np.datetime_as_string(days.astype("datetime64[D]")).tolist()
    listed = {holiday.day for holiday in holidays}
    return [int(day) for day, word in zip(days, text, strict=True) if word in listed or word[5:] in listed]


def numbers_of(rows: Sequence[Timed]) -> Numbers:
    """Which row holds in each slot of the year, by number."""
    return np.array(year_of(rows), dtype=np.int64)


def added_up(found: Quarters, group: Numbers, groups: int, weights: NDArray[np.float64] | None = None) -> Any:
    """Hours by month and group, or hours times weights; shape (horizon + 1, groups). Month 0 has none."""
    horizon = int(found.month[-1])
    key = found.month * groups + group
    return np.bincount(key, weights, (horizon + 1) * groups).reshape(horizon + 1, groups) / (60 / STEP)
