"""Nominal and real money, price paths and gear owned already, in studies without fault."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tco.cell import Cell
from tco.errors import StudyError
from tco.read import load
from tco.read.column import Column
from tco.read.kinds import said, split
from tco.read.problems import Refused
from tco.read.quantities import Money
from tco.read.values import NUMERIC, value
from tco.study import Part, Settings
from tests.read.corpus_prices import FOLLOWED, FOLLOWING, PATHS, REAL, THEN, owned, with_growth
from tests.read.test_values import every_cell
from tests.read.test_xlsx import write_book
from tests.studies import STUDY, write_study

EURO = Money("EUR", {"USD": 0.92})
INFLATION = STUDY + "inflation,2.5 %,,\n"
CELLS = [(name, cell) for name, cell in every_cell() if cell.kind in NUMERIC]


def growth(tmp_path: Path, cell: str, head: str = "growth") -> tuple[Any, str]:
    """A tariff's growth in a study that states inflation, and the kind of money it is said to be in."""
    study = load(write_study(tmp_path, study=INFLATION, tariffs=with_growth(cell, head)))
    (version,) = study.tariffs["household"]
    return version.growth, version.kinds.get("growth", "")


@pytest.mark.parametrize(
    ("cell", "head", "expected"),
    [
        ("2 %", "growth", (0.02, "")),
        ("2 % nominal", "growth", (0.02, "nominal")),
        ("3 %/year real", "growth", (0.03, "real")),
        ("2.5%Real", "growth", (0.025, "real")),
        ("2,5 %\u00a0REAL ", "growth", (0.025, "real")),
        ("0 real", "growth", (0, "real")),
        ("2", "growth [% nominal]", (0.02, "nominal")),
        ("2,5", "growth [%/year Real]", (0.025, "real")),
        ("2 %", "growth [real]", (0.02, "real")),
        ("2 % real", "growth [% real]", (0.02, "real")),
        ("2 real", "growth [%]", (0.02, "real")),
        ("", "growth [% real]", (None, "")),
    ],
)
def test_a_growth_and_its_kind(tmp_path: Path, cell: str, head: str, expected: tuple[Any, str]) -> None:
    assert growth(tmp_path, cell, head) == expected


def test_amounts_and_their_kinds(tmp_path: Path) -> None:
    changes = {"tariffs": ("0.33 EUR/kWh", '"0,36 USD/kWh nominal"'), "one_offs": ("-40 EUR", "-40 EUR real")}
    study = load(write_study(tmp_path, study=INFLATION, **changes))
    first, second = study.tariffs["household"]
    assert (first.kinds, second.kinds) == ({}, {"price": "nominal"})
    assert second.price == pytest.approx(0.36 * 0.92)
    assert [(row.amount, row.kinds) for row in study.scenarios[1].one_offs] == [(120, {}), (-40, {"amount": "real"})]


def test_a_header_speaks_for_its_filled_cells_only(tmp_path: Path) -> None:
    table = "scenario,what,month,amount [EUR real]\nservers,rack,0,120\nservers,sold,60,-40 USD\n"
    rows = load(write_study(tmp_path, study=INFLATION, one_offs=table)).scenarios[1].one_offs
    assert [(row.amount, row.kinds["amount"]) for row in rows] == [(120, "real"), (pytest.approx(-36.8), "real")]


def test_settings_say_their_kinds(tmp_path: Path) -> None:
    study = INFLATION.replace("discount,3 %", "discount,3 % real").replace("growth,2 %", "growth,2 % nominal")
    settings = load(write_study(tmp_path, study=study)).settings
    assert (settings.discount, settings.electricity_growth, settings.inflation) == (0.03, 0.02, 0.025)
    assert settings.kinds == {"discount": "real", "electricity_growth": "nominal"}


def test_the_studys_own_kind_needs_no_inflation(tmp_path: Path) -> None:
    settings = load(write_study(tmp_path / "a", study=("discount,3 %", "discount,3 % nominal"))).settings
    assert (settings.money, settings.inflation, settings.kinds) == ("nominal", None, {"discount": "nominal"})
    real = write_study(tmp_path / "b", study=REAL, resale=THEN, tariffs=("2 %", "2 % real"))
    assert load(real).settings.money == "real"


def test_a_real_study_with_inflation_may_use_a_share_of_a_units_own_price(tmp_path: Path) -> None:
    assert load(write_study(tmp_path, study=REAL + "inflation,0,,\n")).settings.inflation == 0


def test_a_real_study_may_hold_curves_that_no_part_uses(tmp_path: Path) -> None:
    used = THEN.replace("fair", "fairer").splitlines(keepends=True)[1:]
    table = "curve,base,age,share\nfair,own price,0,80 %\nfair,own price,1 year,40 %\n" + "".join(used)
    minis = "part,quantity,price,resale\nx,1,9 EUR,fairer\n"
    assert load(write_study(tmp_path, study=REAL, resale=table, minis=minis, nodes=None)).settings.money == "real"


def test_a_reference_curve_on_its_own_price_is_told_in_a_real_study(tmp_path: Path) -> None:
    reference = tmp_path / "reference"
    reference.mkdir()
    (reference / "resale.csv").write_text(
        "curve,base,age,share\nfair,own price,0,100 %\nfair,own price,1 year,60 %\n"
    )
    with pytest.raises(StudyError, match=r"reference/resale\.csv:2:2: curve 'fair', used in minis\.csv:2:13"):
        load(write_study(tmp_path / "s", study=REAL, resale=None), reference=reference)


def test_columns_of_cost_lines_may_be_quoted(tmp_path: Path) -> None:
    spec = Cell("growth", "growth of it", "2 %", default=0.0, quoted=True)
    extra = {Settings: {"premium_growth": spec}, Part: {"cover_growth": spec}}
    changes = {"servers": "part,quantity,price,cover growth\nx,1,0,4 % real\n"}
    study = load(write_study(tmp_path, study=INFLATION + "premium growth,1 % real,,\n", **changes), extra)
    assert (study.settings.extra["premium_growth"], study.settings.kinds["premium_growth"]) == (0.01, "real")
    assert study.scenarios[1].parts[0].kinds == {"cover_growth": "real"}
    with pytest.raises(StudyError, match=r"servers\.csv:2:4: cover growth: this is real"):
        load(write_study(tmp_path / "b", **changes), extra)


def test_a_table_that_cannot_be_read_leaves_the_kind_of_money_open(tmp_path: Path) -> None:
    with pytest.raises(StudyError) as caught:
        load(write_study(tmp_path, study=b"PK\x03\x04", one_offs=("-40 EUR", "-40 EUR real")))
    assert [str(place) for place, _ in caught.value.found] == ["study.csv"]


def test_a_workbook_says_kinds_in_texts_and_headers(tmp_path: Path) -> None:
    cells = {("study", "B7"): "3 % real", ("study", "A13"): "inflation", ("study", "B13"): 0.025,
             ("tariffs", "D1"): "growth [% nominal]", ("tariffs", "D3"): 0.02,
             ("one_offs", "D1"): "amount [EUR real]", ("one_offs", "D3"): -40.5}  # fmt: skip
    study = load(write_book(tmp_path / "s.xlsx", cells, {("study", "B13"): "0.0%", ("tariffs", "D3"): "0%"}))
    assert (study.settings.discount, study.settings.kinds) == (0.03, {"discount": "real"})
    assert study.settings.inflation == 0.025
    version = study.tariffs["household"][1]
    assert (version.growth, version.kinds) == (0.02, {"growth": "nominal"})
    assert study.scenarios[1].one_offs[1].amount == -40.5
    assert study.scenarios[1].one_offs[1].kinds == {"amount": "real"}


@pytest.mark.parametrize(("name", "cell"), CELLS, ids=lambda x: x if isinstance(x, str) else "")
@pytest.mark.parametrize("word", ["nominal", "Real"])
def test_each_definition_takes_the_word_or_says_to_leave_it_out(name: str, cell: Cell, word: str) -> None:
    column = Column(name, cell)
    if cell.quoted:
        assert value(f"{cell.example} {word}", column, EURO) == value(cell.example, column, EURO)
        assert said(f"{cell.example} {word}", column) == word.lower()
    else:
        with pytest.raises(Refused, match=f"leave '{word.lower()}' out here"):
            value(f"{cell.example} {word}", column, EURO)


AMOUNTS = st.integers(-(10**6), 10**6).map(lambda number: number / 10**4)


@given(
    AMOUNTS, st.sampled_from(".,"), st.sampled_from(["EUR", " EUR", " ct"]), st.sampled_from(["", " ", "\u202f"]),
    st.sampled_from(["nominal", "real", "REAL", "Nominal"]),
)  # fmt: skip
def test_a_word_never_changes_the_value(number: float, sign: str, unit: str, space: str, word: str) -> None:
    plain = f"{number:.4f}".replace(".", sign) + ("" if unit == " ct" else unit)
    head = "EUR" if unit == " ct" else ""
    column = Column("amount", Cell("number", "", "", unit="{money}", quoted=True), unit=head)
    quoted = plain + (space or " ") + word
    assert value(quoted, column, EURO) == value(plain, column, EURO) == pytest.approx(number)
    assert said(quoted, column) == word.lower()


@given(st.text(max_size=12), st.sampled_from(["", "real", " real", "%NOMINAL", " nominal real"]))
def test_splitting_takes_off_one_word_at_the_end_or_nothing(text: str, end: str) -> None:
    rest, word = split(text + end)
    assert word in ("", "nominal", "real")
    assert rest == text + end if not word else (text + end).lower().endswith(word)
    assert (text + end).startswith(rest)


def test_paths_arrive_in_rising_years_and_only_those_in_use(tmp_path: Path) -> None:
    study = load(write_study(tmp_path / "a", **FOLLOWING))
    assert list(study.paths) == ["drives", "forecast"]
    assert [(row.year, row.index) for row in study.paths["forecast"]] == [
        (1, 1.05), (2, 1.08), (3, 1.1), (4, 1.12), (5, 1.15)
    ]  # fmt: skip
    assert study.tariffs["household"][0].path == study.scenarios[2].fees[0].path == "forecast"
    assert study.scenarios[1].parts[0].price_path == "drives"
    assert list(load(write_study(tmp_path / "b", paths=PATHS, tariffs=FOLLOWED)).paths) == ["forecast"]
    assert load(write_study(tmp_path / "c", paths=PATHS)).paths == {}
    assert load(write_study(tmp_path / "d")).paths == {}


def test_rows_of_two_paths_may_alternate_and_say_kinds(tmp_path: Path) -> None:
    table = 'path,year,index\nb,1,"0,9"\na,1,1.05 real\nb,2,"0,8"\na,2,1.06\n'
    settings = INFLATION.replace("5 years", "24 months")
    changes = {"tariffs": FOLLOWED.replace("forecast", "a"), "one_offs": None, "minis": (",36,", ",24,")}
    study = load(write_study(tmp_path, study=settings, paths=table, **changes))
    assert [(row.index, row.kinds) for row in study.paths["a"]] == [(1.05, {"index": "real"}), (1.06, {})]


def test_a_path_nobody_follows_may_be_short(tmp_path: Path) -> None:
    assert load(write_study(tmp_path, paths="path,year,index\nx,1,1.1\n")).paths == {}


def test_a_path_of_an_unused_tariff_may_be_short(tmp_path: Path) -> None:
    rows = "household,2026-01,0.31 EUR/kWh,\nother,2026-01,0.2 EUR/kWh,x\n"
    table = "tariff,start,price,path\n" + rows
    assert load(write_study(tmp_path, paths="path,year,index\nx,1,1.1\n", tariffs=table)).paths == {}


@pytest.mark.parametrize(
    ("horizon", "years"), [("12 months", 1), ("13 months", 2), ("24 months", 2), ("25 months", 3)]
)
def test_a_path_reaches_the_year_in_which_the_horizon_ends(tmp_path: Path, horizon: str, years: int) -> None:
    changes = {"study": STUDY.replace("5 years", horizon), "tariffs": FOLLOWED, "one_offs": None,
               "minis": None, "nodes": None, "scenarios": ("minis.csv", "servers.csv")}  # fmt: skip
    table = PATHS.splitlines(keepends=True)
    study = load(write_study(tmp_path / "a", paths="".join(table[: years + 1]), **changes))
    assert len(study.paths["forecast"]) == years
    with pytest.raises(StudyError, match=f"year {years} is missing" if years > 1 else "no path"):
        load(write_study(tmp_path / "b", paths="".join(table[:years]), **changes))


def test_unreadable_paths_make_no_names_missing(tmp_path: Path) -> None:
    with pytest.raises(StudyError) as caught:
        load(write_study(tmp_path, paths=b"PK\x03\x04", tariffs=FOLLOWED))
    assert [str(place) for place, _ in caught.value.found] == ["paths.csv"]


def test_paths_in_a_workbook(tmp_path: Path) -> None:
    cells = {("Sheet1", f"{column}{line}"): cell
             for line, row in enumerate(PATHS.splitlines()[:6], start=1)
             for column, cell in zip("ABC", row.split(","), strict=True)}  # fmt: skip
    cells |= {("tariffs", "F1"): "path", ("tariffs", "F2"): "forecast"}
    book = write_book(tmp_path / "s.xlsx", cells, titles={"Sheet1": "paths"})
    assert [row.index for row in load(book).paths["forecast"]] == [1.05, 1.08, 1.1, 1.12, 1.15]


def test_gear_owned_already(tmp_path: Path) -> None:
    rows = ("drive,8,0,0,drives,new,12 EUR,,", "new,0,80 EUR,,drives,,,,", "case,1,0,,,,5 USD,,")
    settings = STUDY + "owned gear,cost,,\n"
    study = load(write_study(tmp_path, study=settings, servers=owned(*rows)))
    assert [part.fetches_today for part in study.scenarios[1].parts] == [12, 0, pytest.approx(4.6)]
    assert study.settings.owned_gear == "cost"


def test_what_never_fails_or_is_not_there_may_cost_nothing(tmp_path: Path) -> None:
    rows = ("case,1,0,,,,,,", "spare,0,0,,drives,,,,", "screws,1,0,,,spare,,,")
    assert len(load(write_study(tmp_path, servers=owned(*rows))).scenarios[1].parts) == 3


@pytest.mark.parametrize(("index", "value"), [("1.010", 1.01), ("1,018", 1.018), ("1.05", 1.05)])
def test_an_index_with_three_digits_is_no_thousand(index: str, value: float, tmp_path: Path) -> None:
    """Official indices have three digits; no price becomes a thousand times what it was."""
    rows = [f'forecast,{year},"{index}"' for year in range(1, 6)]
    tariffs = "tariff,start,price,path\nhousehold,2026-01,0.31 EUR/kWh,forecast\n"
    paths = "path,year,index\n" + "\n".join(rows) + "\n"
    study = load(write_study(tmp_path, paths=paths, tariffs=tariffs))
    assert study.paths["forecast"][0].index == value
