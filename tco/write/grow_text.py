"""What `tco grow` prints: the answer, what is bought when, what each way comes to, what is paid by year."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from tco.ask.grow import Growth, Way
from tco.ask.grow_figures import above, cash_by_year, data, left_over, measure, month_name, paid, years
from tco.ask.grow_turns import Step
from tco.write.chance_words import TYPED
from tco.write.fixed import digits_of, percent
from tco.write.grow_words import answers, name_of, notes
from tco.write.lines import FIGURE, POWERS, all_wrapped, page, table, wrapped
from tco.write.summary import kept_for

BOUGHT = ("month", "paid", "held TB", "room TB", "then TB", "full")
WAYS = ("at start", "in all", "a month", "above", "by TB", "left TB")
NONE = "-"  # where a figure is not known


def grown_text(found: Growth, files: Iterable[Path]) -> str:
    """The whole of what is printed."""
    schedules = [schedule(found, plan) for plan in range(len(found.plans))]
    told = all_wrapped(f"- {note}" for note in notes(found, TYPED))
    parts = [*schedules, ways(found), cash(found), told]
    return page(found.comparison.study.settings.question, answers(found, TYPED), parts, files)


def power_of(found: Growth) -> int:
    """By how many thousands amounts are divided to fit the tables."""
    amounts = [abs(measure(found, way, name)) for way in found.ways for name in ("lcc", "paid_at_start")]
    amounts += [abs(value) for way in found.ways for value in cash_by_year(found, way)]
    return next(power for power in range(9) if len(TYPED.amount(-max(amounts) / 1000.0**power)) < FIGURE)


def scaled(found: Growth) -> tuple[float, str]:
    """By what amounts are divided, and what that makes of the study's money."""
    power = power_of(found)
    return 1000.0**power, f"{POWERS[power]}{found.comparison.study.settings.currency}"


def schedule(found: Growth, plan: int) -> list[str]:
    """What is bought when; nothing where nothing is."""
    steps = found.plans[plan].steps
    if not steps:
        return []
    scale, money = scaled(found)
    held = data(found)
    rows = [(step.bought.called, bought(found, plan, step, held[step.of_use], scale)) for step in steps]
    told = "month: at whose end it is bought; held, room, then: in the first month with it, without and with it"
    return [*table(f"{name_of(found, plan)}, {money}", BOUGHT, rows), "", *wrapped(told)]


def bought(found: Growth, plan: int, step: Step, held: float, scale: float) -> list[str]:
    """One purchase."""
    month = "start" if not step.bought.month else month_name(found, step.bought.month)
    room = [TYPED.amount(value, 1) for value in (held, step.room_before, step.room_after)]
    full = percent(held / step.room_after) if step.room_after else NONE
    return [month, TYPED.amount(paid(found, plan, step) / scale), *room, full]


def ways(found: Growth) -> list[str]:
    """What each way comes to."""
    scale, money = scaled(found)
    smallest = 2 if scale > 1 else digits_of(found.comparison.study.settings.currency)
    rows = [(way.name, way_row(found, way, scale, smallest)) for way in found.ways]
    told = (
        "at start: paid in month 0; in all: everything, at its worth at the start; a month: the same, spread evenly; "
        "above: months in which the data are more than the room, and by how much at worst; left: room that is not "
        "used at the end"
    )
    return [*table(money, WAYS, rows), "", *wrapped(told, hang="")]


def way_row(found: Growth, way: Way, scale: float, smallest: int) -> list[str]:
    """One way."""
    costs = [TYPED.amount(measure(found, way, name) / scale) for name in ("paid_at_start", "lcc")]
    month = TYPED.amount(measure(found, way, "equivalent_month") / scale, smallest)
    months, left = above(found, way), left_over(found, way)
    over = [NONE, NONE] if months is None else [str(months.months), TYPED.amount(months.most, 1)]
    return [*costs, month, *over, NONE if left is None else TYPED.amount(left, 1)]


def cash(found: Growth) -> list[str]:
    """What is paid in each year."""
    scale, money = scaled(found)
    rows = [(way.name, [TYPED.amount(value / scale) for value in cash_by_year(found, way)]) for way in found.ways]
    kept = kept_for(found.comparison.study.settings.horizon)
    told = f"what changes hands in each of {kept}, undiscounted; resale at the end is income"
    return [*table(f"paid, {money}", short_years(years(found)), rows), "", *wrapped(told)]


def short_years(names: Sequence[str]) -> list[str]:
    """`start`, `year 1`; how many months a last year has is left out."""
    return [name.split(" (")[0] for name in names]
