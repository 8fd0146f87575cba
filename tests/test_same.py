"""The same study and seed give the same bytes, wherever and however the tool is run and the tables are spelt.

Where it ends: TCO_PYTHONS names further interpreters, joined by the path separator, with other versions of Python and
of libraries. Their figures agree to DIGITS, and their words altogether.
"""

from __future__ import annotations

import csv
import io
import os
import re
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

import tco
from tco.cli import main
from tests import asked
from tests.read.test_xlsx import write_book
from tests.same import BACKWARDS, COMMANDS, ROOT, Outcome, came_out, differing, locales, outcome
from tests.studies import TABLES, WHOLE, write_study

DIGITS = 12  # in which figures agree where another library or processor adds up in another order
FURTHER = [Path(each) for each in os.environ.get("TCO_PYTHONS", "").split(os.pathsep) if each]
TURKISH, GERMAN = "tr_TR.UTF-8", "de_DE.UTF-8"  # i has no dot there, and a comma is in numbers
PLAIN = {"LC_ALL": "C.UTF-8", "TZ": "UTC", "PYTHONHASHSEED": "0", "OMP_NUM_THREADS": "2", "OPENBLAS_NUM_THREADS": "2"}
SURROUNDINGS: Mapping[str, dict[str, str]] = {
    "a day ahead, one core, optimized": {
        "LC_ALL": TURKISH, "TZ": "Pacific/Kiritimati", "PYTHONHASHSEED": "1",
        "PYTHONOPTIMIZE": "2", "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1",
    },
    "files listed backwards": {
        "LC_ALL": GERMAN, "LANGUAGE": "de", "TZ": "America/St_Johns", "PYTHONHASHSEED": "2", BACKWARDS: "yes",
    },
    "no locale": {"TZ": "Asia/Kolkata", "PYTHONHASHSEED": "random", "PYTHONUTF8": "1"},
}  # fmt: skip
Home = tuple[Path, Path]  # where processes run, and the study


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Home:
    """A folder for processes, and the study that they are asked about."""
    folder = tmp_path_factory.mktemp("same")
    return folder, asked.study(folder / "study")


@pytest.fixture(scope="module")
def outcomes(home: Home) -> Mapping[str, Outcome]:
    """What came out in each of the surroundings, two processes at a time."""
    folder, study = home
    made = locales(folder, (TURKISH, GERMAN))
    for path in study.iterdir():
        os.utime(path, (0, 0))
    study.chmod(0o500)  # nothing is written beside the tables
    begun = {"plain": (str(study), PLAIN)} | {
        name: (os.path.join("..", "study"), known(words, made, folder)) for name, words in SURROUNDINGS.items()
    }
    try:
        with ThreadPoolExecutor(2) as pool:
            runs = {
                name: pool.submit(came_out, folder / f"in {number}", typed, **words)
                for number, (name, (typed, words)) in enumerate(begun.items())
            }
            return {name: run.result() for name, run in runs.items()}
    finally:
        study.chmod(0o700)


def known(words: Mapping[str, str], made: list[str], folder: Path) -> dict[str, str]:
    """Surroundings with their locale as compiled here; where it is not, the system's own of that name, if any."""
    return {**words, "LOCPATH": str(folder)} if words.get("LC_ALL") in made else dict(words)


def test_every_command_left_something(outcomes: Mapping[str, Outcome]) -> None:
    names = set(outcomes["plain"])
    for command in COMMANDS:
        assert outcomes["plain"][f"{command}.said"]
        assert any(name.startswith((f"results-{command}/", "begun/")) for name in names), command
    assert {"results-compare/comparison.html", "results-simulate/simulate.csv"} <= names
    assert "results-track/track.xlsx/xl/workbook.xml" in names
    assert len(outcomes["plain"]["standard error"].splitlines()) > 1


@pytest.mark.parametrize("name", SURROUNDINGS)
def test_surroundings_change_no_byte(name: str, outcomes: Mapping[str, Outcome], home: Home) -> None:
    plain, other = outcomes["plain"], outcomes[name]
    told = {key: text.replace(str(home[1]).encode(), b"../study") for key, text in plain.items()}
    assert differing(told, other) == []


def test_the_locales_were_there(home: Home) -> None:
    missing = [name for name in (TURKISH, GERMAN) if not (home[0] / name).is_dir()]
    if missing:
        pytest.skip(f"{', '.join(missing)} cannot be compiled here (localedef, and Debian's locales); C stood in")


def test_another_day_is_a_difference_that_is_seen(outcomes: Mapping[str, Outcome], tmp_path: Path) -> None:
    """The tests above can fail."""
    changed = dict(outcomes["plain"])
    begun = CliRunner().invoke(main, ["new", str(tmp_path / "s"), *COMMANDS["new"][2:-1], "2026-12-01"])
    assert begun.exit_code == 0, begun.output
    changed["begun/study.csv"] = (tmp_path / "s" / "study.csv").read_bytes()
    assert differing(outcomes["plain"], changed) == ["begun/study.csv"]


# spelt otherwise


def table_by_table(change: Callable[[str], bytes]) -> Callable[[Path], Path]:
    """Writes the whole study with each table changed."""
    return lambda folder: write_study(
        folder, **{name: change(text) for name, text in {**TABLES, **WHOLE}.items() if isinstance(text, str)}
    )


def with_semicolons(text: str) -> bytes:
    """A table as spreadsheet programs of the continent export it."""
    out = io.StringIO()
    rows = csv.reader(io.StringIO(text))
    csv.writer(out, delimiter=";", lineterminator="\r\n").writerows(rows)
    return out.getvalue().encode("utf-8-sig")


def in_a_book(folder: Path) -> Path:
    """The whole study as one workbook."""
    folder.mkdir(parents=True)
    return write_book(folder / "study.xlsx", tables={**TABLES, **WHOLE})


SPELLINGS: Mapping[str, Callable[[Path], Path]] = {
    "lines end otherwise": table_by_table(lambda text: text.replace("\n", "\r\n").encode()),
    "UTF-16": table_by_table(lambda text: text.encode("utf-16")),
    "semicolons": table_by_table(with_semicolons),
    "a workbook": in_a_book,
}
SHORT = {name: COMMANDS[name] for name in ("compare", "simulate", "track")}


def ran(study: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, bytes]:
    """What some of the commands print and write about a study, in this process, beside it."""
    here = study.parent / "results"
    here.mkdir()
    monkeypatch.chdir(here)
    for name, words in SHORT.items():
        found: Result = CliRunner().invoke(main, [word.format(study=study, out=name) for word in words])
        assert found.exit_code == 0, found.output
        (here / f"{name}.said").write_text(found.stdout, encoding="utf-8")
    return outcome(here)


@pytest.fixture(scope="module")
def as_usual(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    with pytest.MonkeyPatch.context() as patch:
        return ran(asked.study(tmp_path_factory.mktemp("usual") / "study"), patch)


@pytest.mark.parametrize("name", SPELLINGS)
def test_spelling_changes_no_byte(
    name: str, as_usual: dict[str, bytes], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = ran(SPELLINGS[name](tmp_path / "study"), monkeypatch)
    if name == "a workbook":  # whose values stand in `study:2`, not in `study.csv:2`, as the results say
        as_usual, found = as_if_in_sheets(as_usual), as_if_in_sheets(found)
    assert differing(as_usual, found) == []


def as_if_in_sheets(found: Outcome) -> Outcome:
    """What came out with every place in a sheet, and without the checksums of texts that name places."""
    return {
        name: re.sub(rb"\.csv:(\d)", rb":\1", text)
        for name, text in found.items()
        if not name.endswith("docProps/custom.xml")
    }


# what day it is


def test_today_is_asked_of_the_clock_only_where_nobody_says_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Clock(date):
        @classmethod
        def today(cls) -> date:
            return date(2031, 5, 6)

    monkeypatch.setattr("tco.start.answers.date", Clock)
    tco.new(tmp_path / "clock")
    tco.new(tmp_path / "said", today=date(2026, 11, 29))
    starts = [tco.load(tmp_path / name).settings.start for name in ("clock", "said")]
    assert starts == [date(2031, 6, 1), date(2026, 12, 1)]
    told = CliRunner().invoke(main, ["new", str(tmp_path / "told")]).stdout
    assert "start: 2031-06, the month after 2031-05-06 (taken, as nothing was said)" in " ".join(told.split())


@pytest.mark.parametrize(("day", "code"), [("2026-11-03", 0), ("2026-11-02", 2), ("soon", 2)])
def test_a_ledger_is_held_against_the_day_that_is_said(day: str, code: int, home: Home, tmp_path: Path) -> None:
    found = CliRunner().invoke(main, ["track", str(home[1]), "--today", day, "--out", str(tmp_path / "out")])
    assert found.exit_code == code, found.output
    assert code == 0 or not (tmp_path / "out").exists()


# other Pythons and libraries


@pytest.mark.parametrize("python", FURTHER, ids=str)
def test_other_versions_agree(python: Path, outcomes: Mapping[str, Outcome], home: Home) -> None:
    """Each file and sheet has the same words, and figures alike to DIGITS."""
    folder, study = home
    plain, other = outcomes["plain"], came_out(folder / f"by {FURTHER.index(python)}", study, str(python), **PLAIN)
    assert plain.keys() == other.keys()
    for name in plain:
        assert unlike(*(content(name, found[name]).decode() for found in (plain, other))) == [], name


def content(name: str, text: bytes) -> bytes:
    """What a file says; of a workbook its cells and their texts, for the rest is up to the library's version."""
    if ".xlsx/" not in name or name.endswith("sharedStrings.xml"):
        return text
    return b"\n".join(re.findall(rb"<c r=.*?(?:/>|</c>)", text)) if "/worksheets/sheet" in name else b""


def unlike(one: str, other: str) -> list[tuple[str, str]]:
    """What is not alike in two texts: words, or numbers that differ within DIGITS."""
    pieces = [re.split(r"(-?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?)", text) for text in (one, other)]
    if len(pieces[0]) != len(pieces[1]):
        return [(one, other)]
    return [(a, b) for a, b in zip(*pieces, strict=True) if a != b and not is_alike(a, b)]


def is_alike(one: str, other: str) -> bool:
    """Whether two texts are numbers that agree to DIGITS."""
    try:
        return float(one) == pytest.approx(float(other), rel=10.0**-DIGITS, abs=10.0**-DIGITS)
    except ValueError:
        return False


def test_figures_that_differ_are_found() -> None:
    assert unlike("a,1.0000000000001,b", "a,1.0,b") == []
    assert unlike("a,1.00001,b", "a,1.0,b") == [("1.00001", "1.0")]
    assert unlike("a,1.0,b", "a,1.0,c") == [(",b", ",c")]


def test_versions_under_test_are_no_others() -> None:
    """TCO_PYTHONS names interpreters that are there."""
    assert [python for python in FURTHER if not python.is_file()] == []
    assert (ROOT / "pyproject.toml").is_file()
