"""What becomes of each part of a parts list: expected failures by month, and who is there by then.

Computed above the engine by the renewal equation, and given to the model as columns per unit; what it depends on
(failure curves, ages, months of buying and leaving) cannot be changed in the workbook.
"""

from __future__ import annotations

import numpy as np

from tco.model.calendar import MONTHS
from tco.model.ground import Ground
from tco.model.renewal import Floats, Life, failures, life, monthly_chances, present
from tco.model.slot import Slot, Stay
from tco.study import Part, Study

NEVER = 1e-100  # a chance below this is none: no spreadsheet program can hold the products of such numbers
DEPENDS = "failure curve, age when bought, month bought, month it leaves, what replaces it"


def slots_of(ground: Ground) -> tuple[Slot, ...]:
    """One slot a row of the parts list."""
    rows = {part.part: row for row, part in enumerate(ground.scenario.parts)}
    return tuple(
        slot(row, rows[part.replaced_by] if part.replaced_by else row, ground)
        for row, part in enumerate(ground.scenario.parts)
    )


def slot(row: int, replaced_by: int, ground: Ground) -> Slot:
    """The expected history of one unit of a row, from buying to leaving."""
    part, replacement = ground.scenario.parts[row], ground.scenario.parts[replaced_by]
    leaves = ground.horizon if part.leaves is None else part.leaves
    months = leaves - part.bought
    first, later = (unit_life(one, months, ground.study) for one in (part, replacement))
    expected = failures(first, later)
    begins = (np.arange(months + 1) == 0).astype(float)

    def over(values: Floats, start: int) -> Floats:
        whole = np.zeros(ground.horizon + 1)
        whole[start : start + months + 1] = np.where(values < NEVER, 0.0, values)
        return whole

    def stay(number: int, one: Part, arrivals: Floats, survives: Floats) -> Stay:
        there = present(arrivals, survives)
        return Stay(number, one, over(arrivals, part.bought), over(survives, 0), over(there, part.bought))

    stays: tuple[Stay, ...] = (stay(row, part, begins + expected, first.survives),)
    if row != replaced_by:
        stays = (
            stay(row, part, begins, first.survives),
            stay(replaced_by, replacement, expected, later.survives),
        )
    return Slot(row, part, replaced_by, leaves, over(expected, part.bought), stays)


def unit_life(part: Part, months: int, study: Study) -> Life:
    """How long a unit of a part lasts; without a failure curve, for ever."""
    if not part.failures:
        return life(np.zeros(months))
    return life(monthly_chances(study.failures[part.failures], part.age, months))


def slot_columns(ground: Ground) -> None:
    """Give the model what the slots say, month by month, per unit."""
    model = ground.model
    table = ground.table("units", "Failures, and what is there, per unit", ground.months.rows, axis=MONTHS)
    for one in ground.slots:
        if one.part.failures:
            name = f"expected failures of one {one.part.part}"
            told = f"expected failures per unit ({DEPENDS})"
            model.given(table, f"failures {one.row}", name, "", one.failures, computed=told)
        for stay in one.stays:
            name = f"{stay.part.part} there at the end of the month"
            told = f"what is there, by month ({DEPENDS})"
            model.given(table, f"there {one.row} {stay.row}", name, "", stay.there, computed=told)
