"""Expected replacements of fleets of hard drives, against independent computations.

In continuous time: the printed 7.382, 10.867 and 11.468 have the source's hazards by quarter of age, all others
yearly ones. The tool counts whole months, so that what takes a failed drive's place comes up to a month later: LATE.
In steps of a year nothing of that is left: a month of the tool is a year of that table, and a curve has its chances.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from math import exp

from tests.published.drive_sources import BACKBLAZE, BACKBLAZE_CONTINUOUS, BACKBLAZE_STEPS, BEACH_FLEET
from tests.published.drives import Drives, by_month, counted, renewed
from tests.published.record import Check, Subject

MEASURED, CAUTIOUS, CONSUMER = (f"hard drive, {kind}" for kind in ("measured", "cautious", "consumer 2009-2013"))
QUARTERLY = {0: "7.382", 3: "10.867", 5: "11.468"}
CONTINUOUS = {  # start age, years, curve -> failures of 100 drives
    (0, 10, MEASURED): "18.727",
    (8, 5, MEASURED): "10.876",
    (0, 10, CAUTIOUS): "20.076",
    (3, 5, CAUTIOUS): "11.078",
    (5, 5, CAUTIOUS): "12.900",
    (8, 5, CAUTIOUS): "17.202",
}
OF_2013 = {0: "0.2080", 2: "0.3295"}  # age -> failures of one drive in 4 years
# Yearly hazards [%] of table 1.1, and those that never fall, as printed
HAZARDS = {
    MEASURED: (1.069, 1.303, 1.514, 1.696, 1.858, 2.313, 2.757, 2.525, 1.824, 2.327),
    CAUTIOUS: (1.069, 1.303, 1.514, 1.696, 1.858, 2.313, 2.757, 2.757, 2.757, 2.757, 4.25),
}
STEPS = {  # start age, years, curve -> failures of 100 drives in steps of a year
    (0, 5, MEASURED): "7.330",
    (0, 10, MEASURED): "18.559",
    (3, 5, MEASURED): "10.792",
    (5, 5, MEASURED): "11.385",
    (0, 5, CAUTIOUS): "7.330",
    (0, 10, CAUTIOUS): "19.891",
    (3, 5, CAUTIOUS): "10.999",
    (5, 5, CAUTIOUS): "12.806",
    (8, 5, CAUTIOUS): "17.078",
}
YEAR_BY_YEAR = {  # start age -> failures of 100 drives in each year, measured
    0: "1.063 1.292 1.495 1.666 1.814",
    3: "1.682 1.828 2.248 2.636 2.398",
    5: "2.287 2.682 2.428 1.769 2.220",
}
ROUNDED = 0.0005  # failures of 100 drives in a year, of half of the last digit of hazards in % printed to 0.001
# Half a month of the hazard at which the second drive would fail by then, for each first failure: over s from 0 to 4
# years the sum of first hazard(s) x hazard(4 - s) / 24; from new (0.051 x 0.118 x 2 + 0.0009) / 24 = 0.00054, from
# age 2 (0.014 x 0.118 + 1.5 x 0.118 x 0.014 + 1.5 x 0.118 x 0.051) / 24 = 0.00055.
LATE_2013 = 0.00055
LATE = "what takes a failed drive's place comes at its month's end, on average half a month late"


def failures(units: int, age: int, years: int, curve: str) -> float:
    """Failures of drives of an age [year], each replaced by a new one, by a reference curve."""
    return counted(renewed(12 * years, units, f"{age} years", curve))


def in_years(age: int, years: int, curve: str) -> Drives:
    """The same with months for years, of 100 drives."""
    chances = [100 * (1 - exp(-hazard / 100)) for hazard in HAZARDS[curve]]
    rows = tuple(f"steps,{number} months,{chance:.12f} %" for number, chance in enumerate(chances))
    return renewed(years, 100, f"{age} months", "steps", failures=rows, header="curve,age,chance")


def in_year(age: int, year: int) -> Callable[[], float]:
    """Failures in one year, in steps of a year."""
    return lambda: by_month(in_years(age, 5, MEASURED))[year]


def name(age: int, years: int, curve: str) -> str:
    """A case in words."""
    return f"{curve.removeprefix('hard drive, ')}, {age} years old: failures in {years} years"


FLEETS = Subject(
    "A fleet of drives",
    "Failures that 100 drives of an age, each replaced by a new one, have in some years: the curves that come with "
    "the tool, its renewal equation and months against continuous time; of consumer drives in 2013 those of one.",
    (
        *(
            Check(
                f"100 drives, {age} years old at the start: failures in 5 years",
                text,
                BACKBLAZE,
                partial(failures, 100, age, 5, MEASURED),
                0.001 * float(text),
                "yearly means of quarterly hazards, and whole months: below 0.1 %",
            )
            for age, text in QUARTERLY.items()
        ),
        *(
            Check(
                f"100 drives, {name(*case)}",
                text,
                BACKBLAZE_CONTINUOUS,
                partial(failures, 100, *case),
                0.001 * float(text),
                f"{LATE}: below 0.1 %",
            )
            for case, text in CONTINUOUS.items()
        ),
        *(
            Check(
                f"consumer drives, 2013, {age} years old: failures of one in 4 years",
                text,
                BEACH_FLEET,
                partial(failures, 1, age, 4, CONSUMER),
                LATE_2013,
                LATE,
            )
            for age, text in OF_2013.items()
        ),
    ),
)
YEARLY = Subject(
    "A fleet of drives in steps of a year",
    "The same 100 drives counted once a year: a month of the study stands for a year, the failure curve holds the "
    "chance of each year of age. What fails is replaced at the year's end by a new one.",
    (
        *(
            Check(
                f"100 drives, {name(*case)}",
                text,
                BACKBLAZE_STEPS,
                partial(counted, in_years(*case)),
                ROUNDED * case[1],
                f"hazards of {case[1]} years, printed to 0.001 %",
            )
            for case, text in STEPS.items()
        ),
        *(
            Check(
                f"100 drives, {age} years old: failures in year {year}",
                text,
                BACKBLAZE_STEPS,
                in_year(age, year),
                ROUNDED,
                "hazards printed to 0.001 %",
            )
            for age, texts in YEAR_BY_YEAR.items()
            for year, text in enumerate(texts.split(), start=1)
        ),
    ),
)
SUBJECTS = (FLEETS, YEARLY)
