"""Replacements: what fails or is worn costs what takes its place at that month's price; under warranty, a claim.

The price follows the part's trend or path; shipping and the postage of a claim grow with other prices.
"""

from __future__ import annotations

from tco.engine import Column, Node, added, at
from tco.model.ground import Ground, Line
from tco.model.leaving import quantity
from tco.model.slot import Slot


def build(ground: Ground) -> Node:
    costs = [cost(ground, one) for one in ground.slots if one.is_replaced]
    return added(costs) if costs else ground.nothing()


def cost(ground: Ground, slot: Slot) -> Column:
    """What replacing the units of one row of the parts list costs, month by month."""
    each = paid(ground, slot) * ground.costs_then(slot.replaced_by)
    for name, row in claims(ground, slot):
        each = each + ground.own("units", name) * at(ground.part("claim"), row) * ground.month("other_level")
    table = ground.own("units", f"there {slot.key} {slot.row}").table
    label = f"replacing {slot.part.part}"
    return ground.model.column(table, f"cost {slot.key}", label, ground.money, quantity(ground, slot) * each)


def paid(ground: Ground, slot: Slot) -> Node:
    """Units of one slot that are paid for: failures that are not covered, and worn units."""
    found = [ground.own("units", f"{kind} {slot.key}") for kind in ("failures", "worn")
             if ground.has("units", f"{kind} {slot.key}")]  # fmt: skip
    paid = added(found)
    for stay in slot.covering:
        paid = paid - ground.own("units", f"covered {slot.key} {stay.row}")
    return paid


def claims(ground: Ground, slot: Slot) -> list[tuple[str, int]]:
    """The columns of failures under warranty whose claim costs something, with the rows that say how much."""
    stated = ground.has("parts", "claim")
    return [(f"covered {slot.key} {stay.row}", stay.row) for stay in slot.covering if stated]


LINE = Line("replacement", "Replacement", 40, investment=True, monthly=True, build=build)
