"""The best set of purchases within a budget: all sets looked at where they are few enough, else a simpler rule.

Best: the least badness of the goal; of those that are alike in it the lowest life-cycle cost, the fewest purchases,
those that stand first. A set must fit and miss no need that is met today; to buy nothing is always allowed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from tco.ask.spend_figures import Sets
from tco.ask.spend_goal import Goal, badness
from tco.ask.spend_offers import Flags, all_sets, is_allowed, with_needs, without_dependents
from tco.engine import Array
from tco.model.measure import LEVEL

MOST_SETS = 2**20  # that are looked at one and all; any twenty candidates make fewer
MANY = 20  # candidates; of more fewer sets fit the memory
MOST_ANEW = 200  # sets that are worked out anew, one by one
ROUNDS = 100  # exchanges at most, beyond twenty candidates
ALIKE = 1e-9  # of a figure: what is nearer is alike
AT_ONCE = 2**16  # sets whose price is worked out together


@dataclass
class Found:
    """The best set; why_not_proven: empty where every set was looked at."""

    chosen: Flags
    looked_at: int
    affordable: int
    reasons: list[str] = field(default_factory=list)


class Search:
    """What is looked for among sets. guards: the needs that are met today, as measures."""

    def __init__(self, sets: Sets, goal: Goal, guards: Sequence[str], budget: float) -> None:
        self.sets, self.goal, self.guards, self.budget = sets, goal, tuple(guards), budget
        self.reasons: list[str] = []
        sets.wanted = tuple(dict.fromkeys(["paid_at_start", goal.name, "places_short", *guards, "lcc"]))

    def best(self) -> Found:
        """The best of all sets, or of those that a simpler rule comes by."""
        many = len(self.sets.candidates)
        every = all_sets(self.sets.candidates, MOST_SETS * MANY // max(MANY, many))
        if every is None:
            return self.by_steps()
        kept = self.affordable(every)
        chosen = self.choose(kept)
        return Found(chosen, len(every), len(kept), self.reasons)

    def affordable(self, every: Flags) -> Flags:
        """The sets that are within the budget, for which nothing goes that is not there; buying nothing always is."""
        found = []
        for some in np.array_split(every, -(-len(every) // AT_ONCE)):
            outcome = self.sets.stock.outcome(some)
            price = self.sets.prices(outcome)
            found.append(some[(~outcome.lacking & (price <= self.budget + LEVEL)) | ~some.any(axis=1)])
        kept = np.concatenate(found)
        return self.with_spares(kept) if self.sets.keeps_spares else kept

    def with_spares(self, kept: Flags) -> Flags:
        """Of these sets those that are within the budget with the spares that they ask for."""
        kept = self.cut(kept, ["paid_at_start"])
        paid = self.sets.read(kept, ["paid_at_start"])[:, 0]
        now = self.sets.as_it_is.measure(self.sets.as_it_is.built.grounds[0], "paid_at_start")
        within: Flags = kept[(paid - now <= self.budget + LEVEL) | ~kept.any(axis=1)]
        return within

    def cut(self, sets: Flags, names: Sequence[str]) -> Flags:
        """No more sets than may be worked out anew, those of the fewest purchases; the answer says so."""
        anew = self.sets.is_anew(sets, names)
        if anew.sum() <= MOST_ANEW:
            return sets
        self.reasons.append(
            "what is counted unit by unit (wear by pool, spares) had to be worked out anew for each set, and of "
            f"{int(anew.sum()):,} sets only the {MOST_ANEW} with the fewest purchases were"
        )
        places = np.flatnonzero(anew)
        left_out = places[np.argsort(sets[places].sum(axis=1), kind="stable")[MOST_ANEW:]]
        kept = np.ones(len(sets), dtype=bool)
        kept[left_out] = False
        return sets[kept]

    def choose(self, sets: Flags) -> Flags:
        """The best of some sets that can be bought, shape (candidates,)."""
        sets = self.cut(sets, [self.goal.name])
        found = badness(self.goal, self.sets.read(sets, [self.goal.name]))
        known = ~np.isnan(found).any(axis=1)
        sets, found = sets[known], found[known]
        order = np.lexsort(found.T[::-1])
        ties = list(self.feasible_ties(sets[order], found[order]))
        return self.cheapest(sets[order][ties])

    def feasible_ties(self, sets: Flags, found: Array) -> Iterator[int]:
        """The places of the best sets that fit and miss no need, alike in badness; from the best to the worst."""
        best: Array | None = None
        start, count = 0, 64
        while start < len(sets):
            some = sets[start : start + count]
            allowed = self.is_feasible(some)
            for place in np.flatnonzero(allowed) + start:
                if best is None:
                    best = found[place]
                if is_worse(found[place], best):
                    return
                yield int(place)
            if best is not None and is_worse(found[start + len(some) - 1], best):
                return
            start, count = start + count, min(2 * count, AT_ONCE)

    def is_feasible(self, sets: Flags) -> Flags:
        """Whether sets fit and miss no need that is met today, shape (sets,)."""
        nothing = ~sets.any(axis=1)
        names = ["places_short", *self.guards]
        possible = self.cut(sets, names) if self.sets.is_anew(sets, names).any() else sets
        figures = self.sets.read(possible, names)
        fits = np.isnan(figures[:, 0]) | (figures[:, 0] == 0)
        good = possible[fits & ~np.isnan(figures[:, 1:]).any(axis=1)]
        kept = {row.tobytes() for row in good}
        return np.array([row.tobytes() in kept for row in sets]) | nothing

    def cheapest(self, ties: Flags) -> Flags:
        """Of sets alike in the goal that of the lowest life-cycle cost, then the fewest purchases, the first ones."""
        if len(ties) == 1:
            return ties.reshape(-1)
        ties = self.cut(ties, ["lcc"])
        costs = self.sets.read(ties, ["lcc"])[:, 0]
        level = ties[costs < np.nanmin(costs) + LEVEL]
        return min(level, key=lambda one: (int(one.sum()), np.flatnonzero(one).tolist()))

    # beyond what can be looked at one and all

    def by_steps(self) -> Found:
        """Add what improves most for its price, then exchange as long as anything improves."""
        self.reasons.append(
            f"more than {MOST_SETS:,} sets would have to be looked at: what improves most for its money was added "
            "step by step, then one purchase exchanged for another as long as that improved anything"
        )
        chosen, looked_at = self.grown(), 0
        for _ in range(ROUNDS):
            near = self.affordable(self.neighbours(chosen))
            looked_at += len(near)
            better = self.choose(np.concatenate([chosen[None, :], near]))
            if (better == chosen).all() or len(self.sets.known) > MOST_ANEW:
                break
            chosen = better
        return Found(chosen, looked_at, looked_at, self.reasons)

    def grown(self) -> Flags:
        """From nothing, the addition that improves the goal most for its price, again and again."""
        chosen = np.zeros(len(self.sets.candidates), dtype=bool)
        while True:
            larger = self.affordable(self.additions(chosen[None, :]))
            larger = larger[larger.any(axis=1) & self.is_feasible(larger)]
            both = np.concatenate([chosen[None, :], larger])
            found = badness(self.goal, self.sets.read(both, [self.goal.name]))
            price = self.sets.prices(self.sets.stock.outcome(both))
            gains = np.nan_to_num(found[0] - found[1:], nan=0.0)
            place = best_addition(gains, price[1:] - price[0])
            if place is None:
                return chosen
            chosen = larger[place]

    def additions(self, sets: Flags) -> Flags:
        """Each of some sets with one more candidate and what it needs, as far as allowed."""
        own = self.sets.candidates
        more = np.stack([with_needs(own, place) for place in range(len(own))])
        found = np.unique((sets[:, None, :] | more[None, :, :]).reshape(-1, len(own)), axis=0)
        return found[is_allowed(own, found)]

    def neighbours(self, chosen: Flags) -> Flags:
        """A set with one more, with one less, and with one exchanged for another."""
        less = [without_dependents(self.sets.candidates, chosen, place) for place in np.flatnonzero(chosen).tolist()]
        fewer = np.array([chosen, *less])
        return np.unique(np.concatenate([fewer, self.additions(fewer)]), axis=0)


def is_worse(one: Array, best: Array) -> bool:
    """Whether one badness is above another, level by level; rounding aside."""
    for own, least in zip(one.tolist(), best.tolist(), strict=True):
        if abs(own - least) > ALIKE * max(1.0, abs(least)):
            return bool(own > least)
    return False


def best_addition(gains: Array, prices: Array) -> int | None:
    """Which addition improves most: what costs nothing before what costs, then by gain for its price; None: none."""
    improves = [place for place, gain in enumerate(gains) if is_worse(0.0 * gain, -gain)]
    if not improves:
        return None
    free = [place for place in improves if prices[place] <= LEVEL]
    if free:
        return max(free, key=lambda place: tuple(gains[place]))
    return max(improves, key=lambda place: tuple(gains[place] / prices[place]))
