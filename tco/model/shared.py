"""What all scenarios share: settings, the calendar with its true hours, resale curves; prices in prices.py."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from typing import Any

from tco.cell import Cell
from tco.engine import Constant, Model, Node, Table, call
from tco.model import calendar
from tco.model.calendar import MONTHS
from tco.model.ground import given_columns, growing
from tco.model.periods import Times
from tco.model.prices import path_tables, tariff_tables
from tco.model.supplies import efficiency_table
from tco.study import Part, ResalePoint, Settings, Study
from tco.units import unit

TIMED = "horizon and timing"
CHANGED = "start, horizon or time zone"
AGES = "which points of a resale curve lie around an age"


def shared_tables(model: Model, times: Times, settings: dict[str, Cell]) -> None:
    """All tables that do not belong to one scenario; `settings` are those that cost lines added."""
    study = times.study
    table = model.table("settings", "Settings", ["all scenarios"])
    given_columns(model, table, [study.settings], study.settings, extra=settings)
    if study.needs is not None and any(study.needs.places):
        needs = model.table("needs", "What every scenario must deliver", ["every scenario"])
        given_columns(model, needs, [study.needs], study.settings)
    if sites := study.sites:
        given_columns(model, model.table("sites", "Sites", [site.site for site in sites]), sites, study.settings)
    calendar_table(model, study)
    path_tables(model, study)
    tariff_tables(model, times)
    efficiency_table(model, study)
    if study.resale:
        resale_tables(model, study)


def calendar_table(model: Model, study: Study) -> None:
    """Months 0..horizon: year, true hours, discount factors, how far prices have grown, data held."""
    settings = study.settings
    names = calendar.month_names(settings.start, settings.horizon)
    table = model.table("calendar", "Calendar", names, axis=MONTHS)
    month = model.given(table, "month", "month", "month", range(settings.horizon + 1))
    model.given(table, "year", "year", "year", calendar.years_of(settings.horizon))
    hours = calendar.hours_of(settings.start, settings.horizon, settings.time_zone)
    model.given(table, "hours", "hours of the month", "h", hours, computed=f"true hours of each month ({CHANGED})")
    discount_factors(model, table, settings)
    years = in_years(month)
    by_year = model["calendar.year"] / Constant(1.0, unit("year"))
    label = "years that prices have grown"
    grown = model.column(table, "grown_years", label, "", years if settings.growth_step == "month" else by_year)
    other = growing(model["settings.other_growth"], grown)
    model.column(table, "other_level", "growth of other prices so far", "", other)
    held = model["settings.data_held"] * growing(model["settings.data_growth"], years)
    added = model["settings.data_added"] * (month * Constant(1 / 12, unit("year/month")))
    model.column(table, "data_held", "data held", "TB", held + added)


def in_years(month: Any) -> Node:
    """Months as years, a plain number: the exponent of what goes by the year."""
    return month / Constant(12.0, unit("month"))  # type: ignore[no-any-return]


def discount_factors(model: Model, table: Table, settings: Settings) -> None:
    """What a payment in each month is worth at the start: dated ones at its end, recurring ones by the timing.

    Where a year's recurring costs count together, also as if the study ended with the month: for selling early.
    """
    discount, horizon, timing = model["settings.discount"], settings.horizon, settings.timing
    factor = 1.0 / growing(discount, in_years(model["calendar.month"]))
    model.column(table, "discount_factor", "discount factor", "", factor)
    told = f"when recurring costs count ({TIMED})"
    moments = calendar.moments_of(horizon, timing)
    moment = model.given(table, "moment", "when recurring costs count", "month", moments, computed=told)
    recurring = 1.0 / growing(discount, in_years(moment))
    model.column(table, "recurring_factor", "discount factor, recurring costs", "", recurring)
    if timing != "month-end":
        began = [float(12 * max(0, year - 1)) for year in calendar.years_of(horizon)]
        model.given(table, "year_began", "month after which the year begins", "month", began, computed=told)
        ends = [calendar.moments_of(month, timing)[-1] for month in range(horizon + 1)]
        end = model.given(table, "end_moment", "when they count if it ends here", "month", ends, computed=told)
        label = "discount factor, recurring costs, if it ends here"
        model.column(table, "end_factor", label, "", 1.0 / growing(discount, in_years(end)))


def resale_tables(model: Model, study: Study) -> None:
    """Resale curves as given, and month by month: geometric between points, falling on at the last ratio beyond."""
    points = [point for curve in study.resale.values() for point in curve]
    table = model.table("resale", "Resale curves", [f"{p.curve}, {p.age} months" for p in points])
    number = model.given(table, "point", "point", "", range(1, len(points) + 1))
    given_columns(model, table, points, study.settings)
    share = model["resale.share"]
    steps = resale_steps(study)
    table = model.table("ages", "Resale by month of age", [f"{name}, {age} months" for name, age in steps])
    model.given(table, "key", "key", "", [float(key) for key in range(len(steps))], computed=AGES)
    lower, upper, way = (
        model.given(table, word, word, "", values, computed=AGES)
        for word, values in zip(
            ("point before", "point after", "part of the way"), zip(*steps.values(), strict=True), strict=True
        )
    )
    before, after = (call("look_up", key, number, share) for key in (lower, upper))
    fallen = before * growing(after / before - 1.0, way)
    model.column(table, "share", "share of the base", "", call("where", call("more_than", before, 0.0), fallen, 0.0))


def resale_steps(study: Study) -> dict[tuple[str, int], tuple[float, float, float]]:
    """(curve, age) -> the points before and after it (counted from 1 over all curves), and how far between them."""
    steps: dict[tuple[str, int], tuple[float, float, float]] = {}
    first = 1
    for name, points in study.resale.items():
        for age in range(ages_of(study)):
            lower, upper, way = between(points, age)
            steps[name, age] = (first + lower, first + upper, way)
        first += len(points)
    return steps


def between(points: Sequence[ResalePoint], age: int) -> tuple[int, int, float]:
    """The two points around an age, and how far between them it lies; beyond the last, more than the whole way."""
    starts = [point.age for point in points]
    lower = bisect_right(starts, age) - 1
    if starts[lower] == age:
        return lower, lower, 0.0
    lower = min(lower, len(points) - 2)
    return lower, lower + 1, (age - starts[lower]) / (starts[lower + 1] - starts[lower])


def resale_key(study: Study, curve: str, age: int) -> float:
    """The key under which the table of ages has a curve at an age."""
    return float(list(study.resale).index(curve) * ages_of(study) + age)


def is_new(part: Part) -> bool:
    """Whether a part is bought, and bought new."""
    return part.price > 0 and not part.age


def ages_of(study: Study) -> int:
    """How many months of age a resale curve needs: from new to the oldest part at the end."""
    oldest = max((part.age for scenario in study.scenarios for part in scenario.parts), default=0)
    return oldest + study.settings.horizon + 1
