"""What the output says of values that were converted and of curves that were carried on."""

from __future__ import annotations

from pathlib import Path

import tco
from tco.ask.remarks import remarks
from tests.studies import STUDY, write_study


def test_the_small_study_says_what_it_converted() -> None:
    found = remarks(tco.compare(tco.load(tco.demo().parent / "small")))
    assert "discount: 4.5 % nominal counts as 2.05078 % real." in found
    real = 0.181 / 1.024 ** (17 / 12)  # the first month of that version ends 17 months after the start
    told = f"price of 2028-06 (Tariff: residential): 0.181 USD/kWh nominal counts as {real:.6g} USD/kWh real."
    assert told in found
    assert any(line.startswith("Resale by ") and "deflated by inflation" in line for line in found)
    resale = "Resale curve 'network and other gear, common practice' ends at 60 months; parts here reach 96"
    assert f"{resale}: it goes on falling at its last ratio." in found
    assert not any(line.startswith("Failure curve 'used desktop'") for line in found)  # its last row is for 24 months


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
    found = remarks(tco.compare(tco.load(write_study(tmp_path, **curves))))
    later = "its growth is empty and a later version follows, so its price does not grow"
    assert found == [f"Tariff 'household' from 2026-01: {later}."]
    tariffs = "tariff,start,price,growth\nhousehold,2026-01,0.31 EUR/kWh,2 %\nhousehold,2027-07,0.33 EUR/kWh,\n"
    said = write_study(tmp_path / "said", tariffs=tariffs, **curves)
    assert remarks(tco.compare(tco.load(said))) == []


def test_a_replacement_may_be_older_than_what_was_bought(tmp_path: Path) -> None:
    """`new` is bought in month 36 of 60 by itself, and may replace `old` from month 1 on: it can reach 59 months."""
    head = "part,quantity,price [EUR],bought,failures,replaced by\n"
    parts = f"{head}old,1,50,0,short,new\nnew,1,90,36,short,\n"
    failures = "curve,age,rate\nshort,0 years,2 %/year\nshort,1 year,3 %/year\n"
    study = tco.load(write_study(tmp_path, minis=parts, servers=parts, failures=failures, nodes=None, resale=None))
    assert "Failure curve 'short' ends at 12 months; parts here reach 60: its last rate holds from there." in remarks(
        tco.compare(study)
    )
