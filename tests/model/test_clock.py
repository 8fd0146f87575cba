"""Hours by the clock: every month 2020-2040 in eight zones, and every row of hours.csv, against a slow count.

The slow count (plain_clock.py) walks through UTC by quarters of an hour and asks zoneinfo each time.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

import tco
from tco.ask.bills import bill_rows
from tco.model.calendar import hours_of, month_after
from tco.model.clock import Quarters, added_up, numbers_of, quarters, year_slots
from tco.study import Holiday, Period, Study
from tests.model.plain_clock import HOURS, Calendar, hours_in, moments, quarters_of
from tests.random_electricity import HOURS as WAYS
from tests.studies import write_study

ZONES = (
    "Europe/Vienna",
    "America/New_York",
    "Asia/Kolkata",  # five and a half hours ahead
    "Australia/Lord_Howe",  # its clocks go forward by half an hour
    "Asia/Kathmandu",  # five and three quarters
    "America/St_Johns",
    "Pacific/Chatham",
    "Africa/Casablanca",  # its clocks go back for Ramadan
)
CLOCKS = ("local", "winter")


@pytest.mark.parametrize("zone", ZONES)
def test_every_month_has_the_hours_that_a_slow_count_finds(zone: str) -> None:
    start, months = date(2020, 1, 1), 21 * 12
    counted = Counter((local.year, local.month) for _, local in moments(start, months, zone))
    wanted = [counted[2020 + month // 12, month % 12 + 1] * HOURS for month in range(months)]
    found = np.bincount(quarters(start, months, zone).month, minlength=months + 1)[1:] * HOURS
    assert found.tolist() == wanted == hours_of(start, months, zone)[1:]


@pytest.mark.parametrize(("zone", "short", "long"), [
    ("Europe/Vienna", (2023, 3, 743), (2023, 10, 745)),
    ("America/New_York", (2021, 3, 743), (2021, 11, 721)),
    ("Australia/Lord_Howe", (2024, 10, 743.5), (2024, 4, 720.5)),
    ("Asia/Kolkata", (2024, 2, 696), (2024, 3, 744)),
    ("Africa/Casablanca", (2024, 4, 719), (2024, 3, 745)),
])  # fmt: skip
def test_short_and_long_months(zone: str, short: tuple[int, int, float], long: tuple[int, int, float]) -> None:
    """As counted on a calendar: both the tool's hours and the slow ones."""
    for year, month, hours in (short, long):
        assert len(quarters(date(year, month, 1), 1, zone).month) * HOURS == hours
        assert hours_in(year, month, zone) == hours


@pytest.mark.parametrize("zone", ZONES)
def test_every_quarter_is_called_alike(zone: str) -> None:
    """Its month, and its time by both clocks, over a year that begins in any month."""
    for start in (date(2024, 2, 1), date(2027, 7, 1)):
        wanted = [one for some in quarters_of(start, 14, zone).values() for one in some]
        found = quarters(start, 14, zone)
        assert found.month.tolist() == [one.month for one in wanted]
        for clock in CLOCKS:
            assert in_quarters([one.by(clock) for one in wanted]) == getattr(found, clock).tolist()


def in_quarters(moments: Sequence) -> list[int]:  # type: ignore[type-arg]
    """Quarters since the beginning of 1970 by the same clock."""
    first = moments[0].replace(year=1970, month=1, day=1, hour=0, minute=0)
    return [(moment - first) // timedelta(minutes=15) for moment in moments]


def periods(study: Study, name: str) -> tuple[Period, ...]:
    """The hours of a name, and nothing left unsaid."""
    assert study.hours[name]
    return study.hours[name]


def period_names(hours: str) -> list[str]:
    """The periods of rows of hours.csv."""
    return list(dict.fromkeys(row.split(",")[1] for row in hours.splitlines()))


def loaded(folder: Path, hours: str, holidays: Sequence[str] = (), **settings: str) -> Study:
    """A study whose tariff follows some hours; settings: `start`, `horizon`, `time zone` with _ for the space."""
    about = {"question": "?", "currency": "EUR", "start": "2017-01", "horizon": "12 months",
             "time zone": "America/Toronto", "discount": "0"}  # fmt: skip
    about |= {name.replace("_", " "): value for name, value in settings.items()}
    return tco.load(
        write_study(
            folder,
            study="setting,value\n" + "".join(f"{name},{value}\n" for name, value in about.items()),
            scenarios="scenario,parts list,tariff\nit,it.csv,grid\n",
            it="part,quantity,price,idle\nbox,1,1 EUR,100 W\n",
            tariffs="tariff,start,price,hours\ngrid,2000-01,,hours\n",
            charges="tariff,start,charge,period,price\n"
            + "".join(f"grid,2000-01,{one},{one},0.2 EUR/kWh\n" for one in period_names(hours)),
            hours="hours,period,months,days,begins,ends\n" + hours,
            holidays="day,hours\n" + "".join(f"{day},\n" for day in holidays) if holidays else None,
            **dict.fromkeys(("minis", "servers", "nodes", "fees", "one_offs", "failures", "resale", "exchange")),
        )
    )


def by_period(rows: Sequence[Period], holidays: Sequence[Holiday], found: Quarters, clock: str) -> np.ndarray:
    """Hours of each month and row by the tool; shape (months + 1, rows)."""
    slots = year_slots(getattr(found, clock), holidays)
    return added_up(found, numbers_of(rows)[slots], len(rows))  # type: ignore[no-any-return]


def counted(rows: Sequence[Period], holidays: Sequence[Holiday], start: date, months: int, zone: str,
            clock: str) -> list[list[float]]:  # fmt: skip
    """The same counted quarter by quarter."""
    calendar, found = Calendar(rows, holidays), [[0.0] * len(rows) for _ in range(months + 1)]
    for month, some in quarters_of(start, months, zone).items():
        for quarter in some:
            found[month][rows.index(calendar.at(quarter.by(clock)))] += HOURS
    return found


def ways(folder: Path, zone: str, name: str, days: Sequence[str]) -> Study:
    """Hours as the random studies have them, with holidays, read from CSV."""
    return loaded(
        folder, "".join(f"{row}\n" for row in WAYS[name]).replace(name + ",", "hours,"), days, time_zone=zone
    )


@pytest.mark.parametrize("zone", ["Europe/Vienna", "Australia/Lord_Howe", "America/St_Johns", "Africa/Casablanca"])
@pytest.mark.parametrize("name", WAYS)
def test_hours_of_each_period_are_those_of_a_slow_count(zone: str, name: str, tmp_path: Path) -> None:
    rng = random.Random(f"{zone} {name}")
    years = rng.sample(range(2020, 2040), 2)
    days = ["12-25", "02-29", *(f"{year}-{rng.randint(1, 12):02}-{rng.randint(1, 28):02}" for year in years * 4)]
    study = ways(tmp_path, zone, name, sorted(set(days)))
    rows = periods(study, "hours")
    for year in years:
        start = date(year, rng.randint(1, 12), 1)
        for clock in CLOCKS:
            found = by_period(rows, study.holidays, quarters(start, 12, zone), clock)
            assert found.tolist() == counted(rows, study.holidays, start, 12, zone, clock)


@pytest.mark.parametrize("seed", range(12))
def test_random_rows_of_hours(seed: int, tmp_path: Path) -> None:
    """A day cut at random quarters, differently in two seasons and on some kinds of day; gaps go to the rest."""
    rng = random.Random(seed)
    zone = rng.choice(ZONES)
    study = loaded(tmp_path, random_hours(rng), ["2025-01-01", "05-01", "2025-12-26"], time_zone=zone)
    rows, start = periods(study, "hours"), month_after(date(2024, 11, 1), rng.randint(0, 8))
    for clock in CLOCKS:
        found = by_period(rows, study.holidays, quarters(start, 10, zone), clock)
        assert found.tolist() == counted(rows, study.holidays, start, 10, zone, clock)


def random_hours(rng: random.Random) -> str:
    """Rows of hours.csv that never overlap."""
    first = rng.randint(1, 12)
    seasons = [f"{first}-{(first + 3) % 12 + 1}", f"{(first + 4) % 12 + 1}-{(first - 2) % 12 + 1}"]
    rows = []
    for season in seasons:
        for days in ("weekday", "saturday + holiday", "sunday"):
            cuts = [f"{cut // 4:02}:{cut % 4 * 15:02}" for cut in sorted(rng.sample(range(96), 3))]
            spans = list(zip(cuts, [*cuts[1:], cuts[0]], strict=True))  # the last one goes on through midnight
            for begins, ends in rng.sample(spans, rng.randint(1, 3)):
                rows.append(f"hours,p{rng.randint(1, 3)},{season},{days},{begins},{ends}\n")
    return "".join(rows) + "hours,rest,,otherwise,,\n"


ONTARIO = """hours,on-peak,11-4,weekday,07:00,11:00
hours,on-peak,11-4,weekday,17:00,19:00
hours,mid-peak,11-4,weekday,11:00,17:00
hours,on-peak,5-10,weekday,11:00,17:00
hours,mid-peak,5-10,weekday,07:00,11:00
hours,mid-peak,5-10,weekday,17:00,19:00
hours,off-peak,,otherwise,,
"""
HOLIDAYS_2017 = (
    "2017-01-02", "2017-02-20", "2017-04-14", "2017-05-22", "2017-07-03", "2017-08-07", "2017-09-04", "2017-10-09",
    "2017-12-25", "2017-12-26",
)  # fmt: skip


def test_ontario_2017(tmp_path: Path) -> None:
    """1,500 hours on-peak, 1,500 mid-peak, 5,760 off-peak, of a constant 100 W; winter and summer swap.

    Hours and holidays as utilities print them (Ontario Energy Board, 18 Oct 2024; Bluewater Power's holidays of
    2017); 3 July stands for Saturday 1 July. The sums are counted from these: 250 weekdays that are no holidays, six
    hours of each kind.
    """
    study = loaded(tmp_path, ONTARIO, HOLIDAYS_2017)
    hours = Counter[str]()
    for row in bill_rows(tco.compare(study)):
        _, _, kind, item, _, _, difference, unit = row
        if kind == "use" and item != "all":
            assert unit == "kWh"
            hours[item] += difference / 0.1
    assert hours == pytest.approx({"on-peak": 1500, "mid-peak": 1500, "off-peak": 5760}, rel=1e-12)


def test_ontario_without_its_holidays_has_ten_weekdays_more(tmp_path: Path) -> None:
    rows = periods(loaded(tmp_path, ONTARIO), "hours")
    found = by_period(rows, (), quarters(date(2017, 1, 1), 12, "America/Toronto"), "local").sum(axis=0)
    assert found[:3].sum() + found[3:6].sum() == 12 * 260
    assert found[6] == 8760 - 12 * 260


def test_in_summer_winter_time_is_an_hour_behind(tmp_path: Path) -> None:
    """A night from 22:00 to 06:00 by winter time is one from 23:00 to 07:00 on the clock of a summer in Vienna."""
    night, later = (
        "hours,night,,,{},{}\nhours,day,,otherwise,,\n".format(*span)
        for span in (("22:00", "06:00"), ("23:00", "07:00"))
    )
    one, other = (periods(loaded(tmp_path / name, rows), "hours") for name, rows in (("a", night), ("b", later)))
    summer = quarters(date(2026, 5, 1), 4, "Europe/Vienna")
    kinds = [np.array([rows[n].period for n in numbers_of(rows)[year_slots(clock, ())]]) for rows, clock in
             ((one, summer.winter), (other, summer.local))]  # fmt: skip
    assert (kinds[0] == kinds[1]).all()
    assert not (summer.winter == summer.local).any()


def test_a_study_may_be_shorter_than_a_year_and_begin_in_any_month() -> None:
    """Its quarters are those that a longer study has in the same months."""
    whole = quarters(date(2026, 1, 1), 24, "America/New_York")
    for first, months in ((2, 1), (3, 1), (10, 3), (11, 1)):
        part = quarters(date(2026, first, 1), months, "America/New_York")
        here = (whole.month >= first) & (whole.month < first + months)
        for name in ("local", "winter"):
            assert getattr(part, name).tolist() == getattr(whole, name)[here].tolist()
