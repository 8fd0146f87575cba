"""A workbook whose sheets are the tables gives the study that the folder gives."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tco.errors import Place, StudyError
from tco.read import load
from tests.read.corpus_delivery import GOOD as DELIVERY
from tests.studies import TABLES, write_study


def write_book(
    path: Path,
    cells: dict[tuple[str, str], Any] | None = None,
    formats: dict[tuple[str, str], str] | None = None,
    titles: dict[str, str] | None = None,
    tables: Mapping[str, Any] = TABLES,
) -> Path:
    """The good study as a workbook, single cells changed: `{("tariffs", "C2"): 0.31}`; sheets renamed at the end."""
    book = openpyxl.Workbook()
    book.active.title = "Sheet1"
    for name, content in tables.items():
        sheet = book.create_sheet(name)
        for row in csv.reader(io.StringIO(content)):
            sheet.append([cell or None for cell in row])
    for (name, cell), value in (cells or {}).items():
        book[name][cell] = value
    for (name, cell), code in (formats or {}).items():
        book[name][cell].number_format = code
    for name, title in (titles or {}).items():
        book[name].title = title
    book.save(path)
    return path


def problems(path: Path) -> list[tuple[Place, str]]:
    """What loading a workbook tells."""
    with pytest.raises(StudyError) as caught:
        load(path)
    return list(caught.value.found)


def test_the_same_study_as_from_the_folder(tmp_path: Path) -> None:
    folder, book = load(write_study(tmp_path / "s")), load(write_book(tmp_path / "s.xlsx"))
    assert book.settings == folder.settings
    assert book.scenarios == folder.scenarios
    assert (book.tariffs, book.failures, book.resale) == (folder.tariffs, folder.failures, folder.resale)


def test_the_same_with_what_builds_deliver(tmp_path: Path) -> None:
    folder = load(write_study(tmp_path / "s", **DELIVERY))
    tables = {name: content for name, content in {**TABLES, **DELIVERY}.items() if content is not None}
    book = load(write_book(tmp_path / "s.xlsx", tables=tables))
    assert book.scenarios == folder.scenarios
    assert book.needs == folder.needs
    assert (book.sites, book.settings) == (folder.sites, folder.settings)
    assert folder.scenarios[0].pools
    assert folder.scenarios[0].stands
    assert folder.scenarios[2].stated
    assert folder.needs


def test_stored_needs_and_schemes(tmp_path: Path) -> None:
    tables = {name: content for name, content in {**TABLES, **DELIVERY}.items() if content is not None}
    cells = {
        ("pools", "F2"): 0.75, ("pools", "C2"): 3.0, ("needs", "B5"): 2, ("needs", "B4"): True, ("needs", "B3"): 0.04,
        ("minis", "K3"): True, ("scenarios", "G2"): 0.9,
    }  # fmt: skip
    formats = {("pools", "F2"): "0%", ("needs", "B3"): "0.0%"}
    study = load(write_book(tmp_path / "s.xlsx", cells, formats, tables=tables))
    pool = study.scenarios[0].pools[0]
    assert (pool.copies, pool.fill_limit, study.scenarios[0].power_factor) == (3, 0.75, 0.9)
    assert study.scenarios[0].parts[1].system
    assert study.needs
    assert (study.needs.node_losses, study.needs.hold_data, study.needs.usable_growth) == (2, True, 0.04)


def test_stored_numbers_dates_and_percentages(tmp_path: Path) -> None:
    cells = {
        ("study", "B7"): 0.045, ("study", "B4"): datetime(2026, 12, 1), ("tariffs", "B3"): datetime(2027, 7, 1),
        ("tariffs", "C1"): "price [EUR/kWh]", ("tariffs", "C2"): 1.234, ("tariffs", "C3"): 0.33,
        ("scenarios", "C2"): True, ("minis", "C2"): 6.0,
    }  # fmt: skip
    study = load(write_book(tmp_path / "s.xlsx", cells, {("study", "B7"): "0.0%"}))
    assert study.settings.discount == 0.045
    assert [version.price for version in study.tariffs["household"]] == [1.234, 0.33]
    assert study.scenarios[0].baseline
    assert study.scenarios[0].parts[0].quantity == 6


def test_places_name_the_sheet(tmp_path: Path) -> None:
    ((place, message),) = problems(write_book(tmp_path / "s.xlsx", {("tariffs", "C3"): "abc"}))
    assert str(place) == "s.xlsx/tariffs:3:3"
    assert "'abc' is not a number" in message


def test_a_formula_without_a_stored_result(tmp_path: Path) -> None:
    found = problems(write_book(tmp_path / "s.xlsx", {("minis", "D2"): "=100+29"}))
    assert any(str(place) == "s.xlsx/minis:2:4" and "without a stored result" in text for place, text in found)


def test_a_failed_formula(tmp_path: Path) -> None:
    found = problems(write_book(tmp_path / "s.xlsx", {("minis", "D2"): "#DIV/0!"}))
    assert any(str(place) == "s.xlsx/minis:2:4" and "#DIV/0!" in text for place, text in found)


def test_a_sheet_nobody_asked_for(tmp_path: Path) -> None:
    ((place, message),) = problems(write_book(tmp_path / "s.xlsx", {("Sheet1", "A1"): "remarks"}))
    assert str(place) == "s.xlsx/Sheet1"
    assert "no table" in message


def test_no_study_sheet(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active["A1"] = "x"
    book.save(tmp_path / "s.xlsx")
    assert (Place("s.xlsx/study"), "this table is missing") in problems(tmp_path / "s.xlsx")


def test_a_text_file_renamed(tmp_path: Path) -> None:
    (tmp_path / "s.xlsx").write_text("setting,value\n")
    ((place, message),) = problems(tmp_path / "s.xlsx")
    assert place == Place(str(tmp_path / "s.xlsx"))
    assert "no readable .xlsx workbook" in message


def test_a_bomb_is_measured_before_it_is_unpacked(tmp_path: Path) -> None:
    write_book(tmp_path / "s.xlsx")
    with zipfile.ZipFile(tmp_path / "s.xlsx", "a", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/worksheets/more.xml", b" " * 30_000_000)
    assert (tmp_path / "s.xlsx").stat().st_size < 1_000_000
    ((_, message),) = problems(tmp_path / "s.xlsx")
    assert "too large" in message


def test_entities_are_refused(tmp_path: Path) -> None:
    with zipfile.ZipFile(write_book(tmp_path / "s.xlsx"), "a") as packed:
        packed.writestr("xl/more.xml", b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aa">]><x/>')
    assert "entities" in problems(tmp_path / "s.xlsx")[0][1]


def test_a_row_number_beyond_any_sheet(tmp_path: Path) -> None:
    write_book(tmp_path / "s.xlsx")
    with zipfile.ZipFile(tmp_path / "s.xlsx") as packed:
        parts = {name: packed.read(name) for name in packed.namelist()}
    parts["xl/worksheets/sheet7.xml"] = parts["xl/worksheets/sheet7.xml"].replace(
        b'<row r="3"', b'<row r="99999999999"'
    )
    with zipfile.ZipFile(tmp_path / "t.xlsx", "w") as packed:
        for name, content in parts.items():
            packed.writestr(name, content)
    assert any("damaged" in message for _, message in problems(tmp_path / "t.xlsx"))


def test_a_sheet_with_too_many_columns(tmp_path: Path) -> None:
    found = problems(write_book(tmp_path / "s.xlsx", {("tariffs", "ZZ2"): "x"}))
    assert any("columns" in message for _, message in found)
