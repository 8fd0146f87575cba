"""Months against the horizon."""

from __future__ import annotations

from tco.addresses import label
from tco.read.curves import place
from tco.read.found import Found
from tco.read.problems import Problems
from tco.study import Row


def check_month(found: Found, row: Row, name: str, problems: Problems) -> None:
    """Report a month beyond the horizon."""
    month, horizon = getattr(row, name), found.settings.horizon
    if month is not None and month > horizon:
        message = f"{label(name)}: month {month} lies after the horizon of {horizon} months"
        problems.add(place(row, name), message)
