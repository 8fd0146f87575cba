"""How electricity is billed and drawn, in studies without fault: what arrives, and what is odd but no slip."""

from __future__ import annotations

from datetime import date, time, timedelta
from pathlib import Path
from time import monotonic
from typing import Any

import pytest

from tco.electricity import OTHERWISE, SLOTS, WEEK, slot_in_words, year_of
from tco.errors import StudyError
from tco.read import load
from tco.study import Study
from tests.read.corpus_electricity import CHARGES, HOURS, MINIS, SHAPES, TARIFFS, changed
from tests.read.corpus_hours import MONTHS, homeless
from tests.read.corpus_supplies import LOGGED, PLUG
from tests.read.test_values import read
from tests.read.test_xlsx import write_book
from tests.studies import TABLES, Change, write_study


def study(folder: Path, **changes: Change) -> Study:
    """The good study, some tables changed."""
    return load(write_study(folder, **changed(**changes)))


def test_versions_and_charges_arrive_in_their_units(tmp_path: Path) -> None:
    found = study(tmp_path)
    first, second = found.tariffs["by the hour"]
    assert (first.price, first.hours, first.clock, first.export) == (None, "day and night", "winter", 0.08)
    assert (second.price, second.hours, second.clock, second.export) == (0.33, "", "", -0.01)
    (blocks,) = found.tariffs["by blocks"]
    assert (blocks.blocks, blocks.minimum, blocks.export) == ("day", 8, None)
    assert list(found.charges) == ["by blocks", "by the hour"]
    low, high, meter, power, levy, tax = found.charges["by blocks"]
    assert [(row.price, row.above, row.period, row.kWh_share) for row in (low, high)] == [
        (0.2, 0, "", None), (0.3, 10, "", None)
    ]  # fmt: skip
    assert (meter.fixed_day, meter.price, power.capacity, levy.percent) == (0.61, None, 4.1, 0.05)
    assert (levy.of, tax.of) == (("energy", "meter"), ("energy", "levy"))
    day, night, basic, tax = found.charges["by the hour"]
    assert (day.period, night.period, night.kWh_share) == ("day", "night", pytest.approx(1.0376))
    assert (basic.fixed, tax.percent, tax.of, tax.start) == (9.8, 0.19, (), date(2026, 1, 1))


def test_the_rest_arrives_in_its_units(tmp_path: Path) -> None:
    found = study(tmp_path)
    assert [(row.day, row.hours) for row in found.holidays] == [
        ("12-25", ""), ("2026-12-26", ""), ("01-06", "seasons")
    ]  # fmt: skip
    (home,) = found.home
    assert (home.month, home.use, home.shape, home.peak) == (None, 3500, "evenings", 5.2)
    assert [(row.days, row.begins, row.ends, row.share) for row in found.shapes["office"]] == [
        (WEEK[:5], 480, 1080, 0.8), ((OTHERWISE,), 0, 1440, 0.05)
    ]  # fmt: skip
    assert [(row.load, row.efficiency) for row in found.efficiency["gold"]][:2] == [(0.1, 0.82), (0.2, 0.87)]
    minis = found.scenarios[0]
    assert (minis.busy_shape, minis.solar_share, minis.ups_efficiency) == ("office", 0.2, 0.93)
    assert [part.watts_at for part in minis.parts] == ["", "supply", "supply", "plug", ""]
    assert minis.stands
    assert (minis.stands.heating, minis.stands.cooling) == ((1, 2, 3, 4, 10, 11, 12), (6, 7, 8))
    assert (minis.stands.heat_used, minis.stands.heat_price, minis.stands.cooling_COP) == (0.6, 0.11, 3.2)


def test_only_what_the_study_uses(tmp_path: Path) -> None:
    more = SHAPES + "idle,,,,,5 %\n"
    found = study(tmp_path, shapes=more)
    assert (list(found.hours), list(found.shapes)) == (["day and night"], ["evenings", "office"])
    assert list(found.efficiency) == ["bronze", "gold"]
    assert "unused" not in found.tariffs


@pytest.mark.parametrize(
    ("text", "months"),
    [
        ("11-4", (1, 2, 3, 4, 11, 12)),
        ("6 + 9-10", (6, 9, 10)),
        ("12", (12,)),
        ("1–12", tuple(range(1, 13))),
        ("6-5", tuple(range(1, 13))),
        ("10 - 12+01", (1, 10, 11, 12)),
    ],
)
def test_seasons(text: str, months: tuple[int, ...]) -> None:
    assert read("season", text) == months


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("weekday", WEEK[:5]),
        ("Weekends + holiday", (*WEEK[5:], "holiday")),
        ("holidays+saturday", ("saturday", "holiday")),
        ("weekdays+weekend", WEEK),
        ("otherwise", (OTHERWISE,)),
    ],
)
def test_kinds_of_day(text: str, days: tuple[str, ...]) -> None:
    assert read("days", text) == days


@pytest.mark.parametrize(
    ("text", "minutes"), [("07:00", 420), ("7:15", 435), ("00:00", 0), ("23:45:00", 1425), ("24:00", 1440)]
)
def test_times_of_day(text: str, minutes: int) -> None:
    assert read("clock", text) == minutes


@pytest.mark.parametrize(
    ("text", "day"), [("12-25", "12-25"), ("1-6", "01-06"), ("02-29", "02-29"), ("2026-12-5", "2026-12-05")]
)
def test_days_of_a_year_or_every_year(text: str, day: str) -> None:
    assert read("day", text) == day


@pytest.mark.parametrize(
    ("when", "period"),
    [
        ("monday 06:45 in month 1", "low"),  # a span through midnight belongs to each day it lies on
        ("monday 07:00 in month 1", "high"),
        ("friday 10:45 in month 4", "high"),
        ("friday 11:00 in month 4", "low"),
        ("saturday 08:00 in month 11", "low"),
        ("holiday 08:00 in month 12", "low"),
        ("wednesday 23:45 in month 10", "low"),
    ],
)
def test_which_period_an_hour_belongs_to(when: str, period: str, tmp_path: Path) -> None:
    found = study(tmp_path, tariffs=("day and night,winter", "seasons,"), charges=CHARGES.replace(
        ",day,", ",high,").replace(",night,", ",low,"))  # fmt: skip
    rows = found.hours["seasons"]
    year = year_of(rows)
    assert -1 not in year
    slots = {slot_in_words(slot): rows[number].period for slot, number in enumerate(year)}
    assert slots[when] == period


def test_otherwise_takes_the_rest(tmp_path: Path) -> None:
    rows = study(tmp_path).hours["day and night"]
    year = year_of(rows)
    assert year.count(0) == 12 * 5 * SLOTS // 2
    assert set(year) == {0, 1}


def test_holidays_matter_only_in_months_that_have_some(tmp_path: Path) -> None:
    """Christmas says nothing of summer: its rows need not say what a holiday is."""
    summer = HOURS.replace("seasons,low,5-10,,00:00", "seasons,low,5-10,weekday + weekend,00:00")
    assert study(tmp_path, hours=summer).holidays


def test_days_without_holidays_cover_all_where_none_is_listed(tmp_path: Path) -> None:
    rows = "hours,period,days\nday and night,day,weekday\nday and night,night,weekend\n"
    found = study(tmp_path, holidays=None, hours=rows, tariffs=("seasons,local", ","))
    assert [row.period for row in found.hours["day and night"]] == ["day", "night"]


def test_holidays_of_other_hours_do_not_matter(tmp_path: Path) -> None:
    rows = "hours,period,days\nday and night,day,weekday\nday and night,night,weekend\nseasons,low,\n"
    found = study(tmp_path, holidays="day,hours\n12-25,seasons\n", hours=rows)
    assert len(found.hours["day and night"]) == 2


def test_each_month_of_the_home(tmp_path: Path) -> None:
    rows = MONTHS.replace("7,290 kWh,evenings,5.2 kW", "7,0,,0")
    found = study(tmp_path, home=rows)
    assert [row.month for row in found.home] == list(range(1, 13))
    assert (found.home[6].use, found.home[6].peak) == (0, 0)


def test_negative_prices_and_rebates_are_legal(tmp_path: Path) -> None:
    rows = (
        CHARGES.replace("0.21 EUR/kWh", "-0.05 EUR/kWh").replace("9.80 EUR", "-3 EUR").replace("19 %,\n", "-10 %,\n")
    )
    found = study(tmp_path, charges=rows, tariffs=("0.33 EUR/kWh", "-0.02 EUR/kWh")).charges["by the hour"]
    assert [row.price for row in found[:2]] == [0.31, -0.05]
    assert (found[2].fixed, found[3].percent) == (-3, -0.1)


def test_blocks_may_fall_and_stand_apart(tmp_path: Path) -> None:
    lines = CHARGES.replace("0.30 EUR/kWh", "0.10 EUR/kWh").splitlines(keepends=True)
    found = study(tmp_path, charges="".join([*lines[:6], *lines[7:], lines[6]])).charges["by blocks"]
    assert [row.charge for row in found] == ["energy", "meter", "power", "levy", "tax", "energy"]
    assert [row.price for row in found if row.charge == "energy"] == [0.2, 0.1]


def test_hours_alone_need_no_home(tmp_path: Path) -> None:
    flat = TARIFFS.replace("by blocks,2026-01,,,,,day,8 EUR/month,", "by blocks,2026-01,0.3 EUR/kWh,,,,,,")
    found = study(tmp_path, home=None, tariffs=flat, charges=CHARGES[: CHARGES.index("by blocks")])
    assert found.home == ()


def test_blocks_of_a_tariff_that_nobody_uses_need_no_home(tmp_path: Path) -> None:
    tables = homeless("", "energy,0.2 EUR/kWh,,,,,,,,", "energy,0.3 EUR/kWh,10 kWh,,,,,,,")
    found = study(tmp_path, scenarios=("by blocks", "by the hour"), **tables)
    assert list(found.charges) == []


def test_loads_at_the_ends_of_a_curve(tmp_path: Path) -> None:
    """45 W of 270 W are 16.67 %: written with more digits, the load itself is an end."""
    curve = "curve,load,efficiency\ngold,16.6666666667 %,80 %\ngold,53.3333333333 %,90 %\nbronze,20 %,80 %\n"
    assert len(study(tmp_path, efficiency=curve).efficiency["gold"]) == 2


def test_a_price_that_is_only_listed_is_no_supply(tmp_path: Path) -> None:
    rows = MINIS.replace("old supply,mini,0,20,,,,,,bronze,60 W supply", "old supply,mini,0,20,,,99,,supply,bronze,")
    with pytest.raises(StudyError) as caught:
        study(tmp_path, minis=rows)
    assert [str(place) for place, _ in caught.value.found] == ["minis.csv:6:7"]  # month 99 alone


def test_a_measurement_covers_what_is_behind_the_supply(tmp_path: Path) -> None:
    found = study(tmp_path, nodes=("mini,3,,", "mini,3,15,"), efficiency="curve,load,efficiency\ngold,90 %,90 %\n"
                  "bronze,20 %,80 %\n")  # fmt: skip
    assert found.scenarios[0].nodes[0].measured_idle == 15


def test_reference_curves_are_lent(tmp_path: Path) -> None:
    reference = tmp_path / "reference"
    reference.mkdir()
    (reference / "efficiency.csv").write_text(
        "curve,load,efficiency\ngold,10 %,70 %\nbronze,10 %,60 %\nbronze,100 %,65 %\nother,10 %,50 %\n"
    )
    own = "curve,load,efficiency\ngold,10 %,82 %\ngold,100 %,87 %\n"
    found = load(write_study(tmp_path / "s", **changed(efficiency=own)), reference=reference)
    assert list(found.efficiency) == ["bronze", "gold"]
    assert [row.efficiency for row in found.efficiency["gold"]] == [0.82, 0.87]
    assert found.efficiency["bronze"][0].places["load"].file == "reference/efficiency.csv"


def test_a_fault_of_a_lent_curve_is_told_there(tmp_path: Path) -> None:
    reference = tmp_path / "reference"
    reference.mkdir()
    (reference / "efficiency.csv").write_text("curve,load,efficiency\nbronze,20 %,60 %\nbronze,10 %,65 %\n")
    own = "curve,load,efficiency\ngold,10 %,82 %\ngold,100 %,87 %\n"
    with pytest.raises(StudyError, match=r"reference/efficiency\.csv:3:2: curve 'bronze': 10 % after 20 %"):
        load(write_study(tmp_path / "s", **changed(efficiency=own)), reference=reference)


def test_a_metered_log(tmp_path: Path) -> None:
    found = study(tmp_path, nodes=LOGGED, plug=PLUG, scenarios=(",office,", ",,"))
    assert found.scenarios[0].nodes[0].log == "plug.csv"
    assert found.logs["plug.csv"].weekday == (21.0,) * 24
    assert study(tmp_path / "without").logs == {}


def test_the_same_study_from_a_workbook(tmp_path: Path) -> None:
    tables = {**TABLES, **changed(nodes=LOGGED, plug=PLUG)}
    folder = load(write_study(tmp_path / "s", **tables))
    book = load(write_book(tmp_path / "s.xlsx", tables={name: text for name, text in tables.items() if text}))
    for name in ("tariffs", "charges", "hours", "holidays", "shapes", "home", "efficiency", "scenarios", "sites"):
        assert getattr(book, name) == getattr(folder, name), name
    assert book.logs["plug.csv"].weekday == folder.logs["plug.csv"].weekday


def test_stored_times_days_and_percentages(tmp_path: Path) -> None:
    cells: dict[tuple[str, str], Any] = {
        ("hours", "E2"): time(6, 30), ("hours", "F7"): timedelta(days=1), ("hours", "E7"): time(0, 0),
        ("holidays", "A3"): date(2026, 12, 26), ("charges", "K5"): 0.2, ("hours", "C7"): "5-10",
        ("home", "B1"): "use [kWh]", ("home", "B2"): 3200,
    }  # fmt: skip
    tables = {**TABLES, **changed()}
    path = write_book(tmp_path / "s.xlsx", cells, {("charges", "K5"): "0%", ("hours", "F7"): "[h]:mm"}, tables=tables)
    found = load(path)
    assert found.hours["day and night"][0].begins == 390
    assert (found.holidays[1].day, found.home[0].use) == ("2026-12-26", 3200)
    assert found.charges["by the hour"][3].percent == 0.2


def test_several_slips_of_a_tariff_come_at_once(tmp_path: Path) -> None:
    changes = {
        "charges": CHARGES.replace("10 kWh", "x").replace("energy + meter", "energy + rent"),
        "hours": HOURS.replace("07:00,19:00", "25:00,19:00").replace("5-10", "5-9"),
        "shapes": SHAPES.replace("23:00,18:00", "22:00,18:00"),
        "home": "month,use,shape,peak\n,3500 kWh,evening,\n",
    }
    with pytest.raises(StudyError) as caught:
        study(tmp_path, **changes)
    assert [str(place) for place, _ in caught.value.found] == [
        "charges.csv:7:5", "charges.csv:10:12", "home.csv:2", "home.csv:2:3", "hours.csv:2:5", "hours.csv:4:1",
        "shapes.csv:5:1",
    ]  # fmt: skip


CHARGE = "by blocks,2026-01"
MANY = {
    "charges of one tariff": {"charges": CHARGES + "".join(
        f"{CHARGE},c{n},0.3 EUR/kWh,{n} kWh,,,,,,,\n" for n in range(4900))},
    "charges of no tariff": {"charges": CHARGES + "".join(
        f"t{n},2026-01,c,0.3 EUR/kWh,,,,,,,,\n" for n in range(4900))},
    "charges of no version": {"charges": CHARGES + "".join(
        f"by blocks,{1970 + n // 12}-{n % 12 + 1:02},c,0.3 EUR/kWh,,,,,,,,\n" for n in range(600))},
    "percentages": {"charges": CHARGES + "".join(
        f"{CHARGE},p{n},,,,,,,,1 %,{' + '.join(f'p{k}' for k in range(max(0, n - 40), n)) or 'energy'}\n"
        for n in range(4900))},
    "hours of one name": {"hours": HOURS + "many,x,,,00:00,00:15\n" * 4900},
    "hours of many names": {"hours": HOURS + "".join(f"h{n},x,,,,\n" for n in range(4900))},
    "hours that overlap": {"hours": HOURS + "".join(f"h{n % 60},x,,,,\n" for n in range(4900))},
    "holidays": {"holidays": "day,hours\n" + "12-25,nowhere\n" * 4900},
    "shapes": {"shapes": SHAPES + "".join(f"s{n % 90},,,,,5 %\n" for n in range(4900))},
    "a home": {"home": "month,use\n" + "".join(f"{n % 12 + 1},9 kWh\n" for n in range(4900))},
    "versions": {"tariffs": TARIFFS + "".join(f"t{n},2026-01,,,h{n},local,day,,\n" for n in range(4900))},
    "efficiency": {"efficiency": "curve,load,efficiency\n" + "gold,20 %,80 %\n" * 4900},
}  # fmt: skip


@pytest.mark.parametrize("name", MANY)
def test_no_table_takes_long(name: str, tmp_path: Path) -> None:
    """5,000 rows take a second or two; the bound leaves room for a busy machine, and none for squares of rows."""
    folder = write_study(tmp_path, **changed(**MANY[name]))
    begun = monotonic()
    with pytest.raises(StudyError):
        load(folder)
    assert monotonic() - begun < 10
