"""What a part fetches by its resale curve, by hand: a curve that begins below 100 % says what unpacking it costs."""

from __future__ import annotations

from pathlib import Path

import pytest

import tco
from tests.studies import STUDY, write_study

NONE = dict.fromkeys(("minis", "servers", "nodes", "tariffs", "fees", "one_offs", "failures", "exchange"))
HEAD = "part,quantity,price,age,fetches today,price trend,selling cost,resale\n"
CURVES = """curve,base,age,share
own,own price,0 years,60 %
own,own price,3 years,30 %
own,own price,5 years,20 %
then,new price then,0 years,60 %
then,new price then,3 years,30 %
then,new price then,5 years,20 %
"""
CASES = {  # a row; what one fetches after 36 months, selling share of 10 % and cost of 5 EUR taken off
    "new: 30 % of its price": ("box,1,1000 EUR,,,,5 EUR,own\n", 1000 * 0.30 * 0.9 - 5),
    "used: its price is that of its age": (
        "box,1,150 EUR,2 years,,,,own\n", 150 / (0.6 * 0.5 ** (2 / 3)) * 0.20 * 0.9),
    "owned, as good as new": ("box,1,0 EUR,,120 EUR,,,own\n", 120 / 0.6 * 0.30 * 0.9),
    "owned for two years": ("box,1,0 EUR,2 years,120 EUR,,,own\n", 120 / (0.6 * 0.5 ** (2 / 3)) * 0.20 * 0.9),
    "new: 30 % of what a new one costs then": ("box,1,1000 EUR,,,-10 %,,then\n", 1000 * 0.9**3 * 0.30 * 0.9),
}  # fmt: skip


@pytest.mark.parametrize(("row", "fetched"), CASES.values(), ids=CASES)
def test_what_one_fetches(row: str, fetched: float, tmp_path: Path) -> None:
    settings = STUDY.replace("horizon,5 years", "horizon,3 years") + "selling share,10 %,,\n"
    tables = {"study": settings, "scenarios": "scenario,baseline,parts list\nit,yes,it.csv\n"}
    study = write_study(tmp_path, **NONE, **tables, it=HEAD + row, resale=CURVES)
    found = tco.measures(tco.compare(tco.load(study))).set_index("measure").value
    assert -found["total_resale"] == pytest.approx(fetched, rel=1e-12)
