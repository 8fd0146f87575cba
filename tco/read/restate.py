"""A cell's text restated for a column of another table: in the unit of its header, with its decimal sign."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from math import inf, nextafter

from tco.read import numbers
from tco.read.column import Column
from tco.read.kinds import split
from tco.read.problems import Refused, shown
from tco.read.quantities import Money, factor
from tco.read.values import NUMERIC, value

TWO_WAYS = re.compile(r"[+-]?[1-9][0-9]{0,2}\.[0-9]{3}")  # thousands, or one and a bit


def restated(text: str, source: Column, target: Column, money: Money, own: str) -> str:
    """The text to put into `target` so that it reads as the same value; raises Refused where none does.

    own: the study's kind of money, nominal or real.
    """
    if source.cell.kind not in NUMERIC:
        return text
    rest, word = split(text.strip())
    check_kind(text, word or source.kind, target.kind, own)
    meant = value(text, source, money)
    body, exponent, unit = numbers.split(rest)
    unit = unit or source.unit
    number = digits(body, exponent, numbers.number(rest, source.sign)[0])
    if target.unit and not same_unit(unit, target):
        number = next(_converted(meant, target, money))
    said = [with_sign(number, target.sign, sign_of(rest)), "" if target.unit else unit]
    said.append("" if target.kind else word or source.kind)
    return " ".join(filter(None, said))


def check_kind(text: str, kind: str, wanted: str, own: str) -> None:
    """Refuse an amount in one kind of money where the header says the other."""
    if wanted and (kind or own) != wanted:
        raise Refused(
            f"{shown(text)} is {kind or own}, and the study's column is headed '{wanted}': write it in that"
        )


def same_unit(unit: str, target: Column) -> bool:
    """Whether a number needs no conversion for a header's unit."""
    return not unit or unit == target.unit or target.cell.kind in ("share", "growth")


def digits(body: str, exponent: str, wanted: float) -> str:
    """A number as it was typed, with a decimal point and without thousands signs."""
    sign = next(sign for sign, found in numbers.readings(body, exponent).items() if found == wanted)
    return re.sub(f"[^0-9{sign}+-]", "", body).replace(sign, ".") + exponent


def sign_of(text: str) -> str:
    """The decimal sign of a number that stands for itself; a point where it has none."""
    return numbers.decimal_sign([text]) or "."


def with_sign(number: str, sign: str, usual: str = ".") -> str:
    """A number with a decimal point as a table writes it, `sign` being the table's decimal sign if it has one.

    Where it has none the number has its usual sign, and a digit more if it could be read two ways.
    """
    longer = number + "0" if not sign and TWO_WAYS.fullmatch(number) else number
    return longer.replace(".", sign or usual)


def _converted(meant: float, target: Column, money: Money) -> Iterator[str]:
    """Numbers in a header's unit that read back as a value; at last the nearest there is."""
    near = meant / factor(target.unit, target.cell.unit, money)
    texts = [
        plain(float(f"{near:.15g}")),
        *(plain(one) for one in (near, nextafter(near, inf), nextafter(near, -inf))),
    ]
    yield from (text for text in texts if value(text, _pointed(target), money) == meant)
    yield texts[1]


def _pointed(column: Column) -> Column:
    """A column whose numbers have decimal points."""
    return Column(column.label, column.cell, column.unit, column.kind, ".")


def plain(number: float) -> str:
    """A number in full, without an exponent."""
    text = format(Decimal(repr(number)), "f")
    return text.rstrip("0").removesuffix(".") if "." in text else text
