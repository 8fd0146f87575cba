"""Text in lines that fit: wide characters, tables that turn on a narrow screen, numbers rounded alike everywhere."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

import pytest
import wcwidth
from hypothesis import given
from hypothesis import strategies as st

from tco.write.fixed import fixed, percent
from tco.write.lines import left, listed, page, table, wide, wrapped
from tco.write.screen import typed, width

ROWS = [
    ("quiet minis", ["1", "22"]),
    ("静かな小型機", ["333", "4,444"]),
    "not ranked:",
    ("e\u0301te\u0301", ["5", "6"]),
]


@pytest.fixture
def columns(monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> int:
    monkeypatch.setenv("COLUMNS", str(request.param))
    return int(request.param)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [(None, 80), ("", 80), ("x", 80), ("0", 80), ("-5", 80), ("²", 80), ("10", 40), ("72", 72), ("500", 120)],
)
def test_how_wide_lines_may_be(said: str | None, wanted: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("COLUMNS", raising=False)
    if said is not None:
        monkeypatch.setenv("COLUMNS", said)
    assert width() == wanted


def test_figures_stand_under_each_other_behind_wide_and_marked_letters() -> None:
    lines = table("EUR", ["low", "high"], ROWS)
    assert [wide(line) for line in lines] == [39, 39, 39, 39, 11, 39]
    assert lines[1] == "-" * 39
    assert lines[3].endswith("       333     4,444")


def test_a_name_that_is_too_long_stands_on_a_line_of_its_own() -> None:
    name = "a name of more than the seventy-nine columns that there are for all of the table together"
    lines = table("EUR", ["x"] * 6, [(name, list("123456"))])
    assert " ".join(lines[2:-1]).split() == name.split()
    assert lines[-1].split() == list("123456")
    assert max(map(len, lines)) <= 80


@pytest.mark.parametrize("columns", [40], indirect=True)
def test_a_table_that_does_not_fit_is_turned(columns: int) -> None:
    over = [("costs", 0), ("a month", 2), ("in all", 2)]
    lines = table("EUR", ["old", "new"] * 2, [("minis", ["1", "22", "333", "4,444"]), "not ranked:"], over)
    assert lines == [
        "costs, EUR",
        "-" * (columns - 1),
        "minis",
        "  a month",
        "    old      1",
        "    new     22",
        "  in all",
        "    old    333",
        "    new  4,444",
        "not ranked:",
    ]


@pytest.mark.parametrize("columns", [40, 80, 120], indirect=True)
def test_a_number_keeps_its_percent_and_its_error(columns: int) -> None:
    for before in range(1, columns):
        for tied in ("12 %", "1 +- 2"):
            lines = wrapped(f"{'x' * before} {tied} and more of it")
            assert any(tied in line for line in lines)
            assert max(map(len, lines)) <= columns


@given(st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "Zs", "So", "Mn")), max_size=300))
def test_wrapping_loses_nothing_and_fits(text: str) -> None:
    lines = wrapped(text)
    assert "".join("".join(lines).split()) == "".join(typed(text).split())
    assert all(wcwidth.width(line) <= 80 for line in lines)


@given(st.text(max_size=60), st.sampled_from(["ascii", "latin-1", "cp1252", "utf-8"]))
def test_any_text_can_be_shown_in_any_encoding(text: str, encoding: str) -> None:
    class Stream:
        pass

    Stream.encoding = encoding  # type: ignore[attr-defined]
    told = typed(text, Stream())  # type: ignore[arg-type]
    assert told.encode(encoding).decode(encoding) == told
    assert typed(told, Stream()) == told  # type: ignore[arg-type]


def test_a_file_name_that_is_no_text_can_be_shown() -> None:
    assert typed(b"a\xff".decode("utf-8", "surrogateescape")) == r"a\udcff"


def test_names_in_a_list_are_not_torn_apart() -> None:
    names = [f"hard drive {number} TB, new" for number in range(9)]
    lines = listed(names, "there are: ")
    assert all(any(name in line for line in lines) for name in names)
    assert max(map(len, lines)) <= 80


def test_a_page_has_the_answer_after_the_question_and_files_last() -> None:
    shown = page("What?", ["This.", "", "And that."], [["a", "b"], [], ["c"]], [])
    assert shown == "What?\n\nThis.\nAnd that.\n\na\nb\n\nc\n\nwritten:"
    assert page("What?", [], [["a"]]) == "What?\n\na"


HALVES = [(0.5, 0, "1"), (1.5, 0, "2"), (2.5, 0, "3"), (32.5, 0, "33"), (-0.5, 0, "-1"), (0.125, 2, "0.13"),
          (2.675, 2, "2.68"), (1.005, 2, "1.01"), (-0.4, 0, "0"), (-0.0, 2, "0.00"), (1234567.5, 0, "1,234,568"),
          (1e22, 0, "10,000,000,000,000,000,000,000")]  # fmt: skip


@pytest.mark.parametrize(("value", "digits", "told"), HALVES)
def test_halves_go_away_from_nothing(value: float, digits: int, told: str) -> None:
    assert fixed(value, digits) == told


@given(st.floats(-1e15, 1e15), st.integers(0, 6))
def test_a_number_is_rounded_as_its_digits_say(value: float, digits: int) -> None:
    wanted = Decimal(repr(value)).quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP)
    assert Decimal(fixed(value, digits).replace(",", "")) == wanted


def test_a_share_in_percent() -> None:
    assert percent(0.125) == "13 %"
    assert percent(-0.0333, 1, "−") == "−3.3 %"


def test_padding_never_cuts() -> None:
    assert left("静か", 2) == "静か"
    assert left("静か", 6) == "静か  "
