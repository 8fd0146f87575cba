"""Electricity: what the build adds to the home's bill, and own solar power that is then not sold.

A tariff of one flat price makes that each month's energy at the price of one more kWh: fixed charges are paid with or
without the build. Under blocks, periods and other charges it is the difference of two bills (tco/model/marginal.py).
"""

from __future__ import annotations

from tco.engine import Node
from tco.engine.nodes import as_node
from tco.model.ground import Ground, Line
from tco.model.marginal import has_bill


def build(ground: Ground) -> Node:
    if not ground.scenario.tariff:
        return ground.nothing()
    if not has_bill(ground):
        return ground.month("energy") * ground.month(f"price {ground.scenario.tariff}")
    added = as_node(ground.own("bill", "difference"))
    return added + ground.own("bill", "not_sold") if ground.has("bill", "not_sold") else added


LINE = Line("electricity", "Electricity", 30, investment=False, monthly=True, build=build)
