"""The page that documents every table and column, made from the definitions that the reader itself follows."""

from __future__ import annotations

import ast
import inspect
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import astuple, dataclass
from datetime import date
from importlib import import_module
from itertools import groupby
from typing import Any

from tco.addresses import label
from tco.cell import REQUIRED, Cell
from tco.places import data_folder
from tco.read.log_rows import LogRow
from tco.read.quantities import spelled
from tco.read.settings import WORDS
from tco.read.settings import known as known_settings
from tco.read.study import TABLES, Extra
from tco.read.tables import cells
from tco.study import Needs, Part, Row

TITLE = """# Tables and columns

*Made from the definitions in `tco/settings.py` and `tco/study.py` by `python -m tco.read.columns`; do not edit.*

"""
INTRODUCTION = """\
A study is a folder of these tables as CSV files, or one .xlsx file with a sheet for each (named without `.csv`).
`study.csv` and `scenarios.csv` are needed; the others where there is something to put in them. Columns may stand in
any order; upper and lower case, spaces and underscores make no difference in their names.

- **Units.** A number carries its unit in the cell (`129 EUR`, `18 TB`) or in the header (`price [EUR]`).
  0 needs none. TB and TiB, bit and byte are different things. Shares and growth are written with `%`,
  spans of time with `years` or `months`. Money in another currency needs a rate in `exchange.csv`.
- **Numbers.** Decimal point or decimal comma. `1.234` can be read two ways; it is refused unless the other numbers of
  the file settle which sign is the decimal one. Thousands may be set apart by a space or an apostrophe.
- **Nominal or real.** All money is of the kind that the setting `money` says. Where a column below says so, a value
  of the other kind may be called so after its unit, in the cell (`2 % real`, `0.36 EUR/kWh nominal`) or in the header
  (`growth [% real]`); it is converted by the setting `inflation`, which must be stated then.
- **Empty is not zero.** An empty cell means the default below; where there is none, it is an error.
- **Dates** are `2026-12-31`, months `2026-12`. A span of time counts whole months.
- **Files.** UTF-8, UTF-16 or what a spreadsheet program exports; commas, semicolons or tabs.
- **Source and note.** Every table has these two columns for where its numbers come from; both may be left out.
"""
KINDS = {
    "share": "a share",
    "growth": "growth a year",
    "whole": "a whole number",
    "months": "a span of time",
    "text": "text",
    "name": "a name",
    "file": "a file of the study's folder",
    "month": "a month",
    "date": "a date",
    "currency": "a currency's code",
    "zone": "a time zone",
    "yes": "yes or empty",
    "amounts": "amounts joined by +",
    "names": "names joined by +",
    "season": "months of the year",
    "days": "kinds of day",
    "clock": "a time of day",
    "day": "a date, or `12-25` for every year",
}


HEADER = ("table", "column", "meaning", "write", "unit", "default", "example")


@dataclass(frozen=True)
class Documented:
    """A column of a table, or a setting: what it means, what to write, what an empty cell means; all as text."""

    table: str
    column: str
    meaning: str
    write: str
    unit: str
    default: str
    example: str

    @property
    def cells(self) -> tuple[str, ...]:
        """As HEADER has it."""
        return astuple(self)


def tables() -> Mapping[str, type[Row]]:
    """Every kind of table, by its name or what it is."""
    lists = {"a parts list, such as minis.csv": Part, "a metered log, such as node at the plug.csv": LogRow}
    return {**TABLES, **lists}


def about(name: str) -> str:
    """What a table is for."""
    text = docstring(tables()[name]).split("\n")[0].split(": ", 1)[-1]
    return text[0].upper() + text[1:]


def docstring(row: type) -> str:
    """What the class of a table's rows says of itself; from its source where Python leaves such texts out (-OO)."""
    if sys.flags.optimize < 2:
        return row.__doc__ or ""
    (found,) = ast.parse(inspect.getsource(row)).body
    return ast.get_docstring(found) or "" if isinstance(found, ast.ClassDef) else ""


def documented(extra: Extra | None = None) -> list[Documented]:
    """Every column of every table; `extra` as for `load`."""
    return [row for name, row_type in tables().items() for row in _rows(name, row_type, (extra or {}).get(row_type))]


def _rows(name: str, row_type: type[Row], extra: Mapping[str, Cell] | None) -> Iterator[Documented]:
    """The columns of one table; of those by name the settings."""
    found = (known_settings if row_type in WORDS else cells)(row_type, extra or {})
    for field, cell in found.items():
        if field not in ("source", "note"):
            missing = "not asked for" if row_type is Needs else _default(cell)
            unit = {"share": "%", "growth": "%", "months": "months"}.get(cell.kind) or _unit(cell)
            yield Documented(name, label(field), cell.meaning, _what(cell), unit, missing, cell.example)


def page(extra: Extra | None = None) -> str:
    """The whole page, in Markdown; `extra` as for `load`."""
    sections = (_section(name, [*rows]) for name, rows in groupby(documented(extra), key=lambda row: row.table))
    return "\n".join([f"{TITLE}{INTRODUCTION}", *sections])


def _section(name: str, own: Sequence[Documented]) -> str:
    """One table: what it is for, and its columns."""
    row_type = tables()[name]
    word = WORDS.get(row_type, "")
    head = ["", f"Columns: {word}, value, source, note. The {word}s:"] if word else []
    left_out = "left out means" if row_type is Needs else "empty means"
    title = [f"## {name}", "", about(name), *head, ""]
    table = [f"| column | meaning | what to write | {left_out} | example |", "|---|---|---|---|---|"]
    return "\n".join([*title, *table, *map(_line, own), ""])


def _line(row: Documented) -> str:
    texts = (row.column, row.meaning, row.write, row.default, f"`{row.example}`")
    return "| " + " | ".join(text.replace("|", "\\|") for text in texts) + " |"


def _unit(cell: Cell) -> str:
    """A cell's unit in words; empty without."""
    return spelled(cell.unit.replace("{money}", "money"))


def _what(cell: Cell) -> str:
    """The kind of a cell, its unit and its range."""
    if cell.kind == "choice":
        return " or ".join(f"`{choice}`" for choice in cell.choices)
    unit = _unit(cell)
    kind = KINDS.get(cell.kind) or (f"a number in {unit}" if unit else "a number")
    return f"{kind}{_range(cell)}{'; `nominal` or `real` may follow' if cell.quoted else ''}"


def _range(cell: Cell) -> str:
    """`, 0 % to 100 %`; limits far from any use are left out."""
    percent = cell.kind in ("share", "growth") or cell.unit == "1/year"
    unit = " %" if percent else " months" if cell.kind == "months" else ""
    least, most = (None if x is None else f"{x * 100 if percent else x:g}{unit}" for x in (cell.least, cell.most))
    if cell.most is not None and cell.most < 1e6 and cell.unit != "1/year":
        return f", {least} to {most}".replace(", 1 months to", ", 1 month to")
    if cell.least is None:
        return ""
    return ", above 0" if 0 < cell.least < 1e-3 else f", {least} or more"


def _default(cell: Cell) -> str:
    """What an empty cell means."""
    value: Any = cell.default
    if value is REQUIRED:
        return "an error"
    if value is None or value in ("", ()):
        return "see meaning" if "empty" in cell.meaning else "left open"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if cell.kind == "clock":
        return f"`{value // 60:02}:{value % 60:02}`"
    if isinstance(value, date):
        return value.isoformat()
    if cell.kind in ("share", "growth"):
        return f"{value * 100:g} %"
    return f"{value:g}" if isinstance(value, int | float) else str(value)


if __name__ == "__main__":
    # A script joins the rooms as the command line does; by name, for this room knows no model.
    added = import_module("tco.model").line_inputs()
    (data_folder() / "columns.md").write_text(page(added), encoding="utf-8", newline="\n")
