"""Published or posted answers that are wrong, where a program could make the same mistake."""

from __future__ import annotations

from math import floor

from tests.published.drive_sources import BACKBLAZE_MISPRINT, BEACH, KINGSTON, SPARES_RIGHT
from tests.published.failing import CONSUMER, DAYS_OF_A_YEAR, fails, failures
from tests.published.group_replacement import B, cost_a_month
from tests.published.level_amounts import LIFT_TRUCK
from tests.published.life_cycle_costs import sixty_years_running
from tests.published.record import Wrong
from tests.published.sources import BULBS, ISURV, LECTURE, PARK_TRUCK, WEB_SOLUTION
from tests.published.spares import RIGHT, enough
from tests.published.wear import a_day, drive_writes
from tests.published.written import Example, Gear, Once, Yearly, alone, figure, for_years, level_kept, of

TRACTOR = alone(8, 0.06, Once(6000), Yearly(250, 1, 8), Once(-4000, 8))
TRUCK_NOT_GROWING = alone(2, 0.15, Gear(18000, fetched=(10000, 7500)), Yearly(1000, 1, 2))


def bulb(years: int) -> Example:
    """A bulb of 15 W at 3.60 that lasts so long; 500 hours a year at 0.125 a kWh."""
    return alone(years, 0.11, Once(3.60), Yearly(0.015 * 500 * 0.125, 1, years))


def eighty_years() -> float:
    """A bulb of 7 W at 2.25 that lasts 40,000 hours, at 500 hours a year and 0.121 a kWh, 10 %."""
    return 2.25 / for_years(0.10, 80) + 0.007 * 500 * 0.121


def whole_life() -> float:
    """750,000 at the start and the three printed present values."""
    return 750000 + sixty_years_running() + figure(alone(50, 0.04, Once(5000, 15), Once(600000, 45)), "lcc")


def cheapest_week() -> float:
    """The lowest cost a week of replacing all bulbs together."""
    return min(cost_a_month(B, weeks, 3.0, 0.7)() for weeks in range(1, 7))


def cut_off_first() -> float:
    """GB a day from drive writes a day that were cut off to two places before."""
    return floor(100 * drive_writes(1432, 1800, 5)) / 100 * 1800


PLAIN_BULB = alone(2, 0.10, Once(0.45), Yearly(0.060 * 500 * 0.121, 1, 2))
WRONG = (
    Wrong(
        "tractor, a year",
        "852.18",
        "812.07",
        LECTURE,
        "both factors were misread from the table: 0.162745 and 0.093573",
        of(TRACTOR, "equivalent_year"),
        lambda: 6000 * 0.162745 - 4000 * 0.093573 + 250,
    ),
    Wrong(
        "bulb of 15 W, a year",
        "1.79",
        "1.3687",
        BULBS,
        "12,000 hours at 500 a year were taken for 6 years instead of 24",
        of(bulb(24), "equivalent_year"),
        of(bulb(6), "equivalent_year"),
    ),
    Wrong(
        "another site's bulb of 60 W, a year",
        "3.30",
        "3.8893",
        BULBS,
        "no way to it was found",
        of(PLAIN_BULB, "equivalent_year"),
    ),
    Wrong("another site's bulb of 7 W, a year", "2.14", "0.6486", BULBS, "no way to it was found", eighty_years),
    Wrong(
        "whole-life cost over 60 years",
        "3,125,540",
        "2,552,257",
        ISURV,
        "its three printed present values are right, but with 750,000 at the start they do not add up to its total",
        whole_life,
    ),
    Wrong(
        "bulbs replaced together, cheapest week",
        "485.00",
        "737.15",
        WEB_SOLUTION,
        "it counts the failures of the weeks before, and forgets that replacements fail too",
        cheapest_week,
        lambda: (3.0 * 90 + 0.7 * 1000) / 2,
    ),
    Wrong(
        "lift truck kept for 2 years",
        "8,584",
        "8,653",
        PARK_TRUCK,
        "the slide's formula leaves out the growth of the running costs in year 2; its table is right",
        of(LIFT_TRUCK, level_kept(2)),
        of(TRUCK_NOT_GROWING, "equivalent_year"),
    ),
    Wrong(
        "30,025,871 days of drives at 0.40 % a year, failures",
        "343",
        "329",
        BACKBLAZE_MISPRINT,
        "counts and rate stand side by side, but by its counts the rate is 0.417 %",
        lambda: failures(1000, 0.0040) / 1000 * 30_025_871 / DAYS_OF_A_YEAR,
    ),
    Wrong(
        "consumer drives of 2013, failed within four years",
        "26 %",
        "19.39 %",
        BEACH,
        "the same text has three rates that leave 80 %, and says so",
        lambda: fails(48, "", CONSUMER),
    ),
    Wrong(
        "3 failures expected, chance that 3 spares are enough",
        "42 %",
        "64.72 %",
        SPARES_RIGHT,
        "it counts fewer than 3 failures, for which 2 are enough",
        lambda: enough(RIGHT.at(0.64)),
        lambda: enough(RIGHT.at(0.42)),
    ),
    Wrong(
        "1,432 TB in 5 years, GB a day",
        "774",
        "784.7",
        KINGSTON,
        "0.43 drive writes a day, cut off before, x 1,800 GB",
        lambda: a_day(1432, 5),
        cut_off_first,
    ),
)

UNSAID = {
    "Payments for ever (Blank & Tarquin's capitalised cost: 49,362; 116,940; the whole 346,997 and 17,350 a year)": (
        "a study ends after 50 years at the latest. An asset that lasts for ever is said as one that keeps its "
        "price, as above; fees for ever cannot be."
    ),
    "A discount rate that declines with the years (Green Book, from year 31 on: 0.3459, 0.2651, 0.1973 ...)": (
        "a study has one discount rate."
    ),
    "Depreciation for income tax (US declining-balance tables, worth 1,429; 2,449; 1,749 ... on 10,000)": (
        "a household pays no tax on income from its cluster, and the tool has none."
    ),
    "Flows on days (XNPV, XIRR)": "a study counts in whole months; the functions themselves are checked above.",
    "Payments at the beginning of each period; final values (FV), numbers of periods (NPER), the interest of a loan "
    "with level payments (RATE), depreciation (SLN, SYD, DDB)": (
        "they answer other questions than a study asks; the functions themselves are checked above."
    ),
    "irr([-5, 10.5, 1, -8, 1]) = 0.0886 as a study": (
        "these flows have three rates of return; the tool says how many and in which range, and does not pick one. "
        "The function itself is checked above."
    ),
    "NIST 135 (1995), the alternative to the HVAC base case": (
        "its printed results were never seen, only recalled dimly; what follows from its recalled inputs would be "
        "our own figure."
    ),
    "The yearly price indices inside NIST's energy factors": "they are not printed beside the example.",
    "A rebate on all units up to a number (CLP Hong Kong, non-residential 2021; by its prices 200 units are 228.00, "
    "201 units 231.15, 400 units 464.00, 401 units 526.11)": (
        "the bill jumps there, so that there is no price of one more kWh; blocks begin where the others end, and a "
        "percentage has no threshold. Refused."
    ),
    "Prices that change within a bill, and use split by its days (33 and 67 kWh of 100)": (
        "versions begin on the first of a month, and a bill is a calendar month's. Refused."
    ),
    "Thresholds for so many thirtieths of a month, or with cut factors (TNB, 91 days: factor 3.03)": (
        "they count by the month or by each of its days."
    ),
    "Suppliers' rounding (thresholds to whole kWh, lines to cents before the tax, totals cut to whole yen)": (
        "a study does not round; figures agree within it."
    ),
    "The German bill of 2011 (39.58 + 5.97 + 10.30 + 0.09 + 5.22 + 11.61 = 72.77 a month)": (
        "its prices per kWh are not printed beside it; the amounts alone only add up."
    ),
    "A warranty of its own for each replacement (paid l (L - W) exp(-l W): 0.518573; 0.090484; 1.471518)": (
        "what is sent back under warranty keeps the end of what was bought; that is checked above, and costs more."
    ),
    "Confidence limits of a failure rate (LaTorre: 50 failures, 0.65 % as one-sided limit of 95 %)": (
        "a study takes a rate as given; what it may lie between stands in ranges.csv."
    ),
    "Spares by the normal approximation, for lives that are not exponential (Birolini)": (
        "failures within the lead time are taken as Poisson, at the rate of the worst month."
    ),
    "Ratings from the cells' cycles and write amplification (about capacity x cycles / amplification)": (
        "a study takes the rating in TB written by the host, as it is printed."
    ),
    "Failure rates of solid-state drives in data centres (0.22 % a year), failures by bytes written in phases": (
        "the figures were recalled, not read, or are no failures of drives (uncorrectable errors)."
    ),
    "Recurring costs at mid-year together with replacements on exact dates": "no published example was found.",
}
