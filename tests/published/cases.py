"""Published life-cycle-cost cases: payments and what was printed of them. Costs positive, as in their studies here.

status: `seen` (the numbers were read in a retrieved text) or `memory` (recalled). Where a text used rounded factors,
the tolerance is what their rounding can make; else half of the last printed digit.
"""

from __future__ import annotations

from dataclasses import dataclass

from scipy.optimize import brentq


@dataclass(frozen=True)
class Once:
    """Paid once, at the end of a year (0: the start)."""

    amount: float
    year: int = 0


@dataclass(frozen=True)
class Yearly:
    """Paid in each year from `first` to `last`, growing a year from today's price; the first year's is grown."""

    amount: float
    first: int
    last: int
    growth: float = 0.0


@dataclass(frozen=True)
class Case:
    """One printed figure, the payments it was made of, and the measure that must give it."""

    name: str
    years: int
    rate: float
    payments: tuple[Once | Yearly, ...]
    printed: float
    within: float
    source: str
    measure: str = "lcc"
    timing: str = "year-end"


def uniform(rate: float, years: int, growth: float = 0.0) -> float:
    """The factor of a yearly amount that grows from today's price: NIST's UPV and UPV*."""
    return sum(((1 + growth) / (1 + rate)) ** year for year in range(1, years + 1))


def growth_of(factor: float, rate: float, years: int) -> float:
    """The one growth that gives a printed factor: the yearly indices in it are not printed."""
    return float(brentq(lambda growth: uniform(rate, years, growth) - factor, -0.2, 0.2, xtol=1e-14))


def series(amounts: list[float]) -> tuple[Yearly, ...]:
    """A different amount each year, from year 1 on."""
    return tuple(Yearly(amount, year, year) for year, amount in enumerate(amounts, start=1) if amount)


NIST_2025 = "NIST Handbook 135e2025, sec. 7.1.1, pp. 94-95; seen in a public source ledger, not the PDF"
NIST_1995 = "NIST Handbook 135 (1995), Table 5-2; outputs seen in a public test suite, inputs from memory"
NIST_FACTORS = "NIST discount factors; first two seen (NISTIR 85-3273-24, Table A-1), the others quoted"
PRATT_27 = "D. Pratt, as above, Examples 27-30, p. 252; seen"
PRATT = "D. Pratt, Economic Analysis, in Thumann & Woodroof, Energy Project Financing, pp. 225-259; seen"
OMB = "OMB Circular A-94 (Oct 1992), Appendix B; memory, all six totals confirmed by recomputation"
OMB_2023 = "OMB Circular A-94 (Nov 2023), Appendix B; inputs, rate and totals seen in a public test file"
OPENSTAX = "OpenStax Principles of Finance, sec. 16.5 (m00103); seen in full"
BLANK = "Blank & Tarquin, lecture slides on economic life; seen"
NEWNAN = "Newnan, Eschenbach & Lavelle, Engineering Economic Analysis 9th ed., ch. 6; seen"
ACCA = "ACCA F9 workbook 2017, ch. 5 question 4; seen"
CIMA = "CIMA P2 notes, asset replacement decision; seen"
INSULATION = "textbook problem on insulation, reprinted with answers; seen (book not named)"
MASTERS = "G. Masters, Renewable and Efficient Electric Power Systems, ch. 5; memory"
PARK = "C. Park, Contemporary Engineering Economics, compressor; memory"
PARK_TRUCK = "C. Park, Example 11.4, lift truck; outputs seen, growth, resale rate and overhauls inferred from them"
NRCAN = "Natural Resources Canada, motors, Table B; seen; its yearly cost is printed rounded"
CLASS = "Answers to Tutorial - Life Cycle Costing, class handout; seen"
CAPEHART = "Capehart, Turner & Kennedy, Guide to Energy Management, Example 4.14, p. 158; seen"
GREEN_BOOK = "HM Treasury Green Book, Annex A Table A.1 (3.5 %); seen"

GAS, POWER, FAN = growth_of(16.15, 0.03, 20), growth_of(15.48, 0.03, 20), growth_of(15.13, 0.03, 20)
COSTS = [10.0, 20, 30, 30, 20, 10, 5, 5, 5, 5]
BENEFITS = [0.0, 0, 5, 10, 30, 40, 40, 40, 40, 25]
LIFT_TRUCK = (11700, 8653, 7406, 6678, 6642, 6258, 6394)
AW_BY_LIFE = (17000, 13429, 13239, 12864, 13623)


def storm_windows() -> list[Case]:
    """Two alternatives, two fuels; the factors hold unprinted yearly indices, so one growth each is solved for."""

    def case(name: str, first: float, therms: float, kwh: float, printed: float) -> Case:
        gas, power = Yearly(therms * 1.05, 1, 20, GAS), Yearly(kwh * 0.135, 1, 20, POWER)
        return Case(name, 20, 0.03, (Once(first), gas, power), printed, 0.5, NIST_2025)

    return [case("no storm windows", 0, 1500, 1200, 27944), case("storm windows", 2000, 1300, 1100, 26344)]


def hvac() -> list[Case]:
    """Replacement, residual, energy and upkeep; the text's factors have 3 digits, hence the tolerances."""
    parts = {
        "initial": ((Once(103000),), 103000, 0.5),
        "fan in year 12": ((Once(12000, 12),), 8412, 6.5),
        "residual": ((Once(-3500, 20),), -1939, 2.3),
        "energy": ((Yearly(20000, 1, 20, FAN),), 302600, 0.5),
        "upkeep": ((Yearly(7000, 1, 20),), 104160, 35.5),
    }
    whole = tuple(payment for payments, *_ in parts.values() for payment in payments)
    found = [Case(f"HVAC {name}", 20, 0.03, *rest, NIST_1995) for name, rest in parts.items()]
    return [*found, Case("HVAC all", 20, 0.03, whole, 516233, 45, NIST_1995)]


def factors() -> list[Case]:
    """Single, uniform and escalating factors, of 1,000."""

    def single(rate: float, years: int, printed: float, within: float, source: str) -> Case:
        name = f"single {rate:.1%} {years} years"
        return Case(name, max(years, 1), rate, (Once(1000, years),), 1000 * printed, 1000 * within, source)

    def level(years: int, growth: float, printed: float, within: float) -> Case:
        payments = (Yearly(1000, 1, years, growth),)
        return Case(
            f"uniform {growth:.0%} {years} years", years, 0.03, payments, 1000 * printed, 1000 * within, NIST_FACTORS
        )

    green = "1.0000 0.9662 0.9335 0.9019 0.8714 0.8420 0.8135 0.7860 0.7594 0.7337 0.7089 0.6849 0.6618 0.6394 0.6178"
    table = [single(0.035, year, float(value), 0.00005, GREEN_BOOK) for year, value in enumerate(green.split())]
    return [
        single(0.03, 7, 0.813091, 0.000001, NIST_FACTORS),
        single(0.03, 15, 0.642, 0.0005, NIST_FACTORS),
        level(7, 0.0, 6.23028, 0.000005),
        level(15, 0.0, 11.94, 0.005),
        level(15, 0.02, 13.89, 0.005),
        level(5, 0.02, 4.8562, 0.00005),
        *table,
    ]


def savings() -> list[Case]:
    """Present worths of savings: printed as gains, so here as negative costs. 4-digit factors where noted."""
    windows = (Once(10000), Yearly(-2525, 1, 3), Yearly(-3840, 4, 6))
    return [
        Case("thermal windows 15 %", 6, 0.15, windows, -1530.07, 0.4, PRATT),
        Case("thermal windows 18 %", 6, 0.18, windows, -571.50, 0.4, PRATT),
        Case("thermal windows 20 %", 6, 0.20, windows, 0.01, 0.4, PRATT),
        Case("R-11 to R-19", 20, 0.10, (Once(150), Yearly(-32, 1, 20)), -122.44, 0.007, PRATT),
        Case("R-19 to R-30", 20, 0.10, (Once(200), Yearly(-20, 1, 20)), 29.73, 0.006, PRATT),
        Case("economizer", 10, 0.10, (Once(20000), Yearly(-3000, 1, 10)), 1566.20, 0.16, PRATT),
        Case("with salvage", 10, 0.10, (Once(20000), Yearly(-3000, 1, 10), Once(-5000, 10)), -361.30, 0.41, PRATT),
        Case("insulation saved", 20, 0.15, (Yearly(-184 / 1.12, 1, 20, 0.12),), -2518, 0.5, INSULATION),
        Case("insulation net", 20, 0.15, (Once(2000), Yearly(-184 / 1.12, 1, 20, 0.12)), -518, 0.5, INSULATION),
        Case("premium motor", 20, 0.10, (Once(500), Yearly(-192, 1, 20)), -1135, 0.5, MASTERS),
        Case("premium motor, fuel +5 %", 20, 0.10, (Once(500), Yearly(-192, 1, 20, 0.05)), -1942, 0.5, MASTERS),
    ]


def life_cycle_costs() -> list[Case]:
    """Life-cycle costs in the narrow sense."""
    older = (Once(50000), Yearly(-40000, 1, 3), Once(50000, 3), Yearly(-40000, 4, 6))
    overhaul = (Once(60000), Once(70000, 10), Yearly(4000, 1, 10), Yearly(5000, 11, 15))
    new = (Once(120000), Yearly(6000, 6, 15), Once(-15000, 15))
    compressor = (Yearly(54440 / 1.07, 1, 5, 0.07),)
    smaller = (Yearly(54440 * 0.77 / 1.07, 1, 5, 0.07),)
    energy = series([25000 * 1.25**year for year in (1, 2, 3)])
    return [
        Case("motor", 10, 0.10, (Once(4200), Yearly(31948, 1, 10)), 200506, 3, NRCAN),
        Case("premium motor", 10, 0.10, (Once(4700), Yearly(31513, 1, 10)), 198331, 3, NRCAN),
        Case("truck bought again", 6, 0.10, older, -86644.69, 0.005, OPENSTAX),
        Case("overhaul", 15, 0.05, overhaul, 147151, 0.6, CLASS),
        Case("new instead", 15, 0.05, new, 149086, 0.5, CLASS),
        Case("compressor", 5, 0.12, compressor, 222283, 0.5, PARK),
        Case("smaller compressor", 5, 0.12, smaller, 171158, 0.5, PARK),
        Case("constant worth", 4, 0.15, (Yearly(1000, 1, 4),), 2855.00, 0.5, PRATT_27),
        Case("then-current", 4, 0.1845, (Yearly(1000, 1, 4, 0.03),), 2854.89, 0.1, PRATT_27),
        Case("energy, growing prices", 3, 0.30, energy, 69377, 0.5, CAPEHART),
    ]


def deferred() -> list[Case]:
    """Costs and benefits year by year, at the year's end and in its middle (times the square root of 1.07)."""

    def case(name: str, rate: float, amounts: list[float], printed: float, source: str, timing: str) -> Case:
        return Case(name, 10, rate, series(amounts), printed, 0.005, source, timing=timing)

    return [
        case("costs 3.1 %", 0.031, COSTS, 123.37, OMB_2023, "year-end"),
        case("benefits 3.1 %", 0.031, BENEFITS, 184.92, OMB_2023, "year-end"),
        case("costs 7 %", 0.07, COSTS, 106.40, OMB, "year-end"),
        case("benefits 7 %", 0.07, BENEFITS, 142.41, OMB, "year-end"),
        case("costs 7 % mid-year", 0.07, COSTS, 110.06, OMB, "mid-year"),
        case("benefits 7 % mid-year", 0.07, BENEFITS, 147.31, OMB, "mid-year"),
    ]


def level_amounts() -> list[Case]:
    """Equivalent yearly costs, and economic life by holding period."""

    def case(name: str, years: int, rate: float, payments: tuple, printed: float, within: float, source: str) -> Case:  # type: ignore[type-arg]
        return Case(name, years, rate, payments, printed, within, source, measure="equivalent_year")

    running, salvage = [5000.0, 6500, 9000, 11000, 15000], [10000, 8000, 5000, 5000, 3000]
    by_life = [
        case(f"economic life {n}", n, 0.10, (*kept(running, n), Once(-salvage[n - 1], n)), printed, 0.5, BLANK)
        for n, printed in enumerate(AW_BY_LIFE, start=1)
    ]
    truck = [
        case(f"lift truck {n}", n, 0.15, lift_truck(n), printed, 0.5, PARK_TRUCK)
        for n, printed in enumerate(LIFT_TRUCK, start=1)
    ]
    around = (Once(75000), Yearly(12000, 1, 15), Once(-45000, 15))
    under = (Once(125000), Yearly(7000, 1, 15), Once(-25000, 15))
    falling = series([30000 - 3000 * year for year in range(10)])
    return [
        *by_life,
        *truck,
        case("keep 1 year", 1, 0.10, (Once(12000), Yearly(20000, 1, 1), Once(-10000, 1)), 23200, 0.5, BLANK),
        case("keep 2 years", 2, 0.10, (Once(12000), Yearly(20000, 1, 2), Once(-9000, 2)), 22629, 0.5, BLANK),
        case("machine C", 5, 0.10, (Once(50000), Yearly(20000, 1, 5), Once(-5000, 5)), 32371, 0.5, BLANK),
        case("around the lake", 15, 0.07, around, 18444, 0.5, NEWNAN),
        case("under the lake", 15, 0.07, under, 19730, 0.9, NEWNAN),
        case("falling costs", 10, 0.08, falling, 18387, 1.5, NEWNAN),
        case("X", 5, 0.08, (Once(5000),), 1252, 0.5, NEWNAN),
        case("Y", 12, 0.08, (Once(8000), Yearly(150, 1, 12), Once(-2000, 12)), 1106, 0.5, NEWNAN),
        case("car 1 year", 1, 0.14, (Once(20000), *series([1500]), Once(-12000, 1)), 12304, 6, ACCA),
        case("car 2 years", 2, 0.14, (Once(20000), *series([1500, 2300]), Once(-10000, 2)), 9347, 3, ACCA),
        case("car 3 years", 3, 0.14, (Once(20000), *series([1500, 2300, 4000]), Once(-6000, 3)), 9360, 3, ACCA),
        case("machine 1 year", 1, 0.10, (Once(20000), *series([5000]), Once(-16000, 1)), 11002, 11, CIMA),
        case("machine 2 years", 2, 0.10, (Once(20000), *series([5000, 5500]), Once(-13000, 2)), 10570, 6, CIMA),
        case("older truck", 3, 0.10, (Once(50000), Yearly(-40000, 1, 3)), -19894, 0.5, OPENSTAX),
        case("newer truck", 6, 0.10, (Once(50000), Yearly(-30000, 1, 6)), -18520, 0.5, OPENSTAX),
    ]


def kept(running: list[float], years: int) -> tuple[Once | Yearly, ...]:
    """Bought for 20,000 and run for some years."""
    return (Once(20000), *series(running[:years]))


def lift_truck(years: int) -> tuple[Once | Yearly, ...]:
    """Running costs of 1,000 in year 1 growing 15 % a year, two overhauls, resale falling by a quarter a year."""
    overhauls = [Once(amount, year) for year, amount in ((5, 3000.0), (7, 4500.0)) if year <= years]
    resale = Once(-10000 * 0.75 ** (years - 1), years)
    return (Once(18000), Yearly(1000 / 1.15, 1, years, 0.15), *overhauls, resale)


CASES = [
    *storm_windows(),
    *hvac(),
    *factors(),
    *savings(),
    *life_cycle_costs(),
    *deferred(),
    *level_amounts(),
]
