"""Broken studies: what was changed in the good one, where that must be told, and words of the message."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tests.studies import SCENARIOS, STUDY, TABLES, TARIFFS, Change


@dataclass(frozen=True)
class Broken:
    """One slip. place: as messages print it. words: what the message must contain, lower case."""

    name: str
    change: dict[str, Change]
    place: str
    words: tuple[str, ...]


def broken(name: str, place: str, *words: str, **change: Change) -> Broken:
    """A broken study, in the order it reads best."""
    return Broken(name, change, place, tuple(word.casefold() for word in words))


def varied(good: Mapping[str, Change], changes: Mapping[str, Change]) -> dict[str, Change]:
    """The tables of another good study than that of tests/studies.py, some changed as `write_study` says it."""
    return {**good, **{name: _table(good, name, change) for name, change in changes.items()}}


def _table(good: Mapping[str, Change], name: str, change: Change) -> Change:
    if not isinstance(change, tuple):
        return change
    old, new = change
    whole = good.get(name) or TABLES[name]
    assert isinstance(whole, str)
    assert whole.count(old) == 1, f"{old!r} stands {whole.count(old)} times in {name}"
    return whole.replace(old, new)


def tariffs(price: str, head: str = "price") -> str:
    """tariffs.csv with one version."""
    return f'tariff,start,{head}\nhousehold,2026-01,"{price}"\n'


STAIRS = SCENARIOS.replace("yes,minis", ",minis")

FILES = [
    broken("scenarios missing", "scenarios.csv", "missing", scenarios=None),
    broken("empty file", "tariffs.csv", "empty", "first row", tariffs=""),
    broken("blank file", "tariffs.csv", "empty", tariffs="\r\n ,\r\n"),
    broken("parts list missing", "scenarios.csv:3:4", "no table 'servers.csv'", servers=None),
    broken("parts list misspelt", "scenarios.csv:3:4", "serverz.csv", "did you mean 'servers.csv'",
           scenarios=("servers.csv", "serverz.csv")),
    broken("table misspelt", "fee.csv", "did you mean fees.csv", "sub-folder", fee="scenario,fee\n"),
    broken("case of a table", "Tariffs.csv", "did you mean tariffs.csv", Tariffs=TARIFFS),
    broken("parts list is a table", "scenarios.csv:3:4", "another table", scenarios=("servers.csv", "fees.csv")),
    broken("NUL bytes", "tariffs.csv:2", "NUL", tariffs=TARIFFS.encode().replace(b"0.31", b"0\x00.31")),
    broken("zip renamed", "tariffs.csv", "workbook renamed", tariffs=b"PK\x03\x04\x14\x00rest"),
    broken("old workbook renamed", "tariffs.csv", "old spreadsheet",
           tariffs=bytes.fromhex("d0cf11e0a1b11ae1") + b"x"),
    broken("PDF", "tariffs.csv", "PDF", tariffs=b"%PDF-1.7 rest"),
    broken("gzip", "tariffs.csv", "gzip", tariffs=b"\x1f\x8b\x08rest"),
    broken("open quote", "tariffs.csv:3", "never closes", tariffs=("household,2027-07", '"household,2027-07')),
    broken("text after quote", "tariffs.csv:3", "closing quote",
           tariffs=("household,2027-07", '"house"hold,2027-07')),
    broken("damaged UTF-8", "tariffs.csv:3", "damaged UTF-8",
           tariffs=TARIFFS.replace("the bill", "für").encode().replace(b"letter", b"l\xfftter")),
    broken("damaged UTF-16", "tariffs.csv", "damaged UTF-16", tariffs=TARIFFS.encode("utf-16") + b"x"),
    broken("odd separator", "tariffs.csv:1", "sep=|", "comma", tariffs="sep=|\n" + TARIFFS),
    broken("too many columns", "tariffs.csv:1", "columns", tariffs="a," * 250 + "a\n"),
    broken("too many rows", "fees.csv:5001", "rows", fees="scenario,fee\n" + "rented,x\n" * 5_001),
    broken("endless line", "fees.csv:2", "characters", fees="scenario,fee\n" + "x" * 200_000),
]  # fmt: skip

HEADERS = [
    broken("column missing", "tariffs.csv:1", "no column 'start'", tariffs="tariff,price\nhousehold,0.31 EUR/kWh\n"),
    broken("column twice", "tariffs.csv:1:5", "'growth'", "second time", tariffs=("growth,source", "Growth,growth")),
    broken("column unknown", "tariffs.csv:1:4", "'groth'", "did you mean 'growth'", tariffs=("growth,", "groth,")),
    broken("column unknown, required", "tariffs.csv:1:3", "'prise'", "did you mean 'price'",
           tariffs=("price,", "prise,")),
    broken("unit in parentheses", "tariffs.csv:1:3", "square brackets", tariffs=("price,", "price (EUR/kWh),")),
    broken("unit of a name", "tariffs.csv:1:1", "no unit", tariffs=("tariff,", "tariff [W],")),
    broken("header's kind", "tariffs.csv:1:3", "'EUR' is money", "money per energy",
           tariffs=("price,", "price [EUR],")),
    broken("header's unit", "tariffs.csv:1:3", "did you mean 'EUR/kWh'", tariffs=("price,", "price [eur/kwh],")),
    broken("no header over a cell", "tariffs.csv:2:4", "no header", "'x'",
           tariffs="tariff,start,price,,source\nhousehold,2026-01,0.31 EUR/kWh,x,bill\n"),
    broken("too many cells", "tariffs.csv:2:6", "extra one is 'x'", tariffs=("the bill", "the bill,x")),
    broken("too few cells", "tariffs.csv:2", "missing: 'growth', 'source'", tariffs=(",,the bill", "")),
]  # fmt: skip

CELLS = [
    broken("not a number", "tariffs.csv:2:3", "'abc' is not a number", "0.31 EUR/kWh",
           tariffs=("0.31 EUR/kWh", "abc")),
    broken("nan", "tariffs.csv:2:3", "not a number", tariffs=("0.31", "nan")),
    broken("inf", "tariffs.csv:2:3", "not a number", tariffs=("0.31", "inf")),
    broken("hexadecimal", "tariffs.csv:2:3", "unknown", tariffs=("0.31 EUR/kWh", "0x1F")),
    broken("underscore", "tariffs.csv:2:3", "not a number", tariffs=("0.31 EUR/kWh", "1_000")),
    broken("overflow", "tariffs.csv:2:3", "larger than", tariffs=("0.31", "1e999")),
    broken("empty", "servers.csv:2:3", "empty", "not zero", servers=("150,", ",")),
    broken("no unit", "tariffs.csv:2:3", "no unit", "[EUR/kWh]", tariffs=("0.31 EUR/kWh", "0.31")),
    broken("ambiguous point", "servers.csv:2:3", "could be 1.234 or 1234", servers=("150,", "1.234,")),
    broken("ambiguous comma", "servers.csv:2:3", "could be 1.234 or 1234", servers=("150,", '"1,234",')),
    broken("wrong kind", "minis.csv:2:10", "'Wh' is energy", "power", minis=("28 W", "28 Wh")),
    broken("wrong kind of data", "study.csv:11:2", "'W' is power", "data", study=("held,8 TB", "held,8 W")),
    broken("terabit or terabyte", "study.csv:11:2", "'TB'", "'Tbit'", study=("held,8 TB", "held,8 Tb")),
    broken("unknown unit", "minis.csv:2:10", "'kwh'", "did you mean 'kWh'", minis=("28 W", "28 kwh")),
    broken("unit against header", "minis.csv:2:4", "the cell says 'W'", minis=("129", "129 W")),
    broken("euro sign", "tariffs.csv:2:3", "did you mean 'EUR/kWh'", tariffs=("0.31 EUR/kWh", "0.31 €/kWh")),
    broken("unknown currency", "study.csv:3:2", "'EURO'", "did you mean 'EUR'",
           study=("currency,EUR", "currency,EURO")),
    broken("no rate", "tariffs.csv:2:3", "no rate for CHF", "exchange.csv", tariffs=("0.31 EUR", "0.31 CHF")),
    broken("rate twice", "exchange.csv:3:1", "already",
           exchange="currency,rate,day\nUSD,0.9,2026-01-02\nUSD,1,2026-01-02\n"),
    broken("own rate", "exchange.csv:2:1", "own", exchange="currency,rate,day\nEUR,0.9,2026-01-02\n"),
    broken("negative quantity", "servers.csv:2:2", "negative", servers=("server,2", "server,-2")),
    broken("half a part", "servers.csv:2:2", "fraction", servers=("server,2", "server,2.5")),
    broken("pieces", "servers.csv:2:2", "without unit", servers=("server,2", "server,2 W")),
    broken("negative price", "servers.csv:2:3", "-150 EUR", "below 0 EUR", servers=("150,", "-150,")),
    broken("share above 100", "scenarios.csv:2:6", "120 %", "above 100 %", scenarios=("10 %", "120 %")),
    broken("bare 3", "study.csv:7:2", "3 % or 300 %", "write '3 %'", study=("3 %", "3")),
    broken("bare 0.03", "study.csv:7:2", "3 % or 0.03 %", study=("3 %", "0.03")),
    broken("share a year", "scenarios.csv:2:6", "wanted '%'", scenarios=("10 %", "10 %/year")),
    broken("growth a month", "study.csv:7:2", "'%/year'", study=("3 %", "3 %/month")),
    broken("bare horizon", "study.csv:5:2", "no unit", "'5 years'", study=("5 years", "5")),
    broken("horizon 0", "study.csv:5:2", "below 1 month", study=("5 years", "0")),
    broken("absurd horizon", "study.csv:5:2", "above 600 months", study=("5 years", "500 years")),
    broken("part of a month", "study.csv:5:2", "whole months", study=("5 years", "1.3 years")),
    broken("month 13", "tariffs.csv:3:2", "no month 13", tariffs=("2027-07", "2027-13")),
    broken("mid-month", "tariffs.csv:3:2", "first", "2027-07", tariffs=("2027-07", "2027-07-15")),
    broken("a year long ago", "tariffs.csv:3:2", "1970 to 2100", tariffs=("2027-07", "0207-07")),
    broken("local date", "tariffs.csv:3:2", "not a month", tariffs=("2027-07", "07/2027")),
    broken("30 February", "exchange.csv:2:3", "no day 30", exchange=("11-20", "02-30")),
    broken("midnight at the end", "exchange.csv:2:3", "not a date", exchange=("11-20", "11-20 24:00")),
    broken("zone", "study.csv:6:2", "did you mean 'Europe/Vienna'", study=("Europe/Vienna", "Europe/Viena")),
    broken("zone as a path", "study.csv:6:2", "unknown", study=("Europe/Vienna", "../../etc/passwd")),
    broken("yes", "scenarios.csv:2:3", "write 'yes'", scenarios=(",yes,", ",perhaps,")),
    broken("choice", "resale.csv:2:2", "'own price' or 'new price then'",
           resale="curve,base,age,share\nfair,old price,0,80 %\nfair,own price,3 years,40 %\n"),
    broken("invisible letter", "scenarios.csv:3:1", "U+200B", scenarios=("servers,two", "serv\u200bers,two")),
    broken("long name", "servers.csv:3:1", "most is 200", servers=("drive 4 TB", "x" * 201)),
    broken("path upwards", "scenarios.csv:3:4", "plain file name", scenarios=("servers.csv", "../servers.csv")),
    broken("absolute path", "scenarios.csv:3:4", "plain file name", scenarios=("servers.csv", "/servers.csv")),
    broken("backslash", "scenarios.csv:3:4", "plain file name", scenarios=("servers.csv", "a\\servers.csv")),
    broken("no table's name", "scenarios.csv:3:4", "ends in .csv", scenarios=("servers.csv", "servers.txt")),
    broken("setting twice", "study.csv:13:1", "line 3 already", study=STUDY + "Currency,USD,,\n"),
    broken("setting unknown", "study.csv:7:1", "did you mean 'discount'", study=("discount,", "discont,")),
    broken("setting missing", "study.csv", "'discount'", "3 %", study=("discount,3 %,savings account,\n", "")),
    broken("setting empty", "study.csv:7:2", "discount", "empty", study=("discount,3 %", "discount,")),
]  # fmt: skip

TOGETHER = [
    broken("no scenario", "scenarios.csv", "no scenario", scenarios=SCENARIOS.split("\n")[0] + "\n"),
    broken("scenario twice", "scenarios.csv:4:1", "line 3 already", scenarios=("rented", "servers")),
    broken("scenario in capitals", "scenarios.csv:4:1", "upper and lower", scenarios=("rented", "Servers")),
    broken("two baselines", "scenarios.csv:3:3", "'minis' is the baseline already",
           scenarios=("servers,two old servers,,", "servers,two old servers,yes,")),
    broken("no baseline", "scenarios.csv", "baseline", scenarios=STAIRS),
    broken("noes for a baseline", "scenarios.csv", "no scenario is the baseline",
           scenarios=(",yes,minis", ",no,minis")),
    broken("tariff absent", "scenarios.csv:2:5", "did you mean 'household'",
           scenarios=("minis.csv,household", "minis.csv,houshold")),
    broken("failure curve absent", "servers.csv:3:6", "did you mean 'drives'", servers=("drives", "drive")),
    broken("resale curve absent", "minis.csv:2:13", "no curve 'fairr'",
           minis=("small things,,fair", "small things,,fairr")),
    broken("replacement absent", "minis.csv:3:12", "no part", "'drive 8 TB new'",
           minis=("drives,drive 8 TB new,", "drives,drive 8 TB neu,")),
    broken("node absent", "minis.csv:2:2", "no node", "'mini'", minis=("mini PC,mini,", "mini PC,minni,")),
    broken("node without parts", "nodes.csv:2:2", "no node", nodes=("minis,mini", "minis,maxi")),
    broken("node without parts list", "nodes.csv:2:2", "no parts list", nodes=("minis,mini", "rented,mini")),
    broken("node twice", "nodes.csv:3:2", "line 2", nodes="scenario,node,count\nminis,mini,3\nminis,mini,3\n"),
    broken("member of no scenario", "fees.csv:2:1", "did you mean 'rented'", fees=("rented", "rentet")),
    broken("two parts meant", "minis.csv:3:12", "2 parts are named", minis=("switch,", "drive 8 TB new,")),
    broken("replacement replaced", "minis.csv:3:12", "like for like",
           minis=("5.5,8 W,drives,,\n", "5.5,8 W,drives,switch,\n")),
    broken("replaced by itself", "minis.csv:2:12", "itself", minis=("small things,,", "small things,mini PC,")),
    broken("bought too late", "minis.csv:2:6", "month 61", "60 months", minis=("129,6,0,", "129,6,61,")),
    broken("leaves too late", "minis.csv:3:7", "month 61", minis=(",36,", ",61,")),
    broken("leaves too early", "minis.csv:3:7", "bought", minis=("99.50,0,0,36,", "99.50,0,36,36,")),
    broken("one-off too late", "one_offs.csv:3:3", "month 99", one_offs=("60", "99")),
    broken("fee too late", "fees.csv:2:6", "month 61", fees=("5.50,1,", "5.50,1,61")),
    broken("fee ends first", "fees.csv:2:6", "first month, 9", fees=("5.50,1,", "5.50,9,8")),
    broken("fee by the TB", "fees.csv:2:4", "data held", study=("data held,8 TB,,\n", "")),
    broken("no tariff", "scenarios.csv:3", "tariff", "draws power",
           scenarios=("servers.csv,household", "servers.csv,")),
    broken("tariff begins late", "tariffs.csv:2:2", "2026-12 to 2027-02", tariffs=("2026-01", "2027-03")),
    broken("tariff begins late by one", "tariffs.csv:2:2", "no price for 2026-12;", tariffs=("2026-01", "2027-01")),
    broken("version twice", "tariffs.csv:3:2", "already", "line 2", tariffs=("2027-07", "2026-01")),
    broken("no busy share", "scenarios.csv:2", "busy share", "minis.csv:2:10", scenarios=("10 %", "")),
    broken("nothing to compare", "scenarios.csv:4", "nothing to compare", fees=None),
    broken("uneven nodes", "minis.csv:2:3", "4", "3 nodes", minis=("mini PC,mini,3", "mini PC,mini,4")),
    broken("more parts than anybody has", "servers.csv:52:2", "more than 100 rows", "failure curve counted twice",
           servers="part,quantity,price [EUR],failures\n" + "x,1,9,drives\n" * 60 + "y,0,9,\n" * 60),
    broken("more fees than anybody pays", "fees.csv:102:2", "120 fees of 'rented'; the most is 100",
           fees="scenario,fee,amount\n" + "rented,x,1 EUR/month\n" * 120),
    broken("busy without idle", "nodes.csv:2:5", "measured idle", nodes=("3,,", "3,,30 W")),
    broken("measured busy below idle", "nodes.csv:2:5", "below", nodes=("3,,", "3,30,20 W")),
    broken("busy below idle", "minis.csv:2:10", "below", minis=("28 W", "8 W")),
    broken("measured node comes apart", "nodes.csv:2:4", "36, 60", nodes=("3,,", "3,10,20")),
    broken("ages fall", "failures.csv:4:2", "rise", failures=("4 years", "0")),
    broken("first age", "failures.csv:2:2", "must be 0", failures=("things,0 years", "things,1 year")),
    broken("rate and chance", "failures.csv:2:4", "both", failures=("2 %/year,", "2 %/year,3 %")),
    broken("neither rate nor chance", "failures.csv:2", "neither", failures=("2 %/year,", ",")),
    broken("one point", "resale.csv:2:1", "single", resale="curve,base,age,share\nfair,own price,0,80 %\n"),
    broken("two bases", "resale.csv:4:2", "one base", resale=("own price,5", "new price then,5")),
    broken("worth more after nothing", "resale.csv:4:4", "again", resale=("40 %", "0 %")),
    broken("worth nothing at first", "resale.csv:2:4", "first age", resale=("80 %", "0 %")),
    broken("worth nothing at its age", "minis.csv:3:13", "own age, 72", minis=("2 years", "6 years"),
           resale=("20 %", "0 %")),
]  # fmt: skip

CORPUS = [*FILES, *HEADERS, *CELLS, *TOGETHER]
