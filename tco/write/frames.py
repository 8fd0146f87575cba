"""Results as pandas frames, tidy: one figure a row."""

from __future__ import annotations

import pandas as pd

from tco.ask.bills import BILL_HEADER, bill_rows
from tco.ask.compare import LINE_HEADER, MEASURE_HEADER, Comparison, line_rows, measure_rows


def lines_frame(comparison: Comparison) -> pd.DataFrame:
    """Every cost line, and energy, month by month."""
    return pd.DataFrame(list(line_rows(comparison)), columns=list(LINE_HEADER))


def bills_frame(comparison: Comparison) -> pd.DataFrame:
    """Every line of every month's bill, without and with the build; empty where there is no such figure."""
    found = pd.DataFrame(list(bill_rows(comparison)), columns=list(BILL_HEADER))
    figures = ["home", "with_build", "difference"]
    return found.assign(**{name: pd.to_numeric(found[name]) for name in figures})


def measures_frame(comparison: Comparison) -> pd.DataFrame:
    """Every measure of every scenario."""
    return pd.DataFrame(list(measure_rows(comparison)), columns=list(MEASURE_HEADER))
