"""Candidates for a budget: each purchase as many times as it may be bought, what it needs and what it excludes.

A set of candidates is a row of a table of flags, shape (sets, candidates). Candidates stand in the order in which
they are bought: that of the file, what a purchase needs before it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tco.ask.offers import Bought
from tco.purchase import needed_first, offers
from tco.study import Scenario

Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Candidate:
    """One purchase at the start. needs, excludes: the places of other candidates."""

    bought: Bought
    needs: tuple[int, ...]
    excludes: tuple[int, ...]

    @property
    def name(self) -> str:
        """`one more node, no. 2`."""
        return self.bought.name


def candidates(scenario: Scenario) -> tuple[Candidate, ...]:
    """All that may be bought for a scenario; the second of a kind needs the first."""
    own = needed_first(offers(scenario.purchases))
    rolled = [Bought(offer, 0, number) for offer in own for number in range(1, offer.most + 1)]
    first = {one.offer.name: place for place, one in enumerate(rolled) if one.number == 1}
    clashes = {(one.name, other) for one in own for other in one.excludes}
    found = []
    for place, one in enumerate(rolled):
        needs = [place - 1] if one.number > 1 else [first[name] for name in one.offer.needs]
        excludes = [
            other
            for other, another in enumerate(rolled)
            if {(one.offer.name, another.offer.name), (another.offer.name, one.offer.name)} & clashes
        ]
        found.append(Candidate(one, tuple(needs), tuple(excludes)))
    return tuple(found)


def with_needs(own: Sequence[Candidate], place: int) -> Flags:
    """A candidate with all that it needs, and what that needs, as a set; shape (candidates,)."""
    found = np.zeros(len(own), dtype=bool)
    found[place] = True
    for one in range(place, -1, -1):  # what is needed stands before
        if found[one]:
            found[list(own[one].needs)] = True
    return found


def without_dependents(own: Sequence[Candidate], chosen: Flags, place: int) -> Flags:
    """A set less a candidate and all that needs it; shape (candidates,)."""
    found = chosen.copy()
    found[place] = False
    for one in range(place + 1, len(own)):
        found[one] &= bool(found[list(own[one].needs)].all())
    return found


def all_sets(own: Sequence[Candidate], limit: int) -> Flags | None:
    """Every set that respects what is needed and excluded, that of nothing first; None where they are more than that.

    Grown candidate by candidate: what one needs stands before it.
    """
    found = np.zeros((1, len(own)), dtype=bool)
    for place in range(len(own)):
        with_it = found[may_join(own, found, place)]
        if len(found) + len(with_it) > limit:
            return None
        with_it[:, place] = True
        found = np.concatenate([found, with_it])
    return found


def may_join(own: Sequence[Candidate], sets: Flags, place: int) -> Flags:
    """To which sets a candidate may be added, shape (sets,)."""
    needs, excludes = list(own[place].needs), list(own[place].excludes)
    return np.asarray(sets[:, needs].all(axis=1) & ~sets[:, excludes].any(axis=1), dtype=bool)


def is_allowed(own: Sequence[Candidate], sets: Flags) -> Flags:
    """Which sets respect what is needed and excluded, shape (sets,)."""
    found = np.ones(len(sets), dtype=bool)
    for place in range(len(own)):
        found &= ~sets[:, place] | may_join(own, sets, place)
    return found
