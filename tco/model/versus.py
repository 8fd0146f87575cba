"""What is measured against the baseline: savings, their ratio to what they take, paybacks, where two are level.

Savings-to-investment ratio, adjusted rate of return and paybacks as in NIST Handbook 135.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tco.engine import Column, Constant, Node, at, call
from tco.model.ground import Ground, growing, one_month
from tco.model.measure import A_YEAR, Measure, Reason, figure, near, put
from tco.units import unit

BASELINE = "none: it is the baseline"
NO_MORE = "none: no extra investment"


def against(ground: Ground, baseline: Ground) -> None:
    """All measures of a scenario against the baseline but its rate of return, and the columns they rest on."""
    name, money = baseline.scenario.scenario, ground.money

    def apart(column: str) -> Node:
        return baseline.month(column) - ground.month(column)

    ahead = ground.model.column(
        ground.months, "ahead", f"ahead of {name} so far, resale left out", money, apart("cumulative")
    )
    side = crossing(ground, ahead)
    catching_up(ground, side)
    if_sold = f"ahead of {name}, if both are sold then"
    crossing(ground, ground.model.column(ground.months, "ahead_if_sold", if_sold, money, apart("lcc_if_sold")))
    for short, column, label in (
        ("saved", "total", "saved"),
        ("saved_worth", "present_value", "saved, present value,"),
    ):
        saved = ground.model.column(ground.months, short, f"{label} against {name}", money, apart(column))
        payback_months(ground, saved)
    for measure in measures(baseline):
        put(ground, measure)


def crossing(ground: Ground, difference: Column) -> Column:
    """On which side of 0 a difference is, and where it crosses, straight between months. Returns the side.

    A level start is no crossing, nor is being level for a while.
    """
    model, label = ground.model, difference.label
    side = model.recurrence(
        ground.months, f"{difference.name}_side", f"{label}: more (1), less (-1), level so far (0)", "",
        lambda own: side_of(difference, call("previous", own, 0.0), near(ground)),
    )  # fmt: skip
    flips = call("more_than", 0.0, side * call("previous", side, 0.0))
    where = flips * part_way(ground, difference)
    model.column(ground.months, f"{difference.name}_crosses", f"{label}: month in which it crosses 0", "month", where)
    return side


def part_way(ground: Ground, difference: Column) -> Node:
    """The moment at which a difference passes 0 within a month, straight from the last value to this one."""
    before, now = size(ground, call("previous", difference, ground.nothing())), size(ground, difference)
    return ground.month("month") - one_month() * (1.0 - before / call("larger", before + now, near(ground)))


def size(ground: Ground, amount: Column | Node) -> Node:
    """An amount without its sign."""
    return call("larger", amount, ground.nothing() - amount)


def side_of(difference: Column | Node, level: Any, nearly: Constant) -> Node:
    """1 or -1 by an amount ahead; `level` where it is next to nothing."""
    behind = call("more_than", 0.0 * nearly - nearly, difference)
    return call("where", call("more_than", difference, nearly), 1.0, call("where", behind, -1.0, level))


def catching_up(ground: Ground, side: Column) -> None:
    """The months in which a scenario catches up with the baseline, or falls behind."""
    before, month = call("previous", side, 0.0), ground.month("month")
    catches_up = call("more_than", side, 0.0) * call("more_than", 0.0, before)
    falls_behind = call("more_than", 0.0, side) * call("more_than", before, 0.0)
    for name, flag, does in (
        ("catches_up", catches_up, "catches up"),
        ("falls_behind", falls_behind, "falls behind"),
    ):
        ground.model.column(ground.months, name, f"month, if it {does} in it", "month", flag * month)


def payback_months(ground: Ground, saved: Column) -> None:
    """What is saved so far, whether it is less than nothing, and when it is made good, straight between months."""
    model, months = ground.model, ground.months
    total = model.column(months, f"{saved.name}_so_far", f"{saved.label} so far", ground.money,
                         call("running_total", saved))  # fmt: skip
    low = call("more_than", ground.nothing() - near(ground), total)
    behind = model.column(months, f"{saved.name}_behind", f"{total.label}: less than nothing (1)", "", low)
    made_good = call("previous", behind, 0.0) * (1.0 - behind) * part_way(ground, total)
    model.column(months, f"{saved.name}_back", f"{total.label}: month in which it is paid back", "month", made_good)


def measures(baseline: Ground) -> list[Measure]:
    """What is measured against the baseline."""
    name = baseline.scenario.scenario

    def saved(measure: str) -> Callable[[Ground], Node]:
        return lambda own: baseline.own("measures", measure) - own.own("measures", measure)

    return [
        Measure("net_savings", f"net savings against {name}", "{money}", saved("lcc")),
        Measure("saved_a_month", f"saved a month against {name}", "{money}", saved("equivalent_month")),
        Measure("operating_savings", "savings in operation, present value", "{money}", saved("operating_worth")),
        Measure("extra_investment", "extra investment, present value", "{money}", lambda g: extra(g, baseline)),
        *ratios(baseline),
        payback("simple_payback", "simple payback", "saved", baseline),
        payback("discounted_payback", "discounted payback", "saved_worth", baseline),
        Measure(
            "caught_up",
            "last month in which it catches up (0: none)",
            "month",
            largest("catches_up"),
            table="reasons",
        ),
        Measure(
            "fell_behind",
            "last month in which it falls behind (0: none)",
            "month",
            largest("falls_behind"),
            table="reasons",
        ),
        Measure("side_at_end", "at the end ahead (1), behind (-1) or level (0)", "", at_end, table="reasons"),
        level_horizon(baseline),
    ]


def extra(ground: Ground, baseline: Ground) -> Node:
    """What a scenario takes in investment-related lines beyond the baseline."""
    return ground.own("measures", "investment_worth") - baseline.own("measures", "investment_worth")


def at_end(ground: Ground) -> Node:
    """On which side of the baseline a scenario ends; level is neither."""
    return side_of(at(ground.month("ahead"), ground.horizon), 0.0, near(ground))


def largest(name: str) -> Callable[[Ground], Node]:
    """The largest value of a monthly column."""
    return lambda ground: call("largest", ground.month(name))


def itself(baseline: Ground) -> Reason:
    """No scenario is measured against itself."""
    return Reason(lambda ground: 1.0 if ground is baseline else 0.0, BASELINE)


def never_more(saved: str) -> Reason:
    """What a scenario saves so far is at no time less than nothing: there is no investment to come back."""
    return Reason(lambda ground: call("more_than", 1.0, largest(f"{saved}_behind")(ground)), "none: never costs more")


def above_inflation(ground: Ground) -> str:
    """What to add to a rate's name in a study of real money."""
    return ", above inflation" if ground.study.settings.money == "real" else ""


def ratios(baseline: Ground) -> list[Measure]:
    """Savings-to-investment ratio, and the adjusted rate of return: (1 + r) SIR^(1 / years) - 1."""

    savings, investment = figure("measures", "operating_savings"), figure("measures", "extra_investment")

    def adjusted(ground: Ground) -> Node:
        ratio = savings(ground) / investment(ground)
        return (1.0 + ground.setting("discount")) * growing(ratio - 1.0, 12.0 / ground.horizon) - 1.0

    kind = above_inflation(baseline)
    none = Reason(lambda g: call("at_least", near(g), investment(g)), NO_MORE)
    nothing = Reason(lambda g: call("at_least", near(g), savings(g)), "none: operation saves nothing")
    return [
        Measure(
            "savings_to_investment_ratio", "savings-to-investment ratio", "",
            lambda g: savings(g) / investment(g), reasons=(itself(baseline), none),
        ),
        Measure(
            "adjusted_rate_of_return", f"adjusted internal rate of return a year{kind}", "", adjusted, percent=True,
            reasons=(itself(baseline), none, nothing),
        ),
    ]  # fmt: skip


def payback(name: str, label: str, saved: str, baseline: Ground) -> Measure:
    """The years after which what a scenario saves stays at least what it took."""
    back = largest(f"{saved}_back")

    def not_back(ground: Ground) -> Column | Node:
        return at(ground.month(f"{saved}_behind"), ground.horizon)

    def lost(ground: Ground) -> Node:
        return not_back(ground) * call("more_than", back(ground), one_month() * 0.0)

    def ahead_first(ground: Ground) -> Node:
        ahead = call("more_than", largest(f"{saved}_so_far")(ground), near(ground))
        return not_back(ground) * ahead

    return Measure(
        name, label, "year", lambda g: back(g) / A_YEAR,
        reasons=(
            itself(baseline),
            never_more(saved),
            Reason(lost, "none: falls behind again"),
            Reason(ahead_first, "none: ahead first, then behind"),
            Reason(not_back, "none: not within the horizon"),
        ),
    )  # fmt: skip


def level_horizon(baseline: Ground) -> Measure:
    """The horizon at which a scenario and the baseline cost the same, both sold then; the last of several."""

    def crosses(ground: Ground) -> Node:
        return call("more_than", largest("ahead_if_sold_crosses")(ground), one_month() * 0.0)

    def side(ground: Ground) -> Node:
        return at(ground.month("ahead_if_sold_side"), ground.horizon)

    def level_at_end(ground: Ground) -> Node:
        """It was not level before, and is at the horizon."""
        level = call("at_least", near(ground), size(ground, at(ground.month("ahead_if_sold"), ground.horizon)))
        return level * side(ground) * side(ground)

    def only(which: float) -> Callable[[Ground], Node]:
        """Without a crossing, on one side (or on none) throughout."""
        return lambda ground: (1.0 - crosses(ground)) * (1.0 - level_at_end(ground)) * (
            call("more_than", side(ground) * which, 0.0) if which else 1.0)  # fmt: skip

    def last(ground: Ground) -> Node:
        end = Constant(float(ground.horizon), unit("month"))
        return call("where", level_at_end(ground), end, largest("ahead_if_sold_crosses")(ground))

    return Measure(
        "level_horizon", "horizon at which both cost the same, sold then", "month", last,
        reasons=(
            itself(baseline),
            Reason(only(1.0), "none: less at every horizon"),
            Reason(only(-1.0), "none: more at every horizon"),
            Reason(only(0.0), "none: same at every horizon"),
        ),
    )  # fmt: skip
