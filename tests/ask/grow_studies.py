"""Studies whose data outgrow their room: one small good one, and random ones, as tables a person could have typed."""

from __future__ import annotations

import random
from pathlib import Path

import tco
from tco.study import Study

PARTS = "part,node,quantity,price [EUR],tax,shipping [EUR],bought,leaves,idle [W],failures,price trend,resale,pool," \
        "capacity [TB],provides,needs"  # fmt: skip
PURCHASES = "scenario,purchase,part,quantity,node,more nodes,in place of,going,client link [Gbit/s],needs,excludes," \
            "turn,most"  # fmt: skip
FAILURES = "curve,age,rate\ndrives,0 years,2 %/year\ndrives,3 years,5 %/year\n"
RESALE = "curve,base,age,share\nfair,new price then,0 years,80 %\nfair,new price then,4 years,30 %\n"


def growing() -> Study:
    """The study of growth that comes with the tool."""
    return tco.load(tco.demo().parent / "growing")


def write(folder: Path, **tables: str) -> Study:
    """A study of one scenario, `boxes`, and rented space; tables: those that differ."""
    usual = {
        "study": settings(),
        "scenarios": "scenario,baseline,parts list,tariff,busy share\nboxes,yes,boxes.csv,flat,10 %\nrented,,,,\n",
        "boxes": boxes(),
        "nodes": "scenario,node,count,client link [Gbit/s]\nboxes,box,3,1\n",
        "pools": "scenario,pool,copies,fill limit\nboxes,main,2,80 %\n",
        "tariffs": "tariff,start,price [EUR/kWh]\nflat,2026-01,0.30\n",
        "fees": "scenario,fee,amount per TB [EUR/TB/month]\nrented,by the TB,5\n",
        "purchases": purchases("boxes,second drives,drive,3,,,,,,,,1,", "boxes,one more box,box,1,,1,,,,,,2,2",
                               "boxes,one more box,drive,1,,1,,,,,,,"),
        "failures": FAILURES,
        "resale": RESALE,
    }  # fmt: skip
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in {**usual, **tables}.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    return tco.load(folder)


def settings(held: str = "7 TB", growth: str = "25 %", horizon: str = "48 months", **more: str) -> str:
    """study.csv; more: further settings, `_` for a space."""
    rows = {"question": "All now?", "currency": "EUR", "start": "2026-12", "horizon": horizon,
            "time zone": "Europe/Vienna", "discount": "3 %", "data held": held, "data growth": growth,
            **{name.replace("_", " "): text for name, text in more.items()}}  # fmt: skip
    return "setting,value\n" + "".join(f"{name},{text}\n" for name, text in rows.items())


def boxes(*more: str) -> str:
    """Three boxes with two bays each and one drive of 8 TB; a switch with room for one box more; more: rows."""
    rows = ("box,box,3,200,,8,,,9,,0 %,,,,2 bay,1 port", "drive,box,3,180,,5,,,5,drives,-10 %,fair,main,8,,1 bay",
            "switch,,1,40,,,,,4,,,,,,4 port,", *more)  # fmt: skip
    return "\n".join((PARTS, *rows)) + "\n"


def purchases(*rows: str) -> str:
    """purchases.csv."""
    return "\n".join((PURCHASES, *rows)) + "\n"


def random_growing(seed: int, folder: Path) -> Study:
    """A random study of growth; the same seed gives the same."""
    rng = random.Random(seed)
    count, bays = rng.randint(2, 5), rng.randint(1, 3)
    first = rng.randint(1, bays)  # drives in each node at the start
    sizes = [rng.choice([4, 6, 8, 10.5]) for _ in range(2)]
    ports = count + rng.randint(0, 3)
    trend = lambda: f"{rng.uniform(-20, 5):.3f} %"  # noqa: E731
    horizon = rng.randint(3, 40)
    leaving = ["", "", f"{rng.randint(2, horizon)}"]
    rows = [
        f"box,box,{count},{rng.uniform(80, 300):.2f},{rng.choice(['', 'added'])},8,,,9,,{trend()},,,,"
        f"{bays} bay,1 port",
        f"drive,box,{first * count},{rng.uniform(60, 300):.2f},,{rng.randint(0, 9)},,,5,drives,{trend()},fair,main,"
        f"{sizes[0]},,1 bay",
        f"old drive,box,{rng.choice([0, count]) if first < bays else 0},20,,,,{rng.choice(leaving)},6,drives,,,main,"
        "2,,1 bay",
        f"larger drive,box,0,{rng.uniform(90, 400):.2f},added,4,,,5,drives,{trend()},fair,main,{sizes[1] * 2},,1 bay",
        f"switch,,1,40,,,,,4,,,,,,{ports} port,",
        f"larger switch,,0,70,,,,,4,,{trend()},,,,{ports + 4} port,",
    ]
    offers = [
        f"boxes,drives,drive,{count},box,,,,,,,{rng.randint(1, 3)},{rng.randint(1, 3)}",
        f"boxes,a box,box,1,,1,,,,{rng.choice(['', '', 'switch', 'link'])},,{rng.randint(1, 3)},{rng.randint(1, 3)}",
        f"boxes,a box,drive,{rng.randint(1, bays)},,1,,,,,,,",
        "boxes,a box,larger drive,1,,1,,,,,,," if rng.random() < 0.4 else "",
        f"boxes,two boxes,box,2,,2,,,,,{rng.choice(['', 'a box'])},{rng.randint(1, 3)},",
        f"boxes,two boxes,larger drive,{2 * rng.randint(1, bays)},,2,,,,,,,",
        f"boxes,larger,larger drive,{count},box,,drive,,,,{rng.choice(['', 'drives'])},{rng.randint(1, 3)},",
        f"boxes,switch,larger switch,1,,,switch,,,,,{rng.choice(['', '1', '3'])},",
        "boxes,link,,,box,,,,10,,,,",
    ]  # fmt: skip
    pool = rng.choice(["2,,", "2,,", "3,,", ",2,1", ",3,1"])
    return write(
        folder,
        study=settings(f"{rng.uniform(1, 30):.3f} TB", f"{rng.uniform(-10, 90):.2f} %", f"{horizon} months",
                       data_added=f"{rng.uniform(0, 4):.3f} TB/year", other_growth=f"{rng.uniform(-1, 4):.2f} %",
                       tax=f"{rng.uniform(0, 25):.1f} %"),
        boxes="\n".join((PARTS, *rows)) + "\n",
        nodes=f"scenario,node,count,client link [Gbit/s]\nboxes,box,{count},1\n",
        pools=f"scenario,pool,copies,data,parity,fill limit\nboxes,main,{pool},{rng.randint(60, 100)} %\n",
        purchases=purchases(*filter(None, offers)),
    )  # fmt: skip
