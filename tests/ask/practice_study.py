"""A good study, in which no practice check finds anything, and changes to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import tco
from tco.ask.compare import Comparison

# Four boxes of 150 USD and 28 W busy, each with a 12 TB drive: 48 TB raw, 16 TB in 3 copies, 80 % of it 12.8.
GOOD = {
    "study": """setting,value,source
question,Is all of this well?,ours
currency,USD,
start,2026-12,
horizon,60 months,
time zone,UTC,
discount,3 %,
hour value,15 USD/h,
data held,10 TB,
data growth,2 %,
""",
    "scenarios": """scenario,parts list,tariff,busy share,upkeep,site,power factor,backup elsewhere
home,flat.csv,household,10 %,1 h/month,shelf,0.9,yes
""",
    "nodes": """scenario,node,count,client link
home,box,4,10 Gbit/s
""",
    "pools": """scenario,pool,copies,data,parity,lead time,written,overhead
home,main,3,,,72 h,30 GB/d,
""",
    "sites": """site,bed distance,voltage,breaker,plug,rule,others short,circuits
shelf,5 m,230 V,16 A,10 A,rating,9 A,2
""",
    "tariffs": """tariff,start,price,growth,source
household,2026-06,0.30 USD/kWh,,the bill
""",
    "failures": """curve,age,rate
rising,0 years,1 %/year
rising,4 years,2 %/year
flat,0 years,1.2 %/year
""",
    "resale": """curve,base,age,share
fair,own price,0 years,100 %
fair,own price,5 years,20 %
gold,own price,0 years,100 %
gold,own price,5 years,120 %
""",
}
HEAD = (
    "part,node,quantity,price,bought,age,idle,busy,failures,resale,warranty,provides,noise idle,noise as,"
    "noise distance,weight,source,capacity,pool,system,endurance,needs,read,write"
)
COMPUTER = (
    "computer,box,4,150 USD,,,8 W,20 W,rising,fair,5 years,1 bay 3.5 + 16 GB memory + 60 W supply,20 dB(A),pressure,"
    "1 m,2 kg,ours,,,,,1 port,,"
)
DISK = "drive,box,4,300 USD,,,5 W,8 W,rising,fair,5 years,,,,,,ours,12 TB,main,,600 TB,1 bay 3.5,200 MB/s,200 MB/s"
SWITCH = "switch,,2,50 USD,,,5 W,,rising,,5 years,8 port,0 dB(A),,,,ours,,,,,,,"
GOOD["flat"] = "\n".join([HEAD, COMPUTER, DISK, SWITCH, ""])
Pair = tuple[str, str]
Pairs = Pair | tuple[Pair, ...]


@dataclass(frozen=True)
class Case:
    """Changes to the good study, and all that a rule must say then; nothing, where it must say nothing."""

    rule: str
    changes: tuple[tuple[str, str, str], ...]
    sentences: tuple[str, ...] = ()


def case(rule: str, *told: str, **changes: Pairs) -> Case:
    """`table=(old, new)`, or several pairs."""
    found = []
    for name, pairs in changes.items():
        several = pairs if isinstance(pairs[0], tuple) else (pairs,)
        found += [(name, old, new) for old, new in several]  # type: ignore[misc]
    return Case(rule, tuple(found), told)


def row(line: str, old: str, new: str) -> Pair:
    """A row of the parts list with a change."""
    assert line.count(old) == 1, f"{old!r} stands {line.count(old)} times in {line}"
    return line, line.replace(old, new)


def later(capacity: str) -> tuple[Pair, ...]:
    """A drive more in each box from month 49 on, with a bay for it."""
    more = DISK.replace("drive,box,4,300 USD,", "more,box,4,300 USD,48").replace("12 TB", capacity)
    return ((COMPUTER, COMPUTER.replace("1 bay", "2 bay")), (DISK, f"{DISK}\n{more}"))


# Three boxes of 12 TB and one of 24: raw 60, a share of 3 copies is 20; 3 x 18 can be used: 12 + 12 + 12 + 18.
UNEVEN: dict[str, Pairs] = {
    "nodes": ("home,box,4,10 Gbit/s", "home,box,3,10 Gbit/s\nhome,big,1,10 Gbit/s"),
    "flat": (
        (COMPUTER, COMPUTER.replace("box,4", "box,3")),
        (DISK, DISK.replace("box,4", "box,3") + "\n" + DISK.replace("drive,box,4", "drives,big,2")),
    ),
}


@cache
def compared(changes: tuple[tuple[str, str, str], ...] = ()) -> Comparison:
    """The good study with changes, worked out."""
    tables = dict(GOOD)
    for name, old, new in changes:
        assert tables[name].count(old) == 1, f"{old!r} stands {tables[name].count(old)} times in {name}"
        tables[name] = tables[name].replace(old, new)
    return worked_out(tables)


def worked_out(tables: Mapping[str, str]) -> Comparison:
    """A study of these tables, read by the public path."""
    with TemporaryDirectory() as folder:
        for name, text in tables.items():
            (Path(folder) / f"{name}.csv").write_text(text, encoding="utf-8")
        return tco.compare(tco.load(folder))
