"""Group-replacement tables of operations-research texts: failures by month of 1,000 units.

A table's shares of all units become chances for a unit of that age: share / (1 - shares before). A week of the texts
is a month here.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from itertools import accumulate

import tco
from tests.published.record import Check, Source, Subject
from tests.published.sources import GROUP_B, GROUP_C, GROUP_E
from tests.published.written import compared, table

UNITS = 1000
Shares = tuple[float, ...]
B: Shares = (0.09, 0.16, 0.24, 0.36, 0.12, 0.03)
C: Shares = (0.10, 0.15, 0.25, 0.30, 0.20)
E: Shares = (0.05, 0.15, 0.20, 0.25, 0.20, 0.15)
WHOLE = "printed in whole units, some cut off, some rounded"


def curve(shares: Shares) -> str:
    """A failure curve in monthly chances from the shares of a life table."""
    before = [0.0, *accumulate(shares)]
    chances = [min(1.0, share / (1 - gone)) for share, gone in zip(shares, before, strict=False)]
    return table("curve,age,chance", [f"bulb,{n} months,{100 * chance:.13f} %" for n, chance in enumerate(chances)])


@cache
def failures_by_month(shares: Shares, months: int) -> tuple[float, ...]:
    """Failures of 1,000 units of 1 EUR each, by the lines frame."""
    settings = ("question,Which?", "currency,EUR", "start,2027-01", f"horizon,{months} months", "time zone,UTC")
    found = compared(
        {
            "study": table("setting,value", [*settings, "discount,0"]),
            "scenarios": "scenario,parts list\nbulbs,bulbs.csv\n",
            "bulbs": f"part,quantity,price,failures\nbulb,{UNITS},1 EUR,bulb\n",
            "failures": curve(shares),
        }
    )
    lines = tco.lines(found)
    return tuple(lines[(lines.line == "replacement") & (lines.month > 0)].value)


def mean_life(shares: Shares) -> float:
    """The mean life in months."""
    return sum(month * share for month, share in enumerate(shares, start=1))


def renewed(shares: Shares, months: int) -> tuple[float, ...]:
    """The same by the renewal recursion in plain arithmetic, apart from the tool's."""
    put_in = [float(UNITS)]
    for month in range(1, months + 1):
        put_in.append(sum(put_in[month - age] * shares[age - 1] for age in range(1, min(month, len(shares)) + 1)))
    return tuple(put_in[1:])


def failing(shares: Shares, month: int) -> Callable[[], float]:
    """Failures in one month."""
    return lambda: failures_by_month(shares, 7)[month - 1]


def cost_a_month(shares: Shares, months: int, one: float, group: float) -> Callable[[], float]:
    """Failed units replaced one by one, and all together every some months: per month."""
    return lambda: (one * sum(failures_by_month(shares, 7)[:months]) + group * UNITS) / months


def by_month(name: str, shares: Shares, source: Source, printed: str, more: float = 0.0) -> list[Check]:
    """A printed table of failures."""
    return [
        Check(f"{name}: failures in month {month}", text, source, failing(shares, month), more, WHOLE if more else "")
        for month, text in enumerate(printed.split(), start=1)
    ]


def costs(name: str, shares: Shares, source: Source, one: float, group: float, printed: str) -> list[Check]:
    """A printed table of costs by the months between group replacements."""
    return [
        Check(f"{name}: cost a month, all replaced after {n}", text, source, cost_a_month(shares, n, one, group))
        for n, text in enumerate(printed.split(), start=1)
    ]


GROUPS = Subject(
    "Failures and group replacement",
    "What replaces a failed unit fails too: failures by age, worked out with the renewal equation, follow the tables "
    "of operations research, and so do the costs of replacing all units together every few months.",
    (
        *by_month("bulbs 1", B, GROUP_B, "90 168 269 432 274 260", 0.5),
        *costs("bulbs 1", B, GROUP_B, 3.0, 0.7, "970 737.15 760.96 895.29 881.12 864.25"),
        *by_month("bulbs 2", C, GROUP_C, "100 160 281 377 350 230 286"),
        *by_month("street bulbs", E, GROUP_E, "50 152.5 215.125 293.63 289.95 299.69"),
        *costs("street bulbs", E, GROUP_E, 60.0, 25.0, "28000 18575 16685.8 16918.8 17014.5 17175.7"),
    ),
)
SUBJECTS = (GROUPS,)
