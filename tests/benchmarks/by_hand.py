"""A scenario's life-cycle cost written down in numpy for one kind of study, that of fleet_study.py.

It is what one would write without an engine, month by month, for many draws at once. Who also adds up what parts
fetch as the engine does, with the draws side by side, halves its time.

What the tool works out above its engine (expected failures, shares that a curve leaves) is given to both.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tco.ask.compare import Comparison
from tco.engine import Array, Column
from tco.model import Ground


@dataclass(frozen=True)
class Lines:
    """One scenario's inputs, and what is given, of shape (months,) or (parts, months)."""

    quantity: Array
    trend: Array
    claim: Array
    selling_cost: Array
    energy: Array
    failures: Array
    covered: Array
    arrivals: Array
    left: Array

    @classmethod
    def of(cls, comparison: Comparison, ground: Ground) -> Lines:
        """Those of a study whose second part alone is sold."""

        def part(name: str) -> Array:
            return comparison.of(ground.part(name))

        def unit(name: str) -> Array:
            return comparison.of(ground.own("units", name))

        failures, covered = (
            np.stack([unit(name.format(n)) for n in (0, 1)]) for name in ("failures {0}", "covered {0} {0}")
        )
        return cls(
            part("quantity"), part("price_trend"), part("claim"), part("selling_cost"),
            comparison.of(ground.month("energy")), failures, covered, unit("arrivals 1 1"), unit("left 1 1"),
        )  # fmt: skip

    def lcc(self, price: Array, tariff: Array, discount: Array) -> Array:
        """Life-cycle cost, shape (draws,). price: (draws, parts); tariff, discount: (draws, 1)."""
        months = np.arange(len(self.energy))
        dear = price[:, :, None] * (1 + self.trend[:, None]) ** (months / 12)
        purchase = np.zeros((len(price), len(months)))
        purchase[:, 0] = (price * self.quantity).sum(axis=1)
        electricity = tariff * self.energy
        paid = (self.failures - self.covered) * dear + self.covered * self.claim[:, None]
        replacement = (self.quantity[:, None] * paid).sum(axis=1)
        resale = np.where(months == months[-1], -self.sold(price[:, 1:]), 0.0)
        total = purchase + electricity + replacement + resale
        return np.asarray((total / (1 + discount) ** (months / 12)).sum(axis=1))

    def sold(self, price: Array) -> Array:
        """What the second part fetches if sold at the end of each month, shape (draws, months); price: (draws, 1)."""
        count = len(self.left)
        priced = self.arrivals * price
        worth = np.stack([(priced[:, :n] * self.left[-n:]).sum(axis=1) for n in range(1, count + 1)], axis=1)
        grown = (1 + self.trend[1]) ** (np.arange(count) / 12)
        return np.asarray(self.quantity[1] * (worth * grown - self.selling_cost[1]))


def inputs(comparison: Comparison, ground: Ground) -> tuple[Column, Column, Column]:
    """The columns that are drawn: the parts' prices, the price of electricity, the discount rate."""
    model = comparison.built.model
    return ground.part("price"), model["tariff grid.price"], model["settings.discount"]
