"""Results as CSV: the same bytes for the same study, floats in full, text that no spreadsheet takes for a formula."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tco.ask.bills import BILL_HEADER, bill_rows
from tco.ask.compare import LINE_HEADER, MEASURE_HEADER, Comparison, line_rows, measure_rows
from tco.ask.failing import FAILING_HEADER, failing_rows
from tco.ask.practice import FINDING_HEADER, finding_rows, unseen_rows

SIGNS = "[=+\\-@＝＋－＠]"  # how a formula begins; the wide ones where such are usual
# Behind blanks, or what no eye sees; and where a program takes a semicolon, a tab or a line's end for that of a cell.
FORMULA_START = re.compile(rf"^(?=[\s\u200c\u200d]*{SIGNS}|[\t\n])|(?<=[;\t\n])(?={SIGNS})")
MEASURES, CHECKS = "measures.csv", "checks.csv"


@dataclass(frozen=True)
class Table:
    """A table that a result file and standard output have alike.

    name: of that file, if there is one. figures: the columns that hold numbers, or words where there is none.
    blank: why a cell of such a column is empty.
    """

    name: str
    header: Sequence[str]
    rows: Iterable[Sequence[str | float]]
    figures: Sequence[str] = ()
    blank: str = "none: not in this row"

    @property
    def csv(self) -> str:
        """The whole of it as CSV."""
        return csv_text(self.header, self.rows)


def lines_csv(comparison: Comparison) -> str:
    """scenario, line, month, value, unit."""
    return csv_text(LINE_HEADER, line_rows(comparison))


def measures_csv(comparison: Comparison) -> str:
    """scenario, measure, value, unit."""
    return measures(comparison).csv


def measures(comparison: Comparison) -> Table:
    """What measures.csv has."""
    return Table(MEASURES, MEASURE_HEADER, measure_rows(comparison), ("value",))


def bills_csv(comparison: Comparison) -> str:
    """scenario, month, kind, item, home, with_build, difference, unit."""
    return csv_text(BILL_HEADER, bill_rows(comparison))


def checks_csv(comparison: Comparison) -> str:
    """scenario, check, finding, why, standing: what the practice checks found, then what they could not look at."""
    return checks(comparison).csv


def checks(comparison: Comparison) -> Table:
    """What checks.csv has."""
    unseen = (
        (*row[:2], f"not looked at, for this is not stated: {row[2]}", *row[3:]) for row in unseen_rows(comparison)
    )
    return Table(CHECKS, FINDING_HEADER, [*finding_rows(comparison), *unseen])


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
    """One cell; what begins like a formula gets an apostrophe in front."""
    if isinstance(value, str):
        lines = value.replace("\r\n", "\n").replace("\r", "\n")  # csv leaves a bare \r unquoted
        return FORMULA_START.sub("'", lines)
    return str(value) if isinstance(value, int) else repr(value + 0.0)
