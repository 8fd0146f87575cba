"""A home and its tariff as a small study in CSV, and its bill by the public path: the rows of bills.csv.

The build beside it is as small as it may be: what is printed is the home's bill, and what a build adds to it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache

from tco.ask.bills import bill_rows
from tests.published.written import compared, table

HEADER = "tariff,start,charge,price,above,period,kWh share,fixed,fixed day,capacity,percent,of"
MONTHS = range(1, 13)


@dataclass(frozen=True)
class Customer:
    """A home and its tariff. kwh: its use in the months from January on, or in the whole year if it is one number.

    charges: rows of charges.csv, see `charge`; versions: rows of tariffs.csv without the tariff's name, if there are
    several. watts: what the build draws day and night; peak: the home's [kW], 0: not said.
    """

    money: str
    kwh: tuple[float, ...]
    charges: tuple[str, ...]
    start: str = "2025-01"
    months: int = 1
    zone: str = "UTC"
    versions: tuple[str, ...] = ()
    blocks: str = ""
    hours: tuple[str, ...] = ()
    watts: float = 10.0
    peak: float = 0.0


def charge(name: str, *, start: str = "2000-01", **cells: object) -> str:
    """A row of charges.csv; `kWh_share=...` fills the column `kWh share`."""
    filled = {"tariff": "grid", "start": start, "charge": name}
    filled |= {column.replace("_", " "): str(cell) for column, cell in cells.items()}
    assert set(filled) <= set(HEADER.split(",")), filled
    return ",".join(filled.get(column, "") for column in HEADER.split(","))


def blocks(name: str, *steps: tuple[float, float], **cells: object) -> tuple[str, ...]:
    """One charge in blocks: (from which kWh on, price)."""
    return tuple(charge(name, above=f"{above} kWh", price=price, **cells) for above, price in steps)


def tables(case: Customer) -> dict[str, str]:
    """The study of one home, and of a build that is as small as it may be."""
    about = {"question": "What was billed?", "currency": case.money, "start": case.start, "discount": "0"}
    about |= {"horizon": f"{case.months} months", "time zone": case.zone}
    hours = "year" if case.hours else ""
    versions = case.versions or (f"2000-01,,{hours},{case.blocks},",)
    found = {
        "study": table("setting,value", [f"{name},{value}" for name, value in about.items()]),
        "scenarios": table("scenario,parts list,tariff", ["it,it.csv,grid"]),
        "it": table(f"part,quantity,price [{case.money}],idle [W]", [f"box,1,1,{case.watts:.12f}"]),
        "tariffs": table("tariff,start,price,hours,blocks,minimum", [f"grid,{row}" for row in versions]),
        "charges": table(priced(HEADER, case.money), list(case.charges)),
        "home": table("month,use [kWh],peak [kW]", home(case)),
    }
    return found | ({"hours": table("hours,period,months,days,begins,ends", list(case.hours))} if case.hours else {})


def priced(header: str, money: str) -> str:
    """The columns of amounts with their units."""
    units = {"price": "kWh", "fixed": "month", "fixed day": "d", "capacity": "kW/month"}
    return ",".join(f"{name} [{money}/{units[name]}]" if name in units else name for name in header.split(","))


def home(case: Customer) -> list[str]:
    """Rows of home.csv: one, or all months, those not said with nothing."""
    peak = case.peak or ""
    if len(case.kwh) == 1:
        return [f",{case.kwh[0]:.12f},{peak}"]
    used = [*case.kwh, *[0.0] * (12 - len(case.kwh))]
    return [f"{month},{kwh:.12f},{peak}" for month, kwh in zip(MONTHS, used, strict=True)]


@cache
def bills(case: Customer) -> Mapping[tuple[int, str, str], tuple[float | str, ...]]:
    """(month, kind, item) -> the home's, the one with the build, the difference."""
    return {row[1:4]: row[4:7] for row in bill_rows(compared(tables(case)))}


def cell(case: Customer, kind: str, item: str, month: int = 1, column: int = 0) -> float:
    """One number of the bill; column: 0 the home's, 2 what the build adds."""
    value = bills(case)[month, kind, item][column]
    assert not isinstance(value, str), f"{item} of month {month} is {value!r}"
    return float(value)


def of(case: Customer, item: str, month: int = 1, less: int = 0) -> Callable[[], float]:
    """Works out a charge on the home's bill of a month, less what it is in another month."""
    return lambda: cell(case, "charge", item, month) - (cell(case, "charge", item, less) if less else 0.0)


def total(case: Customer, *months: int) -> Callable[[], float]:
    """Works out the home's bill of a month, or of several."""
    return lambda: sum(cell(case, "bill", "total", month) for month in months or (1,))


def monthly(case: Customer, item: str = "") -> Callable[[], float]:
    """Works out a twelfth of a year's charge, or of its whole bill."""
    kind, name = ("charge", item) if item else ("bill", "total")
    return lambda: sum(cell(case, kind, name, month) for month in MONTHS) / 12
