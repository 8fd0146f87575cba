"""A yearly use of the home is spread over the year by its shape: a home that is heated uses more in winter."""

from __future__ import annotations

from pathlib import Path

import pytest

import tco
from tests.model.plain_bills import Billed
from tests.studies import TABLES, write_study

WINTER, SUMMER = 0.95, 0.05
MONTHS_OF_WINTER = (11, 12, 1, 2)
HOURS = {1: 744, 2: 672, 3: 743, 4: 720, 5: 744, 6: 720, 7: 744, 8: 744, 9: 720, 10: 745, 11: 720, 12: 744}


def home(tmp_path: Path) -> tco.Comparison:
    """3,600 kWh a year, most in winter; 0.20 EUR/kWh, above 350 kWh a month 0.40; a build of 50 W in Vienna, 2027."""
    study = write_study(
        tmp_path,
        **{name: None for name in TABLES if name not in ("study", "scenarios", "tariffs")},
        study="setting,value\nquestion,?\ncurrency,EUR\nstart,2027-01\nhorizon,12 months\ntime zone,Europe/Vienna\n"
        "discount,0 %\n",
        scenarios="scenario,parts list,tariff\nbuild,box.csv,blocks\n",
        box="part,quantity,price,idle\nbox,1,100 EUR,50 W\n",
        tariffs="tariff,start\nblocks,2027-01\n",
        charges="tariff,start,charge,price,above\nblocks,2027-01,energy,0.2 EUR/kWh,0\n"
        "blocks,2027-01,energy,0.4 EUR/kWh,350 kWh\n",
        home="use,shape\n3600 kWh,heating\n",
        shapes=f"shape,months,days,share\nheating,11-2,,{100 * WINTER} %\nheating,,otherwise,{100 * SUMMER} %\n",
    )  # fmt: skip
    return tco.compare(tco.load(study))


def test_the_shape_says_how_much_each_month_uses(tmp_path: Path) -> None:
    weights = {month: hours * (WINTER if month in MONTHS_OF_WINTER else SUMMER) for month, hours in HOURS.items()}
    used = {month: 3600 * weight / sum(weights.values()) for month, weight in weights.items()}
    found = tco.bills(home(tmp_path))
    rows = found[(found.kind == "use") & (found.item == "all")].set_index("month")
    assert rows.home.to_dict() == pytest.approx(used)
    assert used[1] > 800 > 50 > used[7]


def test_the_build_falls_into_the_blocks_that_are_left(tmp_path: Path) -> None:
    """In winter all of its kWh are in the second block, in summer all in the first."""
    comparison = home(tmp_path)
    price = {month: 0.4 if month in MONTHS_OF_WINTER else 0.2 for month in HOURS}
    wanted = sum(0.05 * hours * price[month] for month, hours in HOURS.items())
    [ground] = comparison.built.grounds
    assert comparison.measure(ground, "total_electricity") == pytest.approx(wanted)
    slow = Billed(comparison.study, ground.scenario).lines()["electricity"]
    assert sum(slow) == pytest.approx(wanted)
