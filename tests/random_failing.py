"""What random studies say about failing and wearing: warranty, claims, endurance, calendar life, spares on the shelf.

Rates, chances and writes are high, so that most of it happens within the horizon, much of it more than once.
"""

from __future__ import annotations

import random

from tests.random_electricity import Row, Tables, percent, read, written

MORE = "warranty,claim,endurance,written,written before,takes first,life"
CURVES = [  # two that always fail: in the end, and at once when old
    "worse and worse,0 months,,{0}",
    "worse and worse,4 months,,{1}",
    "worse and worse,11 months,,100 %",
    "soon,0 years,{2} %/year,",
    "soon,1 year,{3} %/year,",
    "soon,5 years,,100 %",
]


def add_failing(rng: random.Random, tables: Tables, names: list[str], horizon: int) -> None:
    """Further columns and settings in a random study's tables."""
    rates = f"{rng.uniform(10, 200):.4f}", f"{rng.uniform(100, 900):.4f}"
    chances = percent(rng, 0, 10), percent(rng, 5, 90)
    tables["failures"] += [row.format(*chances, *rates) for row in CURVES]
    tables["study"] += settings(rng)
    if "pools" in tables:
        tables["pools"] = pools(rng, tables["pools"])
    for number, name in enumerate(names):
        own = [row["pool"] for row in read(tables.get("pools", ["pool"])) if row["scenario"] == name]
        table = tables[f"parts{number}"]
        rows = [failing(rng, row, horizon) for row in read(table)]
        rows += first_rows(rng, own, horizon)
        by_name = {row["part"]: row for row in rows}
        tables[f"parts{number}"] = written(table, [allowed(row, by_name) for row in rows], MORE)


def settings(rng: random.Random) -> list[str]:
    """Spares on the shelf or none, and the market for what is sold."""
    level = [f"resale level,{percent(rng, 0, 150)}"] if rng.random() < 0.5 else []
    if rng.random() < 0.2:
        return level
    lead = rng.choice([f"{rng.uniform(10, 2000):.3f} h", f"{rng.randint(1, 60)} d"])
    return [
        *level,
        f"spares confidence,{percent(rng, *rng.choice([(1, 99), (80, 99.9)]))}",
        f"spares lead time,{lead}",
    ]


def pools(rng: random.Random, table: list[str]) -> list[str]:
    """Pools to which much is written, or it is not known how much."""
    rows = read(table)
    for row in rows:
        row["written"] = f"{20 * 450 ** rng.random():.3f} GB/d" if rng.random() < 0.85 else ""
        row["overhead"] = rng.choice(["", f"{rng.uniform(1, 2):.4f}"])
    return written(table, rows, "written,overhead")


def failing(rng: random.Random, row: Row, horizon: int) -> Row:
    """A row that fails, wears, both or neither."""
    age = int((row["age"] or "0").split()[0])
    more = {
        "failures": rng.choice([row["failures"], "worse and worse", "soon"]),
        "warranty": rng.choice(["", "0", f"{rng.randint(1, 2 * horizon)} months", "1 year"]),
        "claim": rng.choice(["", "0", f"{rng.uniform(0, 30):.2f} EUR"]),
        "endurance": rng.choice(["", amount(rng, 0.02, 20), amount(rng, 0.2, 400)]),
        "written": rng.choice(["", "", f"{rng.uniform(0, 900):.3f} GB/d"]),
        "written before": rng.choice(["", "0 TB"]),
        "life": rng.choice(["", "", f"{age + rng.randint(1, horizon + 2)} months"]),
    }
    if row.get("pool") and rng.random() < 0.7:  # worn by its share of what is written to the pool
        more |= {"endurance": amount(rng, 0.05, 20), "written": ""}
    if more["endurance"] and rng.random() < 0.3:
        more["written before"] = f"{rng.uniform(0, 0.99) * float(more['endurance'].split()[0]):.6f} TB"
    return row | more


def amount(rng: random.Random, low: float, high: float) -> str:
    """An endurance; small ones are as likely as large ones."""
    return f"{low * (high / low) ** rng.random():.6f} TB"


def first_rows(rng: random.Random, pools: list[str], horizon: int) -> list[Row]:
    """Drives that take the writes of some pools first."""
    rows = []
    for number in range(rng.randint(1, 3) if pools else 0):
        bought = rng.choice([0, 0, rng.randint(0, horizon - 1)])
        row = {
            "part": f"log drive {number}",
            "quantity": str(rng.randint(1, 4)),
            "price": f"{rng.uniform(5, 200):.2f} EUR",
            "price trend": percent(rng, -30, 5),
            "shipping": f"{rng.uniform(0, 9):.2f} EUR",
            "disposal": f"{rng.uniform(0, 9):.2f} EUR",
            "bought": str(bought),
            "leaves": rng.choice(["", str(rng.randint(bought + 1, horizon))]),
            "age": rng.choice(["", f"{rng.randint(1, 30)} months"]),
            "failures": "",
            "replaced by": rng.choice(["", "spare"]),
            "resale": rng.choice(["", "own", "new"]),
        }
        own = {
            "written": "",
            "written before": "",
            "takes first": rng.choice(pools),
            "endurance": amount(rng, 0.2, 90),
        }
        rows.append(failing(rng, row, horizon) | own)
    return rows


def allowed(row: Row, by_name: dict[str, Row]) -> Row:
    """The row without what says nothing, which the reader refuses."""
    new = by_name.get(row.get("replaced by", ""), row)
    if row["warranty"] in ("", "0"):
        row["claim"] = ""
    if not row["endurance"]:
        row["written before"] = ""
    if not row["endurance"] and not new["endurance"]:
        row["written"] = ""
    return row
