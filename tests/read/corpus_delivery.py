"""Further broken studies: pools, sites, stated, needs, and what parts and nodes say beside them; see corpus.py.

Their good study is that of tests/studies.py with two pools, a site, contract terms of the rented space, and needs.
"""

from __future__ import annotations

from tests.read.corpus import Broken, broken, varied
from tests.studies import NODES, STUDY, Change

SCENARIOS = """scenario,baseline,parts list,tariff,busy share,site,power factor,one client link,\
voting nodes,backup elsewhere
minis,yes,minis.csv,household,10 %,hall,0.6,2.5 Gbit/s,3,yes
servers,,servers.csv,household,5 %,,,,,
rented,,,,,,,,,no
"""
MINIS = """part,node,quantity,price [EUR],idle,busy,pool,capacity,read,write,system,warranty,endurance,provides,needs
mini PC,mini,3,129,9 W,28 W,,,,,,2 years,,2 bay + 1 M.2 + 16 GB memory + 90 W supply,1 port
large drive,mini,3,99,5 W,8 W,main,8 TB,200 MB/s,190 MB/s,yes,3 years,,,1 bay + 12 W supply
fast drive,mini,3,60,1 W,3 W,fast,1 TB,500 MB/s,450 MB/s,,5 years,600 TB,,1 M.2 + 0.5 GB memory
switch,,1,45,4 W,,,,,,,,,8 port,
"""
SERVERS = """part,quantity,price [EUR],idle [W],noise idle,noise busy,noise as,noise distance,weight
server,2,150,80,45 dB(A),52 dB(A),pressure,1 m,20 kg
fan,4,9,1,30 dB(A),,power,,
cable,4,5,0,,,,,
"""
LINKED = """scenario,node,count,measured idle,client link,replication link
minis,mini,3,15 W,2.5 Gbit/s,10 Gbit/s
"""
POOLS = """scenario,pool,copies,data,parity,fill limit,traffic,lead time,written,overhead
minis,main,3,,,80 %,70 %,3 d,60 GB/d,
minis,fast,,2,1,85 %,30 %,12 h,,1.2
"""
SITES = """site,bed distance,wall,standing,voltage,breaker,plug,rule,others continuous,others short,circuits
hall,4 m,3 dB(A),floor,230 V,16 A,10 A,rating,0.5 A,9 A,1
"""
STATED = """scenario,usable,node losses,losses writing,read,write,one client read,one client write
rented,40 TB,2,2,25 MB/s,5 MB/s,25 MB/s,5 MB/s
"""
NEEDS = """need,value,source
usable,6 TB,
usable growth,5 %,
hold data,yes,
node losses,1,
one client read,25 MB/s,
noise busy,30 dB(A),
power,200 W,
circuit,yes,
budget start,2500 EUR,
budget month,40 EUR/month,
backup elsewhere,yes,
"""
GOOD = {
    "scenarios": SCENARIOS, "minis": MINIS, "servers": SERVERS, "nodes": LINKED, "pools": POOLS, "sites": SITES,
    "stated": STATED, "needs": NEEDS, "one_offs": None,
}  # fmt: skip


def changed(**changes: Change) -> dict[str, Change]:
    """The good study's tables, some changed as `write_study` says it."""
    return varied(GOOD, changes)


def slip(name: str, place: str, *words: str, **changes: Change) -> Broken:
    """A slip in the good study of this module."""
    return broken(name, place, *words, **changed(**changes))


def pool(cells: str) -> dict[str, Change]:
    """The first pool with other cells from `copies` on."""
    return {"pools": ("3,,,80 %,70 %,3 d,60 GB/d,\n", cells + "\n")}


def site(cells: str) -> dict[str, Change]:
    """The site with other cells from `voltage` on."""
    return {"sites": ("230 V,16 A,10 A,rating,0.5 A,9 A,1", cells)}


def need(row: str, *more: str) -> dict[str, Change]:
    """needs.csv with these rows."""
    return {"needs": "need,value,source\n" + "".join(f"{one},\n" for one in (row, *more))}


def offer(provides: str, needs: str = "") -> dict[str, Change]:
    """servers.csv with one part that provides, and one that needs."""
    rows = f'case,1,9,"{provides}",\ndrive,2,9,,"{needs}"\n'
    return {"servers": "part,quantity,price [EUR],provides,needs\n" + rows}


def noise(cells: str) -> dict[str, Change]:
    """The server with other cells of its noise."""
    return {"servers": ("45 dB(A),52 dB(A),pressure,1 m", cells)}


SCHEMES = [
    slip("k of 0", "pools.csv:3:4", "data: 0 is below 1", pools=(",2,1,", ",0,1,")),
    slip("0 copies", "pools.csv:2:3", "copies: 0 is below 1", **pool("0,,,80 %,70 %,3 d,,")),
    slip("negative copies", "pools.csv:2:3", "'-3' is negative", **pool("-3,,,80 %,70 %,3 d,,")),
    slip("too many copies", "pools.csv:2:3", "above 20", **pool("21,,,80 %,70 %,3 d,,")),
    slip("a fraction of a copy", "pools.csv:2:3", "'2.5' is a fraction", "whole number", **pool("2.5,,,,70 %,,,")),
    slip("negative parity", "pools.csv:3:5", "negative", pools=(",2,1,", ",2,-1,")),
    slip("copies and data", "pools.csv:2:3", "data and parity stated as well", "keep one",
         **pool("3,2,1,80 %,70 %,3 d,,")),
    slip("copies and parity", "pools.csv:2:3", "parity stated as well", **pool("3,,1,80 %,70 %,3 d,,")),
    slip("parity without data", "pools.csv:2:5", "parity: needs 'data' beside it", "'copies'",
         **pool(",,1,80 %,70 %,3 d,,")),
    slip("data without parity", "pools.csv:2:4", "data: needs 'parity' beside it", "'copies'",
         **pool(",2,,80 %,70 %,3 d,,")),
    slip("no scheme", "pools.csv:2", "copies: empty", "how many copies, or both 'data' and 'parity'",
         **pool(",,,80 %,70 %,3 d,,")),
    slip("scheme in one cell", "pools.csv:2:3", "'2+1' is not a number", "'3'", **pool("2+1,,,80 %,70 %,3 d,,")),
    slip("fill limit as a number", "pools.csv:2:6", "80 % or 0.8 %", **pool("3,,,0.8,70 %,3 d,,")),
    slip("fill limit without sign", "pools.csv:2:6", "write '80 %'", **pool("3,,,80,70 %,3 d,,")),
    slip("fill limit 0", "pools.csv:2:6", "fill limit: 0 % is below 1 %", **pool("3,,,0 %,70 %,3 d,,")),
    slip("fill limit above 100", "pools.csv:2:6", "120 % is above 100 %", **pool("3,,,120 %,70 %,3 d,,")),
    slip("traffic of one pool", "pools.csv:2", "traffic: empty", "pools.csv:3:7 states one", "for all pools",
         **pool("3,,,80 %,,3 d,,")),
    slip("traffic of 90 %", "pools.csv:2:7", "traffic", "add up to 90 %, not 100 %", **pool("3,,,,60 %,3 d,,")),
    slip("traffic of 110 %", "pools.csv:2:7", "add up to 110 %", **pool("3,,,,80 %,3 d,,")),
    slip("traffic as a number", "pools.csv:2:7", "70 % or 0.7 %", **pool("3,,,80 %,0.7,3 d,,")),
    slip("lead time without unit", "pools.csv:2:8", "'3' has no unit", "'3 d'", **pool("3,,,80 %,70 %,3,,")),
    slip("lead time in months", "pools.csv:2:8", "'months' is calendar time", "clock time", "write it in days, 'd'",
         **pool("3,,,80 %,70 %,2 months,,")),
    slip("lead time in weeks", "pools.csv:2:8", "write 1 week as '7 d'", **pool("3,,,80 %,70 %,2 weeks,,")),
    slip("negative lead time", "pools.csv:2:8", "-3 h is below 0 h", **pool("3,,,80 %,70 %,-3 h,,")),
    slip("lead time of two years", "pools.csv:2:8", "above 8784 h", **pool("3,,,80 %,70 %,800 d,,")),
    slip("written without a time", "pools.csv:2:9", "'GB' is data", "'GB/d'", **pool("3,,,80 %,70 %,3 d,60 GB,")),
    slip("written a month", "pools.csv:2:9", "data per calendar time", "'GB/d'", "days",
         **pool("3,,,80 %,70 %,3 d,2 TB/month,")),
    slip("overhead as a share", "pools.csv:2:10", "'20 %': a number without unit", "'1.2'",
         **pool("3,,,80 %,70 %,3 d,,20 %")),
    slip("overhead below 1", "pools.csv:2:10", "0.2 is below 1", **pool("3,,,80 %,70 %,3 d,,0.2")),
]  # fmt: skip

POOLED = [
    slip("pool twice", "pools.csv:3:2", "pool 'main' stands in line 2 already", "keep one",
         pools=("minis,fast", "minis,main"), minis=(",fast,1 TB", ",main,1 TB")),
    slip("pool of no scenario", "pools.csv:3:1", "no scenario 'minnis'", "did you mean 'minis'",
         pools=("minis,fast", "minnis,fast")),
    slip("pool of no scenario at all", "pools.csv:4:1", "no scenario 'boards'", "known: minis, rented, servers",
         pools=POOLS + "boards,main,2,,,,,,,\n"),
    slip("pool without scenario", "pools.csv:3:1", "scenario: empty", pools=("minis,fast", ",fast")),
    slip("pool without name", "pools.csv:3:2", "pool: empty", pools=("minis,fast", "minis,")),
    slip("pool without drives", "pools.csv:4:2", "'archive' of 'minis' is empty", "no part of minis.csv is a drive",
         pools=POOLS.replace("70 %", "").replace("30 %", "") + "minis,archive,2,,,,,,,\n"),
    slip("pool whose drives are a price only", "pools.csv:3:2", "'fast' of 'minis' is empty",
         minis=("fast drive,mini,3", "fast drive,mini,0")),
    slip("pool of a scenario without parts list", "pools.csv:4:2", "'main' of 'rented' is empty", "no parts list",
         pools=POOLS + "rented,main,2,,,,,,,\n", stated=None),
    slip("drive of no pool", "minis.csv:3:7", "'minis' has no pool 'mian' in pools.csv", "did you mean 'main'",
         minis=(",main,", ",mian,")),
    slip("drive of no pool, a price only", "minis.csv:6:7", "no pool 'slow'", "known: fast, main",
         minis=MINIS + "old drive,mini,0,9,,,slow,,,,,,,,\n"),
    slip("drive of no pools", "servers.csv:2:5", "'servers' has no pool 'main' in pools.csv",
         servers="part,quantity,price [EUR],node,pool,capacity\ndrive,2,9,old,main,4 TB\n",
         nodes=LINKED + "servers,old,2,,,\n"),
    slip("pools misspelt", "pool.csv", "did you mean pools.csv", pool=POOLS),
    slip("parts list is pools", "scenarios.csv:3:3", "another table", scenarios=("servers.csv", "pools.csv"),
         servers=None),
    slip("drive without capacity", "minis.csv:3:7", "a drive of a pool needs a capacity", "'16 TB'",
         minis=("main,8 TB", "main,")),
    slip("drive without node", "minis.csv:3:7", "a drive of a pool needs a node", "group of nodes",
         minis=("large drive,mini", "large drive,")),
    slip("drive in a node nobody counts", "minis.csv:3:2", "no node 'mimi' in nodes.csv", "did you mean 'mini'",
         minis=("large drive,mini", "large drive,mimi")),
    slip("no nodes.csv", "minis.csv:3:2", "nodes.csv must say how many nodes 'mini' there are", nodes=None),
    slip("nodes of others only", "minis.csv:3:2", "must say how many nodes 'mini'",
         nodes=NODES.split("\n")[0] + "\n"),
    slip("node without name", "nodes.csv:2:2", "node: empty", nodes=("minis,mini,", "minis,,")),
    slip("uneven drives", "minis.csv:3:3", "4 cannot be shared evenly", "3 nodes",
         minis=("large drive,mini,3", "large drive,mini,4")),
    slip("more groups of nodes than anybody has", "servers.csv:22:5", "more than 20 groups of nodes",
         servers="part,quantity,price [EUR],node,pool,capacity\n"
         + "".join(f"drive {n},1,9,n{n},main,4 TB\n" for n in range(21)),
         nodes=LINKED + "".join(f"servers,n{n},1,,,\n" for n in range(21)), pools=POOLS + "servers,main,2,,,,,,,\n"),
    slip("more kinds of drives than anybody has", "servers.csv:61:5",
         "'servers' has more than 60 rows of drives and links",
         servers="part,quantity,price [EUR],node,pool,capacity\n"
         + "".join(f"drive {n},2,9,old,main,4 TB\n" for n in range(70)),
         nodes=LINKED + "servers,old,2,,,\n", pools=POOLS + "servers,main,2,,,,,,,\n"),
    slip("quantity of a drive refused", "minis.csv:3:3", "fraction",
         minis=("large drive,mini,3", "large drive,mini,1.5")),
    slip("pools unreadable", "pools.csv", "workbook renamed", pools=b"PK\x03\x04"),
    slip("pools empty", "pools.csv", "empty", "first row", pools=""),
    slip("pools without a needed column", "pools.csv:1", "no column 'pool'",
         pools="scenario,copies\nminis,3\n"),
    slip("drive of the other pool misspelt", "minis.csv:4:7", "no pool 'fst'", "did you mean 'fast'",
         minis=(",fast,1 TB", ",fst,1 TB")),
    slip("parts' column misspelt", "minis.csv:1:8", "'capasity'", "did you mean 'capacity'",
         minis=("capacity", "capasity")),
    slip("pools' column misspelt", "pools.csv:1:3", "'copys'", "did you mean 'copies'",
         pools=("copies", "copys")),
]  # fmt: skip

DRIVES = [
    slip("capacity in bits", "minis.csv:3:8", "'TB' (bytes) or 'Tbit' (bits)", minis=("8 TB", "8 Tb")),
    slip("capacity without unit", "minis.csv:3:8", "'8' has no unit", "'16 TB'", minis=("8 TB", "8")),
    slip("capacity of 0", "minis.csv:3:8", "0 TB is not above 0", minis=("8 TB", "0")),
    slip("negative capacity", "minis.csv:3:8", "-8 TB is not above 0", minis=("8 TB", "-8 TB")),
    slip("capacity a second", "minis.csv:3:8", "data per clock time", "wanted is data", minis=("8 TB", "8 TB/s")),
    slip("rate of 0", "minis.csv:3:9", "0 MB/s is not above 0", minis=("200 MB/s", "0")),
    slip("negative rate", "minis.csv:3:10", "-190 MB/s is not above 0", minis=("190 MB/s", "-190 MB/s")),
    slip("rate without a time", "minis.csv:3:9", "'MB' is data", "'MB/s'", minis=("200 MB/s", "200 MB")),
    slip("rate by the trade's letters", "minis.csv:3:9", "'MBps' is unknown", "did you mean 'MB/s'",
         minis=("200 MB/s", "200 MBps")),
    slip("rate in bits by the trade's letters", "minis.csv:3:9", "did you mean 'Mbit/s'",
         minis=("200 MB/s", "1600 Mbps")),
    slip("rate a sec", "minis.csv:3:9", "did you mean 'MB/s'", minis=("200 MB/s", "200 MB/sec")),
    slip("rate in bits or bytes", "minis.csv:3:9", "'MB/s' (bytes) or 'Mbit/s' (bits)",
         minis=("200 MB/s", "200 Mb/s")),
    slip("system perhaps", "minis.csv:3:11", "write 'yes', or leave it empty",
         minis=(",yes,3 years", ",partly,3 years")),
    slip("warranty without unit", "minis.csv:3:12", "'3 months' or '3 years'", minis=("yes,3 years", "yes,3")),
    slip("warranty in days", "minis.csv:3:12", "'d' is clock time", "calendar time",
         minis=("yes,3 years", "yes,90 d")),
    slip("endurance in its own letters", "minis.csv:4:13", "'TBW' is unknown", "did you mean 'TB'",
         minis=("600 TB", "600 TBW")),
    slip("endurance of 0", "minis.csv:4:13", "not above 0", minis=("600 TB", "0")),
    slip("weight in pounds", "servers.csv:2:9", "'lb' is unknown", "'kg'", servers=("20 kg", "44 lb")),
    slip("negative weight", "servers.csv:2:9", "below 0 kg", servers=("20 kg", "-20 kg")),
    slip("network of 0", "nodes.csv:2:5", "client link: 0 Gbit/s is not above 0", nodes=("2.5 Gbit/s", "0")),
    slip("replication network of 0", "nodes.csv:2:6", "replication link: 0 Gbit/s is not above 0",
         nodes=("10 Gbit/s", "0 Gbit/s")),
    slip("link without unit", "nodes.csv:2:5", "'2.5' has no unit", "'2.5 Gbit/s'", nodes=("2.5 Gbit/s", "2.5")),
    slip("link in bits or bytes", "nodes.csv:2:5", "'GB/s' (bytes) or 'Gbit/s' (bits)",
         nodes=("2.5 Gbit/s", "2.5 Gb/s")),
    slip("link by the trade's letters", "nodes.csv:2:5", "did you mean 'Gbit/s'", nodes=("2.5 Gbit/s", "2.5 Gbps")),
    slip("link by the name of its plug", "nodes.csv:2:5", "did you mean 'Gbit/s'", nodes=("2.5 Gbit/s", "2.5 GbE")),
    slip("link without a time", "nodes.csv:2:6", "'Gbit' is data", nodes=("10 Gbit/s", "10 Gbit")),
    slip("client's link of 0", "scenarios.csv:2:8", "not above 0", scenarios=("2.5 Gbit/s", "0")),
    slip("voting nodes of 0", "scenarios.csv:2:9", "voting nodes: 0 is below 1", scenarios=(",3,yes", ",0,yes")),
    slip("half a voting node", "scenarios.csv:2:9", "fraction", scenarios=(",3,yes", ",2.5,yes")),
    slip("backup perhaps", "scenarios.csv:2:10", "backup elsewhere: 'maybe' is no choice", "'yes' or 'no'",
         scenarios=(",3,yes", ",3,maybe")),
    slip("takes more than all", "study.csv:13:2", "system takes: 120 % is above 99 %",
         study=STUDY + "system takes,120 %,,\n"),
]  # fmt: skip

PLACES = [
    slip("site absent", "scenarios.csv:2:6", "no site 'hal' in sites.csv", "did you mean 'hall'",
         scenarios=("hall", "hal")),
    slip("no sites.csv", "scenarios.csv:2:6", "no site 'hall' in sites.csv", sites=None),
    slip("site twice", "sites.csv:3:1", "site 'hall' stands in line 2 already", "keep one",
         sites=SITES + "hall,,,,,,,,,,\n"),
    slip("site without name", "sites.csv:2:1", "site: empty", sites=("hall", "")),
    slip("sites without their header", "sites.csv:1", "no column 'site'", sites="wall,voltage\n3 dB(A),230 V\n"),
    slip("sites' header misspelt", "sites.csv:1:1", "'sight'", "did you mean 'site'", sites=("site,", "sight,")),
    slip("rule's header misspelt", "sites.csv:1:8", "'rules'", "did you mean 'rule'", sites=(",rule,", ",rules,")),
    slip("sites' column left out", "sites.csv:2:11", "11 cells, the header 10", "extra one is '1'",
         sites=(",circuits", "")),
    slip("breaker without rule", "sites.csv:2:6", "breaker: needs 'rule' beside it", "'rating'", "'continuous 125 %'",
         **site("230 V,16 A,10 A,,0.5 A,9 A,1")),
    slip("breaker without voltage", "sites.csv:2:6", "breaker: needs 'voltage' beside it", "'230 V'",
         **site(",16 A,,rating,0.5 A,9 A,1")),
    slip("plug without voltage", "sites.csv:2:7", "plug: needs 'voltage' beside it", **site(",,10 A,,0.5 A,9 A,1")),
    slip("rule misspelt", "sites.csv:2:8", "rule: 'ratin' is no choice", "write 'rating' or 'continuous 125 %'",
         **site("230 V,16 A,10 A,ratin,0.5 A,9 A,1")),
    slip("half a rule", "sites.csv:2:8", "'continuous' is no choice", **site("230 V,16 A,10 A,continuous,,9 A,1")),
    slip("standing misspelt", "sites.csv:2:4", "standing: 'flor' is no choice", "'floor' or 'free'",
         sites=("floor", "flor")),
    slip("breaker without unit", "sites.csv:2:6", "'16' has no unit", "'16 A'",
         **site("230 V,16,10 A,rating,,9 A,1")),
    slip("breaker in watts", "sites.csv:2:6", "'W' is power; wanted is current", "'A'",
         **site("230 V,3680 W,10 A,rating,,9 A,1")),
    slip("breaker of 0", "sites.csv:2:6", "0 A is below 1 A", **site("230 V,0,10 A,rating,,9 A,1")),
    slip("voltage of 0", "sites.csv:2:5", "0 V is below 50 V", **site("0,16 A,10 A,rating,,9 A,1")),
    slip("high voltage", "sites.csv:2:5", "20000 V is above 500 V", **site("20 kV,16 A,10 A,rating,,9 A,1")),
    slip("negative load of others", "sites.csv:2:9", "-1 A is below 0 A",
         **site("230 V,16 A,10 A,rating,-1 A,9 A,1")),
    slip("no circuit", "sites.csv:2:11", "circuits: 0 is below 1", **site("230 V,16 A,10 A,rating,0.5 A,9 A,0")),
    slip("bed without unit", "sites.csv:2:2", "'4' has no unit", "'4 m'", sites=("4 m", "4")),
    slip("bed in feet", "sites.csv:2:2", "'ft' is unknown", "'m' or the like", sites=("4 m", "13 ft")),
    slip("bed on top of it", "sites.csv:2:2", "0 m is below 0.1 m", sites=("4 m", "0")),
    slip("wall in plain decibels", "sites.csv:2:3", "'dB' is unknown; did you mean 'dB(A)'",
         sites=("3 dB(A)", "3 dB")),
    slip("power factor 0", "scenarios.csv:2:7", "0 is below 0.1", scenarios=("0.6", "0")),
    slip("power factor 1.2", "scenarios.csv:2:7", "power factor: 1.2 is above 1", scenarios=("0.6", "1.2")),
    slip("power factor with %", "scenarios.csv:2:7", "'60 %': a number without unit", "'0.9'",
         scenarios=("0.6", "60 %")),
]  # fmt: skip

NOISE = [
    slip("noise of unknown kind", "servers.csv:2:5", "needs 'noise as' beside it", "'power' or 'pressure'",
         **noise("45 dB(A),52 dB(A),,1 m")),
    slip("busy noise of unknown kind", "servers.csv:2:5", "needs 'noise as'", **noise("0,52 dB(A),,1 m")),
    slip("kind of noise misspelt", "servers.csv:2:7", "noise as: 'presure' is no choice", "'power' or 'pressure'",
         **noise("45 dB(A),52 dB(A),presure,1 m")),
    slip("kind's header misspelt", "servers.csv:1:7", "'noise is'", "did you mean 'noise as'",
         servers=("noise as", "noise is")),
    slip("pressure without distance", "servers.csv:2:7", "a pressure needs the 'noise distance'", "'1 m'",
         **noise("45 dB(A),52 dB(A),pressure,")),
    slip("power with distance", "servers.csv:3:8", "a sound power has none", "'pressure'",
         servers=("30 dB(A),,power,,", "30 dB(A),,power,1 m,")),
    slip("louder when idle", "servers.csv:2:6", "noise busy: 40 dB(A) is below the idle level, 45 dB(A)",
         **noise("45 dB(A),40 dB(A),pressure,1 m")),
    slip("busy noise alone", "servers.csv:2:6", "noise busy: needs 'noise idle' beside it",
         **noise(",52 dB(A),pressure,1 m")),
    slip("bels", "servers.csv:2:5", "bels", "'42 dB(A)' for 4.2 bels", **noise("4.2 B,52 dB(A),pressure,1 m")),
    slip("A-weighted bels", "servers.csv:2:5", "bels", "ten times", **noise("4.2 B(A),52 dB(A),pressure,1 m")),
    slip("bels spelt out", "servers.csv:2:5", "ten times", **noise("4.2 bels,52 dB(A),pressure,1 m")),
    slip("bels in the header", "servers.csv:1:5", "ten times", servers=("noise idle", "noise idle [B]")),
    slip("plain decibels", "servers.csv:2:5", "did you mean 'dB(A)'", **noise("45 dB,52 dB(A),pressure,1 m")),
    slip("decibels with a space", "servers.csv:2:5", "did you mean 'dB(A)'?",
         **noise("45 db (a),52 dB(A),pressure,1 m")),
    slip("sones", "servers.csv:2:5", "'sone' is unknown", "'dB(A)' or the like",
         **noise("2 sone,52 dB(A),pressure,1 m")),
    slip("noise without unit", "servers.csv:2:5", "'45' has no unit", "[dB(A)]", **noise("45,52 dB(A),pressure,1 m")),
    slip("noise of a jet", "servers.csv:2:6", "520 dB(A) is above 140 dB(A)",
         **noise("45 dB(A),520 dB(A),pressure,1 m")),
    slip("negative noise", "servers.csv:2:5", "below 0 dB(A)", **noise("-5 dB(A),52 dB(A),pressure,1 m")),
    slip("noise distance without unit", "servers.csv:2:8", "'1' has no unit",
         **noise("45 dB(A),52 dB(A),pressure,1")),
    slip("noise distance of 0", "servers.csv:2:8", "0 m is below 0.01 m", **noise("45 dB(A),52 dB(A),pressure,0")),
]  # fmt: skip

AMOUNTS = [
    slip("amount without number", "servers.csv:2:4", "'two bays' is no amount", "'2 bay 3.5", **offer("two bays")),
    slip("amount without name", "servers.csv:2:4", "'2' is no amount", **offer("2")),
    slip("unit without name", "servers.csv:2:4", "'64 GB' does not say of what", **offer("64 GB")),
    slip("amount twice", "servers.csv:2:4", "'bay' stands here twice", "add the two up", **offer("2 bay + 1 Bay")),
    slip("times", "servers.csv:2:4", "'2x bay' is no amount", "did you mean '2 bay'", **offer("2x bay")),
    slip("times apart", "servers.csv:2:4", "leave the 'x' out", **offer("2 x bay")),
    slip("no space", "servers.csv:2:4", "did you mean '64 GB memory'", **offer("64GB memory")),
    slip("joined by commas", "servers.csv:2:4", "joined by +", **offer("2 bay, 1 slot")),
    slip("joined by and", "servers.csv:2:4", "joined by +", **offer("2 bay and 1 slot")),
    slip("joined by a line", "servers.csv:2:4", "joined by +", **offer("2 bay\n1 slot")),
    slip("nothing after +", "servers.csv:2:4", "'' is no amount", **offer("2 bay +")),
    slip("negative amount", "servers.csv:2:4", "'-2 bay' is no amount", **offer("-2 bay")),
    slip("thousands", "servers.csv:2:4", "could be 1000, or 1 of '000 GB memory'", **offer("1 000 GB memory")),
    slip("thousands with a point", "servers.csv:2:4", "could be 1 or 1000", **offer("1.000 GB memory")),
    slip("gigabits of memory", "servers.csv:2:4", "'GB' (bytes) or 'Gbit' (bits)", **offer("64 Gb memory")),
    slip("gigabits of nothing", "servers.csv:2:4", "'GB' (bytes) or 'Gbit' (bits)", **offer("64 Gb")),
    slip("unit in small letters", "servers.csv:2:4", "did you mean 'GB'", **offer("64 gb memory")),
    slip("hundreds of items", "servers.csv:2:4", "300 amounts; the most is 30",
         **offer(" + ".join(f"1 x{n}" for n in range(300)))),
    slip("amounts in a header", "servers.csv:1:4", "takes no unit", "'provides'",
         servers="part,quantity,price [EUR],provides [GB]\ncase,1,9,2 bay\n"),
    slip("need misspelt", "servers.csv:3:5", "no part of servers.csv provides 'bya'", "did you mean 'bay'",
         **offer("2 bay", "1 bya")),
    slip("need of what nobody provides", "servers.csv:3:5", "provides 'slot'", "known: bay, memory",
         **offer("2 bay + 1 memory", "1 slot")),
    slip("need misspelt, in capitals", "servers.csv:3:5", "provides 'M2'", "did you mean 'M.2'",
         **offer("1 M.2", "1 M2")),
    slip("need where nothing is provided", "servers.csv:3:5", "provides 'bay'", "write under 'provides'",
         **offer("", "1 bay")),
    slip("need in GB, provided in pieces", "servers.csv:3:5",
         "'16 GB memory' and '4 memory' are not counted in the same",
         **offer("4 memory", "16 GB memory")),
    slip("need in pieces, provided in GB", "servers.csv:3:5", "'1 memory' and '64 GB memory' are not counted",
         **offer("64 GB memory", "1 memory")),
    slip("provided in two ways", "servers.csv:3:4", "'100 VA supply' and '90 W supply' are not counted",
         servers="part,quantity,price [EUR],provides\ncase,1,9,90 W supply\nups,1,9,100 VA supply\n"),
]  # fmt: skip

CONTRACTS = [
    slip("stated twice", "stated.csv:3:1", "scenario 'rented' stands in line 2 already", "keep one",
         stated=STATED + "rented,,,,,,,\n"),
    slip("stated beside pools", "stated.csv:3:1", "'minis' has pools (pools.csv:2:2)",
         stated=STATED + "minis,9 TB,,,,,,\n"),
    slip("stated of no scenario", "stated.csv:2:1", "no scenario 'rent' in scenarios.csv", "did you mean 'rented'",
         stated=("rented,", "rent,")),
    slip("stated without scenario", "stated.csv:2:1", "scenario: empty", stated=("rented,", ",")),
    slip("stated in bits", "stated.csv:2:2", "'TB' (bytes) or 'Tbit' (bits)", stated=("40 TB", "40 Tb")),
    slip("negative room", "stated.csv:2:2", "-40 TB is below 0 TB", stated=("40 TB", "-40 TB")),
    slip("half a loss", "stated.csv:2:3", "'1.5' is a fraction", stated=("TB,2,2", "TB,1.5,2")),
    slip("losses with a unit", "stated.csv:2:4", "'2 nodes': a whole number without unit",
         stated=("TB,2,2", "TB,2,2 nodes")),
    slip("stated rate without a time", "stated.csv:2:5", "'MB' is data", stated=("2,2,25 MB/s", "2,2,25 MB")),
]  # fmt: skip

NEEDED = [
    slip("need unknown", "needs.csv:2:1", "need 'usble' is unknown", "did you mean 'usable'", **need("usble,3 TB")),
    slip("need unlike any", "needs.csv:2:1", "need 'colour' is unknown; known: backup elsewhere",
         **need("colour,red")),
    slip("need twice", "needs.csv:3:1", "need 'node losses' is said in line 2 already", "keep one",
         **need("node losses,1", "Node_Losses,2")),
    slip("need without value", "needs.csv:2", "node losses: empty", "'2', or take the row out",
         **need("node losses,")),
    slip("yes without value", "needs.csv:2", "hold data: empty", "'yes', or take the row out", **need("hold data,")),
    slip("need without name", "needs.csv:2:1", "need: empty", **need(",6 TB")),
    slip("growth of nothing", "needs.csv:2:2", "usable growth: needs 'usable' as well", **need("usable growth,6 %")),
    slip("growth of an empty need", "needs.csv:2:2", "usable: empty", **need("usable,", "usable growth,6 %")),
    slip("growth without sign", "needs.csv:3:2", "6 % or 600 %", **need("usable,6 TB", "usable growth,6")),
    slip("growth of a need a month", "needs.csv:3:2", "'%/year'", **need("usable,6 TB", "usable growth,1 %/month")),
    slip("data that nobody counted", "needs.csv:2:2", "hold data: study.csv does not say 'data held'",
         study=("data held,8 TB,,\n", ""), fees="scenario,fee,amount\nrented,storage,4 EUR/month\n",
         **need("hold data,yes")),
    slip("need without unit", "needs.csv:2:2", "usable: '12' has no unit: write for example '12 TB'",
         **need("usable,12")),
    slip("need in bits", "needs.csv:2:2", "'Tbit' (bits)", **need("usable,12 Tb")),
    slip("need of a rate without a time", "needs.csv:2:2", "'MB' is data", **need("read,300 MB")),
    slip("sound level in watts", "needs.csv:2:2", "noise busy: 'W' is power; wanted is sound level", "'dB(A)'",
         **need("noise busy,30 W")),
    slip("power in decibels", "needs.csv:2:2", "'dB(A)' is sound level; wanted is power", **need("power,30 dB(A)")),
    slip("half a node loss", "needs.csv:2:2", "node losses: '1.5' is a fraction", **need("node losses,1.5")),
    slip("negative node losses", "needs.csv:2:2", "negative", **need("node losses,-1")),
    slip("losses of nodes, said", "needs.csv:2:2", "without unit", **need("node losses,1 node")),
    slip("negative room needed", "needs.csv:2:2", "-1 TB is below 0 TB", **need("usable,-1 TB")),
    slip("backup maybe", "needs.csv:2:2", "backup elsewhere: 'maybe' is neither", "write 'yes'",
         **need("backup elsewhere,maybe")),
    slip("circuit in amperes", "needs.csv:2:2", "circuit: '16 A' is neither", "write 'yes'", **need("circuit,16 A")),
    slip("budget in an unknown money", "needs.csv:2:2", "no rate for CHF", **need("budget start,2500 CHF")),
    slip("budget without unit", "needs.csv:2:2", "'2500 EUR'", **need("budget start,2500")),
    slip("budget a month without it", "needs.csv:2:2", "'EUR' is money", "'EUR/month'",
         **need("budget month,40 EUR")),
    slip("needs empty", "needs.csv", "empty", "first row", needs=""),
    slip("needs unreadable", "needs.csv", "PDF", needs=b"%PDF-1.7 rest"),
    slip("needs without names", "needs.csv:1", "no column 'need'", needs="value\n6 TB\n"),
    slip("needs' values misspelt", "needs.csv:1:2", "'vlaue'", "did you mean 'value'",
         needs=("need,value", "need,vlaue")),
    slip("needs misspelt", "need.csv", "did you mean needs.csv", need=NEEDS),
    slip("results of a check", "checks.csv", "a result of an earlier comparison", checks="scenario,check\n"),
]  # fmt: skip

CORPUS = [*SCHEMES, *POOLED, *DRIVES, *PLACES, *NOISE, *AMOUNTS, *CONTRACTS, *NEEDED]
