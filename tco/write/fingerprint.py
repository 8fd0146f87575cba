"""What a workbook's cells say, as one short text that changes when a person changes a cell.

Spreadsheet programs rewrite what they save without meaning anything by it: the last digits of numbers, quotes round
sheet names, blanks. The fingerprint passes over that, and over stored results; values typed and formulas it holds.
"""

from __future__ import annotations

import re
from hashlib import sha256

Listing = dict[str, dict[tuple[int, int], "float | str"]]  # sheet -> (row, column) from 0 -> value or formula
PROPERTY = "tco fingerprint"
DIGITS = 9  # compared; the rest is a program's way of writing a number
NUMBER = re.compile(r"(?<![\w$.])\d+(?:\.\d*)?(?:E[+-]?\d+)?")


def fingerprint(listing: Listing) -> str:
    """The fingerprint of all cells of all sheets."""
    found = sha256()
    for sheet in sorted(listing):
        for place, value in sorted(listing[sheet].items()):
            found.update(f"{sheet}\t{place}\t{alike(value)}\n".encode())
    return found.hexdigest()


def alike(value: float | str) -> str:
    """A value or formula as all programs would write it."""
    if not isinstance(value, str):
        return f"{float(f'{value:.16G}'):.{DIGITS - 1}e}"
    if not value.startswith("="):
        return "'" + value.replace("\r\n", "\n").replace("_x000D_", "")
    parts = value.split('"')  # every second one is text
    parts[::2] = [plain_formula(part) for part in parts[::2]]
    return '"'.join(parts)


def plain_formula(text: str) -> str:
    """The part of a formula outside of texts: no blanks, quotes or dollar signs, numbers of DIGITS digits."""
    bare = "".join(text.split()).replace("'", "")
    return NUMBER.sub(lambda found: f"{float(found[0]):.{DIGITS - 1}e}", bare).replace("$", "")
