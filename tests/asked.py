"""Every command as a person types it about a small study, for tests of how the terminal behaves."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from click.testing import CliRunner, Result

from tco.cli import main
from tests.studies import FEES, ONE_OFFS, SCENARIOS, WHOLE, write_study

# command -> what follows the study
WORDS: Mapping[str, tuple[str, ...]] = {
    "compare": (),
    "check": (),
    "explain": ("minis", "lcc"),
    "simulate": ("--draws", "200"),
    "vary": (),
    "breakeven": (),
    "reprice": ("--price", "0.36 EUR/kWh", "--from", "2028-01"),
    "track": (),
    "grow": ("--rent", "5 EUR/TB/month"),
    "spend": ("--budget", "400 EUR"),
    "columns": (),
}
FILES = {  # command -> the result file that is its table
    "compare": "measures.csv",
    "simulate": "simulate.csv",
    "vary": "vary.csv",
    "breakeven": "breakeven.csv",
    "reprice": "reprice.csv",
    "track": "track.csv",
    "grow": "grow.csv",
    "spend": "spend.csv",
}
WIDE = "静かな小型機"  # six signs of two columns each


def study(folder: Path) -> Path:
    """The small study with all that any command needs."""
    return write_study(folder, **WHOLE)


def words(command: str, study: Path, *more: str | Path) -> list[str]:
    """All that is typed after the tool's name."""
    about = [] if command == "columns" else [study]
    return [str(word) for word in (command, *about, *WORDS[command], *more)]


def run(command: str, study: Path, *more: str | Path, charset: str = "utf-8", **env: str) -> Result:
    """A command in this process, without a terminal."""
    return CliRunner(charset=charset).invoke(main, words(command, study, *more), env=env)


def foreign(folder: Path) -> Path:
    """The small study with scenarios whose names are wide, long, or in signs that few encodings have."""
    names = {"servers": WIDE, "rented": "gemietet – für den Ernstfall, ein langer Name ohne Not"}
    tables = {"scenarios": SCENARIOS, "fees": FEES, "one_offs": ONE_OFFS}
    changes = {
        table: "".join(named(line, names) for line in text.splitlines(keepends=True))
        for table, text in tables.items()
    }
    return write_study(folder, **{**WHOLE, **changes})


def named(line: str, names: Mapping[str, str]) -> str:
    """A row with the new name of its scenario."""
    first, comma, rest = line.partition(",")
    return f'"{names[first]}"{comma}{rest}' if first in names else line
