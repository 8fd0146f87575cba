"""What parts provide and need: `2 bay 3.5 + 1 M.2 + 64 GB memory + 90 W supply`."""

from __future__ import annotations

import re

from tco import units
from tco.gear import Amount
from tco.read import numbers
from tco.read.column import Column
from tco.read.problems import Refused, shown
from tco.read.quantities import Money, unit_meant
from tco.read.words import NAME_LIMIT, plain, read_name

ITEM_LIMIT = 30  # amounts in one cell
OTHER_JOINS = re.compile(r"(?:,\s|;|&|[\r\n]|\band\s)\s*[0-9]")  # what people may write in the place of +
TIMES = ("x", "×", "*")


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
        raise Refused(f"{shown(text)} is no amount{_apart(text) or '; ' + wanted}")
    if OTHER_JOINS.search(text[number.end() :]):
        raise Refused(f"{shown(text)}: amounts are joined by +, such as '{column.cell.example}'")
    count, _ = numbers.number(number[0], column.sign)
    words = text[number.end() :].split()
    _check_first(text, number[0], words)
    unit = words[0] if _is_unit(words[0]) else ""
    written = read_name(" ".join(words[1:] if unit else words), column, money)
    name = plain(written)
    if not name or len(name) > NAME_LIMIT:
        raise Refused(f"{shown(text)} does not say of what; {wanted}")
    return Amount(count, unit, name, written)


def _apart(text: str) -> str:
    """The end of a message about `2x bay` or `64GB memory`: what was probably meant."""
    found = re.fullmatch(r"([0-9][0-9.,]*)(?:[x×*]\s+)?([A-Za-z].*)", text)
    return f"; did you mean {shown(f'{found[1]} {found[2]}')}?" if found else ""


def _check_first(text: str, number: str, words: list[str]) -> None:
    """Refuse what stands after a number and would silently become part of the name."""
    first = words[0]
    if re.fullmatch("[0-9]{3}", first):
        name = " ".join(words)
        raise Refused(
            f"{shown(text)} could be {number}{first}, or {number} of {shown(name)}: write '{number}{first} ...', "
            "or begin the name with a letter"
        )
    if len(words) > 1 and first.casefold() in TIMES:
        raise Refused(f"{shown(text)}: leave the '{first}' out: {shown(' '.join([number, *words[1:]]))}")
    if not _is_unit(first) and (meant := unit_meant(first)):
        raise Refused(f"{shown(text)}: unit {shown(first)} is unknown{meant}")


def _is_unit(word: str) -> bool:
    """Whether a word is a unit, other than money."""
    try:
        named = re.match("[A-Za-z%]", word) is not None
        return named and not any(name.startswith("[money_") for name in units.unit(word).dimensionality)
    except (ValueError, ArithmeticError):
        return False
