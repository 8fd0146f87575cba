"""Cells that say when: months of the year, kinds of day, times of day, days; each raises Refused."""

from __future__ import annotations

import re
from datetime import date

from tco.electricity import DAYS, MINUTES, OTHERWISE, STEP, WEEK
from tco.read.column import Column
from tco.read.problems import Refused, nearest, shown
from tco.read.quantities import Money
from tco.read.words import plain, read_date

GROUPS = {"weekday": WEEK[:5], "weekend": WEEK[5:], OTHERWISE: (OTHERWISE,)} | {day: (day,) for day in DAYS}


def read_season(text: str, column: Column, _: Money) -> tuple[int, ...]:
    """Months of the year: `11-4` runs through the turn of the year; several joined by +."""
    found: list[int] = []
    for part in text.split("+"):
        match = re.fullmatch(r"([0-9]{1,2})(?:\s*[-–]\s*([0-9]{1,2}))?", part.strip())
        first, last = (int(match[1]), int(match[2] or match[1])) if match else (0, 0)
        if not (1 <= first <= 12 and 1 <= last <= 12):
            dated = re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text)
            made = "; a spreadsheet program made a date of it: store the cell as text" if dated else ""
            raise Refused(
                f"{shown(text)} is no months of the year, 1 to 12; write for example '{column.cell.example}'{made}"
            )
        found += [(first - 1 + step) % 12 + 1 for step in range((last - first) % 12 + 1)]
    if twice := next((month for month in found if found.count(month) > 1), 0):
        raise Refused(f"{shown(text)} names month {twice} twice")
    return tuple(sorted(found))


def read_days(text: str, column: Column, _: Money) -> tuple[str, ...]:
    """Kinds of day, in the order of the week."""
    found: list[str] = []
    for part in text.split("+"):
        word = plain(part).removesuffix("s")
        if word not in GROUPS:
            close = nearest(word, list(GROUPS))
            meant = f"did you mean '{close}'?" if close else f"write for example '{column.cell.example}'"
            raise Refused(f"{shown(part.strip())} is no kind of day; {meant}")
        found += GROUPS[word]
    if twice := next((day for day in found if found.count(day) > 1), ""):
        raise Refused(f"{shown(text)} names {twice} twice")
    if OTHERWISE in found and len(found) > 1:
        raise Refused(f"{shown(text)}: '{OTHERWISE}' stands alone, for all hours that no other row says")
    return tuple(sorted(found, key=(*DAYS, OTHERWISE).index))


def read_clock(text: str, column: Column, _: Money) -> int:
    """A time of day in minutes; 24:00 is the end of the day."""
    found = re.fullmatch(r"([0-9]{1,2}):([0-9]{2})(?::00)?", text)
    if not found:
        raise Refused(f"{shown(text)} is no time of day; write it as '{column.cell.example}'")
    minutes = int(found[1]) * 60 + int(found[2])
    if int(found[2]) > 59 or minutes > MINUTES:
        raise Refused(f"{shown(text)}: a day goes from 00:00 to 24:00")
    if minutes % STEP:
        raise Refused(f"{shown(text)}: hours are told in quarters, such as 23:15 or 23:30; this is none")
    return minutes


def read_day(text: str, column: Column, money: Money) -> str:
    """A date, or month and day of every year (29 February in leap years), as text: `2026-12-25`, `12-25`."""
    found = re.fullmatch(r"([0-9]{1,2})-([0-9]{1,2})", text)
    if not found:
        return read_date(text, column, money).isoformat()
    try:
        return f"{date(2000, int(found[1]), int(found[2])):%m-%d}"
    except ValueError:
        raise Refused(f"{shown(text)}: there is no such day; write month and day, such as '12-25'") from None
