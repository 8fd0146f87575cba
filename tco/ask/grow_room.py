"""The room of a scenario month by month, and what does not fit: the model's own columns, without those of costs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from tco.engine import Array, Figures, Model, evaluate
from tco.model import Ground
from tco.model.build import inputs
from tco.model.calendar import MONTHS, month_names
from tco.model.delivers import by_month, capacity
from tco.model.fit import fit_tables, short_of, spelled_out
from tco.model.ground import given_columns
from tco.model.needs import ALIKE
from tco.model.periods import Times
from tco.model.phases import phase_table, starts
from tco.model.pools import pool_table, schemes
from tco.model.shared import calendar_table
from tco.study import Scenario, Study

Place = tuple[str, str]  # group of nodes (empty: shared), name of what is provided there


@dataclass(frozen=True, eq=False)
class Lacking:
    """Of what there is too little: place -> by how much, by month, 0 where there is enough; shape (months,).

    told: the same in words, where it lacks most.
    """

    lacks: Mapping[Place, Array] = field(default_factory=dict)
    told: Mapping[Place, str] = field(default_factory=dict)

    def more_than(self, before: Lacking) -> str:
        """What does not fit that did fit before, or fits still less, in words; empty where all does."""
        for place, lacks in self.lacks.items():
            known = before.lacks.get(place, np.zeros(len(lacks)))
            if (lacks > known * (1 + ALIKE)).any():
                return self.told[place]
        return ""


@dataclass(frozen=True, eq=False)
class Room:
    """What a scenario may hold [TB], shape (months,), month 0 first; changes: the months in which equipment changes.

    lacking: what does not fit. is_stated: whether any part says what it provides or needs.
    """

    room: Array
    changes: tuple[int, ...]
    lacking: Lacking
    is_stated: bool = False


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
    changes = tuple(starts(scenario, ground.horizon))
    return Room(room, changes, lacking(ground, figures), ground.has("fit", "short"))


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


def lacking(ground: Ground, figures: Figures) -> Lacking:
    """Of what there is too little in a scenario; see Lacking."""
    first = [*starts(ground.scenario, ground.horizon), ground.horizon + 1]
    short = list(short_of(ground, figures))
    named = spelled_out(ground, [one.spot for one in short], phased=False)
    lacks: dict[Place, Array] = {}
    told: dict[Place, tuple[float, str]] = {}
    for one in short:
        place, phase, by = (one.spot.group, one.spot.name), one.spot.phase, one.needed - one.provided
        begins = first[phase] if phase else 0  # month 0 has what month 1 has
        lacks.setdefault(place, np.zeros(ground.horizon + 1))[begins : first[phase + 1]] = by
        told[place] = max(told.get(place, (0.0, "")), (by, f"{named[one.spot]}: {one.told}"))
    return Lacking(lacks, {place: text for place, (_, text) in told.items()})
