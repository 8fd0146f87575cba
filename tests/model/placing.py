"""Where pieces of data may lie, worked out apart from the tool: three ways to the largest volume, two placements.

An object's pieces lie on distinct nodes. The volume here is that of one piece; times the data pieces it is usable.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations, pairwise

import numpy as np
from scipy.optimize import linprog

Objects = list[tuple[float, frozenset[int]]]  # the volume of one piece of the objects that lie on these nodes


def by_formula(capacities: Sequence[float], pieces: int) -> Fraction:
    """The least of what all but the j largest nodes hold, over the pieces left for them; exact."""
    rising = sorted(map(Fraction, capacities))
    if len(rising) < pieces:
        return Fraction(0)
    return min(sum(rising[: len(rising) - j], Fraction(0)) / (pieces - j) for j in range(pieces))


def by_halving(capacities: Sequence[float], pieces: int) -> float:
    """The largest volume of which the nodes, each holding it once at most, hold all pieces."""
    if len(capacities) < pieces:
        return 0.0
    low, high = 0.0, sum(capacities)
    for _ in range(200):
        middle = (low + high) / 2
        fits = sum(min(one, middle) for one in capacities) >= pieces * middle
        low, high = (middle, high) if fits else (low, middle)
    return low


def by_programme(capacities: Sequence[float], pieces: int) -> float:
    """The best of all ways to lay objects on sets of nodes, by linear programming."""
    return sum(volume for volume, _ in laid_by_programme(capacities, pieces))


def laid_by_programme(capacities: Sequence[float], pieces: int) -> Objects:
    """A best way: a volume for each set of so many nodes."""
    sets = list(map(frozenset, combinations(range(len(capacities)), pieces)))
    if not sets:
        return []
    found = linprog(-np.ones(len(sets)), A_ub=stands_on(sets, len(capacities)), b_ub=capacities)
    assert found.success, found.message
    return [(float(volume), nodes) for volume, nodes in zip(found.x, sets, strict=True) if volume > 0]


def stands_on(sets: Sequence[frozenset[int]], nodes: int) -> np.ndarray:
    """A row a node: 1 for each set that it is in."""
    return np.array([[float(node in one) for one in sets] for node in range(nodes)])


def missing_by_programme(capacities: Sequence[float], pieces: int) -> float:
    """The least that would have to be added to all nodes but one largest so that everything is usable."""
    count, largest = len(capacities), int(np.argmax(capacities))
    sets = list(map(frozenset, combinations(range(count), pieces)))
    cost = np.concatenate([np.zeros(len(sets)), np.ones(count)])
    full = np.hstack([stands_on(sets, count), -np.eye(count)])
    bounds = [(0.0, None)] * len(sets) + [(0.0, 0.0 if node == largest else None) for node in range(count)]
    found = linprog(cost, A_eq=full, b_eq=capacities, bounds=bounds)
    assert found.success, found.message
    return float(found.fun)


def laid_in_rows(capacities: Sequence[float], pieces: int) -> Objects:
    """McNaughton's wrap-around rule: nodes end to end on a line, cut into a row a piece; a column is an object."""
    volume = by_formula(capacities, pieces)
    if not volume:
        return []
    ends = np.cumsum([Fraction(0), *(min(Fraction(one), volume) for one in capacities)])
    assert ends[-1] == pieces * volume
    cuts = sorted({end % volume for end in ends} | {volume})
    return [(float(high - low), column(ends, volume, pieces, low)) for low, high in pairwise(cuts)]


def column(ends: np.ndarray, volume: Fraction, pieces: int, at: Fraction) -> frozenset[int]:
    """The nodes that lie above each other at a place of the rows; each another one."""
    nodes = [int(np.searchsorted(ends, row * volume + at, side="right")) - 1 for row in range(pieces)]
    assert len(set(nodes)) == pieces
    return frozenset(nodes)


def laid_evenly(capacities: Sequence[float], pieces: int) -> Objects:
    """Equal nodes, or just as many as pieces: the same volume on every set of nodes."""
    count = len(capacities)
    assert count == pieces or len(set(capacities)) == 1
    sets = list(map(frozenset, combinations(range(count), pieces)))
    volume = min(capacities) * count / pieces / len(sets)
    return [(volume, nodes) for nodes in sets]
