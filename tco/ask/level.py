"""What makes sure of the values at which two scenarios cost the same: the range's ends, and each value put in again.

`vary_roots.py` finds meetings between values that were looked at; a range ends somewhere, and beyond it nobody looks.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from tco.ask.vary_roots import ALIKE, JUMPS, SAME, Differences, Meeting, sides
from tco.engine import Array
from tco.errors import LevelError
from tco.model.measure import LEVEL

Check = tuple[int, float, int]  # a pair, a value, and the side wanted there: 1, -1, or 0 for costing the same


def with_ends(values: Array, found: Array, of: Differences) -> tuple[Array, Array]:
    """Values and differences with those at which a difference turns between the range's end and its neighbour.

    values: shape (values,), rising, three at least; found: shape (values, pairs). A turn between two neighbours of
    which both have others beyond them is vary_roots' own business.
    """
    extra = np.unique([*turns(values, found, of, last=False), *turns(values, found, of, last=True)])
    extra = extra[~np.isin(extra, values)]
    if not len(extra):
        return values, found
    count = found.shape[1]
    more = of(np.repeat(extra, count), np.tile(np.arange(count), len(extra))).reshape(len(extra), count)
    order = np.argsort(both := np.concatenate([values, extra]), kind="stable")
    return both[order], np.concatenate([found, more])[order]


def turns(values: Array, found: Array, of: Differences, *, last: bool) -> Iterator[float]:
    """Where each pair's difference comes nearest to 0, or beyond it, in the first or the last step.

    Looked for where the parabola through the three values at that end turns within the step.
    """
    three = [-1, -2, -3] if last else [0, 1, 2]
    end, near, far = values[three]
    for pair, (first, second, third) in enumerate(found[three].T):
        way = float(np.sign(second))
        here, there = (way * one * (near - end) for one in slopes((end, near, far), (first, second, third)))
        if way and first * way > -LEVEL and here < 0 < there:
            yield least((min(end, near), max(end, near)), pair, way, of)


def slopes(at: Sequence[float], height: Sequence[float]) -> tuple[float, float]:
    """How steep the parabola through three points is at the first and at the second of them."""
    (end, near, far), (first, second, third) = at, height
    inner, outer = (second - first) / (near - end), (third - first) / (far - end)
    bend = (outer - inner) / (far - near) * (near - end)
    return inner - bend, inner + bend


def least(step: tuple[float, float], pair: int, way: float, of: Differences) -> float:
    """Where a difference times `way` is least within a step, by the library (Brent's method, bounded)."""
    from scipy.optimize import minimize_scalar  # it takes a while to load

    def height(value: float) -> float:
        return way * float(of(np.array([value]), np.array([pair]))[0])

    return float(minimize_scalar(height, bounds=step, method="bounded").x)


def verify(
    met: Sequence[Sequence[Meeting]], ends: tuple[float, float], scale: Array, of: Differences, names: Sequence[str]
) -> None:
    """Put every value at which a pair should cost the same into the model again, and one between each two of them.

    met: each pair's meetings, rising; ends: of the range; scale: how large costs are, shape (pairs,); names: what
    each pair is called. Raises LevelError where costs differ by more than half a cent (and by more than rounding), or
    where the wrong one is the cheaper between two meetings.
    """
    wanted = [one for pair, own in enumerate(met) for one in (*equal(pair, own), *beside(pair, own, ends))]
    if not wanted:
        return
    pairs = np.array([pair for pair, _, _ in wanted])
    apart = of(np.array([value for _, value, _ in wanted]), pairs)
    for (pair, value, side), difference in zip(wanted, apart.tolist(), strict=True):
        if side == 0 and not abs(difference) <= max(LEVEL, ALIKE * scale[pair]) * (1.0 + ALIKE):
            raise LevelError(names[pair], f"{value!r}", difference, "they should cost the same")
        if side and not sides(np.array(difference)) * side >= 0:
            raise LevelError(names[pair], f"{value!r}", difference, "the other one should cost less")


def equal(pair: int, met: Sequence[Meeting]) -> Iterator[Check]:
    """Where a pair should cost the same: at its meetings; of a level stretch half-way, as its ends may be jumps."""
    for one in met:
        if one.kind != JUMPS:
            yield pair, (one.value + one.until) / 2 if one.kind == SAME else one.value, 0


def beside(pair: int, met: Sequence[Meeting], ends: tuple[float, float]) -> Iterator[Check]:
    """Who should cost less half-way between meetings, and between them and the range's ends."""
    for one, other in pairwise(met):
        yield from ((pair, (one.until + other.value) / 2, side) for side in {one.after, other.before})
    if met and met[0].before:
        yield pair, (ends[0] + met[0].value) / 2, met[0].before
    if met and met[-1].after:
        yield pair, (met[-1].until + ends[1]) / 2, met[-1].after
