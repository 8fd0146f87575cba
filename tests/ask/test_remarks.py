"""What the output says of values that were converted and of curves that were carried on."""

from __future__ import annotations

from pathlib import Path

import tco
from tco.ask.remarks import remarks
from tests.studies import STUDY, write_study


def test_the_small_study_says_what_it_converted() -> None:
    found = remarks(tco.compare(tco.load(tco.demo().parent / "small")))
    assert "discount: 4.5 % nominal counts as 2.05078 % real." in found
    assert "price of 2028-06 (Tariff: residential): 0.181 USD/kWh nominal counts as 0.175366 USD/kWh real." in found
    assert any(line.startswith("Resale by ") and "deflated by inflation" in line for line in found)
    assert "Curve 'used desktop' ends at 60 months; parts here reach 84: its last rate holds from there." in found


def test_one_tool_value_by_hand(tmp_path: Path) -> None:
    """1.06 / 1.04 - 1 = 1.92308 %."""
    study = STUDY.replace("discount,3 %", "discount,6 % nominal") + "money,real,,\ninflation,4 %,,\n"
    found = remarks(tco.compare(tco.load(write_study(tmp_path, study=study))))
    assert "discount: 6 % nominal counts as 1.92308 % real." in found


def test_nothing_is_said_where_nothing_was_done(tmp_path: Path) -> None:
    curves = {
        "failures": "curve,age,rate,chance\nsmall things,0 years,2 %/year,\ndrives,0 years,1.3 %/year,\n",
        "resale": "curve,base,age,share\nfair,own price,0 years,80 %\nfair,own price,20 years,2 %\n",
    }
    assert remarks(tco.compare(tco.load(write_study(tmp_path, **curves)))) == []
