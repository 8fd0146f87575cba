"""Bills again, quarter of an hour by quarter of an hour: what tests hold the model's electricity against.

Only the inputs and the price levels of plain.py are shared with what is tested.
"""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import cache
from itertools import pairwise

from tco.study import Charge, EfficiencyPoint, HomeUse, Log, Part, Period, Scenario, ShapePoint, Study, Version
from tests.model.plain import Months, Plain, measured_watts, own_watts
from tests.model.plain_clock import HOURS, Calendar, Quarter, hours_in, quarters_of

Use = dict[str, float]  # period -> kWh; the period `all` where a version has no hours
ALL = "all"


@dataclass(frozen=True)
class Bill:
    """A month's bill. charges: by name, in the study's order; minimum: what is added to come to it."""

    charges: Mapping[str, float]
    minimum: float
    total: float


def bill(version: Version, charges: Sequence[Charge], use: Use, peak: float, level: float, days: int) -> Bill:
    """What a version of a tariff bills for a month's use [kWh], highest power [kW] and days.

    charges: its rows. level: what 1 in its money has become. A version with a price alone has one charge.
    """
    names = list(dict.fromkeys(row.charge for row in charges))
    rows = {name: [row for row in charges if row.charge == name] for name in names}
    found = {
        name: level * amount(version, rows[name], use, peak, days) for name in names if rows[name][0].percent is None
    }
    if version.price is not None:
        found["price"] = version.price * level * sum(use.values())
    due = sum(found.values())
    least = due if version.minimum is None else max(due, version.minimum * level)
    for name in names:
        share = rows[name][0].percent
        if share is not None:
            named = rows[name][0].of
            found[name] = share * (sum(found[one] for one in named) if named else least)
    taxes = sum(value for name, value in found.items() if name in rows and rows[name][0].percent is not None)
    return Bill(found, least - due, least + taxes)


def amount(version: Version, rows: Sequence[Charge], use: Use, peak: float, days: int) -> float:
    """One charge that is no percentage, at the level 1."""
    first = rows[0]
    if first.fixed is not None:
        return first.fixed
    if first.fixed_day is not None:
        return first.fixed_day * days
    if first.capacity is not None:
        return first.capacity * peak
    kwh = use[first.period] if first.period else sum(use.values())
    return (1.0 if first.kWh_share is None else first.kWh_share) * in_blocks(version, rows, kwh, days)


def in_blocks(version: Version, rows: Sequence[Charge], kwh: float, days: int) -> float:
    """Each block's kWh at its own price: filled from the first on."""
    times = days if version.blocks == "day" else 1
    total, rows = 0.0, sorted(rows, key=lambda row: row.above)
    for number, row in enumerate(rows):
        ends = times * rows[number + 1].above if number + 1 < len(rows) else float("inf")
        begins = times * row.above
        assert row.price is not None
        total += row.price * max(0.0, min(kwh, ends) - begins)
    return total


class Billed(Plain):
    """One scenario's lines, its electricity by bills."""

    def __init__(self, study: Study, scenario: Scenario) -> None:
        super().__init__(study, scenario)
        where = self.settings
        self.quarters = quarters_of(where.start, where.horizon, where.time_zone)
        for name in (
            "two_powers",
            "shape",
            "periods",
            "build_kwh",
            "home_kwh",
            "parts_of_year",
            "bills",
        ):  # asked for again and again
            setattr(self, name, cache(getattr(self, name)))

    def lines(self) -> dict[str, Months]:
        """All lines, that of waste heat among them."""
        return super().lines() | {"heat": [0.0, *(self.heat(month) for month in range(1, self.horizon + 1))]}

    # Power

    def drawn(self, month: int, *, busy: bool) -> float:
        """Watts of all that is there and has no log, idle or all busy at once: at the plug, or at the UPS's own."""
        watts = sum(node.count * measured_watts(node, busy=busy) for node in self.measured(month))
        for part in self.counted(month):
            own = part.quantity * own_watts(part, busy=busy)
            watts += own / self.supply_efficiency(part.node, busy=busy) if part.watts_at == "supply" and own else own
        return watts / (self.scenario.ups_efficiency or 1.0)

    def supply_efficiency(self, node: str, *, busy: bool) -> float:
        """The efficiency of a group of nodes' supplies at the load of all parts behind them: all there together."""
        own = [part for part in self.scenario.parts if part.node == node and part.quantity]
        behind = sum(part.quantity * own_watts(part, busy=busy) for part in own if part.watts_at == "supply")
        rating = sum(part.quantity * rated(part) for part in own if part.efficiency)
        curve = next(self.study.efficiency[part.efficiency] for part in own if part.efficiency)
        return straight(curve, behind / rating)

    def power(self, month: int, quarter: Quarter) -> float:
        """Average watts in a quarter of an hour, without logged nodes."""
        idle, busy = self.two_powers(month)
        shape = self.shape(self.scenario.busy_shape)
        return idle + (shape.at(quarter.local).share if shape else self.scenario.busy_share) * (busy - idle)

    def logs(self, month: int) -> list[tuple[int, Log]]:
        """How many nodes follow which metered log in a month."""
        return [(node.count, self.study.logs[node.log]) for node in self.measured(month) if node.log]

    def logged_kwh(self, month: int, by_period: dict[str, list[Quarter]]) -> Use:
        """What logged nodes draw: their average week's power through the month, over its periods in proportion."""
        found = dict.fromkeys(by_period, 0.0)
        for count, log in self.logs(month):
            kwh = (
                count
                * average_week(log)
                * len(self.quarters[month])
                * HOURS
                / 1000
                / (self.scenario.ups_efficiency or 1)
            )
            weights = {name: sum(at_hour(log, one.local) for one in some) for name, some in by_period.items()}
            for name, weight in weights.items():
                found[name] += kwh * weight / sum(weights.values())
        return found

    def two_powers(self, month: int) -> tuple[float, float]:
        """Watts without the logged nodes, idle and all busy at once."""
        return self.drawn(month, busy=False), self.drawn(month, busy=True)

    def shape(self, name: str) -> Calendar[ShapePoint] | None:
        """A load shape; only holidays that count for all hours count for it."""
        everywhere = [holiday for holiday in self.study.holidays if not holiday.hours]
        return Calendar(self.study.shapes[name], everywhere) if name else None

    # kWh

    def periods(self, hours: str) -> Calendar[Period] | None:
        """Time-of-use hours by their name; none without one."""
        days = [holiday for holiday in self.study.holidays if holiday.hours in ("", hours)]
        return Calendar(self.study.hours[hours], days) if hours else None

    def period_names(self, version: Version) -> list[str]:
        """All periods of a version, whether any of its hours fall in a month or not."""
        calendar = self.periods(version.hours)
        return list(dict.fromkeys(row.period for row in calendar.rows)) if calendar else [ALL]

    def by_period(self, version: Version, month: int) -> dict[str, list[Quarter]]:
        """The quarters of a month by period."""
        calendar = self.periods(version.hours)
        found: dict[str, list[Quarter]] = {name: [] for name in self.period_names(version)}
        for quarter in self.quarters[month]:
            found[calendar.at(quarter.by(version.clock)).period if calendar else ALL].append(quarter)
        return found

    def build_kwh(self, month: int) -> Use:
        """All that the build draws in a month, by period."""
        by_period = self.by_period(self.version(month), month)
        logged = self.logged_kwh(month, by_period)
        return {
            period: sum(self.power(month, quarter) for quarter in some) * HOURS / 1000 + logged[period]
            for period, some in by_period.items()
        }

    def grid_kwh(self, month: int) -> Use:
        """What of it comes from the grid."""
        own = self.scenario.solar_share or 0.0
        return {period: (1 - own) * kwh for period, kwh in self.build_kwh(month).items()}

    def home_kwh(self, month: int) -> Use:
        """What the home uses without the build, by period: its month's kWh in proportion to its shape."""
        row = self.home_row(month)
        by_period = self.by_period(self.version(month), month)
        if row is None:
            return dict.fromkeys(by_period, 0.0)
        calendar = self.shape(row.shape)
        weights = {
            period: sum(calendar.at(quarter.local).share if calendar else 1.0 for quarter in some)
            for period, some in by_period.items()
        }
        kwh = row.use if row.month else row.use * self.share_of_year(month, row.shape)
        return {period: kwh * weight / sum(weights.values()) for period, weight in weights.items()}

    def share_of_year(self, month: int, shape: str) -> float:
        """A month's part of what the home uses in its calendar year: by the shape, or the true hours."""
        year, own = self.calendar_month(month)
        parts = self.parts_of_year(year, shape)
        return parts[own - 1] / sum(parts)

    def parts_of_year(self, year: int, shape: str) -> list[float]:
        """What each month of a calendar year counts."""
        if not shape:
            return [hours_in(year, one, self.settings.time_zone) for one in range(1, 13)]
        calendar, months = self.shape(shape), quarters_of(date(year, 1, 1), 12, self.settings.time_zone)
        assert calendar
        return [sum(calendar.at(quarter.local).share for quarter in months[one]) for one in range(1, 13)]

    def calendar_month(self, month: int) -> tuple[int, int]:
        """Year and month of the year."""
        index = self.settings.start.year * 12 + self.settings.start.month - 1 + month - 1
        return index // 12, index % 12 + 1

    def home_row(self, month: int) -> HomeUse | None:
        """What the study says of the home's use in a month."""
        return next((row for row in self.study.home if row.month in (None, self.calendar_month(month)[1])), None)

    # Bills

    def bill(self, month: int, *uses: Use, busy: bool = False) -> Bill:
        """A month's bill for the home and further uses. busy: whether the build adds to the highest power."""
        version = self.version(month)
        quoted = self.in_money(version, "price", self.begins(version)) if version.price is not None else None
        return bill(
            with_price(version, quoted),
            self.charges(version),
            added(self.home_kwh(month), *uses),
            self.peak(month, busy=busy),
            self.price_level(version, month),
            monthrange(*self.calendar_month(month))[1],
        )

    def charges(self, version: Version) -> list[Charge]:
        """The rows of charges.csv of a version."""
        return [one for one in self.study.charges.get(version.tariff, ()) if one.start == version.start]

    def peak(self, month: int, *, busy: bool) -> float:
        """The highest power of a month [kW]: the home's, and the build's when all of it is busy at once."""
        row = self.home_row(month)
        home = (row.peak or 0.0) if row else 0.0
        if not busy:
            return home
        logged = sum(count * max(*log.weekday, *log.weekend) for count, log in self.logs(month))
        return home + (self.two_powers(month)[1] + logged / (self.scenario.ups_efficiency or 1.0)) / 1000

    def bills(self, month: int) -> tuple[Bill, Bill]:
        """The home's bill without the build, and with it."""
        return self.bill(month), self.bill(month, self.grid_kwh(month), busy=True)

    def electricity(self, month: int) -> float:
        if not self.scenario.tariff:
            return 0.0
        home, both = self.bills(month)
        return both.total - home.total + self.not_sold(month)

    def not_sold(self, month: int) -> float:
        """What the grid would have paid for the kWh from own solar that the build takes."""
        version = self.version(month)
        solar = (self.scenario.solar_share or 0.0) * sum(self.build_kwh(month).values())
        return solar * (version.export or 0.0) * self.price_level(version, month)

    def kwh(self, month: int) -> float:
        """All that the build draws, whatever its tariff."""
        logged = self.logged_kwh(month, {ALL: self.quarters[month]})[ALL]
        return sum(self.power(month, quarter) for quarter in self.quarters[month]) * HOURS / 1000 + logged

    # Heat

    def heat(self, month: int) -> float:
        """What waste heat costs, less what it saves."""
        site = self.scenario.stands
        if site is None:
            return 0.0
        own, total = self.calendar_month(month)[1], 0.0
        if site.heat_used is not None and own in site.heating:
            bought = self.kwh(month) * site.heat_used / (site.heat_efficiency or 1.0)
            total -= bought * (site.heat_price or 0.0) * self.others(month)
        if site.cooling_COP is not None and own in site.cooling and self.scenario.tariff:
            cooling = {period: kwh / site.cooling_COP for period, kwh in self.build_kwh(month).items()}
            more = self.bill(month, self.grid_kwh(month), cooling, busy=True)
            total += more.total - self.bills(month)[1].total
        return total


def at_hour(log: Log, moment: datetime) -> float:
    """What a log says of an hour of the day; Saturday and Sunday are a weekend."""
    return (log.weekend if moment.weekday() > 4 else log.weekday)[moment.hour]


def average_week(log: Log) -> float:
    """Watts of a log over five weekdays and two days of a weekend."""
    return (5 * sum(log.weekday) + 2 * sum(log.weekend)) / 168


def added(*uses: Use) -> Use:
    """Uses period by period."""
    return {period: sum(use[period] for use in uses) for period in uses[0]}


def with_price(version: Version, price: float | None) -> Version:
    """The version with its price in the study's kind of money."""
    return replace(version, price=price)


def rated(part: Part) -> float:
    """The watts that a supply provides."""
    return sum(one.count for one in part.provides if one.unit == "W")


def straight(points: Sequence[EfficiencyPoint], load: float) -> float:
    """An efficiency at a load, straight between the two points around it."""
    points = sorted(points, key=lambda point: point.load)
    for low, high in pairwise(points):
        if low.load <= load <= high.load:
            way = (load - low.load) / (high.load - low.load)
            return low.efficiency + way * (high.efficiency - low.efficiency)
    raise AssertionError(f"the curve does not reach to {load}")
