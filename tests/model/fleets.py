"""Small studies of parts that fail and wear, without electricity; read by the public path."""

from __future__ import annotations

from pathlib import Path

import tco
from tests.published.written import table
from tests.studies import write_study

HEAD = "part,quantity,price,shipping,bought,leaves,age,failures,replaced by,price trend,warranty,claim,endurance"
HEAD += ",written,written before,life,resale,selling cost,disposal"
RESALE = ["fair,own price,0 years,80 %", "fair,own price,1 year,60 %", "fair,own price,4 years,20 %"]


def study_of(
    folder: Path, months: int, curve: list[str], *parts: str, settings: tuple[str, ...] = ("discount,0",)
) -> tco.Study:
    """A scenario without electricity. parts: rows under HEAD; curve: rows of failures.csv."""
    about = ["question,?", "currency,EUR", "start,2027-01", "time zone,UTC", f"horizon,{months} months"]
    unused = dict.fromkeys(("minis", "servers", "nodes", "tariffs", "fees", "one_offs", "exchange"))
    tables = {
        "study": table("setting,value", [*about, *settings]),
        "scenarios": table("scenario,baseline,parts list", ["it,yes,it.csv"]),
        "it": table(HEAD, list(parts)),
        "failures": table("curve,age,rate,chance", curve) if curve else None,
        "resale": table("curve,base,age,share", RESALE) if any(",fair," in part for part in parts) else None,
    }
    return tco.load(write_study(folder, **(unused | tables)))


def row(**cells: object) -> str:
    """A part at 1 EUR; price trend, shipping and all else as said."""
    own = {"part": "it", "quantity": 1, "price": "1 EUR"} | {
        name.replace("_", " "): one for name, one in cells.items()
    }
    return ",".join(str(own.get(name, "")) for name in HEAD.split(","))


def everything(folder: Path, units: int = 4) -> tco.Study:
    """What fails, wears, is under warranty and replaced by something else, all at once. units: of the first row."""
    curve = ["bath,0 months,,6 %", "bath,4 months,,2 %", "bath,20 months,,9 %", "new,0,150 %/year,"]
    used = row(part="used", quantity=units, price="40 EUR", age="18 months", failures="bath", replaced_by="new",
               warranty="9 months", claim="3 EUR", endurance="3 TB", written="9 GB/d", written_before="0.5 TB",
               resale="fair", disposal="2 EUR")  # fmt: skip
    new = row(part="new", quantity=0, price="90 EUR", price_trend="-20 %", shipping="4 EUR", failures="new",
              warranty="14 months", claim="5 EUR", endurance="5 TB", life="22 months", resale="fair")  # fmt: skip
    alike = row(part="like for like", quantity=2, price="60 EUR", bought=3, leaves=30, failures="bath",
                warranty="5 months", claim="2 EUR", life="17 months")  # fmt: skip
    return study_of(folder, 40, curve, used, new, alike, settings=("other growth,2 %", "discount,7 %"))
