"""When parts leave: what lines about it share."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from tco.engine import Column, Node, at, call
from tco.model.ground import Ground
from tco.model.slot import Slot, Stay


def each_stay(ground: Ground) -> Iterator[tuple[Slot, Stay]]:
    """Every kind of unit that may be there when a row of the parts list leaves."""
    return ((slot, stay) for slot in ground.slots for stay in slot.stays)


def due(ground: Ground, slot: Slot) -> Node:
    """1 in the month at whose end a row of the parts list leaves, else 0."""
    return call("same_key", ground.month("month"), at(ground.part("leaves"), slot.row))


def leaving_column(ground: Ground, slot: Slot, stay: Stay, kind: str, label: str, formula: Any) -> Column:
    """An amount that falls due when a row's units leave; one row, for all units of the kind together."""
    name = f"leaving of {ground.scenario.scenario}"
    table = ground.model.tables.get(name) or ground.table("leaving", "When parts leave", ["all of them"])
    return ground.model.column(table, f"{kind} {slot.row} {stay.row}", label, ground.money, formula)
