"""How the terminal behaves: narrow and wide, with and without one, in any encoding, closed or interrupted."""

from __future__ import annotations

import ast
import fcntl
import os
import pty
import re
import signal
import struct
import subprocess
import sys
import termios
from collections import Counter
from pathlib import Path

import click
import pytest
import wcwidth
from click.testing import CliRunner

import tco
from tco.cli import main, options, output
from tco.cli.output import Manner, Output, Work
from tco.write import screen
from tests import asked
from tests.asked import WIDE, WORDS, foreign, run, words
from tests.studies import TABLES, write_study
from tests.test_cli import HEAVY

COMMANDS = list(WORDS)
TCO = [sys.executable, "-m", "tco.cli"]
PACKAGE = Path(tco.__file__).parent


@pytest.fixture(scope="module")
def study(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return asked.study(tmp_path_factory.mktemp("plain") / "study")


@pytest.fixture(scope="module")
def abroad(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return foreign(tmp_path_factory.mktemp("foreign") / "study")


@pytest.fixture
def no_files(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is written, which is quicker."""
    monkeypatch.setattr(Output, "folder", lambda *_, **__: None)


def printed(command: str, study: Path, charset: str = "utf-8", **env: str) -> str:
    found = run(command, study, charset=charset, **env)
    assert found.exit_code == 0, found.output
    return found.stdout_bytes.decode(charset)


def numbers(text: str) -> Counter[str]:
    """How often each number stands in a text."""
    return Counter(re.findall(r"\d[\d.,]*\d|\d", text))


@pytest.mark.usefixtures("no_files")
@pytest.mark.parametrize("command", COMMANDS)
def test_lines_fit_any_width_and_nothing_is_cut(command: str, abroad: Path) -> None:
    """Without a terminal 80 columns; COLUMNS says otherwise, between 40 and 120. All figures are there in each."""
    texts = {columns: printed(command, abroad, COLUMNS=columns) for columns in ("20", "40", "66", "100", "400")}
    texts["80"] = printed(command, abroad)
    for columns, text in texts.items():
        widest = max(map(wcwidth.width, text.splitlines()))
        assert widest <= min(max(int(columns), 40), 120), columns
    assert max(map(wcwidth.width, texts["400"].splitlines())) > 80
    assert texts["20"] == texts["40"]
    if command != "vary":  # a narrow screen has fewer columns of the grid, and says so
        assert len({frozenset(numbers(text)) for text in texts.values()}) == 1
        assert not numbers(texts["400"]) - numbers(texts["40"])  # which may repeat headings
        assert WIDE in texts["40"] or command in ("columns", "explain", "grow", "spend")


@pytest.mark.usefixtures("no_files")
def test_a_narrow_grid_says_how_much_of_it_is_shown(abroad: Path) -> None:
    told = " ".join(printed("vary", abroad, COLUMNS="40").split())
    assert re.search(r"columns; vary_grid.csv has all|Cheapest in \d+ cells", told)


def plain(text: str) -> str:
    """A text without spaces and rules, whose lengths follow the width of names."""
    return re.sub(r"\s+|-{5,}", "", text)


@pytest.mark.usefixtures("no_files")
@pytest.mark.parametrize("charset", ["ascii", "latin-1", "cp1252"])
@pytest.mark.parametrize("command", [name for name in COMMANDS if name != "columns"])
def test_an_encoding_that_lacks_signs_gets_others(command: str, charset: str, abroad: Path) -> None:
    """Our own signs have stand-ins, names of the study are escaped; nothing is lost."""
    full, told = printed(command, abroad), printed(command, abroad, charset)
    assert told.count("?") == full.count("?")
    wanted = full.encode(charset, "tco.stand_in").decode(charset)
    if command != "vary":  # whose grid has as many columns as its values leave room for
        assert plain(told) == plain(wanted)
    if charset == "ascii" and WIDE in full:
        assert WIDE.encode("ascii", "backslashreplace").decode() in plain(told)


@pytest.mark.usefixtures("no_files")
def test_money_without_cents_is_told_without_them(tmp_path: Path) -> None:
    tables = {name: text.replace("EUR", "JPY") for name, text in TABLES.items()}
    yen = write_study(tmp_path / "study", **{**tables, "exchange": None})
    for command, columns in (("compare", slice(1, 7)), ("simulate", slice(1, 4))):
        row = next(line for line in printed(command, yen).splitlines() if re.match(r"minis +\d", line))
        assert all(figure.lstrip("-").replace(",", "").isdigit() for figure in row.split()[columns])


def signs_of(path: Path) -> set[str]:
    """The signs beyond ASCII in the texts of a module; what it is told about itself left out."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return {
        sign
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
        for sign in node.value
        if ord(sign) > 127
    }


def test_every_sign_of_ours_has_a_stand_in() -> None:
    """The reader knows further signs, which it takes and does not print."""
    taken = {"ü", "²", "\u2009", "\u202f", "\u200c", "\u200d"}
    drawn = set("─└├＝＋－＠")  # the tree in a docstring; wide signs that are looked for
    for path in PACKAGE.rglob("*.py"):
        missing = signs_of(path) - set(screen.STAND_INS) - drawn - (taken if path.parent.name == "read" else set())
        missing = {sign for sign in missing if not screen.OBEYED.match(sign)}  # named there to be kept from terminals
        assert not missing or "page_to_send" in path.parts, f"{path.name}: {missing}"
    assert all(one.isascii() for one in screen.STAND_INS.values())


@pytest.mark.parametrize("command", ["", *COMMANDS])
def test_help_is_in_signs_that_every_terminal_has(command: str) -> None:
    for columns in ("40", "80", "120"):
        found = CliRunner().invoke(main, [*filter(None, [command]), "--help"], env={"COLUMNS": columns})
        assert found.exit_code == 0
        assert found.stdout.isascii()
        own = [line for line in found.stdout.splitlines() if "tco " not in line]  # examples are not torn apart
        assert max(map(len, own)) <= int(columns)


def test_the_list_of_commands_has_whole_sentences() -> None:
    for columns in ("40", "80"):
        told = CliRunner().invoke(main, ["--help"], env={"COLUMNS": columns}).stdout
        listed = " ".join(told[told.index("Commands:") :].split())
        for command in main.commands.values():
            assert (command.help or "").split("\n")[0].rstrip(".") in listed
        assert "..." not in listed


def in_terminal(command: list[str], columns: int, **env: str) -> tuple[str, str, int]:
    """What a process prints on a terminal that is so wide, what it says beside it, and its exit code."""
    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    known = {key: value for key, value in os.environ.items() if key not in ("COLUMNS", "NO_COLOR")}
    with subprocess.Popen(
        [*TCO, *command], stdout=slave, stderr=subprocess.PIPE, env={**known, "TERM": "xterm", **env}
    ) as process:
        os.close(slave)
        shown = b""
        try:
            while block := os.read(master, 65536):
                shown += block
        except OSError:  # the other side is closed
            pass
        _, told = process.communicate(timeout=60)
    os.close(master)
    return shown.decode().replace("\r\n", "\n"), told.decode(), process.returncode


@pytest.mark.parametrize(("columns", "wanted"), [(30, 40), (40, 40), (80, 80), (200, 120)])
def test_a_terminal_says_how_wide_it_is(columns: int, wanted: int) -> None:
    shown, told, code = in_terminal(["columns"], columns)
    assert (code, told) == (0, "")
    assert wanted - 2 <= max(map(wcwidth.width, shown.splitlines())) <= wanted


@pytest.mark.parametrize(
    ("env", "is_bold"),
    [({}, True), ({"NO_COLOR": ""}, True), ({"NO_COLOR": "1"}, False), ({"TERM": "dumb"}, False)],
)
def test_the_answer_is_bold_only_where_it_may_be(env: dict[str, str], is_bold: bool, study: Path) -> None:
    shown, _, code = in_terminal(words("check", study), 80, **env)
    assert code == 0
    assert ("\033[1m" in shown) == is_bold
    assert shown.replace("\033[1m", "").replace("\033[0m", "") == run("check", study).stdout
    assert "\033" not in run("check", study).stdout


@pytest.mark.parametrize("kind", ["text", "csv"])
def test_a_locale_of_ascii_only(kind: str, abroad: Path) -> None:
    """The real thing: a C locale without UTF-8. CSV is UTF-8 all the same."""
    env = {**os.environ, "LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    command = [*TCO, *words("check", abroad, "--format", kind)]
    ran = subprocess.run(command, env=env, capture_output=True, check=False)
    assert (ran.returncode, ran.stderr) == (0, b"")
    if kind == "text":
        assert ran.stdout.isascii()
        assert WIDE.encode("ascii", "backslashreplace") in ran.stdout
    else:
        assert ran.stdout == run("check", abroad, "--format", kind).stdout_bytes


@pytest.mark.parametrize("command", ["columns", "check --format csv", "explain --format json"])
def test_a_pipe_that_nobody_reads_ends_it_quietly(command: str, study: Path) -> None:
    name, *more = command.split()
    reading, writing = os.pipe()
    os.close(reading)
    with subprocess.Popen([*TCO, *words(name, study, *more)], stdout=writing, stderr=subprocess.PIPE) as process:
        os.close(writing)
        _, told = process.communicate(timeout=60)
    assert (process.returncode, told) == (1, b"")


def test_without_any_standard_output(study: Path) -> None:
    """As a service may start it: not even a closed pipe."""
    command = 'exec "$@" >&-'
    ran = subprocess.run(["sh", "-c", command, "sh", *TCO, *words("check", study)], capture_output=True, check=False)
    assert b"Traceback" not in ran.stderr
    assert ran.returncode in (0, 2)


def test_an_interrupt_says_that_nothing_was_written(tmp_path: Path) -> None:
    """A real signal to a real process while it works out costs."""
    out = tmp_path / "out"
    command = [*TCO, "compare", "demo", "--verbose", "--out", str(out)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stderr is not None
        assert process.stderr.readline().startswith("reading ")
        process.send_signal(signal.SIGINT)
        shown, told = process.communicate(timeout=60)
    assert (process.returncode, shown) == (1, "")
    assert told.splitlines()[-1] == "stopped; nothing was written, earlier results stay"
    assert not out.exists()


@pytest.mark.parametrize(
    ("files", "is_writing", "told"),
    [
        ([], False, "stopped; nothing was written, earlier results stay"),
        ([], True, "stopped; the results are as they were, or the new ones, whole"),
        ([Path("out/a.csv")], False, "stopped; written before: out/a.csv"),
    ],
)
def test_an_interrupt_says_what_is_left(
    files: list[Path], is_writing: bool, told: str, study: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*_: object) -> None:
        own = output.of_run(click.get_current_context())
        own.files.extend(files)
        own.is_writing = is_writing
        raise KeyboardInterrupt

    monkeypatch.setattr(options, "compared", stopped)
    found = run("check", study)
    assert (found.exit_code, found.stdout, found.stderr) == (1, "", f"{told}\n")


class Screen:
    """A terminal for standard error that keeps what it is shown."""

    encoding, closed = "utf-8", False

    def __init__(self) -> None:
        self.shown = ""

    def write(self, text: str) -> None:
        self.shown += text

    def flush(self) -> None:
        """All is shown at once."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(("patience", "is_shown"), [(0.0, True), (30.0, False)])
def test_long_work_shows_a_bar_and_short_work_none(
    patience: float, is_shown: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(output, "PATIENCE", patience)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setattr(sys, "stderr", own := Screen())
    begun = Work(Output("text", Manner()), 2)
    begun.timer.join(0.2)
    assert begun.step("reading", lambda: 1) == 1
    assert begun.step("working", lambda: 2) == 2
    begun.end()
    assert ("reading" in own.shown and "100%" in own.shown) == is_shown
    assert bool(own.shown) == is_shown


@pytest.mark.parametrize("manner", [Manner(quiet=True), Manner(verbose=True)])
def test_a_bar_is_not_for_who_wants_silence_or_lines(manner: Manner, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", Screen())
    assert not Output("text", manner).has_bars
    monkeypatch.setenv("TERM", "dumb")
    assert not Output("text", Manner()).has_bars


@pytest.mark.parametrize("command", ["", *sorted(main.commands)])
def test_help_of_each_command_is_light(command: str) -> None:
    """Asking for help must not pay for libraries that only the work needs."""
    asked = [*filter(None, [command]), "--help"]
    code = f"import sys, tco.cli; tco.cli.main({asked!r}, standalone_mode=False); print({HEAVY!r} & set(sys.modules))"
    assert subprocess.check_output([sys.executable, "-c", code], text=True).endswith("\nset()\n")


def test_exit_codes_are_those_that_help_names(study: Path) -> None:
    told = CliRunner().invoke(main, ["--help"]).stdout
    assert re.findall(r"(\d): (\w+)", told) == [("0", "done"), ("1", "stopped"), ("2", "something")]
    assert run("check", study).exit_code == 0
    assert run("check", study / "nowhere").exit_code == 2
    assert CliRunner().invoke(main, ["no-such-command"]).exit_code == 2
