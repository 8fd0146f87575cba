"""Disposal and data wiping of what is there when a part leaves."""

from __future__ import annotations

from tco.engine import Column, Node, added, at, call
from tco.model.ground import Ground, Line
from tco.model.leaving import due, each_stay, leaving_column
from tco.model.slot import Slot, Stay


def build(ground: Ground) -> Node:
    costs = [due(ground, slot) * cost(ground, slot, stay) for slot, stay in each_stay(ground)]
    return added(costs) if costs else ground.nothing()


def cost(ground: Ground, slot: Slot, stay: Stay) -> Column:
    """Getting rid of all units of one kind in a row's slots."""
    there = call("sum_of", ground.own("units", f"stays {slot.row} {stay.row}"))
    amount = at(ground.part("quantity"), slot.row) * there * at(ground.part("disposal"), stay.row)
    return leaving_column(ground, slot, stay, "disposal", f"{stay.part.part} disposed of", amount)


LINE = Line("disposal", "Disposal", 80, investment=True, build=build)
