"""Names a workbook accepts: of sheets and of single cells. Pure; knows no spreadsheet library."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

SUMMARY, AGAINST, DELIVERS, ELECTRICITY, CHECKS, ASSUMPTIONS, CALENDAR, CURVES, SOURCES, WRITTEN = (
    "Summary",
    "Against baseline",
    "What it delivers",
    "Electricity",
    "Checks",
    "Assumptions",
    "Calendar",
    "Curves",
    "Sources",
    "Written",
)
OWN = (SUMMARY, AGAINST, DELIVERS, ELECTRICITY, CHECKS, ASSUMPTIONS, CALENDAR, CURVES, SOURCES, WRITTEN)
RESERVED = "history"  # spreadsheet programs keep this sheet name for themselves
LONGEST = 31


def sheet_names(scenarios: Sequence[str]) -> dict[str, str]:
    """A sheet name for each scenario: allowed, and unlike every other whatever the case."""
    taken = {RESERVED, *(name.casefold() for name in OWN)}
    found: dict[str, str] = {}
    for scenario in scenarios:
        found[scenario] = unlike(allowed(scenario), taken)
        taken.add(found[scenario].casefold())
    return found


def allowed(text: str) -> str:
    """The text without what a sheet name may not hold, cut to the longest allowed."""
    plain = "".join(" " if sign in "[]:*?/\\" or not sign.isprintable() else sign for sign in text)
    return cut(" ".join(plain.split()).strip("'"), LONGEST) or "scenario"


def cut(text: str, longest: int) -> str:
    """The start of a text, at most that long as spreadsheet programs count (UTF-16)."""
    while len(text.encode("utf-16-le")) // 2 > longest:
        text = text[:-1]
    return text.strip("' ")


def unlike(name: str, taken: set[str]) -> str:
    """The name, with a number behind it where it is taken."""
    found, number = name, 1
    while found.casefold() in taken:
        number += 1
        found = f"{cut(name, LONGEST - len(str(number)) - 1)} {number}"
    return found


def quoted(sheet: str) -> str:
    """A sheet's name as a formula holds it, with its exclamation mark."""
    return "'" + sheet.replace("'", "''") + "'!"


def cell_name(field: str, scenario: str, taken: set[str]) -> str:
    """A name for one input cell: `discount`, `busy_share.quiet_minis`; adds it to `taken`.

    Plain letters only, so that every spreadsheet program accepts it; a scenario's name that leaves none is numbered.
    """
    plain = unicodedata.normalize("NFKD", scenario).encode("ascii", "ignore").decode()
    tail = re.sub(r"[^A-Za-z0-9]+", "_", plain).strip("_")[:100]
    stem = field if not scenario else f"{field}.{tail or 'scenario'}"
    name, number = stem, 1
    while name.casefold() in taken:
        number += 1
        name = f"{stem}.{number}"
    taken.add(name.casefold())
    return name


def letters(column: int) -> str:
    """The letters of a sheet's column, counted from 0."""
    found = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        found = chr(65 + rest) + found
    return found
