"""Purchase: parts at their price then, with tax, and shipping, in the month in which they are bought.

The price follows the part's trend or path; shipping grows with other prices: postage does not fall with the price per
TB.
"""

from __future__ import annotations

from tco.engine import Node, call
from tco.model.ground import Ground, Line, growing

TAXED = "whether tax is added to a price"
PATHS = "which price path a part follows"


def build(ground: Ground) -> Node:
    if not ground.scenario.parts:
        return ground.nothing()
    part, parts = ground.part, ground.part("price").table
    added = [1.0 if one.tax == "added" else 0.0 for one in ground.scenario.parts]
    flag = ground.model.given(parts, "taxed", "tax added to the price (1) or in it (0)", "", added, computed=TAXED)
    priced = ground.model.column(
        parts, "with_tax", "price of one with tax", ground.money, part("price") * (1.0 + ground.setting("tax") * flag)
    )
    shipping = part("shipping") * ground.by_month("other_level", part("bought"))
    all_of_them = part("quantity") * (priced * then(ground) + shipping)
    paid = ground.model.column(parts, "outlay", "paid for all when bought", ground.money, all_of_them)
    return call("sum_where", paid, part("bought"), ground.month("month"))


def then(ground: Ground) -> Node:
    """What each part's price has become when it is bought; one that follows a path has no trend."""
    bought = ground.part("bought")
    factor = growing(ground.part("price_trend"), ground.by_month("grown_years", bought))
    for number, path in enumerate(sorted({part.price_path for part in ground.scenario.parts} - {""})):
        follows = [1.0 if part.price_path == path else 0.0 for part in ground.scenario.parts]
        flag = ground.model.given(
            bought.table, f"follows {number}", f"follows {path} (1)", "", follows, computed=PATHS
        )
        factor = factor * call("where", flag, ground.by_month(f"path {path}", bought), 1.0)
    return factor


LINE = Line("purchase", "Purchase", 10, investment=True, build=build)
