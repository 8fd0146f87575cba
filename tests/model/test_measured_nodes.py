"""A node measured at the plug: what its measurement covers, and when. Figures by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

import tco
from tests.studies import write_study

STUDY = "setting,value\nquestion,Which?\ncurrency,EUR\nstart,2027-01\nhorizon,24 months\ntime zone,UTC\ndiscount,0\n"


def watts(folder: Path, parts: str) -> list[float]:
    """Average power by month of two nodes measured at 70 W, and the parts given."""
    write_study(
        folder,
        study=STUDY,
        scenarios="scenario,parts list,tariff\nbox,box.csv,household\n",
        box=f"part,node,quantity,price [EUR],bought,leaves,idle [W]\n{parts}",
        nodes="scenario,node,count,measured idle\nbox,late,2,70 W\n",
        tariffs="tariff,start,price\nhousehold,2026-01,0.30 EUR/kWh\n",
        **dict.fromkeys(("minis", "servers", "fees", "one_offs", "failures", "resale", "exchange")),
    )
    comparison = tco.compare(tco.load(folder))
    return comparison.of(comparison.built.grounds[0].month("power")).tolist()


OWN = "board,late,2,100,6,12,60\n"


@pytest.mark.parametrize(
    "parts",
    [
        OWN,
        OWN + "new drive,late,0,80,,,9\n",  # lists a price only: it covers nothing and dates nothing
        "new drive,late,0,80,,,9\n" + OWN,
        OWN + "drive,late,4,80,6,12,5\n",  # bought with the node: covered
    ],
)
def test_from_its_first_parts_to_their_leaving(parts: str, tmp_path: Path) -> None:
    assert watts(tmp_path, parts) == [0.0] * 7 + [140.0] * 6 + [0.0] * 12


def test_what_is_added_later_comes_on_top(tmp_path: Path) -> None:
    assert watts(tmp_path, OWN + "drive,late,2,80,8,12,5\n") == [0.0] * 7 + [140.0] * 2 + [150.0] * 4 + [0.0] * 12


def test_a_node_without_parts_draws_nothing(tmp_path: Path) -> None:
    assert watts(tmp_path, "board,late,0,100,,,60\nswitch,,1,30,,,8\n") == [0.0, *[8.0] * 24]
