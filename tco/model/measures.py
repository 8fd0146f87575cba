"""What is measured over a scenario's months; against the baseline: versus.py. Each measure is one record."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from tco.engine import Column, Constant, Node, added, at, call
from tco.engine.nodes import plain
from tco.model.bills import NONE_DRAWN, is_nothing
from tco.model.calendar import years_of
from tco.model.delivers import measures as delivered
from tco.model.failing import failing_tables
from tco.model.ground import MEASURES, Ground, growing, one_month
from tco.model.holding import economic_life, holding_table, if_sold
from tco.model.lines import LINES
from tco.model.measure import Measure, Reason, put
from tco.model.needs import judge
from tco.units import unit

LABELS = ("Measures", "What it delivers", "Needs", "For the formulas and sentences")  # of MEASURES, in that order


def totals(ground: Ground) -> None:
    """The scenario's monthly total, its years, and the measures that need no other scenario."""
    model, months = ground.model, ground.months
    lines = [ground.month(line.name) for line in LINES]
    total = model.column(months, "total", "all together", ground.money, added(lines))
    present_values(ground)
    without = total - ground.month("resale")
    cost = model.column(months, "without_resale", "all together, resale left out", ground.money, without)
    model.column(months, "cumulative", "cost so far, resale left out", ground.money, call("running_total", cost))
    if_sold(ground)
    year_table(ground)
    failing_tables(ground, ["start", *year_names(ground.horizon)])
    holding_table(ground)
    for kind, label in zip(MEASURES, LABELS, strict=True):
        ground.table(kind, label, ["over the horizon"])
    put_all(ground, "measures", own_measures())
    put_all(ground, "delivered", delivered(ground))
    put_all(ground, "judged", judge(ground))


def put_all(ground: Ground, kind: str, measures: Iterable[Measure]) -> None:
    """Measures into their table; those that only formulas need stay with the reasons."""
    for measure in measures:
        put(ground, measure if measure.table == "reasons" else replace(measure, table=kind))


def present_values(ground: Ground) -> None:
    """What operating and investment-related lines of each month are worth at the start, apart and together."""
    model, months, money = ground.model, ground.months, ground.money
    operating = added([ground.month(line.name) for line in LINES if not line.investment])
    running = model.column(months, "operating", "operating costs", money, operating)
    worth = running * ground.month("recurring_factor")
    often = model.column(months, "operating_worth", "operating costs, present value", money, worth)
    dated = added([ground.month(line.name) for line in LINES if line.investment]) * ground.month("discount_factor")
    once = model.column(months, "investment_worth", "investment-related costs, present value", money, dated)
    model.column(months, "present_value", "present value", money, once + often)
    cooling = ground.month("cooling") if ground.has("months", "cooling") else ground.nothing()
    billed = (ground.month("electricity") + cooling) * ground.month("recurring_factor")
    model.column(months, "electricity_worth", "electricity and cooling, present value", money, billed)


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
        Measure(f"total_{line.name}", f"{line.label}, undiscounted", "{money}", sum_over(line.name)) for line in LINES
    ]
    return [
        Measure("paid_at_start", "paid at the start", "{money}", paid_at_start),
        *by_line,
        Measure("undiscounted", "undiscounted total", "{money}", sum_over("total")),
        Measure("operating_worth", "operating costs, present value", "{money}", sum_over("operating_worth")),
        Measure(
            "investment_worth", "investment-related costs, present value", "{money}", sum_over("investment_worth")
        ),
        Measure(
            "electricity_worth",
            "electricity and cooling, present value",
            "{money}",
            sum_over("electricity_worth"),
            note="all that follows the amounts of a tariff",
        ),
        Measure("lcc", "life-cycle cost", "{money}", sum_over("present_value")),
        Measure("month_rate", "discount rate a month", "", month_rate, percent=True),
        Measure("equivalent_month", "equivalent month", "{money}", equivalent_month),
        Measure("equivalent_year", "equivalent year", "{money}", equivalent_year),
        economic_life(),
        Measure("total_energy", "energy over the horizon", "kWh", sum_over("energy")),
        Measure("energy_year", "energy a year", "kWh/year", energy_year),
        marginal_price(),
        average_price(),
        Measure("first_power", "average power in month 1", "W", lambda g: at(g.month("power"), 1)),
    ]


def sum_over(name: str) -> Callable[[Ground], Node]:
    """The sum of a monthly column."""
    return lambda ground: call("sum_of", ground.month(name))


def paid_at_start(ground: Ground) -> Node:
    """The cash of month 0."""
    return added([at(ground.month(line.name), 0) for line in LINES if line.cash])


def month_rate(ground: Ground) -> Node:
    """(1 + r)^(1/12) - 1."""
    return growing(ground.setting("discount"), one_month() / Constant(12.0, unit("month"))) - 1.0


def equivalent_month(ground: Ground) -> Node:
    """The same amount at every month's end that is worth the life-cycle cost (NIST HB 135: uniform annual value)."""
    return call("annuity", ground.own("measures", "month_rate"), float(ground.horizon), ground.own("measures", "lcc"))


def equivalent_year(ground: Ground) -> Node:
    """The same at every year's end, over horizon / 12 years."""
    return call("annuity", ground.setting("discount"), ground.horizon / 12, ground.own("measures", "lcc"))


def marginal_price() -> Measure:
    """What a kWh of the build costs over the horizon: what people should compare."""
    reasons = (
        Reason(lambda ground: plain(0.0 if ground.scenario.tariff else 1.0), "none: no electricity"),
        Reason(lambda ground: is_nothing(call("sum_of", ground.month("energy"))), NONE_DRAWN),
    )
    label = "price of its kWh: what the build adds, over the horizon"
    return Measure("marginal_price", label, "{money}/kWh", added_price, reasons=reasons)


def added_price(ground: Ground) -> Node:
    """Electricity over energy."""
    return over(call("sum_of", ground.month("electricity")), call("sum_of", ground.month("energy")))


def over(amount: Node, energy: Node) -> Node:
    """Money over kWh; over one where there are none, which is told in words."""
    return amount / (energy + is_nothing(energy) * Constant(1.0, unit("kWh")))


def average_price() -> Measure:
    """What a kWh of home and build together costs over the horizon: what people quote from their bill."""
    reasons = (
        Reason(lambda ground: plain(0.0 if ground.scenario.tariff else 1.0), "none: no electricity"),
        Reason(lambda ground: plain(0.0 if ground.study.home else 1.0), "unknown: the home's use (home.csv)"),
        Reason(lambda ground: is_nothing(all_energy(ground)), NONE_DRAWN),
    )
    label = "average price of a kWh on the bill, home and build"
    return Measure("average_price", label, "{money}/kWh", bill_price, reasons=reasons)


def all_energy(ground: Ground) -> Node:
    """What home and build draw over the horizon; nothing where the home is not known."""
    known = ground.study.home and ground.has("bill", "energy")
    return call("sum_of", ground.own("bill", "energy")) if known else Constant(0.0, unit("kWh"))


def bill_price(ground: Ground) -> Node:
    """All bills over all kWh."""
    paid = call("sum_of", ground.own("bill", "bill")) if ground.has("bill", "bill") else ground.nothing()
    return over(paid, all_energy(ground))


def energy_year(ground: Ground) -> Node:
    """Energy over the horizon, per year of it."""
    return call("sum_of", ground.month("energy")) / Constant(ground.horizon / 12, unit("year"))
