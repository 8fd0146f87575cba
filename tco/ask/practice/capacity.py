"""Checks of what pools hold."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from tco.ask.compare import Comparison
from tco.ask.practice.cluster import POOLS, Spread, each_pool
from tco.ask.practice.rule import PRACTICE, NotStated, Rule, Told
from tco.ask.practice.words import month, number, series
from tco.engine import Array
from tco.model import Ground

ORDER = 30
ROUNDING = 1e-9  # shares nearer than this are even
DATA = NotStated("`data held` (study.csv)")
STATED = NotStated("`usable` of what is rented (stated.csv)")


def filled(comparison: Comparison, ground: Ground) -> Iterator[Told]:
    """Data held above what is recommended, or above what a contract gives."""
    if not {"data_held", "data_added"} & set(ground.study.settings.places):
        yield DATA
    elif not ground.has("months", "recommended"):
        yield POOLS if ground.scenario.parts else STATED
    else:
        held, room = (comparison.of(ground.month(name)) for name in ("data_held", "recommended"))
        yield from above(ground, held, room)


def above(ground: Ground, held: Array, room: Array) -> Iterator[Told]:
    """From when on more is held than there is room for; where more room comes later, until when."""
    full = held > room * (1 + ROUNDING)
    if not full.any():
        return
    first = int(full.argmax())
    fits = first + np.flatnonzero(~full[first:])
    end = int(fits[0]) - 1 if len(fits) else ground.horizon
    when = f"From {month(ground, first)} {'on' if end == ground.horizon else f'to month {end}'}"
    words = "the fill limit recommends" if ground.scenario.pools else "the contract gives"
    told = f"the data held, {number(held[first])} TB, are above the {number(room[first])} TB that {words}"
    later = f"; in month {end} {number(held[end])} TB are held" if end > first else ""
    yield f"{when} {told}{later}."


def uneven(comparison: Comparison, ground: Ground) -> Iterator[Told]:
    """A node that holds more than its share of a pool: what is above it finds no partners."""

    def find(one: Spread) -> Iterator[Told]:
        share = one.raw / one.pieces
        large = [(node, held) for node, held in one.groups if held > share * (1 + ROUNDING)]
        if large and one.nodes >= one.pieces > 1:
            node, held = max(large, key=lambda group: group[1])
            told = (
                f"{number(held)} TB, more than its share of {number(share)} TB (1/{one.pieces} of the raw capacity)"
            )
            unused = f"{number(one.raw - one.pieces * one.piece)} of {number(one.raw)} TB cannot be used"
            yield f"In pool '{one.pool.pool}' one '{node.node}' holds {told}: {unused}."

    return each_pool(comparison, ground, find)


def mixed(comparison: Comparison, ground: Ground) -> Iterator[Told]:
    """Drives of several sizes in one pool."""

    def find(one: Spread) -> Iterator[Told]:
        sizes = sorted({part.capacity or 0.0 for part in one.drives})
        if len(sizes) > 1:
            told = f"Pool '{one.pool.pool}' mixes drives of {series([number(size) for size in sizes])} TB"
            ratio = number(sizes[-1] / sizes[0])
            yield f"{told}: filled alike, the largest take {ratio} times the reading and writing of the smallest."

    return each_pool(comparison, ground, find)


RULES = (
    Rule(
        "above the fill limit",
        "data held by month, and what is recommended to hold",
        "A full pool slows down, and after a loss there is no room left to make everything whole again.",
        f"{PRACTICE}: the fill limit is the study's own, 80 % unless pools.csv says otherwise; a contract's limit is "
        "the contract's",
        filled,
        hardware=False,
    ),
    Rule(
        "a node with more than its share",
        "capacity of the nodes of each pool",
        "Each copy or piece is on another node: what one node has beyond what the others can match stays empty.",
        f"{PRACTICE}: nodes alike; how much stays empty is arithmetic",
        uneven,
    ),
    Rule(
        "mixed drive sizes",
        "drives of each pool",
        "Bytes follow data and data follow capacity, so the largest drive is asked most often and the others wait.",
        f"{PRACTICE}: drives of one size in a pool",
        mixed,
    ),
)
