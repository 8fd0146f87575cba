"""Where two scenarios cost the same: every meeting of their costs in a range of one input.

Costs are worked out at many values at once; where neighbours say different things the library's root finder narrows
it down, all meetings together. Two meetings between the same neighbours are found where the difference dips there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

import numpy as np

from tco.engine import Array
from tco.model.measure import LEVEL

NARROW = 1e-14  # of a step between values: so near is a meeting narrowed down
ALIKE = 1e-9  # of the costs: differences nearer than this are rounding
CROSSES, TOUCHES, SAME, JUMPS = "crosses", "touches", "level", "jumps"
Differences = Callable[[Array, Array], Array]  # (values, which pair each is of) -> costs of one less the other


@dataclass(frozen=True)
class Meeting:
    """Where two scenarios cost the same.

    kind: `crosses` (the cheaper one changes), `touches` (the same one is cheaper on both sides, or the range ends),
        `level` (they cost the same from `value` to `until`), `jumps` (the cheaper one changes, but at no value do
        they cost the same).
    before, after: 1 where the first of the two is the dearer one there, -1 the cheaper, 0 where the range ends.
    """

    kind: str
    value: float
    until: float
    before: int
    after: int


@dataclass(frozen=True)
class Bracket:
    """Two values of a pair's input between which the size of its difference passes `apart`, or the difference 0."""

    pair: int
    low: float
    high: float
    apart: float = 0.0


@dataclass(frozen=True)
class Run:
    """Values side by side at which a pair's difference is on one side; least: the one with the least difference."""

    side: int
    first: float
    last: float
    least: float
    count: int


def sides(differences: Array) -> Array:
    """1 where the first costs more, -1 where it costs less, 0 within half a cent."""
    return np.where(np.abs(differences) < LEVEL, 0.0, np.sign(differences)).astype(int)


def meetings(values: Array, found: Array, scale: Array, of: Differences) -> list[list[Meeting]]:
    """Every meeting of each pair within the values, rising.

    values: shape (values,), rising; found: the differences there, shape (values, pairs); scale: how large the costs
    are, shape (pairs,); of: the differences anywhere else.
    """
    dips = dips_of(values, found, of)
    all_runs = [list(runs(*with_dips(values, found[:, pair], dips.get(pair, {})))) for pair in range(found.shape[1])]
    brackets = list(dict.fromkeys(one for pair, own in enumerate(all_runs) for one in brackets_of(pair, own)))
    met = dict(zip(brackets, zeros(brackets, of), strict=True))
    left = of(np.array(list(met.values())), np.array([one.pair for one in met])) if met else np.empty(0)
    jumps = {one for one, rest in zip(met, left, strict=True)
             if not one.apart and abs(rest) > max(LEVEL, ALIKE * scale[one.pair])}  # fmt: skip
    return [list(told(pair, own, met, jumps)) for pair, own in enumerate(all_runs)]


def with_dips(values: Array, found: Array, dips: dict[int, tuple[float, float]]) -> tuple[Array, Array]:
    """A pair's values and differences with its dips; a value that is level itself makes room for its dip."""
    gone = [place for place in dips if abs(found[place]) < LEVEL]
    extra = np.array(list(dips.values())).reshape(-1, 2)
    own = np.concatenate([np.delete(values, gone), extra[:, 0]])
    differences = np.concatenate([np.delete(found, gone), extra[:, 1]])
    order = np.argsort(own, kind="stable")
    return own[order], differences[order]


def runs(values: Array, found: Array) -> Iterator[Run]:
    """Values in runs of one side."""
    points = zip(sides(found).tolist(), values.tolist(), np.abs(found).tolist(), strict=True)
    for side, group in groupby(points, key=lambda point: point[0]):
        own = list(group)
        yield Run(side, own[0][1], own[-1][1], min(own, key=lambda point: point[2])[1], len(own))


def brackets_of(pair: int, own: Sequence[Run]) -> Iterator[Bracket]:
    """What the root finder is asked of a pair."""
    for before, run in pairwise(own):
        if before.side * run.side < 0:
            yield Bracket(pair, before.last, run.first)
        elif (run if run.side == 0 else before).count > 1:
            yield Bracket(pair, before.last, run.first, LEVEL)
    for before, run, after in zip(own, own[1:], own[2:], strict=False):
        if run.side == 0 and run.count == 1 and before.side * after.side < 0:
            yield Bracket(pair, before.last, after.first)


def told(pair: int, own: Sequence[Run], met: dict[Bracket, float], jumps: set[Bracket]) -> Iterator[Meeting]:
    """A pair's meetings, once the zeros are known."""
    for number, run in enumerate(own):
        before = own[number - 1] if number else None
        after = own[number + 1] if number + 1 < len(own) else None
        if run.side and before and before.side:
            bracket = Bracket(pair, before.last, run.first)
            yield Meeting(JUMPS if bracket in jumps else CROSSES, met[bracket], met[bracket], before.side, run.side)
        if run.side == 0:
            yield level(pair, (before, run, after), met)


def level(pair: int, three: tuple[Run | None, Run, Run | None], met: dict[Bracket, float]) -> Meeting:
    """A meeting at values that were looked at: a stretch, a touch, or a crossing that one of them happens to hit."""
    before, run, after = three
    left, right = (one.side if one else 0 for one in (before, after))
    if run.count > 1:
        first = met[Bracket(pair, before.last, run.first, LEVEL)] if before else run.first
        last = met[Bracket(pair, run.last, after.first, LEVEL)] if after else run.last
        return Meeting(SAME, first, last, left, right)
    if before and after and left * right < 0:
        value = met[Bracket(pair, before.last, after.first)]
        return Meeting(CROSSES, value, value, left, right)
    return Meeting(TOUCHES, run.least, run.least, left, right)


def counted(values: Array, found: Array) -> list[Meeting]:
    """The meetings of a pair by an input that is a whole number: `value` is the first number after a change."""
    own, met = list(runs(values, found)), []
    for number, run in enumerate(own):
        left = own[number - 1].side if number else 0
        right = own[number + 1].side if number + 1 < len(own) else 0
        if run.side == 0:
            met.append(Meeting(SAME, run.first, run.last, left, right))
        elif left:
            met.append(Meeting(CROSSES, run.first, run.first, left, run.side))
    return met


def monthly(months: Array, found: Array) -> list[Meeting]:
    """The meetings of a pair by how long it is kept; straight between months, as the model's `level_horizon` has it.

    A level start is no meeting. Where the cheaper one changes after some level months, it does so at their end.
    """
    own, met = [run for run in runs(months, found) if run.side or run.first > months[0]], list[Meeting]()
    at = dict(zip(months.tolist(), np.abs(found).tolist(), strict=True))
    for number, run in enumerate(own):
        left, earlier = ([0, 0] + [one.side for one in own[:number]])[:-3:-1]
        right = own[number + 1].side if number + 1 < len(own) else 0
        if run.side == 0 and left * right >= 0:
            met.append(Meeting(TOUCHES if run.first == run.last else SAME, run.first, run.last, left, right))
        if run.side * (left or earlier) < 0:
            before, now = at[run.first - 1], at[run.first]
            value = run.first - (1.0 - before / max(before + now, LEVEL))
            met.append(Meeting(CROSSES, value, value, -run.side, run.side))
    return met


def zeros(brackets: Sequence[Bracket], of: Differences) -> list[float]:
    """The zero in each bracket, all of them sought together by the library (Chandrupatla's method)."""
    if not brackets:
        return []
    from scipy.optimize import elementwise  # it takes a while to load

    pairs, apart = (np.array([getattr(one, name) for one in brackets]) for name in ("pair", "apart"))

    low, high = (np.array([getattr(one, name) for one in brackets]) for name in ("low", "high"))

    def at(part: Array, own: Array) -> Array:
        return np.where(part < 1.0, low[own] + part * (high - low)[own], high[own])

    def beyond(part: Array, number: Array) -> Array:
        own = number.astype(int)
        found = of(at(part, own).ravel(), pairs[own].ravel()).reshape(part.shape)
        return np.where(apart[own] > 0, np.abs(found) - apart[own], found)

    # As parts of the bracket: beside 0 a tolerance relative to the value itself would never be met.
    number, ends = np.arange(len(brackets)), (np.zeros(len(brackets)), np.ones(len(brackets)))
    part = elementwise.find_root(beyond, ends, args=(number,), tolerances={"xatol": NARROW}).x
    found: list[float] = at(part, number).tolist()
    return found


def dips_of(values: Array, found: Array, of: Differences) -> dict[int, dict[int, tuple[float, float]]]:
    """pair -> place -> (value, difference) where a difference may come to 0 between neighbours of one side.

    Looked into is each value at which the difference is least among neighbours, if it could be 0 beside it as steep
    as it is there.
    """
    size = np.abs(found)
    side = sides(found)
    here, lower, upper = size[1:-1], size[:-2], size[2:]
    same = (side[:-2] == side[2:]) & (side[:-2] != 0) & ((side[1:-1] == side[2:]) | (side[1:-1] == 0))
    least = (here <= lower) & (here <= upper) & (2.0 * here - np.maximum(lower, upper) < LEVEL)
    place, pair = np.nonzero(same & least)
    if not len(place):
        return {}
    from scipy.optimize import elementwise  # it takes a while to load

    place = place + 1
    sign = side[place - 1, pair]

    def size_of(at: Array, number: Array) -> Array:
        own = number.astype(int)
        found = of(at.ravel(), pair[own].ravel()).reshape(at.shape)
        return np.asarray(sign[own] * found)

    least_of = elementwise.find_minimum(
        size_of, (values[place - 1], values[place], values[place + 1]), args=(np.arange(len(place)),)
    )
    dips: dict[int, dict[int, tuple[float, float]]] = {}
    for own, where, one, value, way in zip(pair, place, least_of.x, least_of.f_x, sign, strict=True):
        dips.setdefault(int(own), {})[int(where)] = float(one), float(value * way)
    return dips
