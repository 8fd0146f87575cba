"""Simulation: whole units fail, inputs lie between low and high; what each scenario then costs, draw by draw.

The model is the comparison's own. It is worked out once a batch with nothing failing, at the inputs' values in each
draw; what each failure, claim and worn unit adds is its slope there (stakes.py). All scenarios share a draw's luck.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations

import numpy as np

from tco.ask.compare import Comparison
from tco.ask.fleet import Fleet, Lives, columns_of
from tco.ask.inputs import Input, changes, ranged
from tco.ask.luck import BLOCK, Luck, triangular
from tco.ask.simulated import LUCK, Chance, Driver, Duel, Outcome, Simulated, Varied, Year
from tco.ask.stakes import Stakes, Worth, untouched
from tco.ask.tally import ByInput, Kept, chance, drivers, moments, quantile_of_counts, shares, spread
from tco.engine import FUNCTIONS, Array, Column, Figures, Replay
from tco.errors import DrawsError, StoppedError
from tco.model import Ground
from tco.model.measure import LEVEL

FEWEST, MOST = 100, 100_000_000  # draws: fewer say nothing of one in ten, more would take days
AT_ONCE = 1024  # draws for which inputs that vary are worked out together
MOST_LOST = 1024  # failures of one scenario in one year that are told apart


@dataclass(frozen=True)
class Draws:
    """What some draws give for one scenario.

    lcc, equivalent_month: shape (draws,); paid: cash by year, the start first, shape (years, draws). lives: what
    happened.
    """

    lcc: Array
    equivalent_month: Array
    paid: Array
    lives: Lives

    @property
    def cash(self) -> Array:
        """Cash by draw and year."""
        return self.paid.T

    @cached_property
    def worst_year(self) -> Array:
        """The cash of the dearest year after the start."""
        return np.asarray(self.paid[1:].max(axis=0))

    @property
    def failed(self) -> Array:
        """Units that failed, those under warranty among them, by draw and year."""
        return self.counts(~self.lives.worn).T

    @property
    def covered(self) -> Array:
        """Units that failed under warranty, by draw and year."""
        return self.counts(self.lives.covered).T

    @property
    def worn(self) -> Array:
        """Units that were worn, by draw and year."""
        return self.counts(self.lives.worn).T

    def counts(self, flag: Array | None = None) -> Array:
        """Events for which the flag is set (all without one), shape (years, draws)."""
        draw, month = self.lives.draw, self.lives.month
        if flag is not None:
            draw, month = draw[flag], month[flag]
        return np.bincount(*placed(draw, month, self.paid.shape)).reshape(self.paid.shape)


def year_of(month: Array) -> Array:
    """The year of the study in which a month lies; 0 is the start."""
    return (month + 11) // 12


def placed(draw: Array, month: Array, shape: tuple[int, ...]) -> tuple[Array, None, int]:
    """What numpy's bincount takes to count by year and draw: places, no weights, how many there are."""
    return year_of(month) * shape[1] + draw, None, shape[0] * shape[1]


class Table:
    """One scenario ready to be drawn: its fleet, and the way from events to its figures."""

    def __init__(self, ground: Ground, columns: dict[str, int]) -> None:
        self.ground, self.fleet = ground, Fleet(ground, columns)
        self.lcc, self.rate = ground.measure("lcc"), ground.measure("month_rate")
        self.years = [ground.own("years", name) for name in ("total", "owned")]
        self.stakes = [Stakes(self.fleet, ground.measure(name)) for name in ("lcc", "undiscounted")]
        self.leaves = np.array([slot.leaves for slot in self.fleet.slots] or [0], dtype=np.int64)
        self.known: dict[int, tuple[list[Array], Worth]] = {}

    @property
    def wanted(self) -> list[Column]:
        """The columns whose figures the draws need."""
        return [self.lcc, self.rate, *self.years, *(column for one in self.stakes for column in one.slopes.cofactors)]

    def draw(self, luck: Luck, rows: slice, factors: Array, figures: Figures) -> Draws:
        """What some draws of a block give; figures: of `wanted`, with nothing failing."""
        lives = self.fleet.lives(luck, rows, factors)
        count = rows.stop - rows.start
        lcc = np.bincount(lives.draw, self.sum_of(lives, 0, figures), count) + figures[self.lcc][..., 0]
        level = FUNCTIONS["annuity"].array(figures[self.rate], float(self.ground.horizon), lcc[:, None])
        total, owned = (figures[column] for column in self.years)
        paid = self.by_year(lives, figures, count) + np.atleast_2d(total - owned).T
        return Draws(lcc, level[:, 0], paid, lives)

    def sum_of(self, lives: Lives, which: int, figures: Figures) -> Array:
        """What each event adds to the life-cycle cost."""
        at_once, at_end = self.worth(which, figures).of(lives)
        return np.asarray(at_once + at_end)

    def worth(self, which: int, figures: Figures) -> Worth:
        """What events add to a figure; worked out once where nothing on the way varies."""
        stakes = self.stakes[which]
        met = [figures[column] for column in stakes.slopes.cofactors]
        before, found = self.known.get(which, ([], None))
        if found is None or any(one is not other for one, other in zip(before, met, strict=True)):
            found = stakes(figures)
            self.known[which] = met, found
        return found

    def by_year(self, lives: Lives, figures: Figures, count: int) -> Array:
        """What events add to each year's cash: at once in their own, at the end in that in which their row leaves."""
        at_once, at_end = self.worth(1, figures).of(lives)
        leaves = self.leaves[lives.slot]
        shape = self.count_of_years, count
        found = np.zeros(shape[0] * shape[1])
        for month, amounts in ((lives.month, at_once), (leaves, at_end)):
            places, _, size = placed(lives.draw, month, shape)
            found += np.bincount(places, amounts, size)
        return found.reshape(shape)

    @property
    def count_of_years(self) -> int:
        """The years of the study, the start among them."""
        return len(self.years[0].table.rows)


@dataclass
class Tally:
    """What is kept of one scenario beside `Kept`: sums of units by year, draws by units lost, dearest years."""

    failed: Array
    covered: Array
    worn: Array
    lost: Array
    worst: Array

    @classmethod
    def of(cls, years: int) -> Tally:
        failed, covered, worn, worst = np.zeros((4, years))
        return cls(failed, covered, worn, np.zeros((years, MOST_LOST)), worst)

    def put(self, draws: Draws) -> None:
        """More draws."""
        lives, years = draws.lives, len(self.failed)
        year = year_of(lives.month)
        for sums, flag in ((self.failed, ~lives.worn), (self.covered, lives.covered), (self.worn, lives.worn)):
            sums += np.bincount(year[flag], minlength=years)
        lost = np.minimum(draws.counts(), MOST_LOST - 1) + MOST_LOST * np.arange(years)[:, None]
        self.lost += np.bincount(lost.ravel(), minlength=self.lost.size).reshape(self.lost.shape)
        dearest = draws.paid[1:] >= draws.worst_year - LEVEL
        self.worst[1:] += (dearest / dearest.sum(axis=0)).sum(axis=1)


class Simulation:
    """A comparison, and what varies in it; see simulate."""

    def __init__(self, comparison: Comparison, draws: int, seed: int, only: Sequence[str] = ()) -> None:
        if not FEWEST <= draws <= MOST:
            raise DrawsError("draws", draws, FEWEST, MOST)
        if not 0 <= seed < 2**63:
            raise DrawsError("seed", seed, 0, 2**63 - 1)
        self.comparison, self.draws, self.seed = comparison, draws, seed
        every = comparison.built.grounds
        self.grounds = tuple(one for one in every if not only or one.scenario.scenario in only)
        self.names = [ground.scenario.scenario for ground in self.grounds]
        self.ranges = ranged(comparison)
        columns, self.units = columns_of(every)  # so that a unit's luck is the same whoever else is drawn
        self.tables = [Table(ground, columns) for ground in self.grounds]
        still: dict[Column, Array] = {}
        for table in self.tables:
            still |= untouched(table.ground, table.fleet)
        model = comparison.built.model
        self.base = Replay(model, comparison.figures, list(model.columns.values()))(still)
        wanted = dict.fromkeys(column for table in self.tables for column in table.wanted)
        self.replay = Replay(model, self.base, list(wanted))
        self.curves = sorted(comparison.study.failures)

    def batches(self) -> Iterator[tuple[Array, list[Draws]]]:
        """Batch after batch: the inputs' uniform numbers, and each scenario's draws."""
        step = AT_ONCE if any(one.cells for one, _, _ in self.ranges) else BLOCK
        for block in range(-(-self.draws // BLOCK)):
            luck = Luck(self.seed, block, self.units)
            uniform = luck.of_inputs(len(self.ranges))
            size = min(BLOCK, self.draws - block * BLOCK)
            for start in range(0, size, step):
                rows = slice(start, min(start + step, size))
                yield uniform[rows], self.batch(luck, rows, uniform[rows])

    def batch(self, luck: Luck, rows: slice, uniform: Array) -> list[Draws]:
        """The draws of some rows of a block."""
        values = {one: column for number, (given, low, high) in enumerate(self.ranges) if given.cells
                  for one, column in by_likely(given, low, high, uniform[:, number])}  # fmt: skip
        figures = self.replay(changes(self.comparison, values)) if values else self.replay({})
        factors = self.factors(uniform)
        return [table.draw(luck, rows, factors, figures) for table in self.tables]

    def factors(self, uniform: Array) -> Array:
        """What each failure curve is multiplied by in each draw; see Fleet.lives."""
        rates = [(number, *one) for number, one in enumerate(self.ranges) if one[0].curves]
        found = np.ones((len(uniform) if rates else 1, len(self.curves) + 1))
        for number, one, low, high in rates:
            own = [curve in one.curves for curve in self.curves]
            found[:, [*own, False]] *= triangular(uniform[:, number], low, 1.0, high)[:, None]
        return found


def by_likely(one: Input, low: float, high: float, uniform: Array) -> Iterator[tuple[Input, Array]]:
    """An input's values; cells for which the study says different things have their own mode and the same luck."""
    if one.is_factor:
        yield one, triangular(uniform, low, 1.0, high)
        return
    for likely in dict.fromkeys(one.likely):
        own = [place for place, value in enumerate(one.likely) if value == likely]
        part = replace(one, cells=tuple(one.cells[place] for place in own), likely=(likely,) * len(own))
        yield part, triangular(uniform, low, likely, high)


def simulate(
    comparison: Comparison,
    draws: int = 10_000,
    seed: int = 1,
    progress: Callable[[int], object] = lambda _: None,
    only: Sequence[str] = (),
) -> Simulated:
    """Draw what fails and what inputs turn out to be, `draws` times; the same seed gives the same result.

    progress: called with the number of draws done since the last call. only: the scenarios that are drawn, all
    without one; their figures are the same either way, chances to be the cheapest are among them. Raises
    DrawsError for too few or too many, StoppedError where it is interrupted, FigureError where a range leaves no
    figure.
    """
    run = Simulation(comparison, draws, seed, only)
    years = [table.count_of_years for table in run.tables]
    kept_names = [
        key(name, what) for name, count in zip(run.names, years, strict=True) for what in figures_kept(count)
    ]
    tallies = [Tally.of(count) for count in years]
    by_input = ByInput.of(len(run.ranges), run.names)
    cheapest = np.zeros(len(run.names))
    among = tuple(name for name in comparison.among if name in run.names)
    with Kept(kept_names) as kept:
        done = 0
        try:
            for uniform, batch in run.batches():
                keep(kept, run.names, batch)
                by_input.put(uniform, dict(zip(run.names, (one.lcc for one in batch), strict=True)))
                cheapest += shared_first(np.array([one.lcc for one in batch]), [name in among for name in run.names])
                for tally, one in zip(tallies, batch, strict=True):
                    tally.put(one)
                done += len(uniform)
                progress(len(uniform))
        except KeyboardInterrupt:
            raise StoppedError(done, draws) from None
        return summed_up(run, kept, tallies, by_input, cheapest, among)


def key(scenario: str, what: str) -> str:
    """How a scenario's figure is kept."""
    return f"{what} of {scenario}"


def figures_kept(years: int) -> list[str]:
    """The figures that are kept draw by draw."""
    return ["lcc", "equivalent_month", "worst_year", *(f"cash {year}" for year in range(years))]


def keep(kept: Kept, names: Sequence[str], batch: Sequence[Draws]) -> None:
    """Put a batch's figures away."""
    for name, draws in zip(names, batch, strict=True):
        kept.put(key(name, "lcc"), draws.lcc)
        kept.put(key(name, "equivalent_month"), draws.equivalent_month)
        kept.put(key(name, "worst_year"), draws.worst_year)
        for year, paid in enumerate(draws.paid):
            kept.put(key(name, f"cash {year}"), paid)


def shared_first(costs: Array, counted: Sequence[bool]) -> Array:
    """In how many draws each scenario costs least; level ones share a draw. costs: (scenarios, draws)."""
    costs = np.where(np.array(counted)[:, None], costs, np.inf)
    first = costs <= costs.min(axis=0) + LEVEL
    return np.asarray((first / first.sum(axis=0)).sum(axis=1))


def summed_up(
    run: Simulation, kept: Kept, tallies: Sequence[Tally], by_input: ByInput, cheapest: Array, among: tuple[str, ...]
) -> Simulated:
    """All results of the draws that were kept."""
    outcomes = tuple(
        outcome(run, kept, number, tally, by_input, chance(float(cheapest[number]), run.draws))
        for number, tally in enumerate(tallies)
    )
    middle = {one.scenario: one.lcc.p50 for one in outcomes}
    order = sorted(run.names, key=lambda name: middle[name])
    duels = tuple(duel(run, kept, by_input, one, other) for one, other in combinations(order, 2))
    varied = tuple(
        Varied(one.name, one.unit, low, one.likely[0] if not one.is_factor else 1.0, high)
        for one, low, high in run.ranges
    )
    return Simulated(run.comparison, run.draws, run.seed, varied, outcomes, duels, among)


def outcome(run: Simulation, kept: Kept, number: int, tally: Tally, by_input: ByInput, cheapest: Chance) -> Outcome:
    """One scenario's results."""
    comparison, ground, name = run.comparison, run.grounds[number], run.names[number]
    fixed = not run.ranges
    lcc = kept.of(key(name, "lcc"))
    expected = [comparison.measure(ground, measure) if fixed else None for measure in ("lcc", "equivalent_month")]
    return Outcome(
        name,
        comparison.meets(ground),
        spread(lcc, expected[0]),
        spread(kept.of(key(name, "equivalent_month")), expected[1]),
        spread(kept.of(key(name, "worst_year"))),
        tuple(years(run, kept, number, tally)),
        cheapest,
        driven(run, lcc, by_input.counts, by_input.sums[name]),
    )


def years(run: Simulation, kept: Kept, number: int, tally: Tally) -> Iterator[Year]:
    """One scenario's years, the start first."""
    name, draws, table = run.names[number], run.draws, run.tables[number]
    total, owned = (run.comparison.of(column) for column in table.years)
    for year, label in enumerate(table.years[0].table.rows):
        exact = None if run.ranges else float(total[year] - owned[year])
        failed, covered, worn = (float(sums[year]) / draws for sums in (tally.failed, tally.covered, tally.worn))
        cash = spread(kept.of(key(name, f"cash {year}")), exact)
        yield Year(
            year,
            label,
            cash,
            float(tally.worst[year]) / draws,
            failed,
            covered,
            worn,
            quantile_of_counts(tally.lost[year], 0.9),
        )


def duel(run: Simulation, kept: Kept, by_input: ByInput, one: str, other: str) -> Duel:
    """Two scenarios in the same draws."""
    apart = kept.of(key(one, "lcc"))
    apart -= kept.of(key(other, "lcc"))
    less = chance(float(np.count_nonzero(apart < -LEVEL)), run.draws)
    return Duel(
        one,
        other,
        less,
        spread(apart),
        driven(run, apart, by_input.counts, by_input.sums[one] - by_input.sums[other]),
    )


def driven(run: Simulation, values: Array, counts: Array, sums: Array) -> tuple[Driver, ...]:
    """What drives a figure's spread; nothing where it has none."""
    variance = moments(values)[1] ** 2
    if variance**0.5 <= LEVEL:
        return ()
    names = [one.name for one, _, _ in run.ranges]
    return drivers(names, shares(counts, sums, variance, run.draws), LUCK)
