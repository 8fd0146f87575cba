"""How electricity is billed and drawn, as a study says it: charges, hours, the home's own use; see study.py.

Rows that speak of hours (Timed) say months, days and a span of the day, in steps of a quarter of an hour.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from tco.cell import cell
from tco.settings import Row

WEEK = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
DAYS = (*WEEK, "holiday")  # the kinds of day; a holiday is one of its own, whatever day of the week it falls on
OTHERWISE = "otherwise"  # in the place of days: all hours that no other row of the same name says
SLOTS, STEP = 96, 15  # quarters of an hour in a day; minutes of one
MINUTES = SLOTS * STEP
DAY_SLOTS = len(DAYS) * SLOTS  # every kind of day and quarter of an hour, of one month of the year
YEAR_SLOTS = 12 * DAY_SLOTS


@dataclass(frozen=True, kw_only=True)
class Billed(Row):
    """How a version of a tariff bills beyond its price: further columns of tariffs.csv."""

    hours: str = cell("name", "the time-of-use hours it follows (hours.csv)", "day and night", default="")
    clock: str = cell(
        "choice",
        "which clock its hours go by: `local`, which is set forward in summer, or `winter`, winter time all year",
        "local",
        default="",
        choices=("local", "winter"),
    )
    blocks: str = cell(
        "choice",
        "whether its blocks (`above` in charges.csv) count by the month or by the day of the month",
        "day",
        default="",
        choices=("month", "day"),
    )
    minimum: float | None = cell(
        "number",
        "what a month's charges come to at least, before percentages",
        "8 EUR/month",
        unit="{money}/month",
        default=None,
        least=0.0,
        live=True,
    )
    export: float | None = cell(
        "number",
        "what the grid pays for a kWh from own solar; what the build uses of it is not sold",
        "0.08 EUR/kWh",
        unit="{money}/kWh",
        default=None,
        live=True,
    )


@dataclass(frozen=True, kw_only=True)
class Charge(Row):
    """charges.csv: what a version of a tariff charges, if more than one price; rows of one name are blocks."""

    tariff: str = cell("name", "the tariff", "household by blocks")
    start: date = cell("month", "the version: its first month, as in tariffs.csv", "2026-01")
    charge: str = cell("name", "what it is called on the bill", "energy")
    price: float | None = cell(
        "number",
        "price per kWh; this or one of the amounts that follow",
        "0.21 EUR/kWh",
        unit="{money}/kWh",
        default=None,
        live=True,
    )
    above: float = cell(
        "number",
        "kWh in the month (or a day of it, see `blocks` in tariffs.csv) from which on the price holds; the first "
        "block begins at 0",
        "200 kWh",
        unit="kWh",
        default=0.0,
        least=0.0,
        live=True,
    )
    period: str = cell(
        "name", "the period of its hours in which it is charged; empty: all hours", "night", default=""
    )
    kWh_share: float | None = cell(
        "share",
        "share of the metered kWh that are charged: above 100 % where grid losses are added; empty: 100 %",
        "103.76 %",
        default=None,
        least=0.0,
        most=10.0,
        live=True,
    )
    fixed: float | None = cell(
        "number", "amount a month", "9.80 EUR/month", unit="{money}/month", default=None, live=True
    )
    fixed_day: float | None = cell("number", "amount a day", "0.61 EUR/d", unit="{money}/d", default=None, live=True)
    capacity: float | None = cell(
        "number",
        "amount a month for each kW of the month's highest power",
        "4.10 EUR/kW/month",
        unit="{money}/kW/month",
        default=None,
        live=True,
    )
    percent: float | None = cell(
        "share", "a tax or rebate: a share of other charges", "19 %", default=None, least=-1.0, most=10.0, live=True
    )
    of: tuple[str, ...] = cell(
        "names",
        "what the percentage is of: names of other charges joined by +; empty: all that are no percentages",
        "energy + network",
        default=(),
    )


@dataclass(frozen=True, kw_only=True)
class Timed(Row):
    """Hours of the year: months, kinds of day, and a span of the day."""

    months: tuple[int, ...] = cell(
        "season", "months of the year, by number: `11-4`, or `6 + 9-10`; empty: all", "11-4", default=()
    )
    days: tuple[str, ...] = cell(
        "days",
        "kinds of day joined by +: weekday, weekend, monday to sunday, holiday (listed in holidays.csv, and then a "
        "kind of its own); empty: all; `otherwise`: all hours that no other row says",
        "weekend + holiday",
        default=(),
    )
    begins: int = cell("clock", "time of day from which on, in quarters of an hour", "07:00", default=0)
    ends: int = cell(
        "clock", "time of day until which; before `begins`: on through midnight", "19:00", default=MINUTES
    )


@dataclass(frozen=True, kw_only=True)
class Period(Timed):
    """hours.csv: time-of-use hours; which period an hour belongs to. Every hour belongs to one."""

    hours: str = cell("name", "the name that tariffs use", "day and night")
    period: str = cell("name", "the period", "night")


@dataclass(frozen=True, kw_only=True)
class Holiday(Row):
    """holidays.csv: days that count as `holiday`; a tariff lists its own, no country's calendar is assumed."""

    day: str = cell("day", "the date, or month and day of every year", "2026-12-25")
    hours: str = cell("name", "the hours (hours.csv) it counts for; empty: all, and load shapes", "day and night",
                      default="")  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class ShapePoint(Timed):
    """shapes.csv: load shapes; how busy it is, hour by hour, by local time. Every hour has one row."""

    shape: str = cell("name", "the shape's name", "backups at night")
    share: float = cell(
        "share", "share of that time in which it is busy; of the home's shape only proportions count", "40 %",
        least=0.0, most=1.0,
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class HomeUse(Row):
    """home.csv: what the home uses without the build: one row for a year, or one for each month of the year."""

    month: int | None = cell(
        "whole",
        "month of the year; empty: the whole year, spread over its hours by the shape, or evenly",
        "1",
        default=None,
        least=1,
        most=12,
    )
    use: float = cell(  # bills without and with the build are told apart to 1e-6 of the money up to there
        "number", "what the home draws from the grid", "290 kWh", unit="kWh", least=0.0, most=1e9, live=True
    )
    shape: str = cell("name", "its load shape (shapes.csv); empty: even over the hours", "evenings", default="")
    peak: float | None = cell(
        "number", "its highest power in the month; for a capacity charge", "5.2 kW", unit="kW", default=None,
        least=0.0, live=True,
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class EfficiencyPoint(Row):
    """efficiency.csv: efficiency curves of power supplies; straight between rows."""

    curve: str = cell("name", "the curve's name, as parts lists use it", "small supply, measured")
    load: float = cell("share", "DC load, as a share of the rating", "20 %", least=0.0, most=1.2, live=True)
    efficiency: float = cell("share", "DC watts out for each watt in", "87 %", least=0.01, most=1.0, live=True)


@dataclass(frozen=True, kw_only=True)
class Supplied(Row):
    """How a scenario draws and gets its power: further columns of scenarios.csv."""

    busy_shape: str = cell(
        "name", "load shape (shapes.csv) that says hour by hour how busy it is, instead of `busy share`",
        "office hours", default="",
    )  # fmt: skip
    solar_share: float | None = cell(
        "share",
        "share of its kWh that own solar covers, alike in every hour; they cost what the grid would have paid",
        "20 %",
        default=None,
        least=0.0,
        most=1.0,
        live=True,
    )
    ups_efficiency: float | None = cell(
        "share",
        "efficiency of a UPS through which all of it is powered (its own draw may stand in the parts list instead)",
        "93 %",
        default=None,
        least=0.05,
        most=1.0,
        live=True,
    )


@dataclass(frozen=True, kw_only=True)
class Warmed(Row):
    """What waste heat saves or costs at a site, counted only where stated: further columns of sites.csv."""

    heating: tuple[int, ...] = cell("season", "months of the year in which the site is heated", "10-4", default=())
    heat_used: float | None = cell(
        "share",
        "share of each kWh drawn that replaces bought heat in those months; empty: waste heat is not counted",
        "60 %",
        default=None,
        least=0.0,
        most=1.0,
        live=True,
    )
    heat_price: float | None = cell(
        "number", "price of a kWh of what heats it (gas, electricity, district heat); it follows `other growth`",
        "0.11 EUR/kWh", unit="{money}/kWh", default=None, least=0.0, live=True,
    )  # fmt: skip
    heat_efficiency: float | None = cell(
        "number",
        "kWh of heat that one of it gives: efficiency of a boiler, or COP of a heat pump, above 1",
        "0.92",
        default=None,
        least=0.05,
        most=20.0,
        live=True,
    )
    cooling: tuple[int, ...] = cell(
        "season", "months of the year in which the site is cooled by machine; empty: cooling is not counted", "6-8",
        default=(),
    )  # fmt: skip
    cooling_COP: float | None = cell(
        "number", "kWh of heat that the machine takes out for each kWh it draws", "3.2", default=None, least=0.1,
        most=20.0, live=True,
    )  # fmt: skip


@dataclass(frozen=True)
class Log:
    """A metered log of one node's power, as far as it is known; see read/log.py.

    weekday, weekend: average power by hour of the day (24 values each) [W], local time.
    told: sentences about what the log holds and lacks, for people.
    """

    file: str
    weekday: tuple[float, ...]
    weekend: tuple[float, ...]
    told: tuple[str, ...] = ()

    @property
    def week(self) -> tuple[float, ...]:
        """Average power by hour of the week, Monday first: 168 values [W]."""
        return (*self.weekday * 5, *self.weekend * 2)


def counting(holidays: Sequence[Holiday], hours: str) -> list[Holiday]:
    """The holidays that count for some hours; for load shapes (empty) those that count for all."""
    return [holiday for holiday in holidays if holiday.hours in ("", hours)]


def slots_of(row: Timed) -> Iterator[int]:
    """The numbers of a row's slots of the year: (month - 1, kind of day, quarter of an hour), the last fastest.

    A span through midnight belongs to the day on which each of its quarters lies.
    """
    first, last = row.begins // STEP, row.ends // STEP
    spans = [range(first, last)] if first < last else [range(first, SLOTS), range(last)]
    for month in row.months or range(1, 13):
        for day in row.days or DAYS:
            start = (month - 1) * DAY_SLOTS + DAYS.index(day) * SLOTS
            for span in spans:
                yield from (start + slot for slot in span)


def year_of(rows: Sequence[Timed]) -> list[int]:
    """Which row (by number) holds in each slot of the year; -1 where none does. A later row goes before an earlier.

    Rows that say `otherwise` take what is left.
    """
    found = [-1] * YEAR_SLOTS
    rest = -1
    for number, row in enumerate(rows):
        if row.days == (OTHERWISE,):
            rest = number
            continue
        for slot in slots_of(row):
            found[slot] = number
    return [rest if number < 0 else number for number in found]


def slot_in_words(slot: int) -> str:
    """A slot of the year as people say it: `monday 07:15 in month 3`."""
    month, rest = divmod(slot, DAY_SLOTS)
    day, quarter = divmod(rest, SLOTS)
    hour, minute = divmod(quarter * STEP, 60)
    return f"{DAYS[day]} {hour:02}:{minute:02} in month {month + 1}"
