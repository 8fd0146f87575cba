"""Ranges in studies without fault: which inputs they mean, and their ends to the last digit."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tco.cell import Cell
from tco.errors import StudyError
from tco.model.build import build, line_inputs
from tco.places import data_folder
from tco.read import load
from tco.read import study as study_reader
from tco.read.found import Found
from tco.read.inputs import Spot
from tco.read.problems import Problems
from tco.read.quantities import Money
from tco.read.ranges import RangeReader
from tco.study import Part, Range, Settings, Study
from tests.random_studies import random_study
from tests.read.corpus_delivery import GOOD as DELIVERY
from tests.read.corpus_electricity import GOOD as ELECTRICITY
from tests.read.corpus_failing import BOTH, GOOD, MINIS, SHARED, TWO_NODES, ranged
from tests.read.corpus_prices import FOLLOWING
from tests.read.test_xlsx import write_book
from tests.studies import STUDY, TABLES, Change, write_study

REAL = STUDY.replace("discount,3 %", "discount,3 % real") + "inflation,2 %,,\n"


def ranges(tmp_path: Path, *rows: str, **changes: Change) -> list[tuple[str, float, float, bool]]:
    """Input, ends and whether they are factors, of the ranges in a study without fault."""
    study = load(write_study(tmp_path, **{**GOOD, "ranges": ranged(*rows), **changes}))
    return [(one.input, one.least, one.greatest, one.is_factor) for one in study.ranges]


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        ("price of UPS,,100 EUR,150 EUR", ("price of UPS", 100.0, 150.0, False)),
        ('price of UPS,,"100,5 EUR","150,25 EUR"', ("price of UPS", 100.5, 150.25, False)),
        ("price of UPS,,100 USD,200 USD", ("price of UPS", 92.0, 184.0, False)),
        ("price of UPS,,140 EUR,140 EUR", ("price of UPS", 140.0, 140.0, False)),
        ("price of UPS,,100 %,100 %", ("price of UPS", 1.0, 1.0, True)),
        ("price of UPS,,57 %,103.5 %", ("price of UPS", 0.57, 1.035, True)),
        ('price of UPS,,"57,5 %","103,5 %"', ("price of UPS", 0.575, 1.035, True)),
        ("PRICE  of   ups,,80 percent,120%", ("price of UPS", 0.8, 1.2, True)),
        ("price of UPS,,0 EUR,150 EUR", ("price of UPS", 0.0, 150.0, False)),
        ("price of UPS,,0,150 EUR", ("price of UPS", 0.0, 150.0, False)),
        ("busy of mini PC,,0.02 kW,0.03 kW", ("busy of mini PC", 20.0, 30.0, False)),
        ("capacity of drive 8 TB,,7 TiB,9000 GB", ("capacity of drive 8 TB", 7.696581394432, 9.0, False)),
        ("discount,,0.5 %,4.25 %/year", ("discount", 0.005, 0.0425, False)),
        ("discount,,-1 %,4 % nominal", ("discount", -0.01, 0.04, False)),
        ("Electricity Price,,80 %,150 %", ("electricity price", 0.8, 1.5, True)),
        ("failure rate,,0 %,10000 %", ("failure rate", 0.0, 100.0, True)),
        ("failure rate of  Small things,,50 %,200 %", ("failure rate of small things", 0.5, 2.0, True)),
        ("resale,,50 %,130 %", ("resale", 0.5, 1.3, True)),
        ("busy share of minis,,5 %,10 %", ("busy share of minis", 0.05, 0.1, False)),
        ("tax,,20 %,22 %", ("tax", 0.2, 0.22, False)),
        ("upkeep of servers,,90 min/month,3 h/month", ("upkeep of servers", 1.5, 3.0, False)),
        ("growth of household from 2027-07,,0 %,3 %", ("growth of household from 2027-07", 0.0, 0.03, False)),
        ("growth of household from 2026-01,,-1 %,1 %", ("growth of household from 2026-01", -0.01, 0.01, False)),
        ("amount of rack sold in month 60,,-60 EUR,-9 EUR", ("amount of rack sold in month 60", -60.0, -9.0, False)),
        ("amount of rack sold in month 60,,50 %,150 %", ("amount of rack sold in month 60", 0.5, 1.5, True)),
        ("share of fair at 36 months,,35 %,45 %", ("share of fair at 36 months", 0.35, 0.45, False)),
        ("amount per TB of storage,,5 EUR/TB/month,6 EUR/TB/month", ("amount per TB of storage", 5.0, 6.0, False)),
        ("shipping of UPS,,0 EUR,9 EUR", ("shipping of UPS", 0.0, 9.0, False)),
        ("claim of drive 8 TB new,,50 %,150 %", ("claim of drive 8 TB new", 0.5, 1.5, True)),
    ],
)  # fmt: skip
def test_a_range(tmp_path: Path, row: str, expected: tuple[str, float, float, bool]) -> None:
    assert ranges(tmp_path, row) == [expected]


def test_ends_that_are_what_the_study_says_but_for_rounding_are_that(tmp_path: Path) -> None:
    price = TABLES["exchange"].replace("0.92", "0.7")
    (found,) = ranges(tmp_path, "price of UPS,,200 USD,200 USD", exchange=price)  # 200 x 0.7 is 140 and not quite
    assert found == ("price of UPS", 140.0, 140.0, False)
    assert ranges(tmp_path / "2", "price of UPS,,140.00000000001 EUR,150 EUR")[0][1] == 140.0


def test_thousands_are_settled_by_the_other_numbers_of_the_file(tmp_path: Path) -> None:
    rows = ('price of UPS,,"99,5 EUR","1.234 EUR"', 'discount,,"2,5 %",4 %')
    assert ranges(tmp_path, *rows)[0] == ("price of UPS", 99.5, 1234.0, False)


def test_a_range_in_the_money_in_which_the_study_says_the_input(tmp_path: Path) -> None:
    (found,) = ranges(tmp_path, "discount,,1 % real,5 % real", study=REAL)
    assert found == ("discount", 0.01, 0.05, False)


def test_a_percentage_of_what_is_said_in_the_other_money(tmp_path: Path) -> None:
    one_offs = "scenario,what,month,amount\nservers,rack sold,60,-40 EUR real\n"
    (found,) = ranges(tmp_path, "amount of rack sold in month 60,,80 %,120 %", study=REAL, one_offs=one_offs)
    assert found == ("amount of rack sold in month 60", 0.8, 1.2, True)


def test_one_range_for_each_scenario(tmp_path: Path) -> None:
    more: dict[str, Change] = {"scenarios": SHARED, "nodes": TWO_NODES, "pools": BOTH, "servers": None}
    rows = "price of UPS,minis,80 %,120 %", "price of UPS,servers,90 %,130 %"
    found = load(write_study(tmp_path, **{**GOOD, **more, "ranges": ranged(*rows)})).ranges
    assert [(one.scenario, one.least, one.greatest) for one in found] == [("minis", 0.8, 1.2), ("servers", 0.9, 1.3)]


def test_one_range_for_cells_that_differ(tmp_path: Path) -> None:
    servers = "part,quantity,price [EUR]\nups,1,30\nUPS,1,30\n"
    assert ranges(tmp_path, "price of UPS,,80 %,120 %", servers=servers) == [("price of UPS", 0.8, 1.2, True)]
    (found,) = ranges(tmp_path / "2", "price of UPS,,30 EUR,140 EUR", servers=servers)
    assert found == ("price of UPS", 30.0, 140.0, False)
    rows = "price of UPS,servers,20 EUR,30 EUR", "price of UPS,minis,100 EUR,150 EUR"
    assert [one[1:3] for one in ranges(tmp_path / "3", *rows, servers=servers)] == [(20.0, 30.0), (100.0, 150.0)]


def test_cells_in_two_kinds_of_money(tmp_path: Path) -> None:
    more = {
        "study": STUDY + "inflation,2 %,,\n",
        "servers": "part,quantity,price [EUR],price trend\nUPS,1,30,-3 % real\n",
    }
    with pytest.raises(StudyError) as caught:
        ranges(tmp_path, "price trend of UPS,,-9 %,1 %", **more)
    said = "the study says it in nominal money (minis.csv:7) and in real money (servers.csv:2:4); name the scenario"
    assert [message.split(": ", 2)[2] for _, message in caught.value.found] == [said, said]
    assert ranges(tmp_path / "2", "price trend of UPS,minis,-9 %,1 %", **more)[0][1:3] == (-0.09, 0.01)
    assert ranges(tmp_path / "3", "price trend of UPS,servers,-9 % real,1 % real", **more)[0][1:3] == (-0.09, 0.01)


def test_a_whole_kind_and_one_of_it(tmp_path: Path) -> None:
    """The factor comes on top of what the one is."""
    rows = "failure rate,,80 %,120 %", "failure rate of drives,,50 %,200 %"
    rows += "price of household from 2026-01,,0.3 EUR/kWh,0.4 EUR/kWh", "electricity price,,80 %,120 %"
    found = ranges(tmp_path, *rows)
    assert [one[0] for one in found] == [row.split(",")[0] for row in rows]


def test_what_follows_in_one_scenario_varies_in_the_other(tmp_path: Path) -> None:
    servers = "part,quantity,price [EUR],idle [W]\nmini PC,1,30,5\n"
    assert ranges(tmp_path, "busy of mini PC,,20 W,30 W", servers=servers) == [("busy of mini PC", 20.0, 30.0, False)]


def test_no_ranges(tmp_path: Path) -> None:
    assert load(write_study(tmp_path)).ranges == ()
    assert load(write_study(tmp_path / "2", **{**GOOD, "ranges": ranged()})).ranges == ()


def test_a_range_keeps_its_source_and_places(tmp_path: Path) -> None:
    row: Range = load(write_study(tmp_path, **GOOD)).ranges[0]
    assert row.source == "two forecasts"
    assert (str(row.places["low"]), row.low) == ("ranges.csv:2:3", "80 %")


def test_a_workbook_stores_percentages_and_numbers(tmp_path: Path) -> None:
    factors = SHARED.replace("servers,,minis.csv", "servers,,servers.csv").replace("upkeep", "power factor")
    factors = factors.replace("1 h/month", "0.875").replace("2 h/month", "")
    tables: dict[str, Any] = {
        **TABLES, **GOOD, "scenarios": factors,
        "ranges": ranged("price of UPS,,x,x", "discount,,x,x", "power factor of minis,,x,x"),
    }  # fmt: skip
    cells = {
        ("ranges", "C2"): 0.825, ("ranges", "D2"): 1.5, ("ranges", "C3"): 0.01234, ("ranges", "D3"): 0.05,
        ("ranges", "C4"): 0.125, ("ranges", "D4"): 0.875,
    }  # fmt: skip
    formats = dict.fromkeys([("ranges", "C2"), ("ranges", "D2"), ("ranges", "C3"), ("ranges", "D3")], "0.0%")
    found = load(write_book(tmp_path / "s.xlsx", cells, formats, tables=tables)).ranges
    ends = [(one.least, one.greatest, one.is_factor) for one in found]
    assert ends == [(0.825, 1.5, True), (0.01234, 0.05, False), (0.125, 0.875, False)]


def test_the_same_ranges_from_a_workbook(tmp_path: Path) -> None:
    folder = load(write_study(tmp_path / "s", **GOOD))
    book = load(write_book(tmp_path / "s.xlsx", tables={**TABLES, **GOOD}))
    assert book.ranges == folder.ranges
    assert len(folder.ranges) == 7


@pytest.mark.parametrize(
    ("change", "files"),
    [
        ({"minis": None}, ["scenarios.csv"]),
        ({"minis": b"PK\x03\x04"}, ["minis.csv"]),
        ({"failures": b"PK\x03\x04"}, ["failures.csv"]),
        ({"resale": TABLES["resale"].replace("share", "shere")}, ["resale.csv"]),
        ({"minis": MINIS.replace("UPS,,1,140", "UPS,,1,cheap")}, ["minis.csv"]),
        ({"scenarios": str(GOOD["scenarios"]).replace("household,10", "houshold,10")}, ["scenarios.csv"]),
        ({"study": STUDY.replace("3 %", "3")}, ["study.csv"]),
        ({"study": STUDY.replace("currency,EUR", "currency,Euro")}, ["study.csv"]),
        ({"ranges": ranged("price of UPS,,80 %,120 %").replace("low", "lo")}, ["ranges.csv"]),
    ],
)  # fmt: skip
def test_what_is_amiss_elsewhere_is_told_there_only(
    tmp_path: Path, change: dict[str, Change], files: list[str]
) -> None:
    rows = ranged("price of UPS,,80 EUR,190 EUR", "failure rate of drives,,50 %,200 %", "resale,,80 %,120 %",
                  "electricity price,,80 %,120 %", "discount,,1 %,5 %")  # fmt: skip
    with pytest.raises(StudyError) as caught:
        load(write_study(tmp_path, **{**GOOD, "ranges": rows, **change}), reference=tmp_path / "none")
    assert sorted({place.file for place, _ in caught.value.found}) == files, caught.value.found
    assert len(caught.value.found) == 1


def test_inputs_that_cost_lines_add(tmp_path: Path) -> None:
    insurance = Cell("share", "yearly premium", "1 %", default=0.0, least=0.0, most=1.0, live=True)
    study = write_study(
        tmp_path, **{**GOOD, "study": STUDY + "insurance,2 %,,\n", "ranges": ranged("insurance,,1 %,3 %")}
    )
    (found,) = load(study, {Settings: {"insurance": insurance}}).ranges
    assert (found.least, found.greatest) == (0.01, 0.03)


def found_of(folder: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Study, RangeReader]:
    """A study, and what the reader of ranges makes of its inputs."""
    seen: list[RangeReader] = []

    def look(found: Found, extra: Any, money: Money, _: Problems) -> tuple[Range, ...]:
        seen.append(RangeReader(found, extra, money, Problems()))
        return ()

    monkeypatch.setattr(study_reader, "read_ranges", look)
    return load(folder, line_inputs()), seen[0]


def spots(reader: RangeReader) -> Iterator[Spot]:
    """Every cell of the study that has a name, whether or not it can have a range."""
    for owner in reader.names.owners:
        yield from (Spot(owner, *column) for column in reader.names.columns_of(type(owner.row)).values())


def by_scenario(spot: Spot) -> list[str]:
    """The scenarios that have a cell; the empty name where all share it."""
    return list(spot.owner.scenarios) or [""]


GOODS: dict[str, dict[str, Change]] = {
    "small": {}, "failing": GOOD, "delivery": DELIVERY, "electricity": ELECTRICITY, "paths": dict(FOLLOWING),
}  # fmt: skip


@pytest.mark.parametrize("name", ["demo", "small study", *GOODS, *range(24)], ids=str)
def test_ranges_know_the_inputs_of_the_model(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str | int
) -> None:
    """What a range may name, and what the study says there, is what the model has as live inputs, cell by cell."""
    if isinstance(name, int):
        folder = random_study(name, tmp_path / "s")
    elif name in GOODS:
        folder = write_study(tmp_path / "s", **{**GOODS[name], "ranges": None})
    else:
        folder = data_folder() / name.split()[0]
    study, reader = found_of(folder, monkeypatch)
    inputs = {
        (column.table.scenario, column.inputs[row], float(column.values[row]))  # type: ignore[index]
        for column, row, _ in build(study).model.inputs()
    }
    fine = [spot for spot in spots(reader) if not reader.why_not(spot)]
    mine = {(scenario, spot.name, float(spot.value or 0.0)) for spot in fine for scenario in by_scenario(spot)}
    assert len(mine) > 20
    assert mine <= inputs
    counts = {spot.name for spot in spots(reader) if spot.cell.kind == "whole"}
    pathless = {spot.name for spot in spots(reader) if spot.path}
    # Empty claims and shares of kWh have a value in the model, which a person has not stated.
    unsaid = {spot.name for spot in spots(reader) if spot.field in ("claim", "kWh_share") and spot.value is None}
    assert {one for one in inputs - mine if one[1] not in counts | pathless | unsaid} == set()


def test_every_input_can_have_a_range(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _, reader = found_of(write_study(tmp_path / "s", **{**GOOD, "ranges": None}), monkeypatch)
    fine = [spot for spot in spots(reader) if not reader.why_not(spot)]
    names = list(dict.fromkeys(spot.name for spot in fine))
    monkeypatch.undo()
    for start in range(0, len(names), 150):
        rows = [f"{name},,100 %,100 %" for name in names[start : start + 150] if takes_percent(fine, name)]
        found = ranges(tmp_path / str(start), *rows)
        assert [one[0] for one in found] == [row.split(",")[0] for row in rows]


def takes_percent(fine: list[Spot], name: str) -> bool:
    """Whether an input is written in % of what the study says: amounts that are not 0."""
    mine = [spot for spot in fine if spot.name == name]
    return mine[0].cell.kind == "number" and any(spot.value for spot in mine)


def test_no_part_is_left_out_of_the_search_for_what_was_meant(tmp_path: Path) -> None:
    parts = "part,quantity,price [EUR]\n" + "".join(f"drive number {n},1,9\n" for n in range(90))
    with pytest.raises(StudyError, match="did you mean 'price of drive number 77'"):
        ranges(tmp_path, "price of drive numbr 77,,80 %,120 %", servers=parts)


def test_a_part_of_the_type_that_a_cost_line_extends(tmp_path: Path) -> None:
    padding = Cell("number", "padding of one", "2 EUR", unit="{money}", default=0.0, least=0.0, live=True)
    servers = "part,quantity,price [EUR],padding\ncase,1,30,5 EUR\n"
    study = write_study(tmp_path, **{**GOOD, "servers": servers, "ranges": ranged("padding of case,,4 EUR,6 EUR")})
    (found,) = load(study, {Part: {"padding": padding}}).ranges
    assert (found.least, found.greatest) == (4.0, 6.0)
