"""Cells that are no measures: dates, currencies, time zones, choices, names, texts, files; each raises Refused."""

from __future__ import annotations

import re
import unicodedata
from datetime import date
from difflib import get_close_matches
from functools import cache
from importlib.resources import files

from tco import units
from tco.read.column import Column
from tco.read.grid import Stored
from tco.read.problems import Refused, nearest, shown
from tco.read.quantities import Money

NAME_LIMIT = 200  # characters
NAMES_LIMIT = 50  # in one cell
JOINERS = "\u200c\u200d"  # letters of some scripts are told apart by them, and emoji are made with them
TEXT_LIMIT = 2000  # characters; a source with its address is often longer than any name
FIRST_YEAR, LAST_YEAR = 1970, 2100
YES, NO = ("yes", "y", "true", "1"), ("no", "n", "false", "0", "")


def read_date(text: str, column: Column, _: Money) -> date:
    found = re.fullmatch(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})", text)
    if not found:
        raise Refused(f"{shown(text)} is not a date; write it as '{column.cell.example}'")
    return _calendar(text, int(found[1]), int(found[2]), int(found[3]))


def read_month(text: str, column: Column, _: Money) -> date:
    found = re.fullmatch(r"([0-9]{4})-([0-9]{1,2})(?:-([0-9]{1,2}))?", text)
    if not found:
        raise Refused(f"{shown(text)} is not a month; write it as '{column.cell.example}'")
    day = _calendar(text, int(found[1]), int(found[2]), int(found[3] or 1))
    if day.day != 1:
        raise Refused(f"{shown(text)} lies within a month; studies and versions begin on the first: '{day:%Y-%m}'")
    return day


def _calendar(text: str, year: int, month: int, day: int) -> date:
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise Refused(f"{shown(text)}: the year must be from {FIRST_YEAR} to {LAST_YEAR}")
    if not 1 <= month <= 12:
        raise Refused(f"{shown(text)}: there is no month {month}; write year, month, day in that order")
    try:
        return date(year, month, day)
    except ValueError:
        raise Refused(f"{shown(text)}: that month has no day {day}") from None


def read_currency(text: str, column: Column, _: Money) -> str:
    if text in units.CURRENCIES:
        return text
    close = nearest(text, units.CURRENCIES) if len(text) < 10 else ""
    meant = f"did you mean '{close}'?" if close else f"write a code such as '{column.cell.example}'"
    raise Refused(f"currency {shown(text)} is unknown; {meant}")


@cache
def _zones() -> tuple[str, ...]:
    """The names of the time zones, from the tzdata package: the same on every machine."""
    return tuple(files("tzdata").joinpath("zones").read_text(encoding="utf-8").split())


def read_zone(text: str, column: Column, _: Money) -> str:
    # Only listed names go further: a zone name is looked up as a file, so `../../etc` must never get there.
    if text in _zones():
        return text
    city = text[:40].rsplit("/", 1)[-1].replace(" ", "_").casefold()
    same = [zone for zone in _zones() if city and zone.casefold().endswith("/" + city)]
    close = [*same, *get_close_matches(text[:40], _zones(), n=1)]
    meant = f"did you mean '{close[0]}'?" if close else f"write a name such as '{column.cell.example}'"
    raise Refused(f"time zone {shown(text)} is unknown; {meant}")


def read_yes(text: str, _: Column, __: Money) -> bool:
    if text.casefold() not in YES + NO:
        raise Refused(f"{shown(text)} is neither; write 'yes', or leave it empty")
    return text.casefold() in YES


def read_choice(text: str, column: Column, _: Money) -> str:
    found = {_choice(choice): choice for choice in column.cell.choices}.get(_choice(text))
    if found is None:
        choices = " or ".join(f"'{choice}'" for choice in column.cell.choices)
        raise Refused(f"{shown(text)} is no choice here; write {choices}")
    return found


def _choice(text: str) -> str:
    """A choice for comparing: `125%` is `125 %`."""
    return plain(text).replace(" %", "%")


def plain(name: str) -> str:
    """A header, setting or choice for comparing: case and the number of spaces or underscores do not matter."""
    return re.sub(r"[\s_]+", " ", name.strip()).casefold()


def read_text(text: str, _: Column, __: Money) -> str:
    """A free text; line breaks inside quotes are kept. A number that a workbook stores stays one."""
    if isinstance(text, Stored):
        return text
    found = unicodedata.normalize("NFC", re.sub(r"\r\n?", "\n", text))
    return _checked(found, f"\n\t{JOINERS}", TEXT_LIMIT)


def read_name(text: str, _: Column, __: Money) -> str:
    """A name that others refer to: composed letters (NFC), so that two ways to type ü are one name."""
    if text.startswith("'"):
        raise Refused(f"{shown(text)} begins with an apostrophe, which marks texts in the results; take it out")
    return _checked(unicodedata.normalize("NFC", text), JOINERS, NAME_LIMIT)


def read_names(text: str, column: Column, money: Money) -> tuple[str, ...]:
    """Names joined by +, each once."""
    if text.count("+") >= NAMES_LIMIT:
        raise Refused(f"{text.count('+') + 1} names; the most is {NAMES_LIMIT}")
    found = tuple(read_name(part.strip(), column, money) for part in text.split("+"))
    if "" in found:
        raise Refused(f"{shown(text)}: a name is missing beside a +; write for example '{column.cell.example}'")
    if twice := next((name for name in found if found.count(name) > 1), ""):
        raise Refused(f"{shown(twice)} stands here twice; keep one")
    return found


def _checked(text: str, allowed: str, limit: int) -> str:
    """Refuse what no eye sees, and texts beyond the limit."""
    for letter in text:
        if unicodedata.category(letter) in ("Cc", "Cf", "Cs", "Zl", "Zp") and letter not in allowed:
            raise Refused(f"{shown(text)} holds the invisible character U+{ord(letter):04X}; take it out")
    if len(text) > limit:
        raise Refused(f"{shown(text)}: {len(text)} characters; the most is {limit}")
    return text


def read_file(text: str, column: Column, money: Money) -> str:
    """A file inside the study's folder; whether it exists is asked later."""
    name = read_name(text, column, money)
    parts = name.split("/")
    if "\\" in name or ":" in name or any(part in ("", ".", "..") for part in parts):
        raise Refused(
            f"{shown(text)}: write a plain file name inside the study's folder, such as '{column.cell.example}'"
        )
    if not name.casefold().endswith(".csv"):
        raise Refused(f"{shown(text)}: a table's name ends in .csv, such as '{column.cell.example}'")
    return name
