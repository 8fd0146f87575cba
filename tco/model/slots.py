"""What becomes of each part of a parts list: expected failures, claims and worn units by month, who is there by then.

Computed above the engine (renewal.py, wear.py), and given to the model as columns per unit; what it depends on cannot
be changed in the workbook.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from tco.engine import Column
from tco.model.calendar import MONTHS
from tco.model.ground import Ground
from tco.model.renewal import Floats, Months, Unit, history, monthly_hazards
from tco.model.slot import Slot, Stay
from tco.model.wear import host_writes, worn_after
from tco.study import Part

NEVER = 1e-100  # a chance below this is none: no spreadsheet program can hold the products of such numbers
DEPENDS = "failure curve, age when bought, month bought, month it leaves, what replaces it, warranty, wear"
Rates = Mapping[str, float]  # failure curve -> what its rates are multiplied by


def slots_of(ground: Ground) -> tuple[Slot, ...]:
    """One slot a row of the parts list."""
    rows = {part.part: row for row, part in enumerate(ground.scenario.parts)}
    return tuple(
        slot_of(row, rows[part.replaced_by] if part.replaced_by else row, ground, {})
        for row, part in enumerate(ground.scenario.parts)
    )


def slot_of(row: int, replaced_by: int, ground: Ground, rates: Rates) -> Slot:
    """The expected history of one unit of a row, from buying to leaving."""
    parts, part = ground.scenario.parts, ground.scenario.parts[row]
    leaves = ground.horizon if part.leaves is None else part.leaves
    span = Span(part.bought, leaves, ground.horizon)
    numbers = [row] if row == replaced_by else [row, replaced_by]
    rated = any(parts[number].endurance is not None for number in numbers)
    writes = host_writes(ground, part) if rated else None  # by place: whoever takes it gets the same
    units = [unit_of(ground, parts[number], span, writes, rates) for number in numbers]
    units[0] = lived(units[0], max(0, min(part.known, leaves) - part.bought))
    found = history(units[0], units[1] if len(units) > 1 else None, span.months)
    stays = tuple(
        Stay(number, parts[number], unit, span.over(crowd.arrivals), span.survives(unit), span.since(unit),
             span.over(crowd.there), span.over(crowd.covered))
        for number, unit, crowd in zip(numbers, units, found.crowds, strict=True)
    )  # fmt: skip
    return Slot(str(row), row, part, replaced_by, leaves, span.over(found.failures), span.over(found.worn), stays)


@dataclass(frozen=True)
class Span:
    """The months from buying to leaving within those of the study, 0..horizon."""

    bought: int
    leaves: int
    horizon: int

    @property
    def months(self) -> int:
        return self.leaves - self.bought

    def over(self, values: Floats) -> Floats:
        """What is counted from buying, by month of the study."""
        whole = np.zeros(self.horizon + 1)
        whole[self.bought : self.leaves + 1] = seen(values)
        return whole

    def survives(self, unit: Unit) -> Floats:
        """The chance that a unit has not failed n months after it came, n = 0..horizon; 0 after it leaves."""
        whole = np.zeros(self.horizon + 1)
        whole[: self.months + 1] = seen(np.cumprod(np.concatenate([[1.0], 1.0 - unit.chances])))
        return whole

    def since(self, unit: Unit) -> Months | None:
        """By month of the study, the first one in which what came is not worn yet; None where nothing ever is."""
        came = self.bought + np.arange(self.months + 1)
        ends = came + unit.lasts
        if (ends > self.leaves).all():
            return None
        return self.bought + np.searchsorted(ends, np.clip(np.arange(self.horizon + 1), 0, self.leaves), side="right")


def seen(values: Floats) -> Floats:
    """Chances as a spreadsheet program can hold them."""
    return np.where(values < NEVER, 0.0, values)


def unit_of(ground: Ground, part: Part, span: Span, writes: Floats | None, rates: Rates) -> Unit:
    """How a unit of a part fares in the slots of a row; without a failure curve it never fails."""
    hazards = np.zeros(span.months)
    if part.failures:
        curve = ground.study.failures[part.failures]
        factor = rates.get(part.failures, 1.0)
        hazards = monthly_hazards(curve, part.age, span.months) * factor if factor else hazards
    lasts = worn_after(part, span.bought, writes, span.months)
    return Unit(hazards, lasts, part.warranty or 0)


def lived(unit: Unit, known: int) -> Unit:
    """A unit of which it is known for how many months it lived: it is not worn in them, whatever was foreseen."""
    if not known:
        return unit
    came = np.arange(len(unit.lasts))
    return replace(
        unit, lasts=np.where(came <= known, np.maximum(unit.lasts, known + 1 - came), unit.lasts), known=known
    )


def slot_columns(ground: Ground) -> None:
    """Give the model what the slots say, month by month, per unit."""
    model = ground.model
    table = ground.table("units", "Failures, and what is there, per unit", ground.months.rows, axis=MONTHS)
    for one in ground.slots:
        for name, label, told, values in figures_of(one):
            model.given(table, name, label, "", values, computed=f"{told} ({DEPENDS})")


Given = tuple[str, str, str, Floats]  # name, label, what the tool computes, by month


def figures_of(slot: Slot) -> Iterator[Given]:
    """The columns that a slot gives to the model: what is lost, and who is there."""
    part = slot.part.part
    if slot.fails:
        yield f"failures {slot.key}", f"expected failures of one {part}", "expected failures per unit", slot.failures
    for stay in slot.covering:
        name = f"failures of one {stay.part.part} under warranty"
        yield f"covered {slot.key} {stay.row}", name, "failures under warranty", stay.covered
    if slot.wears:
        yield f"worn {slot.key}", f"expected worn units of one {part}", "worn units", slot.worn
    for stay in slot.stays:
        name = f"{stay.part.part} there at the end of the month"
        yield f"there {slot.key} {stay.row}", name, "what is there, by month", stay.there


def with_failure_rates(ground: Ground, rates: Rates) -> dict[Column, Floats]:
    """The given columns of a scenario that are others with failure rates times factors, by curve; shapes (rows,)."""
    found: dict[Column, Floats] = {}
    for before in ground.slots:
        if before.shelf is not None or not any(stay.part.failures in rates for stay in before.stays):
            continue
        slot = slot_of(before.row, before.replaced_by, ground, rates)
        columns = [(name, values) for name, _, _, values in figures_of(slot)]
        for stay in slot.stays:
            columns += [(f"arrivals {slot.key} {stay.row}", stay.arrivals)]
            columns += [(f"survives {slot.key} {stay.row}", stay.survives[::-1])]
        found |= {ground.own("units", name): values for name, values in columns if ground.has("units", name)}
    return found
