"""One cell of each kind, and its unit."""

from __future__ import annotations

from dataclasses import fields
from datetime import date
from typing import Any

import pytest

from tco.cell import Cell
from tco.read.column import Column
from tco.read.problems import Refused
from tco.read.quantities import Money, conversion, known_unit
from tco.read.values import READERS, value
from tco.study import (
    Charge,
    EfficiencyPoint,
    FailurePoint,
    Fee,
    Holiday,
    HomeUse,
    Node,
    OneOff,
    Part,
    PathPoint,
    Period,
    ResalePoint,
    Row,
    Scenario,
    Settings,
    ShapePoint,
    Site,
    Version,
)

EURO = Money("EUR", {"USD": 0.92})


def read(kind: str, text: str, unit: str = "", header: str = "", **more: Any) -> Any:
    """The value of one cell in a study in euro."""
    return value(text, Column("x", Cell(kind, "", "7", unit=unit, **more), unit=header), EURO)


@pytest.mark.parametrize(
    ("text", "unit", "header", "expected"),
    [
        ("18 TB", "TB", "", 18),
        ("18 TiB", "TB", "", 19.791209299968),
        ("18000 GB", "TB", "", 18),
        ("8 Tbit", "TB", "", 1),
        ("0,31 EUR/kWh", "{money}/kWh", "", 0.31),
        ("310 EUR/MWh", "{money}/kWh", "", 0.31),
        ("35W", "W", "", 35),
        ("0.035 kW", "W", "", 35),
        ("35", "W", "W", 35),
        ("0.035 kW", "W", "W", 35),
        ("0", "W", "", 0),
        ("100 USD", "{money}", "", 92),
        ("100 USD", "{money}", "EUR", 92),
        ("100", "{money}", "USD", 92),
        ("1 USD/kWh", "{money}/kWh", "", 0.92),
        ("1.30 %/year", "1/year", "", 0.013),
        ("66 EUR/TB/year", "{money}/TB/month", "", 5.5),
        ("5.50 EUR/month/TB", "{money}/TB/month", "", 5.5),
        ("2.5 Gbit/s", "Mbit/s", "", 2500),
        ("0.92", "", "", 0.92),
        ("-40 EUR", "{money}", "", -40),
    ],
)
def test_a_number_arrives_in_its_columns_unit(text: str, unit: str, header: str, expected: float) -> None:
    assert read("number", text, unit, header) == pytest.approx(expected, rel=1e-14)


@pytest.mark.parametrize(
    ("kind", "text", "header", "expected"),
    [
        ("share", "3 %", "", 0.03),
        ("share", "3", "%", 0.03),
        ("share", "0", "", 0),
        ("growth", "-10 %", "", -0.1),
        ("growth", "2 %/year", "", 0.02),
        ("growth", "2", "%/year", 0.02),
        ("whole", "4", "", 4),
        ("whole", "4.0", "", 4),
        ("months", "5 years", "", 60),
        ("months", "60 months", "", 60),
        ("months", "1.5 y", "", 18),
        ("months", "2", "years", 24),
        ("months", "0", "", 0),
        ("months", "1 month", "", 1),
        ("month", "2026-12", "", date(2026, 12, 1)),
        ("month", "2026-12-01", "", date(2026, 12, 1)),
        ("date", "2028-02-29", "", date(2028, 2, 29)),
        ("currency", "CHF", "", "CHF"),
        ("zone", "Europe/Vienna", "", "Europe/Vienna"),
        ("yes", "YES", "", True),
        ("yes", "1", "", True),
        ("yes", "no", "", False),
        ("name", "  Küche ", "", "Küche"),
        ("name", "Ku\u0308che", "", "Küche"),
        ("text", "two\r\nlines", "", "two\nlines"),
        ("file", "lists/a.csv", "", "lists/a.csv"),
    ],
)
def test_a_cell_of_each_kind(kind: str, text: str, header: str, expected: Any) -> None:
    found = read(kind, text, header=header)
    assert found == expected
    assert type(found) is type(expected) or isinstance(found, float)


def test_choices_ignore_case_and_underscores() -> None:
    assert read("choice", "New_price  then", choices=("own price", "new price then")) == "new price then"


@pytest.mark.parametrize(
    ("kind", "text", "unit", "words"),
    [
        ("number", "5 EUR/PB^9/PB^9", "{money}", "money per data"),
        ("number", "5 CHF", "{money}", "no rate for CHF"),
        ("number", "5 USD*USD", "{money}", "money\\^2"),
        ("number", "5 h", "h/month", "clock time per calendar time"),
        ("number", "5 W", "1/year", "power"),
        ("number", "1e13 PB", "TB", "larger"),
        ("number", "5 Wats", "W", "'watt'"),
        ("number", "5 Mb/s", "Mbit/s", "MB/s"),
        ("number", "5 TB TB", "TB", "unknown"),
        ("number", "5 PB^9*PB^9*PB^9*PB^9", "TB", "unit|data"),
        ("number", "5 W; rm", "W", "unknown"),
        ("number", "5 %", "", "without unit"),
        ("months", "5", "", "'5 months' or '5 years'"),
        ("months", "5 h", "", "clock time"),
        ("name", "a\x07b", "", "U\\+0007"),
        ("name", "a\nb", "", "U\\+000A"),
        ("file", "C:/a.csv", "", "plain file"),
        ("file", "a//b.csv", "", "plain file"),
        ("zone", "vienna", "", "Europe/Vienna"),
        ("zone", "localtime", "", "unknown"),
        ("currency", "eur", "", "'EUR'"),
    ],
)
def test_a_refusal_says_why(kind: str, text: str, unit: str, words: str) -> None:
    with pytest.raises(Refused, match=words):
        read(kind, text, unit)


def test_money_of_an_unknown_currency_is_not_judged() -> None:
    found = value("129 XXX", Column("price", Cell("number", "", "", unit="{money}", least=0.0)), Money())
    assert found != found


def test_a_byte_is_no_bit() -> None:
    assert conversion("TB", "Tbit") == (8.0, "")


def every_cell() -> list[tuple[str, Cell]]:
    """Each definition of study.py, by name."""
    types: list[type[Row]] = [
        Settings, Scenario, Part, Node, Version, Fee, OneOff, FailurePoint, ResalePoint, PathPoint, Site, Charge,
        Period, Holiday, HomeUse, ShapePoint, EfficiencyPoint,
    ]  # fmt: skip
    return [
        (f"{kind.__name__}.{item.name}", item.metadata["cell"])
        for kind in types
        for item in fields(kind)
        if "cell" in item.metadata
    ]


@pytest.mark.parametrize(("name", "cell"), every_cell(), ids=lambda x: x if isinstance(x, str) else "")
def test_the_example_of_each_definition_can_be_read(name: str, cell: Cell) -> None:
    assert cell.kind in READERS, name
    value(cell.example, Column(name, cell), EURO)


@pytest.mark.parametrize(
    ("unit", "meant"),
    [
        ("TByte", "did you mean 'TB'?"),
        ("MByte/s", "did you mean 'MB/s'?"),  # never the bits of the same letter
        ("mB/s", "did you mean 'MB/s'?"),
        ("EUR/mWh", "did you mean 'EUR/MWh'?"),
        ("EUR per kWh", "did you mean 'EUR/kWh'?"),
        ("ct/kWh", "write 31 cents as 0.31 of the currency"),  # not percent
        ("weeks", "write 1 week as '7 d'"),
    ],
)
def test_what_is_probably_meant_by_a_unit(unit: str, meant: str) -> None:
    with pytest.raises(Refused) as caught:
        known_unit(unit)
    assert str(caught.value) == f"unit '{unit}' is unknown; {meant}"
