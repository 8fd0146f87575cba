"""The home's own electricity bill, without the build, and the tables that every bill needs: charges, hours, keys."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from tco.engine import Constant, Model, Node, Table, call
from tco.engine.nodes import as_node
from tco.model import calendar
from tco.model.bills import Payer, bill, energy_of, unit_price
from tco.model.calendar import MONTHS
from tco.model.ground import given_columns
from tco.model.periods import Times, versions_by_month
from tco.model.tariff import APART, Tariff, billed
from tco.study import Row, Study
from tco.units import unit

BLOCKS = "which rows of charges.csv belong together"
HOURS = "hours of each period (start, horizon, time zone, hours, holidays)"
HOME = "how the home's use is spread over months and periods (start, horizon, time zone, shapes)"
HELD = "which tariff version holds in a month"


def bill_tables(model: Model, times: Times) -> None:
    """The charges of each tariff, and the home's own bill under it."""
    study = times.study
    tariffs = [Tariff(study, name) for name in study.tariffs if billed(study, name)]
    if not tariffs:
        return
    settings, table = study.settings, model.tables["calendar"]
    days = calendar.days_of(settings.start, settings.horizon)
    model.given(table, "days", "days of the month", "d", days, computed="days of each month (start, horizon)")
    month = [min(1.0, day) for day in days]
    model.given(table, "billed", "months billed", "month", month, computed="which months are billed (horizon)")
    if study.home:
        home_use(model, times)
    timed_tables(model, study)
    for tariff in tariffs:
        charge_table(model, tariff)
        home_bill(model, tariff, times)


def timed_tables(model: Model, study: Study) -> None:
    """Hours, holidays and load shapes as given: no formula uses them, but a change of them is seen."""
    named: dict[str, tuple[str, Sequence[Row]]] = {}
    named |= {f"hours {name}": (f"Hours: {name}", rows) for name, rows in study.hours.items()}
    named |= {f"shape {name}": (f"Load shape: {name}", rows) for name, rows in study.shapes.items()}
    named |= {"holidays": ("Holidays", study.holidays)} if study.holidays else {}
    for name, (label, rows) in named.items():
        table = model.table(name, label, [row_name(row, number) for number, row in enumerate(rows, start=1)])
        given_columns(model, table, rows, study.settings)


def row_name(row: Row, number: int) -> str:
    """What names a row of hours, shapes or holidays."""
    return str(getattr(row, "period", "") or getattr(row, "day", "") or f"row {number}")


def charge_table(model: Model, tariff: Tariff) -> None:
    """A tariff's charges as given, and the rise of price at the start of each block."""
    if not (rows := tariff.rows):
        return
    labels = [f"{row.start:%Y-%m} {row.charge}" + (f" above {row.above:g} kWh" if row.above else "") for row in rows]
    table = model.table(f"charges {tariff.name}", f"Tariff: {tariff.name}, its charges", labels)
    given_columns(model, table, rows, tariff.study.settings, empty={"kWh_share": 1.0})
    keys = [tariff.key(row) for row in rows]
    model.given(table, "key", "key", "", keys, computed=BLOCKS)
    if any(row.price is not None for row in rows):
        goes_on = [0.0, *(float(one == other) for one, other in pairwise(keys))]
        flag = model.given(table, "goes_on", "goes on from the block before (1)", "", goes_on, computed=BLOCKS)
        price = model[f"charges {tariff.name}.price"]
        rise = price - call("where", flag, call("previous", price, price), price - price)
        share = model.columns.get(f"charges {tariff.name}.kWh_share")
        money = tariff.study.settings.currency
        model.column(table, "rise", "rise of price", f"{money}/kWh", rise if share is None else share * rise)


def home_use(model: Model, times: Times) -> None:
    """What the home draws without the build, as given."""
    study, rows = times.study, times.study.home
    names = ["a year" if row.month is None else f"month {row.month}" for row in rows]
    table = model.table("home", "The home's own use, without the build", names)
    given_columns(model, table, rows, study.settings)
    model.given(table, "key", "key", "", [float(row.month or 0) for row in rows], computed=HOME)
    start, horizon = study.settings.start, study.settings.horizon
    yearly = any(row.month is None for row in rows)
    key = [0.0 if yearly else float(calendar.month_after(start, max(0, t - 1)).month) for t in range(horizon + 1)]
    calendar_table = model.tables["calendar"]
    model.given(calendar_table, "home_key", "row of the home's use", "", key, computed=HOME)
    shares = times.shares_of_year() if yearly else [min(1.0, t) for t in range(horizon + 1)]
    model.given(calendar_table, "home_share", "share of the home's use", "", shares, computed=HOME)


def home_bill(model: Model, tariff: Tariff, times: Times) -> None:
    """What the home draws and pays without the build, by month."""
    study = tariff.study
    rows = calendar.month_names(study.settings.start, study.settings.horizon)
    table = model.table(tariff.home, f"The home without the build, on {tariff.name}", rows, axis=MONTHS)
    key_columns(model, tariff, table)
    period_columns(model, tariff, table, times)
    nothing: Node = Constant(0.0, unit("kWh"))
    used = of_home(model, "use") * model["calendar.home_share"] if study.home else nothing
    model.column(table, "energy", "kWh, home", "kWh", used)
    for number, period in enumerate(tariff.periods, start=1):
        used = model[f"{tariff.home}.energy"] * model[f"{tariff.home}.part {number}"]
        model.column(table, f"energy {number}", f"kWh, home, {period}", "kWh", used)
    peak = of_home(model, "peak") if "home.peak" in model.columns else None
    if peak is not None:
        peak = as_node(model.column(table, "peak", "highest power, home", "kW", peak))
    whole = bill(Payer(model, tariff, table, energy_of(model, tariff, table), peak, said=", home"))
    unit_price(model, table, "average_price", "average price per kWh, home", whole, model[f"{tariff.home}.energy"])


def of_home(model: Model, name: str) -> Node:
    """What home.csv says of each month."""
    return call("look_up", model["calendar.home_key"], model["home.key"], model[f"home.{name}"])


def key_columns(model: Model, tariff: Tariff, table: Table) -> None:
    """By which keys a month's charges are found, whether it has a minimum, and what its blocks count by."""
    held = versions_by_month(tariff.study, tariff.versions)
    for number, (charge, period) in enumerate(tariff.pairs):
        label = f"key of {charge}" + (f", {period}" if period else "")
        model.given(table, f"key {number}", label, "", APART * (held + 1) + number, computed=HELD)
    if any(version.minimum is not None for version in tariff.versions):
        flags = [float(tariff.versions[version].minimum is not None) for version in held]
        model.given(table, "has_minimum", "has a minimum (1)", "", flags, computed=HELD)
    if any(version.blocks == "day" for version in tariff.versions):
        days = calendar.days_of(tariff.study.settings.start, tariff.study.settings.horizon)
        by_day = [tariff.versions[version].blocks == "day" for version in held]
        counts = [max(1.0, day) if flag else 1.0 for day, flag in zip(days, by_day, strict=True)]
        model.given(table, "block_count", "days or month that blocks count by", "", counts, computed=HELD)
    options = {row.charge: None for row in tariff.rows if len(tariff.bases(row.charge)) > 1}
    for charge in options:
        choice = [float(tariff.base_number(charge, int(version))) for version in held]
        name = f"base {tariff.number(charge)}"
        model.given(table, name, f"what {charge} is of (number)", "", choice, computed=HELD)


def period_columns(model: Model, tariff: Tariff, table: Table, times: Times) -> None:
    """Hours of each month in each period that is charged apart, and the part of the home's use that falls into it."""
    if not tariff.periods:
        return
    hours = times.by_period(tariff.name)
    home = times.by_period(tariff.name, times.home()) if tariff.study.home else hours
    whole = home.sum(axis=1)
    for number, period in enumerate(tariff.periods, start=1):
        place = times.periods(tariff.name).index(period)
        model.given(table, f"hours {number}", f"hours, {period}", "h", hours[:, place], computed=HOURS)
        part = [one / all_of_it if all_of_it else 0.0 for one, all_of_it in zip(home[:, place], whole, strict=True)]
        model.given(table, f"part {number}", f"part of the home's use, {period}", "", part, computed=HOME)
