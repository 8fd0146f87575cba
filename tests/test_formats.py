"""What programs get: one table as CSV, the same bytes as the result file, or one JSON object; and who hears what."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from tco.cli import main
from tco.write.records import in_json
from tco.write.tables import Table
from tests import asked
from tests.asked import FILES, WORDS, run
from tests.studies import write_study

COMMANDS = list(WORDS)


@pytest.fixture(scope="module")
def study(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return asked.study(tmp_path_factory.mktemp("formats") / "study")


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of its own to work in: what is written unasked would show there."""
    folder = tmp_path / "here"
    folder.mkdir()
    monkeypatch.chdir(folder)
    return folder


def refused(word: str) -> float:
    raise AssertionError(f"{word} is no JSON")


def parsed(text: str) -> dict[str, Any]:
    """A JSON text by the letter of RFC 8259."""
    found: dict[str, Any] = json.loads(text, parse_constant=refused)
    return found


def test_every_command_takes_every_format() -> None:
    assert set(COMMANDS) <= set(main.commands)
    for command in main.commands.values():
        assert {"kind", "quiet", "verbose"} <= {option.name for option in command.params}


@pytest.mark.parametrize("command", FILES)
def test_csv_is_the_result_file_to_the_byte(command: str, study: Path, tmp_path: Path) -> None:
    found = run(command, study, "--format", "csv", "--out", tmp_path / "out")
    assert found.exit_code == 0, found.stderr
    assert found.stdout_bytes == (tmp_path / "out" / FILES[command]).read_bytes()


def test_a_grid_that_is_asked_for_is_the_table(study: Path, tmp_path: Path) -> None:
    found = run("vary", study, "--format", "csv", "--out", tmp_path / "out", "--years", "1..2")
    assert found.stdout_bytes == (tmp_path / "out" / "vary_grid.csv").read_bytes()


def test_check_prints_the_comparison_s_table(study: Path, tmp_path: Path) -> None:
    assert run("compare", study, "--out", tmp_path / "out", "--quiet").exit_code == 0
    assert run("check", study, "--format", "csv").stdout_bytes == (tmp_path / "out" / "checks.csv").read_bytes()


@pytest.mark.parametrize("kind", ["csv", "json"])
@pytest.mark.parametrize("command", COMMANDS)
def test_programs_get_no_files_that_they_did_not_ask_for(command: str, kind: str, study: Path, here: Path) -> None:
    found = run(command, study, "--format", kind)
    assert found.exit_code == 0, found.stderr
    assert list(here.iterdir()) == []


@pytest.mark.parametrize("command", COMMANDS)
def test_json_says_what_csv_says(command: str, study: Path) -> None:
    """Number by number to the bit, word by word; where there is no number the reason is that of the CSV."""
    rows = list(csv.reader(io.StringIO(run(command, study, "--format", "csv").stdout)))
    found = run(command, study, "--format", "json")
    assert found.stdout.isascii()
    whole = parsed(found.stdout)
    table = whole["table"]
    assert table["columns"] == rows[0]
    assert table["name"] == FILES.get(command, "checks.csv" if command == "check" else "")
    assert len(table["rows"]) == len(rows) - 1 > 0
    for own, plain in zip(table["rows"], rows[1:], strict=True):
        assert [same(own, name, text) for name, text in zip(rows[0], plain, strict=True)] == [True] * len(plain), own


def same(own: dict[str, Any], name: str, text: str) -> bool:
    """Whether a value says what a cell of the CSV says."""
    value = own[name]
    if value is None:
        reason: str = own["reason"][name]
        return reason == text or (text == "" and reason.startswith("none: "))
    if isinstance(value, str):
        return text in (value, f"'{value}")
    return float(text) == value


def test_json_has_the_answer_and_the_files(study: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    whole = parsed(run("breakeven", study, "--format", "json", "--out", out).stdout)
    assert list(whole) == ["command", "question", "answer", "notes", "table", "files"]
    assert whole["command"] == "breakeven"
    assert whole["question"] == "Which storage for our flat?"
    assert whole["files"] == [str(out / "breakeven.csv")]
    told = " ".join(run("breakeven", study, "--out", out).stdout.split())
    assert whole["answer"]
    for sentence in (*whole["answer"], *whole["notes"]):
        assert sentence in told


def test_a_figure_that_is_not_there_is_null_with_its_reason_and_words_stay_words() -> None:
    rows = [("none of them", 0.1 + 0.2, "met"), ("b", "none: never", "unknown: not stated"), ("c", "", -0.0)]
    table = Table("x.csv", ("scenario", "one", "two"), rows, ("one", "two"), "none: because")
    assert parsed(in_json("x", {}, table, []))["table"]["rows"] == [
        {"scenario": "none of them", "one": 0.30000000000000004, "two": "met"},
        {"scenario": "b", "one": None, "two": None, "reason": {"one": "none: never", "two": "unknown: not stated"}},
        {"scenario": "c", "one": None, "two": 0.0, "reason": {"one": "none: because"}},
    ]
    assert "-0.0" not in in_json("x", {}, table, [])


def test_what_is_no_number_never_becomes_json() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        in_json("x", {}, Table("", ("one",), [(float("nan"),)], ("one",)), [])


@pytest.mark.parametrize("command", COMMANDS)
def test_quiet_is_silent(command: str, study: Path, here: Path) -> None:
    found = run(command, study, "--quiet")
    assert (found.exit_code, found.stdout, found.stderr) == (0, "", "")
    assert (here / "out").is_dir() == (command in FILES)


@pytest.mark.parametrize("command", COMMANDS)
def test_quiet_leaves_what_a_program_asks_for(command: str, study: Path) -> None:
    loud, quiet = (run(command, study, "--format", "csv", *more) for more in ([], ["-q"]))
    assert (quiet.stdout, quiet.stderr) == (loud.stdout, "")
    assert all(line.startswith("note: ") for line in loud.stderr.splitlines())


def test_quiet_does_not_hide_errors(study: Path) -> None:
    found = run("explain", study, "--quiet", "1000")
    assert found.exit_code == 2
    assert "there is no line by month 'lcc'" in found.stderr


def test_verbose_tells_on_standard_error_what_is_done_and_for_how_long(study: Path) -> None:
    plain, told = run("breakeven", study), run("breakeven", study, "-v")
    assert told.stdout == plain.stdout
    lines = told.stderr.splitlines()
    starts = [f"reading {study} (3 scenarios, 60 months): ", "working out costs (", "looking along all inputs: ",
              f"writing {Path('out') / 'breakeven.csv'}: "]  # fmt: skip
    assert len(lines) == len(starts)
    for line, start in zip(lines, starts, strict=True):
        assert line.startswith(start)
        assert line.endswith(" s")
        assert float(line.split()[-2]) >= 0
    assert plain.stderr == ""


@pytest.mark.parametrize("place", ["group", "command"])
def test_quiet_and_verbose_stand_before_or_after_the_command(place: str, study: Path) -> None:
    def asked(flag: str) -> tuple[str, str]:
        words = [flag, "check", str(study)] if place == "group" else ["check", str(study), flag]
        found = CliRunner().invoke(main, words)
        assert found.exit_code == 0
        return found.stdout, found.stderr

    assert asked("-q") == ("", "")
    assert asked("-v")[1].startswith("reading ")


def test_quiet_and_verbose_at_once_are_refused(study: Path) -> None:
    for words in (["-q", "check", str(study), "-v"], ["check", str(study), "-q", "-v"]):
        found = CliRunner().invoke(main, words)
        assert (found.exit_code, found.stdout) == (2, "")
        assert "--quiet or --verbose, not both" in found.stderr


def test_an_unknown_format_is_refused(study: Path) -> None:
    found = run("check", study, "--format", "xml")
    assert (found.exit_code, found.stdout) == (2, "")
    assert "'text', 'csv', 'json'" in found.stderr


def test_a_price_that_is_there_already_leaves_a_table_without_rows(study: Path) -> None:
    words = ["reprice", str(study), "--price", "0.31 EUR/kWh", "--from", "2026-01", "--format"]
    found = CliRunner().invoke(main, [*words, "csv"])
    assert (found.exit_code, found.stdout) == (0, "scenario,figure,month,before,after,change,unit\n")
    assert found.stderr.startswith("note: nothing to change: ")
    whole = parsed(CliRunner().invoke(main, [*words, "json"]).stdout)
    assert (whole["table"]["rows"], whole["files"]) == ([], [])
    assert whole["answer"][0].startswith("nothing to change: ")


def test_files_that_are_asked_for_are_written_with_any_format(tmp_path: Path, here: Path) -> None:
    own = write_study(tmp_path / "own")
    before = (own / "tariffs.csv").read_text()
    found = run("reprice", own, "--write", "--format", "csv", "--quiet")
    assert found.exit_code == 0, found.stderr
    assert (own / "tariffs.csv").read_text() != before
    assert (here / "out" / "reprice.csv").read_bytes() == found.stdout_bytes


def test_explain_has_the_figure_itself_first_and_numbers_in_full(study: Path) -> None:
    rows = list(csv.DictReader(io.StringIO(run("explain", study, "--format", "csv").stdout)))
    measures = csv.DictReader(io.StringIO(run("compare", study, "--format", "csv").stdout))
    lcc = next(row for row in measures if (row["scenario"], row["measure"]) == ("minis", "lcc"))
    assert (rows[0]["scenario"], rows[0]["unit"]) == ("minis", "EUR")
    assert float(rows[0]["value"]) == pytest.approx(float(lcc["value"]), rel=1e-13)  # which its check confirms
    assert any(row["from"].startswith("minis.csv:2:") for row in rows)
    assert len({row["cell"] for row in rows}) == len(rows)
