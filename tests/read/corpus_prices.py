"""Further broken studies: nominal and real money, price paths, gear that is owned already; see corpus.py."""

from __future__ import annotations

from tests.read.corpus import broken
from tests.studies import MINIS, RESALE, STUDY

REAL = STUDY + "money,real,,\n"
THEN = RESALE.replace("own price", "new price then")  # what a real study can use without inflation
PATHS = """path,year,index
forecast,1,1.05
forecast,2,1.08
forecast,3,1.1
forecast,4,1.12
forecast,5,1.15
drives,1,0.9
drives,2,0.8
drives,3,0.75
drives,4,0.7
drives,5,0.66
"""
SHORT = "".join(PATHS.splitlines(keepends=True)[:4])  # three years of the forecast
FOLLOWED = "tariff,start,price,growth,path\nhousehold,2026-01,0.31 EUR/kWh,,forecast\n"
PAID = "scenario,fee,amount,growth,path\nrented,storage,4 EUR/month,,forecast\n"
PARTS = "part,quantity,price,bought,failures,replaced by,fetches today,price trend,price path\n"
FOLLOWING = {"paths": PATHS, "tariffs": FOLLOWED, "fees": PAID, "servers": PARTS + "drive,8,30 EUR,0,,,,,drives\n"}


def with_growth(cell: str, head: str = "growth") -> str:
    """tariffs.csv with one version and its growth."""
    return f'tariff,start,price,{head}\nhousehold,2026-01,0.31 EUR/kWh,"{cell}"\n'


def owned(*rows: str) -> str:
    """A parts list with these rows."""
    return PARTS + "".join(f"{row}\n" for row in rows)


KINDS = [
    broken("real growth", "tariffs.csv:3:4", "growth: this is real", "nominal (study.csv, where money is left out)",
           "write it in nominal money, or state inflation in study.csv", tariffs=("2 %", "2 % real")),
    broken("real discount", "study.csv:7:2", "discount: this is real", "left out", study=("3 %", "3 % real")),
    broken("real growth of electricity", "study.csv:8:2", "this is real", study=("growth,2 %", "growth,2 % REAL")),
    broken("real amount", "one_offs.csv:3:4", "amount: this is real", one_offs=("-40 EUR", "-40 EUR real")),
    broken("real growth of a fee", "fees.csv:2:4", "growth: this is real",
           fees="scenario,fee,amount,growth\nrented,storage,4 EUR/month,1 % real\n"),
    broken("real trend", "servers.csv:2:8", "price trend: this is real",
           servers=owned("drive,8,30 EUR,0,,,,1 % real,")),
    broken("real index", "paths.csv:4:3", "index: this is real", paths=PATHS.replace("1.1\n", "1.1 real\n")),
    broken("real by its header", "tariffs.csv:2:4", "growth: this is real",
           tariffs=with_growth("2", "growth [% real]")),
    broken("nominal where money is real", "tariffs.csv:2:3", "price: this is nominal", "real (study.csv:13:2)",
           "write it in real money", study=REAL, resale=THEN, tariffs=("0.31 EUR/kWh", "0.31 EUR/kWh nominal")),
    broken("own price where money is real", "resale.csv:2:2", "'fair', used in minis.csv:2:13", "is nominal",
           "real (study.csv:13:2)", "state inflation in study.csv", study=REAL),
    broken("unknown money", "study.csv:13:2", "'rael'", "'nominal' or 'real'", study=STUDY + "money,rael,,\n",
           tariffs=("2 %", "2 % real")),
    broken("refused inflation", "study.csv:13:2", "could be", study=STUDY + "inflation,2,,\n",
           tariffs=("2 %", "2 % real")),
    broken("refused and real", "tariffs.csv:3:4", "wanted '%' or '%/year'", tariffs=("2 %", "2 %/month real")),
    broken("real inflation", "study.csv:13:2", "inflation", "leave 'real' out",
           study=STUDY + "inflation,2 % real,,\n"),
    broken("real growth of data", "study.csv:12:2", "only the discount, growth of prices and later amounts",
           "leave 'real' out here", study=("growth,10 %", "growth,10 % real")),
    broken("nominal share", "scenarios.csv:2:6", "leave 'nominal' out", scenarios=("10 %", "10 % nominal")),
    broken("nominal price of a part", "minis.csv:2:4", "leave 'nominal' out", minis=("129", "129 nominal")),
    broken("real quantity", "servers.csv:2:2", "leave 'real' out", servers=("server,2", "server,2 real")),
    broken("real age", "failures.csv:4:2", "leave 'real' out", failures=("4 years", "4 years real")),
    broken("header of no such money", "servers.csv:1:3", "price: 'EUR real'", "leave 'real' out here",
           servers=("price [EUR]", "price [EUR real]")),
    broken("header of a name", "servers.csv:1:1", "leave 'nominal' out", servers=("part,", "part [nominal],")),
    broken("header's unit and word", "tariffs.csv:1:4", "'W' is not what belongs",
           tariffs=("growth,", "growth [W real],")),
    broken("word against header", "tariffs.csv:2:4", "the cell says 'nominal', the header 'real'", "write one",
           tariffs=with_growth("2 % nominal", "growth [% real]")),
    broken("word against header, turned", "tariffs.csv:2:4", "the cell says 'real', the header 'nominal'",
           tariffs=with_growth("2 real", "growth [% nominal]")),
    broken("word alone", "tariffs.csv:3:4", "'real' is not a number", tariffs=("2 %", "real")),
    broken("word first", "tariffs.csv:3:4", "'real 2 %'", "once, after the value", tariffs=("2 %", "real 2 %")),
    broken("both words", "tariffs.csv:3:4", "once, after the value", tariffs=("2 %", "2 % real nominal")),
    broken("word in brackets", "tariffs.csv:3:4", "once, after the value", tariffs=("2 %", "2 % (real)")),
    broken("word for a unit", "tariffs.csv:2:3", "'0.31' has no unit", tariffs=("0.31 EUR/kWh", "0.31 nominal")),
    broken("word for a sign", "study.csv:7:2", "3 % or 300 %", study=("3 %", "3 nominal")),
    broken("ambiguous and nominal", "study.csv:7:2", "could be 1.234 or 1234", study=("3 %", "1.234 % nominal")),
]  # fmt: skip

FOLLOWERS = [
    broken("no first year", "paths.csv:2:2", "'x' begins with year 2", "must be 1",
           paths="path,year,index\nx,2,1.1\n"),
    broken("year left out", "paths.csv:3:2", "year 2 is missing before year 3",
           paths="path,year,index\nx,1,1.1\nx,3,1.1\n"),
    broken("years left out", "paths.csv:3:2", "years 2, 3, 4 are missing before year 5",
           paths="path,year,index\nx,1,1.1\nx,5,1.1\n"),
    broken("year twice", "paths.csv:3:2", "year 1 after year 1", "must rise",
           paths="path,year,index\nx,1,1.1\nx,1,1.1\n"),
    broken("years fall", "paths.csv:4:2", "year 2 after year 3", "must rise",
           paths="path,year,index\nx,1,1\nx,3,1\nx,2,1\n"),
    broken("year 0", "paths.csv:2:2", "below 1", paths="path,year,index\nx,0,1\nx,1,1\n"),
    broken("a calendar year", "paths.csv:2:2", "above 50", paths="path,year,index\nx,2027,1\n"),
    broken("index 0", "paths.csv:2:3", "below 0.01", paths="path,year,index\nx,1,0\n"),
    broken("index as a share", "paths.csv:2:3", "'5 %'", "without unit", "1.06", paths="path,year,index\nx,1,5 %\n"),
    broken("header of an index", "paths.csv:1:3", "no unit", "'index'", paths="path,year,index [%]\nx,1,105\n"),
    broken("path ends early", "paths.csv:4:2", "'forecast' ends with year 3", "60 months with year 5",
           "years 4, 5 are missing", paths=SHORT, tariffs=FOLLOWED),
    broken("path ends early by one", "paths.csv:4:2", "37 months with year 4", "year 4 is missing", paths=SHORT,
           tariffs=FOLLOWED, study=STUDY.replace("5 years", "37 months"), one_offs=None),
    broken("path of a fee ends early", "paths.csv:4:2", "years 4, 5", paths=SHORT, fees=PAID),
    broken("path of a part ends early", "paths.csv:4:2", "years 4, 5", paths=SHORT,
           servers=owned("drive,8,30 EUR,0,,,,,forecast")),
    broken("path absent", "tariffs.csv:2:5", "path: there is no path 'forecast' in paths.csv", tariffs=FOLLOWED),
    broken("path misspelt", "fees.csv:2:5", "did you mean 'forecast'", paths=PATHS,
           fees=PAID.replace("forecast", "forcast")),
    broken("price path absent", "servers.csv:2:9", "price path: there is no path 'drivs'", "did you mean 'drives'",
           paths=PATHS, servers=owned("drive,8,30 EUR,0,,,,,drivs")),
    broken("path and growth", "tariffs.csv:2:4", "growth: 'path' stands in tariffs.csv:2:5 already",
           "use one of them", paths=PATHS, tariffs=FOLLOWED.replace(",,forecast", ",2 %,forecast")),
    broken("path and no growth", "fees.csv:2:4", "growth: 'path' stands in fees.csv:2:5", paths=PATHS,
           fees=PAID.replace(",,forecast", ",0,forecast")),
    broken("path and trend", "servers.csv:2:8", "price trend: 'price path' stands in servers.csv:2:9", "use one of",
           paths=PATHS, servers=owned("drive,8,30 EUR,0,,,,0 %,drives")),
    broken("paths misspelt", "path.csv", "did you mean paths.csv", path=PATHS),
    broken("parts list nobody names", "parts.csv", "nor any scenario's parts list", parts=MINIS),
]  # fmt: skip

OWNED = [
    broken("owned with a price", "servers.csv:2:7", "fetches today", "owned already",
           "its price must be 0 (servers.csv:2:3)", servers=owned("drive,8,30 EUR,0,,,12 EUR,,")),
    broken("owned and bought later", "servers.csv:2:7", "bought in month 0 (servers.csv:2:4)",
           servers=owned("drive,8,0,6,,,12 EUR,,")),
    broken("replaced for nothing", "servers.csv:2:3", "price: 0", "'drive' would be replaced for nothing",
           "'replaced by'", servers=owned("drive,8,0,0,drives,,12 EUR,,")),
    broken("replaced by what costs nothing", "servers.csv:2:6",
           "replaced by: 'new' has the price 0 (servers.csv:3:3)", "'drive' would be replaced for nothing",
           servers=owned("drive,8,30 EUR,0,drives,new,,,", "new,0,0,0,,,,,")),
    broken("owned, replaced by what costs nothing", "servers.csv:2:6", "for nothing",
           servers=owned("drive,8,0,0,drives,new,,,", "new,0,0 EUR,0,drives,,,,")),
]  # fmt: skip

CORPUS = [*KINDS, *FOLLOWERS, *OWNED]
