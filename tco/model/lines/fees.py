"""Recurring fees, fixed a month or per TB held, from a month to a month, growing."""

from __future__ import annotations

from tco.engine import Column, Node, added, at, call
from tco.model.ground import Ground, Line, growing, one_month


def build(ground: Ground) -> Node:
    fees = [fee(ground, row) for row in range(len(ground.scenario.fees))]
    return added(fees) if fees else ground.nothing()


def fee(ground: Ground, row: int) -> Column:
    """One fee, month by month."""

    def of(name: str) -> Node:
        return at(ground.own("fees", name), row)

    month = ground.month("month")
    due = call("at_least", month, of("first")) * call("at_least", of("last"), month)
    monthly = of("amount") + of("amount_per_TB") * ground.month("data_held")
    name, path = ground.scenario.fees[row].fee, ground.scenario.fees[row].path
    grown = ground.month(f"path {path}") if path else growing(of("growth"), ground.month("grown_years"))
    amount = due * monthly * grown * one_month()
    return ground.model.column(ground.months, f"fee {row}", f"fee: {name}", ground.money, amount)


LINE = Line("fees", "Fees", 50, investment=False, monthly=True, build=build)
