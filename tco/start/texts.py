"""Tables as text: a header and rows of cells, to be changed and written again. Nothing is judged here."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from tco.places import data_folder

Row = Mapping[str, str]


@dataclass(frozen=True)
class Texts:
    """A table as text. header: as it is written, `price [EUR]`; rows: cells by the plain name, `price`."""

    header: tuple[str, ...]
    rows: tuple[Row, ...]

    def where(self, keep: Callable[[Row], bool]) -> Texts:
        """Some of its rows."""
        return replace(self, rows=tuple(row for row in self.rows if keep(row)))

    def each(self, change: Callable[[Row], Row]) -> Texts:
        """Its rows, changed one by one."""
        return replace(self, rows=tuple(change(row) for row in self.rows))

    @property
    def csv(self) -> str:
        """The whole of it as CSV."""
        found = io.StringIO()
        writer = csv.writer(found, lineterminator="\n")
        writer.writerow(self.header)
        writer.writerows([row[plain(name)] for name in self.header] for row in self.rows)
        return found.getvalue()


def plain(header: str) -> str:
    """A column's name without its unit."""
    return header.partition(" [")[0]


def of_file(path: Path) -> Texts:
    """The table in a file of the package's own."""
    with path.open(encoding="utf-8", newline="") as file:
        header, *rows = csv.reader(file, strict=True)
    names = [plain(name) for name in header]
    return Texts(tuple(header), tuple(dict(zip(names, row, strict=True)) for row in rows))


def folder() -> Path:
    """Where the starting study stands."""
    return data_folder() / "start"


@cache
def template() -> Mapping[str, Texts]:
    """Every table of the starting study, by file."""
    return {path.name: of_file(path) for path in sorted(folder().glob("*.csv"))}


@cache
def _list(name: str) -> tuple[Row, ...]:
    """The rows of a list that goes with the questions."""
    return of_file(folder() / "asked" / f"{name}.csv").rows


def currency(code: str) -> Row:
    """What is known of a currency: what a drive costs, which region is taken; empty cells where nothing is."""
    return next((row for row in _list("currencies") if row["currency"] == code), {"drive": "", "region": ""})


def known_currencies() -> tuple[str, ...]:
    """The codes of the currencies in which a rough price of a drive is known."""
    return tuple(row["currency"] for row in _list("currencies"))


def place(names: Iterable[str]) -> Row:
    """Time zone and mains of the first of some regions or currencies that is listed, else of elsewhere."""
    by_name = {row["place"]: row for row in _list("places")}
    return next(by_name[name] for name in (*names, "elsewhere") if name in by_name)


def why() -> Mapping[tuple[str, str], str]:
    """(table, column) -> why the values of that column are as they are."""
    return {(row["table"], row["column"]): row["why"] for row in _list("why")}
