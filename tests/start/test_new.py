"""`tco new`: what it asks, what it takes, what it refuses, and that a folder comes whole or not at all."""

from __future__ import annotations

import errno
import json
import os
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

import tco
from tco.cli import main, new
from tco.errors import AskedError, ResultError
from tco.start.answers import answered
from tco.write.new_folder import write_new


def run(*words: str | Path, answers: str | None = None) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], input=answers)


@pytest.fixture
def somebody(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if a person sat at the terminal."""
    monkeypatch.setattr(new, "is_asking", lambda: True)


def test_without_a_terminal_the_usual_is_taken_and_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    result = run("new", "my-study")
    assert result.exit_code == 0, result.output
    told = " ".join(result.stdout.split())
    assert result.stderr == ""
    for text in (
        "currency: EUR (taken, as nothing was said)",
        "0.2872 EUR/kWh, the official average of European Union (27 countries), which has fixed charges in it",
        "a new hard drive of 8 TB: 200 EUR",
        "room: 12 TB at the start (taken",
        "1. tariffs.csv: ",
        "next: tco compare my-study --out my-study-results",
    ):
        assert text in told, text
    assert max(map(len, result.stdout.splitlines())) <= 80
    following = result.stdout.splitlines()[-1].split()[1:]
    assert run(*following).exit_code == 0


def test_what_was_given_is_not_called_taken(tmp_path: Path) -> None:
    result = run(
        "new", tmp_path / "s", "--region", "maine", "--room", "3 TB", "--build", "servers", "--build", "rented"
    )
    told = " ".join(result.stdout.split())
    assert "room: 3 TB at the start -" in told
    assert "builds: old servers, rented space change" in told
    assert "currency: USD (taken" in told
    settings = tco.load(tmp_path / "s").settings
    assert (settings.currency, settings.time_zone, settings.data_held) == ("USD", "America/New_York", 3.0)


def test_as_one_table_and_one_object(tmp_path: Path) -> None:
    table = run("new", tmp_path / "one", "--format", "csv", "--room", "3")
    assert table.stdout.splitlines()[0] == "answer,value,from"
    assert "room,3 TB at the start,given" in table.stdout.splitlines()
    found = json.loads(run("new", tmp_path / "two", "--format", "json").stdout)
    assert {row["from"] for row in found["table"]["rows"]} == {"taken"}
    assert sorted(Path(path).name for path in found["files"]) == sorted(os.listdir(tmp_path / "two"))


@pytest.mark.usefixtures("somebody")
def test_questions_are_asked_again_until_they_are_answered(tmp_path: Path) -> None:
    typed = [
        "Atlantis",
        "Germany",
        "Taler",
        "CHF",
        "one",
        "0.95",
        "cheap",
        "190",
        "9000",
        "20 TB",
        "mainframes",
        "minis",
    ]
    result = run("new", tmp_path / "s", answers="\n".join([*typed, ""]))
    assert result.exit_code == 0, result.output
    asked = " ".join(result.stderr.split())
    for text in (
        "no average price of 'Atlantis' is known",
        "currency 'TALER' is unknown",
        "What 1 EUR costs in CHF",
        "'one' is not a number",
        "'cheap' is not a number",
        "found 9000 TB; builds of a home hold from 0.5 TB to 500 TB",
        "there is no kind of build 'mainframes'",
    ):
        assert text in asked, text
    study = tco.load(tmp_path / "s")
    assert study.rates == {"EUR": 0.95}
    assert study.tariffs["average of Germany"][0].price == pytest.approx(0.3835 * 0.95)
    assert [one.scenario for one in study.scenarios] == ["quiet minis"]


@pytest.mark.usefixtures("somebody")
def test_pressing_enter_takes_the_usual(tmp_path: Path) -> None:
    result = run("new", tmp_path / "s", answers="\n" * 5)
    assert result.exit_code == 0, result.output
    assert len(tco.load(tmp_path / "s").scenarios) == 4
    assert "What one more kWh costs" not in result.stderr  # the region tells it


@pytest.mark.usefixtures("somebody")
def test_nobody_is_asked_what_was_given_or_need_not_be_known(tmp_path: Path) -> None:
    result = run("new", tmp_path / "s", "--price", "0.31 EUR/kWh", "--room", "2", answers="\n" * 3)
    assert result.exit_code == 0, result.output
    assert result.stderr.count("answer [") == 3
    assert run("new", tmp_path / "t", "--no-questions").stderr == ""


@pytest.mark.usefixtures("somebody")
def test_answers_that_end_leave_nothing(tmp_path: Path) -> None:
    assert run("new", tmp_path / "s", answers="Germany\n").exit_code == 1
    assert os.listdir(tmp_path) == []


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--currency", "CHF"], "--region: the currency alone tells no region"),
        (["--currency", "USD"], "--region: the currency alone tells no region"),
        (
            ["--region", "Germany", "--currency", "CHF"],
            "--rate: the average price of Germany is in EUR: say what 1 EUR",
        ),
        (["--region", "none"], "--price: without a region the price of a kWh is needed"),
        (["--price", "0.31 NZD/kWh"], "--drive-price: no rough price of a new hard drive of 8 TB is known in NZD"),
        (["--price", "0.31 CHF/kWh", "--currency", "EUR"], "--price: 'CHF/kWh': there is no rate for CHF"),
        (["--price", "cheap"], "--price: 'cheap' is not a number"),
        (["--rate", "0.9"], "--rate: no rate is needed, for everything is in EUR"),
        (["--region", "Austria"], "--region: no average price of 'Austria' is known"),
        (["--region", "Germny"], "is known; did you mean 'Germany'? For elsewhere say 'none'"),
        (["--room", "0.4 TB"], "--room: found 0.4 TB"),
        (["--room", "501"], "--room: found 501 TB"),
        (["--room", "1.234 TB"], "'1.234' could be 1.234 or 1234"),
        (["--room", "12 Tb"], "did you mean"),
        (["--build", "mainframes"], "--build: there is no kind of build 'mainframes'; there are quiet minis"),
        (["--build", ","], "--build: name at least one of"),
        (["--drive-price", "0 EUR"], "--drive-price: 0 EUR is below 0.01 EUR"),
        (["--drive-price", "180 GBP"], "--drive-price: 'GBP': there is no rate for GBP"),
        (["--currency", "XXX"], "--currency: currency 'XXX' is unknown"),
    ],
)
def test_what_cannot_be_said_is_refused_with_its_option(words: list[str], told: str, tmp_path: Path) -> None:
    result = run("new", tmp_path / "deep" / "s", *words)
    assert result.exit_code == 2
    assert told in " ".join(result.stderr.split())
    assert "nothing was written" in result.stderr
    assert os.listdir(tmp_path) == []


def test_a_folder_with_anything_in_it_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / ".hidden").write_text("x")
    (tmp_path / "file").write_text("x")
    (tmp_path / "link").symlink_to(tmp_path / "nowhere")
    for name, told in (("mine", "is not empty, so it is left alone"), ("file", "in the way"), ("link", "in the way")):
        result = run("new", tmp_path / name)
        assert (result.exit_code, result.stdout) == (2, "")
        assert told in result.stderr
    assert sorted(os.listdir(tmp_path)) == ["file", "link", "mine"]
    assert os.listdir(tmp_path / "mine") == [".hidden"]
    assert "cannot be written" in run("new", tmp_path / "file" / "s").stderr


def test_names_of_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Any place that a person names is theirs to name, but for the name of the demo and the place they are in."""
    (tmp_path / "here" / "empty").mkdir(parents=True)
    monkeypatch.chdir(tmp_path / "here")
    for name in ("empty", "../beside", "new/deeper/still", "Ordner für Öl — 数据", "with space", "-dash"):
        result = run("new", "--room", "2", "--build", "minis", "--", name)
        assert result.exit_code == 0, result.output
        assert tco.load(name).settings.data_held == 2.0
    assert "tco compare 'with space' --out 'with space-results'" in run_told("with space 2")
    assert run("new", "demo").exit_code == 2
    assert run("new", "./demo-2").exit_code == 0
    (tmp_path / "bare").mkdir()
    monkeypatch.chdir(tmp_path / "bare")
    assert "is where you are" in run("new", ".").stderr
    assert "is no place for a folder" in run("new", "x" * 300).stderr


def run_told(name: str) -> str:
    return run("new", name).stdout.replace("with space 2", "with space")


def test_the_folder_has_the_rights_that_folders_have(tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    run("new", tmp_path / "s")
    assert (tmp_path / "s").stat().st_mode == (tmp_path / "other").stat().st_mode


def test_a_place_where_nothing_may_be_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The system's own answer is put in its place: an administrator may write anywhere."""

    def refuse(**_: object) -> str:
        raise PermissionError(errno.EACCES, "Permission denied", str(tmp_path))

    monkeypatch.setattr(tempfile, "mkdtemp", refuse)
    result = run("new", tmp_path / "deep" / "s")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "cannot be written: Permission denied; nothing was written" in result.stderr
    assert os.listdir(tmp_path) == []


@pytest.mark.parametrize(
    "error", [OSError(28, "No space left on device"), KeyboardInterrupt(), RuntimeError("a fault")]
)
def test_whatever_stops_it_leaves_nothing(error: BaseException, tmp_path: Path) -> None:
    def fail(_: Path) -> None:
        raise error

    place = tmp_path / "new" / "deeper" / "s"
    with pytest.raises(ResultError if isinstance(error, OSError) else type(error)):
        write_new({"study.csv": "x"}, place, fail)
    assert os.listdir(tmp_path) == []
    place.mkdir(parents=True)  # what was there before stays
    with pytest.raises(ResultError if isinstance(error, OSError) else type(error)):
        write_new({"study.csv": "x"}, place, fail)
    assert os.listdir(place.parent) == ["s"]
    assert os.listdir(place) == []


def test_a_folder_that_is_filled_meanwhile_keeps_what_is_in_it(tmp_path: Path) -> None:
    place = tmp_path / "s"
    place.mkdir()
    with pytest.raises(ResultError, match="cannot be written"):
        write_new({"study.csv": "x"}, place, lambda _: (place / "theirs").write_text("y"))
    assert os.listdir(place) == ["theirs"]
    assert os.listdir(tmp_path) == ["s"]


@pytest.mark.skipif(os.name != "posix", reason="signals to a process")
def test_a_run_that_is_told_to_stop_leaves_nothing(tmp_path: Path) -> None:
    code = (
        "import time, tco.api; load = tco.api.load\n"
        "tco.api.load = lambda *_: (print('at work', flush=True), time.sleep(60))\n"
        "from tco.cli import main; main(['new', 's'])"
    )
    command = [sys.executable, "-c", code]
    environment = {**os.environ, "PYTHONPATH": str(Path(tco.__file__).parents[1])}
    with subprocess.Popen(
        command, cwd=tmp_path, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "at work\n"
        assert [name[:5] for name in os.listdir(tmp_path)] == [".tco-"]
        time.sleep(0.1)
        process.send_signal(signal.SIGTERM)
        _, told = process.communicate(timeout=60)
    assert process.returncode == 1
    assert told.startswith("stopped")
    assert os.listdir(tmp_path) == []


def test_from_python(tmp_path: Path) -> None:
    files = tco.new(tmp_path / "s", region="Germany", room="20 TB", builds=["minis", "rented"], drive_price="180 EUR")
    assert len(files) == len(os.listdir(tmp_path / "s"))
    assert [one.scenario for one in tco.load(tmp_path / "s").scenarios] == ["quiet minis", "rented space"]
    with pytest.raises(AskedError, match="--room: found 0 TB"):
        tco.new(tmp_path / "t", room="0 TB")


def test_builds_are_known_by_any_word_and_asked_for_once() -> None:
    assert answered({"build": "Minis, quiet minis,space"}).builds == ("quiet minis", "rented space")
    assert answered({"build": "all"}).builds == answered({}).builds
