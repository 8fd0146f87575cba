"""Numbers with fixed decimals as text: everywhere rounded alike, halves away from 0, as spreadsheet programs do."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Context, Decimal

from tco.units import WHOLE

EXACT = Context(prec=400)  # more digits than any number has


def rounded(value: float, digits: int) -> Decimal:
    """A finite number with so many decimals; what rounds to nothing keeps its sign."""
    return Decimal(repr(float(value))).quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP, EXACT)


def fixed(value: float, digits: int = 0, minus: str = "-") -> str:
    """A finite number with separators; what rounds to nothing has no sign."""
    found = rounded(value, digits)
    return f"{found if found else abs(found):,.{digits}f}".replace("-", minus)


def digits_of(money: str) -> int:
    """Digits after the point of an amount that is told to its smallest coin."""
    return 0 if money in WHOLE else 2


def percent(share: float, digits: int = 0, minus: str = "-") -> str:
    """A share in %."""
    return f"{fixed(100 * share, digits, minus)} %"
