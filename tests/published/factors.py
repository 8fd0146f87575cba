"""Discount factors in plain arithmetic, apart from the tool's, and what rounding them does to a figure.

Texts that worked with tables of factors printed figures that rounded factors give. How far these move the figure is
worked out here from the source's own way of computing, and is all that is allowed beyond the printed digits.
"""

from __future__ import annotations

from collections.abc import Callable

from scipy.optimize import brentq

Rounding = Callable[[float, int], float]


def single(rate: float, year: float) -> float:
    """What 1 at the end of a year is worth today: NIST's SPV."""
    return float((1 + rate) ** -year)


def uniform(rate: float, years: int, growth: float = 0.0) -> float:
    """What 1 a year is worth, growing from today's price: NIST's UPV and UPV*."""
    return sum(((1 + growth) / (1 + rate)) ** year for year in range(1, years + 1))


def growth_of(factor: float, rate: float, years: int) -> float:
    """The one growth that gives a printed factor: the yearly indices in it are not printed."""
    return float(brentq(lambda growth: uniform(rate, years, growth) - factor, -0.2, 0.2, xtol=1e-14))


def moved(figure: Callable[[Rounding], float]) -> float:
    """How far a source's rounding moves a figure: worked out with it, less without."""
    return abs(figure(lambda number, digits: round(number, digits)) - figure(lambda number, _: number))


def by_factors(*terms: tuple[float, float, int]) -> float:
    """How far rounded factors move a sum of amount × factor; terms of amount, exact factor, digits."""
    return moved(lambda rounded: sum(amount * rounded(factor, digits) for amount, factor, digits in terms))


def by_year(rate: float, digits: int, amounts: tuple[float, ...]) -> float:
    """How far factors rounded year by year move a present value; amounts from year 1 on."""
    return by_factors(*((amount, single(rate, year), digits) for year, amount in enumerate(amounts, start=1)))
