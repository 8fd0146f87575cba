"""Purchase: parts at their price then, with tax, and shipping, in the month in which they are bought.

The price follows the part's trend; shipping does not: postage does not fall with the price per TB.
"""

from __future__ import annotations

from tco.engine import Node, call
from tco.model.ground import Ground, Line, growing

TAXED = "whether tax is added to a price"


def build(ground: Ground) -> Node:
    if not ground.scenario.parts:
        return ground.nothing()
    part, parts = ground.part, ground.part("price").table
    added = [1.0 if one.tax == "added" else 0.0 for one in ground.scenario.parts]
    flag = ground.model.given(parts, "taxed", "tax added to the price (1) or in it (0)", "", added, computed=TAXED)
    priced = ground.model.column(
        parts, "with_tax", "price of one with tax", ground.money, part("price") * (1.0 + ground.setting("tax") * flag)
    )
    then = growing(part("price_trend"), ground.grown_by(part("bought")))
    all_of_them = part("quantity") * (priced * then + part("shipping"))
    paid = ground.model.column(parts, "outlay", "paid for all when bought", ground.money, all_of_them)
    return call("sum_where", paid, part("bought"), ground.month("month"))


LINE = Line("purchase", "Purchase", 10, investment=True, build=build)
