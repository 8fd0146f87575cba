"""Drives that are worn by what the host writes: ratings in TB and in drive writes a day, and how long they last.

Limits are sought in a ladder of drives, each replaced once, by what lasts: how many were, says between which rungs.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, partial

import numpy as np

from tests.published.drive_sources import KINGSTON, LARGE_DRIVE, MIDDLE_DRIVE, TRANSCEND, WEAR_OWN
from tests.published.drives import Drives, by_month, counted
from tests.published.record import Check, Subject

COLUMNS = "part,quantity,replaced by,endurance,written,price"
NO_LEAP_DAY = "2097-01"  # 2100 has none: five years of 365 days
RUNGS, ROUNDS = 20, 4
MOST_TB, MOST_A_DAY = 10_000.0, 1_000.0


def worn(case: Callable[[float], tuple[float, float]], values: np.ndarray, years: int) -> float:
    """How many of these drives are worn within the years; case: value -> (endurance [TB], written [GB/d])."""
    rows = [f"drive {n},1,lasting,{tb:.12f} TB,{gb:.12f} GB/d,0" for n, (tb, gb) in enumerate(map(case, values))]
    drives = Drives(12 * years, COLUMNS, (*rows, "lasting,0,,,,1"), start=NO_LEAP_DAY)
    return counted(drives)


def limit(case: Callable[[float], tuple[float, float]], years: int, most: float, *, rising: bool) -> float:
    """The value from which on (or up to which: not rising) a drive is worn within the years."""
    low, high = 0.0, most
    for _ in range(ROUNDS):
        values = np.linspace(low, high, RUNGS + 1)[1:]
        count = round(worn(case, values, years))
        step = (high - low) / RUNGS
        low += step * (RUNGS - count if rising else count)
        high = low + step
    return high if rising else low


@cache
def rating(a_day: float, years: int) -> float:
    """The rating [TB] that writing so much a day [GB] reaches in the years."""
    return limit(lambda endurance: (endurance, a_day), years, MOST_TB, rising=False)


@cache
def a_day(endurance: float, years: int) -> float:
    """What may be written a day [GB] so that a rating [TB] is reached in the years."""
    return limit(lambda written: (endurance, written), years, MOST_A_DAY, rising=True)


def drive_writes(endurance: float, capacity: float, years: int) -> float:
    """Drive writes a day of a rating [TB] and a capacity [GB]."""
    return a_day(endurance, years) / capacity


def first_worn(endurance: float, written: float) -> float:
    """Years until a drive is worn, by the month in which it is replaced."""
    drives = Drives(120, COLUMNS, (f"drive,1,,{endurance} TB,{written} GB/d,1",))
    months = by_month(drives)
    return next(month for month, cost in enumerate(months) if cost) / 12


def by_life(years: int, used: int, life: int) -> float:
    """Replacements within the years of a part that lasts `life` years, `used` years old."""
    row = f"part,1,part like new,{used} years,{life} years,1"
    new = f"part like new,0,,,{life} years,1"
    return counted(Drives(12 * years, "part,quantity,replaced by,age,life,price", (row, new)))


def by_bytes(years: int, before: float, endurance: float, written: float) -> float:
    """The same by what is written [TB, TB, GB/d]."""
    row = f"drive,1,drive like new,{before} TB,{endurance} TB,{written} GB/d,1"
    new = f"drive like new,0,,,{endurance} TB,{written} GB/d,1"
    return counted(Drives(12 * years, "part,quantity,replaced by,written before,endurance,written,price", (row, new)))


MONTH = "it is replaced at the end of the month in which that is reached"
WEAR = Subject(
    "Wear by bytes written",
    "A rating in TB is drive writes a day x capacity x days. A drive is replaced in the month in which the host has "
    "written that much, and the next one likewise: floor((L + u) / w) replacements in L years of what lasts w years "
    "and has u of them behind it.",
    (
        Check(
            "1,432 TB, 1.8 TB, 5 years: drive writes a day",
            "0.43",
            KINGSTON,
            partial(drive_writes, 1432, 1800, 5),
            0.001,
            "printed cut off, not rounded: 0.436 by its own numbers",
        ),
        Check("200 GB a day for 5 years: TB", "365", TRANSCEND, partial(rating, 200, 5)),
        Check("2 TB a day for 5 years: PB", "3.65", TRANSCEND, lambda: rating(2000, 5) / 1000),
        Check("3.84 TB once a day for 5 years: TB", "7,008", LARGE_DRIVE, partial(rating, 3840, 5)),
        Check("1.92 TB once a day for 5 years: TB", "3,504", MIDDLE_DRIVE, partial(rating, 1920, 5)),
        Check("600 TB at 200 GB a day: years", "8.22", WEAR_OWN, partial(first_worn, 600, 200), 1 / 12, MONTH),
        Check("600 TB at 500 GB a day: years", "3.29", WEAR_OWN, partial(first_worn, 600, 500), 1 / 12, MONTH),
        Check("life of 3 years, new, 10 years: replacements", "3", WEAR_OWN, partial(by_life, 10, 0, 3)),
        Check("life of 3 years, 2 of them over, 10 years: replacements", "4", WEAR_OWN, partial(by_life, 10, 2, 3)),
        Check("life of 4 years, 1 of them over, 10 years: replacements", "2", WEAR_OWN, partial(by_life, 10, 1, 4)),
        Check("600 TB at 500 GB a day, 20 years: replacements", "6", WEAR_OWN, partial(by_bytes, 20, 0, 600, 500)),
        Check("600 TB at 200 GB a day, 20 years: replacements", "2", WEAR_OWN, partial(by_bytes, 20, 0, 600, 200)),
        Check("the same, 500 TB written before: replacements", "3", WEAR_OWN, partial(by_bytes, 20, 500, 600, 200)),
    ),
    "A rating counts what the host writes (JEDEC JESD218, read where it is quoted). Several pages multiply that by "
    "the drive's write amplification before they divide by the rating, which has it already: it counts twice then. "
    "The tool has no such factor. Ratings count years of 365 days; so do the five years here, which begin in 2097.",
)
SUBJECTS = (WEAR,)
