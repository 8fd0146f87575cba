"""Figures of many sets of purchases: one model for all of a shape, its quantities and links varied in batches.

What the tool counts with above the engine (wear by pool, spares: see tco/model/shelf.py) does not follow a quantity:
a figure that rests on it is worked out anew for each set.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from tco.ask.compare import Comparison, compare
from tco.ask.offers import with_all
from tco.ask.spend_goal import NEEDS, Reader
from tco.ask.spend_offers import Candidate, Flags
from tco.ask.spend_shape import shapes
from tco.ask.spend_stock import Outcome, Prices, Stock
from tco.engine import Array, Column, Figures, Replay
from tco.errors import FigureError
from tco.model import Ground, build
from tco.model.needs import stated_names
from tco.purchase import LINKS
from tco.study import Scenario, Study
from tco.units import written

AT_ONCE = 1024  # sets that are worked out together: more take memory and no less time
FED = {"budget_start", "budget_month"}  # needs that are answered by what fails and is worn


@dataclass(eq=False)
class Shared:
    """One model for all sets of a shape; seeds: sets that together have all that is in it."""

    stock: Stock
    seeds: Flags
    ground: Ground
    base: Figures | None
    replays: dict[tuple[str, ...], Replay] = field(default_factory=dict)
    anew: dict[tuple[str, ...], bool] = field(default_factory=dict)

    @cached_property
    def most(self) -> Outcome:
        """What the sets in it have."""
        return self.stock.outcome(self.seeds)

    def covers(self, outcome: Outcome) -> bool:
        """Whether all that some sets have is in the model."""
        there, known = (one.quantity.max(axis=0) > 0 for one in (outcome, self.most))
        groups, all_groups = (one.there.any(axis=0) for one in (outcome, self.most))
        return bool((known | ~there).all() and (all_groups | ~groups).all())

    def is_anew(self, names: Sequence[str]) -> bool:
        """Whether some of these figures rest on what is counted above the engine with what varies."""
        key = tuple(names)
        if key not in self.anew:
            self.anew[key] = self.base is None or (self.stock.counts_above and self.rests_above(names))
        return self.anew[key]

    def rests_above(self, names: Sequence[str]) -> bool:
        """Whether figures may rest on what is counted above the engine, be it that none does in this model."""
        budget = FED & set(stated_names(self.ground.study))
        judged = {NEEDS, "needs_open", "needs_missed", *(f"need_{name}" for name in budget)} if budget else set()
        return any(name in judged or name == "exposed_hours" or self.is_money(name) for name in names)

    def is_money(self, name: str) -> bool:
        """Whether a measure is an amount of money, or one for something."""
        column = None if name == NEEDS else self.ground.measure(name)
        return column is not None and column.unit is not None and self.ground.money in written(column.unit)

    def read(self, names: Sequence[str], outcome: Outcome) -> Array:
        """Figures of sets, shape (sets, figures); NaN throughout where one leaves no figure."""
        key, sets = tuple(names), len(outcome.quantity)
        assert self.base is not None
        reader = Reader(self.ground, names)
        if key not in self.replays:
            self.replays[key] = Replay(self.ground.model, self.base, reader.columns)
        try:
            return reader.read(self.replays[key](self.changes(outcome)), self.base, sets)
        except FigureError:
            if sets == 1:
                return np.full((1, len(names) + (NEEDS in names)), np.nan)
            halves = np.array_split(np.arange(sets), 2)
            return np.concatenate([self.read(names, part(outcome, half)) for half in halves])

    def changes(self, outcome: Outcome) -> dict[Column, Array]:
        """What sets make of given columns."""
        ground = self.ground
        found = {ground.part("quantity"): outcome.quantity} if self.stock.parts else {}
        for name in LINKS:
            if ground.has("nodes", name):
                column = ground.own("nodes", name)
                found[column] = np.where(np.isnan(outcome.links[name]), stated(column), outcome.links[name])
        for name in ("bought", "leaves"):  # of measured nodes: never, where they are not there
            if ground.has("nodes", name):
                column = ground.own("nodes", name)
                found[column] = np.where(outcome.there, stated(column), float(ground.horizon))
        quoted = ground.has("one-offs", "amount_quoted")
        amounts = ground.own("one-offs", "amount_quoted" if quoted else "amount")
        found[amounts] = np.tile(stated(amounts), (len(outcome.quantity), 1))
        found[amounts][:, -1] = outcome.sold.sum(axis=1)
        return found


def stated(column: Column) -> Array:
    """What a given column holds, shape (rows,)."""
    return np.asarray(column.values, dtype=float)


def part(outcome: Outcome, places: Array) -> Outcome:
    """Some of the sets."""
    links = {name: found[places] for name, found in outcome.links.items()}
    return Outcome(
        outcome.quantity[places], outcome.sold[places], links, outcome.lacking[places], outcome.there[places]
    )


class Sets:
    """A scenario alone, what may be bought for it, and the figures of any set of that.

    wanted: what will be asked of sets, so that one that must be worked out anew is so once. known: what those said.
    """

    def __init__(self, study: Study, scenario: Scenario, own: Sequence[Candidate]) -> None:
        self.study, self.scenario, self.candidates = study, replace(scenario, baseline=True), tuple(own)
        self.stock = Stock(study, self.scenario, own)
        self.as_it_is = self.worked_out(np.zeros(len(own), dtype=bool))
        self.prices = Prices(self.stock, self.as_it_is)
        self.shared: list[Shared] = []
        self.wanted: tuple[str, ...] = ()
        self.known: dict[bytes, dict[str, Array]] = {}

    def scenario_with(self, chosen: Flags) -> Scenario:
        """The scenario with a set bought; raises StockError."""
        return with_all(
            self.study, self.scenario, (self.candidates[place].bought for place in np.flatnonzero(chosen))
        )

    def worked_out(self, chosen: Flags) -> Comparison:
        """One set in full, by itself; raises StockError, FigureError."""
        return compare(replace(self.study, scenarios=(self.scenario_with(chosen),)))

    @property
    def keeps_spares(self) -> bool:
        """Whether spares are bought at the start, as many as quantities ask for."""
        return self.stock.keeps_spares

    def read(self, sets: Flags, names: Sequence[str]) -> Array:
        """Figures of sets that can be bought, shape (sets, figures): NaN where there is none; `needs` are two."""
        found = np.full((len(sets), len(names) + (NEEDS in names)), np.nan)
        for places, shared in self.by_shape(sets):
            if shared.is_anew(names):
                for place in places:
                    found[place] = self.one(sets[place], names)
            else:
                for some in np.array_split(places, -(-len(places) // AT_ONCE)):
                    found[some] = shared.read(names, self.stock.outcome(sets[some]))
        return found

    def is_anew(self, sets: Flags, names: Sequence[str]) -> Flags:
        """Which sets would have to be worked out anew for these figures, shape (sets,)."""
        found = np.zeros(len(sets), dtype=bool)
        for places, shared in self.by_shape(sets):
            found[places] = shared.is_anew(names)
        return found

    def one(self, chosen: Flags, names: Sequence[str]) -> Array:
        """Figures of one set worked out anew, shape (figures,)."""
        known = self.known.setdefault(chosen.tobytes(), {})
        if not known.keys() >= set(names):
            known.update(self.anew(chosen, tuple(dict.fromkeys([*names, *self.wanted]))))
        return np.concatenate([known[name] for name in names])

    def anew(self, chosen: Flags, names: Sequence[str]) -> dict[str, Array]:
        """Figures of one set by name, each of one value, the needs of two."""
        try:
            built = build(replace(self.study, scenarios=(self.scenario_with(chosen),)))
            figures = built.figures()
        except FigureError:
            return {name: np.full(1 + (name == NEEDS), np.nan) for name in names}
        return {name: Reader(built.grounds[0], [name]).read(figures, figures, 1).reshape(-1) for name in names}

    def by_shape(self, sets: Flags) -> Iterator[tuple[Array, Shared]]:
        """The places of sets that share a model, with it."""
        for some in np.array_split(np.arange(len(sets)), -(-len(sets) // (32 * AT_ONCE)) or 1):
            outcome = self.stock.outcome(sets[some])
            for places in shapes(self.stock, outcome):
                yield some[places], self.model_of(sets[some[places]], part(outcome, places))

    def model_of(self, sets: Flags, outcome: Outcome) -> Shared:
        """The model of sets of one shape: one that was made before if it has all that is in them."""
        for shared in self.shared:
            both = np.concatenate([shared.seeds, sets[:1]])
            if len(shapes(self.stock, self.stock.outcome(both))) > 1:
                continue
            if shared.covers(outcome):
                return shared
            self.shared.remove(shared)
            sets = np.concatenate([shared.seeds, sets])
            break
        self.shared.append(self.made(sets))
        return self.shared[-1]

    def made(self, sets: Flags) -> Shared:
        """A new model for sets of one shape."""
        outcome = self.stock.outcome(sets)
        first = np.concatenate([(outcome.quantity > 0).argmax(axis=0), outcome.there.argmax(axis=0), [0]])
        seeds = sets[np.unique(first)]
        scenario = self.stock.scenario_of(self.stock.outcome(seeds))
        built = None if self.stock.is_moving else build_or_none(replace(self.study, scenarios=(scenario,)))
        if built is None:
            return Shared(self.stock, seeds, self.as_it_is.built.grounds[0], None)
        return Shared(self.stock, seeds, *built)


def build_or_none(study: Study) -> tuple[Ground, Figures] | None:
    """A scenario's ground and figures; None where something bought together leaves no figure."""
    try:
        built = build(study)
        return built.grounds[0], built.figures()
    except FigureError:
        return None
