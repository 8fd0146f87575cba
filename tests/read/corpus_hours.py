"""Broken studies whose hours, holidays, load shapes or home are at fault; see corpus_electricity.py."""

from __future__ import annotations

from tests.read.corpus_electricity import CHARGES, HOLIDAYS, HOME, HOURS, SHAPES, slip
from tests.studies import Change

MONTHS = "month,use,shape,peak\n" + "".join(f"{month},290 kWh,evenings,5.2 kW\n" for month in range(1, 13))
FLAT = "tariff,start,price,minimum,export\nby the hour,2026-01,0.31 EUR/kWh,,0\nby blocks,2026-01,0.3 EUR/kWh,{},\n"


def hours(*rows: str) -> dict[str, Change]:
    """hours.csv with further rows from line 8 on."""
    return {"hours": HOURS + "".join(f"{row}\n" for row in rows)}


def shape(*rows: str) -> dict[str, Change]:
    """shapes.csv with further rows from line 6 on."""
    return {"shapes": SHAPES + "".join(f"{row}\n" for row in rows)}


def homeless(minimum: str = "", *charges: str) -> dict[str, Change]:
    """No home, and a tariff by blocks that has a minimum, or these charges instead of a price."""
    rows = FLAT.format(minimum)
    if charges:
        rows = rows.replace("0.3 EUR/kWh", "")
    head = CHARGES.split("\n")[0] + "\n"
    return {"home": None, "tariffs": rows, "charges": head + "".join(f"by blocks,2026-01,{row}\n" for row in charges)}


PERIODS = [
    slip("period misspelt", "charges.csv:2:6", "'day and night' in hours.csv has no period 'dey'",
         "did you mean 'day'", charges=("0.31 EUR/kWh,,day", "0.31 EUR/kWh,,dey")),
    slip("period of a version without hours", "tariffs.csv:2",
         "hours: empty, but charges.csv:2:6 charges by the period", tariffs=("day and night,winter", ",")),
    slip("period called all", "hours.csv:5:2", "'all' for all hours together",
         hours=HOURS.replace(",low,", ",all,")),
    slip("begins as it ends", "hours.csv:2:6", "07:00 is when it begins as well", "00:00 to 24:00",
         hours=("07:00,19:00", "07:00,07:00")),
    slip("from midnight to midnight", "hours.csv:7:6", "00:00 is when it begins as well",
         hours=("00:00,24:00", "00:00,00:00")),
    slip("24:00 as a beginning", "hours.csv:2:5", "24:00 is the end of a day; write 00:00",
         hours=("07:00,19:00", "24:00,19:00")),
    slip("25:00", "hours.csv:2:6", "'25:00': a day goes from 00:00 to 24:00", hours=("19:00", "25:00")),
    slip("24:15", "hours.csv:2:6", "'24:15'", hours=("19:00", "24:15")),
    slip("ten past", "hours.csv:2:5", "quarters", hours=("07:00,19:00", "07:10,19:00")),
    slip("an hour alone", "hours.csv:2:5", "'7' is no time of day", "'07:00'", hours=("07:00,19:00", "7,19:00")),
    slip("a month 13", "hours.csv:7:3", "no months of the year", hours=("5-10", "5-13")),
    slip("a season that became a date", "hours.csv:7:3", "made a date of it", hours=("5-10", "2026-05-10")),
    slip("a month twice", "hours.csv:7:3", "month 10 twice", hours=("5-10", "5-10 + 10")),
    slip("a day misspelt", "hours.csv:2:4", "'weekdey' is no kind of day", "'weekday'",
         hours=("weekday,07:00,19:00", "weekdey,07:00,19:00")),
    slip("a day twice", "hours.csv:2:4", "monday twice", hours=("weekday,07:00,19:00",
         "weekday + monday,07:00,19:00")),
    slip("otherwise beside a day", "hours.csv:3:4", "stands alone", hours=("otherwise", "otherwise + holiday")),
    slip("overlap", "hours.csv:8:1", "monday 10:45 in month 11 of 'seasons' belongs to line 4 already",
         **hours("seasons,high,11,monday,10:45,11:00")),
    slip("overlap through midnight", "hours.csv:8:1", "saturday 22:00 in month 2 of 'seasons' belongs to line 6",
         **hours("seasons,high,2,saturday,22:00,01:00")),
    slip("overlap of whole rows", "hours.csv:8:1", "monday 00:00 in month 5 of 'seasons' belongs to line 7 already",
         **hours("seasons,high,5,,,")),
    slip("missing hours", "hours.csv:2:1", "'day and night' says nothing of monday 00:00 in month 1",
         "83 hours a week are missing in that month and in 11 other months", "'otherwise'",
         hours=("otherwise,,", "weekday,19:00,24:00")),
    slip("missing hours of a season", "hours.csv:4:1", "monday 00:00 in month 1", "100 hours a week",
         "and in 5 other months", hours=("seasons,low,11-4,weekday,11:00,07:00\n", "")),
    slip("missing hours of two months", "hours.csv:4:1", "monday 00:00 in month 5", "168 hours a week",
         "in that month and in month 6;", hours=("5-10", "7-10")),
    slip("missing hours of one month", "hours.csv:4:1", "168 hours a week are missing in that month;",
         hours=("5-10", "6-10")),
    slip("missing holiday", "hours.csv:4:1", "holiday 00:00 in month 1", "24 hours of a holiday are missing",
         "and in month 12", hours=("weekend + holiday", "weekend")),
    slip("a missing quarter", "hours.csv:4:1", "monday 10:45 in month 1", "1.25 hours a week",
         hours=("07:00,11:00", "07:00,10:45")),
    slip("otherwise twice", "hours.csv:8:4", "'otherwise' stands in line 3 already",
         **hours("day and night,night,,otherwise,,")),
    slip("otherwise in a season", "hours.csv:3:3", "months: 'otherwise' takes all hours",
         hours=("night,,otherwise", "night,11-4,otherwise")),
    slip("otherwise from an hour on", "hours.csv:3:5", "begins: 'otherwise' takes all hours",
         hours=("otherwise,,", "otherwise,19:00,")),
    slip("otherwise until an hour", "hours.csv:3:6", "ends: 'otherwise' takes all hours",
         hours=("otherwise,,", "otherwise,,07:00")),
    slip("holiday where none is listed", "hours.csv:6:4", "holidays.csv lists no day for these hours",
         holidays="day,hours\n12-25,day and night\n"),
    slip("holiday without holidays.csv", "hours.csv:6:4", "holidays.csv lists no day", holidays=None),
    slip("more hours than anybody has", "hours.csv:208:1", "'many' has more than 200 rows",
         **hours(*["many,x,,,00:00,00:15"] * 201)),
    slip("more periods than anybody has", "hours.csv:32:2", "'many' has more than 24 periods",
         **hours(*[f"many,p{n},,,{n // 4:02}:{15 * (n % 4):02},{(n + 1) // 4:02}:{15 * ((n + 1) % 4):02}"
                   for n in range(29)], "many,p0,,otherwise,,")),
    slip("more names of hours than anybody has", "hours.csv:106:1", "more than 100 names in hours.csv",
         **hours(*[f"h{n},x,,,," for n in range(150)])),
    slip("hours unreadable", "hours.csv", "workbook renamed", hours=b"PK\x03\x04"),
    slip("a column of hours misspelt", "hours.csv:1:5", "did you mean 'begins'", hours=("begins,", "beginns,")),
    slip("a column of hours unknown", "hours.csv:1:5", "column 'von' is unknown", hours=("begins,", "von,")),
]  # fmt: skip

HOLIDAY = [
    slip("holiday of no hours", "holidays.csv:4:2", "no name 'seson' in hours.csv", "did you mean 'seasons'",
         holidays=("seasons", "seson")),
    slip("holiday twice", "holidays.csv:5:1", "12-25 stands in line 2 already", holidays=HOLIDAYS + "12-25,\n"),
    slip("holiday twice for some hours", "holidays.csv:5:1", "01-06 stands in line 4 already",
         holidays=HOLIDAYS + "1-6,seasons\n"),
    slip("30 February", "holidays.csv:4:1", "no such day", holidays=("01-06", "02-30")),
    slip("a day in words", "holidays.csv:4:1", "is not a date", holidays=("01-06", "Epiphany")),
    slip("a day the other way round", "holidays.csv:2:1", "there is no such day", holidays=("12-25", "25-12")),
    slip("more holidays than anybody has", "holidays.csv:402:1", "more than 400 holidays",
         holidays="day,hours\n12-25,\n" + "".join(
             f"{2026 + n // 300}-{n % 300 // 25 + 1:02}-{n % 25 + 1:02},\n" for n in range(500))),
]  # fmt: skip

AT_HOME = [
    slip("month of the home twice", "home.csv:14:1", "month: 3 stands in line 4 already",
         home=MONTHS + "3,290 kWh,,5.2 kW\n"),
    slip("months of the home missing", "home.csv:11:1", "months 4, 12 are missing",
         home="\n".join(row for row in MONTHS.split("\n") if not row.startswith(("4,", "12,")))),
    slip("a month of the home missing", "home.csv:12:1", "month 7 is missing",
         home=MONTHS.replace("7,290 kWh,evenings,5.2 kW\n", "")),
    slip("year and months", "home.csv:14", "month: empty, which is the whole year, but line 2 has a month already",
         home=MONTHS + ",3500 kWh,,5.2 kW\n"),
    slip("two years", "home.csv:3", "but line 2 has the whole year already", home=HOME + ",3500 kWh,,5.2 kW\n"),
    slip("month 13 of the home", "home.csv:13:1", "13 is above 12", home=MONTHS.replace("12,290", "13,290")),
    slip("use in watts", "home.csv:2:2", "'W' is power; wanted is energy", home=("3500 kWh", "400 W")),
    slip("negative use", "home.csv:2:2", "below 0 kWh", home=("3500", "-3500")),
    slip("shape of the home misspelt", "home.csv:2:3", "no shape 'evening' in shapes.csv", "'evenings'",
         home=("evenings", "evening")),
    slip("peak below the average", "home.csv:2:4", "0.2 kw all the time would be 1756.8 kwh at most",
         "use of 3500 kwh", home=("5.2", "0.2")),
    slip("peak of a month below the average", "home.csv:5:4", "0.3 kw all the time would be 223.5 kwh at most",
         home=MONTHS.replace("4,290 kWh,evenings,5.2", "4,290 kWh,evenings,0.3")),
    slip("no peak", "home.csv:2", "peak: empty, but charges.csv:9:10 charges", "'5.2 kW'", home=("5.2 kW", "")),
    slip("no peak in two months", "home.csv:3", "peak: empty",
         home=MONTHS.replace("2,290 kWh,evenings,5.2 kW", "2,290 kWh,evenings,")),
    slip("no home for blocks", "charges.csv:3:5", "above: which block the build's kWh fall into depends", "home.csv",
         "add home.csv with 'use', 0 kWh",
         **homeless("", "energy,0.2 EUR/kWh,,,,,,,,", "energy,0.3 EUR/kWh,10 kWh,,,,,,,")),
    slip("no home for a minimum", "tariffs.csv:3:4", "minimum: whether the build's kWh cost anything depends",
         **homeless("8 EUR/month")),
    slip("no home for a capacity charge", "charges.csv:3:10", "capacity: the month's highest power",
         "'use' and 'peak'",
         **homeless("", "energy,0.2 EUR/kWh,,,,,,,,", "power,,,,,,,4 EUR/kW/month,,")),
    slip("no home at all", "tariffs.csv:4:8", "minimum", "add home.csv with 'use' and 'peak'", home=None),
    slip("a header of the home alone", "tariffs.csv:4:8", "add home.csv", home="month,use,shape,peak\n"),
    slip("home unreadable", "home.csv", "workbook renamed", home=b"PK\x03\x04"),
]  # fmt: skip

SHAPED = [
    slip("busy shape misspelt", "scenarios.csv:2:6", "no shape 'offise' in shapes.csv", "did you mean 'office'",
         scenarios=(",office,", ",offise,")),
    slip("busy shape and busy share", "scenarios.csv:2:5", "'busy shape' stands in scenarios.csv:2:6 already",
         scenarios=("by the hour,,", "by the hour,10 %,")),
    slip("neither busy shape nor share", "scenarios.csv:2", "busy share: empty", "minis.csv:3:6",
         scenarios=(",office,", ",,")),
    slip("hours of a shape twice", "shapes.csv:6:1",
         "monday 18:00 in month 1 of 'evenings' belongs to line 4 already",
         **shape("evenings,1,monday,18:00,19:00,50 %")),
    slip("hours of a shape missing", "shapes.csv:4:1", "'evenings' says nothing of monday 00:00", "7 hours a week",
         shapes=("evenings,,,23:00,18:00", "evenings,,,23:00,24:00,0 %\nevenings,,,01:00,18:00")),
    slip("holiday hours of a shape missing", "shapes.csv:4:1", "holiday 18:00 in month 12", "5 hours of a holiday",
         shapes=("evenings,,,18:00", "evenings,,weekday + weekend,18:00")),
    slip("holidays of a shape that has none", "shapes.csv:4:3", "no day for load shapes, with 'hours' empty",
         shapes=("evenings,,,18:00,23:00,100 %", "evenings,,weekday + weekend + holiday,18:00,23:00,100 %"),
         holidays="day,hours\n12-25,seasons\n"),
    slip("a share above 100 %", "shapes.csv:4:6", "above 100 %", shapes=("100 %", "130 %")),
    slip("a share as a number", "shapes.csv:3:6", "5 % or 500 %", shapes=("5 %", "5")),
    slip("a home shape of nothing", "home.csv:2:3", "'evenings' is 0 % all the time in month 1",
         shapes=("100 %", "0 %")),
    slip("a home shape of nothing in July", "home.csv:8:3", "0 % all the time in month 7", home=MONTHS.replace(
        "evenings", "").replace("7,290 kWh,", "7,290 kWh,summer"),
         **shape("summer,6,,,,50 %", "summer,,otherwise,,,0 %")),
    slip("more rows than a shape has", "shapes.csv:606:1", "'many' has more than 600 rows",
         **shape(*["many,,,00:00,00:15,5 %"] * 601)),
    slip("shapes unreadable", "shapes.csv", "workbook renamed", shapes=b"PK\x03\x04"),
]  # fmt: skip

CORPUS = [*PERIODS, *HOLIDAY, *AT_HOME, *SHAPED]
