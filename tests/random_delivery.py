"""What random studies say about what builds deliver: pools of unequal nodes, links, sound, circuits, needs."""

from __future__ import annotations

import random

MORE = (
    "capacity,pool,read,write,system,warranty,endurance,provides,needs,noise idle,noise busy,noise as,noise distance"
)
COUNTS = {"box": 2, "stack": 4, "odd pair": 2, "lone": 1}
Tables = dict[str, list[str]]


def add_delivery(rng: random.Random, tables: Tables, names: list[str], horizon: int) -> None:
    """Further columns and tables in a random study's tables."""
    for number in range(len(names)):
        rows = tables[f"parts{number}"]
        groups = ["box", *rng.sample(["stack", "odd pair", "lone"], rng.randint(1, 3))]
        tables[f"parts{number}"] = [rows[0] + "," + MORE, *(padded(rng, row) for row in rows[1:])]
        tables[f"parts{number}"] += drives(rng, groups, horizon)
        tables.setdefault("pools", ["scenario,pool,copies,data,parity,fill limit,traffic,lead time,written"])
        tables["pools"] += pools(rng, names[number], tables[f"parts{number}"])
    tables["nodes"] = nodes(rng, tables["nodes"], tables, names)
    tables["scenarios"] = placed(rng, tables["scenarios"])
    tables["sites"] = [
        "site,bed distance,wall,standing,voltage,breaker,plug,rule,others continuous,others short,circuits",
        f"hall,{rng.uniform(0.5, 9):.2f} m,{rng.uniform(0, 20):.1f} dB(A),{rng.choice(['floor', 'free'])},230 V,16 A,"
        f"{rng.choice(['', '10 A'])},{rng.choice(['rating', 'continuous 125 %'])},{rng.uniform(0, 3):.2f} A,2 A,"
        f"{rng.randint(1, 2)}",
        "cellar,,,,,,,,,,",
    ]
    stated = f"rent,{rng.uniform(5, 60):.2f} TB,2,{rng.uniform(5, 60):.1f} MB/s"
    tables["stated"] = ["scenario,usable,node losses,read", stated]
    tables["needs"] = needs(rng)


def padded(rng: random.Random, row: str) -> str:
    """A part that is no drive: it may provide places, need some, and make a noise."""
    noise = rng.choice(["0,,,", f"{rng.uniform(10, 40):.1f} dB(A),{rng.uniform(40, 55):.1f} dB(A),power,",
                        f"{rng.uniform(10, 40):.1f} dB(A),,pressure,{rng.uniform(0.5, 2):.2f} m"])  # fmt: skip
    gives = rng.choice(["", f"{rng.randint(2, 9)} bay + {rng.randint(1, 200)} W supply", "8 port + 0.5 TB memory"])
    takes = rng.choice(["", "1 bay", f"{rng.uniform(1, 60):.1f} W supply"]) if "bay" in gives else ""
    return f"{row},,,,,,,,{gives},{takes},{noise}"


def drives(rng: random.Random, groups: list[str], horizon: int) -> list[str]:
    """Drives in some groups of nodes, in one pool or two."""
    rows = []
    for number, group in enumerate(groups):
        for pool in ["main"] if number or rng.random() < 0.5 else ["main", "fast"]:
            rows += [drive(rng, group, pool, horizon) for _ in range(rng.choice([1, 1, 2]))]
    return rows


def drive(rng: random.Random, group: str, pool: str, horizon: int) -> str:
    """One kind of drive, there all the time or not."""
    bought = rng.choice([0, 0, 0, rng.randint(0, horizon - 1)])
    leaves = rng.choice(["", "", "", str(rng.randint(bought + 1, horizon))])
    leaves = "" if group == "box" and not bought else leaves  # what a measurement covers leaves together
    quantity = COUNTS[group] * rng.randint(1, 3)
    rates = f"{rng.uniform(80, 500):.1f} MB/s", f"{rng.uniform(60, 400):.1f} MB/s" if rng.random() < 0.9 else ""
    name = f"{pool} drive {rng.randint(0, 10**9)}"
    bought_cells = [f"{rng.uniform(10, 300):.2f} EUR", "included", "0", bought, leaves, "", "5 W", "8 W"]
    fails = [rng.choice(["", "by year"]), "spare", *[""] * 6]
    holds = [f"{rng.uniform(0.5, 20):.3f} TB", pool, *rates, rng.choice(["", "", "yes"]), "36 months", "", "", ""]
    cells = [name, group, quantity, *bought_cells, *fails, *holds, "20 dB(A)", "", "pressure", "1 m"]
    return ",".join(str(cell) for cell in cells)


def pools(rng: random.Random, name: str, parts: list[str]) -> list[str]:
    """A scheme for each pool that has drives."""
    used = [pool for pool in ("main", "fast") if any(f",{pool}," in row for row in parts)]
    shares = [[""], ["", ""], ["70 %", "30 %"]][len(used) - 1 + (len(used) == 2 and rng.random() < 0.5)]
    schemes = ["1,,", "2,,", "3,,", ",2,1", ",3,2", ",4,2"]
    return [
        f"{name},{pool},{rng.choice(schemes)},{rng.uniform(50, 100):.2f} %,{share},"
        f"{rng.choice(['3 d', '30 h'])},{rng.choice(['', '50 GB/d'])}"
        for pool, share in zip(used, shares, strict=True)
    ]


def nodes(rng: random.Random, rows: list[str], tables: Tables, names: list[str]) -> list[str]:
    """Every group of nodes that a parts list names, with its links."""
    found = [rows[0] + ",client link,replication link"]
    found += [f"{row},{link(rng)}" for row in rows[1:]]
    for number, name in enumerate(names):
        for group in ("stack", "odd pair", "lone"):
            if any(f",{group}," in row for row in tables[f"parts{number}"]):
                found.append(f"{name},{group},{COUNTS[group]},,,{link(rng)}")
    return found


def link(rng: random.Random) -> str:
    """A client link, and perhaps one for the nodes among themselves."""
    own = f"{rng.choice([1, 2.5, 10])} Gbit/s" if rng.random() < 0.95 else ""
    return f"{own},{rng.choice(['', '10 Gbit/s'])}"


def placed(rng: random.Random, rows: list[str]) -> list[str]:
    """Scenarios with a site, and how a client reaches them."""
    head = rows[0] + ",site,power factor,one client link,voting nodes,backup elsewhere"
    return [head, *(f"{row},{rng.choice(['hall', 'hall', 'cellar', ''])},{rng.choice(['', '0.8'])},"
                    f"{rng.choice(['', '2.5 Gbit/s'])},{rng.choice(['', '3'])},{rng.choice(['', 'yes', 'no'])}"
                    for row in rows[1:])]  # fmt: skip


def needs(rng: random.Random) -> list[str]:
    """Some of the needs."""
    rows = [
        f"usable,{rng.uniform(0, 20):.2f} TB",
        "hold data,yes",
        f"node losses,{rng.randint(0, 2)}",
        "losses writing,1",
        f"read,{rng.uniform(50, 400):.1f} MB/s",
        f"one client write,{rng.uniform(50, 200):.1f} MB/s",
        f"noise idle,{rng.uniform(10, 40):.1f} dB(A)",
        f"noise busy,{rng.uniform(10, 40):.1f} dB(A)",
        f"power,{rng.uniform(20, 300):.1f} W",
        "circuit,yes",
        f"budget start,{rng.uniform(100, 3000):.2f} EUR",
        f"budget month,{rng.uniform(1, 60):.2f} EUR/month",
        "backup elsewhere,yes",
    ]
    picked = rng.sample(rows, rng.randint(0, len(rows)))
    grown = [f"usable growth,{rng.uniform(-5, 30):.3f} %"] if any(row.startswith("usable") for row in picked) else []
    return ["need,value", *picked, *grown]
