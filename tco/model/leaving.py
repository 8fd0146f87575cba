"""When parts leave, or would be sold: what lines about it share."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from tco.engine import Column, Node, Ref, at, call
from tco.model.ground import Ground
from tco.model.slot import Slot, Stay


def each_stay(ground: Ground) -> Iterator[tuple[Slot, Stay]]:
    """Every kind of unit that may be in a row's slots, or on the shelf."""
    return ((slot, stay) for slot in ground.slots for stay in slot.stays)


def quantity(ground: Ground, slot: Slot) -> Ref:
    """How many units there are like a slot's: of the row of the parts list, or on the shelf."""
    return of(ground, slot, "quantity")


def of(ground: Ground, slot: Slot, name: str) -> Ref:
    """The quantity of a slot, when it is bought or leaves: by the parts list, or by the table of spares."""
    return at(ground.part(name), slot.row) if slot.shelf is None else at(ground.own("shelf", name), slot.shelf)


def due(ground: Ground, slot: Slot) -> Node:
    """1 in the month at whose end a row of the parts list leaves, else 0."""
    return call("same_key", ground.month("month"), of(ground, slot, "leaves"))


def is_here(ground: Ground, slot: Slot) -> Node:
    """1 in the months at whose end a row's units are there, or leave."""
    month, leaves = ground.month("month"), of(ground, slot, "leaves")
    return call("at_least", month, of(ground, slot, "bought")) * call("at_least", leaves, month)


def there(ground: Ground, slot: Slot, stay: Stay) -> Column:
    """Units of one kind in one slot at the end of each month."""
    return ground.own("units", f"there {slot.key} {stay.row}")


def per_month(ground: Ground, slot: Slot, stay: Stay, kind: str, label: str, formula: Any) -> Column:
    """A monthly amount for all units of one kind in a row's slots."""
    table = there(ground, slot, stay).table
    return ground.model.column(table, f"{kind} {slot.key} {stay.row}", label, ground.money, formula)
