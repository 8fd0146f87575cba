"""Failure rates as field statistics print them, and how many drives of an age are left after some years.

That a drive fails at all is found by letting what never fails take its place.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from tests.published.drive_sources import (
    BACKBLAZE_LIFETIME,
    BACKBLAZE_YEARS,
    BEACH,
    BEACH_RATES,
    FLASH_2016,
    MTTF,
    MTTF_READ,
    POSTERIOR,
    SCHROEDER,
    SSD_REVIEW,
)
from tests.published.drives import HOURS_OF_A_YEAR, Drives, constant, counted, once, years
from tests.published.record import Check, Subject

DAYS_OF_A_YEAR = 365
MEASURED, CONSUMER = "hard drive, measured", "hard drive, consumer 2009-2013"
ROUNDED = 0.000005  # half of the last digit in which the yearly hazards are printed
# year of age -> chance to fail in it, share that is left at its end
TABLE = {
    0: ("1.063 %", "0.98937"),
    1: ("1.295 %", "0.97655"),
    2: ("1.503 %", "0.96188"),
    3: ("1.681 %", "0.94570"),
    4: ("1.841 %", "0.92830"),
    5: ("2.286 %", "0.90708"),
    6: ("2.720 %", "0.88241"),
    7: ("2.494 %", "0.86040"),
    8: ("1.808 %", "0.84485"),
    9: ("2.300 %", "0.82542"),
}
QUARTERS = (0.01395, 0.01015, 0.00920, 0.00946)


def failures(units: int, rate: float) -> float:
    """Failures of units of a constant rate [1/year] in a year, each replaced by its like."""
    return counted(Drives(12, "part,quantity,failures,price", (f"drive,{units},flat,1",), constant(rate)))


def a_year(failed: float, drive_days: float) -> Callable[[], float]:
    """Failures of one drive a year, of so many failures in so many days of drives."""
    return lambda: failures(1000, failed / drive_days * DAYS_OF_A_YEAR) / 1000


def of_mttf(hours: float, units: int = 1) -> Callable[[], float]:
    """Failures a year of units with a mean time to failure."""
    return lambda: failures(units, HOURS_OF_A_YEAR / hours)


def fails(months: int, age: str, curve: str) -> float:
    """The chance that a unit of an age fails within so many months, by a reference curve."""
    return counted(once(months, age, curve))


def left(months: int, curve: str) -> float:
    """The share of new units that have not failed after so many months, by a reference curve."""
    return 1 - fails(months, "", curve)


def fails_at(rate: float, years: int) -> float:
    """The chance that a unit of a constant rate [1/year] fails within so many years."""
    return counted(once(12 * years, "", "flat", failures=constant(rate)))


def first_year() -> float:
    """The chance to fail in the first year, of hazards by quarter of it."""
    rows = tuple(f"quarters,{3 * number} months,{100 * rate:.4f} %/year" for number, rate in enumerate(QUARTERS))
    return counted(once(12, "", "quarters", failures=rows))


RATES = Subject(
    "Failure rates",
    "What field statistics print as AFR is failures for each drive and year, of drives that are replaced; data "
    "sheets print the same as hours between failures. A study has it as `rate`; what fails in a year is read out.",
    (
        Check("25 failures in 934,441 days of drives: a drive and year", "0.98 %", SSD_REVIEW, a_year(25, 934_441)),
        Check(
            "4,581 failures in 68,104,520 days of drives: a drive and year",
            "2.45 %",
            BACKBLAZE_LIFETIME,
            a_year(4581, 68_104_520),
        ),
        Check(
            "50 failures in 3,555,491 days of drives: a drive and year", "0.51 %", POSTERIOR, a_year(50, 3_555_491)
        ),
        Check("the same with one failure more", "0.52 %", POSTERIOR, a_year(51, 3_555_491)),
        Check("1,000,000 hours to failure: failures a year", "0.88 %", SCHROEDER, of_mttf(1e6)),
        Check("1,500,000 hours to failure: failures a year", "0.58 %", MTTF_READ, of_mttf(1.5e6)),
        Check("300,000 hours to failure: failures of 45 drives a year", "1.31", MTTF_READ, of_mttf(3e5, 45)),
        Check(
            "1,000,000 hours to failure: chance to fail within a year",
            "0.872 %",
            MTTF,
            partial(fails_at, HOURS_OF_A_YEAR / 1e6, 1),
        ),
        Check("1.02 % a year: replaced within 4 years", "4 %", FLASH_2016, partial(fails_at, 0.0102, 4)),
        Check(
            "solid-state drives, the curve that comes with the tool: replaced within 4 years",
            "10 %",
            FLASH_2016,
            partial(fails, 48, "", "solid-state drive, 2016 high"),
        ),
    ),
    "A study gives rates by the year, for its months differ in hours; here 8,760 h are a year. A failed drive is "
    "replaced at its month's end, and so fails once a month at most: at 1 % a year that is 0.04 % less.",
)
SURVIVAL = Subject(
    "Drives that are left",
    "The chance to fail in each year of age and the share left after it, by the curves that come with the tool; and "
    "the three rates of consumer drives in 2013.",
    (
        *(
            Check(
                f"hard drives, year {age + 1} of age: fail in it",
                fail,
                BACKBLAZE_YEARS,
                partial(fails, 12, f"{age} years", MEASURED),
                ROUNDED,
                "the curve's hazards are printed to 0.001 %",
            )
            for age, (fail, _) in TABLE.items()
        ),
        *(
            Check(
                f"hard drives: left after {years(age + 1)}",
                stay,
                BACKBLAZE_YEARS,
                partial(left, 12 * age + 12, MEASURED),
                ROUNDED * (age + 1),
                f"hazards of {years(age + 1)}, printed to 0.001 %",
            )
            for age, (_, stay) in TABLE.items()
        ),
        Check("hard drives, by quarters of the first year: fail in it", "1.063 %", BACKBLAZE_YEARS, first_year),
        Check("consumer drives, 2013: left after 18 months", "0.9264", BEACH_RATES, partial(left, 18, CONSUMER)),
        Check("consumer drives, 2013: left after 3 years", "0.9071", BEACH_RATES, partial(left, 36, CONSUMER)),
        Check("consumer drives, 2013: left after 4 years", "0.8061", BEACH_RATES, partial(left, 48, CONSUMER)),
        Check(
            "consumer drives, 2013: left after 4 years, as printed",
            "`over` and `nearly` 80 %",
            BEACH,
            partial(left, 48, CONSUMER),
            span=(0.79, 0.81),
        ),
    ),
)
SUBJECTS = (RATES, SURVIVAL)
