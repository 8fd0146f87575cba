"""Official average prices of electricity for households (data/reference/prices.csv), and a tariff to start with."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from datetime import date
from functools import cache

from tco.errors import UnknownNameError
from tco.places import data_folder

UNIT_PRICE = "unit price"
NOT_MARGINAL = "average revenue, not a marginal price: what one more kWh costs is on your bill"


@dataclass(frozen=True)
class Average:
    """What households of a region paid for a kWh in a period, as an official table says it.

    period: `2025-04`, or first and last month, `2024-07 to 2024-12`. price: such as `0.3228 USD/kWh`.
    taxes: whether they are in it, `all in`, `before` or `not told`. kind: what the price is; nearly always an average
    with fixed charges in it. fixed_a_day: a standing charge beside the price, if the table gives it apart.
    """

    region: str
    period: str
    price: str
    taxes: str
    kind: str
    fixed_a_day: str
    source: str
    note: str

    @property
    def last(self) -> str:
        """The last month of the period: `2024-12`."""
        return self.period.split(" to ")[-1]

    @property
    def currency(self) -> str:
        """The money it is in, an ISO code."""
        return self.price.split()[1].split("/")[0]


@cache
def averages() -> tuple[Average, ...]:
    """All of them, in the order of the file."""
    path = data_folder() / "reference" / "prices.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = csv.DictReader(file, strict=True)
        return tuple(Average(**{name.replace(" ", "_"): text for name, text in row.items()}) for row in rows)


def average(region: str) -> Average:
    """The latest of a region, `Germany` or `Maine, USA` (`Maine` will do); raises UnknownNameError."""
    wanted = region.strip().casefold()
    found = [one for one in averages() if wanted in (one.region.casefold(), one.region.casefold().split(",")[0])]
    if not found:
        raise UnknownNameError("region", region, sorted({one.region for one in averages()}))
    return max(found, key=lambda one: one.last)


def starting_tariff(region: str, start: date) -> tuple[dict[str, str], ...]:
    """Rows of a tariffs.csv that begins in the month of `start`, as texts by column; raises UnknownNameError.

    The study's currency must be the region's, or exchange.csv must have a rate for it.
    """
    found = average(region)
    row = {
        "tariff": f"average of {found.region}",
        "start": f"{start:%Y-%m}",
        "price": found.price,
        "source": f"{found.source} ({found.period})",
        "note": _label(found),
    }
    return (row,)


def _label(found: Average) -> str:
    """What the price is, and what it is not."""
    if found.kind != UNIT_PRICE:
        return NOT_MARGINAL
    beside = f"the standing charge of {found.fixed_a_day} is not in it, as no build changes that"
    return f"unit price of {found.period}; {beside}"
