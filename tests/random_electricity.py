"""What random studies say about electricity: bills of many kinds, hours, a home, shapes, supplies, waste heat."""

from __future__ import annotations

import random

Tables = dict[str, list[str]]
Row = dict[str, str]

HOURS = {
    "two": ["two,day,,weekday,06:15,22:00", "two,night,,otherwise,,"],
    "three": [
        "three,on,5-10,weekday,11:00,17:00",
        "three,middle,5-10,weekday,07:00,11:00",
        "three,middle,5-10,weekday,17:00,19:00",
        "three,on,11-4,weekday,07:00,11:00",
        "three,on,11-4,weekday,17:00,19:00",
        "three,middle,11-4,weekday,11:00,17:00",
        "three,off,,otherwise,,",
    ],
    "whole": [  # every hour said, through midnight too
        "whole,late,1-6,,21:45,05:30",
        "whole,early,1-6,,05:30,21:45",
        "whole,late,7 + 9-12,weekday + sunday,00:00,12:00",
        "whole,early,7 + 9-12,weekday + sunday,12:00,24:00",
        "whole,rest,7 + 9-12,saturday + holiday,,",
        "whole,rest,8,,,",
    ],
}
PERIODS = {"": [], "two": ["day", "night"], "three": ["on", "middle", "off"], "whole": ["late", "early", "rest"]}
CURVE = ["straight 1,0 %,55 %", "straight 1,20 %,87 %", "straight 1,50 %,90.5 %", "straight 1,120 %,85 %"]
PART = "part,node,quantity,price,idle,busy,bought,leaves,watts at,efficiency,provides"
HEAT = "heating,heat used,heat price,heat efficiency,cooling,cooling COP"


def add_electricity(rng: random.Random, tables: Tables, names: list[str], horizon: int) -> None:
    """Tariffs with charges, and what belongs to them, in a random study's tables."""
    home, solar = rng.choice(["", "year", "year", "months", "months"]), rng.random() < 0.4
    tables["tariffs"], tables["charges"] = tariffs(rng, tables["tariffs"], bool(home))
    tables["hours"] = ["hours,period,months,days,begins,ends", *(row for rows in HOURS.values() for row in rows)]
    tables["holidays"] = holidays(rng)
    tables["shapes"] = shapes(rng)
    if home:
        tables["home"] = home_use(rng, home)
    tables["scenarios"] = scenarios(rng, tables["scenarios"], solar)
    tables["sites"] = sites(rng, tables.get("sites", ["site", "hall", "cellar"]))
    tables["efficiency"] = ["curve,load,efficiency", *CURVE]
    for number, name in enumerate(names):
        if rng.random() < 0.6:
            add_supply(rng, tables, number, name, horizon)


def read(table: list[str]) -> list[Row]:
    """A table without quotes as rows."""
    head = table[0].split(",")
    return [dict(zip(head, row.split(","), strict=True)) for row in table[1:]]


def written(table: list[str], rows: list[Row], more: str) -> list[str]:
    """Rows as a table again, with further columns."""
    head = list(dict.fromkeys([*table[0].split(","), *more.split(",")]))
    return [",".join(head), *(",".join(row.get(column, "") for column in head) for row in rows)]


def percent(rng: random.Random, low: float, high: float) -> str:
    return f"{rng.uniform(low, high):.4f} %"


def money(rng: random.Random, low: float, high: float, each: str) -> str:
    return f"{rng.uniform(low, high):.4f} EUR/{each}"


def tariffs(rng: random.Random, table: list[str], home: bool) -> tuple[list[str], list[str]]:
    """Some versions keep their price, the others have charges; the first has charges at least.

    Without a home there are no blocks, minimum or capacity: what they cost depends on what it uses.
    """
    rows, charges = (
        read(table),
        ["tariff,start,charge,price,above,period,kWh share,fixed,fixed day,capacity,percent,of"],
    )
    for number, row in enumerate(rows):
        row["minimum"] = rng.choice(["", "", money(rng, 1, 60, "month")]) if home else ""
        row["export"] = money(rng, -0.02, 0.15, "kWh")
        if number and rng.random() < 0.3:
            continue
        row["price"], row["hours"] = "", rng.choice(list(PERIODS))
        row["clock"] = rng.choice(["", "local", "winter"]) if row["hours"] else ""
        row["blocks"] = rng.choice(["", "month", "day"]) if home else ""
        own = charge_rows(rng, row, home)
        row["blocks"] = row["blocks"] if len({one.split(",")[0] for one in own}) < len(own) else ""
        charges += [f"{row['tariff']},{row['start']},{one}" for one in own]
    return written(table, rows, "hours,clock,blocks,minimum,export"), charges


def charge_rows(rng: random.Random, version: Row, home: bool) -> list[str]:
    """The charges of one version; the first ones are prices."""
    most = 3 if home else 0
    rows = blocks(rng, "energy", "", version["blocks"], most)
    for period in PERIODS[version["hours"]]:
        if rng.random() < 0.8:
            rows += blocks(rng, f"energy {period}", period, version["blocks"], most)
    more = [
        f"losses,{money(rng, 0, 0.05, 'kWh')},,,{percent(rng, 0, 110)},,,,,",
        f"basic,,,,,{money(rng, -3, 20, 'month')},,,,",
        f"meter,,,,,,{money(rng, 0, 0.6, 'd')},,,",
        *([f"power,,,,,,,{money(rng, 0, 9, 'kW/month')},,"] if home else []),
    ]
    rows += rng.sample(more, rng.randint(0, len(more)))
    named = list(dict.fromkeys(row.split(",")[0] for row in rows))
    taxes = [
        f"tax,,,,,,,,{percent(rng, 0, 27)},",
        f"levy,,,,,,,,{percent(rng, 0, 9)},{' + '.join(rng.sample(named, rng.randint(1, len(named))))}",
        f"rebate,,,,,,,,{percent(rng, -40, 0)},{rng.choice(named)}",
    ]
    return rows + rng.sample(taxes, rng.randint(0, 3))


def blocks(rng: random.Random, name: str, period: str, per: str, most: int) -> list[str]:
    """One charge by the kWh: a price, or several that begin higher and higher."""
    widest = 14.0 if per == "day" else 400.0
    starts = sorted(rng.uniform(0.3, widest) for _ in range(rng.choice([0, 0, 1, most])) if most)
    share = rng.choice(["", "", percent(rng, 80, 110)])
    return [f"{name},{money(rng, -0.03, 0.5, 'kWh')},{at:.4f} kWh,{period},{share},,,,," for at in [0.0, *starts]]


def holidays(rng: random.Random) -> list[str]:
    """Some days of every year and some dates, for all hours or for some."""
    rows = ["12-25,", *(f"{day},{rng.choice(['', *HOURS])}" for day in ("01-01", "02-29", "06-15"))]
    rows += [
        f"{year}-{rng.randint(1, 12):02}-{rng.randint(1, 28):02},{rng.choice(['', *HOURS])}"
        for year in range(2024, 2034)
    ]
    return ["day,hours", *rows]


def shapes(rng: random.Random) -> list[str]:
    """Two shapes; the hours of one differ by season."""
    return [
        "shape,months,days,begins,ends,share",
        f"office,,weekday,07:45,18:30,{percent(rng, 40, 100)}",
        f"office,,otherwise,,,{percent(rng, 0, 30)}",
        f"evenings,11-3,,16:00,01:15,{percent(rng, 30, 100)}",
        f"evenings,4-10,weekend + holiday,20:00,23:00,{percent(rng, 30, 100)}",
        f"evenings,,otherwise,,,{percent(rng, 1, 30)}",
    ]


def home_use(rng: random.Random, kind: str) -> list[str]:
    """One row for the year, or one for each month; some months use nothing."""
    shape = ["", "office", "evenings"]
    if kind == "year":
        rows = [f",{rng.uniform(500, 6000):.2f} kWh,{rng.choice(shape)},{rng.uniform(1, 9):.2f} kW"]
    else:
        use = [rng.choice([0.0, rng.uniform(20, 700), rng.uniform(20, 700)]) for _ in range(12)]
        rows = [
            f"{month},{kwh:.2f} kWh,{rng.choice(shape)},{rng.uniform(1, 9):.2f} kW"
            for month, kwh in enumerate(use, start=1)
        ]
    return ["month,use,shape,peak", *rows]


def scenarios(rng: random.Random, table: list[str], solar: bool) -> list[str]:
    """How each scenario is powered and how busy it is; all that stand somewhere may have their heat counted."""
    rows = read(table)
    for row in rows:
        if not row["parts list"]:
            continue
        row["solar share"] = percent(rng, 0, 100) if solar and rng.random() < 0.7 else ""
        row["ups efficiency"] = rng.choice(["", "", percent(rng, 80, 99)])
        row["busy shape"] = rng.choice(["", "office", "evenings"])
        row["busy share"] = "" if row["busy shape"] else row["busy share"]
        row["site"] = row.get("site") or rng.choice(["", "hall", "cellar"])
    return written(table, rows, "site,busy shape,solar share,ups efficiency")


def sites(rng: random.Random, table: list[str]) -> list[str]:
    """Waste heat that saves, that is taken out again, both or neither."""
    rows = read(table)
    for row in rows:
        if rng.random() < 0.6:
            row |= {"heating": rng.choice(["10-4", "1 + 12"]), "heat used": percent(rng, 0, 100)}
            row |= {"heat price": money(rng, 0, 0.3, "kWh"), "heat efficiency": rng.choice(["0.92", "3.4"])}
        if rng.random() < 0.6:
            seasons = ["6-8", "5", *([] if row.get("heating") else ["1-12", "11-2"])]
            row |= {"cooling": rng.choice(seasons), "cooling COP": f"{rng.uniform(1, 5):.3f}"}
    return written(table, rows, HEAT)


def add_supply(rng: random.Random, tables: Tables, number: int, name: str, horizon: int) -> None:
    """A node whose watts are counted behind its supplies; all of it comes and goes together, but for a fan."""
    bought = rng.choice([0, rng.randint(0, horizon - 1)])
    there = f"{bought},{rng.choice(['', str(rng.randint(bought + 1, horizon))])}"
    more = [
        f"power supply,supplied,{rng.randint(1, 2)},40 EUR,,,{there},,straight 1,{rng.uniform(90, 300):.1f} W supply",
        f"board,supplied,1,90 EUR,{rng.uniform(3, 20):.2f} W,{rng.uniform(20, 60):.2f} W,{there},supply,,",
        f"card,supplied,1,30 EUR,{rng.uniform(1, 5):.2f} W,{rng.uniform(5, 20):.2f} W,{there},supply,,",
        f"fan,supplied,1,9 EUR,1.50 W,,{rng.randint(0, horizon - 1)},,plug,,",
    ]
    parts = tables[f"parts{number}"]
    tables[f"parts{number}"] = written(parts, [*read(parts), *read([PART, *more])], PART)
    nodes = read(tables["nodes"])
    tables["nodes"] = written(tables["nodes"], [*nodes, {"scenario": name, "node": "supplied", "count": "1"}], "node")
