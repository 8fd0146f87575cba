"""A sheet of the library without what our cells do not need, which took it half of its time.

Each method is the library's own by name: should it change a name, its own way returns, slower. A test holds that the
file is the same as without, but for the spans of rows, which the standard calls optional (ECMA-376-1, 18.3.1.73, from
memory).
"""

from __future__ import annotations

from inspect import unwrap
from typing import Any

from xlsxwriter import worksheet
from xlsxwriter.worksheet import Worksheet

FORMULA = getattr(worksheet, "CellFormulaTuple", None)  # the library's own record of a cell with a formula


class Sheet(Worksheet):  # type: ignore[misc]
    """The library's own, which keeps the widths of its columns: one can be made wider where its figures need it."""

    def __init__(self) -> None:
        super().__init__()
        self.widths: dict[int, float] = {}

    def set_column(self, first: int, last: int, width: float, *more: Any) -> Any:
        """As the library has it."""
        self.widths |= dict.fromkeys(range(first, last + 1), width)
        return super().set_column(first, last, width, *more)


class PlainSheet(Sheet):
    """A sheet whose cells are named by row and column, and whose formulas are written as they are."""

    write_number = unwrap(Worksheet.write_number)  # the library asks of each cell whether it is called A1
    write_string = unwrap(Worksheet.write_string)
    write_blank = unwrap(Worksheet.write_blank)

    def write_formula(self, row: int, column: int, formula: str, look: Any = None, value: Any = 0) -> Any:
        """Not searched for functions that want a prefix or are of arrays: a test holds that ours has none."""
        if FORMULA is None:
            return super().write_formula(row, column, formula, look, value)
        self._check_dimensions(row, column)
        self.table[row][column] = FORMULA(formula.removeprefix("="), look, value)
        return 0

    def _escape_attributes(self, attribute: Any) -> Any:
        """A cell's are its address and the number of its look: nothing in them to escape."""
        is_plain = not isinstance(attribute, str) or attribute.isalnum()
        return attribute if is_plain else super()._escape_attributes(attribute)

    def _escape_data(self, data: Any) -> Any:
        """Nor is there in a number."""
        return super()._escape_data(data) if isinstance(data, str) else data

    def _calculate_spans(self) -> None:
        """From which to which column rows have cells, sixteen rows together: nobody needs to be told."""
        self.row_spans: dict[int, str] = {}
