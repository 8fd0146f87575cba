"""What becomes of a scenario's units in each draw: lives drawn from the same curves as the expectation is worked out.

A unit fails in its n-th month here, the first by which its cumulative hazard reaches an exponential number; it is
worn, covered, paid for by the rules of tco/model/renewal.py. Whole units, many draws at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tco.ask.luck import Luck
from tco.engine import Array
from tco.model import Ground
from tco.model.failing import replaced
from tco.model.slot import Slot

Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]
APART = 2.0**17  # between the cumulative hazards of two kinds in the one rising row of all of them
MOST = 0.9 * APART  # a cumulative hazard beyond this is certain failure


def class_of(slot: Slot) -> str:
    """Units of one class are counted through, and share their luck between scenarios: those of one failure curve."""
    return slot.part.failures or slot.part.part


@dataclass(frozen=True)
class Kind:
    """Units of one row that come into the slots of another, or its own: their slot's place among the fleet's, which
    of its stays they are, their failure curve (-1: none), and the kind that takes the place of one that is paid for.
    """

    slot: int
    stay: int
    curve: int
    later: int


@dataclass(frozen=True)
class Lives:
    """What happened in some draws, one entry an event: one unit goes, another comes.

    kind, came: what goes, and the month of the study in which it came; takes: the kind that comes in `month`.
    worn, covered: whether it was; a failure that is neither is paid for.
    """

    draw: Whole
    slot: Whole
    kind: Whole
    came: Whole
    month: Whole
    takes: Whole
    worn: Flags
    covered: Flags


class Fleet:
    """A scenario's slots, their units and kinds of units as arrays."""

    def __init__(self, ground: Ground, columns: Mapping[str, int]) -> None:
        """columns: class -> where its units begin among all units' random numbers."""
        self.ground, self.slots = ground, replaced(ground)
        self.kinds = list(kinds_of(self.slots, sorted(ground.study.failures)))
        units = [self.slots[kind.slot].stays[kind.stay].unit for kind in self.kinds]
        hazards = [np.minimum(np.cumsum(unit.hazards), MOST) for unit in units]
        self.rising = joined([number * APART + row for number, row in enumerate(hazards)])
        self.begins = np.cumsum([0, *map(len, hazards)])
        longest = max((len(unit.lasts) for unit in units), default=0)
        lasts = [np.pad(unit.lasts, (0, longest - len(unit.lasts)), mode="edge") for unit in units]
        self.lasts = whole(lasts).reshape(len(units), longest)
        self.warranty, self.later = whole([u.warranty for u in units]), whole([k.later for k in self.kinds])
        self.curve = whole([kind.curve for kind in self.kinds])
        self.first = whole([number for number, kind in enumerate(self.kinds) if kind.stay == 0])
        wears = np.array([(unit.lasts <= len(unit.hazards)).any() for unit in units], dtype=bool)
        self.most = np.where(wears, np.inf, np.array([row[-1:].sum() for row in hazards]))
        self.lived = np.array([hazards[number][: units[number].known][-1:].sum() for number in self.first])
        self.reached = np.array([hazards[number][-1:].sum() for number in self.first]) - self.lived
        self.bought = whole([slot.part.bought for slot in self.slots])
        self.months = whole([slot.leaves - slot.part.bought for slot in self.slots])
        self.groups = list(groups(self.slots, columns))

    def lives(self, luck: Luck, rows: slice, factors: Array) -> Lives:
        """What happens in some draws of a block.

        factors: what failure rates are multiplied by, (draws, curves + 1), or (1, curves + 1) where none varies; the
            last, for what has no curve, is 1.
        """
        if not self.slots:
            return nothing()
        draw, unit, slot = self.begin(luck.of_life(0)[rows], factors)
        kind, came = self.first[slot], np.zeros_like(draw)
        bought, number = came, 0
        found: list[tuple[Array, ...]] = []
        while len(draw):
            wanted = self.wanted(luck.of_life(number)[rows][draw, unit], kind, draw, factors)
            wanted = wanted if number else wanted + self.lived[slot]
            may = wanted < self.most[kind]  # few of those that came later
            draw, unit, slot, kind, came, bought, wanted = only(may, draw, unit, slot, kind, came, bought, wanted)
            month, worn = self.ends(kind, came, wanted)
            here = month <= self.months[slot]
            draw, unit, slot, kind, came, bought, month, worn = only(
                here, draw, unit, slot, kind, came, bought, month, worn
            )
            covered = ~worn & (month - bought <= self.warranty[kind])
            takes, begin = np.where(covered, kind, self.later[kind]), self.bought[slot]
            found.append((draw, slot, kind, came + begin, month + begin, takes, worn, covered))
            kind, came, bought, number = takes, month, np.where(covered, bought, month), number + 1
        return Lives(*map(joined, zip(*found, strict=True))) if found else nothing()

    def begin(self, uniform: Array, factors: Array) -> tuple[Whole, Whole, Whole]:
        """Draw, unit (by its random numbers' column) and slot of those to which anything may happen at all."""
        chance = self.chance_at_all(factors)
        draws, units, slots = [], [], []
        for columns, own, counts in self.groups:
            may = uniform[:, columns] < np.repeat(chance[:, own], counts, axis=1)
            draw, unit = np.divmod(np.flatnonzero(may), may.shape[1])
            draws.append(draw)
            units.append(unit + columns.start)
            slots.append(np.repeat(own, counts)[unit])
        return joined(draws), joined(units), joined(slots)

    def chance_at_all(self, factors: Array) -> Array:
        """The chance that a first unit fails before its row leaves; 1 where it is worn before; (draws, slots)."""
        worn = self.lasts[self.first, 0] <= self.months
        return np.where(worn, 1.0, -np.expm1(-factors[:, self.curve[self.first]] * self.reached))

    def wanted(self, uniform: Array, kind: Whole, draw: Whole, factors: Array) -> Array:
        """The cumulative hazard at which units fail: exponential numbers over what their rates are multiplied by."""
        exponential = -np.log1p(-uniform)
        if len(factors) == 1 and (factors == 1.0).all():
            return exponential
        with np.errstate(divide="ignore"):
            by_draw = factors[draw if len(factors) > 1 else 0, self.curve[kind]]
            return np.asarray(np.minimum(exponential / by_draw, MOST))

    def ends(self, kind: Whole, came: Whole, wanted: Array) -> tuple[Whole, Flags]:
        """How many months after buying the row units end that came in month `came` of it; whether they are worn."""
        fails = np.searchsorted(self.rising, kind * APART + wanted, side="right") - self.begins[kind] + 1
        lasts = self.lasts[kind, came]
        return came + np.minimum(fails, lasts), lasts <= fails


def kinds_of(slots: Sequence[Slot], curves: Sequence[str]) -> Iterator[Kind]:
    """The kinds of units, slot by slot, the first of each first."""
    number = 0
    for place, slot in enumerate(slots):
        number += len(slot.stays)
        for n, stay in enumerate(slot.stays):
            curve = curves.index(stay.part.failures) if stay.part.failures else -1
            yield Kind(place, n, curve, number - 1)


def only(kept: Flags, *arrays: Array) -> tuple[Array, ...]:
    """The entries that are kept; the arrays themselves where all are."""
    if kept.all():
        return arrays
    places = np.flatnonzero(kept)
    return tuple(array.take(places) for array in arrays)


def joined(arrays: Iterable[Array]) -> Array:
    """Arrays one after the other; whole numbers where there are none."""
    found = list(arrays)
    return np.concatenate(found) if found else np.empty(0, np.int64)


def whole(values: Sequence[Any]) -> Whole:
    """Whole numbers as an array."""
    return np.array(values, dtype=np.int64)


def groups(slots: Sequence[Slot], columns: Mapping[str, int]) -> Iterator[tuple[slice, Whole, Whole]]:
    """By class: the columns of its random numbers, its slots, and how many units each has."""
    for name in dict.fromkeys(map(class_of, slots)):
        own = [place for place, slot in enumerate(slots) if class_of(slot) == name]
        counts = [slots[place].part.quantity for place in own]
        start = columns[name]
        yield slice(start, start + sum(counts)), whole(own), whole(counts)


def columns_of(grounds: Sequence[Ground]) -> tuple[dict[str, int], int]:
    """class -> where its units' random numbers begin, and how many units there are in all."""
    most: dict[str, int] = {}
    for ground in grounds:
        counts: dict[str, int] = {}
        for slot in replaced(ground):
            counts[class_of(slot)] = counts.get(class_of(slot), 0) + slot.part.quantity
        for name, count in counts.items():
            most[name] = max(count, most.get(name, 0))
    starts = np.cumsum([0, *most.values()])
    return dict(zip(most, map(int, starts), strict=False)), int(starts[-1])


def nothing() -> Lives:
    """No event."""
    none, no = np.empty(0, np.int64), np.empty(0, bool)
    return Lives(none, none, none, none, none, none, no, no)
