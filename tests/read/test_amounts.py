"""What parts provide and need, as a person writes it: `2 bay 3.5 + 64 GB memory`."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tco.cell import Cell
from tco.errors import StudyError
from tco.read import load
from tco.read.amounts import ITEM_LIMIT, read_amounts
from tco.read.column import Column
from tco.read.problems import Refused
from tco.read.quantities import Money
from tco.read.words import NAME_LIMIT
from tco.study import Amount, Scenario
from tests.studies import write_study

EXAMPLE = "2 bay 3.5 + 90 W supply"
EURO = Money("EUR")


def read(text: str, sign: str = "") -> list[tuple[float, str, str]]:
    """The amounts of a cell; `sign`: the decimal sign of its file, where known."""
    found = read_amounts(text, Column("provides", Cell("amounts", "", EXAMPLE), sign=sign), EURO)
    return [(amount.count, amount.unit, amount.name) for amount in found]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2 bay 3.5", [(2, "", "bay 3.5")]),
        (
            "2 bay 3.5 + 1 M.2 + 64 GB memory + 90 W supply",
            [(2, "", "bay 3.5"), (1, "", "m.2"), (64, "GB", "memory"), (90, "W", "supply")],
        ),
        ("2 bay+1 slot", [(2, "", "bay"), (1, "", "slot")]),
        ("  1.5   TiB   Memory  Places ", [(1.5, "TiB", "memory places")]),
        ("0 slot", [(0, "", "slot")]),
        ("4 1 Gbit/s port", [(4, "", "1 gbit/s port")]),
        ("2 X", [(2, "", "x")]),
        ("4 2.5 Gbit/s port", [(4, "", "2.5 gbit/s port")]),
        ("10 Gbit/s backplane", [(10, "Gbit/s", "backplane")]),
        ("1 Wat supply", [(1, "", "wat supply")]),  # no unit: part of the name
        ("1 kW^9^9 supply", [(1, "", "kw^9^9 supply")]),
        ("1\u00a0GB\u00a0memory", [(1, "GB", "memory")]),
        ("2 Einschu\u0308be", [(2, "", "einsch\u00fcbe")]),
        ("0.5 shelf", [(0.5, "", "shelf")]),
        ("12,000 MB memory", [(12_000, "MB", "memory")]),
    ],
)
def test_amounts_arrive(text: str, expected: list[tuple[float, str, str]]) -> None:
    sign = "." if "," in text else ""
    assert read(text, sign) == expected


def test_the_decimal_sign_is_that_of_the_file() -> None:
    assert read("1,234 GB memory", sign=",") == [(1.234, "GB", "memory")]
    assert read("0,5 shelf") == [(0.5, "", "shelf")]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("bay 3.5", "'bay 3.5' is no amount; write a number and a name, such as '2 bay 3.5"),
        ("2bay", "no amount"),
        ("-2 bay", "no amount"),
        ("+2 bay", "'' is no amount"),
        ("2", "no amount"),
        ("2 ", "no amount"),
        ("", "no amount"),
        ("2 bay +", "'' is no amount"),
        ("2 bay ++ 1 slot", "'' is no amount"),
        ("2.. bay", "not a number"),
        ("1.2.3 bay", "not a number"),
        ("½ bay", "no amount"),
        ("٢ bay", "no amount"),  # a digit, but not ours
        ("1e3 bay", "no amount"),
        ("2bay 3.5", "did you mean '2 bay 3.5'"),
        ("64GB memory", "no amount; did you mean '64 GB memory'"),
        ("2x bay", "no amount; did you mean '2 bay'"),
        ("2 x bay", "leave the 'x' out: '2 bay'"),
        ("2 × bay", "leave the '×' out"),
        ("1'000 GB memory", "no amount"),
        ("1 000 GB memory", "could be 1000, or 1 of '000 GB memory'"),
        ("1 W", "'1 W' does not say of what"),
        ("64 GB", "does not say of what"),
        ("64 Gb memory", "did you mean 'GB' .bytes. or 'Gbit' .bits."),
        ("64 gb memory", "unit 'gb' is unknown; did you mean 'GB'"),
        ("90 w supply", "did you mean 'W'"),
        ("2 bay, 1 slot", "joined by"),
        ("2 bay; 1 slot", "joined by"),
        ("2 bay & 1 slot", "joined by"),
        ("2 bay and 1 slot", "joined by"),
        ("2 bay\n1 slot", "joined by"),
        ("9999999999999999 bay", "larger than any figure"),
        ("2 bay + 1 slot + 3 Bay", "'bay' stands here twice; add the two up"),
        ("1 GB memory + 2 TB memory", "twice"),
        ("1 ba\u200by", "invisible"),
        ("1 'bay", "apostrophe"),
        ("1 " + "x" * (NAME_LIMIT + 1), "characters"),
        (" + ".join(f"1 x{n}" for n in range(ITEM_LIMIT + 1)), f"the most is {ITEM_LIMIT}"),
    ],
)
def test_a_refusal_says_why(text: str, words: str) -> None:
    with pytest.raises(Refused, match=words):
        read(text, sign=".")


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        found = read(text)
    except Refused:
        return
    assert all(count >= 0 and name for count, _, name in found)
    assert len({name for *_, name in found}) == len(found)


AMOUNTS = st.lists(
    st.tuples(st.integers(0, 10**6), st.sampled_from(["", "GB", "W"]), st.sampled_from(["bay 3.5", "m.2", "x"])),
    min_size=1,
    unique_by=lambda amount: amount[2],
)


@given(AMOUNTS)
def test_what_is_written_is_read(amounts: list[tuple[int, str, str]]) -> None:
    assert read(" + ".join(f"{count} {unit} {name}" for count, unit, name in amounts)) == amounts


# in a parts list

HEAD = "part,quantity,price [EUR],provides,needs\n"


def box(folder: Path, rows: str) -> Scenario:
    """The scenario whose parts list has the rows given."""
    return load(write_study(folder, servers=HEAD + rows)).scenarios[1]


def test_they_arrive_with_their_parts(tmp_path: Path) -> None:
    case, drive, plain = box(
        tmp_path, "case,1,9,2 bay + 90 W supply,\ndrive,2,9,,1 Bay + 0.01 kW supply\nx,1,9,,\n"
    ).parts
    assert case.provides == (Amount(2, "", "bay"), Amount(90, "W", "supply"))
    assert drive.needs == (Amount(1, "", "bay"), Amount(0.01, "kW", "supply"))
    assert (case.needs, drive.provides, plain.provides, plain.needs) == ((), (), (), ())


@pytest.mark.parametrize(
    ("rows", "place", "words"),
    [
        ("case,1,9,2 bay,\nx,2,9,,1 bya\n", "servers.csv:3:5", "no part of servers.csv provides 'bya'; did you mean"),
        ("x,2,9,,1 bay\n", "servers.csv:2:5", "write under 'provides' which part offers it"),
        ("case,1,9,64 GB ram,\nx,2,9,,1 ram\n", "servers.csv:3:5", "'1 ram' and '64 GB ram' are not counted in"),
        ("case,1,9,90 W out,\nups,2,9,100 VA out,\n", "servers.csv:3:4", "not counted in the same kind of unit"),
        ("case,1,9,two bays,\n", "servers.csv:2:4", "provides: 'two bays' is no amount"),
        ("case,1,9,1 bay + 1 bay,\n", "servers.csv:2:4", "twice"),
    ],
)
def test_a_slip_is_told_where_it_stands(rows: str, place: str, words: str, tmp_path: Path) -> None:
    (problem,) = problems(tmp_path, rows)
    assert problem[0] == place
    assert words in problem[1]


def problems(folder: Path, rows: str) -> list[tuple[str, str]]:
    """What is told of a parts list: place and message."""
    with pytest.raises(StudyError) as caught:
        box(folder, rows)
    return [(str(place), message) for place, message in caught.value.found]


def test_a_price_only_may_name_what_it_would_provide(tmp_path: Path) -> None:
    assert box(tmp_path, "case,0,9,2 bay,\ndrive,2,9,,1 bay\n").parts[0].provides == (Amount(2, "", "bay"),)
