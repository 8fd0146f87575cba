"""Published life-cycle-cost cases through the public path: CSV in, the measures frame out. The cases: cases.py."""

from __future__ import annotations

from pathlib import Path

import pytest

import tco
from tests.published.cases import CASES, Case, Once, Yearly
from tests.studies import write_study

OTHERS = ("minis", "servers", "nodes", "tariffs", "failures", "resale", "exchange")


def write_case(folder: Path, case: Case) -> Path:
    """The case as tables: once-paid amounts at their year's end, yearly ones as twelve equal fees."""
    settings = {
        "question": "What was printed?",
        "currency": "USD",
        "start": "2027-01",
        "horizon": f"{case.years} years",
        "time zone": "UTC",
        "discount": f"{100 * case.rate:.12f} %",
        "timing": case.timing,
        "growth step": "year",
    }
    once = [f"a,x,{12 * p.year},{p.amount:.12f} USD" for p in case.payments if isinstance(p, Once)]
    fees = [
        f"a,x,{p.amount / 12:.15f},{12 * p.first - 11},{12 * p.last},{100 * p.growth:.13f} %"
        for p in case.payments
        if isinstance(p, Yearly)
    ]
    return write_study(
        folder,
        study="\n".join(["setting,value", *(f"{name},{value}" for name, value in settings.items())]) + "\n",
        scenarios="scenario,baseline\na,yes\n",
        one_offs="\n".join(["scenario,what,month,amount", *once]) + "\n" if once else None,
        fees="\n".join(["scenario,fee,amount [USD/month],first,last,growth", *fees]) + "\n" if fees else None,
        **dict.fromkeys(OTHERS),
    )


def measured(folder: Path, case: Case) -> float:
    measures = tco.measures(tco.compare(tco.load(write_case(folder, case))))
    return float(measures.set_index("measure").value[case.measure])


@pytest.mark.parametrize("case", CASES, ids=[f"{number} {case.name}" for number, case in enumerate(CASES)])
def test_what_was_printed_comes_out(case: Case, tmp_path: Path) -> None:
    assert measured(tmp_path, case) == pytest.approx(case.printed, abs=case.within), case.source


def test_every_case_names_its_source_and_how_it_was_seen() -> None:
    assert all(any(word in case.source for word in ("seen", "memory", "quoted")) for case in CASES)


def test_a_posted_answer_that_is_wrong_does_not_come_out(tmp_path: Path) -> None:
    """Tractor, 6,000, salvage 4,000, 250 a year, 8 years, 6 %: posted 852.18 (factors mis-read), right is 812.07."""
    payments = (Once(6000), Yearly(250, 1, 8), Once(-4000, 8))
    case = Case("tractor", 8, 0.06, payments, 812.07, 0.005, "lecture notes; seen", "equivalent_year")
    found = measured(tmp_path, case)
    assert found == pytest.approx(812.07, abs=0.005)
    assert abs(found - 852.18) > 40
