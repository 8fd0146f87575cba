"""Insurance: a yearly share of what it would cost to put everything there anew, paid month by month.

The replacement value of a unit is what would take its place costs in that month, with tax and shipping: a price that
follows its trend or path, not what was paid. Owned gear without a price counts with what it would fetch then. All
that stands there is insured, spares on the shelf as well.
"""

from __future__ import annotations

from tco.cell import Cell
from tco.engine import Column, Node, added, at, call
from tco.model.ground import Ground, Line
from tco.model.leaving import of, quantity
from tco.model.slot import Slot


def build(ground: Ground) -> Node:
    if not ground.slots or not ground.states("insurance"):
        return ground.nothing()
    label = "replacement value of all that stands there"
    values = added([value(ground, slot) for slot in ground.slots])
    insured = ground.model.column(ground.months, "replacement_value", label, ground.money, values)
    return insured * ground.setting("insurance") / 12.0


def value(ground: Ground, slot: Slot) -> Column:
    """What would take the place of all units of a row costs, in each month in which they stand there."""
    month, table = ground.month("month"), ground.own("units", f"there {slot.key} {slot.row}").table
    stands = call("more_than", month, of(ground, slot, "bought")) * call(
        "at_least", of(ground, slot, "leaves"), month
    )
    label = f"replacement value of {slot.part.part}{'' if slot.shelf is None else ' on the shelf'}, all of them"
    each = as_new(ground, slot.replaced_by)
    return ground.model.column(
        table, f"value {slot.key}", label, ground.money, stands * quantity(ground, slot) * each
    )


def as_new(ground: Ground, row: int) -> Node:
    """What one of a part costs in each month; owned gear has no price, but what it would fetch."""
    return ground.costs_then(row) + at(ground.part("fetches_today"), row) * ground.price_then(row)


LINE = Line(
    "insurance",
    "Insurance",
    65,
    investment=False,
    monthly=True,
    build=build,
    settings={
        "insurance": Cell(
            "share",
            "insurance premium a year for all gear that stands there, as a share of its replacement value: what "
            "would take its place costs in that month, not what was paid (home contents are often insured like that: "
            "common practice, no source)",
            "0.5 %",
            default=0.0,
            least=0.0,
            most=1.0,
            live=True,
        )
    },
)
