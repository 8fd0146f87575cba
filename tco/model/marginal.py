"""What a build adds to the home's bill, by month: the bill with it less the bill without, and solar power not sold.

A scenario's own kWh are split over a tariff's periods by its load: constant, by a shape, or by a metered log.
"""

from __future__ import annotations

import numpy as np

from tco.engine import Column, Constant, Node, Table, added, at
from tco.engine.nodes import as_node, plain
from tco.model.bills import Payer, bill, energy_of, of_version, unit_price
from tco.model.calendar import MONTHS, month_names
from tco.model.ground import Ground
from tco.model.home_bill import of_home
from tco.model.periods import Times
from tco.model.power import SHAPED, drawn_power, has_logs, loaded, through_ups, times, week_of
from tco.model.tariff import Tariff, billed
from tco.units import unit

LOADED = "how the load is spread over periods (start, horizon, time zone, hours, holidays, shapes, logs)"


def shape_columns(ground: Ground) -> None:
    """How busy a scenario with a load shape is, by month and on average."""
    if not (shape := ground.scenario.busy_shape):
        return
    found = ground.times
    hours, busy = found.by_month(), found.by_month(found.shaped(shape))
    share = np.divide(busy, hours, out=np.zeros_like(busy), where=hours > 0)
    model, inputs = ground.model, ground.own("inputs", "busy_share").table
    model.given(ground.months, "busy_share", "share of the time in which it is busy", "", share, computed=SHAPED)
    mean = busy.sum() / hours.sum()
    label = "share of the time in which it is busy, by its shape"
    model.given(inputs, "mean_share", label, "", [mean], computed=SHAPED, percent=True)


def bill_of(ground: Ground) -> None:
    """The home's bill with the build, what that adds, and its price per kWh; nothing where one price is enough."""
    if not has_bill(ground):
        return
    tariff, model = Tariff(ground.study, ground.scenario.tariff), ground.model
    rows = month_names(ground.study.settings.start, ground.horizon)
    table = ground.table("bill", f"The home with {ground.scenario.scenario}", rows, axis=MONTHS)
    own_columns(ground, table, tariff)
    with_home(ground, table, tariff)
    peak = peak_with(ground, table)
    payer = Payer(model, tariff, table, energy_of(model, tariff, table), peak, said=", with the build")
    whole = bill(payer)
    added_cost = whole - model[f"{tariff.home}.bill"]
    model.column(table, "difference", "what the build adds to the bill", ground.money, added_cost)
    energy, drawn = ground.own("bill", "energy"), at_grid(ground) * ground.month("energy")
    unit_price(model, table, "average_price", "average price per kWh, home with the build", whole, energy)
    own = ground.own("bill", "difference")
    unit_price(model, table, "marginal_price", "price of the build's kWh from the grid", own, drawn)
    if ground.scenario.solar_share is not None:
        covered = ground.own("inputs", "solar_share") * ground.month("energy")
        lost = covered * payer.level * of_version(payer, "export")
        model.column(table, "not_sold", "own solar power not sold", ground.money, lost)


def has_bill(ground: Ground) -> bool:
    """Whether a scenario's electricity is the difference of two bills."""
    return billed(ground.study, ground.scenario.tariff)


def energies(tariff: Tariff) -> list[tuple[str, str]]:
    """The tail of a column's name and the words for all hours and for each period."""
    return [(tail, f", {period}" if period else "") for period, tail in tariff.tails.items()]


def with_home(ground: Ground, table: Table, tariff: Tariff) -> None:
    """The kWh of home and build together, by period: the home's, and what the build takes from the grid."""
    for tail, words in energies(tariff):
        home, own = ground.model[f"{tariff.home}.energy{tail}"], own_energy(ground, tail)
        together = home + at_grid(ground) * own
        ground.model.column(table, f"energy{tail}", f"kWh, home with the build{words}", "kWh", together)


def own_energy(ground: Ground, tail: str) -> Column:
    """The build's own kWh, all or in one period."""
    return ground.own("bill", f"own{tail}") if tail else ground.month("energy")


def at_grid(ground: Ground) -> Node:
    """The share of the build's kWh that comes from the grid."""
    return plain(1.0) if ground.scenario.solar_share is None else 1.0 - ground.own("inputs", "solar_share")


def own_columns(ground: Ground, table: Table, tariff: Tariff) -> None:
    """The build's own kWh in each period that is charged apart."""
    if not tariff.periods:
        return
    found, shape = ground.times, ground.scenario.busy_shape
    busy = found.by_period(tariff.name, found.shaped(shape)) if shape else None
    log_columns(ground, table, tariff, found)
    for number, period in enumerate(tariff.periods, start=1):
        hours = ground.model[f"{tariff.home}.hours {number}"]
        energy = steady_power(ground) * hours
        if busy is not None:
            name, label = f"busy {number}", f"busy hours, {period}"
            values = busy[:, found.periods(tariff.name).index(period)]
            shaped = ground.model.given(table, name, label, "h", values, computed=LOADED)
            energy = ground.month("power_idle") * hours + ground.month("power_more") * shaped
        if has_logs(ground.scenario):
            energy = energy + logged_energy(ground, number)
        ground.model.column(table, f"own {number}", f"kWh, build, {period}", "kWh", energy)


def steady_power(ground: Ground) -> Node:
    """Average power of what no log speaks of."""
    watts = as_node(ground.month("power"))
    return watts - drawn_power(ground, "power_logged") if has_logs(ground.scenario) else watts


def log_columns(ground: Ground, table: Table, tariff: Tariff, found: Times) -> None:
    """For each logged node the hours of each period at its average power, while it is there: its profile in hours."""
    groups, hours = found.periods(tariff.name), found.by_month()[:, None]
    for row, node in enumerate(ground.scenario.nodes):
        if not (week := week_of(ground, node)):
            continue
        profile = found.by_period(tariff.name, found.weekly(week))
        whole = profile.sum(axis=1, keepdims=True)
        spread = np.divide(profile * hours, whole, out=np.zeros_like(profile), where=whole > 0)
        bought, leaves = times(ground, node)
        months = np.arange(ground.horizon + 1)
        there = (bought < months) & (months <= leaves)
        for number, period in enumerate(tariff.periods, start=1):
            label = f"hours of {node.node} at its average power, {period}"
            values = np.where(there, spread[:, groups.index(period)], 0.0)
            ground.model.given(table, f"log {row} {number}", label, "h", values, computed=LOADED)


def logged_energy(ground: Ground, number: int) -> Node:
    """What logged nodes draw in a period."""
    rows = [row for row, node in enumerate(ground.scenario.nodes) if node.log]
    watts = ground.own("nodes", "power_logged")
    drawn = [through_ups(ground, at(watts, row) * ground.own("bill", f"log {row} {number}")) for row in rows]
    return loaded(ground, added(drawn))


def peak_with(ground: Ground, table: Table) -> Node | None:
    """The month's highest power with the build: the home's, and all of the build busy at once [kW]."""
    if "home.peak" not in ground.model.columns:
        return None
    kilo = Constant(0.001, unit("kW/W"))
    most = of_home(ground.model, "peak") + drawn_power(ground, "power_busy") * kilo
    return as_node(ground.model.column(table, "peak", "highest power with the build", "kW", most))
