"""The library: load a study, compare its scenarios, get pandas frames, write the results."""

from __future__ import annotations

from pathlib import Path

from tco import read
from tco.ask.compare import Comparison, compare
from tco.model import line_inputs
from tco.places import data_folder
from tco.study import Study
from tco.write.frames import lines_frame as lines
from tco.write.frames import measures_frame as measures
from tco.write.results import write_results


def load(study: str | Path) -> Study:
    """A checked study from a folder of CSV files or one .xlsx; raises StudyError with every problem at once."""
    return read.load(study, line_inputs())


def demo() -> Path:
    """The folder of the demo study that travels with the tool."""
    return data_folder() / "demo"


def write(comparison: Comparison, folder: str | Path = "out", *, replace: bool = False) -> list[Path]:
    """Write comparison.xlsx, lines.csv and measures.csv, whole or not at all; raises ResultError.

    replace: whether a workbook that a person has changed may be overwritten.
    """
    return write_results(comparison, Path(folder), replace=replace)


__all__ = ["Comparison", "Study", "compare", "demo", "lines", "load", "measures", "write"]
