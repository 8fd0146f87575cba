"""Warranty, wear and life of parts, spares and the horizon asked for, in studies without fault."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tco.errors import StudyError
from tco.model import line_inputs
from tco.read import load
from tco.study import Part
from tests.read.corpus_failing import GOOD, MINIS, POOLS, part
from tests.read.test_xlsx import write_book
from tests.studies import STUDY, TABLES, Change, write_study


def read(tmp_path: Path, **changes: Change) -> dict[str, Part]:
    """Name -> part of all parts lists of a study without fault."""
    study = load(write_study(tmp_path, **{**GOOD, "ranges": None, **changes}))
    return {one.part: one for scenario in study.scenarios for one in scenario.parts}


def test_columns_of_wear(tmp_path: Path) -> None:
    found = read(tmp_path)
    assert (found["mini PC"].warranty, found["mini PC"].claim, found["mini PC"].endurance) == (24, None, None)
    assert (found["drive 8 TB new"].warranty, found["drive 8 TB new"].claim) == (36, 9.0)
    log = found["log drive"]
    assert (log.endurance, log.written, log.written_before, log.takes_first) == (300.0, None, 80.0, "main")
    assert (found["UPS"].life, found["UPS"].age) == (48, 0)


@pytest.mark.parametrize(
    ("column", "text", "expected"),
    [
        ("endurance", "600 TB", 600.0),
        ("endurance", "0.6 PB", 600.0),
        ("endurance", "600 TiB", 659.706976665600),
        ("endurance", "500 GB", 0.5),
        ("endurance", "512 GiB", 0.549755813888),
        ("endurance", "4800 Tbit", 600.0),
        ("endurance", "0,5 TB", 0.5),
        ("written", "15 GB/d", 15.0),
        ("written", "1 TB/d", 1000.0),
        ("written", "1 TiB/d", 1099.511627776),
        ("written", "1 MB/s", 86.4),
        ("written", "0", 0.0),
        ("written", "7 GB/week", None),
        ("written_before", "0,25 TB", 0.25),
        ("written_before", "100 GiB", 0.1073741824),
        ("claim", "9 EUR", 9.0),
        ("claim", "10 USD", 9.2),
        ("claim", "8,50 EUR", 8.5),
        ("warranty", "2.5 years", 30),
        ("warranty", "24 months", 24),
        ("life", "3 years", 36),
        ("life", "42 months", 42),
    ],
)
def test_a_value_to_the_digit(tmp_path: Path, column: str, text: str, expected: float | None) -> None:
    cells = {"endurance": "700 TB", "warranty": "3 years", column: text}
    order = ("endurance", "written", "written_before", "claim", "warranty", "life")
    head = ",".join(one.replace("_", " ") for one in order)
    row = ",".join(f'"{cells.get(one, "")}"' for one in order)
    servers = f"part,quantity,price [EUR],{head}\ncase,1,9,{row}\n"
    if expected is None:
        with pytest.raises(StudyError, match="written"):
            read(tmp_path, servers=servers)
        return
    assert getattr(read(tmp_path, servers=servers)["case"], column) == pytest.approx(expected, rel=1e-15)


@pytest.mark.parametrize(
    "cells",
    [
        "1,9,,,4 years,,,,,,,",  # a life
        "1,9,3 years,,4 years,,,,,,,",  # a life that goes on
        "1,0,,,4 years,,,,,,,new\nnew,0,9,,,,,,,,,,",  # free, and what replaces it has a price
        "1,0,,,,80 TB,,,,,,",  # free, with an endurance that nothing reaches
        "1,0,,,,80 TB,0,,,,,",
        "1,9,,,,80 TB,5 GB/d,79.9 TB,,,,",
        "1,9,,,,80 TB,,0 TB,,,,",
        "1,9,,,,,,0,,,,",  # nothing written before, and no endurance
        "1,9,,,,,,,,,0,",  # a claim that costs nothing, and no warranty
        "1,9,,,,,,,,2 years,0,",
        "1,9,,,,,,,,2 years,9 EUR,",
        "1,9,,,,,5 GB/d,,,,,new\nnew,0,9,,,,80 TB,,,,,,",  # what is written wears what takes its place
    ],
)
def test_what_is_in_order(tmp_path: Path, cells: str) -> None:
    assert "case" in read(tmp_path, **part(cells))


def test_written_takes_the_place_of_a_share_of_the_pool(tmp_path: Path) -> None:
    minis = MINIS.replace("600 TB,,,,,fast", "600 TB,15 GB/d,,,,fast")
    found = read(tmp_path, minis=minis)["fast drive"]
    assert (found.written, found.pool) == (15.0, "fast")


def test_a_free_drive_whose_pool_is_not_known_to_be_written_to(tmp_path: Path) -> None:
    minis = MINIS.replace("99.50,8 W,2 years,drives,drive 8 TB new,,,,", "0,8 W,2 years,,,,,90 TB,")
    found = read(
        tmp_path, minis=minis.replace("log drive,,1,90", "log drive,,1,0"), pools=POOLS.replace("60 GB/d", "")
    )
    assert found["drive 8 TB"].price == 0


def test_the_same_from_a_workbook(tmp_path: Path) -> None:
    folder = load(write_study(tmp_path / "s", **GOOD))
    cells = {("minis", "J4"): "9 EUR", ("minis", "K5"): "600 TB"}
    book = load(write_book(tmp_path / "s.xlsx", cells, tables={**TABLES, **GOOD}))
    assert book.scenarios == folder.scenarios


@pytest.mark.parametrize("rows", ["", "spares confidence,95 %,,\nspares lead time,10 d,,\n"])
def test_spares_both_or_none(tmp_path: Path, rows: str) -> None:
    extra = load(write_study(tmp_path, study=STUDY + rows), line_inputs()).settings.extra
    stated = extra["spares_confidence"], extra["spares_lead_time"]
    assert stated == ((0.95, 240.0) if rows else (None, None))


@pytest.mark.parametrize(
    ("rows", "line", "words"),
    [
        (("confidence,95 %",), 13, "spares confidence: needs 'spares lead time' as well, such as '10 d'"),
        (("lead time,10 d",), 13, "spares lead time: needs 'spares confidence' as well, such as '95 %'"),
        (("confidence,100 %", "lead time,10 d"), 13, "100 %: no number of spares is certain to be enough"),
        (("confidence,120 %", "lead time,10 d"), 13, "spares confidence: 120 % is above 100 %"),
        (("confidence,0 %", "lead time,10 d"), 13, "0 %: that needs no spares"),
        (("confidence,-5 %", "lead time,10 d"), 13, "spares confidence: -5 % is below 0 %"),
        (("confidence,95", "lead time,10 d"), 13, "spares confidence: '95' could be 95 % or 9500 %"),
        (("confidence,95 %", "lead time,0 d"), 14, "spares lead time: 0 h; write how long"),
        (("confidence,95 %", "lead time,-1 d"), 14, "spares lead time: -24 h is below 0 h"),
        (("confidence,95 %", "lead time,2 months"), 14, "write it in days"),
    ],
)
def test_a_slip_about_spares(tmp_path: Path, rows: tuple[str, ...], line: int, words: str) -> None:
    study = STUDY + "".join(f"spares {row},,\n" for row in rows)
    with pytest.raises(StudyError) as caught:
        load(write_study(tmp_path, study=study), line_inputs())
    ((place, message),) = caught.value.found
    assert str(place) == f"study.csv:{line}:2"
    assert words in message


def test_no_settings_for_spares(tmp_path: Path) -> None:
    with pytest.raises(StudyError, match="setting 'spares confidence' is unknown"):
        load(write_study(tmp_path, study=STUDY + "spares confidence,95 %,,\n"))


# The horizon asked for

YEARS = "".join(f"forecast,{year},1.0{year}\n" for year in range(1, 6))
PATH: dict[str, Any] = {
    "paths": "path,year,index\n" + YEARS,
    "tariffs": "tariff,start,price,path\nhousehold,2026-01,0.31 EUR/kWh,forecast\n",
}


@pytest.mark.parametrize("months", [60, 61, 96, 600])
def test_another_horizon(tmp_path: Path, months: int) -> None:
    study = load(write_study(tmp_path), horizon=months)
    assert study.settings.horizon == months
    assert study.settings.discount == 0.03


def test_the_horizon_of_the_study_if_none_is_asked_for(tmp_path: Path) -> None:
    assert load(write_study(tmp_path)).settings.horizon == 60


def slips(folder: Path, months: int) -> list[str]:
    """What loading a study with another horizon tells."""
    with pytest.raises(StudyError) as caught:
        load(folder, horizon=months)
    return [f"{place}: {message}" for place, message in caught.value.found]


def test_months_lie_within_the_horizon_asked_for(tmp_path: Path) -> None:
    assert slips(write_study(tmp_path), 30) == [
        "minis.csv:3:7: leaves: month 36 lies after the horizon of 30 months",
        "one_offs.csv:3:3: month: month 60 lies after the horizon of 30 months",
    ]


def test_paths_reach_the_horizon_asked_for(tmp_path: Path) -> None:
    folder = write_study(tmp_path, **PATH)
    assert load(folder, horizon=60).paths
    (told,) = slips(folder, 61)
    assert told.startswith("paths.csv:6:2: path 'forecast' ends with year 5, the horizon of 61 months with year 6")


def test_what_lies_beyond_the_study_may_lie_within_the_horizon_asked_for(tmp_path: Path) -> None:
    folder = write_study(tmp_path, one_offs=("60", "70"))
    with pytest.raises(StudyError, match="month 70 lies after the horizon of 60 months"):
        load(folder)
    assert load(folder, horizon=70).settings.horizon == 70


@pytest.mark.parametrize(
    ("months", "words"), [(0, "below 1 month"), (-12, "below 1 month"), (601, "above 600 months")]
)
def test_a_horizon_that_cannot_be(tmp_path: Path, months: int, words: str) -> None:
    assert any(told.startswith("horizon: ") and words in told for told in slips(write_study(tmp_path), months))


def test_a_study_without_a_horizon_of_its_own_is_still_told(tmp_path: Path) -> None:
    assert any("horizon" in told for told in slips(write_study(tmp_path, study=("horizon,5 years", "horizon,5")), 24))
