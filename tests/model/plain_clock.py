"""Every quarter of an hour by the clock, slowly: walk through UTC and ask what each moment is called on the spot.

Rows of hours.csv and shapes.csv are read here anew, quarter by quarter, without the tool's tables of a year.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import cache
from typing import Generic, TypeVar
from zoneinfo import ZoneInfo

from tco.study import Holiday, Period, ShapePoint

QUARTER = timedelta(minutes=15)
HOURS = 0.25  # of a quarter
NAMES = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
R = TypeVar("R", Period, ShapePoint)


@dataclass(frozen=True)
class Quarter:
    """A quarter of an hour. month: of the study; local, winter: its begin by either clock, without a zone."""

    month: int
    local: datetime
    winter: datetime

    def by(self, clock: str) -> datetime:
        """Its begin by a clock; none said: the local one."""
        return self.winter if clock == "winter" else self.local


@cache
def quarters_of(start: date, horizon: int, zone: str) -> dict[int, list[Quarter]]:
    """The quarters of each month, 1 to the horizon; a month is what the local calendar calls so."""
    found: dict[int, list[Quarter]] = {month: [] for month in range(1, horizon + 1)}
    for one in walk(start, horizon, zone):
        if one.month in found:
            found[one.month].append(one)
    return found


def walk(start: date, horizon: int, zone: str) -> Iterator[Quarter]:
    """All quarters from some days before a study to some days after it."""
    for moment, local in moments(start, horizon, zone):
        month = 12 * (local.year - start.year) + local.month - start.month + 1
        winter = moment + winter_offset(local.year, zone)
        yield Quarter(month, local.replace(tzinfo=None), winter.replace(tzinfo=None))


def moments(start: date, horizon: int, zone: str) -> Iterator[tuple[datetime, datetime]]:
    """The beginnings of these quarters in UTC and by the local clock."""
    place = ZoneInfo(zone)
    moment = datetime(start.year, start.month, 1, tzinfo=UTC) - timedelta(days=2)
    for _ in range((31 * horizon + 4) * 96):
        yield moment, moment.astimezone(place)
        moment += QUARTER


@cache
def winter_offset(year: int, zone: str) -> timedelta:
    """The least by which the local clock is ahead of UTC on any day of a year."""
    place, noon = ZoneInfo(zone), datetime(year, 1, 1, 12, tzinfo=UTC)
    ahead = [(noon + timedelta(days=day)).astimezone(place).utcoffset() for day in range(365)]
    return min(offset for offset in ahead if offset is not None)


def hours_in(year: int, month: int, zone: str) -> float:
    """True hours of a calendar month."""
    place = ZoneInfo(zone)
    after = (year + month // 12, month % 12 + 1)
    begin, end = (datetime(*one, 1, tzinfo=place).astimezone(UTC) for one in ((year, month), after))
    return (end - begin) / timedelta(hours=1)


def kind_of(day: date, holidays: Sequence[Holiday]) -> str:
    """The kind of a day: its name in the week, or a holiday."""
    listed = {holiday.day for holiday in holidays}
    return "holiday" if {f"{day:%Y-%m-%d}", f"{day:%m-%d}"} & listed else NAMES[day.weekday()]


def holds(row: R, moment: datetime, kind: str) -> bool:
    """Whether a row speaks of a moment."""
    minute = 60 * moment.hour + moment.minute
    if row.months and moment.month not in row.months:
        return False
    if row.days and kind not in row.days:
        return False
    if row.begins < row.ends:
        return row.begins <= minute < row.ends
    return minute >= row.begins or minute < row.ends


def row_at(rows: Sequence[R], moment: datetime, holidays: Sequence[Holiday]) -> R:
    """The one row that speaks of a moment; the row `otherwise` where no other does."""
    kind = kind_of(moment.date(), holidays)
    said = [row for row in rows if row.days != ("otherwise",) and holds(row, moment, kind)]
    rest = [row for row in rows if row.days == ("otherwise",)]
    (found,) = said or rest
    return found


class Calendar(Generic[R]):
    """Which row holds when, of some rows and holidays; asked once for each date and time of day."""

    def __init__(self, rows: Sequence[R], holidays: Sequence[Holiday]) -> None:
        self.rows, self.holidays = rows, holidays
        self.known: dict[tuple[int, str, int], R] = {}
        self.kinds: dict[date, str] = {}

    def at(self, moment: datetime) -> R:
        """The row of a moment."""
        day = moment.date()
        kind = self.kinds.get(day) or self.kinds.setdefault(day, kind_of(day, self.holidays))
        key = (moment.month, kind, 60 * moment.hour + moment.minute)
        if key not in self.known:
            self.known[key] = row_at(self.rows, moment, self.holidays)
        return self.known[key]
