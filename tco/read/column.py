"""How the cells of one column are read."""

from __future__ import annotations

from dataclasses import dataclass

from tco.cell import Cell
from tco.read.quantities import Money


@dataclass(frozen=True)
class Column:
    """How the cells of one column are read.

    unit: what the header says in brackets. kind: nominal or real, where the header says it after that.
    sign: the file's decimal sign, if its numbers agree on one.
    heads: whether a header could carry the unit; a setting has none of its own.
    """

    label: str
    cell: Cell
    unit: str = ""
    kind: str = ""
    sign: str = ""
    heads: bool = True

    def example(self, money: Money) -> str:
        """The definition's example in the study's currency, in quotes."""
        return f"'{money.example(self.cell.example, self.cell.unit)}'"
