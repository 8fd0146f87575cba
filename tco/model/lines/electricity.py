"""Electricity: each month's energy at that month's price of one more kWh.

A flat price makes the cost of a build its energy times the price: fixed charges are paid with or without it.
"""

from __future__ import annotations

from tco.engine import Node
from tco.model.ground import Ground, Line


def build(ground: Ground) -> Node:
    if not ground.scenario.tariff:
        return ground.nothing()
    return ground.month("energy") * ground.month(f"price {ground.scenario.tariff}")


LINE = Line("electricity", "Electricity", 30, investment=False, monthly=True, build=build)
