"""What all scenarios share: settings, the calendar with its true hours, tariffs and resale curves."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from tco.cell import Cell
from tco.engine import Constant, Model, Table, call
from tco.model import calendar
from tco.model.calendar import MONTHS
from tco.model.ground import given_columns, growing
from tco.study import ResalePoint, Study, Version
from tco.units import unit

TIMED = "horizon and timing"
CHANGED = "start, horizon or time zone"
AGES = "which points of a resale curve lie around an age"


def shared_tables(model: Model, study: Study, settings: dict[str, Cell]) -> None:
    """All tables that do not belong to one scenario; `settings` are those that cost lines added."""
    table = model.table("settings", "Settings", ["all scenarios"])
    given_columns(model, table, [study.settings], study.settings.currency, extra=settings)
    for name, versions in study.tariffs.items():
        tariff_table(model, study, name, versions)
    calendar_table(model, study)
    if study.resale:
        resale_tables(model, study)


def tariff_table(model: Model, study: Study, name: str, versions: Sequence[Version]) -> None:
    """A tariff's versions: price, growth, and the month from which each counts."""
    money = study.settings.currency
    table = model.table(f"tariff {name}", f"Tariff: {name}", [f"{v.start:%Y-%m}" for v in versions])
    growth_rule = model["settings.electricity_growth"]
    numbers = [float(number) for number in range(1, len(versions) + 1)]
    model.given(table, "version", "version", "", numbers)
    given_columns(
        model, table, [without_growth(version, last=version is versions[-1]) for version in versions], money,
        follows={"growth": growth_rule},
    )  # fmt: skip
    months = [max(0, calendar.months_between(study.settings.start, v.start)) for v in versions]
    model.given(
        table, "grown_before", "years grown by then", "",
        [calendar.grown_years(month, study.settings.growth_step) for month in months],
        computed="from when on a tariff's price grows",
    )  # fmt: skip


def without_growth(version: Version, *, last: bool) -> Version:
    """An empty growth means none for a superseded version; the last one's follows the study's."""
    return version if last or version.growth is not None else replace(version, growth=0.0)


def calendar_table(model: Model, study: Study) -> None:
    """Months 0..horizon: year, true hours, discount factor, data held, and each tariff's price of a kWh."""
    settings = study.settings
    names = calendar.month_names(settings.start, settings.horizon)
    table = model.table("calendar", "Calendar", names, axis=MONTHS)
    month = model.given(table, "month", "month", "month", range(settings.horizon + 1))
    model.given(table, "year", "year", "year", calendar.years_of(settings.horizon))
    hours = calendar.hours_of(settings.start, settings.horizon, settings.time_zone)
    model.given(table, "hours", "hours of the month", "h", hours, computed=f"true hours of each month ({CHANGED})")
    years = month / Constant(12.0, unit("month"))
    discount = model["settings.discount"]
    model.column(table, "discount_factor", "discount factor", "", 1.0 / growing(discount, years))
    moments = calendar.moments_of(settings.horizon, settings.timing)
    told = f"when recurring costs count ({TIMED})"
    moment = model.given(table, "moment", "when recurring costs count", "month", moments, computed=told)
    recurring = 1.0 / growing(discount, moment / Constant(12.0, unit("month")))
    model.column(table, "recurring_factor", "discount factor, recurring costs", "", recurring)
    by_year = model["calendar.year"] / Constant(1.0, unit("year"))
    label = "years that prices have grown"
    model.column(table, "grown_years", label, "", years if settings.growth_step == "month" else by_year)
    held = model["settings.data_held"] * growing(model["settings.data_growth"], years)
    added = model["settings.data_added"] * (month * Constant(1 / 12, unit("year/month")))
    model.column(table, "data_held", "data held", "TB", held + added)
    for name, versions in study.tariffs.items():
        price_column(model, table, study, name, versions)


def price_column(model: Model, table: Table, study: Study, name: str, versions: Sequence[Version]) -> None:
    """The price of a kWh in each month: that of the version in force, grown since that version began."""
    settings = study.settings
    starts = [calendar.months_between(settings.start, version.start) for version in versions]
    numbers = [max(1, bisect_right(starts, max(0, t - 1))) for t in range(settings.horizon + 1)]
    version = model.given(
        table, f"version {name}", f"version of {name}", "", numbers,
        computed="which tariff version holds in a month",
    )  # fmt: skip

    def of_version(column: str) -> Any:
        tariff = f"tariff {name}"
        return call("look_up", version, model[f"{tariff}.version"], model[f"{tariff}.{column}"])

    since = call("larger", model["calendar.grown_years"] - of_version("grown_before"), 0.0)
    grown = growing(of_version("growth"), since)
    money = f"{settings.currency}/kWh"
    model.column(table, f"price {name}", f"price per kWh, {name}", money, of_version("price") * grown)


def resale_tables(model: Model, study: Study) -> None:
    """Resale curves as given, and month by month: geometric between points, falling on at the last ratio beyond."""
    points = [point for curve in study.resale.values() for point in curve]
    table = model.table("resale", "Resale curves", [f"{p.curve}, {p.age} months" for p in points])
    number = model.given(table, "point", "point", "", range(1, len(points) + 1))
    given_columns(model, table, points, study.settings.currency)
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


def ages_of(study: Study) -> int:
    """How many months of age a resale curve needs: from new to the oldest part at the end."""
    oldest = max((part.age for scenario in study.scenarios for part in scenario.parts), default=0)
    return oldest + study.settings.horizon + 1
