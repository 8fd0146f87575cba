"""When parts leave, or would be sold: what lines about it share."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from tco.engine import Column, Node, at, call
from tco.model.ground import Ground
from tco.model.slot import Slot, Stay


def each_stay(ground: Ground) -> Iterator[tuple[Slot, Stay]]:
    """Every kind of unit that may be in a row's slots."""
    return ((slot, stay) for slot in ground.slots for stay in slot.stays)


def due(ground: Ground, slot: Slot) -> Node:
    """1 in the month at whose end a row of the parts list leaves, else 0."""
    return call("same_key", ground.month("month"), at(ground.part("leaves"), slot.row))


def is_here(ground: Ground, slot: Slot) -> Node:
    """1 in the months at whose end a row's units are there, or leave."""
    month, leaves = ground.month("month"), at(ground.part("leaves"), slot.row)
    return call("at_least", month, at(ground.part("bought"), slot.row)) * call("at_least", leaves, month)


def there(ground: Ground, slot: Slot, stay: Stay) -> Column:
    """Units of one kind in one slot at the end of each month."""
    return ground.own("units", f"there {slot.row} {stay.row}")


def per_month(ground: Ground, slot: Slot, stay: Stay, kind: str, label: str, formula: Any) -> Column:
    """A monthly amount for all units of one kind in a row's slots."""
    table = there(ground, slot, stay).table
    return ground.model.column(table, f"{kind} {slot.row} {stay.row}", label, ground.money, formula)
