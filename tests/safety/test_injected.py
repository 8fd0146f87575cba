"""Texts of a study stay texts in everything that is written and printed; see attacks.py for where they are from."""

from __future__ import annotations

import csv
import io
import json
import re
import unicodedata
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree

import openpyxl
import pytest
from click.testing import CliRunner, Result

from tco.cli import main
from tco.write.tables import csv_text
from tests.hostile import study
from tests.recalculate import cells, convert, needs_libreoffice, recalculated_many
from tests.safety.attacks import NAMES, NUMBERS, TEXTS, Slots, attacked
from tests.safety.runs import LONG
from tests.write.page_reading import each, read

STARTS = range(len(TEXTS)) if LONG else (0, 17)
PRICE = ("--price", "0.4 EUR/kWh", "--from", "2027-03")
COMMANDS: Mapping[str, tuple[str, ...]] = {
    "compare": ("--html",),
    "reprice": ("--price", "0.4 EUR/kWh", "--from", "2027-03"),
    "simulate": ("--draws", "100"),
    "vary": (),
    "breakeven": (),
    "spend": (),
    "grow": ("--rent", "5 EUR/TB/month"),
    "track": (),
    "check": (),
    "explain": (),
}
SIGNS = tuple("=+-@＝＋－＠\t\r\n")
BLANK = "\u200c\u200d \t\u00a0\u3000"
NUMBER = re.compile(r"-?\d+(\.\d+)?(e[+-]?\d+)?")
LITERAL = re.compile(r"\"(?:[^\"]|\"\")*\"|'(?:[^']|'')*'!")  # a text in a formula, or the name of a sheet
OUTSIDE = re.compile(r"(?:HYPERLINK|WEBSERVICE|FILTERXML|IMPORT\w*|DDE|CALL|REGISTER|RTD|EXEC|INDIRECT)\s*\(|[|\[\]]")
SPAN = re.compile(r"('(?:[^']|'')+'|[A-Za-z0-9_.]+)!\$?[A-Z]+\$?\d+(:\$?[A-Z]+\$?\d+)?")
UNSEEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\u2028\u2029]")
SHEET = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
CHART = "{http://schemas.openxmlformats.org/drawingml/2006/chart}"


@dataclass(frozen=True)
class Case:
    """An attacked study, its names, where results are, what each command printed."""

    folder: Path
    names: Slots
    printed: dict[str, Result]

    @property
    def out(self) -> Path:
        """The folder of all results."""
        return self.folder.with_name("out")


def run(*words: str | Path, **env: str) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], env=env)


def typed(name: str, folder: Path, names: Slots, *options: str | Path) -> list[str | Path]:
    """A command about a study."""
    return [name, *options, "--", folder, names["minis"], "lcc"] if name == "explain" else [name, *options, folder]


@pytest.fixture(scope="module", params=STARTS)
def case(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Case:
    folder = tmp_path_factory.mktemp("attacked") / "study"
    names = attacked(folder, request.param)
    printed = {}
    for name in COMMANDS:
        more = [] if name in ("check", "explain") else ["--out", folder.with_name("out") / name]
        printed[name] = run(*typed(name, folder, names, *COMMANDS[name], *more))
        assert printed[name].exit_code == 0, (name, printed[name].output, printed[name].exception)
    return Case(folder, {slot: unicodedata.normalize("NFC", name) for slot, name in names.items()}, printed)


def books(case: Case) -> list[Path]:
    return sorted(case.out.rglob("*.xlsx"))


def parts(path: Path) -> Iterator[tuple[str, bytes]]:
    with zipfile.ZipFile(path) as book:
        yield from ((name, book.read(name)) for name in book.namelist())


def formulas(path: Path) -> Iterator[str]:
    """Every formula of a workbook: of cells, names, rules, charts."""
    for name, content in parts(path):
        if name.endswith(".xml"):
            for one in ElementTree.fromstring(content).iter():
                if str(one.tag).rpartition("}")[2] in ("f", "formula", "formula1", "formula2", "definedName"):
                    yield one.text or ""


def test_a_workbook_runs_nothing_and_loads_nothing(case: Case) -> None:
    assert len(books(case)) == 7
    for path in books(case):
        for name, content in parts(path):
            assert not re.search(r"external|hyperlink|vba|connection|macro|embed|activeX|query", name), name
            assert b"<hyperlink" not in content, name
            assert b"TargetMode" not in content, name
            assert b"ddeLink" not in content, name
    bare = [LITERAL.sub("", formula) for path in books(case) for formula in formulas(path)]
    assert len(bare) > 1000
    assert not [formula for formula in bare if OUTSIDE.search(formula)]


def test_texts_of_a_study_are_cells_of_texts(case: Case) -> None:
    """Every name of a scenario and each source stands in the comparison as it is, in a cell of text."""
    book = openpyxl.load_workbook(case.out / "compare" / "comparison.xlsx")
    texts = {cell.value for sheet in book for row in sheet.iter_rows() for cell in row if cell.data_type == "s"}
    found = {value.strip() for value in texts}
    assert {case.names[slot] for slot in ("minis", "servers", "rented")} <= found
    shown = "\n".join(texts)
    wanted = ["".join(text.split()) for text in TEXTS if not text.startswith("\u00a0")]
    packed = "".join(shown.split())
    assert [text for text in wanted if unicodedata.normalize("NFC", text) not in packed] == []


def test_names_and_charts_point_at_cells_of_the_workbook(case: Case) -> None:
    for path in books(case):
        book = openpyxl.load_workbook(path)
        titles = {title.casefold() for title in book.sheetnames}
        for sheet in book:
            for name, defined in [*book.defined_names.items(), *sheet.defined_names.items()]:
                assert re.fullmatch(r"[A-Za-z_][A-Za-z0-9_.]{0,253}", name), name
                assert not re.fullmatch(r"[A-Za-z]{1,3}\d+|[rRcC]\d*", name), name
                check_span(defined.attr_text, titles)
        for name, content in parts(path):
            if name.startswith("xl/charts/"):
                for one in ElementTree.fromstring(content).iter(f"{CHART}f"):
                    check_span(one.text or "", titles)


def check_span(text: str, titles: set[str]) -> None:
    """A reference to cells of a sheet that there is."""
    found = SPAN.fullmatch(text)
    assert found, text
    assert found[1].strip("'").replace("''", "'").casefold() in titles


def harmless(cell: str) -> bool:
    """Whether no program takes a cell for a formula, whatever it takes for the end of a cell."""
    if NUMBER.fullmatch(cell):
        return True
    pieces = re.split(r"[;\t\n]", cell)
    return not cell.startswith(SIGNS) and not any(
        (piece if number else piece.lstrip(BLANK)).startswith(SIGNS) for number, piece in enumerate(pieces)
    )


def test_every_csv_is_harmless_and_gives_the_names_back(case: Case) -> None:
    paths = [path for path in case.out.rglob("*.csv") if "study" not in path.parts[-2]]
    assert len(paths) == 15
    scenarios = {case.names[slot] for slot in ("minis", "servers", "rented")}
    for path in paths:
        rows = rows_of(path)
        assert {len(row) for row in rows} == {len(rows[0])}, path
        assert not [cell for row in rows for cell in row if not harmless(cell)], path
        if rows[0][0] == "scenario":
            found = {plain(row[0]).removesuffix(", as data grow") for row in rows[1:]}
            assert found <= {*scenarios, "", "all scenarios", "rented by the TB"}, path


def plain(cell: str) -> str:
    """A name as it was before it was made harmless: names begin with no apostrophe, nor has any here one behind ;."""
    return cell.removeprefix("'").replace(";'", ";")


@pytest.mark.parametrize("text", [*TEXTS, *(f"  {text}" for text in NAMES)])
def test_each_text_is_harmless_in_csv(text: str) -> None:
    made = csv_text(("a", "b"), [("x", text)])
    ((_, cell),) = list(csv.reader(io.StringIO(made, newline=""), strict=True))[1:]
    assert harmless(cell)
    assert cell.replace("'", "") == text.replace("'", "")
    assert (cell == text) == harmless(text)


def test_texts_that_are_no_formulas_stay_as_they_are() -> None:
    for text in (*NUMBERS, "a = b", "a; -5 dB", "1 - 2", "x@y", "none: no loan", "é", "−5"):
        assert csv_text(("a",), [(text,)]) == csv_text(("a",), [(f"x{text}",)]).replace("x", "", 1)


def test_the_page_runs_nothing_and_loads_nothing(case: Case) -> None:
    tree = read((case.out / "compare" / "comparison.html").read_text(encoding="utf-8"))
    assert not list(each(tree, "script", "a", "img", "link", "iframe", "object", "embed", "form", "base"))
    for one in tree.iter():
        assert not [key for key in one.attrib if str(key).startswith("on") or key in ("href", "src", "action")]
        assert all("a.invalid" not in value or key == "aria-label" for key, value in one.attrib.items()), one.attrib


def test_the_terminal_gets_texts_alone(case: Case) -> None:
    for name, printed in case.printed.items():
        assert not UNSEEN.search(printed.stdout), name
        assert not UNSEEN.search(printed.stderr), name


@pytest.mark.parametrize("kind", ["json", "csv"])
def test_programs_get_names_as_they_are(kind: str, case: Case) -> None:
    for name in ("compare", "check", "explain", "track"):
        found = run(*typed(name, case.folder, case.names, "--format", kind))
        assert found.exit_code == 0
        if kind == "csv":
            rows = list(csv.reader(io.StringIO(found.stdout, newline=""), strict=True))
            assert not [cell for row in rows for cell in row if not harmless(cell)]
        else:
            table = json.loads(found.stdout)["table"]
            assert found.stdout.isascii()
            own = {row["scenario"] for row in table["rows"] if "scenario" in row}
            assert own <= {*case.names.values(), "", "all scenarios"}


def test_a_study_that_is_written_has_the_texts_it_had(case: Case) -> None:
    """A copy with a new price: the person's own words, which are theirs."""
    for path in case.folder.iterdir():
        old, new = rows_of(path), rows_of(case.out / "reprice" / "study" / path.name)
        assert new[0][: len(old[0])] == old[0]
        assert {cell for row in old for cell in row} - {cell for row in new for cell in row} <= {""}


def rows_of(path: Path) -> list[list[str]]:
    """The rows of a CSV file."""
    return list(csv.reader(io.StringIO(path.read_bytes().decode(), newline=""), strict=True))


def test_what_is_wrong_is_told_without_harm(case: Case, tmp_path: Path) -> None:
    """Texts that messages repeat: of cells, of names that are asked for."""
    for text in ("\x1b[31mred", "\x1b]0;title\x07", "a\u202egnp.exe", "\u2066x", "\x9b31m", "\x00"):
        folder = study(tmp_path / "broken", ("one", text), question="Which?", months=6)
        asked = [run("check", folder)]
        asked.append(run("explain", case.folder, text, "lcc"))
        asked.append(run("explain", "--", case.folder, case.names["minis"], text))
        asked.append(run("compare", case.folder, "--against", text))
        asked += [run("compare", tmp_path / f"no {text}")] if text != "\x00" else []  # no program can be given that
        for found in asked:
            assert found.exit_code == 2, found.output
            assert not UNSEEN.search(found.stderr), found.stderr
            assert found.stderr.strip()


@pytest.mark.parametrize("name", ["\x1b[31mred.csv", "\x1b]0;x\x07.csv", "a\u202evsc.csv", "new\nline.csv"])
def test_names_of_files_are_told_without_harm(name: str, tmp_path: Path) -> None:
    folder = study(tmp_path / "study", ("one", "two"), question="Which?", months=6)
    (folder / name).write_text("a,b\n")
    found = run("check", folder)
    assert found.exit_code == 2
    assert not UNSEEN.search(found.stderr), found.stderr


def test_names_of_sheets_and_parts_are_told_without_harm(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.title = "study"
    book.active.append(["setting", "value"])
    book.create_sheet("bad\u202etxt").append(["a\u202e", "\u2066b"])
    book.save(tmp_path / "s.xlsx")
    found = run("check", tmp_path / "s.xlsx")
    assert found.exit_code == 2
    assert not UNSEEN.search(found.stderr), found.stderr
    with zipfile.ZipFile(tmp_path / "s.xlsx", "a") as packed:
        packed.writestr("xl/\x1b[31m.xml", b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aa">]><x/>')
    found = run("check", tmp_path / "s.xlsx")
    assert found.exit_code == 2
    assert "entities" in found.stderr
    assert not UNSEEN.search(found.stderr), found.stderr


def numbers(tmp_path: Path) -> Path:
    """Results of a study whose scenarios are called what spreadsheet programs turn into numbers and dates."""
    folder = study(tmp_path / "study", NUMBERS, question="1/2", months=6)
    found = run("compare", folder, "--out", tmp_path / "out")
    assert found.exit_code == 0, found.output
    return tmp_path / "out"


def test_names_like_numbers_and_dates_stay_texts(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(numbers(tmp_path) / "comparison.xlsx")
    texts = {cell.value for row in book["Summary"].iter_rows() for cell in row if cell.data_type == "s"}
    assert set(NUMBERS) <= texts
    assert {name.translate({ord("/"): " ", ord(":"): " "}) for name in NUMBERS} <= set(book.sheetnames)
    with (tmp_path / "out" / "measures.csv").open(encoding="utf-8", newline="") as file:
        assert {row["scenario"] for row in csv.DictReader(file)} == set(NUMBERS)


SHEETS = (
    "Summary", "Assumptions", "History", "a/b", "a:b", "a*b", "a?b", "[a]b", "'", "''", "x" * 31, "x" * 32,
    "x" * 200, "X" * 33, "ﬁne", "Straße", "Strasze", "Written", "Electricity", "👩\u200d💻" * 12,
)  # fmt: skip


@pytest.mark.parametrize(
    "names", [("x" * 40 + "1", "x" * 40 + "2"), SHEETS[:8] + SHEETS[10:], ("é", "e\u0301x", "e")]
)
def test_scenarios_named_like_sheets_or_alike_once_cut(names: tuple[str, ...], tmp_path: Path) -> None:
    folder = study(tmp_path / "study", names, question="Which?", months=6)
    found = run("compare", folder, "--out", tmp_path / "out")
    assert found.exit_code == 0, found.output
    book = openpyxl.load_workbook(tmp_path / "out" / "comparison.xlsx")
    titles = book.sheetnames
    assert len({title.casefold() for title in titles}) == len(titles) >= len(names) + 6
    for title in titles:
        assert 0 < len(title.encode("utf-16-le")) // 2 <= 31
        assert not set(title) & set("[]:*?/\\")
        assert not title.startswith("'")
        assert not title.endswith("'")
        assert title.casefold() != "history"


def test_twins_of_one_name_are_one_name(tmp_path: Path) -> None:
    """ü in one sign or two; the message says that the name stands there twice."""
    folder = study(tmp_path / "study", ("Kästen", "Ka\u0308sten"), question="Which?", months=6)
    found = run("check", folder)
    assert found.exit_code == 2
    assert "scenarios.csv:3:1: " in found.stderr


@needs_libreoffice
def test_a_spreadsheet_program_opens_them_and_runs_nothing(case: Case, tmp_path: Path) -> None:
    """A comparison as it is, and recalculated; no formula has come from a text, and none fails."""
    path = case.out / "compare" / "comparison.xlsx"
    convert([path], tmp_path / "opened", tmp_path / "profile")
    book = openpyxl.load_workbook(tmp_path / "opened" / "comparison.xlsx")
    assert book.sheetnames == openpyxl.load_workbook(path).sheetnames
    bare = [
        LITERAL.sub("", str(cell.value))
        for sheet in book for row in sheet.iter_rows() for cell in row if cell.data_type == "f"
    ]  # fmt: skip
    assert bare
    assert not [formula for formula in bare if OUTSIDE.search(formula)]
    (again,) = recalculated_many([path], tmp_path / "again")
    stored = cells(path)
    texts = {
        (sheet, where): text for sheet, own in stored.items() for where, text in own.items() if isinstance(text, str)
    }
    assert {key: again[key[0]].get(key[1]) for key in texts} == texts


@needs_libreoffice
def test_a_spreadsheet_program_opens_csv_without_formulas(case: Case, tmp_path: Path) -> None:
    """Read as it reads CSV by default, and with semicolons for the ends of cells, formulas taken: there are none."""
    paths = [case.out / "compare" / "checks.csv", case.out / "spend" / "spend.csv"]
    convert(paths, tmp_path / "opened", tmp_path / "profile")
    for path in paths:
        book = openpyxl.load_workbook(tmp_path / "opened" / f"{path.stem}.xlsx")
        kinds = {cell.data_type for row in book.active.iter_rows() for cell in row}
        assert "f" not in kinds
        assert not any(cell.hyperlink for row in book.active.iter_rows() for cell in row)
