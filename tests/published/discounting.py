"""Discount factors, published timings, and real against nominal money."""

from __future__ import annotations

from collections.abc import Callable

import tco
from tests.published.factors import by_year, single
from tests.published.record import Check, Source, Subject
from tests.published.sources import CAPEHART, GREEN_BOOK, MASTERS, NIST_FACTORS, OMB_1992, OMB_2023, PRATT
from tests.published.written import (
    Example,
    Item,
    Once,
    Rate,
    Scenario,
    Yearly,
    alone,
    comparison,
    of,
    series,
    worth_of_year,
)

LIMITED = (
    "1.0000 0.9662 0.9335 0.9019 0.8714 0.8420 0.8135 0.7860 0.7594 0.7337 0.7089 0.6849 0.6618 0.6394 0.6178 0.5969 "
    "0.5767 0.5572 0.5384 0.5202 0.5026 0.4856 0.4692 0.4533 0.4380 0.4231 0.4088 0.3950 0.3817 0.3687 0.3563"
).split()
HEALTH = {10: "0.8617", 20: "0.7425", 30: "0.6398"}


def table_factors(rate: float, factors: dict[int, str]) -> list[Check]:
    """A printed table of factors: what each year of 1 a year adds to the present value; year 0 is 1 at the start."""
    example = alone(30, rate, Once(1), Yearly(1, 1, 30))
    adds = {year: worth_of_year(example, year) if year else of(example, "paid_at_start") for year in factors}
    return [
        Check(f"single, {shown(rate)}, year {year}", text, GREEN_BOOK, adds[year]) for year, text in factors.items()
    ]


def shown(rate: float) -> str:
    """A rate as names have it."""
    return f"{100 * rate:.12g} %"


def worked_factors() -> list[Check]:
    """Single, uniform and escalating factors."""

    def level(years: int, text: str, growth: float = 0.0) -> Check:
        name = f"a year, 3 %, {years} years" + (f", +{shown(growth)} a year" if growth else "")
        return Check(name, text, NIST_FACTORS, of(alone(years, 0.03, Yearly(1, 1, years, growth)), "lcc"))

    def once(years: int, text: str, more: float = 0.0, why: str = "") -> Check:
        ours = of(alone(years, 0.03, Once(1, years)), "lcc")
        return Check(f"single, 3 %, year {years}", text, NIST_FACTORS, ours, more, why)

    escalated = of(alone(20, 0.10, Yearly(1, 1, 20, 0.05)), "lcc")
    return [
        once(7, "0.813091", 5e-7, "cut off after 6 digits, not rounded"),
        once(15, "0.642"),
        level(7, "6.23028"),
        level(15, "11.94"),
        level(15, "13.89", 0.02),
        level(5, "4.8562", 0.02),
        Check("a year, 10 %, 20 years, +5 % a year", "12.717", MASTERS, escalated, 5e-4, "cut off after 3 digits"),
    ]


FACTORS = Subject(
    "Discount factors",
    "An amount at the end of a year, one paid every year, and one that grows from today's price (its first payment "
    "already grown) are worth what the printed factors say.",
    (*worked_factors(), *table_factors(0.035, dict(enumerate(LIMITED))), *table_factors(0.015, HEALTH)),
)

COSTS = (10.0, 20, 30, 30, 20, 10, 5, 5, 5, 5)
BENEFITS = (0.0, 0, 5, 10, 30, 40, 40, 40, 40, 25)
COST_WORTHS = "9.35 17.47 24.49 22.89 14.26 6.66 3.11 2.91 2.72 2.54".split()
BENEFIT_WORTHS = "0 0 4.08 7.63 21.39 26.65 24.91 23.28 21.76 12.71".split()


def programme(rate: float, timing: str) -> Example:
    """Costs, benefits and both, against nothing."""
    costs, benefits = series(COSTS), series(tuple(-amount for amount in BENEFITS))
    scenarios: tuple[Scenario, ...] = (("nothing", ()), ("costs", costs), ("benefits", benefits))
    return Example(10, rate, (*scenarios, ("both", (*costs, *benefits))), timing)


def totals(name: str, example: Example, source: Source, *printed: str) -> list[Check]:
    """Present values of costs and benefits, and their difference."""
    measured = (
        of(example, "lcc", "costs"),
        of(example, "net_savings", "benefits"),
        of(example, "net_savings", "both"),
    )
    labels = ("costs", "benefits", "net present value")
    return [
        Check(f"{label}, {name}", text, source, ours)
        for label, text, ours in zip(labels, printed, measured, strict=True)
    ]


def by_years() -> list[Check]:
    """The yearly present values of 1992; their factors have 4 digits."""
    example, why = programme(0.07, "year-end"), "factors of 4 digits"
    found = []
    for name, amounts, printed in (("costs", COSTS, COST_WORTHS), ("benefits", BENEFITS, BENEFIT_WORTHS)):
        for year, (amount, text) in enumerate(zip(amounts, printed, strict=True), start=1):
            more = amount * abs(round(single(0.07, year), 4) - single(0.07, year))
            ours = worth_of_year(example, year, name, gain=name == "benefits")
            found.append(Check(f"{name} of year {year}, 7 %", text, OMB_1992, ours, more, why))
    return [check for check in found if check.printed != "0"]


TIMING = Subject(
    "Timing",
    "Costs and benefits that differ year by year count at the year's end, or in its middle where the study says so.",
    (
        *totals("3.1 %, year's end", programme(0.031, "year-end"), OMB_2023, "123.37", "184.92", "61.55"),
        *totals("7 %, year's end", programme(0.07, "year-end"), OMB_1992, "106.40", "142.41", "36.01"),
        *totals("7 %, middle of the year", programme(0.07, "mid-year"), OMB_1992, "110.06", "147.31", "37.25"),
        *by_years(),
    ),
)


def stated(money: str, rate: Rate, inflation: float, years: int, *items: Item) -> Example:
    """A study that says which money it is in."""
    settings = (("money", money), ("inflation", f"{100 * inflation:.12f} %"))
    return alone(years, rate, *items, settings=settings)


CONSTANT = {
    "real study, real rate": stated("real", "15 %", 0.03, 4, Yearly(1000, 1, 4)),
    "real study, nominal rate": stated("real", "18.45 % nominal", 0.03, 4, Yearly(1000, 1, 4)),
    "nominal study, nominal rate": stated("nominal", "18.45 %", 0.03, 4, Yearly(1000, 1, 4, "3 %")),
    "nominal study, real rate": stated("nominal", "15 % real", 0.03, 4, Yearly(1000, 1, 4, "0 % real")),
}
ENERGY = {
    "real study, real rate": stated("real", "4 %", 0.25, 3, Yearly(25000, 1, 3)),
    "real study, nominal rate": stated("real", "30 % nominal", 0.25, 3, Yearly(25000, 1, 3)),
    "nominal study, nominal rate": stated("nominal", "30 %", 0.25, 3, Yearly(25000, 1, 3, "25 %")),
    "nominal study, real rate": stated("nominal", "4 % real", 0.25, 3, Yearly(25000, 1, 3, "0 % real")),
    "nominal study, path of prices": stated(
        "nominal", "30 %", 0.25, 3, Yearly(25000, 1, 3, path=(1.25, 1.5625, 1.953125))
    ),
}


def paid_in(example: Example, year: int) -> Callable[[], float]:
    """What is paid in fees in a year, undiscounted, by the lines frame."""

    def ours() -> float:
        lines = tco.lines(comparison(example))
        months = lines.month.between(12 * year - 11, 12 * year)
        return float(lines[(lines.line == "fees") & months].value.sum())

    return ours


def constant_worth() -> list[Check]:
    """1,000 a year at 15 % real and 3 % inflation."""
    exact = by_year(0.15, 4, (1000.0,) * 4)
    then = by_year(0.1845, 4, (1030.00, 1060.90, 1092.73, 1125.51))
    why = "factors of 4 digits year by year"
    nominal = CONSTANT["nominal study, nominal rate"]
    flows = ("1,030.00", "1,060.90", "1,092.73", "1,125.51")
    return [
        *(
            Check(f"constant worth, {name}", "2,855.00", PRATT, of(example, "lcc"), exact, why)
            for name, example in CONSTANT.items()
            if name.startswith("real")
        ),
        *(
            Check(f"then-current, {name}", "2,854.89", PRATT, of(example, "lcc"), then, why)
            for name, example in CONSTANT.items()
            if name.startswith("nominal")
        ),
        *(
            Check(f"paid in year {year}", text, PRATT, paid_in(nominal, year))
            for year, text in enumerate(flows, start=1)
        ),
    ]


def energy() -> list[Check]:
    """25,000 a year at 4 % real and prices rising by a quarter a year."""
    nominal = ENERGY["nominal study, path of prices"]
    half = "39,062.50 was rounded up"
    paid = [
        Check("energy paid in year 1", "31,250", CAPEHART, paid_in(nominal, 1)),
        Check("energy paid in year 2", "39,063", CAPEHART, paid_in(nominal, 2), 1e-6, half),
        Check("energy paid in year 3", "48,828", CAPEHART, paid_in(nominal, 3)),
    ]
    worth = [
        Check(f"worth of energy of year {year}", text, CAPEHART, worth_of_year(nominal, year))
        for year, text in enumerate(("24,038", "23,114", "22,225"), start=1)
    ]
    whole = [Check(f"energy, {name}", "69,377", CAPEHART, of(example, "lcc")) for name, example in ENERGY.items()]
    return [*whole, *paid, *worth]


MONEY = Subject(
    "Real and nominal money",
    "One study said in money of today and in money as it will be paid gives one present value: rates are converted "
    "by (1 + nominal) = (1 + real)(1 + inflation), not by subtracting.",
    (*constant_worth(), *energy()),
)
SUBJECTS = (FACTORS, TIMING, MONEY)
