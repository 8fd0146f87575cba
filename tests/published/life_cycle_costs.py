"""Life-cycle costs as printed: alternatives with replacement, residual value, energy and upkeep."""

from __future__ import annotations

from tests.published.factors import by_factors, growth_of, moved, single, uniform
from tests.published.record import Check, Subject
from tests.published.sources import HANDOUT, ISURV, NIST_1995, NIST_2025, NRCAN, OPENSTAX_16_5, PARK
from tests.published.written import Example, Item, Once, Yearly, alone, for_years, of, worth_of_year

GAS, POWER, FAN = growth_of(16.15, 0.03, 20), growth_of(15.48, 0.03, 20), growth_of(15.13, 0.03, 20)
SOLVED = (
    "NIST's energy factors (16.15 for gas, 15.48 and 15.13 for electricity) hold yearly price indices that are not "
    "printed beside them; the one constant growth that gives each factor stands in for them. That proves how the "
    "factor is used, not how it came about."
)
DOLLARS = "sum of present values rounded to the dollar"


def fuels(first: float, therms: float, kwh: float) -> tuple[Item, ...]:
    """A first cost, gas and electricity at today's prices, growing."""
    return Once(first), Yearly(therms * 1.05, 1, 20, GAS), Yearly(kwh * 0.135, 1, 20, POWER)


WINDOWS = Example(20, 0.03, (("no storm windows", fuels(0, 1500, 1200)), ("storm windows", fuels(2000, 1300, 1100))))
WINDOW_ENERGY = alone(20, 0.03, *fuels(0, 1300, 1100))


def storm_windows() -> list[Check]:
    """Two alternatives, two fuels."""
    return [
        Check("no storm windows", "27,944", NIST_2025, of(WINDOWS, "lcc", "no storm windows")),
        Check("storm windows", "26,344", NIST_2025, of(WINDOWS, "lcc", "storm windows")),
        Check("storm windows, energy alone", "24,344", NIST_2025, of(WINDOW_ENERGY, "lcc")),
    ]


HVAC: dict[str, Item] = {
    "initial cost": Once(103000),
    "fan in year 12": Once(12000, 12),
    "residual value": Once(-3500, 20),
    "energy": Yearly(20000, 1, 20, FAN),
    "upkeep": Yearly(7000, 1, 20),
}


def hvac() -> list[Check]:
    """Replacement, residual value, energy and upkeep."""
    terms = ((12000, single(0.03, 12), 3), (-3500, single(0.03, 20), 3), (7000, uniform(0.03, 20), 2))
    fan, residual, upkeep = (by_factors(term) for term in terms)
    printed = (
        ("103,000", 0.0, ""),
        ("8,412", fan, "factor 0.701"),
        ("-1,939", residual, "factor 0.554"),
        ("302,600", 0.0, ""),
        ("104,160", upkeep, "factor 14.88"),
    )
    parts = [
        Check(f"HVAC, {name}", text, NIST_1995, of(alone(20, 0.03, item), "lcc"), more, why)
        for (name, item), (text, more, why) in zip(HVAC.items(), printed, strict=True)
    ]
    whole = of(alone(20, 0.03, *HVAC.values()), "lcc")
    return [*parts, Check("HVAC, all together", "516,233", NIST_1995, whole, by_factors(*terms), "these factors")]


MOTORS = Example(
    10,
    0.10,
    (("motor", (Once(4200), Yearly(31948, 1, 10))), ("premium motor", (Once(4700), Yearly(31513, 1, 10)))),
)
TO_THE_DOLLAR = 0.5 * uniform(0.10, 10)
MOTOR_WHY = "its yearly cost is printed to the dollar: 0.5 × 6.145"
OVERHAUL_OR_NEW = Example(
    15,
    0.05,
    (
        ("new", (Once(120000), Yearly(6000, 6, 15), Once(-15000, 15))),
        ("overhaul", (Once(60000), Once(70000, 10), Yearly(4000, 1, 10), Yearly(5000, 11, 15))),
    ),
)
CHAIN = alone(6, 0.10, Once(50000), Yearly(-40000, 1, 3), Once(50000, 3), Yearly(-40000, 4, 6))
CHAIN_YEARS = ("36,363.64", "33,057.85", "-7,513.15", "27,320.54", "24,836.85", "22,578.96")


def overhaul_moved() -> float:
    """How far whole dollars move the cost of overhauling."""
    late = uniform(0.05, 5) * single(0.05, 10)
    return moved(
        lambda rounded: (
            rounded(70000 * single(0.05, 10), 0) + rounded(4000 * uniform(0.05, 10), 0) + rounded(5000 * late, 0)
        )
    )


def others() -> list[Check]:
    """Motors, an overhaul, a truck bought again."""
    older = alone(5, 0.12, Yearly(54440 / 1.07, 1, 5, 0.07))
    smaller = alone(5, 0.12, Yearly(54440 * 0.77 / 1.07, 1, 5, 0.07))
    overhaul, new = (of(OVERHAUL_OR_NEW, "lcc", name) for name in ("overhaul", "new"))
    return [
        Check("motor", "200,506", NRCAN, of(MOTORS, "lcc", "motor"), TO_THE_DOLLAR, MOTOR_WHY),
        Check("premium motor", "198,331", NRCAN, of(MOTORS, "lcc", "premium motor"), TO_THE_DOLLAR, MOTOR_WHY),
        Check("overhaul, service late and dearer", "147,151", HANDOUT, overhaul, overhaul_moved(), DOLLARS),
        Check("new instead, first years free", "149,086", HANDOUT, new),
        Check("compressor, power +7 % a year", "222,283", PARK, of(older, "lcc")),
        Check("compressor using 23 % less", "171,158", PARK, of(smaller, "lcc")),
        Check("truck bought again in year 3", "86,644.69", OPENSTAX_16_5, of(CHAIN, "lcc", gain=True)),
    ]


def chain() -> list[Check]:
    """The truck bought again, year by year: what each year adds to the present value."""
    return [
        Check(f"that truck, year {year}", text, OPENSTAX_16_5, worth_of_year(CHAIN, year, gain=True))
        for year, text in enumerate(CHAIN_YEARS, start=1)
    ]


def sixty_years() -> list[Check]:
    """The parts of a cost over 60 years whose printed total does not follow from them; see wrong.py."""
    return [
        Check("75,000 a year for 60 years", "1,696,762", ISURV, sixty_years_running),
        Check("5,000 in year 15", "2,776", ISURV, of(alone(15, 0.04, Once(5000, 15)), "lcc")),
        Check("600,000 in year 45", "102,719", ISURV, of(alone(45, 0.04, Once(600000, 45)), "lcc")),
    ]


def sixty_years_running() -> float:
    """75,000 a year for 60 years."""
    return 75000 * for_years(0.04, 60)


LIFE_CYCLE_COSTS = Subject(
    "Life-cycle cost",
    "Present values of first costs, dated replacements, residual values, growing energy costs and upkeep add up as "
    "the standards' own examples do.",
    (*storm_windows(), *hvac(), *others(), *chain(), *sixty_years()),
    SOLVED,
)
SUBJECTS = (LIFE_CYCLE_COSTS,)
