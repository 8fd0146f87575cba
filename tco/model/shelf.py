"""Spares on the shelf: how many, so that failures within the lead time are covered with the wanted confidence.

Spares for one kind of replacement are pooled over all rows, nodes and pools of a scenario. Failures within the lead
time are taken as Poisson, at the rate of the worst month: smallest s with P(N <= s) >= confidence (the usual rule of
spare parts; tests/published/spares.py). What is worn is foreseen and needs no spare.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import fsum

import numpy as np

from tco.engine import Column, Table
from tco.model.ground import Ground
from tco.model.renewal import LONG, Unit
from tco.model.slot import Slot, Spare, Stay
from tco.model.slots import Span
from tco.model.wear import written_a_day
from tco.study import Part

HOURS_A_MONTH = 8760 / 12  # a month's chance is a twelfth of a year's, whatever the length of the month
CONFIDENCE, LEAD_TIME = "spares_confidence", "spares_lead_time"
DEPENDS = "spares (expected failures, quantities, confidence, lead time)"


def spares(ground: Ground) -> tuple[Spare, ...]:
    """The spares that a study wants for a scenario; none where it states no confidence."""
    wanted, lead_time = (ground.study.settings.extra.get(name) for name in (CONFIDENCE, LEAD_TIME))
    if wanted is None or lead_time is None:
        return ()
    groups: dict[str, list[Slot]] = {}
    for slot in ground.slots:
        if slot.part.quantity and slot.failures.any():
            groups.setdefault(ground.scenario.parts[slot.replaced_by].part, []).append(slot)
    return tuple(spare(slots, wanted, lead_time) for slots in groups.values())


def spare(slots: Sequence[Slot], wanted: float, lead_time: float) -> Spare:
    """How many of one kind for the slots that it serves."""
    months = lead_time / HOURS_A_MONTH
    mean = fsum(slot.part.quantity * float(slot.failures.max()) for slot in slots) * months
    count, covered = enough(mean, wanted)
    return Spare(slots[0].replaced_by, tuple(slots), mean, count, covered)


def enough(mean: float, wanted: float) -> tuple[int, float]:
    """The smallest s with P(N <= s) >= wanted for N ~ Poisson(mean), and that chance; 0 <= wanted < 1."""
    from scipy.special import pdtr  # it takes a while to load, and few studies keep spares

    most = 16
    while pdtr(most, mean) < wanted:
        most *= 2
    chances = pdtr(np.arange(most + 1), mean)
    count = int(np.argmax(chances >= wanted))
    return count, float(chances[count])


def with_shelf(ground: Ground) -> Ground:
    """The ground with a slot for the spares of each kind, in which nothing fails, and their table of how many."""
    found = spares(ground)
    if not found:
        return ground
    shelves = tuple(shelf(ground, number, one) for number, one in enumerate(found))
    return replace(ground, slots=(*ground.slots, *shelves), spares=found)


def shelf(ground: Ground, number: int, one: Spare) -> Slot:
    """The spares of one kind as a slot: there from buying to leaving, untouched."""
    part = ground.scenario.parts[one.row]
    span = Span(one.bought, one.leaves, ground.horizon)
    unit = Unit(np.zeros(span.months), np.full(span.months + 1, LONG), 0)
    nothing = np.zeros(ground.horizon + 1)
    begins, there = nothing.copy(), span.over(np.ones(span.months + 1))
    begins[span.bought] = 1.0
    stay = Stay(one.row, part, unit, begins, span.survives(unit), None, there, nothing)
    return Slot(f"shelf {number}", one.row, part, one.row, one.leaves, nothing, nothing, (stay,), shelf=number)


def shelf_table(ground: Ground) -> Table | None:
    """How many spares of each kind, for how many failures, from when to when."""
    if not ground.spares:
        return None
    model, found = ground.model, ground.spares
    table = ground.table("shelf", "Spares on the shelf", [ground.scenario.parts[one.row].part for one in found])
    columns = (
        ("mean", "failures expected within the lead time, worst month", "", [one.mean for one in found]),
        ("quantity", "spares", "", [one.count for one in found]),
        ("enough", "chance that they are enough", "", [one.covered for one in found]),
        ("bought", "bought in month", "month", [one.bought for one in found]),
        ("leaves", "leave in month", "month", [one.leaves for one in found]),
    )
    for name, label, unit, values in columns:
        model.given(table, name, label, unit, values, computed=DEPENDS, percent=name == "enough")
    return table


def leaned_on(ground: Ground) -> dict[Column, str]:
    """Live inputs that the tool counts with above the engine, and what it works out of them: wear by pool, spares."""
    by_pool = any(wears_by_pool(ground, slot.part) for slot in ground.slots)
    names: dict[tuple[str, str], str] = {}
    if by_pool:
        pools = ("data", "parity", "copies")
        for table, name in (("parts", "capacity"), ("nodes", "count"), *(("pools", name) for name in pools)):
            names[table, name] = "what is worn, by month"
    if by_pool or ground.spares:
        names["parts", "quantity"] = "what is worn, by month" if by_pool else "spares"
    return {ground.own(*name): told for name, told in names.items() if ground.has(*name)}


def wears_by_pool(ground: Ground, part: Part) -> bool:
    """Whether a part is worn by what is written to its pool, sooner or later."""
    by_pool = part.endurance is not None and part.written is None
    return by_pool and written_a_day(ground.scenario, ground.horizon, part) is not None
