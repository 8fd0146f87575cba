"""What fails, part by part: failures, claims, worn units, their cost by year; how old units are when they leave."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tco.engine import Column, Node, added, call
from tco.model.calendar import years_of
from tco.model.ground import Ground
from tco.model.leaving import quantity
from tco.model.renewal import Floats
from tco.model.slot import Slot
from tco.model.slots import DEPENDS


def replaced(ground: Ground) -> list[Slot]:
    """The rows of the parts list of which something may have to be replaced."""
    return [slot for slot in ground.slots if slot.is_replaced and slot.part.quantity]


def failing_tables(ground: Ground, years: Sequence[str]) -> None:
    """What is expected of all units of each part by year; `years`: their names, the start first."""
    slots = replaced(ground)
    if not slots:
        return
    table = ground.table("failing", "What fails: expected units and their cost, by year", years)
    year = ground.model.given(table, "year", "year", "year", range(years_of(ground.horizon)[-1] + 1))
    for slot in slots:
        by_year(ground, slot, year)
    ages_table(ground, slots)


def by_year(ground: Ground, slot: Slot, year: Column) -> None:
    """One part: failures, of these under warranty, worn units, and what replacing them costs."""
    part, model = slot.part.part, ground.model
    covered = [f"covered {slot.key} {stay.row}" for stay in slot.covering]
    units = {
        f"failures {slot.key}": (f"{part}: failures", [f"failures {slot.key}"] if slot.fails else []),
        f"covered {slot.key}": (f"{part}: under warranty", covered),
        f"worn {slot.key}": (f"{part}: worn", [f"worn {slot.key}"] if slot.wears else []),
    }
    for name, (label, columns) in units.items():
        terms = [in_year(ground, ground.own("units", column), year) for column in columns]
        if terms:
            model.column(year.table, name, label, "", quantity(ground, slot) * added(terms))
    cost = in_year(ground, ground.own("units", f"cost {slot.key}"), year)
    model.column(year.table, f"cost {slot.key}", f"{part}: cost", ground.money, cost)


def in_year(ground: Ground, column: Column, year: Column) -> Node:
    """A monthly column added up over each year."""
    return call("sum_where", column, ground.month("year"), year)


def ages_table(ground: Ground, slots: Sequence[Slot]) -> None:
    """How old units are when their row leaves, as shares: the ages that resale counts with."""
    found = {slot.key: ages_of(slot) for slot in slots}
    oldest = max(len(shares) for shares in found.values())
    rows = ["under 1 year", *(f"{age} to {age + 1} years" for age in range(1, oldest))]
    table = ground.table("leaving", "How old units are when they leave", rows)
    ground.model.given(table, "age", "age, whole years", "year", range(oldest))
    for slot in slots:
        shares = np.pad(found[slot.key], (0, oldest - len(found[slot.key])))
        told = f"ages when units leave ({DEPENDS})"
        ground.model.given(table, f"aged {slot.key}", slot.part.part, "", shares, computed=told, percent=True)


def ages_of(slot: Slot) -> Floats:
    """The share of a row's units in each whole year of age when the row leaves; shape (years,)."""
    months = np.arange(slot.leaves + 1)
    ages: list[int] = []
    shares: list[float] = []
    for stay in slot.stays:
        first = 0 if stay.since is None else int(stay.since[slot.leaves])
        there = stay.arrivals[: slot.leaves + 1] * stay.survives[slot.leaves - months] * (months >= first)
        ages += [(stay.part.age + int(n)) // 12 for n in slot.leaves - months]
        shares += there.tolist()
    found: Floats = np.bincount(ages, weights=shares).astype(np.float64)
    return found[: max(1, 1 + int(np.max(np.flatnonzero(found), initial=0)))]
