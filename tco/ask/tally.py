"""What is kept of many draws: figures on disk once they are many, counts, and sums by the value of each input.

Memory stays flat however many draws there are: a figure's draws are kept in a file of its own beyond some thousands.
"""

from __future__ import annotations

import tempfile
from collections.abc import Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass

import numpy as np

from tco.ask.simulated import Chance, Driver, Spread
from tco.engine import Array

IN_MEMORY = 2**16  # bytes of one figure's draws
AT_ONCE = 2**16  # values summed up at a time
ROUNDING = 1e-9  # figures nearer to each other than this share of them are the same
BINS = 50  # equally likely spans of an input, by which its share of the variance is worked out


class Kept:
    """Figures of all draws by name, in the order in which they were drawn."""

    def __init__(self, names: Sequence[str]) -> None:
        self.stack = ExitStack()
        files = (tempfile.SpooledTemporaryFile(IN_MEMORY) for _ in names)  # noqa: SIM115 - closed by the stack
        self.files = {name: self.stack.enter_context(file) for name, file in zip(names, files, strict=True)}

    def __enter__(self) -> Kept:
        return self

    def __exit__(self, *error: object) -> None:
        self.stack.close()

    def put(self, name: str, values: Array) -> None:
        """More draws of a figure."""
        self.files[name].write(np.ascontiguousarray(values, dtype=np.float64).tobytes())

    def of(self, name: str) -> Array:
        """All draws of a figure, shape (draws,); an array of its own."""
        file = self.files[name]
        held = bytearray(file.tell())
        file.seek(0)
        file.readinto(held)
        return np.frombuffer(held, dtype=np.float64)


def spread(values: Array, exact: float | None = None) -> Spread:
    """P10, P50, P90 (straight between draws), mean and its standard error; the order of the values is lost."""
    mean, deviation = moments(values)
    low, middle, high = np.quantile(values, (0.1, 0.5, 0.9), overwrite_input=True)
    return Spread(float(low), float(middle), float(high), mean, deviation / len(values) ** 0.5, exact)


def moments(values: Array) -> tuple[float, float]:
    """Mean and standard deviation (over n - 1); a deviation that is rounding is none."""
    count, first = len(values), float(values[0])
    total = squares = 0.0
    for start in range(0, count, AT_ONCE):
        apart = (
            values[start : start + AT_ONCE] - first
        )  # about a value of their own, so that squares keep their digits
        total, squares = total + float(apart.sum()), squares + float(np.square(apart).sum())
    variance = max(0.0, (squares - total * total / count) / (count - 1))
    mean, deviation = first + total / count, variance**0.5
    return mean, deviation if deviation > ROUNDING * max(1.0, abs(mean)) else 0.0


def chance(count: float, draws: int) -> Chance:
    """A share of draws, with the standard error of a proportion."""
    share = count / draws
    return Chance(share, (share * (1.0 - share) / draws) ** 0.5)


def quantile_of_counts(counts: Array, share: float) -> float:
    """The smallest number that is not exceeded in at least that share of draws; counts: draws by number."""
    return float(np.argmax(np.cumsum(counts) >= share * counts.sum()))


@dataclass
class ByInput:
    """Sums of a figure over the draws in which an input lies in each of its equally likely spans.

    counts: draws, shape (inputs, BINS); sums: by figure, shape (inputs, BINS).
    """

    counts: Array
    sums: dict[str, Array]

    @classmethod
    def of(cls, inputs: int, names: Sequence[str]) -> ByInput:
        return cls(np.zeros((inputs, BINS)), {name: np.zeros((inputs, BINS)) for name in names})

    def put(self, uniform: Array, figures: Mapping[str, Array]) -> None:
        """More draws: the inputs' uniform numbers (draws, inputs), and figures (draws,)."""
        for number, row in enumerate((uniform.T * BINS).astype(np.int64)):
            self.counts[number] += np.bincount(row, minlength=BINS)
            for name, values in figures.items():
                self.sums[name][number] += np.bincount(row, weights=values, minlength=BINS)


def shares(counts: Array, sums: Array, variance: float, draws: int) -> Array:
    """The share of a figure's variance that each input explains by itself: the variance of its mean by the input.

    The first-order index of sensitivity (Saltelli and others, Global Sensitivity Analysis: The Primer, from memory),
    from means over equally likely spans, less what chance alone would make of them; what is not three of its standard
    deviations above that is nothing, and together they are no more than all. Shape (inputs,).
    """
    means = np.divide(sums, counts, out=np.zeros_like(sums), where=counts > 0)
    middle = sums.sum(axis=1, keepdims=True) / draws
    between = (counts * (means - middle) ** 2).sum(axis=1) / draws
    raw = between / variance
    by_chance = (BINS - 1) / draws
    noise = 3.0 * np.sqrt(2.0 * (BINS - 1)) / draws  # of a chi-square with as many degrees of freedom
    found = np.where(raw - by_chance > noise, (raw - by_chance) / (1.0 - by_chance), 0.0)
    return np.asarray(found / max(1.0, float(found.sum())))


def drivers(names: Sequence[str], found: Array, rest: str) -> tuple[Driver, ...]:
    """Inputs by their share, the largest first, and what they leave."""
    each = sorted(zip(names, map(float, found), strict=True), key=lambda pair: -pair[1])
    return (*(Driver(name, share) for name, share in each), Driver(rest, max(0.0, 1.0 - float(found.sum()))))
