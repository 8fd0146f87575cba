"""A published example as a small study in CSV, and its figures by the public path: load, compare, measures.

Costs are positive; savings are costs saved, so what an investment returns is a negative fee, and its net present
value the net savings against a scenario that does nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from itertools import chain
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import tco
from tests.studies import TABLES, write_study

Rate = float | str  # a share of 1, or what stands in the cell: `15 % real`


@dataclass(frozen=True)
class Once:
    """Paid once, at the end of a year (0: the start)."""

    amount: float
    year: int = 0


@dataclass(frozen=True)
class Yearly:
    """Paid in each year from `first` to `last`, growing a year from today's price; the first year's is grown.

    path: what the price is by the end of each year as a multiple of today's, instead of a growth.
    """

    amount: float
    first: int
    last: int
    growth: Rate = 0.0
    path: tuple[float, ...] = ()


@dataclass(frozen=True)
class Monthly:
    """Paid in each month from `first` to `last`."""

    amount: float
    first: int
    last: int


@dataclass(frozen=True)
class Gear:
    """Bought at the start, or owned and worth `today`; `fetched`: what it sells for at the end of year 1, 2 ...

    busy: W that it draws in the study's busy share of the time.
    """

    price: float = 0.0
    fetched: tuple[float, ...] = ()
    today: float = 0.0
    busy: float = 0.0


Item = Once | Yearly | Monthly | Gear
NOTHING = (Once(0.0),)  # a scenario must have rows
Scenario = tuple[str, tuple[Item, ...]]


@dataclass(frozen=True)
class Example:
    """A study: the first scenario is the baseline. settings: further rows of study.csv.

    kwh: price of a kWh, where gear draws power; busy: the share of the time in which it does.
    """

    years: float
    rate: Rate
    scenarios: tuple[Scenario, ...]
    timing: str = "year-end"
    settings: tuple[tuple[str, str], ...] = ()
    kwh: float = 0.0
    busy: float = 0.0


def alone(years: float, rate: Rate, *items: Item, **about: Any) -> Example:
    """One scenario by itself."""
    return Example(years, rate, (("it", items),), **about)


def against_nothing(years: float, rate: Rate, *items: Item, **about: Any) -> Example:
    """One scenario against doing nothing."""
    return Example(years, rate, (("nothing", ()), ("it", items)), **about)


def series(amounts: tuple[float, ...], first: int = 1) -> tuple[Yearly, ...]:
    """A different amount each year, from a year on."""
    return tuple(Yearly(amount, year, year) for year, amount in enumerate(amounts, start=first) if amount)


def cash(rate: Rate, *flows: float) -> Example:
    """Cash flows by year, the first at the start, money in positive; against doing nothing."""
    return against_nothing(len(flows) - 1, rate, *returns(flows))


def returns(flows: tuple[float, ...]) -> tuple[Item, ...]:
    """Cash flows by year as costs: the first as a one-off at the start, the others as fees of their years."""
    return (Once(-flows[0]), *series(tuple(-flow for flow in flows[1:])))


def percent(rate: Rate) -> str:
    """A rate as a cell holds it."""
    return rate if isinstance(rate, str) else f"{100 * rate:.13f} %"


def study_table(example: Example) -> str:
    """study.csv."""
    settings = {
        "question": "What was printed?",
        "currency": "USD",
        "start": "2027-01",
        "horizon": f"{round(12 * example.years)} months",
        "time zone": "UTC",
        "discount": percent(example.rate),
        "timing": example.timing,
        "growth step": "year",
        **dict(example.settings),
    }
    return table("setting,value", [f"{name},{value}" for name, value in settings.items()])


def table(header: str, rows: list[str]) -> str:
    """A table as CSV."""
    return "\n".join([header, *rows]) + "\n"


def tables(example: Example) -> dict[str, str]:
    """All tables of an example that have rows."""
    found = {"study": study_table(example), "scenarios": scenario_table(example)}
    rows: dict[str, list[str]] = {name: [] for name in HEADERS}
    for scenario, items in example.scenarios:
        for name, row in chain.from_iterable(rows_of(scenario, item) for item in items or NOTHING):
            rows[name].append(row)
        gear = [item for item in items if isinstance(item, Gear)]
        if gear:
            found[scenario] = parts_list(scenario, gear)
    if example.kwh:
        rows["tariffs"].append(f"grid,2027-01,{example.kwh:.12f} USD/kWh")
    return {**found, **{name: table(HEADERS[name], some) for name, some in rows.items() if some}}


HEADERS = {
    "one_offs": "scenario,what,month,amount",
    "fees": "scenario,fee,amount [USD/month],first,last,growth,path",
    "paths": "path,year,index",
    "resale": "curve,base,age,share",
    "tariffs": "tariff,start,price",
}


def scenario_table(example: Example) -> str:
    """scenarios.csv."""
    tariff = "grid" if example.kwh else ""
    rows = []
    for number, (name, items) in enumerate(example.scenarios):
        parts = f"{name}.csv" if any(isinstance(item, Gear) for item in items) else ""
        rows.append(f"{name},{'' if number else 'yes'},{parts},{tariff if parts else ''},{percent(example.busy)}")
    return table("scenario,baseline,parts list,tariff,busy share", rows)


def rows_of(scenario: str, item: Item) -> list[tuple[str, str]]:
    """The rows that an item makes in the common tables, each with its table's name."""
    if isinstance(item, Once):
        return [("one_offs", f"{scenario},x,{12 * item.year},{item.amount:.12f} USD")]
    if isinstance(item, Monthly):
        return [("fees", f"{scenario},x,{item.amount:.15f},{item.first},{item.last},,")]
    return yearly_rows(scenario, item) if isinstance(item, Yearly) else resale_rows(scenario, item)


def yearly_rows(scenario: str, item: Yearly) -> list[tuple[str, str]]:
    """A yearly amount as twelve equal fees a year, and the path that it follows."""
    name = f"path of {scenario}" if item.path else ""
    growth = "" if item.path else percent(item.growth)
    months = f"{12 * item.first - 11},{12 * item.last}"
    path = [("paths", f"{name},{year},{index:.15f}") for year, index in enumerate(item.path, start=1)]
    return [("fees", f"{scenario},x,{item.amount / 12:.15f},{months},{growth},{name}"), *path]


def resale_rows(scenario: str, gear: Gear) -> list[tuple[str, str]]:
    """A resale curve: what is fetched as shares of the price, or of what it would fetch today."""
    whole = gear.price or gear.today
    shares = [1.0, *(amount / whole for amount in gear.fetched)] if gear.fetched else []
    return [
        ("resale", f"curve of {scenario},own price,{12 * year} months,{percent(share)}")
        for year, share in enumerate(shares)
    ]


def parts_list(scenario: str, gear: list[Gear]) -> str:
    """A scenario's parts list."""
    parts = [part_row(scenario, number, item) for number, item in enumerate(gear)]
    return table("part,quantity,price,fetches today,resale,idle,busy", parts)


def part_row(scenario: str, number: int, gear: Gear) -> str:
    """A line of the parts list."""
    curve = f"curve of {scenario}" if gear.fetched else ""
    return f"gear {number},1,{gear.price:.12f} USD,{gear.today:.12f} USD,{curve},0 W,{gear.busy:.12f} W"


def compared(found: dict[str, str]) -> Any:
    """The comparison of a study that is nothing but these tables."""
    with TemporaryDirectory() as folder:
        changes = {**dict.fromkeys(TABLES), **found}
        return tco.compare(tco.load(write_study(Path(folder), **changes)))


@cache
def comparison(example: Example) -> Any:
    """An example's comparison, made once."""
    return compared(tables(example))


@cache
def figures(example: Example) -> dict[tuple[str, str], float | str]:
    """(scenario, measure) -> value, of a frame made once."""
    frame = tco.measures(comparison(example))
    return dict(zip(zip(frame.scenario, frame.measure, strict=True), frame.value, strict=True))


def figure(example: Example, measure: str, scenario: str = "it") -> float:
    """One measure that is a number."""
    value = figures(example)[scenario, measure]
    assert not isinstance(value, str), f"{measure} of {scenario} is {value!r}"
    return float(value)


def of(example: Example, measure: str, scenario: str = "it", *, gain: bool = False) -> Callable[[], float]:
    """Works out one measure. gain: the text printed as gains what is a cost here."""
    return lambda: -figure(example, measure, scenario) if gain else figure(example, measure, scenario)


def kept(example: Example, years: int, scenario: str = "it") -> float:
    """Life-cycle cost if all is sold at the end of a year; for year 0, what is paid at the start."""
    return figure(example, f"lcc_kept_{years_text(years)}" if years else "paid_at_start", scenario)


def level_kept(years: int) -> str:
    """The measure that is the equivalent year if all is sold at the end of a year."""
    return f"equivalent_year_kept_{years_text(years)}"


def years_text(years: int) -> str:
    """As measures name it."""
    return f"{years}_year" if years == 1 else f"{years}_years"


def worth_of_year(example: Example, year: int, scenario: str = "it", *, gain: bool = False) -> Callable[[], float]:
    """What a year adds to the present value, by the table of holding periods. gain: as in `of`."""
    sign = -1 if gain else 1
    return lambda: sign * (kept(example, year, scenario) - kept(example, year - 1, scenario))


def for_years(rate: float, years: int) -> float:
    """What 1 a year is worth over more years than a study may have: the last ones, from a study of their own, count
    in year 50 of another."""
    late = figure(alone(years - 50, rate, Yearly(1, 1, years - 50)), "lcc")
    return figure(alone(50, rate, Yearly(1, 1, 50), Once(late, 50)), "lcc")
