"""Studies made at random, as tables a person could have typed: for property and recalculation tests."""

from __future__ import annotations

import random
from pathlib import Path

from tests.random_delivery import add_delivery
from tests.random_electricity import add_electricity
from tests.random_failing import add_failing


def random_study(seed: int, folder: Path) -> Path:
    """Write one study into a folder; the same seed gives the same tables. Returns the folder."""
    rng = random.Random(seed)
    folder.mkdir(parents=True, exist_ok=True)
    horizon = rng.randint(2, 40)
    names = ["alpha", "beta=1", "δelta build"][: rng.randint(1, 3)]
    tables = {
        "study": settings(rng, horizon),
        "scenarios": scenarios(rng, names),
        "tariffs": tariffs(rng),
        "paths": paths(rng, horizon),
        "failures": failures(rng),
        "resale": resale(rng),
        "fees": fees(rng, [*names, "rent"], horizon),
        "one_offs": one_offs(rng, names, horizon),
        "nodes": nodes(rng, names),
    }
    tables |= {f"parts{number}": parts(rng, horizon) for number in range(len(names))}
    if seed % 3:  # two of three say what builds deliver; random numbers of their own leave the rest as it was
        add_delivery(random.Random(f"delivery {seed}"), tables, names, horizon)
    if seed % 4 in (1, 2):  # and half of them how electricity is billed
        add_electricity(random.Random(f"electricity {seed}"), tables, names, horizon)
    if seed % 6 in (0, 1):  # a third of them, half of these with pools, wears and is under warranty
        add_failing(random.Random(f"failing {seed}"), tables, names, horizon)
    if seed % 5 in (0, 3):  # and two of five that it is insured
        tables["study"].append(f"insurance,{percent(random.Random(f'insurance {seed}'), 0, 5)}")
    for name, rows in tables.items():
        (folder / f"{name}.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    return folder


def percent(rng: random.Random, low: float, high: float) -> str:
    return f"{rng.uniform(low, high):.4f} %"


def rate(rng: random.Random, low: float, high: float) -> str:
    """A rate that may say which kind of money it is of."""
    return percent(rng, low, high) + rng.choice(["", "", "", " real", " nominal"])


def paths(rng: random.Random, horizon: int) -> list[str]:
    """Two price paths that reach the last year, one of them in the other kind of money here and there."""
    years = range(1, (horizon + 11) // 12 + 1)
    rows = [f"energy,{year},{rng.uniform(0.8, 1.5):.4f}{rng.choice(['', ' real', ' nominal'])}" for year in years]
    rows += [f"drives,{year},{0.9**year:.6f}" for year in years]
    return ["path,year,index", *rows]


def settings(rng: random.Random, horizon: int) -> list[str]:
    zone = rng.choice(["Europe/Vienna", "America/New_York", "Asia/Kolkata", "Australia/Lord_Howe", "UTC"])
    rows = {
        "question": '"Which one, ""really""?"',
        "currency": "EUR",
        "start": f"{rng.randint(2024, 2030)}-{rng.randint(1, 12):02}",
        "horizon": f"{horizon} months",
        "time zone": zone,
        "timing": rng.choice(["month-end", "year-end", "mid-year"]),
        "growth step": rng.choice(["month", "month", "year"]),
        "money": rng.choice(["nominal", "real"]),
        "inflation": percent(rng, -1, 6),
        "discount": rng.choice(["0", rate(rng, 0.0001, 12), rate(rng, -2, 0)]),
        "electricity growth": rate(rng, -5, 9),
        "other growth": rng.choice(["0", rate(rng, -2, 6)]),
        "owned gear": rng.choice(["free", "cost"]),
        "tax": percent(rng, 0, 27),
        "hour value": f"{rng.uniform(0, 40):.2f} EUR/h",
        "selling share": percent(rng, 0, 20),
        "data held": f"{rng.uniform(0, 30):.4f} TB",
        "data growth": percent(rng, -10, 40),
        "data added": f"{rng.uniform(0, 3):.4f} TB/year",
    }
    return ["setting,value", *(f"{name},{value}" for name, value in rows.items())]


def scenarios(rng: random.Random, names: list[str]) -> list[str]:
    base = rng.randrange(len(names) + 1)
    rows = [
        f"{name},{'yes' if number == base else ''},parts{number}.csv,house,{percent(rng, 0, 100)},"
        f"{rng.uniform(0, 3):.2f} h/month"
        for number, name in enumerate(names)
    ]
    rows.append(f"rent,{'yes' if base == len(names) else ''},,,,")
    return ["scenario,baseline,parts list,tariff,busy share,upkeep", *rows]


def tariffs(rng: random.Random) -> list[str]:
    rows = [f"house,2020-01,{rng.uniform(-0.05, 0.6):.4f} EUR/kWh,{along(rng)}"]
    for year in sorted(rng.sample(range(2025, 2036), rng.randint(0, 3))):
        price = f"{rng.uniform(0.05, 0.6):.4f} EUR/kWh{rng.choice(['', '', ' nominal', ' real'])}"
        rows.append(f"house,{year}-{rng.randint(1, 12):02},{price},{along(rng)}")
    return ["tariff,start,price,growth,path", *rows]


def along(rng: random.Random) -> str:
    """Cells of growth and path: one of them, or neither."""
    return rng.choice([",", f"{rate(rng, -3, 8)},", ",energy"])


def failures(rng: random.Random) -> list[str]:
    rising = sorted(rng.uniform(0, 60) for _ in range(4))
    rows = [f"by year,{year} years,{rate:.4f} %/year," for year, rate in zip((0, 1, 3, 6), rising, strict=True)]
    rows += [f"by month,{month} months,,{percent(rng, 0, 30)}" for month in (0, 1, 7)]
    return ["curve,age,rate,chance", *rows]


def resale(rng: random.Random) -> list[str]:
    rows = []
    for name, base, share in (("own", "own price", 100.0), ("new", "new price then", 80.0)):
        for age in sorted({0, rng.randint(3, 20), rng.randint(21, 60)}):
            rows.append(f"{name},{base},{age} months,{share:.4f} %")
            share *= rng.uniform(0.2, 0.9)
    return ["curve,base,age,share", *rows]


def fees(rng: random.Random, names: list[str], horizon: int) -> list[str]:
    rows = ["rent,space,0,6 EUR/TB/month,,,,"]
    for number in range(rng.randint(0, 4)):
        first = rng.randint(1, horizon)
        last = rng.choice(["", str(rng.randint(first, horizon))])
        amounts = f"{rng.uniform(0, 9):.2f} EUR/month,{rng.uniform(0, 6):.2f} EUR/TB/month"
        rows.append(f"{rng.choice(names)},fee {number},{amounts},{first},{last},{along(rng)}")
    return ["scenario,fee,amount,amount per TB,first,last,growth,path", *rows]


def one_offs(rng: random.Random, names: list[str], horizon: int) -> list[str]:
    rows = [
        f"{rng.choice(names)},thing {number},{rng.randint(0, horizon)},{rng.uniform(-300, 300):.2f} EUR"
        + rng.choice(["", "", " real", " nominal"])
        for number in range(rng.randint(1, 4))
    ]
    return ["scenario,what,month,amount", *rows]


def nodes(rng: random.Random, names: list[str]) -> list[str]:
    measured = f"{rng.uniform(5, 40):.2f} W", rng.choice(["", f"{rng.uniform(40, 90):.2f} W"])
    return ["scenario,node,count,measured idle,measured busy", *(f"{n},box,2,{','.join(measured)}" for n in names)]


def parts(rng: random.Random, horizon: int) -> list[str]:
    head = (
        "part,node,quantity,price,tax,shipping,bought,leaves,age,idle,busy,failures,replaced by,price trend,"
        "price path,resale,selling cost,disposal,fetches today"
    )
    trend = rate(rng, -20, 5)
    owned = rng.choice(["own", "new"])
    rows = [
        "box,box,2,150 EUR,included,0,0,,0,20 W,,,,,,own,0,0,",
        f"spare,,0,{rng.uniform(20, 300):.2f} EUR,added,3 EUR,,,,7 W,9 W,by year,,{trend},,new,2 EUR,1 EUR,",
        f"owned,,3,0,,,0,,30 months,4 W,,by month,spare,{trend},,{owned},1 EUR,2 EUR,{rng.uniform(9, 99):.2f} EUR",
        *(part(rng, horizon, number) for number in range(rng.randint(1, 4))),
    ]
    return [head, *rows]


def part(rng: random.Random, horizon: int, number: int) -> str:
    bought = rng.choice([0, 0, rng.randint(0, horizon - 1)])
    leaves = rng.choice(["", str(rng.randint(bought + 1, horizon))])
    idle = rng.uniform(0, 30)
    cells = [
        f"=part {number}" if rng.random() < 0.2 else f"part {number}",
        "",
        rng.randint(0, 9),
        f"{rng.uniform(0, 400):.2f} EUR",
        rng.choice(["included", "added", ""]),
        f"{rng.uniform(0, 12):.2f} EUR",
        bought,
        leaves,
        rng.choice(["", f"{rng.randint(1, 70)} months"]),
        f"{idle:.2f} W",
        rng.choice(["", f"{idle + rng.uniform(0, 40):.2f} W"]),
        rng.choice(["", "by year", "by month"]),
        rng.choice(["", "spare"]),
        *rng.choice([("", "drives"), (rate(rng, -25, 8), "")]),
        rng.choice(["", "own", "new"]),
        f"{rng.uniform(0, 15):.2f} EUR",
        f"{rng.uniform(0, 9):.2f} EUR",
        "",
    ]
    return ",".join(str(cell) for cell in cells)
