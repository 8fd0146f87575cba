"""The internal rate of return of what a scenario saves against the baseline: none, one or several.

Where the savings change sign once there is exactly one rate, and a spreadsheet's own function finds it. Where they
change sign more often the tool looks for all rates between -99 % and 1,000 % a year; these do not follow a change in
the workbook, which is said there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from tco.engine import Array, Column, Constant, Figures, Node, Table, at, call
from tco.engine.arrays import sign_at, total, worths
from tco.model.ground import Ground, growing
from tco.model.measure import Measure, Reason, figure, near, put
from tco.model.versus import above_inflation, itself, never_more, side_of, size
from tco.units import unit

LOWEST, HIGHEST = -0.99, 10.0  # effective a year: beyond these no rate is told
POINTS = 4001  # between them, at which the worth of savings is looked at; rates within 0.2 % of each other are missed
NONE, NOT_KNOWN = "none from −99 % to 1,000 %", "not known: run tco again"
FOUND = "rates of return where savings change sign more than once (every input)"


def timed_savings(ground: Ground, baseline: Ground) -> None:
    """What a scenario saves at the moments at which it counts, and where its sign changes."""
    model = ground.model
    saved = ground.month("saved") if ground.study.settings.timing == "month-end" else moved(ground, baseline)
    label = "saves (1) or not (-1), as before where nothing"
    tiny = Constant(1e-7, unit(ground.money))
    sign = model.recurrence(
        saved.table, "sign", label, "", lambda own: side_of(saved, call("previous", own, 0.0), tiny)
    )
    turns = call("more_than", 0.0, sign * call("previous", sign, 0.0))
    model.column(saved.table, "turns", "savings change sign (1)", "", turns)


def moved(ground: Ground, baseline: Ground) -> Column:
    """Savings by the month in which they count; by half-months where the middle of a cut year falls between two."""
    model, money = ground.model, ground.money
    often = baseline.month("operating") - ground.month("operating")
    recurring = model.column(ground.months, "saved_often", "saved in operation", money, often)
    rest = ground.month("saved") - recurring
    dated = model.column(ground.months, "saved_dated", "saved in investment-related lines", money, rest)
    step = step_of(ground)
    moments = np.arange(0.0, ground.horizon + step / 2, step)
    table = ground.table("timed", "Savings when they count", [f"month {moment:g}" for moment in moments])
    moment = model.given(table, "moment", "month", "month", moments)
    count = (call("sum_where", dated, ground.month("month"), moment),
             call("sum_where", recurring, ground.month("moment"), moment))  # fmt: skip
    return model.column(table, "saved", "saved when it counts", money, count[0] + count[1])


def step_of(ground: Ground) -> float:
    """The months between the moments at which savings may count."""
    moments = ground.month("moment").values
    assert moments is not None
    return 0.5 if np.any(moments % 1) else 1.0


def savings(ground: Ground) -> tuple[Column, Column, Column]:
    """The column of savings as they count, that of their changes of sign, and that of their moments."""
    if ground.study.settings.timing == "month-end":
        return ground.month("saved"), ground.month("turns"), ground.month("month")
    return ground.own("timed", "saved"), ground.own("timed", "turns"), ground.own("timed", "moment")


def rate_of_return(ground: Ground, baseline: Ground, figures: Figures) -> None:
    """The measure and what it rests on; `figures`: the savings as they are, for the rates that the tool looks for."""
    saved, turns, moment = savings(ground)
    step = step_of(ground)
    found = rates(figures[saved], step)
    model, table = ground.model, ground.own("reasons", "economic_life_state").table
    told = found[0] if found else 0.0
    guess = model.given(table, "rate_found", "rate a step, found by the tool", "", [told], computed=FOUND)
    changes = model.column(table, "sign_changes", "changes of sign in what is saved", "", call("sum_of", turns))
    once = call("more_than", 1.5, changes) * call("more_than", changes, 0.5)
    label = "one rate from −99 % to 1,000 % a year (1)"
    single = model.column(table, "single", label, "", once * within(ground, table, saved, step))
    live = call("where", single, call("only_rate", saved, guess), guess)
    rate = model.column(table, "rate_step", "rate a step", "", live)
    model.column(table, "rate_a_year", "rate a year", "", growing(rate, 12.0 / step) - 1.0, percent=True)
    unlike(ground, (saved, moment), figures)
    label = "saves first and pays later (1)"
    model.column(table, "saves_first", label, "", borrows(ground, saved, once, len(found)))
    put(ground, named(baseline, [yearly(rate, step) for rate in found]))
    put(ground, borrowing_rate(baseline))


def borrows(ground: Ground, saved: Column, once: Node, found: int) -> Node:
    """1 where the one rate is that of a loan: savings end with what is paid or, where they change sign more than
    once, are worth more the higher the rate.
    """
    pays_last = once * call("more_than", 0.0, at(ground.model[f"{saved.table.name}.sign"], -1))
    if found != 1:
        return pays_last
    return pays_last + many(ground) * call("more_than", ground.own("reasons", "worth_highest"), ground.nothing())


def many(ground: Ground) -> Node:
    """1 where savings change sign more than once."""
    return call("more_than", ground.own("reasons", "sign_changes"), 1.5)


def borrowing_rate(baseline: Ground) -> Measure:
    """The rate of the loan that saving first and paying later amounts to: the lower the better."""

    rate, saves_first = (figure("reasons", name) for name in ("rate_a_year", "saves_first"))
    label = f"saving first and paying later costs a year{above_inflation(baseline)}"
    return Measure(
        "borrowing_rate", label, "", rate, percent=True,
        reasons=(
            itself(baseline),
            never_more("saved"),
            Reason(lambda g: 1.0 - saves_first(g), "none: it is no loan"),
            *not_told(),
        ),
    )  # fmt: skip


def not_told() -> tuple[Reason, ...]:
    """Why there may be no one rate to tell, whatever it would mean."""
    rate, changed, single = (figure("reasons", name) for name in ("rate_a_year", "changed", "single"))
    return (
        Reason(lambda g: many(g) * changed(g), NOT_KNOWN),
        Reason(lambda g: (1.0 - many(g)) * (1.0 - single(g)), NONE),
        Reason(lambda g: call("more_than", -0.999, rate(g)), NOT_KNOWN),  # the spreadsheet program found none
    )


def yearly_rates(ground: Ground, figures: Figures) -> list[float]:
    """All rates of return, effective a year, within the limits, in rising order."""
    step = step_of(ground)
    return [yearly(rate, step) for rate in rates(figures[savings(ground)[0]], step)]


def yearly(rate: float, step: float) -> float:
    """A rate a step of that many months, effective a year."""
    return math.expm1(math.log1p(rate) * 12 / step)


def within(ground: Ground, table: Table, saved: Column, step: float) -> Node:
    """1 where the worth of savings is of another sign at the lowest rate told than at the highest."""
    low, high = (
        ground.model.column(
            table, name, f"{saved.label}, worth at {word} a year", ground.money,
            call("present_worth", math.expm1(math.log1p(rate) * step / 12), saved),
        )
        for name, word, rate in (("worth_lowest", "−99 %", LOWEST), ("worth_highest", "1,000 %", HIGHEST))
    )  # fmt: skip
    nothing = ground.nothing()
    falls = call("more_than", low, nothing) * call("more_than", nothing, high)
    return falls + call("more_than", nothing, low) * call("more_than", high, nothing)


def unlike(ground: Ground, columns: tuple[Column, Column], figures: Figures) -> None:
    """1 where the savings are no longer those that the tool looked at: by their sum, and by their sum times month."""
    model, table = ground.model, ground.own("reasons", "rate_found").table
    flows, moments = (figures[column] for column in columns)
    horizon = Constant(float(ground.horizon), unit("month"))
    now = (call("sum_of", columns[0]), call("sum_product", *columns) / horizon)
    then = (float(flows.sum()), float((flows * moments).sum()) / ground.horizon)
    apart: Node = ground.nothing()
    for number, (live, value) in enumerate(zip(now, then, strict=True), start=1):
        label = f"savings as written ({number})"
        written = model.given(table, f"as_written_{number}", label, ground.money, [value], computed=FOUND)
        apart = call("larger", apart, size(ground, live - written))
    model.column(table, "changed", "savings changed since tco ran (1)", "", call("more_than", apart, near(ground)))


def named(baseline: Ground, found: Sequence[float]) -> Measure:
    """The internal rate of return, or why there is none to name."""

    rate, changes, saves_first = (figure("reasons", name) for name in ("rate_a_year", "sign_changes", "saves_first"))
    not_one = 0.0 if len(found) == 1 else 1.0
    return Measure(
        "rate_of_return", f"internal rate of return a year{above_inflation(baseline)}", "", rate, percent=True,
        reasons=(
            itself(baseline),
            never_more("saved"),
            Reason(lambda g: call("more_than", 0.5, changes(g)), "none: one sign throughout"),
            Reason(saves_first, "none: saves first, pays later"),
            *not_told(),
            Reason(lambda g: many(g) * not_one, told_of(found)),
        ),
    )  # fmt: skip


def told_of(found: Sequence[float]) -> str:
    """The rates in words, short enough for a cell."""
    if not found:
        return NONE
    first, last = f"{100 * found[0]:.2f} %", f"{100 * found[-1]:.2f} %"
    return f"several: {first} and {last}" if len(found) == 2 else f"several ({len(found)}): {first} to {last}"


def rates(flows: Array, step: float) -> list[float]:
    """All rates a step at which flows are worth nothing, within the limits, in rising order."""
    growth, worth = looked_at(step, flows.shape[-1])
    signs = np.where(total(flows * worth)[:, 0] >= 0, 1.0, -1.0)
    places = np.flatnonzero(signs[1:] != signs[:-1])
    if not places.size:
        return []
    low, high = growth[places], growth[places + 1]
    for _ in range(60):
        middle = (low + high) / 2
        same = np.where(sign_at(middle, flows) >= 0, 1.0, -1.0) == signs[places][:, None]
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    return [float(rate) for rate in np.expm1((low + high) / 2)[:, 0]]


@lru_cache(maxsize=1)
def looked_at(step: float, count: int) -> tuple[Array, Array]:
    """The growths a step at which the worth of savings is looked at, and what 1 is worth at each of so many steps."""
    growth = np.linspace(math.log1p(LOWEST), math.log1p(HIGHEST), POINTS)[:, None] * (step / 12)
    return growth, worths(growth, count)
