"""What `tco simulate` finds: spreads, chances, what drives them. Results only; how they come about: simulate.py."""

from __future__ import annotations

from dataclasses import dataclass

from tco.ask.compare import Comparison

LUCK = "which units fail, and when"  # what no input explains: the luck of failures, and how inputs play together


@dataclass(frozen=True)
class Spread:
    """One figure over all draws. exact: its expectation worked out without draws; None where inputs vary as well."""

    p10: float
    p50: float
    p90: float
    mean: float
    error: float  # standard error of the mean
    exact: float | None = None


@dataclass(frozen=True)
class Chance:
    """The share of draws in which something holds, and the standard error of that share."""

    share: float
    error: float


@dataclass(frozen=True)
class Driver:
    """The share of a figure's variance that one input explains by itself; what is left is the luck of failures."""

    name: str
    share: float


@dataclass(frozen=True)
class Year:
    """One year of a scenario over all draws; cash: what is paid in it, resale left in. year 0 is the start.

    worst: the share of draws in which it is the dearest year after the start.
    failures, covered, worn: expected units; p90: failures and worn units together in nine of ten draws at most.
    """

    year: int
    name: str
    cash: Spread
    worst: float
    failures: float
    covered: float
    worn: float
    p90: float


@dataclass(frozen=True)
class Outcome:
    """One scenario over all draws. worst_year: the cash of its dearest year after the start, whichever that is.

    drivers: of the variance of its life-cycle cost, from the largest share down; the last is the luck of failures.
    """

    scenario: str
    meets: bool
    lcc: Spread
    equivalent_month: Spread
    worst_year: Spread
    years: tuple[Year, ...]
    cheapest: Chance
    drivers: tuple[Driver, ...]


@dataclass(frozen=True)
class Duel:
    """Two scenarios in the same draws: the chance that `one` costs less, and by how much it costs more or less."""

    one: str
    other: str
    costs_less: Chance
    difference: Spread  # life-cycle cost of `one` less that of `other`
    drivers: tuple[Driver, ...]


@dataclass(frozen=True)
class Varied:
    """An input that varied: its ends and what the study says, as numbers in its unit (factors: 1 is as it is)."""

    name: str
    unit: str
    low: float
    likely: float
    high: float

    @property
    def is_open(self) -> bool:
        """Whether there is anything between its ends."""
        return self.low < self.high


@dataclass(frozen=True)
class Simulated:
    """A study over all draws; duels: every pair once, the one with the lower median first.

    among: the scenarios among which `cheapest` looks: those that meet all needs, or all where none does.
    """

    comparison: Comparison
    draws: int
    seed: int
    varied: tuple[Varied, ...]
    outcomes: tuple[Outcome, ...]
    duels: tuple[Duel, ...]
    among: tuple[str, ...]
