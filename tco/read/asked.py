"""A value that a person types beside a command: as in the input's own column, a factor in %, years or months."""

from __future__ import annotations

import re

from tco.cell import Cell
from tco.errors import AskedError
from tco.read.column import Column
from tco.read.kinds import split
from tco.read.problems import Refused
from tco.read.quantities import Money
from tco.read.values import value
from tco.study import Study

FACTOR = Cell("share", "", "80 %")  # of what the study says
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


def years(text: str) -> tuple[int, int]:
    """The first and the last year of `1..10`; raises AskedError."""
    found = SPAN.fullmatch(text.strip())
    if not found:
        raise AskedError(text, "write the first and the last year, such as 1..10")
    first, last = int(found[1]), int(found[2])
    if not 1 <= first <= last <= 50:
        raise AskedError(text, "the years go from 1 to 50, the first one not above the last")
    return first, last
