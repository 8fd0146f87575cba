"""Equivalent yearly amounts, and how long to keep a thing: tables by holding period and economic life."""

from __future__ import annotations

from functools import partial

from tests.published.factors import Rounding, by_factors, moved, single, uniform
from tests.published.record import Check, Source, Subject
from tests.published.sources import (
    ACCA,
    ACCA_EXAM,
    BLANK,
    BULBS,
    CIMA,
    NEWNAN,
    NEWNAN_6_38,
    OPENSTAX_16_5,
    PARK_TRUCK,
)
from tests.published.written import (
    Example,
    Gear,
    Item,
    Once,
    Yearly,
    alone,
    kept,
    level_kept,
    of,
    series,
)

FOUR = "factors of 4 digits"


def level(name: str, printed: str, source: Source, example: Example, more: float = 0.0, why: str = FOUR) -> Check:
    """An equivalent yearly amount."""
    return Check(name, printed, source, of(example, "equivalent_year"), more, why if more else "")


def recovered(rate: float, years: int, digits: int, first: float, last: float) -> float:
    """How far rounded factors of capital recovery and of a sinking fund move what a thing costs a year."""
    recovery, fund = 1 / uniform(rate, years), single(rate, years) / uniform(rate, years)
    return by_factors((first, recovery, digits), (-last, fund, digits))


def bought(first: float, last: float, years: int, rate: float, *running: Item) -> Example:
    """Bought, run and sold at the end."""
    return alone(years, rate, Once(first), *running, Once(-last, years))


def gradient(rate: float, years: int) -> float:
    """The level amount of 0, 1, 2 ... at the ends of the years."""
    return 1 / rate - years / ((1 + rate) ** years - 1)


def lakes() -> list[Check]:
    """Newnan's problems of chapter 6."""
    around = bought(75000, 45000, 15, 0.07, Yearly(12000, 1, 15))
    under = bought(125000, 25000, 15, 0.07, Yearly(7000, 1, 15))
    falling = alone(10, 0.08, *series(tuple(30000.0 - 3000 * year for year in range(10))))
    slope = by_factors((3000, gradient(0.08, 10), 3))
    y = bought(8000, 2000, 12, 0.08, Yearly(150, 1, 12))
    diesel = bought(13000, 2000, 4, 0.06, Yearly(50000 / 35 * 0.48 + 800, 1, 4))
    petrol = bought(12000, 3000, 3, 0.06, Yearly(50000 / 28 * 0.51 + 700, 1, 3))
    return [
        level("around the lake", "18,444", NEWNAN, around, recovered(0.07, 15, 4, 75000, 45000)),
        level("under the lake", "19,730", NEWNAN, under, recovered(0.07, 15, 4, 125000, 25000)),
        level("falling by 3,000 a year", "18,387", NEWNAN, falling, slope, "a gradient factor of 3 digits"),
        level("X, 5 years", "1,252", NEWNAN, alone(5, 0.08, Once(5000))),
        level("Y, 12 years", "1,106", NEWNAN, y),
        level("diesel car", "4,780.31", NEWNAN_6_38, diesel, recovered(0.06, 4, 4, 13000, 2000)),
        level("petrol car", "5,157.61", NEWNAN_6_38, petrol, recovered(0.06, 3, 4, 12000, 3000)),
    ]


FOR_EVER = Example(
    50, 0.10, (("D", (Gear(250000, fetched=(250000.0,) * 50), Yearly(9000, 1, 50))),)
)  # an asset that keeps its price stands for one that lasts for ever


def machines() -> list[Check]:
    """Blank & Tarquin's machine of infinite life and pieces of a capitalised cost; the trucks of unequal lives."""
    capital = alone(10, 0.05, Once(150000), Once(50000, 10))
    older = alone(3, 0.10, Once(50000), Yearly(-40000, 1, 3))
    newer = alone(6, 0.10, Once(50000), Yearly(-30000, 1, 6))
    ten = by_factors((50000, single(0.05, 10), 4))
    return [
        level("machine C, 5 years", "32,371", BLANK, bought(50000, 5000, 5, 0.10, Yearly(20000, 1, 5))),
        Check(
            "machine D, for ever: as an asset that keeps its price",
            "34,000",
            BLANK,
            of(FOR_EVER, level_kept(50), "D"),
        ),
        Check("150,000 now and 50,000 in year 10", "180,695", BLANK, of(capital, "lcc"), ten, FOUR),
        level("15,000 every 13 years", "847", BLANK, alone(13, 0.05, Once(15000, 13))),
        Check("older truck, 3 years", "49,474", OPENSTAX_16_5, of(older, "lcc", gain=True)),
        Check("newer truck, 6 years", "80,658", OPENSTAX_16_5, of(newer, "lcc", gain=True)),
        Check("older truck, a year", "19,894", OPENSTAX_16_5, of(older, "equivalent_year", gain=True)),
        Check("newer truck, a year", "18,520", OPENSTAX_16_5, of(newer, "equivalent_year", gain=True)),
    ]


PLAIN_BULB = alone(2, 0.11, Once(0.49), Yearly(0.060 * 500 * 0.125, 1, 2))  # 1,000 h at 500 h a year: 2 years

LEVEL_AMOUNTS = Subject(
    "Equivalent yearly amounts",
    "A life-cycle cost spread evenly over its years makes alternatives of unequal lives comparable.",
    (*lakes(), *machines(), level("light bulb of 60 W", "4.04", BULBS, PLAIN_BULB)),
)

ECONOMIC_LIFE = Example(
    5,
    0.10,
    (("it", (Gear(20000, fetched=(10000, 8000, 5000, 5000, 3000)), *series((5000, 6500, 9000, 11000, 15000)))),),
)
DEFENDER = alone(
    2, 0.10, Gear(today=12000, fetched=(10000, 9000)), Yearly(20000, 1, 2), settings=(("owned gear", "cost"),)
)
FREE_DEFENDER = alone(2, 0.10, Gear(today=12000, fetched=(10000, 9000)), Yearly(20000, 1, 2))
LIFT_TRUCK = alone(
    7,
    0.15,
    Gear(18000, fetched=(10000, 7500)),  # beyond its last point a resale curve falls on at the last ratio
    Yearly(1000 / 1.15, 1, 7, 0.15),
    Once(3000, 5),
    Once(4500, 7),
)
CAR = alone(3, 0.14, Gear(20000, fetched=(12000, 10000, 6000)), *series((1500, 2300, 4000)))
MACHINE = alone(2, 0.10, Gear(20000, fetched=(16000, 13000)), *series((5000, 5500)))
EXAM = alone(2, 0.15, Once(72000), *series((7200, 9600)), Once(-16600, 2))


def holding(name: str, example: Example, source: Source, *printed: str) -> list[Check]:
    """A printed table of equivalent years by holding period."""
    return [
        Check(f"{name}, {years} year{'s' if years > 1 else ''}", text, source, of(example, level_kept(years)))
        for years, text in enumerate(printed, start=1)
    ]


def life(name: str, printed: str, source: Source, example: Example) -> Check:
    """The years for which it is cheapest to keep a thing."""
    return Check(f"{name}, cheapest to keep (years)", printed, source, of(example, "economic_life"))


def cycle(
    rate: float, years: int, rounded: Rounding, *, price: float, running: tuple[float, ...], resale: float
) -> float:
    """The present value of buying, running and selling; each amount times factor rounded to the unit, as printed."""
    factors = [rounded(single(rate, year), 3) for year in range(1, years + 1)]
    costs = sum(rounded(cost * factor, 0) for cost, factor in zip(running, factors, strict=False))
    return price + costs - rounded(resale * factors[-1], 0)


def cycles(
    name: str,
    example: Example,
    source: Source,
    *printed: tuple[int, str, str],
    rate: float,
    price: float,
    running: tuple[float, ...],
    resale: tuple[float, ...],
) -> list[Check]:
    """Replacement cycles as exam texts print them: present value and equivalent year, by factors of 3 digits."""
    why, found = "factors of 3 digits, amounts rounded to the unit", []
    for years, worth, a_year in printed:

        def value(rounded: Rounding, years: int = years) -> float:
            return cycle(rate, years, rounded, price=price, running=running, resale=resale[years - 1])

        def spread(rounded: Rounding, years: int = years) -> float:
            return value(rounded, years) / rounded(uniform(rate, years), 3)

        title = f"{name}, {years} year{'s' if years > 1 else ''}"
        found += [
            Check(f"{title}, present value", worth, source, partial(kept, example, years), moved(value), why),
            Check(f"{title}, a year", a_year, source, of(example, level_kept(years)), moved(spread), why),
        ]
    return found


KEEPING = Subject(
    "How long to keep it",
    "One study with a resale curve gives the whole table by holding period, everything sold at the end of each year, "
    "and the year that is cheapest; owned gear costs what it would fetch today.",
    (
        *holding("bought for 20,000", ECONOMIC_LIFE, BLANK, "17,000", "13,429", "13,239", "12,864", "13,623"),
        life("bought for 20,000", "4", BLANK, ECONOMIC_LIFE),
        *holding("owned, worth 12,000 today", DEFENDER, BLANK, "23,200", "22,629"),
        life("owned, worth 12,000 today", "2", BLANK, DEFENDER),
        *holding(
            "lift truck", LIFT_TRUCK, PARK_TRUCK, "11,700", "8,653", "7,406", "6,678", "6,642", "6,258", "6,394"
        ),
        life("lift truck", "6", PARK_TRUCK, LIFT_TRUCK),
        *cycles(
            "car", CAR, ACCA, (1, "10,791", "12,304"), (2, "15,395", "9,347"), (3, "21,735", "9,360"),
            rate=0.14, price=20000, running=(1500, 2300, 4000), resale=(12000, 10000, 6000),
        ),
        *cycles(
            "machine", MACHINE, CIMA, (1, "10,001", "11,002"), (2, "18,350", "10,570"),
            rate=0.10, price=20000, running=(5000, 5500), resale=(16000, 13000),
        ),
        *cycles(
            "exam's machine", EXAM, ACCA_EXAM, (2, "72,972", "44,878"),
            rate=0.15, price=72000, running=(7200, 9600), resale=(0, 16600),
        ),
    ),
)  # fmt: skip
SUBJECTS = (LEVEL_AMOUNTS, KEEPING)
