"""The broken studies: each a good one with one table changed, where that must be told, and words of the reason."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from tco.read.values import NUMERIC
from tco.study import (
    Charge,
    EfficiencyPoint,
    Entry,
    FailurePoint,
    Fee,
    Holiday,
    HomeUse,
    Node,
    OneOff,
    Part,
    PathPoint,
    Period,
    Pool,
    Purchase,
    Range,
    ResalePoint,
    Scenario,
    ShapePoint,
    Site,
    Stated,
    Version,
)  # fmt: skip
from tests.broken import cells, tables
from tests.broken.sheet import Sheet
from tests.broken.spots import Spot, last_spots, spots


@dataclass(frozen=True)
class Case:
    """A broken study. field: the column at fault, empty for a fault of rows or files. content: of the changed file.

    alone: whether nothing else may be told, because nothing else is wrong then.
    """

    study: str
    file: str
    field: str
    kind: str
    content: bytes
    place: str
    words: tuple[str, ...]
    alone: bool = True
    is_pure: bool = False  # whether nothing but the cell's own value is unknown then, so that it hides no other fault

    @property
    def name(self) -> str:
        return f"{self.study}: {self.file}: {self.field}: {self.kind}"


def of_sheet(spot: Spot, kind: str, changed: Sheet, place: str, *words: str, alone: bool = True) -> Case:
    """A case whose changed table is given as rows."""
    is_pure = alone and (spot.cell.kind in PURE or spot.field in ("source", "note")) and kind not in HIDING
    return Case(spot.study, spot.sheet.file, spot.field, kind, changed.text.encode(), place, words, alone, is_pure)


HIDING = ("column misspelt", "column missing")  # the names of other tables may then be unknown
PURE = (*NUMERIC, "month", "date", "day", "clock", "season", "days", "yes", "choice", "amounts")


def in_later_rows() -> Iterator[Case]:
    """No value in the last row of each column whose cells hide no other fault: no other row may be told."""
    for spot in last_spots():
        if spot.cell.kind in PURE:
            changed = spot.sheet.with_cell(spot.row, spot.column, "?!")
            yield of_sheet(spot, "no value in a later row", changed, spot.place, f"{spot.name}: '?!'")


TWOFOLD = ("no such file", "another table")  # they leave a file that nobody names


def in_cells() -> Iterator[Case]:
    """Each fault that a kind of cell can have, in each column of that kind."""
    for spot in spots():
        for one in {fault.text: fault for fault in cells.faults(spot)}.values():
            changed = spot.sheet.with_cell(spot.row, spot.column, one.text)
            yield of_sheet(spot, one.kind, changed, spot.place, *one.words, alone=one.kind not in TWOFOLD)


REFERENCES = {  # columns whose names must stand elsewhere, and what is said where they do not
    (Scenario, "tariff"): "there is no tariff",
    (Scenario, "site"): "there is no site",
    (Scenario, "busy_shape"): "there is no shape",
    (Part, "node"): "there is no node",
    (Part, "failures"): "there is no curve",
    (Part, "replaced_by"): "there is no part",
    (Part, "price_path"): "there is no path",
    (Part, "resale"): "there is no curve",
    (Part, "pool"): "has no pool",
    (Part, "takes_first"): "has no pool",
    (Part, "efficiency"): "there is no curve",
    (Node, "scenario"): "there is no scenario",
    (Node, "node"): "there is no node",
    (Version, "path"): "there is no path",
    (Version, "hours"): "there is no name",
    (Charge, "tariff"): "there is no tariff",
    (Charge, "period"): "has no period",
    (Holiday, "hours"): "there is no name",
    (HomeUse, "shape"): "there is no shape",
    (Fee, "scenario"): "there is no scenario",
    (Fee, "path"): "there is no path",
    (OneOff, "scenario"): "there is no scenario",
    (Pool, "scenario"): "there is no scenario",
    (Stated, "scenario"): "there is no scenario",
    (Range, "scenario"): "there is no scenario",
    (Purchase, "scenario"): "there is no scenario",
    (Purchase, "part"): "there is no part",
    (Purchase, "node"): "there is no node",
    (Purchase, "in_place_of"): "there is no part",
    (Entry, "scenario"): "there is no scenario",
    (Entry, "part"): "there is no part",
}
NAMING = {  # columns that give things the names by which others call them, or that people read
    (Scenario, "scenario"), (Part, "part"), (Version, "tariff"), (Charge, "charge"), (Period, "hours"),
    (Period, "period"), (ShapePoint, "shape"), (EfficiencyPoint, "curve"), (Fee, "fee"), (OneOff, "what"),
    (FailurePoint, "curve"), (ResalePoint, "curve"), (PathPoint, "path"), (Pool, "pool"), (Site, "site"),
    (Purchase, "purchase"),
}  # fmt: skip


def in_references() -> Iterator[Case]:
    """Each name that must stand elsewhere, misspelt: it is told where it stands, with the one that is meant."""
    for spot in spots():
        if words := REFERENCES.get((spot.kind, spot.field)):
            text = f"{spot.text}z"
            alone = (spot.kind, spot.field) != (Node, "node")  # whose parts have no node then
            meant = f"did you mean '{spot.text}'"
            for kind, name, more in (("misspelt", text, (meant,)), ("absent", "Qqq", ())):
                changed = spot.sheet.with_cell(spot.row, spot.column, name)
                told = words, f"'{name}'", *more
                yield of_sheet(spot, f"{kind} reference", changed, spot.place, *told, alone=alone)


def in_headers() -> Iterator[Case]:
    """Faults of the header of each column."""
    for spot in spots():
        if not spot.is_setting:
            for one in tables.headers(spot):
                yield of_sheet(spot, one.kind, one.sheet, one.place, *one.words, alone=one.alone)


def in_tables() -> Iterator[Case]:
    """Faults of the rows and the file of each table."""
    for last in {(spot.study, spot.sheet.file): spot for spot in spots()}.values():
        own = last.sheet
        told = [*tables.rows(own, last), *filter(None, [tables.repeated(own)])]
        yield from (
            replace(of_sheet(last, one.kind, one.sheet, one.place, *one.words, alone=one.alone), field="")
            for one in told
        )
        for number, one in enumerate(tables.files(own, large=own.file in ("study.csv", "nodes.csv"))):
            if (number + len(own.file)) % 3 and own.file not in ("study.csv", "nodes.csv", "plug.csv"):
                continue  # a file is read before it is known what it holds: each kind in some of the tables
            yield Case(last.study, own.file, "", one.kind, one.content, one.place, one.words, alone=False)
