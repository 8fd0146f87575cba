"""Numbers with fixed decimals as text: everywhere rounded alike, halves away from 0, as spreadsheet programs do."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Context, Decimal

EXACT = Context(prec=400)  # more digits than any number has


def fixed(value: float, digits: int = 0, minus: str = "-") -> str:
    """A finite number with separators; what rounds to nothing has no sign."""
    rounded = Decimal(repr(float(value))).quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP, EXACT)
    return f"{rounded if rounded else abs(rounded):,.{digits}f}".replace("-", minus)


def percent(share: float, digits: int = 0, minus: str = "-") -> str:
    """A share in %."""
    return f"{fixed(100 * share, digits, minus)} %"
