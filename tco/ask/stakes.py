"""What each event of a unit's life is worth, by the study's own model: the slopes of its costs in failures.

Costs are linear in how many units fail, are covered, are worn, and in who is there when a row leaves. So the model
is worked out once with nothing failing, and its slopes say what each event adds, in each draw's prices.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from tco.ask.fleet import Fleet, Lives, Whole
from tco.engine import Array, Column, Figures, Slopes
from tco.model import Ground


def untouched(ground: Ground, fleet: Fleet) -> dict[Column, Array]:
    """The given columns of a scenario in which nothing fails or is worn: each row's first units stay; (rows,)."""
    found: dict[Column, Array] = {}
    months = ground.horizon + 1
    for slot in fleet.slots:
        begins = np.zeros(months)
        begins[slot.part.bought] = 1.0
        here = np.where(np.arange(months) >= slot.part.bought, 1.0, 0.0)
        columns = {f"failures {slot.key}": np.zeros(months), f"worn {slot.key}": np.zeros(months)}
        for number, stay in enumerate(slot.stays):
            own = f"{slot.key} {stay.row}"
            first = 0.0 if number else 1.0
            columns |= {f"covered {own}": np.zeros(months), f"since {own}": np.zeros(months)}
            columns |= {f"arrivals {own}": first * begins, f"there {own}": first * here}
            columns[f"survives {own}"] = np.ones(months)
        found |= {ground.own("units", name): one for name, one in columns.items() if ground.has("units", name)}
    return found


@dataclass(frozen=True)
class Worth:
    """What events add to one figure: by slot and month (failed, worn), by kind and month (covered, there at the end).

    there: of a unit that came in that month, what its being there when its row leaves adds. Shapes (draws or 1, slots
    or kinds, months).
    """

    failed: Array
    worn: Array
    covered: Array
    there: Array

    def of(self, lives: Lives) -> tuple[Array, Array]:
        """What each event adds in its own month, and at the end of its row's stay; shapes (events,)."""
        at_once = np.where(lives.worn, at(self.worn, lives, lives.slot), at(self.failed, lives, lives.slot))
        at_once += np.where(lives.covered, at(self.covered, lives, lives.kind), 0.0)
        left = at(self.there, lives, lives.kind, lives.came)
        return at_once, at(self.there, lives, lives.takes) - left


def at(worth: Array, lives: Lives, row: Whole, month: Whole | None = None) -> Array:
    """Each event's worth, by the row of its slot or kind and its month; one for all draws where none varies."""
    place = row * worth.shape[-1] + (lives.month if month is None else month)
    if len(worth) > 1:
        place = place + lives.draw * (worth.shape[1] * worth.shape[2])
    return np.asarray(worth.ravel().take(place))


class Stakes:
    """The way from a scenario's events to one of its figures."""

    def __init__(self, fleet: Fleet, figure: Column) -> None:
        self.fleet, self.ground = fleet, fleet.ground
        self.kinds = [(fleet.slots[kind.slot], fleet.slots[kind.slot].stays[kind.stay]) for kind in fleet.kinds]
        names = [f"{what} {slot.key}" for slot in fleet.slots for what in ("failures", "worn")]
        names += [
            f"{what} {slot.key} {stay.row}" for slot, stay in self.kinds for what in ("covered", "arrivals", "there")
        ]
        columns = [self.ground.own("units", name) for name in names if self.ground.has("units", name)]
        self.slopes = Slopes(self.ground.model, figure, columns)

    def __call__(self, figures: Figures | Mapping[Column, Array]) -> Worth:
        """What events add, given the figures on the way (batched or not)."""
        slopes = self.slopes(figures)
        months = np.zeros(self.ground.horizon + 1)

        def of(what: str, key: str) -> Array:
            name = f"{what} {key}"
            return slopes[self.ground.own("units", name)] if self.ground.has("units", name) else months

        slots = [slot.key for slot in self.fleet.slots]
        kinds = [f"{slot.key} {stay.row}" for slot, stay in self.kinds]
        leaves = [slot.leaves for slot, _ in self.kinds]
        there = [
            of("arrivals", key) + of("there", key)[..., [month]] for key, month in zip(kinds, leaves, strict=True)
        ]
        each_slot = 1.0 / np.array([slot.part.quantity for slot in self.fleet.slots])  # columns are per unit of a row
        each_kind = 1.0 / np.array([slot.part.quantity for slot, _ in self.kinds])
        return Worth(
            stacked([of("failures", key) for key in slots], each_slot),
            stacked([of("worn", key) for key in slots], each_slot),
            stacked([of("covered", key) for key in kinds], each_kind),
            stacked(there, each_kind),
        )


def stacked(rows: list[Array], each: Array) -> Array:
    """Rows of months, each times a factor of its own, as one array of shape (draws or 1, rows, months)."""
    draws = max((len(row) if row.ndim > 1 else 1 for row in rows), default=1)
    months = rows[0].shape[-1] if rows else 0
    found = np.empty((draws, len(rows), months))
    for number, row in enumerate(rows):
        found[:, number] = row * each[number]
    return found
