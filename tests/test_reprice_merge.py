"""New versions go into a study's tables as text: every other byte stays, whatever the file is like."""

from __future__ import annotations

import csv
import io
import math
import random
import string
from pathlib import Path

import pytest

import tco
from tco.errors import StudyError
from tco.model import line_inputs
from tco.read.amend import Edits, NewRow, amended, expected
from tco.read.problems import Problems, Refused
from tco.read.revise import NewPrice, Revision, revise
from tco.read.text import parse
from tests.studies import STUDY, write_study

HOUSEHOLD = "tariff,start,price,growth,source\nhousehold,2026-01,0.31 EUR/kWh,,the bill\n"


def revised(folder: Path, *offers: Path | NewPrice) -> Revision:
    return revise(folder, offers, line_inputs())


def new_price(folder: Path, price: str = "0.36 EUR/kWh", start: str = "2028-03") -> bytes:
    """The file of tariffs with one more price."""
    return revised(folder, NewPrice(price, start)).tables["tariffs.csv"][1]


def offer(folder: Path, text: str, name: str = "offer.csv") -> Path:
    path = folder.parent / name
    path.write_text(text, encoding="utf-8", newline="")
    return path


def problems(folder: Path, *offers: Path | NewPrice) -> str:
    """What is told, with the study's files as they were."""
    before = {path: path.read_bytes() for path in folder.iterdir()}
    with pytest.raises(StudyError) as caught:
        revised(folder, *offers)
    assert {path: path.read_bytes() for path in folder.iterdir()} == before
    return str(caught.value)


ENCODINGS = [("utf-8", b""), ("utf-8", b"\xef\xbb\xbf"), ("utf-16-le", b"\xff\xfe"), ("utf-16-be", b"\xfe\xff"),
             ("utf-16-le", b""), ("cp1252", b"")]  # fmt: skip


@pytest.mark.parametrize(("encoding", "mark"), ENCODINGS, ids=str)
@pytest.mark.parametrize("separator", [",", ";", "\t"], ids=["comma", "semicolon", "tab"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"], ids=["LF", "CRLF", "CR"])
@pytest.mark.parametrize("last", ["", "end"])
def test_every_other_byte_stays(
    encoding: str, mark: bytes, separator: str, end: str, last: str, tmp_path: Path
) -> None:
    """Notes of several lines, blanks, quotes that need not be, empty and padded lines, another tariff in between."""
    comma = "," if separator == ";" else "."
    rows = [
        ["tariff", "start", '"price [EUR/kWh]"', "growth", "note", ""],
        ["household", "2026-01", f"0{comma}3100", "", f'"für ""uns""{separator}{end}{end} und # so"', ""],
        ["", "", "", "", "", ""],
        ["cabin", "2026-01", f'"0{comma}2"', " 1 %", "  keep  these blanks ", ""],
        ["household", "2027-07", f"0{comma}33", "   ", "letter", ""],
        [],
        ["cabin", "2027-01", f"0{comma}21", "", "'quoted", ""],
    ]
    text = end.join(separator.join(row) for row in rows) + (end if last else "")
    folder = write_study(tmp_path / "study", tariffs=mark + text.encode(encoding))
    rows[4][3] = "2 %"
    rows.insert(5, ["household", "2028-03", f"0{comma}36", "", "", ""])
    wanted = end.join(separator.join(row) for row in rows) + (end if last else "")
    assert new_price(folder) == mark + wanted.encode(encoding)


@pytest.mark.parametrize(("encoding", "mark"), ENCODINGS, ids=str)
def test_a_new_row_behind_a_last_line_without_an_end(encoding: str, mark: bytes, tmp_path: Path) -> None:
    text = "tariff,start,price,growth,note\r\nhousehold,2026-01,0.31 EUR/kWh,1 %,ü"
    folder = write_study(tmp_path / "study", tariffs=mark + text.encode(encoding))
    wanted = text + "\r\nhousehold,2028-03,0.36 EUR/kWh,,"
    assert new_price(folder) == mark + wanted.encode(encoding)


@pytest.mark.parametrize(
    ("head", "typed", "written"),
    [
        ("price [EUR/kWh]", "0.36 EUR/kWh", "0.36"),
        ("price [EUR/kWh]", "360 EUR/MWh", "0.36"),
        ("price [EUR/MWh]", "0.36 EUR/kWh", "360"),
        ("price [EUR/MWh]", "0.1 EUR/kWh", "100"),
        ("price [EUR/MWh]", "0.29 EUR/kWh", "290"),
        ("price [EUR/MWh]", "0.362517 EUR/kWh", "362.5170"),  # no other number tells the decimal sign
        ("price [EUR/kWh]", "0.50 USD/kWh", "0.46"),
        ("price", "0.360 EUR/kWh", "0.360 EUR/kWh"),
        ("price", "0.36 EUR/kWh real", "0.36 EUR/kWh real"),
        ("price [EUR/kWh nominal]", "0.36 EUR/kWh", "0.36"),
        ("price [EUR/kWh]", "0.36 EUR/kWh real", "0.36 real"),
        ("price [EUR/kWh]", "-0.01 EUR/kWh", "-0.01"),
        ("price [EUR/kWh]", "0", "0"),
        ("price", "0", "0"),
        ("price [EUR/kWh]", "3.6e-1 EUR/kWh", "3.6e-1"),
    ],
)
def test_a_price_is_written_as_its_column_is(head: str, typed: str, written: str, tmp_path: Path) -> None:
    """The last column but one is the price; what is read back is the price offered, to the bit."""
    unit = "" if "[" in head else " EUR/MWh" if "MWh" in head else " EUR/kWh"
    old = f"household,2026-01,{310 if 'MWh' in head else 0.31}{unit},"
    folder = write_study(
        tmp_path / "study", study=STUDY + "inflation,1 %,,\n", tariffs=f"tariff,start,{head},note\n{old}\n"
    )
    revision = revised(folder, NewPrice(typed, "2028-03"))
    last = revision.tables["tariffs.csv"][1].decode().splitlines()[-1]
    assert last.split(",")[:3] == ["household", "2028-03", written]
    after = revision.after.tariffs["household"][-1]
    assert after.price == revision.added[0].price
    kinds = [version.kinds.get("price", "nominal") for version in (after, revision.added[0])]
    assert kinds[0] == kinds[1]


def test_any_price_is_read_back_in_another_unit(tmp_path: Path) -> None:
    """To the last bit but one: not every number is a thousandth of another."""
    rng = random.Random(5)
    for number in range(60):
        price = rng.uniform(0.01, 0.9)
        text = "tariff,start,price [EUR/MWh]\nhousehold,2026-01,310\n"
        folder = write_study(tmp_path / str(number), tariffs=text)
        found = revised(folder, NewPrice(f"{price!r} EUR/kWh", "2028-03")).after.tariffs["household"][-1].price
        assert found is not None
        assert abs(found - price) <= math.ulp(price)


def test_the_decimal_sign_is_the_file_s(tmp_path: Path) -> None:
    """With a decimal comma the new price has one, and what stands there can be read one way only."""
    text = "tariff;start;price;growth\nhousehold;2026-01;0,315 EUR/kWh;\n"
    folder = write_study(tmp_path / "study", tariffs=text, study=("growth,2 %", 'growth,"2,13 %"'))
    found = new_price(folder, "1.2360 EUR/kWh").decode()
    assert found.splitlines()[1:] == [
        "household;2026-01;0,315 EUR/kWh;2,13 %",
        "household;2028-03;1,2360 EUR/kWh;",
    ]


def test_columns_that_are_needed_come_last_and_every_row_gets_them(tmp_path: Path) -> None:
    """Growth for the version superseded, source and path for the new one; empty lines stay empty."""
    text = 'tariff,start,price\n\nhousehold,2026-01,0.31 EUR/kWh\n,,\n"cabin",2026-01,"0.2 EUR/kWh"\n'
    paths = "path,year,index\n" + "".join(f"up,{year},1.{year:02}\n" for year in range(1, 6))
    folder = write_study(tmp_path / "study", tariffs=text, paths=paths)
    new = offer(folder, "source;path;tariff;price [EUR/kWh];start\n" + '"letter, ""new""";up;household;0,4;2028-03\n')
    assert revised(folder, new).tables["tariffs.csv"][1].decode() == (
        "tariff,start,price,growth,path,source\n\nhousehold,2026-01,0.31 EUR/kWh,2 %,,\n"
        'household,2028-03,0.4 EUR/kWh,,up,"letter, ""new"""\n,,\n"cabin",2026-01,"0.2 EUR/kWh",,,\n'
    )


def test_a_table_that_quotes_everything_goes_on_to(tmp_path: Path) -> None:
    text = '"tariff","start","price"\n"household","2026-01","0.31 EUR/kWh"\n'
    folder = write_study(tmp_path / "study", tariffs=text)
    assert new_price(folder).decode() == (
        '"tariff","start","price","growth"\n"household","2026-01","0.31 EUR/kWh","2 %"\n'
        '"household","2028-03","0.36 EUR/kWh",\n'
    )


def test_rows_padded_by_a_spreadsheet_program_get_their_column_in_line(tmp_path: Path) -> None:
    text = "sep=;\ntariff;start;price;;\nhousehold;2026-01;0,31 EUR/kWh;;;;\n;;;;\n"
    folder = write_study(tmp_path / "study", tariffs=text)
    assert new_price(folder).decode() == (
        "sep=;\ntariff;start;price;;;;;growth\nhousehold;2026-01;0,31 EUR/kWh;;;;;2 %\n"
        "household;2028-03;0,36 EUR/kWh;;;;;\n;;;;\n"
    )


def test_a_sign_that_the_file_cannot_hold(tmp_path: Path) -> None:
    text = "tariff,start,price,note\nhousehold,2026-01,0.31 EUR/kWh,für uns\n"
    folder = write_study(tmp_path / "study", tariffs=text.encode("cp1252"))
    new = offer(folder, "tariff,start,price,note\nhousehold,2028-03,0.36 EUR/kWh,ő\n")
    assert f"{new}:2: tariffs.csv is written in Windows-1252, which has no 'ő'" in problems(folder, new)


def test_several_versions_of_several_files(tmp_path: Path) -> None:
    """In the order of the files, each behind the last of its tariff; the superseded last one gets the growth once."""
    folder = write_study(tmp_path / "study", tariffs=HOUSEHOLD + "cabin,2026-01,0.2 EUR/kWh,3 %,\n")
    one = offer(folder, "tariff,start,price\nhousehold,2028-03,0.36 EUR/kWh\ncabin,2028-01,0.4 EUR/kWh\n", "one.csv")
    two = offer(folder, "tariff,start,price,growth\nhousehold,2029-01,0.37 EUR/kWh,1 %\n", "two.csv")
    assert revised(folder, one, two).tables["tariffs.csv"][1].decode().splitlines()[1:] == [
        "household,2026-01,0.31 EUR/kWh,2 %,the bill",
        "household,2028-03,0.36 EUR/kWh,,",
        "household,2029-01,0.37 EUR/kWh,1 %,",
        "cabin,2026-01,0.2 EUR/kWh,3 %,",
        "cabin,2028-01,0.4 EUR/kWh,,",
    ]


def random_cell(rng: random.Random, separator: str) -> str:
    """A cell as people write it: bare, quoted, with blanks, with what needs quotes."""
    plain = "".join(rng.choices(string.ascii_letters + " ü'#.", k=rng.randint(0, 6)))
    hard = plain + rng.choice([separator, '"', "\n", "\r\n", "\r", ""]) + plain
    quoted = '"' + hard.replace('"', '""') + '"'
    blank = "" if separator == "\t" else " " * rng.randint(0, 2)
    return rng.choice([plain, plain, blank + quoted])


@pytest.mark.parametrize("seed", range(150))
def test_random_files_are_changed_where_asked_and_nowhere_else(seed: int) -> None:
    """Cut into cells and put together they are the same bytes; with edits, the csv module reads what is wanted."""
    rng = random.Random(seed)
    separator, end = rng.choice(",;\t"), rng.choice(["\n", "\r\n", "\r"])
    width = rng.randint(2, 6)
    head = [f"column{n}" for n in range(width)]
    rows = [[random_cell(rng, separator) for _ in range(width)] for _ in range(rng.randint(1, 8))]
    raw = (end.join(separator.join(row) for row in [head, *rows]) + rng.choice(["", end])).encode("utf-8")
    grid = parse("table.csv", raw, Problems())
    assert grid is not None
    if len(grid.lines) < 2:
        return
    assert amended(raw, grid, Edits()) == raw
    line = rng.choice(grid.lines[1:])
    edits = Edits(rng.choice([[], ["new"]]))
    edits.cells[line.number, rng.randrange(width)] = rng.choice(["x", f"a{separator}b", 'say "x"'])
    new = (
        tuple(rng.choice(["", "y", f'"{separator}']) for _ in range(width - 1)) + ("z",) + ("",) * len(edits.columns)
    )
    edits.rows.append(NewRow(rng.choice(grid.lines).number, new, grid, line, {}))
    changed = amended(raw, grid, edits).decode("utf-8")
    reader = csv.reader(io.StringIO(changed, newline=""), delimiter=separator, strict=True,
                        skipinitialspace=separator != "\t")  # fmt: skip
    read = [row for row in reader if any(cell.strip() for cell in row)]
    wanted = [list(cells) for _, cells in expected(grid, edits)]
    assert [row + [""] * (len(cells) - len(row)) for row, cells in zip(read, wanted, strict=True)] == wanted


def test_twice_changes_nothing_the_second_time(tmp_path: Path) -> None:
    """Also once the version has its growth written because a third one came."""
    folder = write_study(tmp_path / "study", tariffs=HOUSEHOLD)
    new = offer(folder, "tariff,start,price [EUR/MWh],source\nhousehold,2028-03,360,letter\n")
    for price in (NewPrice("0.36 EUR/kWh", "2028-03"), NewPrice("0.40 EUR/kWh", "2029-03")):
        (folder / "tariffs.csv").write_bytes(revised(folder, price).tables["tariffs.csv"][1])
    assert "household,2028-03,0.36 EUR/kWh,2 %," in (folder / "tariffs.csv").read_text()
    again = revised(folder, new, NewPrice("400 EUR/MWh", "2029-03", "household"))
    assert again.is_nothing
    assert again.tables == {}
    assert again.same == (
        "'household' from 2028-03 stands in tariffs.csv:3 already",
        "'household' from 2029-03 stands in tariffs.csv:4 already",
    )


def test_twice_under_a_header_of_the_other_kind_of_money(tmp_path: Path) -> None:
    """The growth that was filled in is another number there, and says the same."""
    text = "tariff,start,price,growth [% real]\nhousehold,2026-01,0.31 EUR/kWh,\n"
    folder = write_study(tmp_path / "study", study=STUDY + "inflation,1 %,,\n", tariffs=text)
    for start in ("2028-03", "2029-03"):
        (folder / "tariffs.csv").write_bytes(new_price(folder, start=start))
    assert "household,2028-03,0.36 EUR/kWh,0.990" in (folder / "tariffs.csv").read_text()
    assert revised(folder, NewPrice("0.36 EUR/kWh", "2028-03")).is_nothing


def test_an_older_file_of_the_whole_table_adds_what_is_new_in_it(tmp_path: Path) -> None:
    """The tariffs as a person keeps them elsewhere, growth filled in by hand as the README once said."""
    folder = write_study(tmp_path / "study", tariffs=HOUSEHOLD)
    whole = offer(folder, HOUSEHOLD.replace("kWh,,", "kWh,2 %,") + "household,2028-03,0.36 EUR/kWh,,\n")
    found = revised(folder, whole)
    assert [version.start.isoformat() for version in found.added] == ["2028-03-01"]
    assert found.same == ("'household' from 2026-01 stands in tariffs.csv:2 already",)
    assert found.tables["tariffs.csv"][1].decode().splitlines()[1] == "household,2026-01,0.31 EUR/kWh,2 %,the bill"


STANDS = "'household' from 2026-01 stands in tariffs.csv:2"
WRONG = [
    ("household,2026-01,0.32 EUR/kWh,,", f":2:3: price: {STANDS}:3 already, with another price"),
    ("household,2026-01,0.31 EUR/kWh,5 %,", f":2:4: growth: {STANDS} already, with another growth"),
    (
        "houshold,2028-03,0.36 EUR/kWh,,",
        ":2:1: tariff: there is no tariff 'houshold' in tariffs.csv; did you mean 'h",
    ),
    ("household,2028-03,0.36,,", ":2:3: price: '0.36' has no unit"),
    ("household,2028-13,0.36 EUR/kWh,,", ":2:2: start: '2028-13': there is no month 13"),
    ("household,2028-03,0.36 EUR/kWh,2,", ":2:4: growth: '2' could be 2 % or 200 %"),
    ("household,2028-03,0.36 EUR/kWh", ":2: the row has 3 cells, the header 5"),
    ("household,2028-03,0.36 EUR/kWh,,,y", ":2:6: the row has 6 cells, the header 5"),
    ("household,2028-03,0.36 EUR/kWh real,,", ":2:3: price: this is real, but the study's money is nominal"),
    ("household,2028-03,1 EUR/kWh,,\nhousehold,2028-03,1 EUR/kWh,,", ":3: 'household' from 2028-03 stands in "),
    ("household,2028-03,0.36 GBP/kWh,,", ":2:3: price: 'GBP/kWh': there is no rate for GBP"),
]


@pytest.mark.parametrize(("row", "told"), WRONG)
def test_what_is_wrong_is_told_with_its_place(row: str, told: str, tmp_path: Path) -> None:
    folder = write_study(tmp_path / "study", tariffs=HOUSEHOLD)
    new = offer(folder, "tariff,start,price,growth,source\n" + row + "\n")
    assert f"{new}{told}" in problems(folder, new)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", ": the file is empty"),
        ("tariff,start,price\n", ": no row below the header; write one as in tariffs.csv"),
        ("a,b,c\n1,2,3\n", ":1: the first row is the header of none of tariffs.csv, charges.csv, hours.csv, holi"),
        ("tarif,start,price\nhousehold,2028-03,1 EUR/kWh\n", ":1:1: column 'tarif' is unknown; did you mean 'tari"),
        ("day,hours\n12-25,\n", ": no new version of a tariff comes with it; give its row of tariffs.csv as well"),
    ],
)  # fmt: skip
def test_a_file_that_is_no_new_version(text: str, told: str, tmp_path: Path) -> None:
    folder = write_study(tmp_path / "study")
    new = offer(folder, text)
    assert f"{new}{told}" in problems(folder, new)
    assert f"{tmp_path / 'nowhere.csv'}: cannot be read: No such file" in problems(folder, tmp_path / "nowhere.csv")


@pytest.mark.parametrize(
    ("price", "told"),
    [
        (NewPrice("0.36", "2028-03"), "--price: '0.36' has no unit: write for example '0.31 EUR/kWh'\n"),
        (NewPrice("0.36 EUR/kWh", "March 2028"), "--from: 'March 2028' is not a month; write it as '2026-01'"),
        (
            NewPrice("0.36 EUR/kWh", "2028-03", "cabn"),
            "--name: tariff: there is no tariff 'cabn' in tariffs.csv; did you",
        ),
        (
            NewPrice("0.36 EUR/kWh", "2027-07"),
            "--price: price: 'household' from 2027-07 stands in tariffs.csv:3:3 already",
        ),
    ],
)
def test_options_are_named_in_the_place_of_a_file(price: NewPrice, told: str, tmp_path: Path) -> None:
    text = HOUSEHOLD + "household,2027-07,0.33 EUR/kWh,2 %,\ncabin,2026-01,0.2 EUR/kWh,,\n"
    assert told in problems(write_study(tmp_path / "study", tariffs=text), price)


def test_several_tariffs_need_a_name(tmp_path: Path) -> None:
    folder = write_study(
        tmp_path / "study",
        tariffs=HOUSEHOLD + "cabin,2026-01,0.2 EUR/kWh,,\n",
        scenarios=("servers.csv,household", "servers.csv,cabin"),
    )
    told = problems(folder, NewPrice("0.36 EUR/kWh", "2028-03"))
    assert told.startswith("--name: the study uses several tariffs, 'cabin', 'household'; say which")
    found = revised(folder, NewPrice("0.36 EUR/kWh", "2028-03", "cabin"))
    assert found.tables["tariffs.csv"][1].decode().splitlines()[-1] == "cabin,2028-03,0.36 EUR/kWh,,"


def test_a_study_without_tariffs(tmp_path: Path) -> None:
    none = dict.fromkeys(("minis", "servers", "nodes", "tariffs"))
    folder = write_study(
        tmp_path / "study",
        scenarios="scenario\nrented\n",
        one_offs=None,
        **none,  # type: ignore[arg-type]
    )
    assert "--name: no scenario has a tariff" in problems(folder, NewPrice("0.36 EUR/kWh", "2028-03"))
    new = offer(folder, "tariff,start,price\nhousehold,2028-03,0.36 EUR/kWh\n")
    assert "tariffs.csv: the study has no tariffs, so no price to change" in problems(folder, new)


def test_a_broken_study_is_told_first(tmp_path: Path) -> None:
    folder = write_study(tmp_path / "study", fees=("5.50", "x"))
    assert problems(folder, tmp_path / "nowhere.csv").startswith("fees.csv:2:4: ")


def test_the_demo_is_not_touched() -> None:
    found = revise(tco.demo(), [NewPrice("0.36 EUR/kWh", "2029-03")], line_inputs())
    assert found.tables["tariffs.csv"][0] == (tco.demo() / "tariffs.csv").read_bytes()


def test_cells_that_cannot_be_told_apart_are_refused(tmp_path: Path) -> None:
    """A header in one kind of money does not take a price in the other."""
    folder = write_study(
        tmp_path / "study",
        study=STUDY + "inflation,1 %,,\n",
        tariffs="tariff,start,price [EUR/kWh nominal]\nhousehold,2026-01,0.31\n",
    )
    told = problems(folder, NewPrice("0.36 EUR/kWh real", "2028-03"))
    assert "--price: price: '0.36 EUR/kWh real' is real, and the study's column is headed 'nominal'" in told


def test_a_letter_outside_is_refused_before_anything_is_done() -> None:
    raw = "a,b\nü,1\n".encode("cp1252")
    grid = parse("t.csv", raw, Problems())
    assert grid is not None
    with pytest.raises(Refused, match="which has no 'Ω'"):
        amended(raw, grid, Edits(rows=[NewRow(2, ("Ω", ""), grid, grid.lines[1], {})]))
