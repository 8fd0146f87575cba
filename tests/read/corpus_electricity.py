"""Further broken studies: tariffs and charges; see corpus.py.

Their good study is that of tests/studies.py with two tariffs of several charges and a node behind its supplies. All
its prices and hours are invented. Slips of its hours and its home: corpus_hours.py; of supplies and heat:
corpus_supplies.py.
"""

from __future__ import annotations

from tests.read.corpus import Broken, broken, varied
from tests.studies import Change

SCENARIOS = """scenario,baseline,parts list,tariff,busy share,busy shape,site,solar share,ups efficiency
minis,yes,minis.csv,by the hour,,office,hall,20 %,93 %
servers,,servers.csv,by blocks,5 %,,,,
rented,,,,,,,,
"""
MINIS = """part,node,quantity,price [EUR],idle,busy,bought,leaves,watts at,efficiency,provides
supply,mini,3,30,,,,,,gold,90 W supply + 4 plug
board,mini,3,129,10 W,40 W,,,supply,,
drive,mini,3,99,5 W,8 W,,,supply,,
switch,,1,45,4 W,,,,plug,,
old supply,mini,0,20,,,,,,bronze,60 W supply
"""
TARIFFS = """tariff,start,price,growth,hours,clock,blocks,minimum,export
by the hour,2026-01,,,day and night,winter,,,0.08 EUR/kWh
by the hour,2028-01,0.33 EUR/kWh,2 %,,,,,-0.01 EUR/kWh
by blocks,2026-01,,,,,day,8 EUR/month,
unused,2026-01,0.31 EUR/kWh,,seasons,local,,,
"""
CHARGES = """tariff,start,charge,price,above,period,kWh share,fixed,fixed day,capacity,percent,of
by the hour,2026-01,energy by day,0.31 EUR/kWh,,day,,,,,,
by the hour,2026-01,energy by night,0.21 EUR/kWh,,night,103.76 %,,,,,
by the hour,2026-01,basic,,,,,9.80 EUR/month,,,,
by the hour,2026-01,tax,,,,,,,,19 %,
by blocks,2026-01,energy,0.20 EUR/kWh,0 kWh,,,,,,,
by blocks,2026-01,energy,0.30 EUR/kWh,10 kWh,,,,,,,
by blocks,2026-01,meter,,,,,,0.61 EUR/d,,,
by blocks,2026-01,power,,,,,,,4.10 EUR/kW/month,,
by blocks,2026-01,levy,,,,,,,,5 %,energy + meter
by blocks,2026-01,tax,,,,,,,,19 %,energy + levy
"""
HOURS = """hours,period,months,days,begins,ends
day and night,day,,weekday,07:00,19:00
day and night,night,,otherwise,,
seasons,high,11-4,weekday,07:00,11:00
seasons,low,11-4,weekday,11:00,07:00
seasons,low,11-4,weekend + holiday,,
seasons,low,5-10,,00:00,24:00
"""
HOLIDAYS = """day,hours
12-25,
2026-12-26,
01-06,seasons
"""
HOME = """month,use,shape,peak
,3500 kWh,evenings,5.2 kW
"""
SHAPES = """shape,months,days,begins,ends,share
office,,weekday,08:00,18:00,80 %
office,,otherwise,,,5 %
evenings,,,18:00,23:00,100 %
evenings,,,23:00,18:00,0 %
"""
EFFICIENCY = """curve,load,efficiency
gold,10 %,82 %
gold,20 %,87 %
gold,50 %,90 %
gold,100 %,87 %
bronze,20 %,80 %
"""
SITES = """site,heating,heat used,heat price,heat efficiency,cooling,cooling COP
hall,10-4,60 %,0.11 EUR/kWh,0.92,6-8,3.2
"""
GOOD: dict[str, Change] = {
    "scenarios": SCENARIOS, "minis": MINIS, "tariffs": TARIFFS, "charges": CHARGES, "hours": HOURS,
    "holidays": HOLIDAYS, "home": HOME, "shapes": SHAPES, "efficiency": EFFICIENCY, "sites": SITES,
}  # fmt: skip


def changed(**changes: Change) -> dict[str, Change]:
    """The good study's tables, some changed as `write_study` says it."""
    return varied(GOOD, changes)


def slip(name: str, place: str, *words: str, **changes: Change) -> Broken:
    """A slip in the good study of this module."""
    return broken(name, place, *words, **changed(**changes))


def charge(*rows: str) -> dict[str, Change]:
    """Further rows of charges.csv, of the tariff by blocks, from line 12 on."""
    return {"charges": CHARGES + "".join(f"by blocks,2026-01,{row}\n" for row in rows)}


VERSIONS = [
    slip("neither price nor charges", "tariffs.csv:3", "price: empty, which is not zero", "charges.csv",
         "'by the hour', start 2028-01", tariffs=("2028-01,0.33 EUR/kWh", "2028-01,")),
    broken("no price column", "tariffs.csv:2", "price: empty", "charges.csv: tariff 'household'",
           tariffs="tariff,start\nhousehold,2026-01\n"),
    slip("price and charges", "tariffs.csv:4:3", "charges.csv:6 has a charge of this version", "keep",
         tariffs=("by blocks,2026-01,", "by blocks,2026-01,0.3 EUR/kWh")),
    slip("hours misspelt", "tariffs.csv:2:5", "no name 'day and nigth' in hours.csv", "did you mean 'day and night'",
         tariffs=("day and night", "day and nigth")),
    slip("hours of an unused tariff", "tariffs.csv:5:5", "no name 'season'", tariffs=("seasons", "season")),
    slip("clock without hours", "tariffs.csv:3:6", "clock: needs 'hours' beside it",
         tariffs=("2028-01,0.33 EUR/kWh,2 %,,,", "2028-01,0.33 EUR/kWh,2 %,,local,")),
    slip("clock unknown", "tariffs.csv:2:6", "'local' or 'winter'", tariffs=(",winter,", ",summer,")),
    slip("blocks without any", "tariffs.csv:2:7", "blocks: no charge of this version has more than one block",
         tariffs=(",winter,,", ",winter,month,")),
    slip("blocks of a flat price", "tariffs.csv:3:7", "more than one block",
         tariffs=("2028-01,0.33 EUR/kWh,2 %,,,,", "2028-01,0.33 EUR/kWh,2 %,,,day,")),
    slip("negative minimum", "tariffs.csv:4:8", "-8 EUR/month is below 0 EUR/month", tariffs=(",8 EUR", ",-8 EUR")),
    slip("minimum a day", "tariffs.csv:4:8", "wanted is money per calendar time",
         tariffs=("8 EUR/month", "8 EUR/d")),
    slip("version of charges twice", "tariffs.csv:6:2", "has a version from 2026-01 already, in line 4",
         tariffs=TARIFFS + "by blocks,2026-01,,,,,,,\n"),
    slip("solar without export", "tariffs.csv:3", "export: empty, but scenarios.csv:2:8 has own solar",
         "0 if nothing",
         tariffs=(",-0.01 EUR/kWh", ",")),
    slip("solar share above 100 %", "scenarios.csv:2:8", "120 % is above 100 %", scenarios=("20 %", "120 %")),
    slip("no such efficiency of a UPS", "scenarios.csv:2:9", "above 100 %", scenarios=("93 %", "103 %")),
]  # fmt: skip

MEMBERS = [
    slip("charge of no tariff", "charges.csv:2:1", "no tariff 'by the hours' in tariffs.csv", "(4 rows name it)",
         "did you mean 'by the hour'", charges=CHARGES.replace("by the hour", "by the hours")),
    slip("charge of no version", "charges.csv:6:2", "no version of 'by blocks' from 2026-02 (6 rows name it)",
         "begin in 2026-01", charges=CHARGES.replace("by blocks,2026-01", "by blocks,2026-02")),
    slip("one charge of no version", "charges.csv:4:2", "no version of 'by the hour' from 2026-02;",
         "2026-01, 2028-01", charges=("by the hour,2026-01,basic", "by the hour,2026-02,basic")),
    slip("start within a month", "charges.csv:6:2", "lies within a month",
         charges=("2026-01,energy,0.20", "2026-01-15,energy,0.20")),
    slip("tariff of a charge empty", "charges.csv:4:1", "tariff: empty",
         charges=("by the hour,2026-01,basic", ",2026-01,basic")),
    slip("name of a charge empty", "charges.csv:6:3", "charge: empty", charges=("energy,0.20", ",0.20")),
    slip("charges misspelt", "charge.csv", "did you mean charges.csv", charge="tariff,start,charge\n"),
    slip("charges unreadable", "charges.csv", "workbook renamed", charges=b"PK\x03\x04"),
    slip("charges without a needed column", "charges.csv:1", "no column 'charge'",
         charges=CHARGES.replace(",charge,", ",note,")),
    slip("start of a version refused", "tariffs.csv:4:2", "no month 13", tariffs=("blocks,2026-01",
         "blocks,2026-13")),
    slip("tariff of a version refused", "tariffs.csv:4:1", "U+200B", tariffs=("by blocks", "by \u200bblocks"),
         scenarios=("by blocks", "by the hour")),
    slip("price of a column misspelt", "charges.csv:1:4", "did you mean 'price'", charges=("price,", "prise,")),
    slip("column of a kind unknown", "charges.csv:1:8", "column 'Grundpreis' is unknown",
         charges=("kWh share,fixed,", "kWh share,Grundpreis,")),
]  # fmt: skip

KINDS = [
    slip("charge of nothing", "charges.csv:4", "charge 'basic' has no amount", "'price', 'fixed', 'fixed day'",
         charges=("9.80 EUR/month", "")),
    slip("charge of two things", "charges.csv:2:8", "fixed: 'price' stands in charges.csv:2:4 already",
         charges=("0.31 EUR/kWh,,day,,,", "0.31 EUR/kWh,,day,,2 EUR/month,")),
    slip("block of a fixed charge", "charges.csv:4:5", "above: goes with 'price', not with 'fixed'",
         charges=("basic,,,", "basic,,5 kWh,")),
    slip("period of a capacity charge", "charges.csv:9:6", "period: goes with 'price', not with 'capacity'",
         charges=("power,,,,", "power,,,day,")),
    slip("kWh share of a daily charge", "charges.csv:8:7", "kwh share: goes with 'price', not with 'fixed day'",
         charges=("meter,,,,,", "meter,,,,50 %,")),
    slip("price of other charges", "charges.csv:2:12", "of: goes with 'percent', not with 'price'",
         charges=("0.31 EUR/kWh,,day,,,,,,", "0.31 EUR/kWh,,day,,,,,,basic")),
    slip("fixed by the day", "charges.csv:4:8", "'EUR/d' is money per clock time",
         charges=("9.80 EUR/month", "9.80 EUR/d")),
    slip("capacity by the year", "charges.csv:9:10", "wanted is", charges=("EUR/kW/month", "EUR/kW")),
    slip("percentage as a number", "charges.csv:5:11", "19 % or 1900 %", charges=("tax,,,,,,,,19 %,\nby",
         "tax,,,,,,,,19,\nby")),
    slip("negative block", "charges.csv:7:5", "below 0 kWh", charges=(",10 kWh", ",-10 kWh")),
    slip("charge by kind in two versions", "charges.csv:12:3", "'tax' has a 'percent' in line 5 and a 'fixed' here",
         tariffs=("2028-01,0.33 EUR/kWh,2 %", "2028-01,,"), charges=CHARGES
         + "by the hour,2028-01,tax,,,,,1 EUR/month,,,,\nby the hour,2028-01,all,0.3 EUR/kWh,,,,,,,,\n"),
    slip("charge by kind in one version", "charges.csv:12:3",
         "'meter' has a 'fixed day' in line 8 and a 'fixed' here",
         **charge("meter,,,,,1 EUR/month,,,,")),
    slip("no price for kWh", "charges.csv:2:3", "no charge of this version has a 'price'", "0 if kwh cost nothing",
         charges=CHARGES.split("by the hour")[0] + "by the hour,2026-01,basic,,,,,9.80 EUR/month,,,,\n"
         + CHARGES[CHARGES.index("by blocks"):]),
    slip("no price in a period", "charges.csv:2:6", "no price in the period 'night' of 'day and night'",
         charges=("by the hour,2026-01,energy by night,0.21 EUR/kWh,,night,103.76 %,,,,,\n", "")),
]  # fmt: skip

BLOCKS = [
    slip("blocks that do not ascend", "charges.csv:12:5", "5 kwh after 10 kwh", "must rise",
         **charge("energy,0.35 EUR/kWh,5 kWh,,,,,,,")),
    slip("blocks alike", "charges.csv:12:5", "10 kwh after 10 kwh", **charge("energy,0.35 EUR/kWh,10 kWh,,,,,,,")),
    slip("blocks in the wrong order", "charges.csv:7:5", "0 kwh after 10 kwh",
         charges=CHARGES.replace("0.20 EUR/kWh,0 kWh", "0.20 EUR/kWh,10 kWh").replace("0.30 EUR/kWh,10 kWh",
         "0.30 EUR/kWh,0 kWh")),
    slip("first block above 0", "charges.csv:6:5", "first block of 'energy' begins at 3 kwh", "with the price 0",
         charges=("0.20 EUR/kWh,0 kWh", "0.20 EUR/kWh,3 kWh")),
    slip("single block above 0", "charges.csv:12:5", "first block of 'surcharge' begins at 100 kwh",
         **charge("surcharge,0.02 EUR/kWh,100 kWh,,,,,,,")),
    slip("a start without unit", "charges.csv:7:5", "'10' has no unit", charges=(",10 kWh", ",10")),
    slip("charge twice", "charges.csv:12:3", "'meter' stands in line 8 already", "its own name",
         **charge("meter,,,,,,0.1 EUR/d,,,")),
    slip("price twice", "charges.csv:12:3", "'energy' stands in line 6 already", "write under 'above'",
         **charge("energy,0.35 EUR/kWh,,,,,,,,")),
    slip("percentage twice", "charges.csv:12:3", "'tax' stands in line 11 already", **charge("tax,,,,,,,,1 %,")),
    slip("one name for two periods", "charges.csv:3:6", "'energy' stands in line 2 already, with another period",
         charges=CHARGES.replace("energy by day", "energy").replace("energy by night", "energy")),
    slip("blocks with two kWh shares", "charges.csv:7:7", "with another kwh share",
         charges=(",10 kWh,,,", ",10 kWh,,105 %,")),
]  # fmt: skip

PERCENTAGES = [
    slip("of an unknown charge", "charges.csv:10:12", "this version has no charge 'enrgy'", "did you mean 'energy'",
         charges=("energy + meter", "enrgy + meter")),
    slip("of another version's charge", "charges.csv:5:12", "no charge 'meter'",
         charges=("tax,,,,,,,,19 %,\nby b", "tax,,,,,,,,19 %,meter\nby b")),
    slip("of itself", "charges.csv:10:12", "'levy' is the charge itself", charges=("energy + meter",
         "energy + levy")),
    slip("of a percentage below", "charges.csv:10:12", "'tax' is a percentage that stands below, in line 11",
         charges=("energy + meter", "energy + tax")),
    slip("of a charge twice", "charges.csv:10:12", "'meter' stands here twice",
         charges=("energy + meter", "meter + meter")),
    slip("of nothing beside a plus", "charges.csv:10:12", "a name is missing", charges=("energy + meter",
         "energy +")),
    slip("of more than anybody names", "charges.csv:10:12", "60 names; the most is 50",
         charges=("energy + meter", " + ".join(f"x{n}" for n in range(60)))),
    slip("percentages in a circle", "charges.csv:15:12", "'tax' is a percentage of 'levy' here", "keep one order",
         tariffs=("2028-01,0.33 EUR/kWh,2 %", "2028-01,,"), charges=CHARGES.replace(
             "by the hour,2026-01,tax,,,,,,,,19 %,", "by the hour,2026-01,tax,,,,,,,,19 %,\n"
             "by the hour,2026-01,levy,,,,,,,,1 %,tax") + "by the hour,2028-01,all,0.3 EUR/kWh,,,,,,,,\n"
         "by the hour,2028-01,levy,,,,,,,,1 %,\nby the hour,2028-01,tax,,,,,,,,1 %,levy\n"),
]  # fmt: skip

LIMITS = [
    slip("more charges than anybody pays", "charges.csv:47:3", "more than 40 charges",
         **charge(*[f"c{n},,,,,1 EUR/month,,,," for n in range(60)])),
    slip("more blocks than anybody has", "charges.csv:206:3", "more than 200 rows of tariff 'by blocks'",
         **charge(*[f"energy,0.3 EUR/kWh,{n + 11} kWh,,,,,,," for n in range(250)])),
    slip("a charge called as a flat price is", "charges.csv:4:3", "bills say 'price' for the price of",
         "tariffs.csv:3:3",
         charges=("basic", "price")),
    slip("results of bills", "bills.csv", "a result of an earlier comparison", bills="scenario,month\n"),
]  # fmt: skip

CORPUS = [*VERSIONS, *MEMBERS, *KINDS, *BLOCKS, *PERCENTAGES, *LIMITS]
