"""Live text and numbers: a formula together with what it shows now, so that the two cannot drift apart.

Sentences with numbers use FIXED(): TEXT() codes change with the reader's language.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tco.write.fixed import rounded

PIECE = 250  # a text inside a formula may be 255 characters long


@dataclass(frozen=True)
class Live:
    """A formula without its equals sign, and what it comes to now."""

    formula: str
    value: Any


def text(plain: str) -> Live:
    """A text that does not change."""
    pieces = [plain[start : start + PIECE] for start in range(0, len(plain), PIECE)] or [""]
    return Live("&".join('"' + piece.replace('"', '""') + '"' for piece in pieces), plain)


def sentence(*parts: Live | str) -> Live:
    """Parts one after the other."""
    lives = [text(part) if isinstance(part, str) else part for part in parts]
    formulas = [f"({one.formula})" if one.formula.startswith("-") else one.formula for one in lives]
    return Live("&".join(formulas), "".join(str(one.value) for one in lives))


def fixed(number: Live, digits: int = 0) -> Live:
    """A number as text, with separators and the minus sign of the tables; halves away from 0, as FIXED does."""
    shown = f"{rounded(number.value, digits):,.{digits}f}".replace("-", "−")
    return Live(f'SUBSTITUTE(FIXED({number.formula},{digits}),"-","−")', shown)


def size(number: Live) -> Live:
    """A number without its sign."""
    return Live(f"ABS({number.formula})", abs(number.value))


def either(test: Live, yes: Live | str, no: Live | str) -> Live:
    """One of two, by a condition."""
    left, right = (text(one) if isinstance(one, str) else one for one in (yes, no))
    return Live(f"IF({test.formula},{left.formula},{right.formula})", left.value if test.value else right.value)


def row_of(values: list[Any], span: str, wanted: Live) -> Live:
    """The place, counted from 1, of a value in a column of cells."""
    return Live(f"MATCH({wanted.formula},{span},0)", values.index(wanted.value) + 1)


def picked(values: list[Any], span: str, place: Live) -> Live:
    """The value at a place, counted from 1, of a column of cells."""
    return Live(f"INDEX({span},{place.formula})", values[place.value - 1])
