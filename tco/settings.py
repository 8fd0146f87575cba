"""The settings of a study, and what all rows of its tables share; see study.py."""

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
    kinds: field name -> `nominal` or `real`, for the values of which the cell says it.
    """

    source: str = cell("text", "where the row's numbers come from", "offer of 2026-11-02", default="")
    note: str = cell("text", "anything worth remembering", "two of them have a dent", default="")
    places: Mapping[str, Place] = field(default_factory=dict, repr=False, compare=False)
    extra: Mapping[str, Any] = field(default_factory=dict)
    kinds: Mapping[str, str] = field(default_factory=dict)


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
    money: str = cell(
        "choice",
        "what all rates, growths and later amounts are in: `nominal`, money as it will be paid; or `real`, money of "
        "the start, so that a rate or growth is what is left above inflation",
        "real",
        default="nominal",
        choices=("nominal", "real"),
    )
    inflation: float | None = cell(
        "growth",
        "how prices in general rise, a year; needed only where something is known in the other kind of money",
        "2 %",
        default=None,
        least=-0.5,
        most=1.0,
        live=True,
    )
    discount: float = cell(
        "growth",
        "what money could earn elsewhere, effective a year; has no default",
        "3 %",
        least=-0.5,
        most=1.0,
        live=True,
        quoted=True,
    )
    timing: str = cell(
        "choice",
        "when recurring costs (electricity, fees, upkeep, insurance) count for discounting: each month's at its end, "
        "or a year's together at its end or middle; purchases, replacements, one-offs and resale keep their own "
        "months",
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
        quoted=True,
    )
    other_growth: float = cell(
        "growth",
        "how what has no growth of its own grows, a year: shipping, selling, disposal, an hour of upkeep",
        "2 %",
        default=0.0,
        least=-0.5,
        most=1.0,
        live=True,
        quoted=True,
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
    owned_gear: str = cell(
        "choice",
        "whether what owned gear would fetch today counts as a cost of keeping it",
        "cost",
        default="free",
        choices=("free", "cost"),
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
    system_takes: float = cell(
        "share",
        "what an operating system takes of the reading and writing of a storage drive it is on (common practice, no "
        "source)",
        "20 %",
        default=0.2,
        least=0.0,
        most=0.99,
        live=True,
    )
    sources: Mapping[str, tuple[str, str]] = field(default_factory=dict)  # setting -> its source and note
