"""What a person types, and what comes back."""

from __future__ import annotations

import math
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pandas as pd
import pytest
from click.testing import CliRunner, Result

import tco
from tco.cli import main
from tests import hostile
from tests.studies import write_study

HEAVY = {"numpy", "scipy", "pandas", "pint", "openpyxl", "xlsxwriter", "numpy_financial", "wcwidth", "jinja2"}
COMMANDS = sorted(main.commands)


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.mark.parametrize("module", ["tco.cli", "tco"])
def test_start_is_light(module: str) -> None:
    """`--help` must not pay for libraries that only the work needs."""
    code = f"import sys, {module}; print(sorted({HEAVY!r} & set(sys.modules)))"
    assert subprocess.check_output([sys.executable, "-c", code], text=True) == "[]\n"


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_has_help_with_an_example(command: str) -> None:
    result = run(command, "--help")
    assert result.exit_code == 0
    assert f"Example:  tco {command}" in result.output
    assert max(len(line) for line in result.output.splitlines()) <= 80


def examples() -> list[list[str]]:
    """The first example of each command's help."""
    found = (re.search(r"Example:  tco (.*)", run(command, "--help").output) for command in COMMANDS)
    return [re.findall(r'"[^"]*"|\S+', match.group(1)) for match in found if match]


@pytest.mark.parametrize("words", examples(), ids=" ".join)
def test_the_examples_run(words: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    result = run(*(word.strip('"') for word in words))
    assert result.exit_code == 0, result.output


def test_compare_answers_first_fits_the_screen_and_names_its_files(tmp_path: Path) -> None:
    result = run("compare", "--out", tmp_path / "new" / "results")
    assert result.exit_code == 0, result.output
    lines = result.output.splitlines()
    assert lines[0] == "Which storage cluster for our flat in Graz?"
    assert lines[2].startswith("Cheapest of those that meet all needs: quiet minis")
    written = [Path(line.strip()) for line in lines[lines.index("written:") + 1 :]]
    names = ["comparison.xlsx", "lines.csv", "measures.csv", "bills.csv", "checks.csv", "replacements.csv"]
    assert [path.name for path in written] == names
    assert all(path.exists() for path in written)
    assert max(map(len, lines[: lines.index("written:")])) <= 80


def test_the_table_fits_the_screen_with_long_names_and_large_sums(tmp_path: Path) -> None:
    name = "an uncommonly long name for four quiet minis"
    folder = write_study(
        tmp_path / "study",
        scenarios=f"scenario,baseline\n{name},yes\nother,\n",
        one_offs=f"scenario,what,month,amount\n{name},x,0,123456789 EUR\nother,x,1,-9999999.99 EUR\n",
        **dict.fromkeys(("minis", "servers", "nodes", "tariffs", "fees"), None),
    )
    result = run("compare", folder, "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output
    table = result.output.split("\nwritten:")[0]
    assert max(map(len, table.splitlines())) <= 80
    assert "1,000 EUR" in table
    assert "123,457" in table


def test_csv_reads_back_as_it_is_and_agrees_with_the_library(tmp_path: Path) -> None:
    run("compare", "--out", tmp_path)
    comparison = tco.compare(tco.load(tco.demo()))
    pd.testing.assert_frame_equal(pd.read_csv(tmp_path / "lines.csv"), tco.lines(comparison))
    measures, own = pd.read_csv(tmp_path / "measures.csv", keep_default_na=False), tco.measures(comparison)
    pd.testing.assert_frame_equal(measures.drop(columns="value"), own.drop(columns="value"), check_dtype=False)
    numbers, own_numbers = (pd.to_numeric(frame.value, errors="coerce") for frame in (measures, own))
    pd.testing.assert_series_equal(numbers, own_numbers)
    words = numbers.isna()
    assert measures.value[words].tolist() == own.value[words].tolist()
    assert words.any()
    known = {text for column in comparison.built.model.columns.values() for text in column.words}
    assert set(measures.value[words]) <= known
    assert measures.value[words].str.startswith("none").any()
    purchase = tco.lines(comparison).query("scenario == 'quiet minis' and line == 'purchase'").value.sum()
    assert (
        purchase == tco.measures(comparison).set_index(["scenario", "measure"]).value["quiet minis", "total_purchase"]
    )


def test_a_broken_study_is_told_on_standard_error_and_writes_nothing(tmp_path: Path) -> None:
    folder = write_study(tmp_path / "study", tariffs=("0.31 EUR/kWh", "cheap"), fees=("5.50", "x"))
    result = run("compare", folder, "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert result.stdout == ""
    assert "tariffs.csv:2:3: price: " in result.stderr
    assert "fees.csv:2:4: amount per TB: " in result.stderr
    assert "2 problems in 2 files; nothing was written" in result.stderr
    assert not (tmp_path / "out").exists()


def test_a_study_that_does_not_exist(tmp_path: Path) -> None:
    result = run("compare", tmp_path / "nowhere")
    assert result.exit_code == 2
    assert "nowhere" in result.stderr
    assert "Traceback" not in result.stderr


def test_explain_says_which_names_there_are() -> None:
    result = run("explain", "demo", "quiet mini", "electricity")
    assert result.exit_code == 2
    assert "did you mean 'quiet minis'?" in result.stderr


def test_a_name_may_be_typed_with_letters_and_accents_apart(tmp_path: Path) -> None:
    """As some keyboards and file managers send them; a study's names are composed (Unicode's NFC)."""
    folder = hostile.study(tmp_path / "study", ("k\u00fchl", "warm"), question="Which?", months=6)
    ran = run("explain", folder, "ku\u0308hl", "lcc")
    assert (ran.exit_code, ran.stderr) == (0, "")
    assert "k\u00fchl" in ran.stdout
    ran = run("breakeven", folder, "--between", "ku\u0308hl", "warm", "--input", "discount")
    assert ran.exit_code == 0, ran.stderr


def test_version() -> None:
    assert re.fullmatch(r"tco \d+\.\d+\.\d+\n", run("--version").output)


def measure(name: str) -> float:
    """A measure of the demo's minis, as measures.csv has it."""
    found = tco.measures(tco.compare(tco.load(tco.demo()))).set_index(["scenario", "measure"]).value
    return float(found["quiet minis", name])


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["total"], f"undiscounted total: {measure('undiscounted'):,.2f} EUR"),
        (["energy"], "energy over the horizon: "),
        (["crossing_1_ahead"], f"month {math.ceil(measure('crossing_1_ahead'))} ("),
        (["resale", "1"], "Resale, month 1 (2026-12): 0 EUR"),
    ],
)
def test_explain_over_the_horizon_and_by_month(words: list[str], told: str) -> None:
    assert told in " ".join(run("explain", "demo", "quiet minis", *words).output.split())


def test_explain_of_a_measure_by_month_says_what_there_is_by_month() -> None:
    assert "no line by month 'lcc'" in run("explain", "demo", "quiet minis", "lcc", "1").stderr
    assert "no month 'left out'" in run("explain", "demo", "quiet minis", "power").stderr


def test_names_that_are_too_long_for_their_column_are_not_cut(tmp_path: Path) -> None:
    """Nine names that differ in the middle only: each stands whole above its figures, once in each table."""
    names = [f"a very long scenario name, number {n}, of the nine" for n in range(9)]
    rows = [f'"{name}",{"" if n else "yes"}' for n, name in enumerate(names)]
    paid = [f'"{name}",x,0,{100 + n} EUR' for n, name in enumerate(names)]
    folder = write_study(
        tmp_path / "study",
        scenarios="\n".join(["scenario,baseline", *rows]) + "\n",
        one_offs="\n".join(["scenario,what,month,amount", *paid]) + "\n",
        **dict.fromkeys(("minis", "servers", "nodes", "tariffs", "fees"), None),
    )
    lines = run("compare", folder, "--out", tmp_path / "out").output.splitlines()
    alone = [line for line in lines if line in names]
    assert alone == [*names, *names[1:]]  # the first is the baseline


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no full device here")
def test_an_answer_that_cannot_be_printed() -> None:
    with Path("/dev/full").open("w") as full:
        command = [sys.executable, "-m", "tco.cli", "explain", "demo", "quiet minis", "lcc"]
        ran = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert ran.returncode == 2
    assert ran.stderr.startswith("the answer cannot be printed")
    assert "Traceback" not in ran.stderr


def test_another_baseline(tmp_path: Path) -> None:
    found = run("compare", "demo", "--out", tmp_path, "--against", "quiet minis")
    assert "vs quiet minis" in found.output
    measures = pd.read_csv(tmp_path / "measures.csv", keep_default_na=False).set_index(["scenario", "measure"]).value
    assert float(measures["old servers", "net_savings"]) < -1000
    assert measures["quiet minis", "simple_payback"] == "none: it is the baseline"
    unknown = run("compare", "demo", "--out", tmp_path, "--against", "quiet mini")
    assert unknown.exit_code == 2
    assert "there is no scenario 'quiet mini'; did you mean 'quiet minis'?" in unknown.stderr


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("equivalent_year_kept_3_years", "Equivalent year, 3 years:"),
        ("savings-to-investment ratio", "savings-to-investment ratio:"),
        ("level_horizon", "none: less at every horizon"),
        ("rate_of_return", "internal rate of return a year:"),
        ("borrowing_rate", "none: it is no loan"),
        ("crossing_1_ahead", "ahead of old servers so far"),
    ],
)
def test_explain_of_returns_and_holding_periods(line: str, told: str) -> None:
    found = run("explain", "demo", "quiet minis", line)
    assert found.exit_code == 0, found.stderr
    assert told.lower() in found.output.lower()


def test_explain_of_what_does_not_exist_says_why() -> None:
    found = run("explain", "demo", "old servers", "rate_of_return")
    assert found.exit_code == 0, found.stderr
    assert "old servers, internal rate of return a year: none: it is the baseline" in found.output
    assert "nan" not in found.output


def test_a_version_that_never_holds_is_said_to_change_nothing(tmp_path: Path) -> None:
    result = run("reprice", "demo", "--price", "0.36 EUR/kWh", "--from", "2025-06", "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output
    told = " ".join(result.output.split())
    assert "of 2025-06 is superseded by that of 2026-01 before the study begins, so that no figure changes." in told
    assert "is one price from 2025-06" not in told


def test_an_interrupt_in_the_middle_of_a_simulation_leaves_old_results(tmp_path: Path) -> None:
    """A real signal to a real process, once it is at work: exit code 1, how far it got, nothing new, no litter."""
    out = tmp_path / "out"
    assert run("simulate", "demo", "--draws", "1000", "--out", out).exit_code == 0
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    words = [sys.executable, "-m", "tco.cli", "simulate", "demo", "--draws", "100000000", "--out", str(out)]
    for wait in (6, 20, 60):  # a busy machine needs longer before it draws; stopped earlier it has not counted yet
        with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
            time.sleep(wait)
            process.send_signal(signal.SIGINT)
            printed, told = process.communicate(timeout=60)
        assert (process.returncode, printed) == (1, "")
        assert {path.name: path.read_bytes() for path in out.iterdir()} == before
        assert "nothing was written, earlier results stay" in told
        if "stopped; " not in told:
            break
    assert re.search(r"stopped after [\d,]+ of 100,000,000 draws; nothing was written, earlier results stay", told)


@pytest.mark.parametrize("words", [("compare", "--out", ""), ("compare", ""), ("new", ""), ("check", "")])
def test_an_empty_word_is_no_place(words: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As `--out "$FOLDER"` has it where the variable is not set."""
    monkeypatch.chdir(tmp_path)
    done = run(*words)
    assert done.exit_code == 2
    assert "it is empty; name a place" in done.stderr
    assert not list(tmp_path.iterdir())
