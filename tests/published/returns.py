"""Net savings, savings-to-investment ratios and rates of return, as printed."""

from __future__ import annotations

import re
from collections.abc import Callable

from tests.published.factors import Rounding, by_factors, by_year, moved, single, uniform
from tests.published.life_cycle_costs import MOTOR_WHY, MOTORS, OVERHAUL_OR_NEW, TO_THE_DOLLAR, WINDOWS
from tests.published.record import Check, Source, Subject
from tests.published.sources import (
    BREALEY,
    EXCEL,
    FORMCALC,
    GREEN_BOOK_2003,
    HANDOUT,
    IMSL,
    INSULATION,
    ITAC,
    MASTERS,
    MASTERS_IRR,
    MATHWORKS,
    NIST_2025,
    NRCAN,
    NUMPY_FINANCIAL,
    OPENFORMULA,
    OPENSTAX_11,
    OPENSTAX_16_3,
    PRATT,
    REGULATION_Z,
)
from tests.published.written import (
    Example,
    Item,
    Monthly,
    Once,
    Rate,
    Yearly,
    against_nothing,
    alone,
    cash,
    figure,
    figures,
    of,
)

FOUR, THREE = "factors of 4 digits", "factors of 3 digits"
THERMAL = (-10000.0, 2525, 2525, 2525, 3840, 3840, 3840)


def saved(
    name: str, printed: str, source: Source, example: Example, more: float = 0.0, why: str = FOUR, who: str = "it"
) -> Check:
    """A printed net present value or net saving."""
    return Check(name, printed, source, of(example, "net_savings", who), more, why if more else "")


def in_series(rate: float) -> float:
    """How far two factors of 4 digits move the windows' savings: three years, and three years later."""

    def worth(rounded: Rounding) -> float:
        years = rounded(uniform(rate, 3), 4)
        return 2525 * years + 3840 * years * rounded(single(rate, 3), 4)

    return moved(worth)


def pratt() -> list[Check]:
    """Pratt's windows, insulation and economizer."""
    windows = [
        saved(
            "thermal windows, 15 %, year by year",
            "1,530.07",
            PRATT,
            cash(0.15, *THERMAL),
            by_year(0.15, 4, THERMAL[1:]),
        ),
        saved("thermal windows, 15 %, by series", "1,529.70", PRATT, cash(0.15, *THERMAL), in_series(0.15)),
        saved("thermal windows, 18 %", "571.50", PRATT, cash(0.18, *THERMAL), in_series(0.18)),
        saved("thermal windows, 20 %", "-0.01", PRATT, cash(0.20, *THERMAL), in_series(0.20)),
    ]
    insulated, more, twenty = (Once(150), Yearly(-32, 1, 20)), (Once(200), Yearly(-20, 1, 20)), uniform(0.10, 20)
    plain = (Once(20000), Yearly(500, 1, 10), Yearly(-3500, 1, 10))
    ten = (3000, uniform(0.10, 10), 4)
    salvage = by_factors(ten, (5000, single(0.10, 10), 4))
    return [
        *windows,
        saved("R-11 to R-19", "122.44", PRATT, against_nothing(20, 0.10, *insulated), by_factors((32, twenty, 4))),
        saved("R-19 to R-30", "-29.73", PRATT, against_nothing(20, 0.10, *more), by_factors((20, twenty, 4))),
        saved("economizer", "-1,566.20", PRATT, against_nothing(10, 0.10, *plain), by_factors(ten)),
        saved("with salvage", "361.30", PRATT, against_nothing(10, 0.10, *plain, Once(-5000, 10)), salvage),
    ]


UNEVEN = (-50000.0, 10000, 5000, 7000, 3000, 10000, 10000, 10000)
TEN_YEARS = (-200000.0, *(1000.0 * amount for amount in (20, 25, 20, 40, 40, 60, 30, 35, 25, 45)))
EVEN = cash(0.08, -200000, *[40000.0] * 10)


def textbooks() -> list[Check]:
    """Net present values and net savings of the other texts."""

    def even(rate: float, years: int, amount: float) -> float:
        return by_factors((amount, uniform(rate, years), 3))

    def insulation(first: float) -> Example:
        return against_nothing(20, 0.15, Once(first), Yearly(-184 / 1.12, 1, 20, 0.12))

    def motor(growth: float) -> Example:
        return against_nothing(20, 0.10, Once(500), Yearly(-192, 1, 20, growth))

    seven, ten = by_year(0.05, 3, UNEVEN[1:]), by_year(0.08, 3, TEN_YEARS[1:])
    return [
        saved("storm windows", "1,600", NIST_2025, WINDOWS, who="storm windows"),
        saved("premium motor, 75 hp", "2,175", NRCAN, MOTORS, TO_THE_DOLLAR, MOTOR_WHY, "premium motor"),
        saved("overhaul against new", "1,935", HANDOUT, OVERHAUL_OR_NEW, who="overhaul"),
        saved("insulation, savings +12 % a year", "2,518", INSULATION, insulation(0)),
        saved("insulation, net of its cost", "518", INSULATION, insulation(2000)),
        saved("premium motor", "1,135", MASTERS, motor(0.0)),
        saved("premium motor, fuel +5 % a year", "1,942", MASTERS, motor(0.05)),
        saved("option A (millions)", "-0.82", GREEN_BOOK_2003, cash(0.035, -10, *[2.5] * 4)),
        saved("option B (millions)", "0.51", GREEN_BOOK_2003, cash(0.035, -5, *[1.5] * 4)),
        saved("40,000 a year for 10 years", "68,400", OPENSTAX_11, EVEN, even(0.08, 10, 40000), THREE),
        saved("10 uneven years", "19,990", OPENSTAX_11, cash(0.08, *TEN_YEARS), ten, THREE),
        saved(
            "40,000 a year for 5 years",
            "16,640",
            OPENSTAX_11,
            cash(0.10, -135000, *[40000.0] * 5),
            even(0.10, 5, 40000),
            THREE,
        ),
        saved(
            "10,000 a year for 7 years",
            "7,860",
            OPENSTAX_11,
            cash(0.05, -50000, *[10000.0] * 7),
            even(0.05, 7, 10000),
            THREE,
        ),
        saved("7 uneven years", "-5,018", OPENSTAX_11, cash(0.05, *UNEVEN), seven, THREE),
        saved("10,000 a year for 5 years", "9,927", OPENSTAX_11, cash(0.08, -30000, *[10000.0] * 5)),
        saved("1,500 a year for 5 years", "686", ITAC, cash(0.10, -5000, *[1500.0] * 5)),
    ]


FEE_CENTS = "a yearly amount is twelve fees written to 15 decimals, added in double precision"


def documented() -> list[Check]:
    """Net present values that function documentation prints; in a spreadsheet the first flow is a period away."""
    six = (8000.0, 9200, 10000, 12000, 14500)
    months = against_nothing(5 / 12, (1 + 0.0275 / 12) ** 12 - 1, *monthly(50, 60, 40, 100, 25), timing="month-end")
    hundred = alone(12, 0.10, Yearly(100, 1, 12), Once(-100, 12))
    pmt = alone(10 / 12, (1 + 0.08 / 12) ** 12 - 1, Once(10000), timing="month-end")
    return [
        saved("NPV(10 %; -10000; 3000 ...)", "1,188.44", EXCEL, cash(0.10, 0, -10000, 3000, 4200, 6800)),
        saved("NPV(8 %; 8000; 9200 ...) - 40000", "1,922.06", EXCEL, cash(0.08, -40000, *six)),
        saved("the same with -9000 in year 6", "-3,749.47", EXCEL, cash(0.08, -40000, *six, -9000)),
        saved("NPV(100 %; 4; 5; 7)", "4.125", OPENFORMULA, cash(1.0, 0, 4, 5, 7)),
        saved("NPV(10 %; 100; 200)", "256.198347107438", OPENFORMULA, cash(0.10, 0, 100, 200), 1e-11, FEE_CENTS),
        saved(
            "npv(0.08, [-40000, 5000 ...])",
            "3065.22267",
            NUMPY_FINANCIAL,
            cash(0.08, -40000, 5000, 8000, 12000, 30000),
        ),
        saved(
            "NPV(0.10, 500, 1500, 4000, 10000)",
            "11529.60863329007",
            FORMCALC,
            cash(0.10, 0, 500, 1500, 4000, 10000),
            1e-9,
            FEE_CENTS,
        ),
        saved("NPV(0.065, 5000)", "4694.83568075117", FORMCALC, cash(0.065, 0, 5000), 1e-9, FEE_CENTS),
        saved("NPV(0.0275/12, 50, 60 ...), monthly", "273.14193838457", FORMCALC, months, 1e-10, FEE_CENTS),
        Check("PV(10 %; 12; -100; 100)", "649.51", OPENFORMULA, of(hundred, "lcc")),
        Check("PMT(8 %/12; 10; 10000), monthly", "1,037.03", EXCEL, of(pmt, "equivalent_month")),
        Check("PMT(5 %; 12; 1000)", "112.82541", OPENFORMULA, of(alone(12, 0.05, Once(1000)), "equivalent_year")),
        Check(
            "PMT(5 %; 12; 1000; 100)",
            "119.10795",
            OPENFORMULA,
            of(alone(12, 0.05, Once(1000), Once(100, 12)), "equivalent_year"),
        ),
    ]


def monthly(*returns: float) -> tuple[Item, ...]:
    """What comes back month by month."""
    return tuple(Monthly(-amount, month, month) for month, amount in enumerate(returns, start=1))


NET_SAVINGS = Subject(
    "Net savings and net present value",
    "What a scenario costs less than the baseline is the net present value of the investment that it is.",
    (*pratt(), *textbooks(), *documented()),
)


def ratio(name: str, printed: str, source: Source, example: Example, more: float = 0.0, why: str = "") -> Check:
    """A printed savings-to-investment ratio, or profitability index."""
    return Check(name, printed, source, of(example, "savings_to_investment_ratio"), more, why)


def over_investment(name: str, printed: str, example: Example) -> Check:
    """Net present value over what is invested."""
    return Check(
        name,
        printed,
        BREALEY,
        lambda: figure(example, "net_savings") / figure(example, "paid_at_start"),
    )


MIRR_FLOWS = (-120000.0, 39000, 30000, 21000, 37000, 46000)
BREALEY_A, BREALEY_B = (-200.0, 80, 80, 80, 80), (-200.0, 100, 100, 100)


def adjusted(name: str, printed: str, rate: Rate, *flows: float) -> Check:
    """MIRR, all invested at the start: then the finance rate does not matter, and it is the adjusted rate."""
    return Check(name, printed, EXCEL, of(cash(rate, *flows), "adjusted_rate_of_return"))


RATIOS = Subject(
    "Savings-to-investment ratio and adjusted rate of return",
    "Savings in operating costs over the extra investment, both in present value; and the yearly rate at which the "
    "investment grows if what it saves is put by at the discount rate (a spreadsheet's MIRR, where all is invested "
    "at the start).",
    (
        ratio("thermal windows", "1.15297", PRATT, cash(0.15, *THERMAL), in_series(0.15) / 10000, FOUR),
        ratio("40,000 a year for 10 years", "1.342", OPENSTAX_11, EVEN),
        over_investment("A, 11 %: NPV over investment", "0.2410", cash(0.11, *BREALEY_A)),
        over_investment("B, 11 %: NPV over investment", "0.2219", cash(0.11, *BREALEY_B)),
        adjusted("MIRR, reinvested at 12 %", "12.609 %", 0.12, *MIRR_FLOWS),
        adjusted("MIRR, first 4 flows", "-4.8 %", 0.12, *MIRR_FLOWS[:4]),
        adjusted("MIRR, reinvested at 14 %", "13.5 %", 0.14, *MIRR_FLOWS),
    ),
)


def rate(
    name: str,
    printed: str,
    source: Source,
    flows: tuple[float, ...],
    span: tuple[float, float] | None = None,
    *,
    at: float = 0.0,
) -> Check:
    """A printed internal rate of return of yearly flows; the discount rate at which they are written is no matter."""
    return Check(name, printed, source, of(cash(at, *flows), "rate_of_return"), span=span)


def several(example: Example, scenario: str = "it") -> list[float]:
    """The rates that a text names: `several: 9.18 % and 62.25 % a year`."""
    text = figures(example)[scenario, "rate_of_return"]
    assert isinstance(text, str), text
    assert text.startswith("several"), text
    return [float(number) / 100 for number in re.findall(r"(-?[\d.]+) %", text)]


def yearly_rates() -> list[Check]:
    """Yearly flows of textbooks and function documentation."""
    eight = (-70000.0, 12000, 15000, 18000, 21000)
    help_flows = (-20000.0, 2000, 2500, 3500, -5000, 6500, 9500, 9500, 9500)
    air = (-1000.0, *[200.0] * 20)
    return [
        rate("thermal windows", "20 %", PRATT, THERMAL, at=0.15),
        rate("air conditioner, 10 years", "just over 15 %", MASTERS_IRR, air[:11], (0.15, 0.155)),
        rate("air conditioner, 20 years", "between 19 % and 21 %", MASTERS_IRR, air, (0.19, 0.21)),
        rate("A", "21.86 %", BREALEY, BREALEY_A, at=0.11),
        rate("B", "23.38 %", BREALEY, BREALEY_B, at=0.11),
        rate("10,000 a year for 5 years", "19.86 %", OPENSTAX_11, (-30000.0, *[10000.0] * 5), at=0.08),
        rate("49,944 a year for 9 years", "8 %", OPENSTAX_11, (-312000.0, *[49944.0] * 9)),
        rate("13,256 a year for 7 years", "12 %", OPENSTAX_11, (-60500.0, *[13256.0] * 7)),
        rate("IRR(-70000 ...), 4 years", "-2.1 %", EXCEL, eight),
        rate("the same and 26000", "8.7 %", EXCEL, (*eight, 26000.0)),
        rate("the first three of them", "-44.4 %", EXCEL, eight[:3]),
        rate("irr([-100, 39, 59, 55, 20])", "0.28095", NUMPY_FINANCIAL, (-100.0, 39, 59, 55, 20)),
        rate("irr([-100, 0, 0, 74])", "-0.0955", NUMPY_FINANCIAL, (-100.0, 0, 0, 74)),
        rate("irr([-100, 100, 0, 7])", "0.06206", NUMPY_FINANCIAL, (-100.0, 100, 0, 7)),
        rate("irr([-100000 10000 ...])", "0.1201", MATHWORKS, (-100000.0, 10000, 20000, 30000, 40000, 50000)),
        rate("irr([-20000 2000 ...])", "11.72 %", MATHWORKS, help_flows),
        rate(
            "irr(-4500, -800, 800 ...)", "0.0720783", IMSL, (-4500.0, -800, 800, 800, 600, 600, 800, 800, 700, 3000)
        ),
    ]


TWO_RATES = cash(0.0, -350, 950, -620)
LOST = cash(0.0, -100, 100, 0, -7)
THREE_RATES = cash(0.0, -5, 10.5, 1, -8, 1)  # 0.0886 in numpy-financial's documentation


def many_rates() -> list[Check]:
    """Flows whose sign changes more than once: all rates are named."""
    return [
        Check(
            "-350, +950, -620: how many rates",
            "two IRRs",
            OPENSTAX_16_3,
            lambda: float(len(several(TWO_RATES))),
            span=(2.0, 2.0),
        ),
        Check("irr([-100, 100, 0, -7]): one of two", "-0.0833", NUMPY_FINANCIAL, lambda: max(several(LOST))),
    ]


def lent(*paid: Item, months: int) -> Callable[[], float]:
    """The annual percentage rate of a loan of 5,000: twelve monthly rates of return."""
    example = against_nothing(months / 12, 0.0, Once(5000), *paid, timing="month-end")
    return lambda: 12 * ((1 + figure(example, "rate_of_return")) ** (1 / 12) - 1)


def loans() -> list[Check]:
    """Loans, from the lender's side."""
    first, last = Monthly(-250, 1, 1), Monthly(-280, 24, 24)
    two_years = against_nothing(2, 0.0, Once(1000), Once(-1240, 2), timing="month-end")
    return [
        Check("24 × 230", "9.69 %", REGULATION_Z, lent(Monthly(-230, 1, 24), months=24)),
        Check("250, then 23 × 230", "10.08 %", REGULATION_Z, lent(first, Monthly(-230, 2, 24), months=24)),
        Check("23 × 230, then 280", "10.50 %", REGULATION_Z, lent(Monthly(-230, 1, 23), last, months=24)),
        Check("250, 22 × 230, 280", "10.90 %", REGULATION_Z, lent(first, Monthly(-230, 2, 23), last, months=24)),
        Check("1,240 after 2 years for 1,000", "11.36 %", REGULATION_Z, of(two_years, "rate_of_return")),
    ]


RATES = Subject(
    "Rate of return",
    "The rate at which an investment is worth nothing, effective a year; below zero where money is lost, from yearly "
    "or monthly flows; where there are several, none is picked.",
    (*yearly_rates(), *many_rates(), *loans()),
)
SUBJECTS = (NET_SAVINGS, RATIOS, RATES)
