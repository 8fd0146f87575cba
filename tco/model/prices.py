"""Prices over the months: paths year by year, and what a kWh costs by each tariff."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import reduce

from tco.engine import Constant, Model, Node, call
from tco.model import calendar
from tco.model.ground import given_columns, growing
from tco.model.home_bill import bill_tables
from tco.model.periods import Times
from tco.model.tariff import billed
from tco.study import Study, Version
from tco.units import unit

FROM, VERSIONS = "from when on a tariff's price grows", "which tariff version holds in a month"
STEPS, FOLLOWS = (
    "between which years of a price path a month lies (horizon, growth step)",
    "which price path is followed",
)


def path_tables(model: Model, study: Study) -> None:
    """Each price path as given, and in the calendar what a price of 1 at the start has become by each month.

    Geometric between the years' ends, from 1 at the start; with yearly steps, a year's months have its index.
    """
    if not study.paths:
        return
    table, years = model.tables["calendar"], calendar.years_of(study.settings.horizon)
    whole_years = study.settings.growth_step == "year"
    begun = years if whole_years else [max(0, year - 1) for year in years]
    start = model.given(table, "path_start", "years gone on a path", "year", begun, computed=STEPS)
    before, after = (
        model.given(table, name, label, "year", [max(1, year) for year in found], computed=STEPS)
        for name, label, found in (("path_from", "year before on a path", begun), ("path_to", "year after", years))
    )
    one = Constant(1.0, unit("year"))
    way = model["calendar.grown_years"] - start / one
    for name, points in study.paths.items():
        given = model.table(f"path {name}", f"Price path: {name}", [f"year {point.year}" for point in points])
        ends = [12.0 * point.year for point in points]
        model.given(given, "month", "by the end of month", "month", ends, computed="the months of its years")
        given_columns(model, given, points, study.settings, months="month")
        low, high = (
            call("look_up", key, model[f"path {name}.year"], model[f"path {name}.index"]) for key in (before, after)
        )
        low = call("where", call("at_least", start, one), low, 1.0)
        model.column(table, f"path {name}", f"price level by {name}", "", low * growing(high / low - 1.0, way))


def tariff_tables(model: Model, times: Times) -> None:
    """Each tariff's versions, and in the calendar its price of a kWh."""
    study = times.study
    for name, versions in study.tariffs.items():
        tariff_table(model, study, name, versions)
        price_column(model, study, name, versions)
    bill_tables(model, times)


def tariff_table(model: Model, study: Study, name: str, versions: Sequence[Version]) -> None:
    """A tariff's versions: price, growth, and the month whose price each says.

    That is the start (0) for a version in force by then, else its first month.
    """
    table = model.table(f"tariff {name}", f"Tariff: {name}", [f"{v.start:%Y-%m}" for v in versions])
    growth_rule = model["settings.electricity_growth"]
    model.given(table, "version", "version", "", [float(number) for number in range(1, len(versions) + 1)])
    starts = [calendar.months_between(study.settings.start, v.start) for v in versions]
    begins = [start + 1 if start > 0 else 0 for start in starts]
    model.given(table, "begins", "price of month", "month", begins, computed=FROM)
    given_columns(
        model, table, [without_growth(version, last=version is versions[-1]) for version in versions], study.settings,
        follows={"growth": growth_rule}, months="begins",
    )  # fmt: skip
    years = [calendar.grown_years(month, study.settings.growth_step) for month in begins]
    model.given(table, "grown_before", "years grown by then", "", years, computed=FROM)


def without_growth(version: Version, *, last: bool) -> Version:
    """An empty growth means none for a superseded version, or beside a path; the last one's follows the study's."""
    follows = last and not version.path and version.growth is None
    return version if follows or version.growth is not None else replace(version, growth=0.0)


def price_column(model: Model, study: Study, name: str, versions: Sequence[Version]) -> None:
    """The price of a kWh in each month: that of the version in force, grown since the month whose price it says."""
    settings, table = study.settings, model.tables["calendar"]
    numbers = calendar.versions_of(settings, versions)
    version = model.given(table, f"version {name}", f"version of {name}", "", numbers, computed=VERSIONS)

    def of_version(column: str) -> Node:
        tariff = f"tariff {name}"
        return call("look_up", version, model[f"{tariff}.version"], model[f"{tariff}.{column}"])

    since = call("larger", model["calendar.grown_years"] - of_version("grown_before"), 0.0)
    grown = growing(of_version("growth"), since)
    paths = [along(model, name, path, numbers, versions) for path in sorted({v.path for v in versions} - {""})]
    if billed(study, name):
        level = reduce(lambda one, other: one * other, paths, grown)
        model.column(table, f"level {name}", f"level of what {name} charges", "", level)
        return
    price = reduce(lambda one, other: one * other, paths, of_version("price") * grown)
    model.column(table, f"price {name}", f"price per kWh, {name}", f"{settings.currency}/kWh", price)


def along(model: Model, tariff: str, path: str, numbers: Sequence[int], versions: Sequence[Version]) -> Node:
    """What a path makes of the price in the months whose version follows it: its level over that of the first."""
    table, level = model.tables["calendar"], model[f"calendar.path {path}"]
    on_it = [1.0 if versions[number - 1].path == path else 0.0 for number in numbers]
    label = f"{tariff} follows {path} (1)"
    flag = model.given(table, f"version {tariff} on {path}", label, "", on_it, computed=FOLLOWS)
    begins = model[f"tariff {tariff}.begins"].values
    assert begins is not None
    began = [float(begins[number - 1]) for number in numbers]
    key = model.given(
        table, f"version {tariff} on {path} from", "month in which its version began", "month", began, computed=FROM
    )
    return call("where", flag, level / call("look_up", key, model["calendar.month"], level), 1.0)
