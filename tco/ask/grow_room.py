"""The room of a scenario month by month, and what does not fit: the model's own columns, without those of costs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np

from tco.engine import Array, Figures, Model, evaluate, quantity
from tco.model import Ground
from tco.model.build import inputs
from tco.model.calendar import MONTHS, month_names
from tco.model.delivers import by_month, capacity
from tco.model.fit import counted_in, fit_tables, in_order, takes_of, whose
from tco.model.ground import given_columns
from tco.model.needs import ALIKE
from tco.model.periods import Times
from tco.model.phases import phase_table, starts
from tco.model.pools import pool_table, schemes
from tco.model.shared import calendar_table
from tco.study import Scenario, Study
from tco.units import unit

Place = tuple[str, str]  # group of nodes (empty: shared), name of what is provided there


@dataclass(frozen=True, eq=False)
class Room:
    """What a scenario may hold [TB], shape (months,), month 0 first; changes: the months in which equipment changes.

    lacks: place -> by how much too few there are, by month, 0 where there are enough; told: the same in words, where
    it lacks most. is_stated: whether any part says what it provides or needs.
    """

    room: Array
    changes: tuple[int, ...]
    lacks: Mapping[Place, Array] = field(default_factory=dict)
    told: Mapping[Place, str] = field(default_factory=dict)
    is_stated: bool = False

    def tighter(self, before: Room) -> str:
        """What does not fit that did fit before, or fits still less, in words; empty where all does."""
        for place, lacks in self.lacks.items():
            known = before.lacks.get(place, np.zeros(len(lacks)))
            if (lacks > known * (1 + ALIKE)).any():
                return self.told[place]
        return ""


def data_held(study: Study) -> Array:
    """The data held in each month [TB], shape (months,), month 0 first: the calendar's."""
    model = Model()
    table = model.table("settings", "Settings", ["all scenarios"])
    given_columns(model, table, [study.settings], study.settings)
    calendar_table(model, study)
    return np.asarray(evaluate(model)[model["calendar.data_held"]])


def room_of(study: Study, scenario: Scenario, times: Times) -> Room:
    """The room of a scenario with hardware; nothing where no drive of a pool is there. See Room."""
    ground = delivered(study, scenario, times)
    figures = evaluate(ground.model)
    known = ground.has("months", "recommended")
    room = figures[ground.month("recommended")] if known else np.zeros(ground.horizon + 1)
    lacks, told = lacking(ground, figures)
    return Room(room, tuple(starts(scenario, ground.horizon)), lacks, told, ground.has("fit", "short"))


def delivered(study: Study, scenario: Scenario, times: Times) -> Ground:
    """A model of one scenario that has its inputs, its pools, and what fits, and nothing else."""
    model, name = Model(), scenario.scenario
    rows = month_names(study.settings.start, study.settings.horizon)
    months = model.table(f"months of {name}", f"{name}: months", rows, scenario=name, axis=MONTHS)
    ground = Ground(model, study, scenario, months, times)
    inputs(ground)
    phase_table(ground)
    pools = schemes(ground)
    for pool in pools:
        pool_table(pool)
    if pools:
        capacity(ground, pools)
        by_month(ground)
    fit_tables(ground)
    return ground


def lacking(ground: Ground, figures: Figures) -> tuple[dict[Place, Array], dict[Place, str]]:
    """Of what there is too little, by place and month, and in words."""
    lacks: dict[Place, Array] = {}
    told: dict[Place, tuple[float, str]] = {}
    for place, months, needed, provided in short_of(ground, figures):
        lacks.setdefault(place, np.zeros(ground.horizon + 1))[months] = needed - provided
        known = told.get(place, (0.0, ""))
        told[place] = max(known, (needed - provided, in_words(ground, place, needed, provided)))
    return lacks, {place: text for place, (_, text) in told.items()}


def short_of(ground: Ground, figures: Figures) -> Iterator[tuple[Place, slice, float, float]]:
    """Each place and span of months in which there is too little: how much is needed and provided."""
    if not ground.has("fit", "short"):
        return
    scenario, horizon = ground.scenario, ground.horizon
    first = [*starts(scenario, horizon), horizon + 1]
    short, needed, provided = (figures[ground.own("fit", name)] for name in ("short", "needed", "provided"))
    for spot, row in in_order(takes_of(scenario, horizon), scenario).items():
        if short[row]:
            begins = first[spot.phase] if spot.phase else 0  # month 0 has what month 1 has
            months = slice(begins, first[spot.phase + 1])
            yield (spot.group, spot.name), months, float(needed[row]), float(provided[row])


def in_words(ground: Ground, place: Place, needed: float, provided: float) -> str:
    """`each mini: bay 3.5: 3 needed, 2 there`."""
    group, name = place
    amounts = [one for part in ground.scenario.parts for one in (*part.provides, *part.needs)]
    written = next((one.shown or one.name for one in amounts if one.name == name), name)
    counted = unit(counted_in(ground.scenario)[name])
    there = f"{quantity(needed, counted)} needed, {quantity(provided, counted)} there"
    return f"{whose(ground, group)}: {written}: {there}"
