"""Disposal and data wiping of what is there when a part leaves; the cost grows with other prices."""

from __future__ import annotations

from tco.engine import Column, Node, added, at
from tco.model.ground import Ground, Line
from tco.model.leaving import due, each_stay, per_month, quantity, there
from tco.model.slot import Slot, Stay


def build(ground: Ground) -> Node:
    costs = [due(ground, slot) * cost(ground, slot, stay) for slot, stay in each_stay(ground)]
    return added(costs) if costs else ground.nothing()


def cost(ground: Ground, slot: Slot, stay: Stay) -> Column:
    """Getting rid of all units of one kind in a row's slots, at the end of each month."""
    each = at(ground.part("disposal"), stay.row) * ground.month("other_level")
    amount = quantity(ground, slot) * there(ground, slot, stay) * each
    name = f"{stay.part.part} disposed of, if at the end of the month"
    return per_month(ground, slot, stay, "disposed", name, amount)


LINE = Line("disposal", "Disposal", 80, investment=True, build=build)
