"""Hours of the year: every hour belongs to one row of a name, in hours.csv and in shapes.csv; holidays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from tco.electricity import (
    DAY_SLOTS,
    MINUTES,
    OTHERWISE,
    SLOTS,
    WEEK,
    YEAR_SLOTS,
    Timed,
    slot_in_words,
    slots_of,
)
from tco.read.curves import by_name, place
from tco.read.found import Found, tell_absent
from tco.read.problems import Problems, shown
from tco.read.tables import Table
from tco.study import Period, ShapePoint

T = TypeVar("T", Period, ShapePoint)
NAME_LIMIT = 100  # names in one table: each is looked at quarter by quarter
MOST_ROWS = {"hours": 200, "shape": 600}  # of one name; a shape by month, weekday or weekend, and hour has 576
PERIOD_LIMIT = 24  # of one name: each is a column of every bill
HOLIDAY_LIMIT = 400
WEEK_SLOTS = len(WEEK) * SLOTS
HOUR = 60 * SLOTS // MINUTES  # slots


@dataclass(frozen=True)
class Holidays:
    """Months of the year in which a name has holidays; the empty name has those that count for all, and shapes.

    whole: whether each day and its hours are known.
    """

    months: Mapping[str, set[int]]
    whole: bool

    def of(self, name: str) -> set[int]:
        """The months with holidays of these hours; of load shapes where the name is empty."""
        return self.months.get(name, set()) | self.months.get("", set())


def check_hours(found: Found, problems: Problems) -> None:
    """Holidays, time-of-use hours and load shapes."""
    _check_holidays(found, problems)
    holidays = _holidays(found)
    _check_table(found.hours, "hours", holidays, problems)
    _check_table(found.shapes, "shape", holidays, problems)
    for name, rows in by_name(found.hours.rows, "hours").items():
        _check_periods(name, rows, problems)


def _check_holidays(found: Found, problems: Problems) -> None:
    """Holidays are of hours that exist; each day once."""
    names = {row.hours for row in found.hours.rows}
    seen: dict[tuple[str, str], int] = {}
    for row in found.holidays.rows[:HOLIDAY_LIMIT]:
        if row.hours and row.hours not in names and found.hours.whole:
            tell_absent(row, "hours", "name", found.hours.file, names, problems)
        line = row.places[""].line
        first = seen.setdefault((row.day, row.hours), line)
        if row.day and first != line and (row.hours or "hours" not in row.places):
            problems.add(place(row, "day"), f"day: {row.day} stands in line {first} already; keep one")
    for row in found.holidays.rows[HOLIDAY_LIMIT : HOLIDAY_LIMIT + 1]:
        problems.add(place(row, "day"), f"day: more than {HOLIDAY_LIMIT} holidays, the most")


def _holidays(found: Found) -> Holidays:
    """The months of the year with holidays, by the hours they count for."""
    months: dict[str, set[int]] = {}
    known = {"", *(row.hours for row in found.hours.rows)}
    for row in found.holidays.rows:
        if row.day:
            months.setdefault(row.hours, set()).add(int(row.day[-5:-3]))
    whole = found.holidays.whole and all(row.day and row.hours in known for row in found.holidays.rows)
    return Holidays(months, whole)


def _check_table(table: Table[T], column: str, holidays: Holidays, problems: Problems) -> None:
    """Each name of a table of hours."""
    names = by_name(table.rows, column)
    for name, rows in list(names.items())[:NAME_LIMIT]:
        if len(rows) > MOST_ROWS[column]:
            message = f"{column}: {shown(name)} has more than {MOST_ROWS[column]} rows, the most"
            problems.add(place(rows[MOST_ROWS[column]], column), message)
            continue
        _check_rows(rows, problems)
        listed = holidays.of(name if column == "hours" else "") if holidays.whole else None
        if listed == set():
            _check_no_holiday(rows, column, problems)
        if table.whole and all(is_sound(row) for row in rows):
            _check_cover(name, rows, column, listed or set(), problems)
    for rows in list(names.values())[NAME_LIMIT : NAME_LIMIT + 1]:
        problems.add(place(rows[0], column), f"{column}: more than {NAME_LIMIT} names in {table.file}, the most")


def _check_rows(rows: Sequence[Timed], problems: Problems) -> None:
    """Spans have a length, and one row at most takes the rest."""
    rest: Timed | None = None
    for row in rows:
        if row.days != (OTHERWISE,):
            _check_span(row, problems)
            continue
        if rest is not None:
            line = rest.places[""].line
            message = f"days: '{OTHERWISE}' stands in line {line} already; one row takes all the rest"
            problems.add(place(row, "days"), message)
        rest = rest or row
        for name in ("months", "begins", "ends"):
            if name in row.places and not is_refused(row, name):
                message = f"{name}: '{OTHERWISE}' takes all hours that no other row says; leave this empty beside it"
                problems.add(place(row, name), message)


def _check_span(row: Timed, problems: Problems) -> None:
    """A span of the day begins before midnight, and does not end as it begins."""
    if row.begins == MINUTES:
        problems.add(place(row, "begins"), "begins: 24:00 is the end of a day; write 00:00")
    elif row.begins == row.ends:
        message = (
            f"ends: {_clock(row.ends)} is when it begins as well; the whole day is 00:00 to 24:00, or both empty"
        )
        problems.add(place(row, "ends"), message)


def _clock(minutes: int) -> str:
    return f"{minutes // 60:02}:{minutes % 60:02}"


def is_sound(row: Timed) -> bool:
    """Whether a row's hours are known: nothing in it was refused."""
    if any(is_refused(row, name) for name in ("months", "days", "begins", "ends")):
        return False
    return row.days == (OTHERWISE,) or row.begins not in (row.ends, MINUTES)


def is_refused(row: Timed, name: str) -> bool:
    """Whether a cell is filled and could not be read."""
    value = getattr(row, name)
    return name in row.places and (value == () or value != value)


def _check_no_holiday(rows: Sequence[Timed], column: str, problems: Problems) -> None:
    """A row that names holidays where none are listed: told at the first of them."""
    row = next((row for row in rows if "holiday" in row.days), None)
    if row is not None:
        whose = "for these hours" if column == "hours" else "for load shapes, with 'hours' empty"
        message = f"days: holidays.csv lists no day {whose}; list some there, or leave 'holiday' out"
        problems.add(place(row, "days"), message)


def _check_cover(name: str, rows: Sequence[T], column: str, holidays: set[int], problems: Problems) -> None:
    """Every hour belongs to one row."""
    owner, clashes = _claims(rows)
    for number, slot in clashes.items():
        line = rows[owner[slot]].places[""].line
        message = (
            f"{column}: {slot_in_words(slot)} of {shown(name)} belongs to line {line} already; "
            "every hour belongs to one row"
        )
        problems.add(place(rows[number], column), message)
    if any(row.days == (OTHERWISE,) for row in rows):
        return
    lacking = [slot for slot, row in enumerate(owner) if row < 0 and _counts(slot, holidays)]
    if lacking:
        message = (
            f"{column}: {shown(name)} says nothing of {slot_in_words(lacking[0])}; {_amount(lacking)}; add rows for "
            f"them, or one row for the rest, with '{OTHERWISE}' under days"
        )
        problems.add(place(rows[0], column), message)


def _claims(rows: Sequence[Timed]) -> tuple[list[int], dict[int, int]]:
    """(the first row to say each slot, -1 where none does; row -> its first slot that another says already)."""
    owner, clashes = [-1] * YEAR_SLOTS, dict[int, int]()
    for number, row in enumerate(rows):
        if row.days == (OTHERWISE,):
            continue
        for slot in slots_of(row):
            if owner[slot] < 0:
                owner[slot] = number
            else:
                clashes.setdefault(number, slot)
    return owner, clashes


def _counts(slot: int, holidays: set[int]) -> bool:
    """Whether a slot ever comes: those of holidays only in months that have some."""
    month, rest = divmod(slot, DAY_SLOTS)
    return rest < WEEK_SLOTS or month + 1 in holidays


def _amount(lacking: Sequence[int]) -> str:
    """How many hours are missing: those of the first month in question, in a week or on a holiday."""
    months = sorted({slot // DAY_SLOTS for slot in lacking})
    first = [slot % DAY_SLOTS for slot in lacking if slot // DAY_SLOTS == months[0]]
    week = [slot for slot in first if slot < WEEK_SLOTS]
    hours = f"{len(week or first) / HOUR:g} hours {'a week' if week else 'of a holiday'}"
    more = {1: "", 2: f" and in month {months[-1] + 1}"}.get(len(months), f" and in {len(months) - 1} other months")
    return f"{hours} are missing in that month{more}"


def _check_periods(name: str, rows: Sequence[Period], problems: Problems) -> None:
    """Not more periods than bills have columns for, none called as bills call all of them."""
    seen: set[str] = set()
    for row in rows:
        if row.period in seen:
            continue
        seen.add(row.period)
        if row.period == "all":
            message = "period: bills say 'all' for all hours together; give the period another name"
            problems.add(place(row, "period"), message)
        if len(seen) == PERIOD_LIMIT + 1:
            message = f"period: {shown(name)} has more than {PERIOD_LIMIT} periods, the most"
            problems.add(place(row, "period"), message)
