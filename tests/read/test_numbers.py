"""Numbers as people write them, and those that can be read two ways."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tco.read.grid import Stored
from tco.read.numbers import decimal_sign, number
from tco.read.problems import Refused


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("18", 18),
        ("0.31", 0.31),
        ("0,31", 0.31),
        (".5", 0.5),
        ("0,310", 0.31),
        ("0.310", 0.31),
        ("-4,5", -4.5),
        ("−4.5", -4.5),
        ("+2", 2),
        ("1e3", 1000),
        ("1.234e3", 1234),
        ("2.5E-1", 0.25),
        ("1 234", 1234),
        ("1\u00a0234\u00a0567", 1234567),
        ("1\u202f234,5", 1234.5),
        ("1'234.5", 1234.5),
        ("1’234’567", 1234567),
        ("1.234,5", 1234.5),
        ("1,234.5", 1234.5),
        ("1.234.567", 1234567),
        ("1234.567", 1234.567),
        ("12 345,678", 12345.678),
        ("1.000e0", 1),
        ("007", 7),
        ("-0", 0),
    ],
)
def test_a_number_with_one_reading(text: str, value: float) -> None:
    assert number(text, "") == (value, "")


@pytest.mark.parametrize(
    "text",
    ["", "abc", "1.2.3", "1,2,3", "12 34", "1 23", "1'23", "1'234 567", "--1", "1..2", ".", "-", "1.", "nan", "inf",
     "٣", "1,23.4", "(5)", "1.234,5.6"],
)  # fmt: skip
def test_no_number(text: str) -> None:
    with pytest.raises(Refused, match="not a number"):
        number(text, "")


@pytest.mark.parametrize("text", ["1,234", "1.234", "-12.345", "999,999"])
def test_two_readings_are_refused_with_both(text: str) -> None:
    with pytest.raises(Refused, match="could be"):
        number(text, "")
    thousands, fraction = number(text, "." if "," in text else ","), number(text, "," if "," in text else ".")
    assert thousands[0] == pytest.approx(1000 * fraction[0])


def test_what_the_message_advises_is_unambiguous() -> None:
    assert number("1.2340", "") == (1.234, "")
    assert number("1234", "") == (1234, "")


@pytest.mark.parametrize(
    ("texts", "sign"),
    [
        (["0,31 EUR", "1.234 W"], ","),
        (["12.5", "1,234"], "."),
        (["1,234", "5"], ""),
        (["0.31", "0,31"], ""),
        (["1.234.567"], ","),
        (["35,5W", "x", ""], ","),
        ([Stored("0.5"), "0,31"], ","),
    ],
)
def test_a_file_agrees_on_a_sign_or_not(texts: list[str], sign: str) -> None:
    assert decimal_sign(texts) == sign


def test_a_stored_number_has_a_point_whatever_the_texts_beside_it() -> None:
    assert number(Stored("1.234"), ",") == (1.234, "")


@pytest.mark.parametrize(
    ("text", "unit"), [("35W", "W"), ("0.31 EUR/kWh", "EUR/kWh"), ("9 %", "%"), ("5 years", "years")]
)
def test_what_follows_is_the_unit(text: str, unit: str) -> None:
    assert number(text, "")[1] == unit


@given(st.floats(min_value=-1e14, max_value=1e14).map(lambda x: round(x, 4)))
def test_four_decimals_are_read_back_with_either_sign(value: float) -> None:
    text = f"{value:.4f}"
    assert number(text, "")[0] == number(text.replace(".", ","), "")[0] == value


@given(st.text(alphabet="0123456789.,'’ +-−eE\u00a0W%", max_size=30))
def test_any_text_is_a_finite_number_or_refused(text: str) -> None:
    try:
        value, _ = number(text, "")
    except Refused:
        return
    assert abs(value) <= 1e15
