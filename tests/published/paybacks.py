"""Payback: the years after which an investment has come back, undiscounted and discounted."""

from __future__ import annotations

from collections.abc import Callable

from tests.published.factors import by_factors, single
from tests.published.record import Check, Source, Subject
from tests.published.returns import BREALEY_A, BREALEY_B, THREE, UNEVEN
from tests.published.sources import BREALEY, CENGEL, ITAC, OPENSTAX_11
from tests.published.written import Example, Gear, cash, figure, kept, of


def payback(name: str, printed: str, source: Source, example: Example, who: str = "it") -> Check:
    """A printed simple payback, in years."""
    return Check(f"{name} (years)", printed, source, of(example, "simple_payback", who))


def thousands(*flows: float) -> Example:
    """Flows in thousands."""
    return cash(0.0, *(1000 * flow for flow in flows))


FOUR_YEARS = (-20000.0, 5000, 8000, 10000, 10000)
DISCOUNTED = cash(0.10, *FOUR_YEARS)


def so_far() -> list[Check]:
    """What has come back after each year, discounted by factors of 3 digits."""

    def back(years: int) -> Callable[[], float]:
        return lambda: -kept(DISCOUNTED, years)

    def after(years: int) -> float:
        terms = enumerate(FOUR_YEARS[1 : years + 1], start=1)
        return by_factors(*((amount, single(0.10, year), 3) for year, amount in terms))

    printed = ("-15,455", "-8,847", "-1,337", "5,493")
    return [
        Check(f"come back after year {year}, at 10 %", text, ITAC, back(year), after(year), THREE)
        for year, text in enumerate(printed, start=1)
    ]


HOURS, YEAR = 3500, 8760  # h; the first year, 2027, has no leap day


def motors(years: int) -> Example:
    """A motor of 60 hp (0.7457 kW each) at 89.0 % or 93.2 %, 3,500 hours a year at 0.08 a kWh."""
    standard, efficient = (60 * 745.7 / share for share in (0.890, 0.932))
    scenarios = (("standard", (Gear(4520, busy=standard),)), ("efficient", (Gear(5160, busy=efficient),)))
    return Example(years, 0.0, scenarios, kwh=0.08, busy=HOURS / YEAR)


def motor() -> list[Check]:
    """What the efficient motor saves in a year, and when it has paid."""

    def less(measure: str) -> float:
        return figure(motors(1), measure, "standard") - figure(motors(1), measure, "efficient")

    return [
        Check("efficient motor: kWh a year saved", "7,929", CENGEL, lambda: less("energy_year")),
        Check("efficient motor: saved a year", "634", CENGEL, lambda: less("total_electricity")),
        payback("efficient motor", "1.0", CENGEL, motors(2), "efficient"),
    ]


PAYBACK = Subject(
    "Payback",
    "Flows add up, undiscounted or discounted, until they have paid for the investment, straight between the years' "
    "ends; one case is worked from power, hours and a price of a kWh.",
    (
        payback("20,000 a year for 150,000", "7.5", OPENSTAX_11, thousands(-150, *[20.0] * 8)),
        payback("uneven, for 150,000", "8.5", OPENSTAX_11, thousands(-150, 10, 20, 20, 15, 15, 20, 20, 20, 20)),
        payback("uneven, for 40,000", "5.33", OPENSTAX_11, thousands(-40, 10, 10, 5, 5, 7.5, 7.5)),
        payback("uneven, for 50,000", "6.5", OPENSTAX_11, cash(0.05, *UNEVEN)),
        payback("A", "2.5", BREALEY, cash(0.11, *BREALEY_A)),
        payback("B", "2", BREALEY, cash(0.11, *BREALEY_B)),
        payback("5, 8, 10, 10 thousand for 20,000", "2.7", ITAC, DISCOUNTED),
        Check(
            "the same, discounted at 10 % (years)",
            "between years 3 and 4",
            ITAC,
            of(DISCOUNTED, "discounted_payback"),
            span=(3.0, 4.0),
        ),
        *so_far(),
        *motor(),
    ),
)
SUBJECTS = (PAYBACK,)
