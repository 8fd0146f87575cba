"""`tco breakeven` as a person types it: several inputs, another range, and what cannot be asked."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from tco.cli import main
from tests.studies import write_study

PAIR = ("--between", "quiet minis", "rented space")


def asked(out: Path, *words: str) -> Result:
    return CliRunner().invoke(main, ["breakeven", *words, "--out", str(out)])


def rows(out: Path) -> list[dict[str, str]]:
    with (out / "breakeven.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_several_inputs_are_answered_in_their_order_each_once(tmp_path: Path) -> None:
    words = [word for name in ("years", "discount", "years") for word in ("--input", name)]
    result = asked(tmp_path, "demo", *words, *PAIR)
    assert result.exit_code == 0, result.output
    assert [row["input"] for row in rows(tmp_path)] == ["years", "discount"]
    assert max(map(len, result.output.splitlines()[:-2])) <= 80


def test_a_range_is_read_as_its_column_is(tmp_path: Path) -> None:
    """A price in money of its own unit, a share in %, the years in years or months."""
    for name, low, high, wanted in (
        ("hour value", "5 EUR/h", "30 EUR/h", (5.0, 30.0)),
        ("discount", "-5 %", "20 %", (-0.05, 0.2)),
        ("electricity price", "50 %", "150 %", (0.5, 1.5)),
        ("years", "6 months", "2 years", (6.0, 24.0)),
    ):
        result = asked(tmp_path, "demo", "--input", name, "--low", low, "--high", high, *PAIR)
        assert result.exit_code == 0, result.output
        found = rows(tmp_path)[0]
        assert (float(found["low"]), float(found["high"])) == pytest.approx(wanted)


def test_years_may_go_beyond_the_horizon(tmp_path: Path) -> None:
    result = asked(tmp_path, "demo", "--input", "years", "--high", "8 years", *PAIR)
    assert result.exit_code == 0, result.output
    assert float(rows(tmp_path)[0]["high"]) == 96.0
    assert "Looked at: years 0 to 8 years." in result.output


REFUSED = {
    "no such input": (["--input", "hour vale"], "there is no input 'hour vale'; did you mean 'hour value'?"),
    "no such scenario": (["--between", "quiet minis", "loud maxis"], "there is no scenario 'loud maxis'"),
    "one twice": (["--between", "quiet minis", "quiet minis"], "name two scenarios that differ"),
    "low above high": (["--input", "hour value", "--low", "9 EUR/h", "--high", "5 EUR/h"],
                       "the low end, 9 EUR/h, must be below the high one, 5 EUR/h"),
    "no width": (["--input", "hour value", "--low", "9 EUR/h", "--high", "9 EUR/h"], "must be below the high one"),
    "no unit": (["--input", "hour value", "--high", "9"], "'9' has no unit"),
    "another unit": (["--input", "hour value", "--high", "9 W"], "9 W: 'W' is"),
    "nothing": (["--input", "hour value", "--high", ""], "'' is not a number"),
    "bare share": (["--input", "discount", "--high", "3"], "'3' could be 3 % or 300 %"),
    "below the least": (["--input", "hour value", "--low", "-1 EUR/h"], "is below 0 EUR/h, which is the least"),
    "above the most": (["--input", "tax", "--high", "120 %"], "is above 100 %"),
    "a factor as an amount": (["--input", "electricity price", "--high", "0.5 EUR/kWh"], "wanted '%'"),
    "two inputs, one range": (["--input", "tax", "--input", "discount", "--high", "5 %"], "go with one --input"),
    "a range of nothing": (["--high", "5 %"], "go with one --input"),
    "half a month": (["--input", "years", "--high", "1.3 years"], "only whole months count"),
    "a century": (["--input", "years", "--high", "100 years"], "above 600 months, which is the most"),
    "years of one scenario": (["--input", "years", "--scenario", "quiet minis"], "leave the scenario out"),
    "scenario without input": (["--scenario", "quiet minis"], "name the input that varies"),
    "input not there": (["--input", "busy share of old servers", "--scenario", "quiet minis"],
                        "there is no 'busy share of old servers' in scenario 'quiet minis'"),
    "no figure of a home": (["--input", "hour value", "--high", "1e308 EUR/h"], "larger than any figure of a home"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_asked_is_refused_in_plain_words(name: str, tmp_path: Path) -> None:
    words, told = REFUSED[name]
    result = asked(tmp_path / "out", "demo", *words)
    assert result.exit_code == 2
    assert told in result.output
    assert "Traceback" not in result.output
    assert not (tmp_path / "out").exists()


def test_a_study_of_one_scenario_has_nothing_to_compare(tmp_path: Path) -> None:
    (tmp_path / "study").mkdir()
    one = (
        "scenario,title,baseline,parts list,tariff,busy share,upkeep,source\nminis,,yes,minis.csv,household,10 %,,\n"
    )
    study = write_study(tmp_path / "study", scenarios=one, servers=None, one_offs=None, fees=None)
    result = asked(tmp_path / "out", str(study))
    assert result.exit_code == 2
    assert "the study has one scenario, and none to compare it with" in result.output
