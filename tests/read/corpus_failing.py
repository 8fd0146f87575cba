"""Further broken studies: ranges of inputs, warranty, wear and life of parts, failure curves, spares; see corpus.py.

Their good study is that of tests/studies.py with two pools, drives that wear, a drive that takes writes first, an
item with a calendar life, and ranges.
"""

from __future__ import annotations

from tests.read.corpus import Broken, broken, varied
from tests.studies import FAILURES, STUDY, TARIFFS, Change

SCENARIOS = """scenario,baseline,parts list,tariff,busy share,upkeep
minis,yes,minis.csv,household,10 %,1 h/month
servers,,servers.csv,household,5 %,2 h/month
rented,,,,,
"""
MINIS = """part,node,quantity,price [EUR],busy,age,failures,replaced by,warranty,claim,endurance,written,\
written before,takes first,life,pool,capacity,resale
mini PC,mini,3,129,28 W,,small things,,2 years,,,,,,,,,fair
drive 8 TB,mini,3,99.50,8 W,2 years,drives,drive 8 TB new,,,,,,,,main,8 TB,
drive 8 TB new,mini,0,180,8 W,,drives,,3 years,9 EUR,,,,,,,8 TB,
fast drive,mini,3,60,,,,,5 years,,600 TB,,,,,fast,1 TB,
log drive,,1,90,,1 year,,,,,300 TB,,80 TB,main,,,,
UPS,,1,140,,,,,,,,,,,4 years,,,
"""
POOLS = """scenario,pool,copies,data,parity,written
minis,main,3,,,60 GB/d
minis,fast,,2,1,
"""
HEAD = "input,scenario,low,high,source\n"
RANGES = f"""{HEAD}electricity price,,80 %,150 %,two forecasts
failure rate of drives,,50 %,200 %,
price of drive 8 TB,,90 EUR,120 EUR,
busy of drive 8 TB,minis,80 %,120 %,
discount,,1 %,5 %,
busy share of minis,minis,5 %,20 %,
share of fair at 36 months,,30 %,50 %,
"""
GOOD: dict[str, Change] = {
    "scenarios": SCENARIOS, "minis": MINIS, "pools": POOLS, "ranges": RANGES,
}  # fmt: skip
SHARED = SCENARIOS.replace("servers.csv", "minis.csv")  # two scenarios with one parts list
BOTH = POOLS + "servers,main,3,,,\nservers,fast,2,,,\n"
TWO_NODES = "scenario,node,count\nminis,mini,3\nservers,mini,3\n"


def changed(**changes: Change) -> dict[str, Change]:
    """The good study's tables, some changed as `write_study` says it."""
    return varied(GOOD, changes)


def slip(name: str, place: str, *words: str, **changes: Change) -> Broken:
    """A slip in the good study of this module."""
    return broken(name, place, *words, **changed(**changes))


def ranged(*rows: str) -> str:
    """ranges.csv with these rows: input, scenario, low, high."""
    return HEAD + "".join(f"{row},\n" for row in rows)


def of(name: str, place: str, row: str, *words: str, **changes: Change) -> Broken:
    """A slip in a ranges.csv of one row; place: its column."""
    return slip(name, f"ranges.csv:2:{place}", *words, ranges=ranged(row), **changes)


def part(cells: str, name: str = "case") -> dict[str, Change]:
    """servers.csv with one part; cells: from quantity to replaced by."""
    head = "part,quantity,price [EUR],age,failures,life,endurance,written,written before,takes first,warranty,claim,"
    return {"servers": f"{head}replaced by\n{name},{cells}\n"}


INPUTS = [
    of("misspelt input", "1", "prise of drive 8 TB,,90 EUR,120 EUR", "input: there is no input 'prise of drive 8 TB'",
       "did you mean 'price of drive 8 TB'?"),
    of("misspelt row", "1", "price of drve 8 TB,,90 EUR,120 EUR", "did you mean 'price of drive 8 TB'?"),
    of("misspelt factor", "1", "electricty price,,80 %,120 %", "did you mean 'electricity price'?"),
    of("misspelt setting", "1", "discont,,1 %,5 %", "did you mean 'discount'?"),
    of("input of nothing", "1", "weather,,1 %,5 %", "there is no input 'weather'; `tco vary` lists those"),
    of("input left empty", "1", ",,80 %,120 %", "input: empty", "price of hard drive"),
    of("column without row", "1", "life,,80 %,120 %", "there is no input 'life'"),
    of("live column without row", "1", "price,,80 %,120 %", "'price'; did you mean 'price of mini PC'?"),
    of("misspelt need", "1", "need: usabel,,80 %,120 %", "there is no input 'need: usabel'"),
    of("count", "1", "quantity of drive 8 TB,,80 %,120 %",
       "'quantity of drive 8 TB' is a count: a choice, not a chance",
       "compare scenarios, or use tco vary"),
    of("count of nodes", "1", "count of mini,,2,4", "is a count"),
    of("count of copies", "1", "copies of main,,2,4", "'copies of main' is a count"),
    of("years", "1", "years,,4,6", "how long it is kept is a choice, not a chance; use tco vary"),
    of("horizon", "1", "Horizon,,4 years,6 years", "how long it is kept is a choice"),
    of("months of age", "1", "age of drive 8 TB,,1 year,3 years",
       "'age of drive 8 TB' is worked in once and for all"),
    of("warranty", "1", "warranty of mini PC,,1 year,3 years", "worked in once and for all", "compare scenarios"),
    of("endurance", "1", "endurance of fast drive,,400 TB,800 TB", "worked in once and for all"),
    of("month bought", "1", "bought of drive 8 TB,,0,3", "worked in once and for all"),
    of("text", "1", "failures of mini PC,,1,2", "'failures of mini PC' is no number", "only numbers have a range"),
    of("choice", "1", "tax of mini PC,,1,2", "'tax of mini PC' is no number"),
    of("text setting", "1", "question,,1,2", "'question' is no number"),
    of("month", "1", "start of household from 2026-01,,1,2", "is no number"),
    of("unknown capacity", "1", "capacity of UPS,,1 TB,2 TB",
       "the study does not say 'capacity of UPS' (minis.csv:7); state it there first"),
    of("unknown inflation", "1", "inflation,,1 %,2 %", "does not say 'inflation' (study.csv)"),
    of("busy share beside a shape", "1", "busy share of minis,,1 %,2 %", "does not say 'busy share of minis'",
       scenarios=SCENARIOS.replace("upkeep", "busy shape").replace("10 %,1 h/month", ",night").replace(",2 h/month",
       ","),
       shapes="shape,days,share\nnight,,10 %\n"),
    of("busy that follows idle", "1", "busy of server,,80 %,120 %", "'busy of server' (servers.csv:2) is left out",
       "follows 'idle of server'; name that one", servers="part,quantity,price [EUR],idle [W]\nserver,2,150,80\n"),
    of("noise that follows idle", "1", "noise busy of server,,20 dB(A),30 dB(A)", "follows 'noise idle of server'",
       servers="part,quantity,price [EUR],noise idle,noise as\nserver,2,150,30 dB(A),power\n"),
    of("measured busy that follows idle", "1", "measured busy of mini,,80 %,120 %",
       "follows 'measured idle of mini'", nodes=("3,,", "3,20,")),
    of("growth that follows the study's", "1", "growth of household from 2026-01,,1 %,3 %",
       "'growth of household from 2026-01' (tariffs.csv:2) is left out and follows 'electricity growth'",
       tariffs="tariff,start,price\nhousehold,2026-01,0.31 EUR/kWh\n"),
    of("growth beside a path", "1", "growth of household from 2026-01,,1 %,3 %", "path 'forecast' holds instead",
       tariffs="tariff,start,price,path\nhousehold,2026-01,0.31 EUR/kWh,forecast\n",
       paths="path,year,index\n" + "".join(f"forecast,{year},1.0{year}\n" for year in range(1, 6))),
    of("tariff that nobody uses", "1", "price of other from 2026-01,,80 %,120 %",
       "no scenario uses 'price of other from 2026-01' (tariffs.csv:4:3), so it changes nothing",
       tariffs=TARIFFS + "other,2026-01,0.2 EUR/kWh,,\n"),
    of("resale curve that nobody follows", "1", "share of other at 0 months,,80 %,100 %",
       "no scenario uses 'share of other at 0 months'",
       resale=("curve,base,age,share\n",
       "curve,base,age,share\nother,own price,0,90 %\nother,own price,1 year,9 %\n")),
    of("failure curve that nobody follows", "1", "failure rate of fans,,80 %,120 %",
       "no part follows the failure curve 'fans'", "known: drives, small things",
       failures=FAILURES + "fans,0 years,9 %/year,\n"),
    of("misspelt failure curve", "1", "failure rate of drivs,,80 %,120 %", "did you mean 'failure rate of drives'?"),
    of("no tariff", "1", "electricity price,,80 %,120 %", "no scenario has a tariff",
       scenarios="scenario\nrented\n", minis=None, servers=None, nodes=None, pools=None, one_offs=None),
    of("no failure curve", "1", "failure rate,,80 %,120 %", "no part has a failure curve",
       scenarios="scenario\nrented\n", minis=None, servers=None, nodes=None, pools=None, one_offs=None),
    of("no resale curve", "1", "resale,,80 %,120 %", "no part has a resale curve", "changes nothing",
       scenarios="scenario\nrented\n", minis=None, servers=None, nodes=None, pools=None, one_offs=None),
    of("capitals tell them apart", "1", "PRICE OF DRIVE,,80 %,120 %",
       "'PRICE OF DRIVE' could be 'price of Drive' or 'price of drive'; write it so",
       servers="part,quantity,price [EUR]\ndrive,1,9\nDrive,1,9\n"),
    of("one name of two things", "1", "read of rented,,80 %,120 %", "'read of rented' is two things",
       "servers.csv:2:4 and stated.csv:2:2", stated="scenario,read\nrented,5 MB/s\n",
       servers="part,quantity,price [EUR],read\nrented,1,9,5 MB/s\n"),
    of("two values", "3", "price of drive 8 TB,,40 EUR,120 EUR",
       "low: 40 EUR is above what the study says, 30 EUR (servers.csv:2:3)",
       servers="part,quantity,price [EUR]\ndrive 8 TB,1,30\n"),
    of("two growths", "4", "price trend of drive 8 TB,,-9 %,-1 %",
       "high: -1 % is below what the study says, 0 % (minis.csv:3, left out)",
       servers="part,quantity,price [EUR],price trend\ndrive 8 TB,1,30,-3 %\n"),
    slip("more ranges than anybody draws", "ranges.csv:202:1", "more than 200 ranges, the most",
         ranges=ranged(*(f"price of x{number},,80 %,120 %" for number in range(201))),
         servers="part,quantity,price [EUR]\n" + "".join(f"x{number},0,9\n" for number in range(201))),
]  # fmt: skip

SCOPES = [
    of("range of no scenario", "2", "price of drive 8 TB,minnis,80 %,120 %", "there is no scenario 'minnis'",
       "did you mean 'minis'"),
    of("input of another scenario", "2", "price of drive 8 TB,servers,80 %,120 %",
       "'servers' has no 'price of drive 8 TB'; it is an input of 'minis'"),
    of("setting of a scenario", "2", "discount,minis,1 %,5 %", "'discount' is the same in all scenarios",
       "leave this empty"),
    of("tariff of a scenario", "2", "price of household from 2026-01,minis,80 %,120 %", "the same in all scenarios"),
    of("electricity of a scenario", "2", "electricity price,minis,80 %,120 %",
       "'electricity price' is the same in all"),
    of("failures of a scenario", "2", "failure rate of drives,minis,80 %,120 %", "the same in all scenarios"),
    slip("input twice", "ranges.csv:3:1", "'price of UPS' has a range in line 2 already; keep one",
         ranges=ranged("price of UPS,,80 %,120 %", "Price of  UPS,,90 %,110 %")),
    slip("input twice in a scenario", "ranges.csv:3:1", "'price of UPS' has a range in line 2 already",
         ranges=ranged("price of UPS,minis,80 %,120 %", "price of UPS,minis,90 %,110 %")),
    slip("input of all and of one", "ranges.csv:3:1", "'price of UPS' has a range in line 2 already",
         ranges=ranged("price of UPS,,80 %,120 %", "price of UPS,minis,90 %,110 %")),
    slip("input of one and of all", "ranges.csv:3:1", "'price of UPS' has a range in line 2 already",
         ranges=ranged("price of UPS,minis,80 %,120 %", "price of UPS,,90 %,110 %")),
    slip("factor twice", "ranges.csv:3:1", "'failure rate' has a range in line 2 already",
         ranges=ranged("failure rate,,80 %,120 %", "Failure Rate,,80 %,120 %")),
    slip("one curve twice", "ranges.csv:3:1", "'failure rate of drives' has a range in line 2 already",
         ranges=ranged("failure rate of drives,,80 %,120 %", "failure rate of Drives,,80 %,120 %")),
]  # fmt: skip

ENDS = [
    of("low above high", "3", "price of UPS,,150 EUR,120 EUR", "low: 150 EUR is above high, 120 EUR"),
    of("low above what the study says", "3", "price of UPS,,145 EUR,150 EUR",
       "low: 145 EUR is above what the study says, 140 EUR (minis.csv:7:4)"),
    of("high below what the study says", "4", "price of UPS,,100 EUR,139.99 EUR",
       "high: 139.99 EUR is below what the study says, 140 EUR (minis.csv:7:4)", "must lie between low and high"),
    of("around a default", "3", "shipping of UPS,,4 EUR,6 EUR", "what the study says, 0 EUR (minis.csv:7, left out)"),
    of("around a setting", "3", "discount,,3.5 %,5 %",
       "low: 3.5 % is above what the study says, 3 % (study.csv:7:2)"),
    of("around a setting left out", "3", "other growth,,1 %,5 %", "0 % (study.csv, left out)"),
    of("low above 100 %", "3", "price of UPS,,110 %,120 %", "low: 110 % is above what the study says, 100 %"),
    of("high below 100 %", "4", "electricity price,,80 %,90 %", "high: 90 % is below what the study says, 100 %"),
    of("low empty", "3", "discount,,,5 %", "low: empty"),
    of("high empty", "4", "discount,,1 %,", "high: empty"),
    of("no number", "3", "price of UPS,,cheap,150 EUR", "low: 'cheap' is not a number; write for example '129 EUR'"),
    of("no number of a factor", "4", "failure rate,,80 %,twice", "high: 'twice' is not a number", "'80 %'"),
    of("no unit", "3", "price of UPS,,100,150 EUR", "low: '100' has no unit", "'129 EUR'",
       "or in % of what the study"),
    of("factor as a number", "4", "failure rate,,80 %,1.5", "high: '1.5': 'failure rate' is a factor, written in %"),
    of("amount for a factor", "3", "electricity price,,0.2 EUR/kWh,150 %", "'electricity price' is a factor",
       "in % of what the study says, such as '80 %'"),
    of("growth as a number", "3", "discount,,1,5 %", "low: '1' could be 1 % or 100 %"),
    of("wrong kind of unit", "4", "price of UPS,,100 EUR,150 W", "high: 'W' is power"),
    of("misspelt unit", "4", "capacity of fast drive,,1 TB,2 Tb", "high: unit 'Tb' is unknown", "'Tbit'"),
    of("no rate of exchange", "3", "price of UPS,,100 CHF,150 EUR", "there is no rate for CHF"),
    of("below the column's range", "3", "price of UPS,,-5 EUR,150 EUR", "low: -5 EUR is below 0 EUR"),
    of("above the column's range", "4", "busy share of minis,,5 %,120 %", "high: 120 % is above 100 %"),
    of("growth beyond its range", "4", "discount,,1 %,200 %", "high: 200 % is above 100 %"),
    of("percentage beyond the range", "4", "power factor of minis,,80 %,120 %",
       "high: '120 %' of 0.9 (scenarios.csv:2:6): 1.08 is above 1, which is the most",
       scenarios=SCENARIOS.replace("upkeep", "power factor").replace("1 h/month", "0.9").replace("2 h/month", "")),
    of("negative factor", "3", "failure rate,,-20 %,150 %", "low: '-20 %' could be a change", "'80 %' for 20 % less"),
    of("more by a factor", "4", "price of UPS,,80 %,+50 %", "high: '+50 %' could be a change",
       "'150 %' for 50 % more"),
    of("absurd factor", "4", "failure rate,,80 %,20000 %", "high: 20000 % is above 10000 %, which is the most"),
    of("factor of nothing", "3", "shipping of UPS,,80 %,120 %", "the study says 0 (minis.csv:7)", "write amounts"),
    of("one in % and one not", "4", "price of UPS,,80 %,150 EUR",
       "low is in % of what the study says, this is as in its column; write both alike"),
    of("one not in % and one so", "4", "price of UPS,,100 EUR,150 %", "low is as in its column, this is in %"),
    of("percentage of decibels", "3", "noise idle of server,,80 %,33 dB(A)", "a share of a sound level means nothing",
       servers="part,quantity,price [EUR],noise idle,noise as\nserver,2,150,30 dB(A),power\n"),
    of("real money", "3", "discount,,1 % real,5 %", "low: '1 % real' is real",
       "the study says it in nominal money (study.csv:7:2)", "'nominal'"),
    of("not as the study says it", "3", "discount,,1 %,5 % real", "'1 %' is nominal",
       "the study says it in real money (study.csv:7:2); write it so and add 'real'",
       study=STUDY.replace("3 %", "3 % real") + "inflation,2 %,,\n"),
    of("real percentage", "4", "amount of rack sold in month 60,,80 %,120 % real", "leave 'real' out"),
    of("nominal where money is money", "3", "price of UPS,,100 EUR nominal,150 EUR", "leave 'nominal' out"),
    of("endless number", "3", f"price of UPS,,{'9' * 150} EUR,150 EUR", "is not a number"),
    slip("unknown column of ranges", "ranges.csv:1:3", "'lowest' is unknown",
         ranges="input,scenario,lowest,high\ndiscount,,1 %,5 %\n"),
    slip("unit of an end's header", "ranges.csv:1:3", "this column takes no unit",
         ranges="input,scenario,low [%],high\ndiscount,,1 %,5 %\n"),
    slip("ambiguous end", "ranges.csv:2:4", "could be 1.234 or 1234",
         ranges=ranged('price of UPS,,100 EUR,"1,234 EUR"')),
]  # fmt: skip

WEAR = [
    slip("life at its age", "servers.csv:2:6", "life: 24 months are over at its age when bought, 24 months",
         **part("1,9,2 years,,2 years,,,,,,,")),
    slip("life below its age", "servers.csv:2:6", "life: 12 months are over", **part("1,9,2 years,,1 year,,,,,,,")),
    slip("life without unit", "servers.csv:2:6", "'4' has no unit", "'4 years'", **part("1,9,,,4,,,,,,,")),
    slip("life 0", "servers.csv:2:6", "life: 0 months is below 1 month", **part("1,9,,,0,,,,,,,")),
    slip("negative life", "servers.csv:2:6", "below 1 month", **part("1,9,,,-1 year,,,,,,,")),
    slip("claim without warranty", "servers.csv:2:12", "claim: needs 'warranty' beside it",
         **part("1,9,,,,,,,,,9 EUR,")),
    slip("claim beside no warranty", "servers.csv:2:12", "claim: needs 'warranty'", **part("1,9,,,,,,,,0,9 EUR,")),
    slip("negative claim", "servers.csv:2:12", "-9 EUR is below 0 EUR", **part("1,9,,,,,,,,1 year,-9 EUR,")),
    slip("negative warranty", "servers.csv:2:11", "below 0 months", **part("1,9,,,,,,,,-1 year,,")),
    slip("written before without endurance", "servers.csv:2:9", "written before: needs 'endurance' beside it",
         **part("1,9,,,,,,80 TB,,,,")),
    slip("written before beyond endurance", "servers.csv:2:9",
         "written before: 80 TB; its endurance of 60 TB (servers.csv:2:7) is reached by then",
         **part("1,9,,,,60 TB,,80 TB,,,,")),
    slip("written before at endurance", "servers.csv:2:9", "is reached by then", **part("1,9,,,,80 TB,,80 TB,,,,")),
    slip("negative written before", "servers.csv:2:9", "below 0 TB", **part("1,9,,,,80 TB,,-1 TB,,,,")),
    slip("written without endurance", "servers.csv:2:8", "written: changes nothing without 'endurance'",
         **part("1,9,,,,,15 GB/d,,,,,")),
    slip("written in a year", "servers.csv:2:8", "'TB/year' is data per calendar time", "'GB/d'",
         **part("1,9,,,,80 TB,5 TB/year,,,,,")),
    slip("written without a time", "servers.csv:2:8", "'GB' is data", **part("1,9,,,,80 TB,5 GB,,,,,")),
    slip("negative written", "servers.csv:2:8", "below 0 GB/d", **part("1,9,,,,80 TB,-5 GB/d,,,,,")),
    slip("endurance 0", "servers.csv:2:7", "0 TB is not above 0", **part("1,9,,,,0,,,,,,")),
    slip("endurance in bits", "servers.csv:2:7", "unit 'Tb' is unknown", "'TB' (bytes)",
         **part("1,9,,,,600 Tb,,,,,,")),
    slip("takes first of no pool", "minis.csv:6:14", "takes first: 'minis' has no pool 'mian' in pools.csv",
         "did you mean 'main'", minis=("80 TB,main", "80 TB,mian")),
    slip("takes first without any pool", "servers.csv:2:10", "'servers' has no pool 'main' in pools.csv",
         **part("1,9,,,,80 TB,,,main,,,")),
    slip("takes first of one scenario only", "minis.csv:6:14", "'servers' has no pool 'main' in pools.csv",
         "known: fast", scenarios=SHARED, servers=None, one_offs=None, ranges=None, nodes=TWO_NODES,
         pools=POOLS + "servers,fast,2,,,\n"),
    slip("takes first and holds data", "minis.csv:5:14", "takes first: 'pool' stands in minis.csv:5:16 already",
         minis=("600 TB,,,,,fast", "600 TB,,,main,,fast")),
    slip("takes first and says how much", "minis.csv:6:12",
         "written: minis.csv:6:14 says that it takes a pool's writes",
         "keep one of them", minis=("300 TB,,80 TB", "300 TB,9 GB/d,80 TB")),
    slip("free part with a life", "servers.csv:2:3", "price: 0, so that a worn 'case' would be replaced for nothing",
         "'replaced by'", **part("1,0,,,4 years,,,,,,,")),
    slip("free part that is written to", "servers.csv:2:3", "a worn 'case' would be replaced for nothing",
         **part("1,0,,,,80 TB,5 GB/d,,,,,")),
    slip("free part of a pool that is written to", "minis.csv:3:4", "a worn 'drive 8 TB'", ranges=None,
         minis=("99.50,8 W,2 years,drives,drive 8 TB new,,,,", "0,8 W,2 years,,,,,90 TB,")),
    slip("free part that takes first", "minis.csv:6:4", "a worn 'log drive'", minis=("log drive,,1,90",
         "log drive,,1,0")),
    slip("free part that fails", "servers.csv:2:3", "a failed 'case'", **part("1,0,,drives,4 years,,,,,,,")),
    slip("worn part replaced by a free one", "servers.csv:2:13", "'new' has the price 0 (servers.csv:3:3)",
         "a worn 'case' would be replaced for nothing", **part("1,9,,,4 years,,,,,,,new\nnew,0,0,,,,,,,,,,")),
    slip("worn part replaced by itself", "servers.csv:2:13", "the part itself", **part("1,9,,,4 years,,,,,,,case")),
    slip("worn part replaced by what is replaced", "servers.csv:2:13", "'new' is itself replaced by another part",
         **part("1,9,,,4 years,,,,,,,new\nnew,0,9,,,,,,,,,,third\nthird,0,9,,,,,,,,,,")),
    slip("replaced by a worn-out one", "servers.csv:3:6", "life: 36 months are over",
         **part("1,9,,,4 years,,,,,,,old\nold,0,5,3 years,,3 years,,,,,,,")),
    slip("more parts with a life than anybody has", "servers.csv:52:2", "more than 100 rows", "wear or have a life",
         **part("1,9,,,4 years,,,,,,,\n" + "x,1,9,,,4 years,,,,,,,\n" * 59 + "y,0,9,,,,,,,,,,")),
    slip("more parts that wear than anybody has", "servers.csv:52:2", "more than 100 rows",
         **part("1,9,,,,9 TB,9 GB/d,,,,,\n" + "x,1,9,,,,9 TB,9 GB/d,,,,,\n" * 59 + "y,0,9,,,,,,,,,,")),
]  # fmt: skip

CURVES = [
    slip("curve begins late", "failures.csv:3:2", "curve 'drives' begins at 12 months; its first age must be 0",
         failures=("drives,0 years", "drives,1 year")),
    slip("curve begins late and falls", "failures.csv:3:2", "begins at 60 months",
         failures="curve,age,rate\nsmall things,0,2 %/year\ndrives,5 years,1 %/year\ndrives,6 years,3 %/year\n"),
    slip("ages of a curve fall", "failures.csv:5:2", "24 months after 48 months; ages must rise",
         failures=FAILURES + "drives,2 years,5 %/year,\n"),
    slip("age of a curve doubled", "failures.csv:5:2", "48 months after 48 months; ages must rise",
         failures=FAILURES + "drives,4 years,5 %/year,\n"),
    slip("gap in a curve", "failures.csv:4", "'drives' has neither a rate nor a chance here",
         failures=("years,3 %/year,", "years,,")),
    slip("rate and chance of one age", "failures.csv:4:4", "'drives' has both a rate and a chance here",
         failures=("years,3 %/year,", "years,3 %/year,1 %")),
    slip("chance above 1", "failures.csv:4:4", "chance: 101 % is above 100 %", failures=("years,3 %/year,",
         "years,,101 %")),
    slip("negative chance", "failures.csv:4:4", "chance: -1 % is below 0 %", failures=("years,3 %/year,",
         "years,,-1 %")),
    slip("chance as a number", "failures.csv:4:4", "'0.01' could be 1 % or 0.01 %", failures=("years,3 %/year,",
         "years,,0.01")),
    slip("chance a year", "failures.csv:4:4", "wanted '%'", failures=("years,3 %/year,", "years,,3 %/year")),
    slip("negative rate", "failures.csv:4:3", "rate: -3 %/year is below 0 %/year", failures=("years,3 %/year,",
         "years,-3 %/year,")),
    slip("rate without a time", "failures.csv:4:3", "'%' is a plain number", failures=("years,3 %/year,",
         "years,3 %,")),
    slip("rate without unit", "failures.csv:4:3", "has no unit", "%/year", failures=("years,3 %/year,", "years,3,")),
    slip("negative age", "failures.csv:4:2", "age: -12 months is below 0 months", failures=("4 years", "-1 year")),
    slip("age of half a month", "failures.csv:4:2", "only whole months count", failures=("4 years", "4.5 months")),
    slip("age of a century", "failures.csv:4:2", "above 600 months", failures=("4 years", "100 years")),
]  # fmt: skip

RESULTS = [
    slip(f"{name} in the study", f"{name}.csv", "is a result of an earlier comparison", **{name: "scenario,x\n"})
    for name in ("replacements", "simulate", "simulate_years", "simulate_inputs", "vary", "breakeven")
]

CORPUS = [*INPUTS, *SCOPES, *ENDS, *WEAR, *CURVES, *RESULTS]
