"""A scenario with something bought on top: power, money and groups of nodes by hand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import tco
from tco.ask.compare import Comparison, compare
from tco.ask.offers import Bought, with_all, with_bought
from tco.errors import StockError
from tco.purchase import offers
from tco.study import Scenario, Study
from tests.studies import MINIS, NODES, Change, write_study

PURCHASES = (
    "scenario,purchase,part,quantity,node,more nodes,in place of,going,most\n"
    "minis,one more,mini PC,1,,1,,,2\nminis,one more,drive 8 TB new,1,,1,,,\n"
    "minis,second drives,drive 8 TB new,3,mini,,,,\nminis,new drives,drive 8 TB new,3,mini,,drive 8 TB,,\n"
    "minis,one for two,drive 8 TB new,3,mini,,drive 8 TB,6,\n"
)
MEASURED = NODES.replace("mini,3,,", "mini,3,20 W,44 W")


STAY = MINIS.replace(",0,36,2 years,", ",0,,2 years,").replace(
    "drive 8 TB,mini,3,", "drive 8 TB,mini,6,"
)  # all parts of a measured node stay together


def study(folder: Path, **changes: Change) -> Study:
    six = {"minis": MINIS.replace("drive 8 TB,mini,3,", "drive 8 TB,mini,6,")}
    return tco.load(write_study(folder, purchases=PURCHASES, **{**six, **changes}))


def bought(found: Study, *names: str, month: int = 0) -> Scenario:
    own = {offer.name: offer for offer in offers(found.scenarios[0].purchases)}
    return with_all(
        found, found.scenarios[0], [Bought(own[name], month, number) for number, name in enumerate(names, 1)]
    )


def compared(found: Study, scenario: Scenario) -> Comparison:
    return compare(replace(found, scenarios=(replace(scenario, baseline=True),)))


def monthly(comparison: Comparison, name: str, month: int) -> float:
    return float(comparison.of(comparison.built.grounds[0].month(name))[month])


def test_what_is_bought_draws_power_from_the_month_after(tmp_path: Path) -> None:
    """Three drives of 5.5 W idle and 8 W busy, busy a tenth of the time: 17.25 W more from month 13."""
    found = study(tmp_path)
    before, after = compared(found, found.scenarios[0]), compared(found, bought(found, "second drives", month=12))
    assert monthly(after, "power", 12) == pytest.approx(monthly(before, "power", 12), rel=1e-12)
    assert monthly(after, "power", 13) - monthly(before, "power", 13) == pytest.approx(3 * 5.75, rel=1e-12)
    assert monthly(after, "purchase", 12) == pytest.approx(540.0, rel=1e-12)


def test_drives_in_measured_nodes_come_on_top_at_any_month(tmp_path: Path) -> None:
    found = study(tmp_path, nodes=MEASURED, minis=STAY)
    before = compared(found, found.scenarios[0])
    for month in (0, 12):
        after = compared(found, bought(found, "second drives", month=month))
        assert monthly(after, "power", 20) - monthly(before, "power", 20) == pytest.approx(3 * 5.75, rel=1e-12)


def test_one_more_measured_node_draws_what_was_measured(tmp_path: Path) -> None:
    found = study(tmp_path, nodes=MEASURED, minis=STAY)
    before, after = (
        compared(found, found.scenarios[0]),
        compared(found, bought(found, "one more", "one more", month=5)),
    )
    assert monthly(after, "power", 6) - monthly(before, "power", 6) == pytest.approx(2 * (20 + 2.4), rel=1e-12)
    nodes = [(node.node, node.count) for node in bought(found, "one more", "one more").nodes]
    assert nodes == [("mini", 3), ("mini (one more, no. 1)", 1), ("mini (one more, no. 2)", 1)]


def test_what_takes_the_place_of_a_measured_part_counts_the_difference(tmp_path: Path) -> None:
    """Drives of the same watts: nothing changes, though the measurement has the old ones; one for two saves one's."""
    found = study(tmp_path, nodes=MEASURED, minis=STAY)
    before = compared(found, found.scenarios[0])
    for month in (0, 12):
        same = compared(found, bought(found, "new drives", month=month))
        assert monthly(same, "power", 20) == pytest.approx(monthly(before, "power", 20), rel=1e-12)
        fewer = compared(found, bought(found, "one for two", month=month))
        assert monthly(before, "power", 20) - monthly(fewer, "power", 20) == pytest.approx(3 * 5.75, rel=1e-12)


def test_at_the_start_what_goes_is_not_bought(tmp_path: Path) -> None:
    """3 x 180 in the place of 3 x 99.50."""
    found = study(tmp_path)
    before, after = compared(found, found.scenarios[0]), compared(found, bought(found, "new drives"))
    assert monthly(after, "purchase", 0) - monthly(before, "purchase", 0) == pytest.approx(3 * (180 - 99.5))
    assert monthly(after, "resale", 0) == 0.0


def test_later_what_goes_is_sold_by_its_curve(tmp_path: Path) -> None:
    """Of two years when bought, gone at three: 40 % over 80 % x 0.5^(24/36) of the price for those that live."""
    found = study(
        tmp_path, failures="curve,age,rate,chance\nsmall things,0 years,0 %/year,\ndrives,0 years,0 %/year,\n"
    )
    after = compared(found, bought(found, "new drives", month=12))
    assert monthly(after, "resale", 12) == pytest.approx(-3 * 99.5 * 0.5 ** (12 / 36), rel=1e-9)
    scenario = bought(found, "new drives", month=12)
    assert [(part.quantity, part.leaves) for part in scenario.parts if part.origin or part.part == "drive 8 TB"] == [
        (3, 36), (3, 12), (3, None)
    ]  # fmt: skip


@pytest.mark.parametrize(("kind", "income"), [("free", -3 * 40.0), ("cost", 0.0)])
def test_owned_gear_that_goes_at_the_start_is_sold(kind: str, income: float, tmp_path: Path) -> None:
    """Three owned drives that would fetch 40 each; where keeping them is a cost, that is left out instead."""
    parts = (
        "part,node,quantity,price [EUR],failures,replaced by,resale,fetches today [EUR]\n"
        "mini PC,mini,3,129,,,,\ndrive 8 TB,mini,6,0,drives,drive 8 TB new,fair,40\n"
        "drive 8 TB new,mini,0,180,drives,,fair,\nswitch,,1,45,,,,\n"
    )
    found = study(
        tmp_path,
        minis=parts,
        study=("tax,20 %,,", f"tax,20 %,,\nowned gear,{kind},,"),
        nodes="scenario,node,count\nminis,mini,3\n",
    )
    before, after = compared(found, found.scenarios[0]), compared(found, bought(found, "new drives"))
    assert monthly(after, "one_off", 0) == pytest.approx(income)
    kept = monthly(before, "owned", 0)
    assert kept == pytest.approx(0.0 if kind == "free" else 240.0)
    assert monthly(after, "owned", 0) == pytest.approx(kept / 2)


def test_more_than_there_are_cannot_go(tmp_path: Path) -> None:
    found = study(tmp_path)
    with pytest.raises(StockError, match="3 more 'drive 8 TB' would go than are there then"):
        bought(found, "new drives", "one for two")
    own = {offer.name: offer for offer in offers(found.scenarios[0].purchases)}
    with pytest.raises(StockError, match="one for two, month 40 of minis: 6 more"):  # they left in month 36
        with_bought(found, found.scenarios[0], Bought(own["one for two"], 40))
