"""Results of a simulation with invented numbers, for tests of what is written. No study was ever drawn for them."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from functools import cache
from itertools import combinations
from typing import Any

import numpy as np

import tco
from tco.ask.compare import Comparison
from tco.ask.simulated import LUCK, Chance, Driver, Duel, Outcome, Simulated, Spread, Varied, Year
from tco.model.measure import LEVEL
from tco.study import Range

HOSTILE = (
    "=1+1",
    "@SUM(A1:A9)",
    "a name of sixty letters that goes on and on until it is long",
    "a name of sixty letters that goes on and on until it is gone",
    "\N{HEBREW LETTER SHIN}\N{HEBREW LETTER LAMED}\N{HEBREW LETTER VAV}\N{HEBREW LETTER FINAL MEM}",
    "-x 50 % +- 5",
)
Draws = np.ndarray[Any, Any]
PRICE = Varied("electricity price", "", 0.8, 1.0, 1.5)
DISK = Varied("price of hard drive 8 TB, new", "EUR", 150.0, 180.0, 260.0)


@cache
def compared(name: str = "demo") -> Comparison:
    """A study that comes with tco, compared; without a ranges.csv, whose rows tests make up."""
    return with_ranges(tco.compare(tco.load(tco.demo().parent / name)))


def with_ranges(comparison: Comparison, *rows: Range) -> Comparison:
    """The comparison of a study that has these rows in ranges.csv."""
    built = comparison.built
    return dataclasses.replace(
        comparison, built=dataclasses.replace(built, study=dataclasses.replace(built.study, ranges=rows))
    )


def chance(holds: Draws) -> Chance:
    """The share of draws in which something holds, or in what part it does."""
    share = float(holds.sum()) / holds.size
    return Chance(share, (share * (1 - share) / holds.size) ** 0.5)


def spread(values: Draws, *, exact: bool = False) -> Spread:
    """A figure over all draws; its exact expectation is made up, a little beside the mean."""
    low, middle, high = (float(value) for value in np.quantile(values, (0.1, 0.5, 0.9)))
    error = float(values.std(ddof=1) / np.sqrt(values.size))
    return Spread(low, middle, high, float(values.mean()), error, float(values.mean()) + error if exact else None)


def shared(values: Draws, names: Sequence[str]) -> tuple[Driver, ...]:
    """Made-up shares: each input half of what is left, the rest luck; nothing where nothing varies."""
    if values.std() <= LEVEL:
        return ()
    return (*(Driver(name, 0.5**n) for n, name in enumerate(names, start=1)), Driver(LUCK, 0.5 ** len(names)))


def simulated(
    comparison: Comparison,
    costs: Mapping[str, Draws],
    *,
    varied: Sequence[Varied] = (),
    misses: Sequence[str] = (),
    seed: int = 7,
) -> Simulated:
    """What a simulation would have found with these life-cycle costs (draws,) by scenario.

    misses: the scenarios that miss a need. Their names need not be those of the comparison.
    """
    among = tuple(name for name in costs if name not in misses) or tuple(costs)
    first = np.array([costs[name] for name in among])
    first = first <= first.min(axis=0) + LEVEL
    parts = dict(zip(among, first / first.sum(axis=0), strict=True))
    found = tuple(
        outcome(comparison, name, values, varied, meets=name not in misses, first=parts.get(name))
        for name, values in costs.items()
    )
    order = sorted(costs, key=lambda name: float(np.median(costs[name])))
    duels = tuple(duelled(one, other, costs, varied) for one, other in combinations(order, 2))
    draws = len(next(iter(costs.values())))
    return Simulated(comparison, draws, seed, tuple(varied), found, duels, among)


def outcome(
    comparison: Comparison, name: str, values: Draws, varied: Sequence[Varied], *, meets: bool, first: Draws | None
) -> Outcome:
    """One scenario; four tenths of its cost are paid at the start, the rest in years that luck makes unlike."""
    count, exact = -(-comparison.study.settings.horizon // 12), not varied
    uneven = np.random.default_rng(len(name)).uniform(0.8, 1.2, (count, values.size)) if np.ptp(values) > 0 else 1.0
    weights = np.linspace(0.9, 1.1, count)[:, None] * uneven
    cash = np.broadcast_to(0.6 * values * weights / count, (count, values.size))
    worst = cash.argmax(axis=0)
    years = [Year(0, "start", spread(0.4 * values, exact=exact), 0.0, 0.0, 0.0, 0.0, 0.0)]
    for n, own in enumerate(cash):
        lots = (0.1 * n, 0.04 * n, 0.02 * n, float(n // 2)) if np.ptp(values) > 0 else (0.0,) * 4
        years.append(Year(n + 1, f"year {n + 1}", spread(own, exact=exact), float((worst == n).mean()), *lots))
    return Outcome(
        name,
        meets,
        spread(values, exact=exact),
        spread(values / 55.0, exact=exact),
        spread(cash.max(axis=0)),
        tuple(years),
        Chance(0.0, 0.0) if first is None else chance(first),
        shared(values, [own.name for own in varied]),
    )


def duelled(one: str, other: str, costs: Mapping[str, Draws], varied: Sequence[Varied]) -> Duel:
    """Two scenarios in the same draws."""
    apart = costs[one] - costs[other]
    return Duel(
        one, other, chance(apart < -LEVEL), spread(apart), shared(apart, [own.name for own in reversed(varied)])
    )


def four(draws: int = 10_000, seed: int = 7) -> dict[str, Draws]:
    """Life-cycle costs of four scenarios, one of them certain, that share what makes electricity dear."""
    rng = np.random.default_rng(seed)
    dear, luck = rng.triangular(0.8, 1.0, 1.5, draws), rng.gamma(2.0, 1.0, (3, draws))
    return {
        "old servers": 2200 + 7600 * dear + 160 * luck[0],
        "quiet minis": 3900 + 700 * dear + 120 * luck[1],
        "modern boards": 5200 + 900 * dear + 110 * luck[2],
        "rented space": np.full(draws, 5283.25),
    }
