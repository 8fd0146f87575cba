"""A small good study for tests: two clusters and a rented space, in euro, in Vienna."""

from __future__ import annotations

from pathlib import Path

Change = str | bytes | tuple[str, str] | None

STUDY = """setting,value,source,note
question,Which storage for our flat?,,
currency,EUR,,
start,2026-12,,
horizon,5 years,,as long as we mean to stay
time zone,Europe/Vienna,,
discount,3 %,savings account,
electricity growth,2 %,,
tax,20 %,,
hour value,15 EUR/h,,
data held,8 TB,,
data growth,10 %,,
"""
SCENARIOS = """scenario,title,baseline,parts list,tariff,busy share,upkeep,source
minis,three small computers,yes,minis.csv,household,10 %,1 h/month,ours
servers,two old servers,,servers.csv,household,5 %,2 h/month,
rented,,,,,,,
"""
MINIS = """part,node,quantity,price [EUR],shipping [EUR],bought,leaves,age,idle [W],busy,failures,replaced by,resale
mini PC,mini,3,129,6,0,,,9,28 W,small things,,fair
drive 8 TB,mini,3,99.50,0,0,36,2 years,5.5,8 W,drives,drive 8 TB new,fair
drive 8 TB new,mini,0,180,0,0,,,5.5,8 W,drives,,
switch,,1,45,,0,,,4,,,,
"""
SERVERS = """part,quantity,price [EUR],idle [W],busy [W],failures
server,2,150,80,140,
drive 4 TB,8,30,6,9,drives
"""
NODES = """scenario,node,count,measured idle [W],measured busy [W]
minis,mini,3,,
"""
TARIFFS = """tariff,start,price,growth,source
household,2026-01,0.31 EUR/kWh,,the bill
household,2027-07,0.33 EUR/kWh,2 %,the letter
"""
FEES = """scenario,fee,amount [EUR/month],amount per TB [EUR/TB/month],first,last
rented,storage,,5.50,1,
"""
ONE_OFFS = """scenario,what,month,amount
servers,a lockable rack,0,120 EUR
servers,rack sold,60,-40 EUR
"""
FAILURES = """curve,age,rate,chance
small things,0 years,2 %/year,
drives,0 years,1.3 %/year,
drives,4 years,3 %/year,
"""
RESALE = """curve,base,age,share
fair,own price,0 years,80 %
fair,own price,3 years,40 %
fair,own price,5 years,20 %
"""
EXCHANGE = """currency,rate,day
USD,0.92,2026-11-20
"""
PURCHASES = """scenario,purchase,part,quantity,node,more nodes,turn,most
minis,one more mini,mini PC,1,,1,2,2
minis,one more mini,drive 8 TB new,1,,1,,
minis,second drives,drive 8 TB new,3,mini,,1,
"""
POOLS = """scenario,pool,copies
minis,main,2
"""
LEDGER = """scenario,day,what,part,quantity,amount [EUR],line
minis,2026-10-30,bought,mini PC,3,402,
minis,2026-11-02,bought,drive 8 TB,3,290,
minis,2026-11-02,bought,switch,1,45,
minis,2026-11-03,paid,,,12,one off
"""  # before the start, so that it is past on any day
WHOLE = {  # what commands that ask for more than a comparison need
    "purchases": PURCHASES,
    "pools": POOLS,
    "ledger": LEDGER,
    "minis": (
        MINIS.replace(",resale\n", ",resale,pool,capacity [TB]\n")
        .replace("28 W,small things,,fair\n", "28 W,small things,,fair,,\n")
        .replace("drive 8 TB new,fair\n", "drive 8 TB new,fair,main,8\n")
        .replace("8 W,drives,,\n", "8 W,drives,,,main,8\n")
        .replace("4,,,,\n", "4,,,,,,\n")
    ),
}
TABLES = {
    "study": STUDY,
    "scenarios": SCENARIOS,
    "minis": MINIS,
    "servers": SERVERS,
    "nodes": NODES,
    "tariffs": TARIFFS,
    "fees": FEES,
    "one_offs": ONE_OFFS,
    "failures": FAILURES,
    "resale": RESALE,
    "exchange": EXCHANGE,
}


def write_study(folder: Path, **changes: Change) -> Path:
    """Write the good study into a folder, some tables changed: `tariffs=("0.31", "0.35")`.

    A pair replaces the one place where its first text stands; a text or bytes are the whole table; None leaves the
    table out. A name that the study lacks is a further table. Returns the folder.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in {**TABLES, **changes}.items():
        if isinstance(content, tuple):
            old, new = content
            count = TABLES[name].count(old)
            assert count == 1, f"{old!r} stands {count} times in {name}"
            content = TABLES[name].replace(old, new)
        if isinstance(content, str):
            content = content.encode("utf-8")
        if content is not None:
            (folder / f"{name}.csv").write_bytes(content)
    return folder
