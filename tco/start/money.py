"""Invented amounts of money, scaled by one number and put into another currency, exactly: decimals, no floats."""

from __future__ import annotations

import re
from decimal import Decimal

from tco.read.numbers import NotNumber, split
from tco.read.restate import with_sign
from tco.start.texts import Row, Texts, plain

OWN = "EUR"  # the money of the starting study
DRIVE = Decimal(200)  # what a new hard drive of 8 TB costs there; 200 divides into decimals that end
AMOUNT = re.compile(rf"{OWN}(?![A-Z])")
WORDS = ("source", "note", "question")  # cells that are no amounts, whatever they begin with


def restated(table: Texts, code: str, drive: Decimal) -> Texts:
    """A table with all of its amounts in the currency `code`, where such a drive costs `drive`."""
    headed = {plain(name) for name in table.header if AMOUNT.search(name)}
    header = tuple(AMOUNT.sub(code, name) for name in table.header)

    def change(row: Row) -> Row:
        return {name: cell(text, code, drive, name in headed) for name, text in row.items()}

    return Texts(header, tuple(change(row) if not _is_words(row) else row for row in table.rows))


def _is_words(row: Row) -> bool:
    """Whether a row of study.csv is a sentence."""
    return row.get("setting") in WORDS


def cell(text: str, code: str, drive: Decimal, headed: bool) -> str:
    """One cell; headed: whether its header says that it is an amount."""
    try:
        number, _, unit = split(text)
    except NotNumber:
        return text
    if headed:
        return scaled(number, drive)
    return f"{scaled(number, drive)} {AMOUNT.sub(code, unit)}" if AMOUNT.match(unit) else text


def scaled(number: str, drive: Decimal) -> str:
    """A number of the starting study for another price of a drive, without a rounding."""
    found = Decimal(number) * drive / DRIVE
    return with_sign(format(found.normalize(), "f"), "")
