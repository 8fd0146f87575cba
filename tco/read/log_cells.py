"""The cells of a metered log -> times and numbers: the usual ones all at once, others by the rules of any table."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from tco.read.column import Column
from tco.read.log_rows import Rows
from tco.read.numbers import decimal_sign
from tco.read.problems import Problems, Refused, shown
from tco.read.quantities import Money, factor
from tco.read.tables import FAULTY
from tco.read.values import value

Ticks = NDArray[np.int64]  # microseconds
Amounts = NDArray[np.float64]

SECOND = 1_000_000  # ticks
YEARS = (2000, 2100)  # outside of them a meter has lost its clock
OFFSET = r"(?:Z|[+-](?:0[0-9]|1[0-4])(?::?[0-5][0-9])?)"
DAY = "[0-9]{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])"
CLOCK = r"(?:[01][0-9]|2[0-3]):[0-5][0-9](?::[0-5][0-9](?:\.[0-9]{1,9})?)?"
TIME = f"{DAY}[ T]{CLOCK}(?:[ ]?{OFFSET})?"
ONE_TIME = re.compile(TIME)
NO_TIME = re.compile(rf"^(?!{TIME}$)", re.MULTILINE)
MINUTES_END = 16  # characters of `2026-10-25 02:30`


@dataclass(frozen=True)
class Times:
    """Times as written: local ticks since 1970, and how far ahead of UTC each says it is (None: none says it)."""

    local: Ticks
    ahead: Ticks | None


def joined(texts: Sequence[str]) -> str:
    """One cell a line, for a pattern to run over all at once; a cell of several lines becomes one that fits none."""
    whole = "\n".join(texts)
    return whole if whole.count("\n") == len(texts) - 1 else "\n".join(" ".join(t.splitlines()) + "?" for t in texts)


def read_times(rows: Rows, problems: Problems) -> Times | None:
    """The times of all rows; None where some cannot be read, which is told."""
    texts = [text.strip() for text in rows.times]
    if rows.stored:  # a workbook keeps midnight as the bare date
        texts = [f"{text} 00:00" if re.fullmatch(DAY, text) else text for text in texts]
    try:
        if NO_TIME.search(joined(texts)):
            raise ValueError
        tails = [text[MINUTES_END:].lstrip("0123456789:. ") for text in texts]
        times = _times(texts, tails)
    except ValueError:  # no such day, or no time at all
        wrong = [row for row, text in enumerate(texts) if row not in rows.torn and not _is_time(text)]
        rows.tell(problems, wrong, "time", lambda row: _no_time(texts[row]), "no time")
        return None
    has = bool(tails[0])
    mixed = [row for row, tail in enumerate(tails) if bool(tail) != has]
    rows.tell(problems, mixed, "time", lambda row: f"{shown(texts[row])}: {MIXED}", MIXED)
    return _within_years(rows, texts, times, problems) if not mixed else None


MIXED = "either all times have an offset from UTC, or none"


def _times(texts: Sequence[str], tails: Sequence[str]) -> Times:
    """Times of the right form, `tails` being their offsets; raises ValueError for a day that does not exist."""
    if not any(tails):
        return Times(_ticks(texts), None)
    heads = [text[: len(text) - len(tail)].rstrip() for text, tail in zip(texts, tails, strict=True)]
    known = {tail: _ahead(tail) for tail in set(tails)}
    return Times(_ticks(heads), np.array([known[tail] for tail in tails], dtype=np.int64))


def _ticks(texts: Sequence[str]) -> Ticks:
    return np.array(texts, dtype="datetime64[us]").astype(np.int64)


def _ahead(offset: str) -> int:
    """`+02:00`, `+0200`, `+02` or `Z` in ticks."""
    if offset in ("Z", ""):
        return 0
    digits = offset[1:].replace(":", "").ljust(4, "0")
    return (int(digits[:2]) * 60 + int(digits[2:])) * 60 * SECOND * (-1 if offset[0] == "-" else 1)


def _is_time(text: str) -> bool:
    try:
        return bool(ONE_TIME.fullmatch(text) and datetime.fromisoformat(text[:MINUTES_END]))
    except ValueError:
        return False


def _no_time(text: str) -> str:
    if not text:
        return "empty; write for example '2026-10-25 02:30'"
    if ONE_TIME.fullmatch(text):
        return f"{shown(text)}: there is no such day"
    if "24:00" in text:
        return f"{shown(text)}: a day ends with 23:59; 24:00 is 00:00 of the next"
    return f"{shown(text)} is no date and time; write it as '2026-10-25 02:30', with an offset if it has one"


def _within_years(rows: Rows, texts: Sequence[str], times: Times, problems: Problems) -> Times | None:
    """The times, unless some lie so far off that the meter's clock must have been wrong."""
    first, last = (_ticks([f"{year}-01-01"])[0] for year in YEARS)
    wrong = np.flatnonzero((times.local < first) | (times.local >= last)).tolist()
    what = f"the year must be from {YEARS[0]} to {YEARS[1] - 1}"
    rows.tell(problems, wrong, "time", lambda row: f"{shown(texts[row])}: {what}; a clock not set yet?", what)
    return None if wrong else times


# Numbers without thousands: whole, or with this decimal sign; then those of them that can be read in one way only.
PLAIN = {sign: rf"[0-9]{{1,15}}(?:\{sign}[0-9]{{1,15}})?" for sign in ".,"}
OTHER = {sign: re.compile(rf"^(?!{PLAIN[sign]}$)", re.MULTILINE) for sign in ".,"}
SURE = {
    sign: re.compile(
        rf"^(?:(?:0[0-9]*|[0-9]{{4,}})\{sign}[0-9]+|[0-9]+\{sign}(?:[0-9]{{1,2}}|[0-9]{{4,}}))$", re.MULTILINE
    )
    for sign in ".,"
}
Likely = Callable[[Amounts], bool]


def read_amounts(rows: Rows, likely: Likely, problems: Problems) -> Amounts | None:
    """The amounts of all rows in W or kWh; None where some cannot be read, which is told.

    likely: whether a node at home may draw such amounts; asked where all numbers can be read in two ways.
    """
    if rows.amount.unit == FAULTY:
        return None
    if rows.stored:  # few, and numbers that a workbook stores know their decimal sign
        column = replace(rows.amount, sign=decimal_sign(rows.amounts))
        return _one_by_one(rows, rows.amounts, column, problems)
    try:
        return _all_at_once(rows, likely, problems)
    except Refused as refused:  # the unit of all
        first = next((row for row, text in enumerate(rows.amounts) if text.strip(" 0.,")), 0)
        problems.add(rows.place(first, rows.form), f"{rows.form}: {refused}")
        return None


def _all_at_once(rows: Rows, likely: Likely, problems: Problems) -> Amounts | None:
    """The amounts, as far as they are plain numbers, converted together; raises Refused for a unit of all."""
    texts, unit = _common_unit([text.strip() for text in rows.amounts], rows.amount)
    whole = joined(texts)
    column = replace(rows.amount, unit=unit, sign=_sign(texts, whole))
    if not column.sign:
        return _undecided(rows, texts, column, likely, problems)
    if not OTHER[column.sign].search(whole):
        return _plain(texts, column)
    return _one_by_one(rows, texts, column, problems)


def _common_unit(texts: list[str], column: Column) -> tuple[list[str], str]:
    """The numbers without the unit in which all cells end, if the header has none; and the unit of all."""
    tail = texts[0].lstrip("0123456789.,")
    if column.unit or tail in ("", texts[0]) or not all(text.endswith(tail) for text in texts):
        return texts, column.unit
    return [text[: -len(tail)] for text in texts], tail.strip()


def _sign(texts: Sequence[str], whole: str) -> str:
    """The decimal sign on which all numbers agree; empty where none tells, or they differ."""
    sure = [sign for sign in ".," if SURE[sign].search(whole)]
    if sure:
        return sure[0] if len(sure) == 1 else ""
    if not OTHER["."].search(whole) and "." not in whole:
        return "."  # whole numbers only
    return decimal_sign(text for text in set(texts) if not AMBIGUOUS.fullmatch(text))


AMBIGUOUS = re.compile(r"[0-9]{1,3}[.,][0-9]{3}")


def _undecided(
    rows: Rows, texts: Sequence[str], column: Column, likely: Likely, problems: Problems
) -> Amounts | None:
    """Numbers such as 12.345 only: taken for fractions where no node at home could draw a thousand times as much."""
    whole = joined(texts)
    sign = next((sign for sign in ".," if not OTHER[sign].search(whole)), "")
    if not sign:
        return _one_by_one(rows, texts, column, problems)
    if not likely(_plain([text.replace(sign, "") for text in texts], replace(column, sign="."))):
        return _plain(texts, replace(column, sign=sign))
    first = next(row for row, text in enumerate(texts) if sign in text)
    problems.add(rows.place(first, rows.form), f"{rows.form}: {_value(texts[first], column)}")
    return None


def _plain(texts: Sequence[str], column: Column) -> Amounts:
    """Plain numbers in the column's unit; raises Refused for a unit that is missing or no such unit."""
    numbers = np.array([text.replace(",", ".") for text in texts] if column.sign == "," else texts, dtype=float)
    if not column.unit and numbers.any():
        value(texts[int(np.flatnonzero(numbers)[0])], column, Money())  # refuses, as in any table
    scale = factor(column.unit or column.cell.unit, column.cell.unit, Money())
    parts = round(1 / scale) if scale < 1 else 0  # 57 / 1000 and 57 * 0.001 differ; as quantities.convert does it
    return numbers / parts if parts and abs(parts * scale - 1) < 1e-12 else numbers * scale


def _one_by_one(rows: Rows, texts: Sequence[str], column: Column, problems: Problems) -> Amounts | None:
    """Amounts among which some are no plain numbers: those by the rules of any table."""
    plain = re.compile(PLAIN[column.sign]) if column.sign and column.unit and not rows.stored else None
    easy = [row for row, text in enumerate(texts) if plain and plain.fullmatch(text)]
    found = np.full(len(texts), np.nan)
    found[easy] = _plain([texts[row] for row in easy], column) if easy else []
    known: dict[tuple[type, str], float | str] = {}
    wrong: dict[int, str] = {}
    for row in np.flatnonzero(np.isnan(found)).tolist():
        text = texts[row]
        key = type(text), text
        if key not in known:
            known[key] = _value(text, column)
        outcome = known[key]
        if isinstance(outcome, str):
            wrong[row] = outcome
        else:
            found[row] = outcome
    listed = [row for row in wrong if row not in rows.torn]
    rows.tell(problems, listed, rows.form, lambda row: wrong[row], "cells that are refused")
    return None if wrong else found


def _value(text: str, column: Column) -> float | str:
    """The value of one cell, or why it is refused."""
    if not text.strip():
        return "empty, which is not zero; take the row out where nothing was measured"
    try:
        return float(value(text, column, Money()))
    except Refused as refused:
        return str(refused)
