"""A model worked out again and again for other values of given columns: only what they touch, and what is wanted.

The same columns and the same arithmetic as evaluate.py; what is no longer needed is let go at once, so that memory
grows with the widest column, not with the model.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from tco.engine.evaluate import Figures, work_out
from tco.engine.model import Model
from tco.engine.nodes import Array, Column

Step = tuple[Column, tuple[Column, ...]]  # a column to work out, and those that nobody needs afterwards


class Over(dict[Column, Array]):
    """New figures over those of another evaluation."""

    def __init__(self, base: Mapping[Column, Array]) -> None:
        super().__init__()
        self.base = base

    def __missing__(self, column: Column) -> Array:
        return self.base[column]


@dataclass
class Replay:
    """A model, its figures as given, and the columns that are wanted.

    replay(changes) -> wanted column -> array; leading axes as in evaluate; those that nothing touches as they were.
    Raises FigureError as evaluate does.
    """

    model: Model
    base: Figures
    wanted: Sequence[Column]
    plans: dict[frozenset[Column], list[Step]] = field(default_factory=dict, repr=False)

    def __call__(self, changes: Mapping[Column, Array]) -> Figures:
        figures = Over(self.base)
        with np.errstate(all="ignore"):
            for column, done in self.plan(frozenset(changes)):
                figures[column] = work_out(column, figures, changes)
                for other in done:
                    del figures[other]
        return {column: figures[column] for column in self.wanted}

    def plan(self, changed: frozenset[Column]) -> list[Step]:
        """The columns between the changed and the wanted, in order, each with those that it is the last to need."""
        if changed not in self.plans:
            self.plans[changed] = self.steps(changed)
        return self.plans[changed]

    def steps(self, changed: Collection[Column]) -> list[Step]:
        """See plan."""
        touched = set(changed)
        for column in self.model.columns.values():
            if column not in touched and any(other in touched for other in self.model.sources[column]):
                touched.add(column)
        needed = set(self.wanted)
        order: list[Step] = []
        kept = set(self.wanted)  # whoever is met first on the way back is the last to need a column
        for column in reversed(self.model.columns.values()):
            if column not in touched or column not in needed:
                continue
            others = set(self.model.sources[column])
            order.append((column, tuple((others & touched) - kept)))
            kept |= others
            needed |= others
        return order[::-1]
