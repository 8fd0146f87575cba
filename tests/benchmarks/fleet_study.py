"""A study for the speed of simulations: four scenarios of about forty drives, five years, warranty and resale."""

from __future__ import annotations

from pathlib import Path

from tests.published.written import table
from tests.studies import write_study

YEARS, SCENARIOS, NODES = 5, 4, 4
PER_NODE = 10  # drives
HEADER = "part,node,quantity,price,age,failures,price trend,resale,selling cost,warranty,claim,idle"


def drives(number: int) -> list[str]:
    """The parts list of a scenario: nodes, and ten drives in each; the later ones are used and without warranty."""
    used = number > 1
    age, years = ("3 years", "0 years") if used else ("0 years", f"{number + 2} years")
    disk = f"disk,box,{NODES * PER_NODE},{90 if used else 210} EUR,{age},disk curve,-8 %,disk value,4 EUR,{years}"
    return [f"box,box,{NODES},250 EUR,,box curve,0 %,,,1 year,,20 W", f"{disk},{'' if used else '6 EUR'},6 W"]


def fleet_study(folder: Path, **more: str | None) -> Path:
    """The study in a folder."""
    about = ("question,?", "currency,EUR", "discount,3 %", "start,2027-01", "time zone,UTC", f"horizon,{YEARS} years")
    names = [f"build {number}" for number in range(SCENARIOS)]
    tables = {
        "study": table("setting,value", list(about)),
        "scenarios": table(
            "scenario,baseline,parts list,tariff,busy share",
            [f"{name},{'' if number else 'yes'},{name}.csv,grid,0 %" for number, name in enumerate(names)],
        ),
        "tariffs": table("tariff,start,price", ["grid,2020-01,0.3 EUR/kWh"]),
        "failures": table(
            "curve,age,rate",
            ["disk curve,0 years,1.1 %/year", "disk curve,2 years,1.6 %/year", "disk curve,4 years,2.4 %/year",
             "box curve,0 years,3 %/year"],
        ),
        "resale": table(
            "curve,base,age,share",
            ["disk value,new price then,0 years,80 %", "disk value,new price then,5 years,25 %"],
        ),
        **{name: table(HEADER, drives(number)) for number, name in enumerate(names)},
    }  # fmt: skip
    return write_study(
        folder, minis=None, servers=None, nodes=None, fees=None, one_offs=None, exchange=None, **tables, **more
    )
