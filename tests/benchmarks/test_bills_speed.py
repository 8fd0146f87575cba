"""How fast bills are: ten years of time of use with blocks, five scenarios, beside what does the same otherwise.

What is asserted are ratios within one run; see beside.py.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pandas as pd
import pytest

import tco
from tco.engine import evaluate
from tco.model import build, clock
from tco.study import Study
from tests.benchmarks.beside import Row, beside, taken
from tests.published.written import table
from tests.studies import TABLES, write_study

YEARS, SCENARIOS, HOME = 10, 5, 3500.0  # HOME: kWh a year
ZONE, START = "Europe/Vienna", "2025-01"
BLOCKS = {"on": ((0.0, 0.21), (60.0, 0.29), (200.0, 0.38)), "off": ((0.0, 0.17), (150.0, 0.24))}
TAX = 0.19
HOLIDAYS = ((1, 1), (12, 25))
HOURS = (
    "seasons,on,5-10,weekday,11:00,17:00",
    "seasons,on,11-4,weekday,07:00,11:00",
    "seasons,on,11-4,weekday,17:00,19:00",
    "seasons,off,,otherwise,,",
)


def watts(number: int) -> float:
    """Average power of a scenario, busy a fifth of the time."""
    return 20.0 + 10 * number + 0.2 * 30


def tables(priced: dict[str, str]) -> dict[str, str]:
    """The study with a tariff and what belongs to it."""
    about = ("question,?", "currency,EUR", "discount,3 %", f"start,{START}", f"time zone,{ZONE}")
    scenarios = [f"build {n},{'' if n else 'yes'},build {n}.csv,grid,20 %" for n in range(SCENARIOS)]
    builds = {
        f"build {n}": table("part,quantity,price,idle,busy", [f"box,1,100 EUR,{20 + 10 * n} W,{50 + 10 * n} W"])
        for n in range(SCENARIOS)
    }
    return {
        "study": table("setting,value", [*about, f"horizon,{YEARS} years"]),
        "scenarios": table("scenario,baseline,parts list,tariff,busy share", scenarios),
        **builds,
        **priced,
    }


FLAT = {"tariffs": table("tariff,start,price", ["grid,2020-01,0.3 EUR/kWh"])}
BILLED = {
    "tariffs": table("tariff,start,price,hours", ["grid,2020-01,,seasons"]),
    "hours": table("hours,period,months,days,begins,ends", list(HOURS)),
    "holidays": table("day,hours", [f"{month:02}-{day:02}," for month, day in HOLIDAYS]),
    "home": table("month,use", [f",{HOME} kWh"]),
    "charges": table(
        "tariff,start,charge,price,above,period,percent",
        [
            *(
                f"grid,2020-01,energy {period},{price} EUR/kWh,{above} kWh,{period},"
                for period, steps in BLOCKS.items()
                for above, price in steps
            ),
            f"grid,2020-01,tax,,,,{100 * TAX} %",
        ],
    ),
}


@pytest.fixture(scope="module")
def studies(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Study]:
    """The study with one price, and with bills."""
    root = tmp_path_factory.mktemp("bills")
    return {
        name: tco.load(write_study(root / name, **{**dict.fromkeys(TABLES), **tables(priced)}))
        for name, priced in (("flat", FLAT), ("billed", BILLED))
    }


def worked_out(study: Study) -> Any:
    """Build and evaluate, as in a program that has just begun: every quarter of an hour is counted anew."""
    clock.quarters.cache_clear()
    return evaluate(build(study).model)


def seconds(studies: dict[str, Study]) -> tuple[float, float]:
    """What the study with one price takes, and how much more the one with bills; in turns, the quickest of each."""
    runs = [[taken(lambda study=study: worked_out(study)) for study in studies.values()] for _ in range(12)]  # type: ignore[misc]
    flat, billed = map(min, zip(*runs, strict=True))
    return flat, billed - flat


def test_what_bills_add_to_a_comparison(studies: dict[str, Study], benchmark: Any) -> None:
    """Against the same study with one price; the time added is a part of what everything else takes."""
    benchmark(worked_out, studies["billed"])
    flat, added = seconds(studies)
    beside(Row("what bills add, ten years", added, "the rest of the comparison", flat, 0.75), benchmark)


def test_bills_against_pandas_hour_by_hour(studies: dict[str, Study], benchmark: Any) -> None:
    """The same bills by frames of all hours, for each scenario without and with the build: equal, and far slower.

    Each hour's period is asked for by itself, as one writes it down first.
    """
    totals: list[float] = []
    plain = taken(lambda: totals.extend(added_by_pandas()))
    _, added = seconds(studies)
    comparison = tco.compare(studies["billed"])
    ours = [comparison.of(ground.month("electricity")).sum() for ground in comparison.built.grounds]
    assert ours == pytest.approx(totals, rel=1e-9)
    benchmark(worked_out, studies["billed"])
    beside(Row("bills of ten years, five scenarios", added, "pandas, hour by hour", plain, 20, least=True), benchmark)


def added_by_pandas() -> Iterator[float]:
    """What each build adds to ten years of bills."""
    for number in range(SCENARIOS):
        yield ten_years(watts(number)) - ten_years(0.0)


def ten_years(build_watts: float) -> float:
    """All bills of a home with so much more power, hour by hour."""
    start = pd.Timestamp(START, tz=ZONE)
    hours = pd.date_range(start, start + pd.DateOffset(years=YEARS), freq="h", inclusive="left")
    frame = pd.DataFrame({"year": hours.year, "month": hours.month, "period": [period_of(hour) for hour in hours]})
    of_year = frame.groupby("year").month.transform("size")
    frame["kwh"] = HOME / of_year + build_watts / 1000
    used = frame.groupby(["year", "month", "period"]).kwh.sum()
    return (1 + TAX) * sum(in_blocks(kwh, BLOCKS[period]) for (*_, period), kwh in used.items())


def period_of(hour: pd.Timestamp) -> str:
    """The period of an hour, as the rows of hours.csv say it."""
    if hour.weekday() > 4 or (hour.month, hour.day) in HOLIDAYS:
        return "off"
    on = 11 <= hour.hour < 17 if 5 <= hour.month <= 10 else 7 <= hour.hour < 11 or 17 <= hour.hour < 19
    return "on" if on else "off"


def in_blocks(kwh: float, steps: tuple[tuple[float, float], ...]) -> float:
    """A month's charge in blocks."""
    ends = [*(above for above, _ in steps[1:]), float("inf")]
    return sum(price * max(0.0, min(kwh, end) - above) for (above, price), end in zip(steps, ends, strict=True))
