"""Models laid out side by side in one sheet, for recalculation: as plain as can be, and no writer of the tool's."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import openpyxl
from openpyxl.utils import get_column_letter

from tco.engine import Column, Model, cell_formula

SHEET = "Figures"


class Layout:
    """Gives each column of each model a column of the sheet, values from row 2 down."""

    def __init__(self) -> None:
        self.book = openpyxl.Workbook()
        self.sheet = self.book.active
        self.sheet.title = SHEET
        self.letters: dict[Column, str] = {}

    def add(self, columns: Iterable[Column]) -> None:
        """Put columns into the sheet, in an order in which formulas meet only what stands already."""
        for column in columns:
            letter = self.letters[column] = get_column_letter(len(self.letters) + 1)
            self.sheet[f"{letter}1"] = column.full_name
            for row in range(len(column.table.rows)):
                self.write(self.sheet[self.cell(column, row)], column, row)

    def write(self, cell: object, column: Column, row: int) -> None:
        """One cell: a formula, a number or text."""
        if column.formula is not None:
            cell.value = cell_formula(column, row, self.address)
        else:
            cell.value = column.values[row].item()
            cell.data_type = "s" if column.unit is None else "n"

    def cell(self, column: Column, row: int) -> str:
        """Where a row of a column stands."""
        return f"{self.letters[column]}{row + 2}"

    def address(self, column: Column, first: int, last: int) -> str:
        """What the engine asks for: the absolute address of some rows of a column."""
        letter = self.letters[column]
        start, end = f"${letter}${first + 2}", f"${letter}${last + 2}"
        return start if first == last else f"{start}:{end}"

    def save(self, path: Path) -> Path:
        """Write the workbook."""
        self.book.save(path)
        return path


def formulas(model: Model, column: Column) -> list[str]:
    """The cell formulas of a column, with readable addresses: `name[row]`, `name[first:last]`, rows from 0."""

    def address(other: Column, first: int, last: int) -> str:
        return f"{other.name}[{first}]" if first == last else f"{other.name}[{first}:{last}]"

    assert model[column.full_name] is column
    return [cell_formula(column, row, address) for row in range(len(column.table.rows))]
