"""What a workbook's cells say, as one short text that changes when a person changes a cell.

Spreadsheet programs rewrite what they save without meaning anything by it: the last digits of numbers, quotes round
sheet names, blanks. The fingerprint passes over that, and over stored results; values typed, formulas and where there
are comments it holds.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from hashlib import sha256
from itertools import compress

Spot = tuple[int | str, ...]  # row and column from 0; with NOTED a comment there, whatever it says
Listing = dict[str, dict[Spot, "float | str"]]  # sheet -> spot -> value or formula
NOTED = "comment"
PROPERTY = "tco fingerprint"
DIGITS = 9  # compared; the rest is a program's way of writing a number
BETWEEN = "\0"
BLANK = {ord(one): None for one in "' \t\n\r\v\f\x1c\x1d\x1e\x1f\x85\xa0"}
NUMBER = re.compile(r"(?<![\w$.])\d+(?:\.\d*)?(?:E[+-]?\d+)?")


def fingerprint(listing: Listing) -> str:
    """The fingerprint of all cells of all sheets."""
    found = sha256()
    for sheet in sorted(listing):
        places = sorted(listing[sheet])
        values = alike([listing[sheet][place] for place in places])
        found.update(f"{sheet}\t{places}\t{BETWEEN.join(values)}{BETWEEN}".encode())
    return found.hexdigest()


def alike(values: Sequence[float | str]) -> list[str]:
    """Each value or formula as all programs would write it."""
    is_formula = [isinstance(value, str) and value.startswith("=") for value in values]
    formulas = iter(plain_formulas(list(compress(values, is_formula))))
    return [next(formulas) if live else plain(value) for live, value in zip(is_formula, values, strict=True)]


def plain(value: float | str) -> str:
    """A value as all programs would write it."""
    return "'" + value.replace("\r\n", "\n").replace("_x000D_", "") if isinstance(value, str) else number(value)


@lru_cache(10_000)
def number(value: float) -> str:
    """A number of DIGITS digits, as it comes back from a file; few numbers of a workbook stand there only once."""
    return f"{float(f'{value + 0.0:.16G}'):.{DIGITS - 1}e}"


def plain_formulas(formulas: Sequence[float | str]) -> list[str]:
    """Formulas outside of whose texts are no blanks, quotes or dollar signs, and numbers of DIGITS digits.

    All at once, as one long text: one by one takes several times as long. No sheet holds the mark between them.
    """
    parts = BETWEEN.join(map(str, formulas)).split('"')  # every second one is text
    parts[::2] = [
        BETWEEN.join(map(rounded, part.translate(BLANK).split(BETWEEN))).replace("$", "") for part in parts[::2]
    ]
    return '"'.join(parts).split(BETWEEN)


def rounded(formula: str) -> str:
    """A piece of a formula with numbers of DIGITS digits; whole ones without a point are written alike by all."""
    return NUMBER.sub(short, formula) if "." in formula or "E-" in formula else formula


def short(found: re.Match[str]) -> str:
    """A number of DIGITS digits, 5.0 as 5."""
    return f"{float(found[0]):.{DIGITS}g}"
