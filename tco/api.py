"""The library: load a study, compare its scenarios, get pandas frames, write the results."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tco import read
from tco.ask.compare import Comparison, compare
from tco.model import line_inputs
from tco.places import data_folder
from tco.study import Study

if TYPE_CHECKING:
    import pandas as pd


def load(study: str | Path) -> Study:
    """A checked study from a folder of CSV files or one .xlsx; raises StudyError with every problem at once."""
    return read.load(study, line_inputs())


def demo() -> Path:
    """The folder of the demo study that travels with the tool."""
    return data_folder() / "demo"


def lines(comparison: Comparison) -> pd.DataFrame:
    """Every cost line, and energy: columns scenario, line, month, value, unit."""
    from tco.write.frames import lines_frame

    return lines_frame(comparison)


def bills(comparison: Comparison) -> pd.DataFrame:
    """Every month's bill: columns scenario, month, kind, item, home, with_build, difference, unit."""
    from tco.write.frames import bills_frame

    return bills_frame(comparison)


def measures(comparison: Comparison) -> pd.DataFrame:
    """Every measure: columns scenario, measure, value, unit."""
    from tco.write.frames import measures_frame

    return measures_frame(comparison)


def save(comparison: Comparison, folder: str | Path = "out", *, replace: bool = False) -> list[Path]:
    """Write comparison.xlsx and the CSV files, whole or not at all; raises ResultError.

    replace: whether a workbook that a person has changed may be overwritten.
    """
    from tco.write.results import write_results

    return write_results(comparison, Path(folder), replace=replace)


__all__ = ["Comparison", "Study", "bills", "compare", "demo", "lines", "load", "measures", "save"]
