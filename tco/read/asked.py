"""A value that a person types beside a command: as in the input's own column, a factor in %, years or months."""

from __future__ import annotations

import re
from datetime import date

from tco.cell import Cell
from tco.errors import AskedError
from tco.read.column import Column
from tco.read.kinds import split
from tco.read.problems import Refused
from tco.read.quantities import Money
from tco.read.values import value
from tco.study import Study

FACTOR = Cell("share", "", "80 %")  # of what the study says
MONTH = Cell("month", "", "2027-03")
DAY = Cell("date", "", "2026-11-20")
BUDGET = Cell("number", "", "800 EUR", unit="{money}", least=0.0)
RENT = Cell("number", "", "5.50 EUR/TB/month", unit="{money}/TB/month", least=0.0)
KEPT = Cell("months", "", "5 years", least=1.0, most=600.0)
SPAN = re.compile(r"(\d{1,2}) *\.\. *(\d{1,2})")


def amount(text: str, cell: Cell, study: Study) -> float:
    """A number as a column of that definition has it, in its unit; raises AskedError."""
    plain, word = split(text.strip())
    if word:
        raise AskedError(text, f"is in the kind of money in which the study says it; leave '{word}' out")
    try:
        found = float(value(plain, Column("", cell, heads=False), Money(study.settings.currency, study.rates)))
    except Refused as refused:
        raise AskedError(text, str(refused)) from None
    return found


def share(text: str) -> float:
    """A share, written with %; raises AskedError."""
    try:
        return float(value(text.strip(), Column("", FACTOR, heads=False), Money()))
    except Refused as refused:
        raise AskedError(text, str(refused)) from None


def month(text: str) -> date:
    """The first day of a month, `2027-03`; raises AskedError."""
    return dated(text, MONTH)


def day(text: str) -> date:
    """A day, `2026-11-20`; raises AskedError."""
    return dated(text, DAY)


def dated(text: str, cell: Cell) -> date:
    """What a column of dates has for a text; raises AskedError."""
    try:
        found = value(text.strip(), Column("", cell, heads=False), Money())
    except Refused as refused:
        raise AskedError(text, str(refused)) from None
    assert isinstance(found, date)
    return found


def years(text: str) -> tuple[int, int]:
    """The first and the last year of `1..10`; raises AskedError."""
    found = SPAN.fullmatch(text.strip())
    if not found:
        raise AskedError(text, "write the first and the last year, such as 1..10")
    first, last = int(found[1]), int(found[2])
    if not 1 <= first <= last <= 50:
        raise AskedError(text, "the years go from 1 to 50, the first one not above the last")
    return first, last


def rent(text: str, study: Study) -> float:
    """A rent per TB held and month, nothing or more, in the study's money; raises AskedError."""
    return amount(text, RENT, study)


def budget(text: str, study: Study) -> float:
    """An amount of money, nothing or more, in the study's money; raises AskedError."""
    return amount(text, BUDGET, study)
