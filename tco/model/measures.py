"""What is measured over a scenario's months, and against the baseline. Each measure is one record here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from tco.engine import Column, Constant, Node, added, at, call
from tco.model.calendar import years_of
from tco.model.ground import Ground, growing, one_month
from tco.model.lines import LINES
from tco.units import unit


@dataclass(frozen=True)
class Measure:
    """One figure of a scenario: its formula over the scenario's ground. `{money}` in the unit is the currency."""

    name: str
    label: str
    unit: str
    build: Callable[[Ground], Node]


def totals(ground: Ground) -> None:
    """The scenario's monthly total, its years, and the measures that need no other scenario."""
    model, months = ground.model, ground.months
    lines = [ground.month(line.name) for line in LINES]
    total = model.column(months, "total", "all together", ground.money, added(lines))
    model.column(months, "present_value", "present value", ground.money, total * ground.month("discount_factor"))
    without = total - ground.month("resale")
    cost = model.column(months, "without_resale", "all together, resale left out", ground.money, without)
    model.column(months, "cumulative", "paid so far, resale left out", ground.money, call("running_total", cost))
    year_table(ground)
    table = ground.table("measures", "Measures", ["over the horizon"])
    for measure in own_measures():
        model.column(
            table, measure.name, measure.label, measure.unit.format(money=ground.money), measure.build(ground)
        )


def year_table(ground: Ground) -> None:
    """Each line by year; year 0 is the start."""
    count = years_of(ground.horizon)[-1]
    table = ground.table("years", "Years", ["start", *(f"year {year}" for year in range(1, count + 1))])
    year = ground.model.given(table, "year", "year", "year", range(count + 1))
    for line in LINES:
        year_column(ground, table.name, line.name, line.label, ground.money, year)
    year_column(ground, table.name, "total", "all together", ground.money, year)
    year_column(ground, table.name, "energy", "energy", "kWh", year)


def year_column(ground: Ground, table: str, name: str, label: str, unit_text: str, year: Column) -> None:
    """One column of the years: the months of each year added up."""
    by_month = call("sum_where", ground.month(name), ground.month("year"), year)
    ground.model.column(ground.model.tables[table], name, label, unit_text, by_month)


def own_measures() -> list[Measure]:
    """Totals of each line, then what they come to."""
    by_line = [
        Measure(f"total_{line.name}", f"{line.label}, undiscounted", "{money}", line_total(line.name))
        for line in LINES
    ]
    return [
        Measure("cost_to_buy", "paid at the start", "{money}", lambda g: at(g.month("total"), 0)),
        *by_line,
        Measure("undiscounted", "undiscounted total", "{money}", lambda g: call("sum_of", g.month("total"))),
        Measure("lcc", "life-cycle cost", "{money}", lambda g: call("sum_of", g.month("present_value"))),
        Measure("month_rate", "discount rate a month", "", month_rate),
        Measure("equivalent_month", "equivalent month", "{money}", equivalent_month),
        Measure("equivalent_year", "equivalent year", "{money}", equivalent_year),
        Measure("energy_year", "energy a year", "kWh/year", energy_year),
        Measure("first_power", "average power in month 1", "W", lambda g: at(g.month("power"), 1)),
    ]


def line_total(name: str) -> Callable[[Ground], Node]:
    """The sum of a line over the months."""
    return lambda ground: call("sum_of", ground.month(name))


def month_rate(ground: Ground) -> Node:
    """(1 + r)^(1/12) - 1."""
    return growing(ground.setting("discount"), one_month() / Constant(12.0, unit("month"))) - 1.0


def equivalent_month(ground: Ground) -> Node:
    """The same amount at every month's end that is worth the life-cycle cost (NIST HB 135: uniform annual value)."""
    return call("annuity", ground.own("measures", "month_rate"), float(ground.horizon), ground.own("measures", "lcc"))


def equivalent_year(ground: Ground) -> Node:
    """The same at every year's end, over horizon / 12 years."""
    return call("annuity", ground.setting("discount"), ground.horizon / 12, ground.own("measures", "lcc"))


def energy_year(ground: Ground) -> Node:
    """Energy over the horizon, per year of it."""
    return call("sum_of", ground.month("energy")) / Constant(ground.horizon / 12, unit("year"))


def against(ground: Ground, baseline: Ground) -> None:
    """Net savings against the baseline, and where the two cumulative costs cross."""
    model = ground.model
    ahead = model.column(
        ground.months,
        "ahead",
        f"ahead of {baseline.scenario.scenario} so far, resale left out",
        ground.money,
        baseline.month("cumulative") - ground.month("cumulative"),
    )
    nothing = ground.nothing()
    before = call("previous", ahead, at(ahead, 0))
    crossed = call("at_least", ahead, nothing) * call("more_than", nothing, before)
    month = model.column(
        ground.months, "catches_up", "month, if it catches up then", "month", crossed * ground.month("month")
    )
    table = ground.own("measures", "lcc").table
    savings = baseline.own("measures", "lcc") - ground.own("measures", "lcc")
    model.column(table, "net_savings", f"net savings against {baseline.scenario.scenario}", ground.money, savings)
    monthly = baseline.own("measures", "equivalent_month") - ground.own("measures", "equivalent_month")
    model.column(table, "saved_a_month", f"saved a month against {baseline.scenario.scenario}", ground.money, monthly)
    model.column(table, "caught_up", "last month in which it catches up (0: never)", "month", call("largest", month))


__all__ = ["Measure", "against", "own_measures", "totals"]
