"""Results as pandas frames, tidy: one figure a row."""

from __future__ import annotations

import pandas as pd

from tco.ask.compare import LINE_HEADER, MEASURE_HEADER, Comparison, line_rows, measure_rows


def lines_frame(comparison: Comparison) -> pd.DataFrame:
    """Every cost line, and energy, month by month."""
    return pd.DataFrame(list(line_rows(comparison)), columns=list(LINE_HEADER))


def measures_frame(comparison: Comparison) -> pd.DataFrame:
    """Every measure of every scenario."""
    return pd.DataFrame(list(measure_rows(comparison)), columns=list(MEASURE_HEADER))
