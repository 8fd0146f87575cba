"""ledger.csv: what is refused, at its place; to which month a day belongs; purchases.csv likewise."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

import tco
from tco.errors import AskedError, StudyError
from tco.study import Entry
from tests.studies import MINIS, Change, write_study

HEAD = "scenario,day,what,part,quantity,amount [EUR],line,energy [kWh]\n"
GOOD = "minis,2026-12-01,bought,mini PC,3,400,,\nminis,2026-12-20,bought,switch,1,45,,\n"


def problems(folder: Path, rows: str, head: str = HEAD, **changes: Change) -> list[str]:
    """What is told of a ledger."""
    with pytest.raises(StudyError) as caught:
        tco.load(write_study(folder, ledger=head + rows, **changes))
    return [f"{place}: {message}" for place, message in caught.value.found]


def test_a_good_ledger_is_read(tmp_path: Path) -> None:
    rows = (
        GOOD + "minis,2027-01-31,metered,,,,,31.4\nminis,2027-02-03,paid,,,12.5,electricity,\n"
        "minis,2027-02-03,failed,mini PC,1,,,\nminis,2027-02-04,claimed,switch,,4,,\n"
        "minis,2027-02-05,sold,mini PC,2,90,,\n"
        "minis,2027-02-05,paid,,,30,One off,\n"
    )
    found = tco.load(write_study(tmp_path, ledger=HEAD + rows)).ledger
    assert [one.what for one in found] == ["bought", "bought", "metered", "paid", "failed", "claimed", "sold", "paid"]
    assert found[2].energy == 31.4
    assert found[3].line == "electricity"
    assert found[7].line == "one off"
    assert [one.quantity for one in found] == [3, 1, 1, 1, 1, 1, 2, 1]


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ("minis,2026-12-01,bought,mini PC,3,,,\n", "2: amount: empty, and a row of what was bought needs it"),
        ("minis,2026-12-01,bought,,3,400,,\n", "2: part: empty, and a row of what was bought needs it"),
        ("minis,2026-12-31,metered,,,,,\n", "2: energy: empty, and a row of what was metered needs it"),
        ("minis,2026-12-01,paid,,,5,,\n", "2: line: empty, and a row of what was paid needs it"),
        ("minis,2027-01-31,metered,,,,fees,3\n", "2:7: line: does not belong to what was metered; leave it empty"),
        ("minis,2027-01-31,paid,switch,,9,fees,\n", "2:4: part: does not belong to what was paid; leave it empty"),
        ("minis,2026-12-01,lost,mini PC,3,400,,\n", "2:3: what: 'lost' is no choice here; write 'bought' or"),
        ("minis,2026-12-01,bought,mini PC,3,-4,,\n", "2:6: amount: -4 is negative, which only an amount"),
        ("minis,2026-12-01,bought,mini PC,0,4,,\n", "2:5: quantity: 0 is below 1, which is the least"),
        ("minis,2026-12-01,bought,mini PC,3,4 CHF,,\n", "2:6: amount: 'CHF': there is no rate for CHF"),
        ("minis,2026-12-01,paid,,,5,coffee,\n", "2:7: line: 'coffee' is no choice here; write 'purchase' or"),
        ("minis,01.02.2027,paid,,,5,fees,\n", "2:2: day: '01.02.2027' is not a date"),
        ("minis,2025-11-01,bought,switch,1,4,,\n",
         "2:2: day: 2025-11-01 is more than a year before the study's start, 2026-12"),
        ("minis,2031-12-16,bought,switch,1,4,,\n",
         "2:2: day: 2031-12-16 is after the study's last month, its month 60"),
        ("minis,2026-11-30,metered,,,,,3\n",
         "2:2: day: a reading of 2026-11-30 is before the study's start, 2026-12, when nothing ran yet"),
        (GOOD + "minis,2026-12-19,paid,,,1,fees,\n",
         "4:2: day: 2026-12-19 comes after 2026-12-20 in line 3; write the rows by their days"),
        ("mini,2026-12-01,bought,switch,1,4,,\n",
         "2:1: scenario: there is no scenario 'mini' in scenarios.csv; did you mean 'minis'?"),
        (GOOD + "servers,2027-01-01,bought,server,1,4,,\n",
         "4:1: scenario: 'servers', and line 2 says 'minis'; a ledger is about one"),
        ("rented,2027-01-01,paid,,,4,fees,\n",
         "2:1: scenario: 'rented' has no parts list; a ledger is about hardware that was bought"),
        ("minis,2027-01-01,bought,mini pc,1,4,,\n",
         "2:4: part: there is no part 'mini pc' in minis.csv; did you mean 'mini PC'?"),
        ("minis,2027-01-01,sold,mini PC,1,4,,\n", "2:5: quantity: 1 'mini PC' sold, and none was bought before"),
        (GOOD + "minis,2027-01-01,sold,drive 8 TB,1,4,,\n",
         "4:5: quantity: 1 'drive 8 TB' sold, and none was bought before"),
        (GOOD + "minis,2027-01-01,failed,mini PC,2,,,\nminis,2027-01-02,sold,mini PC,2,4,,\n",
         "5:5: quantity: 2 'mini PC' sold, and 1 were there: 3 bought, 2 failed"),
    ],
)  # fmt: skip
def test_what_is_refused_and_where(rows: str, told: str, tmp_path: Path) -> None:
    found = problems(tmp_path, rows, exchange=None)
    assert len(found) == 1, found
    assert found[0].startswith(f"ledger.csv:{told}"), found


def test_all_is_told_at_once(tmp_path: Path) -> None:
    rows = "minis,2027-02-01,bought,mini PC,1,,,\nminis,2027-01-01,sold,switch,1,5,,\n"
    rows += "servers,2027-03-01,paid,,,5,fees,\n"
    places = [line.split(": ")[0] for line in problems(tmp_path, rows)]
    assert places == ["ledger.csv:2", "ledger.csv:3:2", "ledger.csv:3:5", "ledger.csv:4:1"]


def test_money_with_a_rate_is_turned(tmp_path: Path) -> None:
    (row,) = tco.load(write_study(tmp_path, ledger=HEAD + "minis,2026-12-01,bought,switch,1,50 USD,,\n")).ledger
    assert row.amount == pytest.approx(46.0)


@pytest.mark.parametrize(
    ("day", "what", "month"),
    [
        ("2026-12-01", "bought", 0), ("2026-12-15", "bought", 0), ("2026-12-16", "bought", 1),
        ("2027-01-15", "failed", 1), ("2027-01-16", "sold", 2), ("2026-02-01", "bought", 0),
        ("2026-11-30", "paid", 0), ("2026-12-01", "paid", 1), ("2026-12-31", "paid", 1), ("2027-01-01", "paid", 2),
        ("2027-01-01", "metered", 1), ("2026-12-31", "metered", 1), ("2027-12-31", "metered", 13),
    ],
)  # fmt: skip
def test_to_which_month_a_day_belongs(day: str, what: str, month: int) -> None:
    entry = Entry(scenario="minis", day=date.fromisoformat(day), what=what)
    assert entry.month(date(2026, 12, 1)) == month


# asked of it


def test_the_future_is_refused_row_by_row(tmp_path: Path) -> None:
    study = tco.load(write_study(tmp_path, ledger=HEAD + GOOD + "minis,2027-05-31,metered,,,,,3\n"))
    with pytest.raises(StudyError) as caught:
        tco.track(study, today=date(2026, 12, 19))
    told = [f"{place}: {message}" for place, message in caught.value.found]
    assert told == [
        "ledger.csv:3:2: day: 2026-12-20 is in the future; today is 2026-12-19",
        "ledger.csv:4:2: day: 2027-05-31 is in the future; today is 2026-12-19",
    ]


@pytest.mark.parametrize(
    ("until", "told"),
    [
        (date(2027, 1, 1), "until 2027-01: the ledger goes on to 2027-05; name that or a later one"),
        (date(2027, 8, 1), "until 2027-08: is in the future; today is 2027-07-01"),
    ],
)
def test_a_last_month_that_cannot_be(until: date, told: str, tmp_path: Path) -> None:
    study = tco.load(write_study(tmp_path, ledger=HEAD + GOOD + "minis,2027-05-31,metered,,,,,60\n"))
    with pytest.raises(AskedError, match=told):
        tco.track(study, until=until, today=date(2027, 7, 1))


def test_a_study_without_a_ledger_is_told_so(tmp_path: Path) -> None:
    with pytest.raises(AskedError, match="the study has no ledger, or an empty one"):
        tco.track(tco.load(write_study(tmp_path)))
    with pytest.raises(AskedError, match="the study has no ledger, or an empty one"):
        tco.track(tco.load(write_study(tmp_path, ledger=HEAD)))


def test_what_could_not_live_by_its_curve_is_refused(tmp_path: Path) -> None:
    failures = (
        "curve,age,rate,chance\nsmall things,0 years,,\nsmall things,3 months,,100 %\ndrives,0 years,1 %/year,\n"
    )
    failures = failures.replace("0 years,,\n", "0 years,1 %/year,\n")
    study = tco.load(
        write_study(tmp_path, failures=failures, ledger=HEAD + GOOD + "minis,2027-05-31,paid,,,1,fees,\n")
    )
    with pytest.raises(
        AskedError, match="by it none would live from month 0 to month 6, as the ledger says of mini PC"
    ):
        tco.track(study, today=date(2100, 1, 1))


def test_a_meter_that_read_something_before_anything_was_there(tmp_path: Path) -> None:
    rows = "minis,2027-01-31,metered,,,,,3\nminis,2027-03-31,bought,mini PC,3,400,,\n"
    study = tco.load(write_study(tmp_path, ledger=HEAD + rows))
    told = "ledger.csv:2:8: energy: 3 kWh read, and nothing was there in that time that draws power"
    with pytest.raises(StudyError, match=told):
        tco.track(study, today=date(2100, 1, 1))


def test_a_real_study_needs_inflation_for_what_was_paid(tmp_path: Path) -> None:
    changes = {"study": ("currency,EUR,,", "currency,EUR,,\nmoney,real,,"), "ledger": HEAD + GOOD, "resale": None}
    changes["minis"] = MINIS.replace(",fair", ",")
    with pytest.raises(AskedError, match="needs the setting 'inflation'"):
        tco.track(tco.load(write_study(tmp_path, **changes)), today=date(2100, 1, 1))
