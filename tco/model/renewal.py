"""Expected failures and replacements of one slot, exactly, month by month; no simulation.

Ages and times are whole months. A unit bought at the end of month m meets its first chance to fail in month m + 1.
The renewal equation is the discrete one of any textbook on renewal theory: P(t) = g0(t) + sum of P(j) g(t - j).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tco.study import FailurePoint

Floats = NDArray[np.float64]


def monthly_chances(curve: Sequence[FailurePoint], age: int, months: int) -> Floats:
    """Chance that a unit bought at `age` [month] fails in its 1st, 2nd ... month here, if it lives till then.

    From a rate [1/year] it is 1 - exp(-rate / 12); a curve may give the chance itself. Shape (months,). Beyond the
    curve's last age its last value holds.
    """
    starts = np.array([point.age for point in curve])
    by_point = np.array([one_chance(point) for point in curve])
    return by_point[np.searchsorted(starts, age + np.arange(months), side="right") - 1]


def one_chance(point: FailurePoint) -> float:
    """The monthly chance that a row of a failure curve means."""
    if point.chance is not None:
        return point.chance
    assert point.rate is not None
    return float(-np.expm1(-point.rate / 12))


@dataclass(frozen=True)
class Life:
    """How long a unit lasts: `survives[k]` and `fails[k]` at k months after buying, k = 0..months."""

    survives: Floats
    fails: Floats


def life(chances: Floats) -> Life:
    """Survival and failure by month since buying, from the chance of each month; shapes (months + 1,)."""
    survives = np.concatenate([[1.0], np.cumprod(1.0 - chances)])
    return Life(survives, np.concatenate([[0.0], survives[:-1] * chances]))


def failures(first: Life, later: Life) -> Floats:
    """Expected failures of a slot in month k after buying, k = 0..months: the discrete renewal equation.

    first: the unit bought at the start; later: what takes its place, each time. Shape (months + 1,).
    """
    expected = first.fails.copy()
    for month in range(1, len(expected)):
        earlier = expected[1:month]
        expected[month] += earlier @ later.fails[month - 1 : 0 : -1]
    return expected


def present(arrivals: Floats, survives: Floats) -> Floats:
    """Expected units there at the end of month k, k = 0..months, of those that arrived by then."""
    return np.convolve(arrivals, survives)[: len(arrivals)]
