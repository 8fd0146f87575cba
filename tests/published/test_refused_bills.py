"""What suppliers' bills hold and a study does not say is refused with the place, or there is no cell for it.

The list: the docstring of bills.py.
"""

from __future__ import annotations

from dataclasses import fields, replace

import pytest

from tco.electricity import Charge
from tco.errors import StudyError
from tests.published.billed import Customer, bills, blocks, cell, charge

CLP = (charge("energy", price=1.031), charge("fuel", price=0.281))  # HK$ a unit; a rebate on all units up to 400


def refused(case: Customer) -> str:
    """What is told of a study that cannot be read."""
    with pytest.raises(StudyError) as told:
        bills(case)
    return str(told.value)


def test_a_rebate_on_all_units_up_to_a_number_cannot_be_written() -> None:
    """CLP's 401st unit costs HK$62.11: no percentage has a threshold, and no block reaches back to the first unit."""
    rebate = charge("rebate", percent="-11.6 %", above="400 kWh")
    told = refused(Customer("HKD", (401.0, 400.0), (*CLP, rebate)))
    assert told.startswith("charges.csv:4:5: above: goes with 'price'")
    in_blocks = Customer(
        "HKD", (401.0, 400.0), (*CLP, *blocks("rebate", (0, -0.152), (400, 0.0))), months=2
    )  # fmt: skip
    more = cell(in_blocks, "bill", "total", 1) - cell(in_blocks, "bill", "total", 2)
    assert more == pytest.approx(1.312)


@pytest.mark.parametrize("start", ["2026-04-16", "2026-05-02"])
def test_a_price_that_changes_within_a_month_is_refused(start: str) -> None:
    """33 and 67 kWh of 100 over 1 April to 15 May: a bill's own days are not a study's months."""
    rows = (charge("energy", price=0.2), charge("energy", price=0.3, start=start))
    case = Customer("USD", (100.0, 0.0), rows, versions=("2000-01,,,,", f"{start},,,,"))
    told = refused(case)
    assert f"tariffs.csv:3:2: start: '{start}' lies within a month" in told
    assert f"charges.csv:3:2: start: '{start}' lies within a month" in told


def test_thresholds_by_anything_but_the_month_or_its_days_are_refused() -> None:
    """Blocks of 30 days, cut factors and bills of two months have no word."""
    case = Customer("INR", (100.0, 0.0), blocks("energy", (0, 3), (50, 5)), blocks="30 days")
    assert "tariffs.csv:2:5: blocks: '30 days' is no choice here; write 'month' or 'day'" in refused(case)


def test_there_is_no_cell_for_rounding() -> None:
    """A bill is exact: 1,331.508 kWh, not 1,332, and 6,175.03 yen."""
    assert not [field.name for field in fields(Charge) if "round" in field.name or "cut" in field.name]
    exact = Customer("JPY", (3.0, 0.0), (charge("energy", price=1 / 3), charge("tax", percent="1 %")))
    assert cell(exact, "bill", "total") == pytest.approx(1.01, rel=1e-12)
    assert cell(replace(exact, kwh=(1.0, 0.0)), "bill", "total") == pytest.approx(1.01 / 3, rel=1e-12)
