"""Spares on the shelf: bought with what they may replace, at the part's price then; sold with it, see resale."""

from __future__ import annotations

from tco.cell import Cell
from tco.engine import Node, added, at, call
from tco.model.ground import Ground, Line


def build(ground: Ground) -> Node:
    if not ground.spares:
        return ground.nothing()
    prices = [ground.costs_then(one.row) for one in ground.spares]
    quantity, bought = ground.own("shelf", "quantity"), ground.own("shelf", "bought")
    terms = [
        at(quantity, number) * each * call("same_key", ground.month("month"), at(bought, number))
        for number, each in enumerate(prices)
    ]
    return added(terms)


LINE = Line(
    "spares",
    "Spares on the shelf",
    45,
    investment=True,
    build=build,
    settings={
        "spares_confidence": Cell(
            "share",
            "how sure it should be that spares on the shelf last until new ones come; empty: no spares are kept",
            "95 %",
            default=None,
            least=0.0,
            most=1.0,
        ),
        "spares_lead_time": Cell(
            "number", "how long it takes until a new spare is there", "14 d", unit="h", default=None, least=0.0,
            most=87840.0,
        ),
    },
)  # fmt: skip
