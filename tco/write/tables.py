"""Results as CSV: the same bytes for the same study, floats in full, text that no spreadsheet takes for a formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from tco.ask.bills import BILL_HEADER, bill_rows
from tco.ask.compare import LINE_HEADER, MEASURE_HEADER, Comparison, line_rows, measure_rows
from tco.ask.failing import FAILING_HEADER, failing_rows
from tco.ask.practice import FINDING_HEADER, finding_rows, unseen_rows

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def lines_csv(comparison: Comparison) -> str:
    """scenario, line, month, value, unit."""
    return csv_text(LINE_HEADER, line_rows(comparison))


def measures_csv(comparison: Comparison) -> str:
    """scenario, measure, value, unit."""
    return csv_text(MEASURE_HEADER, measure_rows(comparison))


def bills_csv(comparison: Comparison) -> str:
    """scenario, month, kind, item, home, with_build, difference, unit."""
    return csv_text(BILL_HEADER, bill_rows(comparison))


def checks_csv(comparison: Comparison) -> str:
    """scenario, check, finding, why, standing: what the practice checks found, then what they could not look at."""
    unseen = (
        (*row[:2], f"not looked at, for this is not stated: {row[2]}", *row[3:]) for row in unseen_rows(comparison)
    )
    return csv_text(FINDING_HEADER, [*finding_rows(comparison), *unseen])


def replacements_csv(comparison: Comparison) -> str:
    """scenario, part, figure, year, value, unit: what fails and what it costs, by part and year."""
    return csv_text(FAILING_HEADER, failing_rows(comparison))


def csv_text(header: Sequence[str], rows: Iterable[Sequence[str | float]]) -> str:
    """The rows as CSV; pandas.read_csv reads the numbers back to the bit."""
    found = io.StringIO()
    writer = csv.writer(found, lineterminator="\n")
    writer.writerow(header)
    writer.writerows([shown(value) for value in row] for row in rows)
    return found.getvalue()


def shown(value: str | float) -> str:
    """One cell; a text that begins like a formula gets an apostrophe in front."""
    if isinstance(value, str):
        lines = value.replace("\r\n", "\n").replace("\r", "\n")  # csv leaves a bare \r unquoted
        return f"'{lines}" if value.startswith(FORMULA_STARTS) else lines
    return str(value) if isinstance(value, int) else repr(value + 0.0)
