"""Drives that fail or are worn, as a small study in CSV, and what is read of it by the public path.

All cost 1 EUR, so that what a line costs is how many there were.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import tco
from tco.ask.failing import failing_rows
from tests.published.written import compared, table

AGED = "part,quantity,age,failures,replaced by,price"
HOURS_OF_A_YEAR = 8760.0


@dataclass(frozen=True)
class Drives:
    """A parts list and how long it is kept. failures: rows of failures.csv below `header`; settings: of study.csv."""

    months: int
    columns: str
    rows: tuple[str, ...]
    failures: tuple[str, ...] = ()
    header: str = "curve,age,rate"
    settings: tuple[str, ...] = ()
    start: str = "2027-01"


def renewed(months: int, units: int, age: str, curve: str, **about: Any) -> Drives:
    """Units of an age, each replaced by a new one of the same curve, and that by another."""
    return Drives(months, AGED, (f'used,{units},{age},"{curve}",new,1', f'new,0,,"{curve}",,1'), **about)


def once(months: int, age: str, curve: str, **about: Any) -> Drives:
    """One unit of an age, replaced by what never fails: expected failures are the chance that it fails at all."""
    return Drives(months, AGED, (f'drive,1,{age},"{curve}",never,1', "never,0,,,,1"), **about)


def constant(rate: float, name: str = "flat") -> tuple[str, ...]:
    """A failure curve of one rate [1/year] at every age."""
    return (f"{name},0 years,{100 * rate:.14f} %/year",)


def years(number: int) -> str:
    """So many years, in words."""
    return f"{number} year" if number == 1 else f"{number} years"


@cache
def comparison(drives: Drives) -> Any:
    """The comparison of the study."""
    settings = ["question,How many?", "currency,EUR", f"start,{drives.start}", f"horizon,{drives.months} months"]
    settings += ["time zone,UTC", "discount,0", *drives.settings]
    found = {
        "study": table("setting,value", settings),
        "scenarios": "scenario,parts list\nit,it.csv\n",
        "it": table(drives.columns.replace("price", "price [EUR]"), list(drives.rows)),
    }
    return compared(found | ({"failures": table(drives.header, list(drives.failures))} if drives.failures else {}))


@cache
def by_month(drives: Drives, line: str = "replacement") -> tuple[float, ...]:
    """A line, month by month from month 0 on, by the lines frame."""
    lines = tco.lines(comparison(drives))
    return tuple(lines[lines.line == line].sort_values("month").value)


def counted(drives: Drives, line: str = "replacement") -> float:
    """All that a line costs."""
    return sum(by_month(drives, line))


def told(drives: Drives, figure: str) -> float:
    """A figure of replacements.csv over the whole time, of the part that has it."""
    (value,) = (row[4] for row in failing_rows(comparison(drives)) if row[2:4] == (figure, ""))
    return value
