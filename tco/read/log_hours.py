"""A metered log's average power by hour of the day: between its rows, by the local clock, gaps and resets left out.

Power holds from its row until the next one. Energy between two readings of the meter is spread evenly between them.
A step of over three usual ones (the median) and over a quarter of an hour is a gap: nobody knows what was drawn in
it, so its time is left out and never filled. Holidays are not told apart from other days.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tco.electricity import Log
from tco.read.log_cells import SECOND, Amounts, Ticks
from tco.read.log_times import DAY, QUARTER, Clock, Readings
from tco.read.problems import Refused

HOURS = 24
HOUR = 4 * QUARTER
GAP_STEPS, GAP_LEAST = 3, QUARTER
COVERED = QUARTER  # what of each hour of the day must have been measured at least; in all it is a day
KINDS = ("Monday to Friday", "Saturday and Sunday")
LISTED = 5  # lines that a sentence names

MOSTLY_GAP = (
    "more time is left out than was measured: a meter that writes only on change looks like this, and its average "
    "then leans towards what changes"
)


@dataclass(frozen=True)
class Spans:
    """What lies between rows. begins, ends: in UTC; watts: average power; usual: the usual length [ticks].

    gap: too long; reset: the meter's reading fell. Either is left out.
    """

    begins: Ticks
    ends: Ticks
    watts: Amounts
    usual: float
    gap: NDArray[np.bool_]
    reset: NDArray[np.bool_]

    @property
    def counted(self) -> NDArray[np.bool_]:
        """Which of them count."""
        return ~(self.gap | self.reset)


def spans(readings: Readings, form: str) -> Spans:
    """The spans between rows. form: whether amounts are `power` [W] or a `reading` [kWh]."""
    begins, ends = readings.utc[:-1], readings.utc[1:]
    steps = ends - begins
    usual = float(np.median(steps))
    gap = (steps > GAP_STEPS * usual) & (steps > GAP_LEAST)
    if form == "power":
        return Spans(begins, ends, readings.amounts[:-1], usual, gap, np.zeros(len(steps), dtype=bool))
    used = np.diff(readings.amounts)
    return Spans(begins, ends, used * 1000 / (steps / HOUR), usual, gap, used < 0)


@dataclass(frozen=True)
class Hours:
    """Measured time [ticks] and watts times it, by kind of day (rows: KINDS) and local hour of the day."""

    measured: Amounts
    drawn: Amounts


def by_hour(found: Spans, clock: Clock) -> Hours:
    """The spans that count, cut at every quarter of an hour, and those put together by hour and kind of day."""
    first, last = -(-int(found.begins[0]) // QUARTER), int(found.ends[-1]) // QUARTER
    edges = np.concatenate([found.begins, found.ends[-1:], np.arange(first, last + 1) * QUARTER])
    edges.sort(kind="stable")  # two sorted runs are merged
    span = np.searchsorted(found.begins, edges[:-1], side="right") - 1
    pieces = found.counted[span]
    length, span, quarter = np.diff(edges)[pieces], span[pieces], edges[:-1][pieces] // QUARTER
    local = quarter + clock.of_utc(quarter)
    weekend = (local // (4 * HOURS) + 3) % 7 >= 5  # 1970-01-01 was a Thursday
    slot = weekend * HOURS + local // 4 % HOURS
    measured = np.bincount(slot, length, 2 * HOURS)
    drawn = np.bincount(slot, length * found.watts[span], 2 * HOURS)
    return Hours(*(np.asarray(total, dtype=float).reshape(2, HOURS) for total in (measured, drawn)))


def log_of(file: str, name: str, readings: Readings, form: str, clock: Clock) -> Log:
    """The log of a file, shown as `name`; raises Refused where it holds too little for an average of every hour."""
    if len(readings.utc) < 2:
        raise Refused("all its rows bear the same time; what is measured lies between two")
    found = spans(readings, form)
    hours = by_hour(found, clock)
    total = hours.measured.sum()
    if total < DAY:
        raise Refused(f"only {total / HOUR:.1f} h measured between its rows; an average takes 24 h at least")
    profiles, told = _profiles(hours)
    about = _about(name, readings, found, hours, clock)
    seen = [*_left_out(readings, found, clock, float(total)), *readings.told, *told, *_doubts(readings, found)]
    return Log(file, *profiles, (about, *seen))


COARSE, HUGE = HOUR, 5000.0  # steps beyond which the hour is not known; watts that no node draws (no source)


def _doubts(readings: Readings, found: Spans) -> list[str]:
    """What a person should look at: steps too long to say at what hour, power that no node draws."""
    told = []
    if found.usual > COARSE:
        told.append(
            f"a row every {_step(found.usual)} does not say at what hour power is drawn: under times of use, and for "
            "the highest power, it counts as even between rows"
        )
    worst = int(np.where(found.counted, found.watts, 0.0).argmax())
    if found.watts[worst] > HUGE:
        line = int(readings.lines[worst])
        told.append(
            f"{found.watts[worst]:,.0f} W from line {line} on is more than a node draws: has the meter jumped?"
        )
    return told


def _profiles(hours: Hours) -> tuple[tuple[tuple[float, ...], tuple[float, ...]], list[str]]:
    """(weekday, weekend) by hour, and what is to be told; raises Refused."""
    lacks = [np.flatnonzero(measured < COVERED).tolist() for measured in hours.measured]
    if not any(lacks):
        weekday, weekend = hours.drawn / hours.measured
        return (tuple(weekday.tolist()), tuple(weekend.tolist())), []
    measured, drawn = hours.measured.sum(axis=0), hours.drawn.sum(axis=0)
    if missing := np.flatnonzero(measured < COVERED).tolist():
        raise Refused(
            f"hours of the day that were not measured: {_clock_hours(missing)}; each takes a quarter of one at least"
        )
    both = tuple((drawn / measured).tolist())
    what = [f"{kind} {_clock_hours(lack)}" for kind, lack in zip(KINDS, lacks, strict=True) if lack]
    return (both, both), [f"not measured: {', '.join(what)}; so one profile for all days"]


def _clock_hours(hours: Sequence[int]) -> str:
    """`03:00-06:00, 14:00-15:00`."""
    edges = [hour for hour in hours if hour - 1 not in hours]
    ends = [hour + 1 for hour in hours if hour + 1 not in hours]
    return ", ".join(f"{first:02}:00-{last:02}:00" for first, last in zip(edges, ends, strict=True))


def _about(name: str, readings: Readings, found: Spans, hours: Hours, clock: Clock) -> str:
    """`node.csv: 2026-10-01 00:00 to 2026-10-29 23:59, 27.5 days measured, 11.8 W on average, every 60 s`."""
    first, last = _minute(readings.utc[0], clock), _minute(readings.utc[-1], clock)
    total = hours.measured.sum()
    average = hours.drawn.sum() / total
    return (
        f"{name}: {first} to {last}, {total / DAY:.1f} days measured, {average:.4g} W on average, "
        f"every {_step(found.usual)}"
    )


def _minute(moment: np.int64, clock: Clock) -> str:
    return f"{clock.local(int(moment)):%Y-%m-%d %H:%M}"


def _step(ticks: float) -> str:
    """`60 s`, `5 min`, `1 h`."""
    for size, unit in ((HOUR, "h"), (60 * SECOND, "min")):
        if ticks >= 2 * size or (ticks == size and unit == "h"):
            return f"{ticks / size:.4g} {unit}"
    return f"{ticks / SECOND:.4g} s"


def _left_out(readings: Readings, found: Spans, clock: Clock, measured: float) -> list[str]:
    """Sentences about gaps, and about resets of the meter."""
    told = []
    if count := int(found.gap.sum()):
        lengths = np.where(found.gap, found.ends - found.begins, 0)
        worst = int(lengths.argmax())
        first, last = _minute(found.begins[worst], clock), _minute(found.ends[worst], clock)
        gaps = f"{count} gaps ({lengths.sum() / HOUR:.1f} h) left out, the longest" if count > 1 else ""
        told.append(f"{gaps or f'1 gap ({lengths.sum() / HOUR:.1f} h) left out,'} from {first} to {last}")
        if lengths.sum() > measured:
            told.append(MOSTLY_GAP)
    return told + _resets(readings, found)


def _resets(readings: Readings, found: Spans) -> list[str]:
    """`1 reset of the meter at line 812, left out`: the line of the reading that fell."""
    lines = readings.lines[1:][found.reset].tolist()
    if not lines:
        return []
    named = ", ".join(str(line) for line in lines[:LISTED]) + (", …" if len(lines) > LISTED else "")
    if len(lines) == 1:
        return [f"1 reset of the meter at line {named}, left out"]
    return [f"{len(lines)} resets of the meter at lines {named}, left out"]
