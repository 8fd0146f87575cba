"""Owned gear: what it would fetch today, less selling, is a cost of keeping it, if the study says so.

No money changes hands.
"""

from __future__ import annotations

from tco.engine import Node, call
from tco.model.ground import Ground, Line


def build(ground: Ground) -> Node:
    owned = any(part.fetches_today for part in ground.scenario.parts)
    if not owned or ground.study.settings.owned_gear == "free":
        return ground.nothing()
    part, parts = ground.part, ground.part("price").table
    net = part("fetches_today") * (1.0 - ground.setting("selling_share")) - part("selling_cost")
    is_owned = call("more_than", part("fetches_today"), ground.nothing())
    kept = ground.model.column(
        parts, "kept", "not sold today, all of them", ground.money, is_owned * part("quantity") * net
    )
    return call("sum_where", kept, part("bought"), ground.month("month"))


LINE = Line("owned", "Owned gear kept", 15, investment=True, build=build, cash=False)
