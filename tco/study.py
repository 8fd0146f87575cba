"""What a study is: frozen dataclasses, nothing else.

Each field says what a person types for it: the kind of cell, its unit, its meaning, an example, a default. The
reader, the page that documents the columns and the workbook's labels all come from these definitions.
A field `price_trend` is the column `price trend`. Numbers are held as floats in the unit named here;
`{money}` stands for the study's currency.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from tco.cell import MONTH_LIMIT, cell
from tco.errors import Place


@dataclass(frozen=True, kw_only=True)
class Row:
    """A row of a table: where its numbers come from, and where each of its cells stands.

    places: field name -> Place of the cell; fields left to their default are absent. "" -> the row itself.
    extra: what cost lines with inputs of their own read from this row, by field name.
    """

    source: str = cell("text", "where the row's numbers come from", "offer of 2026-11-02", default="")
    note: str = cell("text", "anything worth remembering", "two of them have a dent", default="")
    places: Mapping[str, Place] = field(default_factory=dict, repr=False, compare=False)
    extra: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Settings(Row):
    """study.csv: one setting a row."""

    question: str = cell("text", "the question in one sentence", "Which storage cluster for our flat?")
    currency: str = cell("currency", "the money of the study, an ISO 4217 code", "EUR")
    start: date = cell("month", "the month in which the build is bought, month 0", "2026-12")
    horizon: int = cell("months", "how long it is kept", "5 years", least=1, most=MONTH_LIMIT)
    time_zone: str = cell(
        "zone", "IANA time zone; months in which clocks change have an hour more or less", "Europe/Vienna"
    )
    discount: float = cell(
        "growth",
        "what money could earn elsewhere, effective a year, nominal; has no default",
        "3 %",
        least=-0.5,
        most=1.0,
        live=True,
    )
    timing: str = cell(
        "choice",
        "when recurring costs (electricity, fees, upkeep) count for discounting: each month's at its end, or a "
        "year's together at its end or middle; purchases, replacements, one-offs and resale keep their own months",
        "year-end",
        default="month-end",
        choices=("month-end", "year-end", "mid-year"),
    )
    growth_step: str = cell(
        "choice",
        "whether prices grow month by month, or once for each year, the first year's already grown",
        "year",
        default="month",
        choices=("month", "year"),
    )
    electricity_growth: float = cell(
        "growth",
        "how the last known electricity price grows, a year",
        "2 %",
        default=0.0,
        least=-0.5,
        most=1.0,
        live=True,
    )
    tax: float = cell(
        "share", "added to prices that say `added` under tax", "20 %", default=0.0, least=0.0, most=1.0, live=True
    )
    hour_value: float = cell(
        "number",
        "what an hour of upkeep is worth to you",
        "15 EUR/h",
        unit="{money}/h",
        default=0.0,
        least=0.0,
        live=True,
    )
    selling_share: float = cell(
        "share",
        "part of a sale's price that selling it costs (fees)",
        "10 %",
        default=0.0,
        least=0.0,
        most=1.0,
        live=True,
    )
    data_held: float = cell("number", "data held at the start", "14 TB", unit="TB", default=0.0, least=0.0, live=True)
    data_growth: float = cell(
        "growth", "growth of the data, compound, a year", "15 %", default=0.0, least=-0.99, most=10.0, live=True
    )
    data_added: float = cell(
        "number",
        "data added a year on top, the same every year",
        "1.5 TB/year",
        unit="TB/year",
        default=0.0,
        least=0.0,
        live=True,
    )
    sources: Mapping[str, tuple[str, str]] = field(default_factory=dict)  # setting -> its source and note


@dataclass(frozen=True, kw_only=True)
class Part(Row):
    """A parts list: one line a kind of part."""

    part: str = cell("name", "what it is", "mini PC, 4 cores")
    node: str = cell("name", "the group of nodes it belongs to, if any", "mini", default="")
    quantity: int = cell(
        "whole",
        "how many in all; 0 lists a price only, for a part that replaces another",
        "4",
        least=0,
        most=1e6,
        live=True,
    )
    price: float = cell(
        "number", "price of one at the start, without shipping", "129 EUR", unit="{money}", least=0.0, live=True
    )
    tax: str = cell(
        "choice",
        "whether the price has the tax in it, or the study's rate is added",
        "included",
        default="included",
        choices=("included", "added"),
    )
    shipping: float = cell(
        "number", "shipping of one, tax in it", "6 EUR", unit="{money}", default=0.0, least=0.0, live=True
    )
    bought: int = cell(
        "whole",
        "month in which it is bought and paid; 0 is the start, it draws power from the next month on",
        "0",
        default=0,
        least=0,
        most=MONTH_LIMIT,
        counts="month",
    )
    leaves: int | None = cell(
        "whole",
        "month at whose end it is sold or scrapped; empty: at the end of the horizon",
        "36",
        default=None,
        least=1,
        most=MONTH_LIMIT,
        counts="month",
    )
    age: int = cell("months", "age when bought; new: empty or 0", "4 years", default=0, least=0, most=MONTH_LIMIT)
    idle: float = cell(
        "number", "power of one when idle, at the plug", "9 W", unit="W", default=0.0, least=0.0, live=True
    )
    busy: float | None = cell(
        "number",
        "power of one when busy, at the plug; empty: the same as idle",
        "28 W",
        unit="W",
        default=None,
        least=0.0,
        live=True,
    )
    failures: str = cell(
        "name", "failure curve; empty: its failures are not counted", "hard drive, cautious", default=""
    )
    replaced_by: str = cell(
        "name",
        "part of the same list that takes the place of a failed one; empty: like for like, "
        "bought at the same age as the first",
        "hard drive 8 TB new",
        default="",
    )
    price_trend: float = cell(
        "growth",
        "how the price of such a part changes, a year",
        "-10 %",
        default=0.0,
        least=-0.95,
        most=1.0,
        live=True,
    )
    resale: str = cell(
        "name", "resale curve; empty: it is worth nothing when it leaves", "used hard drive", default=""
    )
    selling_cost: float = cell(
        "number",
        "cost of selling one (postage, packing); only where there is a resale curve",
        "7 EUR",
        unit="{money}",
        default=0.0,
        least=0.0,
        live=True,
    )
    disposal: float = cell(
        "number",
        "cost of getting rid of one when it leaves, data wiping included",
        "3 EUR",
        unit="{money}",
        default=0.0,
        least=0.0,
        live=True,
    )


@dataclass(frozen=True, kw_only=True)
class Node(Row):
    """nodes.csv: groups of nodes; parts that fail and are powered together."""

    scenario: str = cell("name", "the scenario it belongs to", "minis")
    node: str = cell("name", "the group's name, as parts lists use it", "mini")
    count: int = cell("whole", "how many nodes like this", "4", least=1, most=10000, live=True)
    measured_idle: float | None = cell(
        "number",
        "idle power of one node, measured at the plug with the parts it was bought with; it replaces theirs",
        "11.5 W",
        unit="W",
        default=None,
        least=0.0,
        live=True,
    )
    measured_busy: float | None = cell(
        "number",
        "busy power of one node, measured likewise; empty: the same as idle",
        "31 W",
        unit="W",
        default=None,
        least=0.0,
        live=True,
    )


@dataclass(frozen=True, kw_only=True)
class Version(Row):
    """tariffs.csv: one row a version of a tariff, from its date on."""

    tariff: str = cell("name", "the tariff's name", "household day rate")
    start: date = cell("month", "the first month in which the price holds", "2026-01")
    price: float = cell(
        "number", "price of one more kWh, taxes and adders in it", "0.31 EUR/kWh", unit="{money}/kWh", live=True
    )
    growth: float | None = cell(
        "growth",
        "growth a year while this version holds, counted from its first month, or from the start of the study "
        "where that is later; empty: the study's for the last version, none for the others",
        "2 %",
        default=None,
        least=-0.5,
        most=1.0,
        live=True,
    )


@dataclass(frozen=True, kw_only=True)
class Fee(Row):
    """fees.csv: what is paid every month."""

    scenario: str = cell("name", "the scenario that pays it", "rented space")
    fee: str = cell("name", "what for", "storage by the TB")
    amount: float = cell(
        "number", "fixed amount a month", "4 EUR/month", unit="{money}/month", default=0.0, live=True
    )
    amount_per_TB: float = cell(
        "number", "amount per TB held and month", "5.50 EUR/TB/month", unit="{money}/TB/month", default=0.0, live=True
    )
    first: int = cell(
        "whole", "first month in which it is paid", "1", default=1, least=1, most=MONTH_LIMIT, counts="month"
    )
    last: int | None = cell(
        "whole",
        "last month in which it is paid; empty: the end of the horizon",
        "24",
        default=None,
        least=1,
        most=MONTH_LIMIT,
        counts="month",
    )
    growth: float = cell("growth", "growth a year", "3 %", default=0.0, least=-0.95, most=1.0, live=True)


@dataclass(frozen=True, kw_only=True)
class OneOff(Row):
    """one_offs.csv: what is paid once; income is negative."""

    scenario: str = cell("name", "the scenario that pays it", "old servers")
    what: str = cell("name", "what for", "a lockable rack with a door")
    month: int = cell(
        "whole", "month at whose end it is paid; 0 is the start", "0", least=0, most=MONTH_LIMIT, counts="month"
    )
    amount: float = cell("number", "the amount; negative: income", "120 EUR", unit="{money}", live=True)


@dataclass(frozen=True, kw_only=True)
class FailurePoint(Row):
    """failures.csv: failure curves; each row holds from its age to the next row's, the last one for ever."""

    curve: str = cell("name", "the curve's name, as parts lists use it", "hard drive, cautious")
    age: int = cell("months", "from this age on", "1 year", least=0, most=MONTH_LIMIT)
    rate: float | None = cell(
        "number",
        "failures per unit and year at that age (what field statistics print as AFR)",
        "1.30 %/year",
        unit="1/year",
        default=None,
        least=0.0,
        most=1000.0,
    )
    chance: float | None = cell(
        "share",
        "or instead: the chance that a unit of that age fails within a month",
        "9 %",
        default=None,
        least=0.0,
        most=1.0,
    )


@dataclass(frozen=True, kw_only=True)
class ResalePoint(Row):
    """resale.csv: resale curves; geometric between rows (a path to 0 is 0 at once), falling on at the last ratio."""

    curve: str = cell("name", "the curve's name, as parts lists use it", "used hard drive")
    base: str = cell(
        "choice",
        "what the share is a share of: what a unit cost new, or what a new one costs when it is sold",
        "own price",
        choices=("own price", "new price then"),
    )
    age: int = cell("months", "age of the unit", "2 years", least=0, most=MONTH_LIMIT)
    share: float = cell(
        "share",
        "what a unit of that age fetches, as a share of the base; a used part's price is taken for what "
        "its age when bought makes of the base",
        "45 %",
        least=0.0,
        most=10.0,
        live=True,
    )


@dataclass(frozen=True, kw_only=True)
class Exchange(Row):
    """exchange.csv: rates for prices quoted in another currency, each with its date."""

    currency: str = cell("currency", "the other currency", "USD")
    rate: float = cell("number", "what one of it costs in the study's currency", "0.92", least=1e-9)
    day: date = cell("date", "the day of the rate", "2026-11-20")


@dataclass(frozen=True, kw_only=True)
class Scenario(Row):
    """scenarios.csv: one way to answer the question a row; the rest from their tables."""

    scenario: str = cell("name", "short name, used in every table and for its sheet", "minis")
    title: str = cell("text", "what it is, in a few words; empty: the name", "four quiet mini PCs", default="")
    baseline: bool = cell("yes", "yes for the one the others are measured against", "yes", default=False)
    parts_list: str = cell("file", "its parts list; empty: no hardware", "minis.csv", default="")
    tariff: str = cell("name", "its tariff; needed where parts draw power", "household day rate", default="")
    busy_share: float = cell(
        "share",
        "share of the time in which it is busy; needed where there is hardware",
        "10 %",
        default=0.0,
        least=0.0,
        most=1.0,
        live=True,
    )
    upkeep: float = cell(
        "number", "hours of your time a month", "1 h/month", unit="h/month", default=0.0, least=0.0, live=True
    )
    parts: tuple[Part, ...] = ()
    nodes: tuple[Node, ...] = ()
    fees: tuple[Fee, ...] = ()
    one_offs: tuple[OneOff, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Study:
    """A checked study: every name resolves, every number is in its unit.

    tariffs, failures, resale: name -> rows in rising order; only those the study uses.
    folder: where it was read from, for messages.
    """

    folder: str
    settings: Settings
    scenarios: tuple[Scenario, ...]
    tariffs: Mapping[str, tuple[Version, ...]]
    failures: Mapping[str, tuple[FailurePoint, ...]]
    resale: Mapping[str, tuple[ResalePoint, ...]]
