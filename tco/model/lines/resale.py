"""Resale: what is there when a part leaves sells by its resale curve at its expected ages, less the cost of selling.

A unit fetches its price, with tax and without shipping, times share(age at sale) / share(age when bought). On the
base `own price` that is the price it was bought at; on `new price then` both shares are of what a new one costs at
the sale, so the price trend runs on until then. A unit bought as a replacement sells from what it cost.
"""

from __future__ import annotations

from tco.engine import Column, Constant, Node, added, at, call
from tco.model.ground import Ground, Line, growing
from tco.model.leaving import due, each_stay, leaving_column
from tco.model.shared import resale_key
from tco.model.slot import Slot, Stay
from tco.model.slots import DEPENDS
from tco.units import unit


def build(ground: Ground) -> Node:
    sales = [due(ground, slot) * sale(ground, slot, stay) for slot, stay in each_stay(ground) if stay.part.resale]
    return Constant(-1.0, unit("")) * added(sales) if sales else ground.nothing()


def sale(ground: Ground, slot: Slot, stay: Stay) -> Column:
    """What all units of one kind in a row's slots fetch when they leave, net of selling."""
    fetched = call("sum_of", fetches(ground, slot, stay))
    name = f"{stay.part.part} sold"
    return leaving_column(ground, slot, stay, "sale", name, at(ground.part("quantity"), slot.row) * fetched)


def fetches(ground: Ground, slot: Slot, stay: Stay) -> Column:
    """Month by month: what a unit put in then fetches, net, times the chance that it is the one there at the end."""
    present = ground.own("units", f"stays {slot.row} {stay.row}")
    price = at(ground.part("with_tax"), stay.row) * price_then(ground, slot, stay) * worth(ground, slot, stay)
    net = price * (1.0 - ground.setting("selling_share")) - at(ground.part("selling_cost"), stay.row)
    name = f"what a {stay.part.part} put in this month adds to the sale"
    return ground.model.column(present.table, f"fetches {slot.row} {stay.row}", name, ground.money, present * net)


def price_then(ground: Ground, slot: Slot, stay: Stay) -> Node:
    """How the price has changed, by the month that the curve's base speaks of."""
    own_price = ground.study.resale[stay.part.resale][0].base == "own price"
    years = ground.month("grown_years") if own_price else ground.grown_by(at(ground.part("leaves"), slot.row))
    return growing(at(ground.part("price_trend"), stay.row), years)


def worth(ground: Ground, slot: Slot, stay: Stay) -> Node:
    """share(age at sale) / share(age when bought), by the month in which a unit was put in."""
    part, ages, shares = stay.part, ground.model["ages.key"], ground.model["ages.share"]
    at_sale = [part.age + max(0, slot.leaves - month) for month in range(ground.horizon + 1)]
    keys = ground.model.given(
        ground.own("units", f"stays {slot.row} {stay.row}").table,
        f"age key {slot.row} {stay.row}",
        f"key of the age at the end of a {part.part} put in this month",
        "",
        [resale_key(ground.study, part.resale, age) for age in at_sale],
        computed=f"ages ({DEPENDS})",
    )
    bought = at(shares, int(resale_key(ground.study, part.resale, part.age)))
    ratio = call("look_up", keys, ages, shares) / bought
    return call("where", call("more_than", bought, 0.0), ratio, 0.0)  # 0 only where it was changed in the workbook


LINE = Line("resale", "Resale", 70, investment=True, build=build)
