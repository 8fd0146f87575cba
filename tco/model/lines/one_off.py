"""Dated one-off costs, and income such as old gear sold at the start (negative)."""

from __future__ import annotations

from tco.engine import Node, call
from tco.model.ground import Ground, Line


def build(ground: Ground) -> Node:
    if not ground.scenario.one_offs:
        return ground.nothing()
    amount, month = ground.own("one-offs", "amount"), ground.own("one-offs", "month")
    return call("sum_where", amount, month, ground.month("month"))


LINE = Line("one_off", "One-offs", 20, investment=True, build=build)
