"""What money is to improve: a measure, a need, or the needs that are missed; and which way is better.

A goal's badness is what is made small, shape (sets, levels): the first level counts before the second. NaN: unknown.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from tco.addresses import folded
from tco.ask.compare import Comparison
from tco.engine import Array, Column, Figures
from tco.engine.nodes import as_node
from tco.engine.slopes import value
from tco.errors import AskedError, UnknownNameError
from tco.model import Ground
from tco.model.needs import Need, needs_of, stated_names
from tco.units import written

MORE, LESS = 1.0, -1.0
DIRECTIONS: Mapping[str, float] = {  # measure -> which way is better; what is not here is no goal
    "recommended": MORE, "usable": MORE, "raw": MORE, "safe": MORE, "unused": LESS, "to_free": LESS,
    "node_losses": MORE, "losses_writing": MORE,
    "read": MORE, "write": MORE, "one_client_read": MORE, "one_client_write": MORE,
    "recovery_drive": LESS, "recovery_node": LESS, "exposed_hours": LESS,
    "first_power": LESS, "power_busy": LESS, "energy_year": LESS, "total_energy": LESS,
    "heat": LESS, "heat_busy": LESS, "noise_idle": LESS, "noise_busy": LESS, "amperes": LESS,
    "circuit_load": LESS, "plug_load": LESS, "places_short": LESS,
    "lcc": LESS, "equivalent_month": LESS, "equivalent_year": LESS, "undiscounted": LESS, "operating_worth": LESS,
    "total_electricity": LESS, "total_replacement": LESS,
    "cost_per_TB": LESS, "cost_per_read": LESS, "cost_per_write": LESS,
}  # fmt: skip
PLAIN = {  # what people call some of them
    "room": "recommended", "capacity": "recommended", "reading": "read", "writing": "write", "losses": "node_losses",
    "recovery": "recovery_node", "rebuild": "recovery_node", "watts": "first_power", "power": "first_power",
    "energy": "energy_year", "noise": "noise_busy", "cost": "lcc", "costs": "lcc", "electricity": "total_electricity",
}  # fmt: skip
NEEDS = "needs"
BUDGET = "budget start"  # the need that is left out
MET = ("silent", "none: met", "met")  # words that stand for a figure as good as it can be


@dataclass(frozen=True)
class Goal:
    """What is to improve. name: a measure, or `needs`; need: the field of the only need that is meant."""

    name: str
    label: str
    unit: str
    way: float
    percent: bool = False
    need: str = ""

    @property
    def is_needs(self) -> bool:
        """Whether all needs that are missed are meant."""
        return self.name == NEEDS

    @property
    def levels(self) -> int:
        """How many figures it has: needs that are open count before what they are short."""
        return 2 if self.is_needs else 1


ALL_NEEDS = Goal(NEEDS, "needs that are missed", "", LESS)


def goal_of(comparison: Comparison, asked: str = "") -> Goal:
    """What is asked for; without a word the missed needs, and where there are none the room.

    Raises UnknownNameError with near names, AskedError where the scenario does not have the figure.
    """
    ground = comparison.built.grounds[0]
    if asked:
        return named(comparison, ground, asked)
    if ground.has_measure("needs_missed") and comparison.measure(ground, "needs_missed") > 0:
        return ALL_NEEDS
    return known(comparison, measured(ground, "recommended"))


def named(comparison: Comparison, ground: Ground, asked: str) -> Goal:
    """The goal of a name."""
    words = {folded(name.replace("_", " ")): name for name in DIRECTIONS}
    words |= {folded(word): name for word, name in PLAIN.items()}
    word = folded(asked.strip().replace("_", " "))
    needs = {folded(name.replace("_", " ")): name for name in stated_names(ground.study)}
    if word == NEEDS:
        if not needs:
            raise AskedError(asked, "needs.csv states no need that could be missed; ask for a measure, such as room")
        return ALL_NEEDS
    if word.removeprefix("need ") == BUDGET:
        raise AskedError(
            asked, "this need speaks of the first purchase and is left out; --budget says what may be spent"
        )
    if word in words and ground.has_measure(words[word]):
        return known(comparison, measured(ground, words[word]))
    if name := needs.get(word.removeprefix("need ").removesuffix(" short")):
        return missed(comparison, need_goal(ground, name))
    both = [*words, *needs, NEEDS]
    raise UnknownNameError("measure or need", asked, sorted(dict.fromkeys(both)))


def measured(ground: Ground, name: str) -> Goal:
    """A measure as a goal."""
    column = ground.measure(name)
    return Goal(name, column.label, written(column.unit), DIRECTIONS[name], column.percent)


def need_goal(ground: Ground, field: str) -> Goal:
    """A need as a goal: by how much it is missed."""
    name = f"need_{field}_short"
    if not ground.has_measure(name):
        raise AskedError(field.replace("_", " "), "is a need that no purchase of hardware meets")
    column = ground.measure(name)
    label = column.label.replace(": short by at most", ": short by")
    return Goal(name, label, written(column.unit), LESS, column.percent, field)


def missed(comparison: Comparison, goal: Goal) -> Goal:
    """The goal, if the need is missed today; raises AskedError."""
    if words_at(comparison.built.grounds[0].measure(goal.name), comparison.figures, 0).startswith(MET):
        label = goal.label.partition(":")[0]
        raise AskedError(label, "this need is met today; ask for a measure instead, such as room or cost")
    return known(comparison, goal)


def known(comparison: Comparison, goal: Goal) -> Goal:
    """The goal, if the scenario has that figure today; raises AskedError."""
    column = comparison.built.grounds[0].measure(goal.name)
    said = words_at(column, comparison.figures, 0)
    if said and not said.startswith(MET):
        raise AskedError(goal.label, f"there is no such figure today ({said}), so nothing can be said to improve it")
    return goal


def words_at(column: Column, figures: Figures, place: int) -> str:
    """Why a measure of one set does not exist, or what it is in words; empty where it is a number."""
    if column.state is None:
        return ""
    states = figures[column.state][..., 0].ravel()
    number = int(states[min(place, len(states) - 1)])
    return column.words[number - 1] if number else ""


def numbers(column: Column, figures: Figures) -> Array:
    """A measure of many sets, shape (sets,) or (1,): NaN where it does not exist, 0 where it is as good as can be."""
    found = np.array(figures[column][..., 0].ravel(), dtype=float)
    if column.state is None:
        return found
    states, found = np.broadcast_arrays(figures[column.state][..., 0].ravel(), found)
    good = [number for number, text in enumerate(column.words, start=1) if text.startswith(MET)]
    return np.where(states == 0, found, np.where(np.isin(states, good), 0.0, np.nan))


@dataclass(frozen=True)
class Reader:
    """Some measures of one model, needs among them: which columns they take, and what those say of many sets."""

    ground: Ground
    names: Sequence[str]

    @property
    def columns(self) -> list[Column]:
        """The columns that must be worked out."""
        own = [self.ground.measure(name) for name in self.names if name != NEEDS]
        if NEEDS in self.names:
            own += [self.ground.measure("needs_open"), *(column for _, column in self.short)]
        return list(dict.fromkeys([*own, *(one.state for one in own if one.state is not None)]))

    @cached_property
    def short(self) -> list[tuple[Need, Column]]:
        """By how much each need that is known is missed, month by month or phase by phase."""
        own = [need for need in needs_of(self.ground) if not need.missing]
        return [(need, self.ground.own(need.rows, f"short {need.field}")) for need in own]

    def read(self, figures: Figures, base: Figures, sets: int) -> Array:
        """What is asked of each set, shape (sets, figures); the needs take two. base: all figures of the model."""
        found: list[Array] = []
        for name in self.names:
            own = [numbers(self.ground.measure(name), figures)] if name != NEEDS else self.needs(figures, base)
            found += [np.broadcast_to(one, (sets,)) for one in own]
        return np.stack(found, axis=1) if found else np.zeros((sets, 0))

    def needs(self, figures: Figures, base: Figures) -> list[Array]:
        """How many needs are open, and the sum of what each is short of what is wanted; one that is unknown: 1."""
        count = figures[self.ground.measure("needs_open")][..., 0].ravel()
        total: Array = np.zeros(1)
        for need, column in self.short:
            wanted = value(as_node(need.wanted(self.ground)), base)
            total = total + share_short(np.asarray(figures[column]), np.asarray(wanted))
        unknown = count * 0.0 + sum(1.0 for need in needs_of(self.ground) if need.missing and not need.silent)
        return [count, total + unknown]


def share_short(short: Array, wanted: Array) -> Array:
    """The most that is short, as a share of what is wanted; 1 where nothing is wanted and there is something."""
    above = np.where(wanted > 0, wanted, 1.0)
    share = np.where(wanted > 0, short / above, (short > 0).astype(float))
    found: Array = np.atleast_1d(share.max(axis=-1)).ravel()
    return found


def badness(goal: Goal, found: Array) -> Array:
    """What is made small; found: the goal's figures, shape (sets, levels)."""
    return found if goal.is_needs else -goal.way * found
