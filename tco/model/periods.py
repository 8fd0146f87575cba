"""How many hours of each month lie in each period of a tariff, and how loads by the hour fall into them.

Counted above the engine, quarter by quarter (clock.py); in the model these are given columns, marked so.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tco.electricity import DAY_SLOTS, SLOTS, WEEK, ShapePoint, counting
from tco.model import calendar
from tco.model.clock import Numbers, Quarters, added_up, numbers_of, quarters, year_slots
from tco.study import Study, Version

Hours = NDArray[np.float64]
HOUR = 4  # quarters


class Times:
    """A study's hours, by month and period; arrays of shape (horizon + 1, periods), month 0 without any."""

    def __init__(self, study: Study) -> None:
        self.study = study
        self.known: dict[str, Numbers] = {}  # tariff -> the period of every quarter

    @cached_property
    def quarters(self) -> Quarters:
        """Every quarter of an hour of the study."""
        settings = self.study.settings
        return quarters(settings.start, settings.horizon, settings.time_zone)

    def by_month(self, weights: Hours | None = None) -> Hours:
        """Hours, or hours times weights (one a quarter), of each month; shape (horizon + 1,)."""
        found: Hours = added_up(self.quarters, np.zeros_like(self.quarters.month), 1, weights)[:, 0]
        return found

    @cached_property
    def local(self) -> Numbers:
        """The slot of the year of every quarter, by the local clock: for load shapes."""
        return year_slots(self.quarters.local, counting(self.study.holidays, ""))

    def periods(self, tariff: str) -> list[str]:
        """The periods of all versions of a tariff, in the order of hours.csv."""
        names = [version.hours for version in self.study.tariffs[tariff] if version.hours]
        return list(dict.fromkeys(row.period for name in names for row in self.study.hours[name]))

    def groups(self, tariff: str) -> Numbers:
        """The period of every quarter: its number, from 0; one more than the last where a version has none."""
        if tariff in self.known:
            return self.known[tariff]
        periods, versions = self.periods(tariff), self.study.tariffs[tariff]
        found = np.full(len(self.quarters.month), len(periods))
        held = versions_by_month(self.study, versions)[self.quarters.month]
        for hours, clock in dict.fromkeys((version.hours, version.clock) for version in versions if version.hours):
            own = [n for n, version in enumerate(versions) if (version.hours, version.clock) == (hours, clock)]
            rows = self.study.hours[hours]
            slots = year_slots(getattr(self.quarters, clock or "local"), counting(self.study.holidays, hours))
            numbers = np.array([periods.index(row.period) for row in rows])[numbers_of(rows)[slots]]
            found = np.where(np.isin(held, own), numbers, found)
        self.known[tariff] = found
        return found

    def by_period(self, tariff: str, weights: Hours | None = None) -> Hours:
        """Hours, or hours times weights (one a quarter), of each month in each period; the last column: in none."""
        found: Hours = added_up(self.quarters, self.groups(tariff), len(self.periods(tariff)) + 1, weights)
        return found

    def shaped(self, shape: str) -> Hours:
        """The share of a load shape at every quarter; 1 without a shape."""
        return self.shares_at(shape, self.local) if shape else np.ones(len(self.quarters.month))

    def shares_at(self, shape: str, slots: Numbers) -> Hours:
        """The share of a load shape in slots of the year."""
        rows: Sequence[ShapePoint] = self.study.shapes[shape]
        found: Hours = np.array([row.share for row in rows])[numbers_of(rows)[slots]]
        return found

    def shares_of_year(self) -> list[float]:
        """What months 0..horizon have of the home's use in their calendar year: by its shape, or else by hours."""
        settings = self.study.settings
        if not (shape := self.study.home[0].shape):
            return calendar.shares_of_year(settings)
        first = settings.start.replace(month=1)
        years = calendar.month_after(settings.start, settings.horizon - 1).year - first.year + 1
        whole = quarters(first, 12 * years, settings.time_zone)
        slots = year_slots(whole.local, counting(self.study.holidays, ""))
        used = np.bincount(whole.month, self.shares_at(shape, slots))[1:]
        shares = used / used.reshape(years, 12).sum(axis=1).repeat(12)
        begin = settings.start.month - 1
        return [0.0, *shares[begin : begin + settings.horizon].tolist()]

    def weekly(self, week: Sequence[float]) -> Hours:
        """What a week of 168 hours, Monday first, has at every quarter; a holiday counts as the day it falls on."""
        slots = year_slots(self.quarters.local, ())
        kind, slot = np.divmod(slots % DAY_SLOTS, SLOTS)
        found: Hours = np.array(week).reshape(len(WEEK), 24)[kind, slot // HOUR]
        return found

    def home(self) -> Hours:
        """The home's load at every quarter, as proportions: its shape may differ by month of the year."""
        rows = self.study.home
        month = self.local // DAY_SLOTS + 1
        found = np.ones(len(month))
        for shape in dict.fromkeys(row.shape for row in rows):
            months = [row.month or 0 for row in rows if row.shape == shape]
            mine = np.isin(month, range(1, 13) if 0 in months else months)
            found = np.where(mine, self.shaped(shape), found)
        return found


def versions_by_month(study: Study, versions: Sequence[Version]) -> NDArray[Any]:
    """Which version (by number, from 0) holds in each month; month 0 has what month 1 has."""
    return np.array(calendar.versions_of(study.settings, versions)) - 1
