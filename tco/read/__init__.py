"""Reading a study: CSV files or one workbook in, a checked Study out, every problem told at once with its place."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tco.cell import Cell
    from tco.study import Row, Study

__all__ = ["load"]


def load(
    folder: str | Path,
    extra: Mapping[type[Row], Mapping[str, Cell]] | None = None,
    *,
    reference: Path | None = None,
    horizon: int | None = None,
) -> Study:
    """The study in a folder or an .xlsx file; see tco.read.study.load, which is imported when first needed."""
    from tco.read import study

    return study.load(folder, extra, reference=reference, horizon=horizon)
