"""Insurance: a yearly share of what would take the place of all that stands there; by hand, month by month."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import numpy as np
import pytest

import tco
from tco.ask.compare import Comparison
from tco.model import LINES, Ground
from tests.studies import STUDY, write_study

INSURED = STUDY + "insurance,1.2 %,,\nother growth,3 %,,\n"
HEAD = (
    "part,quantity,price [EUR],tax,shipping [EUR],bought,leaves,price trend,fetches today [EUR],failures,replaced by,"
    "resale\n"
)
BOX = "box,2,100,included,0,0,,,,,,\n"


def insured(folder: Path, rows: str, study: str = INSURED) -> tuple[Comparison, Ground]:
    """The comparison of the small study with another parts list, and its scenario."""
    comparison = tco.compare(tco.load(write_study(folder, study=study, servers=HEAD + rows)))
    return comparison, next(one for one in comparison.built.grounds if one.scenario.scenario == "servers")


def by_month(folder: Path, rows: str, study: str = INSURED) -> np.ndarray:
    """What insurance costs in each month, month 0 first."""
    comparison, ground = insured(folder, rows, study)
    return comparison.of(ground.month("insurance"))


def test_a_twelfth_of_the_share_is_paid_each_month(tmp_path: Path) -> None:
    """1.2 % a year of 200 EUR: 2.40 EUR a year, 20 cents a month, nothing on the first day."""
    assert by_month(tmp_path, BOX) == pytest.approx([0.0, *[0.20] * 60])


CASES = {  # rows, month, premium of that month
    "tax is in what it costs": ("box,2,100,added,0,0,,,,,,\n", 1, 0.001 * 240),
    "shipping grows with other prices": ("box,1,100,included,10,0,,,,,,\n", 24, 0.001 * (100 + 10 * 1.03**2)),
    "it follows the price, not what was paid": ("drive,1,200,included,0,0,,-10 %,,,,\n", 36, 0.001 * 200 * 0.9**3),
    "owned gear counts with what it would fetch": ("old,1,0,included,0,0,,-50 %,80,,,fair\n", 12, 0.001 * 40),
    "owned gear counts with what replaces it": (f"old,1,0,included,0,0,,,80,,box,fair\n{BOX}", 1, 0.001 * 300),
    "used gear counts with what replaces it": (f"old,1,30,included,0,0,,,,drives,box,\n{BOX}", 60, 0.001 * 300),
    "not in the month in which it is bought": ("late,1,100,included,0,12,,,,,,\n", 12, 0.0),
    "from the month after": ("late,1,100,included,0,12,,,,,,\n", 13, 0.10),
    "in the month at whose end it leaves": ("gone,1,100,included,0,0,12,,,,,\n", 12, 0.10),
    "not after it": ("gone,1,100,included,0,0,12,,,,,\n", 13, 0.0),
}


@pytest.mark.parametrize(("rows", "month", "premium"), CASES.values(), ids=CASES.keys())
def test_what_counts(rows: str, month: int, premium: float, tmp_path: Path) -> None:
    assert by_month(tmp_path, rows)[month] == pytest.approx(premium, abs=1e-12)


def test_spares_on_the_shelf_are_insured(tmp_path: Path) -> None:
    kept = INSURED + "spares confidence,99 %,,\nspares lead time,60 d,,\n"
    rows = "drive,9,100,included,0,0,,,,drives,,\n"
    comparison, ground = insured(tmp_path, rows, kept)
    (spares,) = ground.spares
    assert spares.count > 0
    assert comparison.of(ground.month("insurance"))[5] == pytest.approx(0.1 * (9 + spares.count))


def test_timing_counts_it_as_recurring(tmp_path: Path) -> None:
    """A year's premium of 2.40 EUR at each year's end, at 3 % over 5 years: 2.40 x 4.579707 = 10.991297 EUR."""
    comparison, ground = insured(tmp_path, BOX, INSURED + "timing,year-end,,\n")
    factor = comparison.of(ground.month("recurring_factor"))
    assert comparison.of(ground.month("insurance")) @ factor == pytest.approx(10.991297, abs=5e-7)


def test_it_is_a_saving_in_operation_and_counts_for_the_monthly_budget(tmp_path: Path) -> None:
    comparison, ground = insured(tmp_path, BOX)
    operating, others = comparison.of(ground.month("operating")), ("electricity", "fees", "upkeep", "heat")
    rest = sum(comparison.of(ground.month(name)) for name in others)
    assert operating - rest == pytest.approx(comparison.of(ground.month("insurance")))
    (line,) = (line for line in LINES if line.name == "insurance")
    assert line.monthly
    assert line.cash


def test_the_ledger_books_it(tmp_path: Path) -> None:
    """What was paid takes the place of what was expected, to the last month booked; it then goes on as worked out."""
    ledger = "scenario,day,what,part,quantity,amount [EUR],line\nservers,2026-11-20,bought,box,2,200,\n"
    ledger += "servers,2026-12-15,paid,,,7,insurance\n"
    folder = write_study(tmp_path, study=INSURED, servers=HEAD + BOX, ledger=ledger)
    tracked = tco.track(tco.load(folder), until=date(2027, 1, 1), today=date(2100, 1, 1))
    went = next(one for one in tracked.comparison.built.grounds if one.scenario.past is not None)
    assert tracked.comparison.of(went.month("insurance"))[:4] == pytest.approx([0.0, 7.0, 0.2, 0.2])


def test_nothing_stated_is_no_line_to_speak_of(tmp_path: Path) -> None:
    comparison, ground = insured(tmp_path, BOX, STUDY)
    assert not comparison.of(ground.month("insurance")).any()
    assert not ground.states("insurance")
    assert not ground.has("months", "replacement_value")
