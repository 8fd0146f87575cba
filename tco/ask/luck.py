"""Random numbers of a simulation: drawn in blocks, the same for all scenarios, the same for the same seed.

Uniform numbers come from numpy's generator, one stream for each block and purpose, so that the first draws of a long
run are those of a short one. A unit's number in its class is the same in every scenario: the third hard drive of two
builds has the same luck (common random numbers).
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from tco.engine import Array

BLOCK = 4096  # draws whose random numbers are drawn together
INPUTS = 10**6  # the stream of the inputs; units' generations count from 0


def triangular(uniform: Array, low: float, likely: float, high: float) -> Array:
    """Values of a triangular distribution by its inverse: ends low and high, mode likely; shape of `uniform`.

    Any textbook: F(x) = (x - low)^2 / ((high - low)(likely - low)) up to the mode, and alike from above. Equal ends
    give that value.
    """
    span = high - low
    if span == 0:
        return np.full_like(uniform, low)
    left = low + np.sqrt(uniform * span * (likely - low))
    right = high - np.sqrt((1.0 - uniform) * span * (high - likely))
    return np.where(uniform * span <= likely - low, left, right)


@dataclass
class Luck:
    """The random numbers of one block of draws: of inputs, and of each unit's first life, second life and so on."""

    seed: int
    block: int
    units: int
    lives: list[Array] = field(default_factory=list)

    def of_inputs(self, count: int) -> Array:
        """Uniform numbers, shape (BLOCK, count)."""
        return self.stream(INPUTS).random((BLOCK, count))

    def of_life(self, number: int) -> Array:
        """Uniform numbers of all units' lives of that number, from 0; shape (BLOCK, units)."""
        while len(self.lives) <= number:
            self.lives.append(self.stream(len(self.lives)).random((BLOCK, self.units)))
        return self.lives[number]

    def stream(self, purpose: int) -> np.random.Generator:
        """The generator of one purpose."""
        return np.random.default_rng(np.random.SeedSequence(self.seed, spawn_key=(self.block, purpose)))
