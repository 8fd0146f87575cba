"""Electricity bills as suppliers print them, line by line: the home's bill in bills.csv.

What suppliers do and a study does not say; each is refused, or there is no cell for it (test_refused_bills.py):

- a price or rebate on *all* units once a threshold is passed: the bill jumps there (CLP Hong Kong: the 401st unit
  costs HK$62.11), so there is no price of one more kWh. `above` begins a block, and a percentage has none;
- a change of price within a month, use split by days (33 and 67 kWh of 100 over 1 April to 15 May): versions begin on
  the first of a month;
- bills that do not run by calendar months: thresholds cut to N/30, factors cut to two decimals;
- rounding: thresholds to whole kWh, lines to cents before tax, totals cut to whole yen. Figures agree within it.
"""

from __future__ import annotations

from collections.abc import Callable

from tests.published.billed import MONTHS, Customer, blocks, cell, charge, monthly, of, total
from tests.published.record import Check, Subject
from tests.published.sources import (
    BC_HYDRO,
    HYDRO_QUEBEC,
    KANSAI,
    KANSAI_MORE,
    OAKVILLE,
    OAKVILLE_REST,
    OFGEM,
    OFGEM_PARTS,
    PSE,
    RWE,
    RWE_1998,
    SEYMOUR,
    SEYMOUR_MORE,
    SINGAPORE,
    SINGAPORE_BILLS,
    TAIPOWER,
    TNB,
    UMHLATHUZE,
)

# Great Britain: one price and a daily charge, tax in them

TYPICAL = {"electricity": 2700.0, "gas": 11500.0}  # kWh a year
BRITISH = {
    # electricity and gas: pence per kWh, pence a day; what was printed for a year, and its electricity alone
    "Jan-Mar 2024": ((28.62, 53.35), (7.42, 29.60), "1,928", "967.47"),
    "Apr-Jun 2024": ((24.50, 60.10), (6.04, 31.43), "1,690", "880.87"),
    "Jul-Sep 2024": ((22.36, 60.12), (5.48, 31.41), "1,568", "823.16"),
    "Oct-Dec 2024": ((24.50, 60.99), (6.24, 31.66), "1,717", "884.11"),
    "Apr-Jun 2026": ((24.67, 57.21), (5.74, 29.09), "1,641", "874.91"),
}
HALF = {"more": 1e-9, "why": "half up, and just half: 880.865"}
RATES = "rates are printed to 0.01 p: 0.005 p on 14,200 kWh and twice on 365 days"


def british(fuel: str, pence: tuple[float, float]) -> Customer:
    """A year of 365 days at one version's rates. Gas is billed in the same way."""
    rates = charge("unit rate", price=f"{pence[0] / 100:.6f}"), charge("standing", fixed_day=f"{pence[1] / 100:.6f}")
    return Customer("GBP", (TYPICAL[fuel],), rates, months=12, zone="Europe/London", watts=50.0)


def both_fuels(name: str) -> Callable[[], float]:
    """Works out a year's electricity and gas."""
    electricity, gas, *_ = BRITISH[name]
    return lambda: total(british("electricity", electricity), *MONTHS)() + total(british("gas", gas), *MONTHS)()


LATE_2024 = british("electricity", BRITISH["Oct-Dec 2024"][0])


def added_in_a_year(case: Customer) -> float:
    """What the build adds to the bills of a year."""
    return sum(cell(case, "bill", "total", month, column=2) for month in MONTHS)


# Falling blocks by season, an adder, a customer charge, a tax on all

SEYMOUR_BILLS = Customer(
    "USD",
    (250, 700, 1200, 0, 250, 700, 1250, 2000),
    (
        *blocks("winter", (0, 0.064), (250, 0.049), (700, 0.0446), period="winter"),
        *blocks("summer", (0, 0.064), (250, 0.049), (700, 0.0475), (1250, 0.0446), period="summer"),
        charge("power cost", price="0.085"),
        charge("customer", fixed="7.50"),
        charge("city tax", percent="1 %"),
    ),
    months=8,
    hours=("year,winter,10-4,,,", "year,summer,5-9,,,"),
    watts=36 / 0.744,  # 36 kWh in a month of 31 days
)
HALF_UP = "printed half up, and just half: 26.125"

# A minimum that covers the first units: they have no price; a discount

KANSAI_BILL = Customer(
    "JPY",
    (260, 296, 120),
    (
        charge("minimum", fixed="522.58"),
        *blocks("steps", (0, 0.0), (15, 20.21), (120, 25.61), (300, 28.59)),
        charge("direct debit", fixed="-55.00"),
    ),
    months=3,
)

# Rising blocks

MALAYSIA = Customer(
    "MYR",
    (350, 350, 350, 350, 1400, 200, 300),
    blocks("energy", (0, 0.218), (200, 0.334), (300, 0.516), (600, 0.546), (900, 0.571)),
    months=7,
)
TAIWAN = Customer("TWD", (400, 0), blocks("energy", (0, 1.63), (120, 2.38), (330, 3.52)))
SOUTH_AFRICA = Customer(
    "ZAR",
    (687, 0),
    (
        *blocks("energy", (0, 1.0793), (50, 1.3831), (350, 1.9651), (600, 2.0546)),
        charge("VAT", percent="15 %", of="energy"),
    ),
)

# Taxes on taxes' sum: seven parts, then VAT

GERMAN_2013 = {"supply and network": (14.42, "42.05"), "electricity tax": (2.05, "5.98"),
               "par. 19 levy": (0.329, "0.96"), "offshore levy": (0.250, "0.73"), "CHP levy": (0.126, "0.37"),
               "renewables levy": (5.277, "15.39"), "concession fee": (1.79, "5.22")}  # fmt: skip
BERLIN = {"zone": "Europe/Berlin", "months": 12}
GERMANY_2013 = Customer(
    "EUR",
    (3500,),
    (
        *(charge(name, price=f"{cents / 100:.6f}") for name, (cents, _) in GERMAN_2013.items()),
        charge("VAT", percent="19 %"),
    ),
    start="2013-01",
    **BERLIN,
)
BY_CENTS = "the price is printed to 0.01 ct: 0.005 ct × 3,500 / 12"
VAT_CUT = "worked from 4.60 ct, cut from 4.606: 0.006 ct × 3,500 / 12"


def german_1998(start: str, vat: str) -> tuple[str, ...]:
    """The charges of 1998 from a month on."""
    parts = {"supply and network": 12.91, "renewables levy": 0.08, "concession fee": 1.79}
    rows = (charge(name, start=start, price=f"{cents / 100:.6f}") for name, cents in parts.items())
    return (*rows, charge("VAT", start=start, percent=vat))


GERMANY_1998 = Customer(
    "EUR",
    (3500,),
    (*german_1998("1998-01", "15 %"), *german_1998("1998-04", "16 %")),
    start="1998-01",
    versions=("1998-01,,,,", "1998-04,,,,"),
    **BERLIN,
)

# Rising blocks, losses on top, adders

OAKVILLE_LINES = (
    *blocks("energy", (0, 0.098), (600, 0.115)),
    charge("service", fixed="31.62"),
    charge("variable", price="0.0010"),
    charge("transmission", price="0.0160", kWh_share="103.76 %"),
    charge("losses", price="0.115", kWh_share="3.76 %"),
    charge("wholesale market", price="0.0039", kWh_share="103.76 %"),
    charge("administration", fixed="0.25"),
)
OAKVILLE_BILL = Customer("CAD", (*[0.0] * 4, 600, 700), OAKVILLE_LINES, start="2022-05", months=2)
OAKVILLE_TAXED = Customer(
    "CAD",
    OAKVILLE_BILL.kwh,
    (*OAKVILLE_LINES, charge("rebate", percent="-17 %"), charge("tax", percent="13 %")),
    start="2022-05",
    months=2,
)
OAKVILLE_PRINTED = {"energy": "70.30", "service": "31.62", "variable": "0.70", "transmission": "11.62",
                    "losses": "3.03", "wholesale market": "2.83", "administration": "0.25"}  # fmt: skip

# A tax on one price; a change of price

SINGAPORE_PRICE = Customer(
    "SGD", (100.0, 0.0), (charge("energy", price="0.2076"), charge("GST", percent="7 %"))
)  # fmt: skip
BILLS = {"1-room": (41.38, "39.99"), "3-room": (77.50, "74.89"), "5-room": (124.80, "120.60")}
OLD, NEW = 0.2910, 0.2812
OLD_BILL = "kWh are solved from the old bill, printed to the cent"


def singapore(old_bill: float) -> Customer:
    """A home in the last month of the old price and the first of the new one."""
    kwh = old_bill / OLD
    charges = (charge("energy", price=OLD), charge("energy", start="2025-01", price=NEW))
    return Customer("SGD", (kwh, *[0.0] * 10, kwh), charges, start="2024-12", months=2,
                  versions=("2000-01,,,,", "2025-01,,,,"))  # fmt: skip


# A charge for the highest power, and a credit on each kWh

DEMAND = Customer(
    "USD",
    (17588, 0),
    (
        charge("customer", fixed="3.74"),
        charge("energy", price="0.09444"),
        charge("adjustment", price="-0.017192"),
        charge("demand", capacity=f"{262.34 / 30:.12f}"),
    ),
    peak=30.0,
)

# Thresholds by the day


def first_tier(per_day: float, start: str, months: int) -> Customer:
    """A home that uses more than the first tier: it costs 1 a kWh, what is beyond costs nothing."""
    return Customer("CAD", (36000,), blocks("first tier", (0, 1), (per_day, 0)), start=start, months=months,
                  blocks="day")  # fmt: skip


def tier_kwh(per_day: float, start: str, months: int) -> Callable[[], float]:
    """Works out the kWh that the first tier takes."""
    return total(first_tier(per_day, start, months), *range(1, months + 1))


def seymour() -> tuple[Check, ...]:
    """Block by block: what the month up to the block's end costs more than the month up to its begin."""
    lines = {
        "winter, first 250 kWh": ("winter", 1, 0, "16.00"),
        "winter, next 450 kWh": ("winter", 2, 1, "22.05"),
        "winter, 500 kWh more": ("winter", 3, 2, "22.30"),
        "winter, power cost": ("power cost", 3, 0, "102.00"),
        "winter, city tax": ("city tax", 3, 0, "1.70"),
        "summer, first 250 kWh": ("summer", 5, 0, "16.00"),
        "summer, next 450 kWh": ("summer", 6, 5, "22.05"),
        "summer, next 550 kWh": ("summer", 7, 6, "26.13"),
        "summer, 750 kWh more": ("summer", 8, 7, "33.45"),
        "summer, power cost": ("power cost", 8, 0, "170.00"),
        "summer, city tax": ("city tax", 8, 0, "2.75"),
    }
    half = {"more": 1e-9, "why": HALF_UP}
    return (
        *(
            Check(f"Seymour, {name}", text, SEYMOUR, of(SEYMOUR_BILLS, item, month, less),
                  **(half if text == "26.13" else {}))
            for name, (item, month, less, text) in lines.items()
        ),
        Check("Seymour, winter, 1,200 kWh", "171.55", SEYMOUR, total(SEYMOUR_BILLS, 3)),
        Check("Seymour, summer, 2,000 kWh", "277.88", SEYMOUR, total(SEYMOUR_BILLS, 8)),
    )  # fmt: skip


def germany() -> tuple[Check, ...]:
    """EUR a month of the model household."""
    coarse = {"more": 0.005 * 35 / 12, "why": BY_CENTS}
    taxed = {"more": 0.006 * 35 / 12 + 0.19 * coarse["more"], "why": f"{VAT_CUT}, and 19 % of the first line's"}
    whole = {"more": taxed["more"] + coarse["more"], "why": "sum of the printed lines: the first one's and VAT's"}
    return (
        *(
            Check(f"Germany 2013, {name}", text, RWE, monthly(GERMANY_2013, name),
                  **(coarse if name == "supply and network" else {}))
            for name, (_, text) in GERMAN_2013.items()
        ),
        Check("Germany 2013, VAT", "13.42", RWE, monthly(GERMANY_2013, "VAT"), **taxed),
        Check("Germany 2013, a month", "84.12", RWE, monthly(GERMANY_2013), **whole),
        Check("Germany 1998, a month", "49.90", RWE_1998, monthly(GERMANY_1998)),
    )  # fmt: skip


BLOCKS = Subject(
    "Electricity bills",
    "Rising and falling blocks, seasons, losses, minimum and fixed charges, rebates, taxes and a charge by the "
    "highest power make the bills that suppliers print, line by line: the home's bill in bills.csv.",
    (
        *(Check(f"Great Britain, {name}, electricity and gas", text, OFGEM, both_fuels(name), 0.75, RATES)
          for name, (*_, text, _) in BRITISH.items()),
        *(Check(f"Great Britain, {name}, electricity", text, OFGEM_PARTS,
                total(british("electricity", rates), *MONTHS), **(HALF if name == "Apr-Jun 2024" else {}))
          for name, (rates, _, _, text) in BRITISH.items()),
        *seymour(),
        Check("Kansai, second step", "2,122.05", KANSAI, of(KANSAI_BILL, "steps", 3)),
        Check("Kansai, third step", "3,585.40", KANSAI, of(KANSAI_BILL, "steps", 1, 3)),
        Check("Kansai, 260 kWh, without fuel and levy", "6,175", KANSAI, total(KANSAI_BILL)),
        Check("Malaysia, first 200 kWh", "43.60", TNB, of(MALAYSIA, "energy", 6)),
        Check("Malaysia, next 100 kWh", "33.40", TNB, of(MALAYSIA, "energy", 7, 6)),
        Check("Malaysia, 50 kWh more", "25.80", TNB, of(MALAYSIA, "energy", 1, 7)),
        Check("Malaysia, 350 kWh", "102.80", TNB, total(MALAYSIA)),
        Check("Malaysia, four months of 350 kWh", "411.20", TNB, total(MALAYSIA, 1, 2, 3, 4)),
        Check("Malaysia, 1,400 kWh in one month", "681", TNB, total(MALAYSIA, 5)),
        Check("Taiwan, 400 kWh", "942", TAIPOWER, total(TAIWAN)),
        Check("South Africa, 687 kWh", "1,138.93", UMHLATHUZE, of(SOUTH_AFRICA, "energy"), 0.01,
              "lines rounded half up: 53.965 and 491.275"),
        Check("South Africa, with VAT", "1,310", UMHLATHUZE, total(SOUTH_AFRICA)),
        *germany(),
        Check("Ontario, first 600 kWh", "58.80", OAKVILLE, of(OAKVILLE_BILL, "energy", 1)),
        Check("Ontario, 100 kWh more", "11.50", OAKVILLE, of(OAKVILLE_BILL, "energy", 2, 1)),
        *(Check(f"Ontario, {name}", text, OAKVILLE, of(OAKVILLE_BILL, name, 2))
          for name, text in OAKVILLE_PRINTED.items()),
        Check("Ontario, before rebate and tax", "120.35", OAKVILLE_REST, total(OAKVILLE_BILL, 2)),
        Check("Ontario, rebate", "-20.46", OAKVILLE_REST, of(OAKVILLE_TAXED, "rebate", 2)),
        Check("Ontario, tax", "15.65", OAKVILLE_REST, of(OAKVILLE_TAXED, "tax", 2)),
        Check("Ontario, all of it", "115.54", OAKVILLE_REST, total(OAKVILLE_TAXED, 2)),
        Check("Singapore, cents a kWh with GST", "22.21", SINGAPORE,
              lambda: 100 * cell(SINGAPORE_PRICE, "price", "average")),
        *(Check(f"Singapore, {room} after the price fell", text, SINGAPORE_BILLS, total(singapore(old), 2),
                0.005 * NEW / OLD, OLD_BILL)
          for room, (old, text) in BILLS.items()),
        Check("demand bill, energy", "1,661.01", PSE, of(DEMAND, "energy")),
        Check("demand bill, adjustment", "-302.37", PSE, of(DEMAND, "adjustment")),
        Check("demand bill, all of it", "1,624.72", PSE, total(DEMAND)),
    ),
    "Suppliers round each line, and often the sum again; a study does not round. Which months are Seymour's summer "
    "is not printed: May to September here.",
)  # fmt: skip

ONE_MORE = Subject(
    "The price of one more kWh",
    "What a build adds is the bill with it less the bill without it, not the average price: fixed charges stay, the "
    "last block counts, losses and taxes come on top.",
    (
        Check("50 W for a year in Great Britain, Oct-Dec 2024", "107.31", OFGEM_PARTS,
              lambda: added_in_a_year(LATE_2024)),
        Check("36 kWh more in Seymour's winter", "4.71", SEYMOUR_MORE,
              lambda: cell(SEYMOUR_BILLS, "bill", "total", 3, column=2)),
        Check("36 kWh more in Kansai's third step", "921.96", KANSAI_MORE,
              lambda: total(KANSAI_BILL, 2)() - total(KANSAI_BILL, 1)()),
        Check("Ontario, cents a kWh above 600 kWh", "14.10", OAKVILLE_REST,
              lambda: 100 * cell(OAKVILLE_BILL, "price", "marginal", 2, column=2)),
    ),
)  # fmt: skip

THRESHOLDS = Subject(
    "Thresholds by the day",
    "A threshold of so many kWh a day times the days of the months: that much is billed at the first price.",
    (
        Check("Quebec, 62 days at 40 kWh", "2,480", HYDRO_QUEBEC, tier_kwh(40, "2025-07", 2)),
        Check("British Columbia, 60 days at 22.1918 kWh", "1,332", BC_HYDRO, tier_kwh(22.1918, "2028-01", 2)),
        Check("British Columbia, 58 days at 22.1918 kWh", "1,287", BC_HYDRO,
              lambda: 2 * tier_kwh(22.1918, "2028-02", 1)()),
    ),
    "62 days are July and August, 60 January and February of a leap year, 58 twice such a February.",
)  # fmt: skip
SUBJECTS = (BLOCKS, ONE_MORE, THRESHOLDS)
