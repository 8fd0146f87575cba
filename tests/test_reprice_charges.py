"""New versions by charges: several tables at once, hours and holidays with them, told and kept like one price."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import tco
from tco.ask.reprice import Repriced, break_evens, from_then_on, kwh_price, repriced
from tco.errors import PastError, StudyError
from tco.model import line_inputs
from tco.read.revise import NewPrice, Revision, revise
from tco.write.reprice_words import headline
from tests.random_studies import random_study
from tests.studies import write_study
from tests.test_reprice_figures import lines_of, times

TARIFFS = "tariff,start,growth,hours\nhousehold,2026-01,,two\n"
CHARGES = """tariff,start,charge,price [EUR/kWh],period,fixed,percent
household,2026-01,day,0.24,day,,
household,2026-01,night,0.12,night,,
household,2026-01,basic,,,9 EUR/month,
household,2026-01,tax,,,,20 %
"""
HOURS = "hours,period,days,begins,ends\ntwo,day,weekday,06:00,22:00\ntwo,night,otherwise,,\n"
HOLIDAYS = "day,hours\n12-25,\n"
HOME = "use\n3000 kWh\n"

NEW_TARIFF = "tariff;start;hours;blocks;note\nhousehold;2028-03;three;month;ab März\n"
NEW_CHARGES = """tariff;start;charge;price;above;period;percent
household;2028-03;peak;0,40 EUR/kWh;;peak;
household;2028-03;rest;0,2 EUR/kWh;;rest;
household;2028-03;network;50 EUR/MWh;;;
household;2028-03;network;0,08 EUR/kWh;200 kWh;;
household;2028-03;tax;;;;19 %
"""
NEW_HOURS = "hours,period,days,begins,ends\nthree,peak,weekday,17:00,20:00\nthree,rest,otherwise,,\n"
NEW_HOLIDAYS = "day,hours\n12-24,three\n12-25,\n"
OFFERS = {"t.csv": NEW_TARIFF, "c.csv": NEW_CHARGES, "h.csv": NEW_HOURS, "d.csv": NEW_HOLIDAYS}


def study(folder: Path, **changes: Any) -> Path:
    tables = {"tariffs": TARIFFS, "charges": CHARGES, "hours": HOURS, "holidays": HOLIDAYS, "home": HOME}
    return write_study(folder, **{**tables, **changes})


def offers(folder: Path, **changes: str) -> list[Path]:
    """The new version's tables as files; a change is the whole of one, or empty to leave it out."""
    paths = []
    for name, text in {**OFFERS, **{f"{key}.csv": value for key, value in changes.items()}}.items():
        if text:
            paths.append(folder / name)
            paths[-1].write_text(text, encoding="utf-8", newline="")
    return paths


def changed(folder: Path, *given: Path | NewPrice) -> tuple[Repriced, Revision]:
    revision = revise(folder, given, line_inputs())
    return repriced(tco.compare(revision.before), tco.compare(revision.after), revision.added), revision


def test_four_tables_at_once_each_in_its_own_manner(tmp_path: Path) -> None:
    """Rows behind those of their tariff, the columns they need at the end, prices in the header's unit."""
    revision = changed(study(tmp_path / "study"), *offers(tmp_path))[1]
    tables = {name: after.decode() for name, (_, after) in revision.tables.items()}
    assert tables["tariffs.csv"] == (
        "tariff,start,growth,hours,blocks,note\nhousehold,2026-01,2 %,two,,\nhousehold,2028-03,,three,month,ab März\n"
    )
    assert tables["charges.csv"] == CHARGES.replace("\n", ",\n").replace("percent,", "percent,above") + (
        "household,2028-03,peak,0.40,peak,,,\nhousehold,2028-03,rest,0.2,rest,,,\n"
        "household,2028-03,network,0.05,,,,\nhousehold,2028-03,network,0.08,,,,200 kWh\n"
        "household,2028-03,tax,,,,19 %,\n"
    )
    assert tables["hours.csv"] == HOURS + "three,peak,weekday,17:00,20:00\nthree,rest,otherwise,,\n"
    assert tables["holidays.csv"] == HOLIDAYS + "12-24,three\n"
    assert revision.same == ("holiday 12-25 stands in holidays.csv:2 already",)


def test_months_before_keep_their_cost_and_the_rest_is_as_by_hand(tmp_path: Path) -> None:
    found, _ = changed(study(tmp_path / "study"), *offers(tmp_path))
    before, after = lines_of(found.before), lines_of(found.after)
    np.testing.assert_allclose(after[..., :16], before[..., :16], rtol=1e-12, atol=1e-12)
    rows = list(csv.DictReader(NEW_CHARGES.splitlines(), delimiter=";"))
    charges = CHARGES.replace("percent\n", "percent,above\n").replace("\nhousehold", ",\nhousehold", 0)
    lines = [line + ("," if number else "") for number, line in enumerate(charges.splitlines())]
    for row in rows:
        price = "0.05" if row["price"] == "50 EUR/MWh" else row["price"].replace(",", ".").removesuffix(" EUR/kWh")
        lines.append(f"household,2028-03,{row['charge']},{price},{row['period']},,{row['percent']},{row['above']}")
    hand = study(
        tmp_path / "hand",
        tariffs="tariff,start,growth,hours\nhousehold,2026-01,2 %,two\nhousehold,2028-03,,three\n",
        charges="\n".join(lines) + "\n",
        hours=HOURS + NEW_HOURS.split("\n", 1)[1],
        holidays=HOLIDAYS + "12-24,three\n",
    )
    np.testing.assert_allclose(after, lines_of(tco.compare(tco.load(hand))), rtol=1e-12, atol=1e-12)
    assert np.abs(after - before)[:2, :, 16:].sum(axis=1).min() > 0.01


def test_the_price_told_is_that_of_the_builds_kwh(tmp_path: Path) -> None:
    """Both builds draw evenly over day and night, so that theirs is one price; per month it is bill over kWh."""
    found, _ = changed(study(tmp_path / "study"), *offers(tmp_path))
    price = kwh_price(found.after, found.pairs[0][1], 16)
    column = found.pairs[0][1].own("bill", "marginal_price")
    assert price == found.after.of(column)[16]
    assert isinstance(price, float)
    assert headline(found)[0].startswith(
        f"household: from 2028-03 (month 16) on a kWh costs {price:.4f} EUR instead of 0."
    )
    energy = found.after.of(found.pairs[0][1].month("energy"))[16]
    assert found.after.of(found.pairs[0][1].month("electricity"))[16] == pytest.approx(price * energy)
    assert from_then_on(found, 0).moved


def test_a_table_that_the_study_lacks_is_taken_over_as_it_is(tmp_path: Path) -> None:
    tariffs = "tariff,start,price\nhousehold,2026-01,0.31 EUR/kWh\n"
    folder = write_study(tmp_path / "study", tariffs=tariffs, home=HOME)
    revision = changed(folder, *offers(tmp_path))[1]
    assert revision.tables["charges.csv"] == (b"", NEW_CHARGES.encode())
    assert revision.tables["hours.csv"] == (b"", NEW_HOURS.encode())
    assert revision.tables["holidays.csv"] == (b"", NEW_HOLIDAYS.encode())
    assert revision.tables["tariffs.csv"][1].decode().splitlines() == [
        "tariff,start,price,growth,hours,blocks,note",
        "household,2026-01,0.31 EUR/kWh,2 %,,,",
        "household,2028-03,,,three,month,ab März",
    ]


def test_one_price_after_charges(tmp_path: Path) -> None:
    """The price of the command line supersedes a version by charges, and its growth is kept as well."""
    found, revision = changed(study(tmp_path / "study"), NewPrice("0.36 EUR/kWh", "2028-03"))
    assert revision.tables["tariffs.csv"][1].decode() == (
        "tariff,start,growth,hours,price\nhousehold,2026-01,2 %,two,\nhousehold,2028-03,,,0.36 EUR/kWh\n"
    )
    assert kwh_price(found.after, found.pairs[0][1], 16) == pytest.approx(0.36)


def test_twice_changes_nothing_the_second_time(tmp_path: Path) -> None:
    folder, given = study(tmp_path / "study"), offers(tmp_path)
    for name, (_, after) in revise(folder, given, line_inputs()).tables.items():
        (folder / name).write_bytes(after)
    again = revise(folder, given, line_inputs())
    assert again.is_nothing
    assert again.same == (
        "'household' from 2028-03 stands in tariffs.csv:3 already",
        "the charges of 'household' from 2028-03 stand in charges.csv:6 already",
        "hours 'three' stand in hours.csv:4 already",
        "holiday 12-24 stands in holidays.csv:3 already",
        "holiday 12-25 stands in holidays.csv:2 already",
    )


def problems(folder: Path, *given: Path) -> str:
    with pytest.raises(StudyError) as caught:
        revise(folder, given, line_inputs())
    return str(caught.value)


def test_other_values_under_the_same_name_are_told_with_both_places(tmp_path: Path) -> None:
    folder, given = study(tmp_path / "study"), offers(tmp_path)
    for name, (_, after) in revise(folder, given, line_inputs()).tables.items():
        (folder / name).write_bytes(after)
    other = offers(tmp_path, c=NEW_CHARGES.replace("19 %", "20 %"), h=NEW_HOURS.replace("17:00", "18:00"))
    found = problems(folder, *other)
    assert f"{tmp_path / 'c.csv'}:2: the charges of 'household' from 2028-03 stand in charges.csv:6 already" in found
    assert (
        f"{tmp_path / 'h.csv'}:2: hours 'three' stand in hours.csv:4 already, and not with the same values" in found
    )


@pytest.mark.parametrize(
    ("changes", "place", "message"),
    [
        ({"t": ""}, "c.csv", "no new version of a tariff comes with it; give its row of tariffs.csv as well"),
        ({"c": NEW_CHARGES.replace("household;2028-03;tax", "home;2028-03;tax")}, "c.csv:6:1", "tariff: there is no"),
        ({"c": NEW_CHARGES.replace("19 %", "19")}, "c.csv:6:7", "percent: '19' could be 19 % or 1900 %"),
        ({"c": NEW_CHARGES.replace("200 kWh", "0")}, "c.csv:5", "above: "),
        ({"c": NEW_CHARGES.replace("peak;0,40 EUR/kWh;;peak", "peak;0,40 EUR/kWh;;peek")}, "c.csv:2:6", "period: "),
        ({"h": ""}, "t.csv:2:3", "hours: there is no"),
        ({"h": NEW_HOURS.replace("otherwise", "weekend")}, "h.csv:", "hours"),
    ],
)  # fmt: skip
def test_what_the_reader_finds_is_told_where_it_stands_in_the_file_offered(
    changes: dict[str, str], place: str, message: str, tmp_path: Path
) -> None:
    folder = study(tmp_path / "study")
    before = {path: path.read_bytes() for path in folder.iterdir()}
    found = problems(folder, *offers(tmp_path, **changes))
    (line, *_) = [line for line in found.splitlines() if line.startswith(f"{tmp_path / place}") and message in line]
    assert line
    assert {path: path.read_bytes() for path in folder.iterdir()} == before


def test_line_numbers_in_a_message_are_those_of_the_file(tmp_path: Path) -> None:
    """The reader names the other row by its line: not by the line it would have in the changed table."""
    twice = NEW_CHARGES.replace("network;0,08 EUR/kWh;200 kWh;;", "rest;0,08 EUR/kWh;;peak;")
    found = problems(study(tmp_path / "study"), *offers(tmp_path, c=twice))
    assert f"{tmp_path / 'c.csv'}:5:6: period: 'rest' stands in line 3 already, with another period" in found


def test_a_holiday_for_all_hours_would_change_the_past(tmp_path: Path) -> None:
    """12-24 of every year counts for the old version's hours too, of which months have been billed."""
    revision = revise(study(tmp_path / "study"), offers(tmp_path, d="day,hours\n12-24,\n"), line_inputs())
    with pytest.raises(PastError) as caught:
        repriced(tco.compare(revision.before), tco.compare(revision.after), revision.added)
    assert "Electricity of minis in 2026-12 would be " in str(caught.value)
    assert "holidays may name their hours" in str(caught.value)


def test_break_even_of_random_bills(tmp_path: Path) -> None:
    """Blocks, minimums, capacity, solar, cooling: at the factor, both cost the same, to a hundredth of a cent."""
    checked = 0
    for seed in (1, 2, 5, 6, 9):
        before = tco.compare(tco.load(random_study(seed, tmp_path / str(seed))))
        found = repriced(before, before, before.study.tariffs["house"][-1:])
        rows = [one for one in break_evens(found) if isinstance(one.factor.after, float) and one.factor.after < 1e3]
        for one in rows:
            again = tco.compare(times(before.study, "house", one.factor.after))  # type: ignore[arg-type]
            costs = {ground.scenario.scenario: again.measure(ground, "lcc") for ground in again.built.grounds}
            assert costs[one.one] == pytest.approx(costs[one.other], abs=1e-4)
            checked += 1
    assert checked > 2
