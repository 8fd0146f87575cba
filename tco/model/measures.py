"""What is measured over a scenario's months, and against the baseline. Each measure is one record here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from tco.engine import Column, Constant, Node, added, at, call
from tco.model.calendar import years_of
from tco.model.ground import Ground, growing, one_month
from tco.model.lines import LINES
from tco.units import unit


@dataclass(frozen=True)
class Measure:
    """One figure of a scenario: its formula over the scenario's ground. `{money}` in the unit is the currency.

    percent: see Column."""

    name: str
    label: str
    unit: str
    build: Callable[[Ground], Node]
    percent: bool = False


def totals(ground: Ground) -> None:
    """The scenario's monthly total, its years, and the measures that need no other scenario."""
    model, months = ground.model, ground.months
    lines = [ground.month(line.name) for line in LINES]
    total = model.column(months, "total", "all together", ground.money, added(lines))
    recurring = added([ground.month(line.name) for line in LINES if not line.investment])
    dated = added([ground.month(line.name) for line in LINES if line.investment])
    worth = dated * ground.month("discount_factor") + recurring * ground.month("recurring_factor")
    model.column(months, "present_value", "present value", ground.money, worth)
    without = total - ground.month("resale")
    cost = model.column(months, "without_resale", "all together, resale left out", ground.money, without)
    model.column(months, "cumulative", "paid so far, resale left out", ground.money, call("running_total", cost))
    year_table(ground)
    ground.table("measures", "Measures", ["over the horizon"])
    for measure in own_measures():
        put(ground, measure)


def put(ground: Ground, measure: Measure) -> None:
    """One measure into the scenario's table of them."""
    table = ground.model.tables[f"measures of {ground.scenario.scenario}"]
    unit_text = measure.unit.format(money=ground.money)
    formula = measure.build(ground)
    ground.model.column(table, measure.name, measure.label, unit_text, formula, percent=measure.percent)


def year_table(ground: Ground) -> None:
    """Each line by year; year 0 is the start."""
    count = years_of(ground.horizon)[-1]
    table = ground.table("years", "Years", ["start", *year_names(ground.horizon)])
    year = ground.model.given(table, "year", "year", "year", range(count + 1))
    for line in LINES:
        year_column(ground, table.name, line.name, line.label, ground.money, year)
    year_column(ground, table.name, "total", "all together", ground.money, year)
    year_column(ground, table.name, "energy", "energy", "kWh", year)


def year_names(horizon: int) -> list[str]:
    """`year 1`, `year 2` ...; a last one that is cut short says how many months it has."""
    full, rest = divmod(horizon, 12)
    names = [f"year {year}" for year in range(1, full + 1)]
    return (
        [*names, f"year {full + 1} ({rest} months)" if rest > 1 else f"year {full + 1} (1 month)"] if rest else names
    )


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
        Measure("paid_at_start", "paid at the start", "{money}", lambda g: at(g.month("total"), 0)),
        *by_line,
        Measure("undiscounted", "undiscounted total", "{money}", lambda g: call("sum_of", g.month("total"))),
        Measure("lcc", "life-cycle cost", "{money}", lambda g: call("sum_of", g.month("present_value"))),
        Measure("month_rate", "discount rate a month", "", month_rate, percent=True),
        Measure("equivalent_month", "equivalent month", "{money}", equivalent_month),
        Measure("equivalent_year", "equivalent year", "{money}", equivalent_year),
        Measure("total_energy", "energy over the horizon", "kWh", lambda g: call("sum_of", g.month("energy"))),
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


LEVEL = 0.005  # of the study's money: cumulative costs nearer than this are level


def against(ground: Ground, baseline: Ground) -> None:
    """Net savings against the baseline, and where the two cumulative costs cross."""
    model, name = ground.model, baseline.scenario.scenario
    so_far = baseline.month("cumulative") - ground.month("cumulative")
    ahead = model.column(ground.months, "ahead", f"ahead of {name} so far, resale left out", ground.money, so_far)
    side = side_by_month(ground, ahead)
    before = call("previous", side, 0.0)
    month = ground.month("month")
    catches_up = call("more_than", side, 0.0) * call("more_than", 0.0, before)
    falls_behind = call("more_than", 0.0, side) * call("more_than", before, 0.0)
    model.column(ground.months, "catches_up", "month, if it catches up in it", "month", catches_up * month)
    model.column(ground.months, "falls_behind", "month, if it falls behind in it", "month", falls_behind * month)
    for measure in compared_measures(baseline):
        put(ground, measure)


def side_by_month(ground: Ground, ahead: Column) -> Column:
    """1 where a scenario is ahead of the baseline, -1 where it is behind; where level, as before (0 at first)."""
    label = "ahead (1), behind (-1) or level so far (0)"
    return ground.model.recurrence(
        ground.months, "side", label, "", lambda own: side_of(ground, ahead, call("previous", own, 0.0))
    )


def side_of(ground: Ground, ahead: Column | Node, level: Any) -> Node:
    """1 or -1 by an amount ahead; `level` where it is next to nothing."""
    near = Constant(LEVEL, unit(ground.money))
    behind = call("more_than", ground.nothing() - near, ahead)
    return call("where", call("more_than", ahead, near), 1.0, call("where", behind, -1.0, level))


def compared_measures(baseline: Ground) -> list[Measure]:
    """What is measured against the baseline."""
    name = baseline.scenario.scenario

    def saved(measure: str) -> Callable[[Ground], Node]:
        return lambda ground: baseline.own("measures", measure) - ground.own("measures", measure)

    return [
        Measure("net_savings", f"net savings against {name}", "{money}", saved("lcc")),
        Measure("saved_a_month", f"saved a month against {name}", "{money}", saved("equivalent_month")),
        Measure(
            "caught_up", "last month in which it catches up (0: none)", "month", lambda g: largest(g, "catches_up")
        ),
        Measure(
            "fell_behind",
            "last month in which it falls behind (0: none)",
            "month",
            lambda g: largest(g, "falls_behind"),
        ),
        Measure(
            "side_at_end",
            "at the end ahead (1), behind (-1) or level (0)",
            "",
            at_end,
        ),
    ]


def at_end(ground: Ground) -> Node:
    """On which side of the baseline a scenario ends; level is neither."""
    return side_of(ground, at(ground.month("ahead"), ground.horizon), 0.0)


def largest(ground: Ground, name: str) -> Node:
    """The largest value of a monthly column."""
    return call("largest", ground.month(name))


__all__ = ["Measure", "against", "own_measures", "totals"]
