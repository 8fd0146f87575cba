"""Expected replacements of a fleet of 100 hard drives, against an independent computation in continuous time.

The source's hazards are by quarter of age; the tool's curve has their yearly means, and counts whole months: together
less than 0.1 %. Two independent methods in whole years gave 7.330, 10.792 and 11.385.
"""

from __future__ import annotations

from functools import cache, partial

import tco
from tests.published.record import Check, Subject
from tests.published.sources import BACKBLAZE
from tests.published.written import compared, table

PRINTED = {0: "7.382", 3: "10.867", 5: "11.468"}
CURVE = '"hard drive, measured"'


@cache
def failures_in_5_years(age: int) -> float:
    """Failures of 100 drives of an age, each replaced by a new one at 1 EUR, by the lines frame."""
    settings = ("question,Which?", "currency,EUR", "start,2027-01", "horizon,5 years", "time zone,UTC", "discount,0")
    parts = [f"used,100,{age} years,{CURVE},new,1 EUR", f"new,0,,{CURVE},,1 EUR"]
    found = compared(
        {
            "study": table("setting,value", list(settings)),
            "scenarios": "scenario,parts list\ndrives,drives.csv\n",
            "drives": table("part,quantity,age,failures,replaced by,price", parts),
        }
    )
    lines = tco.lines(found)
    return float(lines[lines.line == "replacement"].value.sum())


FLEETS = Subject(
    "A fleet of drives",
    "Failures that 100 drives of an age, each replaced by a new one, have in five years: the curve that comes with "
    "the tool, its renewal equation and months against hazards by quarter of age in continuous time.",
    tuple(
        Check(
            f"100 drives, {age} years old at the start: failures in 5 years",
            text,
            BACKBLAZE,
            partial(failures_in_5_years, age),
            0.001 * float(text),
            "yearly means of quarterly hazards, and whole months: below 0.1 %",
        )
        for age, text in PRINTED.items()
    ),
)
SUBJECTS = (FLEETS,)
