"""What parts provide and need: `2 bay 3.5 + 1 M.2 + 64 GB memory + 90 W supply`."""

from __future__ import annotations

import re

from tco import units
from tco.gear import Amount
from tco.read import numbers
from tco.read.column import Column
from tco.read.problems import Refused, shown
from tco.read.quantities import Money
from tco.read.words import NAME_LIMIT, plain, read_name

ITEM_LIMIT = 30  # amounts in one cell


def read_amounts(text: str, column: Column, money: Money) -> tuple[Amount, ...]:
    """Every amount of a cell, each name once; raises Refused."""
    items = text.split("+")
    if len(items) > ITEM_LIMIT:
        raise Refused(f"{len(items)} amounts; the most is {ITEM_LIMIT}")
    found = tuple(_amount(item.strip(), column, money) for item in items)
    names = [amount.name for amount in found]
    if twice := next((name for name in names if names.count(name) > 1), ""):
        raise Refused(f"{shown(twice)} stands here twice; add the two up")
    return found


def _amount(text: str, column: Column, money: Money) -> Amount:
    """One amount: a number, perhaps a unit, and the name of what is counted."""
    wanted = f"write a number and a name, such as '{column.cell.example}'"
    number = re.match(r"[0-9][0-9.,]*", text)
    if not number or not text[number.end() : number.end() + 1].isspace():
        raise Refused(f"{shown(text)} is no amount; {wanted}")
    count, _ = numbers.number(number[0], column.sign)
    words = text[number.end() :].split()
    if re.fullmatch("[0-9]{3}", words[0]):
        raise Refused(f"{shown(text)}: write the number without a space in it, such as '{number[0]}{words[0]} ...'")
    unit = words[0] if len(words) > 1 and _is_unit(words[0]) else ""
    name = plain(read_name(" ".join(words[1:] if unit else words), column, money))
    if not name or len(name) > NAME_LIMIT:
        raise Refused(f"{shown(text)} does not say of what; {wanted}")
    return Amount(count, unit, name)


def _is_unit(word: str) -> bool:
    try:
        return not any(name.startswith("[money_") for name in units.unit(word).dimensionality)
    except (ValueError, ArithmeticError):
        return False
