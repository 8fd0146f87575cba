"""What several commands take, and the first steps of all of them: reading a study, comparing its scenarios."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from tco.ask.compare import Comparison
    from tco.cli.output import Work
    from tco.study import Study

OWN = ("demo", "small", "hours", "kept", "growing")  # studies that travel with the tool


class Folder(click.Path):
    """A place that is named: an empty word, as an unset variable makes it, would be where one stands."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if value == "":
            self.fail("it is empty; name a place (. is where you stand)", param, ctx)
        return super().convert(value, param, ctx)


FOLDER = Folder(path_type=Path)
study = click.argument("study", type=FOLDER)
study_or_demo = click.argument("study", type=FOLDER, required=False)
out = click.option(
    "--out", type=FOLDER, help="Folder for the results (default: out; with csv or json none are written)."
)
today = click.option(
    "--today", metavar="DAY", help="The day that it is, such as 2026-11-20 (default: what the clock says)."
)
replace = click.option("--replace", is_flag=True, help="Overwrite a workbook that was changed by hand.")


def place_of(study: Path | None) -> Path:
    """Where a study stands: the demo where none is named; one of the tool's own by its name, if none stands there."""
    from tco.places import data_folder

    name = "demo" if study is None else str(study)
    return data_folder() / name if name in OWN and not (study and study.exists()) else Path(name)


def read(work: Work, study: Path | None) -> Study:
    """A study, in one step; see place_of."""
    import tco

    place = place_of(study)
    return work.step(f"reading {place}", lambda: tco.load(place), size_of)


def compared(work: Work, study: Path | None, against: str = "") -> Comparison:
    """The comparison of a study, in two steps; see place_of."""
    import tco

    found = read(work, study)
    return work.step("working out costs", lambda: tco.compare(found, against=against), figures_of)


def size_of(study: Study) -> str:
    """What a study is about."""
    return f" ({counted(len(study.scenarios), 'scenario')}, {counted(study.settings.horizon, 'month')})"


def figures_of(comparison: Comparison) -> str:
    """How much was worked out."""
    return f" ({counted(len(comparison.built.model.columns), 'column')})"


def counted(number: int, noun: str) -> str:
    """`1 month`, `60 months`."""
    return f"{number:,} {noun}{'s' * (number != 1)}"
