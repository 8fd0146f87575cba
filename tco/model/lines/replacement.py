"""Replacements: expected failures of each part, each costing what takes its place at that month's price."""

from __future__ import annotations

from tco.engine import Column, Node, added, at
from tco.model.ground import Ground, Line
from tco.model.slot import Slot


def build(ground: Ground) -> Node:
    slots = [one for one in ground.slots if one.part.failures]
    costs = [cost(ground, one) for one in slots]
    return added(costs) if costs else ground.nothing()


def cost(ground: Ground, slot: Slot) -> Column:
    """What the failures of one row of the parts list cost, month by month."""
    failing = ground.own("units", f"failures {slot.row}")
    new = slot.replaced_by
    shipping = at(ground.part("shipping"), new) * ground.month("other_level")
    price = at(ground.part("with_tax"), new) * ground.price_then(new) + shipping
    return ground.model.column(
        failing.table,
        f"cost {slot.row}",
        f"replacing {slot.part.part}",
        ground.money,
        failing * at(ground.part("quantity"), slot.row) * price,
    )


LINE = Line("replacement", "Replacement", 40, investment=True, monthly=True, build=build)
