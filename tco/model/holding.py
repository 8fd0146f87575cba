"""How long to keep a build: its life-cycle cost and equivalent year if everything is sold at the end of a month.

The replacement problem of engineering economics: equivalent yearly cost by holding period, the lowest of which is the
economic life (Blank & Tarquin, Park and others; ISO 15686-5 calls the same annual equivalent).
"""

from __future__ import annotations

from tco.engine import Column, Node, added, at, call
from tco.model.ground import Ground
from tco.model.leaving import each_stay, is_here
from tco.model.measure import A_YEAR, Measure, Reason, near
from tco.model.shared import in_years


def if_sold(ground: Ground) -> None:
    """What selling and disposing of everything at the end of each month comes to, and the life-cycle cost then."""
    model, months, money = ground.model, ground.months, ground.money
    sold = [is_here(ground, slot) * ground.own("units", f"sold {slot.key} {stay.row}")
            for slot, stay in each_stay(ground) if stay.part.resale]  # fmt: skip
    gone = [is_here(ground, slot) * ground.own("units", f"disposed {slot.key} {stay.row}")
            for slot, stay in each_stay(ground)]  # fmt: skip
    income = ground.nothing() - added(sold) if sold else ground.nothing()
    label = "all sold and disposed of, if at the end of the month"
    parting = model.column(months, "if_sold", label, money, added([income, *gone]))
    extra = parting - (ground.month("resale") + ground.month("disposal"))
    worth = so_far(ground) + extra * ground.month("discount_factor")
    model.column(months, "lcc_if_sold", "life-cycle cost, if sold at the end of the month", money, worth)


def so_far(ground: Ground) -> Node:
    """The present value of all months up to each; a year of recurring costs that has begun counts as if it ended."""
    if ground.study.settings.timing == "month-end":
        return call("running_total", ground.month("present_value"))
    model, months, money = ground.model, ground.months, ground.money
    dated, worth, running = (
        model.column(months, f"{name}_so_far", f"{label} so far", money, call("running_total", ground.month(name)))
        for name, label in (
            ("investment_worth", "investment-related costs, present value,"),
            ("operating_worth", "operating costs, present value,"),
            ("operating", "operating costs"),
        )
    )
    began, month = ground.month("year_began"), ground.month("month")
    before, paid_before = (call("look_up", began, month, column) for column in (worth, running))
    return dated + before + (running - paid_before) * ground.month("end_factor")


def periods(horizon: int) -> dict[str, int]:
    """The holding periods that are shown, in months: whole years, and the horizon."""
    years = {f"{year} year{'s' if year > 1 else ''}": 12 * year for year in range(1, horizon // 12 + 1)}
    return years if horizon % 12 == 0 else years | {f"{horizon} month{'s' if horizon > 1 else ''}": horizon}


def holding_table(ground: Ground) -> None:
    """By holding period: what selling brings, life-cycle cost, equivalent year, and the cheapest period so far."""
    kept = periods(ground.horizon)
    table = ground.table("holding", "If it is all sold after", list(kept))
    month = ground.model.given(table, "month", "months kept", "month", list(kept.values()))
    income = ground.nothing() - at_month(ground, month, "if_sold")
    ground.model.column(table, "sold", "what selling brings then, less disposal", ground.money, income)
    lcc = ground.model.column(table, "lcc", "life-cycle cost", ground.money, at_month(ground, month, "lcc_if_sold"))
    level = call("annuity", ground.setting("discount"), in_years(month), lcc)
    year = ground.model.column(table, "equivalent_year", "equivalent year", ground.money, level)
    cheapest(ground, year, month)


def at_month(ground: Ground, month: Column, name: str) -> Node:
    """A monthly figure in the month of each row."""
    return call("look_up", month, ground.month("month"), ground.month(name))


def cheapest(ground: Ground, year: Column, month: Column) -> None:
    """The lowest equivalent year so far, and its period; of two that are level, the shorter."""
    model, table = ground.model, year.table
    label = "lowest equivalent year so far"
    lowest = model.recurrence(
        table, "lowest", label, ground.money, lambda own: call("smaller", year, call("previous", own, year))
    )
    lower = call("more_than", call("previous", lowest, year + near(ground) * 2.0) - year, near(ground))
    model.recurrence(
        table, "best", "cheapest to keep for so far", "month",
        lambda own: call("where", lower, month, call("previous", own, month)),
    )  # fmt: skip


def economic_life() -> Measure:
    """The holding period with the lowest equivalent year."""

    def of(name: str, ground: Ground) -> Column:
        return ground.own("holding", name)

    def spread(ground: Ground) -> Node:
        return call("largest", of("equivalent_year", ground)) - at(of("lowest", ground), -1)

    return Measure(
        "economic_life", "cheapest a year if kept for", "year", lambda g: at(of("best", g), -1) / A_YEAR,
        reasons=(
            Reason(lambda g: 0.0 if g.scenario.parts else 1.0, "none: no hardware to sell"),
            Reason(lambda g: 1.0 if len(periods(g.horizon)) == 1 else 0.0, "none: one holding period"),
            Reason(lambda g: call("at_least", near(g), spread(g)), "none: the same at any length"),
        ),
    )  # fmt: skip
