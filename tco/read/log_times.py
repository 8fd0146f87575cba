"""The times of a metered log in UTC, where no hour is missing or double; rows out of order, rows that stand twice.

Where clocks go back, an hour (in some zones half of one) of local time comes twice. Which of the two a row means is
told by the order of the rows: from the first step backwards within that hour on it is the second one.
All changes of clocks of this century fall on quarters of an hour, by local time and in UTC.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from tco.read.log_cells import SECOND, Amounts, Ticks, Times
from tco.read.log_rows import Rows
from tco.read.problems import Problems, shown

EPOCH = datetime(1970, 1, 1)
QUARTER = 15 * 60 * SECOND
QUARTERS = 96  # of a day
DAY = QUARTERS * QUARTER


@dataclass(frozen=True)
class Clock:
    """How far the local clock of a time zone is ahead of UTC."""

    zone: ZoneInfo

    def of_local(self, local: Ticks) -> tuple[Ticks, Ticks]:
        """For local times: where they are met the first time, and the second time [ticks].

        Both are the same but where clocks go back (the first is larger), or where a time is skipped (smaller).
        """
        quarters, counts = runs(local // QUARTER)
        both = np.array([self.both(quarter) for quarter in quarters], dtype=np.int64).reshape(-1, 2)
        return np.repeat(both[:, 0], counts), np.repeat(both[:, 1], counts)

    def both(self, quarter: int) -> tuple[int, int]:
        """As `of_local`, for one quarter of an hour of local time, counted from 1970."""
        if (always := steady(self.zone, quarter // QUARTERS)) is not None:
            return always, always
        moment = (EPOCH + quarter * timedelta(minutes=15)).replace(tzinfo=self.zone)
        return ticks_ahead(moment.replace(fold=0)), ticks_ahead(moment.replace(fold=1))

    def of_utc(self, quarters: Ticks) -> Ticks:
        """For quarters of an hour of UTC, counted from 1970 [quarters]."""
        unique, counts = runs(quarters)
        found = np.array([self._of_utc(quarter) for quarter in unique], dtype=np.int64)
        return np.repeat(found // QUARTER, counts)

    def _of_utc(self, quarter: int) -> int:
        always = steady(self.zone, quarter // QUARTERS)
        return ticks_ahead(self.local(quarter * QUARTER)) if always is None else always

    def local(self, moment: int) -> datetime:
        """A moment of UTC [ticks] by the local clock."""
        return (EPOCH.replace(tzinfo=UTC) + timedelta(microseconds=moment)).astimezone(self.zone)


@lru_cache(maxsize=50_000)
def steady(zone: ZoneInfo, day: int) -> int | None:
    """How far the local clock is ahead all through a day (since 1970) and the two beside it; None where it changes.

    Asked first, because it is known at once for almost all rows. No zone changes its clocks twice within three days.
    """
    first, last = ((EPOCH + timedelta(days=day + more)).replace(tzinfo=zone) for more in (-1, 2))
    found = ticks_ahead(first)
    return found if found == ticks_ahead(last) else None


def runs(numbers: Ticks) -> tuple[list[int], Ticks]:
    """(each run of equal numbers once, how many it has): what is in order has few, and needs no sorting."""
    starts = np.flatnonzero(np.diff(numbers, prepend=numbers[:1] - 1))
    return numbers[starts].tolist(), np.diff(starts, append=len(numbers))


def ticks_ahead(moment: datetime) -> int:
    """How far a local time is ahead of UTC."""
    offset = moment.utcoffset()
    assert offset is not None
    return offset // timedelta(microseconds=1)


@dataclass(frozen=True)
class Readings:
    """Rows in the order of time, each time once. utc: their times; lines: where they stand in the file.

    told: what was found while they were put in order.
    """

    utc: Ticks
    amounts: Amounts
    lines: NDArray[np.int64]
    told: tuple[str, ...]


def in_order(rows: Rows, times: Times, amounts: Amounts, clock: Clock, problems: Problems) -> Readings | None:
    """The rows by UTC, those that stand twice left out; None where their order makes no sense, which is told."""
    back = int((np.diff(times.local) < 0).sum())
    if back > len(times.local) // 2:
        message = "time: the rows run from the newest to the oldest; sort them by time, the oldest first"
        problems.add(rows.place(1, "time"), message)
        return None
    told: list[str] = []
    if times.ahead is None:
        skipped, utc = _by_order(times.local, clock, told)
        _tell_skipped(rows, skipped, clock, problems)
    else:
        skipped, utc = [], times.local - times.ahead
    steps = np.diff(utc)
    unknown = {near for row in skipped for near in (row, row + 1)}
    wrong = [row for row in (np.flatnonzero(steps < 0) + 1).tolist() if row not in unknown]
    rows.tell(problems, wrong, "time", lambda row: _backwards(rows, row), "times that run backwards")
    same = np.flatnonzero(steps == 0) + 1
    unlike = same[amounts[same] != amounts[same - 1]].tolist()
    rows.tell(problems, unlike, rows.form, lambda row: _unlike(rows, row), "two amounts at the same time")
    if skipped or wrong or unlike:
        return None
    keep = np.append(True, steps != 0)
    if len(same):
        told.append(f"{len(same)} row{'s' * (len(same) > 1)} stood twice")
    return Readings(utc[keep], amounts[keep], np.array(rows.lines)[keep], tuple(told))


def _backwards(rows: Rows, row: int) -> str:
    before = f"{shown(rows.times[row - 1].strip())} in line {rows.lines[row - 1]}"
    return f"{shown(rows.times[row].strip())} comes after {before}; rows stand in the order of their times"


def _unlike(rows: Rows, row: int) -> str:
    here, before = rows.amounts[row].strip(), rows.amounts[row - 1].strip()
    return f"{shown(here)}, but {shown(before)} at the same time in line {rows.lines[row - 1]}; keep the right one"


def _tell_skipped(rows: Rows, skipped: list[int], clock: Clock, problems: Problems) -> None:
    """Report local times that never were."""
    why = f"clocks in {clock.zone.key} went forward over this time"
    right = "if the meter's clock did not, write each time with its offset, such as +01:00"
    rows.tell(problems, skipped, "time", lambda row: f"{shown(rows.times[row].strip())}: {why}; {right}", why)


def _by_order(local: Ticks, clock: Clock, told: list[str]) -> tuple[list[int], Ticks]:
    """(rows whose time does not exist, all times in UTC); what was found at changes of clocks goes to `told`."""
    first, second = clock.of_local(local)
    ahead = first.copy()
    steps = np.diff(local)
    usual = float(np.median(steps[steps > 0])) if (steps > 0).any() else 0.0
    for start, end in _double(local, first > second):
        turn = start + _turn(local[start:end], usual >= first[start] - second[start])
        ahead[turn:end] = second[turn:end]
        told.append(_clocks_back(int(local[start] // QUARTER), clock, twice=turn < end))
    return np.flatnonzero(first < second).tolist(), local - ahead


def _double(local: Ticks, double: NDArray[np.bool_]) -> Iterator[tuple[int, int]]:
    """Runs of rows (first, one past the last) in the same hour that comes twice."""
    where = np.flatnonzero(double)
    if len(where):
        breaks = np.flatnonzero((np.diff(where) > 1) | (np.abs(np.diff(local[where])) > DAY)) + 1
        for run in np.split(where, breaks):
            yield int(run[0]), int(run[-1]) + 1


def _turn(local: Ticks, sparse: np.bool_ | bool) -> int:
    """The row of such a run from which on the hour comes the second time; the number of rows if it does not.

    sparse: rows are so far apart that one of the second time may bear the same time as one of the first.
    """
    steps = np.diff(local)
    turns = np.flatnonzero(steps <= 0 if sparse else steps < 0)
    return int(turns[0]) + 1 if len(turns) else len(local)


def _clocks_back(quarter: int, clock: Clock, *, twice: bool) -> str:
    """A sentence about the hour that comes twice and holds a quarter of local time."""
    first, second = clock.both(quarter)
    while clock.both(quarter - 1) == (first, second):
        quarter -= 1
    begins = EPOCH + quarter * timedelta(minutes=15)
    minutes = (first - second) // (60 * SECOND)
    span = "hour" if minutes == 60 else f"time of {minutes} minutes"
    found = "is there twice, both counted" if twice else "is there once, taken for the first"
    return f"clocks went back on {begins:%Y-%m-%d}: the {span} from {begins:%H:%M} {found}"
