"""The text of one cell -> the value its definition asks for; raises Refused with what would be right.

Numbers come out as floats in the definition's unit, shares as fractions of 1, months and whole numbers as int.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from math import isnan
from typing import Any

from tco import units
from tco.cell import Cell
from tco.read import hours, numbers, words
from tco.read.amounts import read_amounts
from tco.read.column import Column
from tco.read.kinds import bare
from tco.read.problems import Refused, shown
from tco.read.quantities import Money, conversion, convert, known_unit, spelled

UNKNOWN = float("nan")  # stands for a refused number: it compares false with everything, so no check repeats it
NUMBER_LIMIT = 100  # characters of a number with its unit
NUMERIC = ("number", "share", "growth", "whole", "months")
MONTH_NAMES = {"y": "year", "yr": "year", "yrs": "year", "mo": "month"}


def value(text: str, column: Column, money: Money) -> Any:
    """The value of a filled cell, whether it is called nominal or real; raises Refused."""
    plain = text.strip() if type(text) is str else text
    if column.cell.kind in NUMERIC:
        plain = bare(plain, column)
    found = READERS[column.cell.kind](plain, column, money)
    check_range(found, column, money)
    return found


def stand_in(cell: Cell) -> Any:
    """What stands in for a refused cell while the rest of the study is checked: it causes no further message."""
    if cell.kind in (*NUMERIC, "clock"):
        return UNKNOWN
    if cell.kind in ("month", "date"):
        return date.min
    return {"yes": False, "amounts": (), "names": (), "season": (), "days": ()}.get(cell.kind, "")


def check_range(found: Any, column: Column, money: Money) -> None:
    """Refuse values outside the definition's range, in the words of its unit."""
    cell = column.cell
    if cell.kind not in NUMERIC or isnan(found):
        return
    for limit, word, beyond in ((cell.least, "below", -1), (cell.most, "above", 1)):
        if limit is not None and (found - limit) * beyond > 0:
            if 0 < limit < 1e-3 and found <= 0:
                raise Refused(f"{with_unit(found, cell, money)} is not above 0")
            value, bound = with_unit(found, cell, money), with_unit(limit, cell, money)
            raise Refused(f"{value} is {word} {bound}, which is the {'least' if beyond < 0 else 'most'}")


def with_unit(value: float, cell: Cell, money: Money) -> str:
    """A value as a person writes it: `120 %`, `-5 EUR`, `61 months`."""
    if cell.kind in ("share", "growth"):
        return f"{value * 100:.6g} %"
    if cell.kind == "months":
        return f"{value:g} month{'s' * (abs(value) != 1)}"
    if cell.unit == "1/year":
        return f"{value * 100:.6g} %/year"
    return f"{value:.6g} {spelled(money.unit(cell.unit))}".strip()


def _number(text: str, column: Column, money: Money) -> float:
    """A number in the column's unit, its own unit in the cell or in the header."""
    found, unit = _split(text, column, money)
    wanted = column.cell.unit
    if not money.code and "{money}" in wanted:
        return UNKNOWN
    if not wanted:
        return _plain(found, unit, text, column)
    if not unit and not column.unit:
        if found == 0:
            return 0.0
        raise Refused(_no_unit(text, column, money))
    if unit and column.unit:
        _check_agree(unit, column.unit)
    return convert(found, unit or column.unit, wanted, money)


def _plain(found: float, unit: str, text: str, column: Column) -> float:
    """A number of a column without unit: `5 %` may be meant as 0.05 or as 1.05, and is refused."""
    if unit:
        raise Refused(f"{shown(text)}: a number without unit belongs here, such as '{column.cell.example}'")
    return found


def _check_agree(own: str, header: str) -> None:
    """Refuse a cell whose unit is of another kind than its header's; money of another country is the same kind."""
    ours, theirs = known_unit(own), known_unit(header)
    if not units.same_kind(ours, theirs):
        try:
            conversion(own, header)
        except Refused:
            message = f"the cell says {shown(own)}, the header {shown(header)}: write one of them"
            raise Refused(message) from None


def _no_unit(text: str, column: Column, money: Money) -> str:
    unit = spelled(money.unit(column.cell.unit))
    head = f", or head the column '{column.label} [{unit}]'" if column.heads else ""
    return f"{shown(text)} has no unit: write for example {column.example(money)}{head}"


def _split(text: str, column: Column, money: Money) -> tuple[float, str]:
    """A cell's number and unit; raises Refused with an example."""
    if len(text) > NUMBER_LIMIT:
        raise Refused(f"{shown(text)} is not a number; write for example {column.example(money)}")
    try:
        plain = column.cell.kind == "number" and not column.cell.unit and column.cell.most
        found, unit = numbers.number(text, column.sign, plain or numbers.LARGEST)
    except numbers.NotNumber as error:
        raise Refused(f"{error}; write for example {column.example(money)}") from None
    if unit and not re.match(r"[^\W\d_]|[%€$£]|1/", unit):
        raise Refused(f"{shown(text)} is not a number; write for example {column.example(money)}")
    return found, unit


def _percent(text: str, column: Column, money: Money) -> float:
    """A share or a growth as a fraction of 1; the % sign must stand somewhere."""
    found, unit = _split(text, column, money)
    unit = unit or column.unit
    if not unit:
        if found == 0:
            return 0.0
        raise Refused(_two_percents(found, text))
    check_percent(unit, column.cell.kind)
    return found / 100


def check_percent(unit: str, kind: str) -> None:
    """Refuse a unit other than `%`, or `%/year` for growth."""
    plain = unit.replace(" ", "").replace("percent", "%")
    if plain != "%" and not (kind == "growth" and plain in ("%/year", "%/y", "%/a", "%peryear")):
        wanted = "'%' or '%/year'" if kind == "growth" else "'%'"
        raise Refused(f"{shown(unit)} is not what belongs here; wanted {wanted}")


def _two_percents(found: float, text: str) -> str:
    """The message about a share without its sign: 3 may be meant as 3 % or as 3, which is 300 %."""
    likely = found if abs(found) >= 1 else found * 100
    other = found * 100 if abs(found) >= 1 else found
    return f"{shown(text)} could be {likely:.6g} % or {other:.6g} %: write '{likely:.6g} %'"


def _whole(text: str, column: Column, money: Money) -> int:
    found, unit = _split(text, column, money)
    if unit:
        raise Refused(f"{shown(text)}: a whole number without unit belongs here, such as '{column.cell.example}'")
    if found < 0 or not found.is_integer():
        what = "negative" if found < 0 else "a fraction"
        raise Refused(f"{shown(text)} is {what}; write a whole number from 0 up, such as '{column.cell.example}'")
    return int(found)


def _months(text: str, column: Column, money: Money) -> int:
    found, unit = _split(text, column, money)
    unit = MONTH_NAMES.get(unit, unit) or column.unit
    if not unit:
        if found == 0:
            return 0
        raise Refused(f"{shown(text)} has no unit: write '{text} months' or '{text} years'")
    months = convert(found, unit, "month", money)
    if abs(months - round(months)) > 1e-6 or (months and not round(months)):
        raise Refused(f"{shown(text)} is {months:.6g} months; only whole months count")
    return round(months)


READERS: dict[str, Callable[[str, Column, Money], Any]] = {
    "number": _number,
    "share": _percent,
    "growth": _percent,
    "whole": _whole,
    "months": _months,
    "month": words.read_month,
    "date": words.read_date,
    "currency": words.read_currency,
    "zone": words.read_zone,
    "yes": words.read_yes,
    "choice": words.read_choice,
    "name": words.read_name,
    "text": words.read_text,
    "file": words.read_file,
    "amounts": read_amounts,
    "names": words.read_names,
    "season": hours.read_season,
    "days": hours.read_days,
    "clock": hours.read_clock,
    "day": hours.read_day,
}
