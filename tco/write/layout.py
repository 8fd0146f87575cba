"""Where every column of a model stands in the workbook. Pure: knows no spreadsheet library.

A sheet's page is one wide column of labels and UNITS narrow ones. A table with one row is a card (label, value, unit,
mark, words); others are grids, rows down, cut into bands that fit the page. What only formulas need stands beyond the
page's right edge, in the rows of its own table.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from tco.engine import Address, Column, Table
from tco.model import StudyModel
from tco.model.needs import stated_names
from tco.write import names
from tco.write.rows import has_asides

UNITS = 15  # narrow columns on a page, B to P
BEYOND = UNITS + 2  # the first column right of the page, one kept free between
HEAD = 4  # rows above a grid's first: heading, labels, units, marks
CARD_HEAD = 2  # heading, what the card's columns are
SOURCE, NOTE = 3, 4  # least width of a row's source and note, in narrow columns
HELPERS = {"version", "point", "key", "point before", "point after", "part of the way"}
HELPERS |= {"counted", "taxed", "without_resale", "catches_up", "falls_behind", "sign", "turns", "lowest", "best"}
HELPERS |= {"moment", "grown_years", "grown_before", "begins", "year_began", "end_moment", "end_factor"}
HELPERS |= {
    "path_start",
    "path_from",
    "path_to",
    "other_level",
    "ahead_if_sold",
    "saved",
    "saved_worth",
    "saved_often",
    "saved_dated",
}
HELPERS |= {"operating", "operating_worth", "investment_worth", "if_sold", "lcc_if_sold"}
HELPERS |= {
    "phase",
    "weight",
    "after_loss",
    "drive_lost",
    "rebuilds",
    "holds",
    "whole",
    "lacking",
    "number",
    "noise_kind",
    "apparent",
}
HELPERS |= {"sound_idle", "sound_busy", "noise_way", "group", "level", "short", "state"}
HELPER_STARTS = (
    *(
        "fee ",
        "known ",
        "version ",
        "follows ",
        "above ",
        "below ",
        "held ",
        "share ",
        "all ",
        "lost ",
        "least ",
        "exposed ",
        "reading ",
        "writing ",
    ),
    *("network ", "read ", "write ", "there ", "short ", "since "),
    *("key ", "base ", "part ", "busy ", "log ", "cooled "),
)
HELPER_ENDS = ("_side", "_crosses", "_so_far", "_behind", "_back", "_turn", "_state", "_lowest")
HELPERS |= {"billed", "home_key", "home_share", "goes_on", "rise", "has_minimum", "block_count", "subtotal", "supply"}
HELPERS |= {"behind", "rated", "rated_all", "from_load", "slope", "dc_idle", "dc_busy"}
CHART_ROWS = 19  # rows that the chart of the electricity sheet takes
ORDER = (
    "measures",
    "delivered",
    "years",
    "failing",
    "leaving",
    "shelf",
    "holding",
    "inputs",
    "stated",
    "parts",
    "nodes",
    "pools",
    "fees",
    "one-offs",
)
LATER = ("fit", "room", "phases", "pool")  # after what no order knows
BESIDE = {  # right of the page, beside another table
    "units": "months",
    "timed": "months",
    "reasons": "measures",
    "judged": "measures",
    "takes": "months",
}
HEADINGS = {
    "measures": "What it comes to",
    "years": "Year by year",
    "inputs": "This scenario",
    "parts": "Parts",
    "nodes": "Nodes",
    "fees": "Fees",
    "one-offs": "Paid or received once",
    "holding": "How long to keep it: if all of it is sold after",
    "delivered": "What it delivers: at its worst, over the horizon",
    "stated": "What it states to deliver",
    "phases": "What it delivers, phase by phase: months in which the equipment stays the same",
    "fit": "Does it fit: places, for each node or shared, and what takes them",
    "room": "What the last free places allow",
    "judged": "Needs, as figures",
    "takes": "What each part provides and needs",
    "failing": "What fails: units to be expected, and what they cost",
    "leaving": "How old units are when they leave: the ages by which they sell",
    "shelf": "Spares on the shelf",
    "months": "Month by month",
    "units": "Per unit: expected failures, what is there, what it would fetch",
    "timed": "Savings when they count",
    "reasons": "For the formulas and sentences: why there is no such measure (a number), what finds rates",
}


@dataclass(frozen=True)
class Block:
    """Columns of one table, together on a sheet.

    kind: `card`, `grid` or `beyond` (a grid right of the page, without labels of its own).
    top: the row of its heading; first: the row of its first value (both from 0).
    lefts, spans: each column's first sheet column, and how many it takes.
    aside: where source and note start, 0 for none.
    """

    table: Table
    kind: str
    sheet: str
    heading: str
    top: int
    columns: tuple[Column, ...]
    lefts: tuple[int, ...]
    spans: tuple[int, ...]
    aside: int = 0

    @property
    def first(self) -> int:
        return self.top + (CARD_HEAD if self.kind == "card" else HEAD)

    @property
    def end(self) -> int:
        """The row after its last."""
        return self.first + (len(self.columns) if self.kind == "card" else len(self.table.rows))


@dataclass
class Layout:
    """Sheets, blocks and cells. `rooms`: rows kept free for what is no model column, by sheet."""

    sheets: dict[str, str]  # scenario -> sheet
    blocks: list[Block] = field(default_factory=list)
    spots: dict[Column, tuple[str, int, int]] = field(default_factory=dict)
    named: dict[Column, str] = field(default_factory=dict)
    rooms: dict[str, int] = field(default_factory=dict)

    def keep(self, block: Block) -> None:
        """Take a block in, and note where its columns' first values stand."""
        self.blocks.append(block)
        for number, (column, left) in enumerate(zip(block.columns, block.lefts, strict=True)):
            row = block.first + number if block.kind == "card" else block.first
            self.spots[column] = (block.sheet, row, left)

    def of(self, sheet: str) -> list[Block]:
        """The blocks of a sheet."""
        return [block for block in self.blocks if block.sheet == sheet]

    def cell(self, column: Column, row: int = 0) -> tuple[str, str]:
        """The sheet and cell of one value: ('Calendar', 'C7')."""
        sheet, first, left = self.spots[column]
        return sheet, f"{names.letters(left)}{first + row + 1}"

    def absolute(self, column: Column, start: int = 0, end: int | None = None) -> str:
        """The absolute address of rows, with its sheet: `'Calendar'!$C$7:$C$67`."""
        sheet, first, left = self.spots[column]
        letter = names.letters(left)
        one = f"{names.quoted(sheet)}${letter}${first + start + 1}"
        return one if end is None or end == start else f"{one}:${letter}${first + end + 1}"

    def address(self, sheet: str) -> Address:
        """How formulas of a sheet refer to cells: by name where there is one, with the sheet's name elsewhere."""
        known: dict[Column, tuple[str, int]] = {}

        def of(column: Column, start: int, end: int) -> str:
            if column in self.named:
                return self.named[column]
            if column not in known:
                other, first, left = self.spots[column]
                known[column] = (f"{'' if other == sheet else names.quoted(other)}${names.letters(left)}$", first + 1)
            stem, first = known[column]
            one = f"{stem}{first + start}"
            return one if start == end else f"{one}:{stem.rpartition('!')[2]}{first + end}"

        return of


def layout(built: StudyModel) -> Layout:
    """The place of every column of a study's model."""
    made = Layout(names.sheet_names([ground.scenario.scenario for ground in built.grounds]))
    shared(built, made)
    for ground in built.grounds:
        scenario(built, made, ground.scenario.scenario)
    bills(built, made)
    made.named = dict(named_cells(built))
    return made


def shared(built: StudyModel, made: Layout) -> None:
    """Assumptions, calendar and curves."""
    tables = built.model.tables
    tariffs = [table for name, table in tables.items() if name.startswith(("tariff ", "charges "))]
    timed = [table for name, table in tables.items() if name.startswith(("hours ", "shape "))]
    paths = [table for name, table in tables.items() if name.startswith("path ")]
    points = [tables["resale"]] if "resale" in tables else []
    others = [tables[name] for name in ("needs", "sites") if name in tables]
    home = [tables[name] for name in ("home", "holidays", "efficiency") if name in tables]
    lists = [*others, *tariffs, *home, *timed, *paths, *points]
    row = down(built, made, names.ASSUMPTIONS, [tables["settings"], *lists])
    made.rooms[names.ASSUMPTIONS] = row
    down(built, made, names.CALENDAR, [tables["calendar"]])
    made.rooms[names.CURVES] = 3
    failing = sum(len(points) for points in built.study.failures.values())
    first = 3 + (HEAD + failing + 2 if failing else 0)
    down(built, made, names.CURVES, [tables[name] for name in ("ages",) if name in tables], first)


def bills(built: StudyModel, made: Layout) -> None:
    """The home's bills, and those with each build, below what stands first on their sheet."""
    homes = [table for name, table in built.model.tables.items() if name.startswith("home on ")]
    own = [table for table in built.model.tables.values() if table.kind == "bill"]
    made.rooms[names.ELECTRICITY] = table = 2 + len(own) + 1  # below title and a sentence a scenario
    down(built, made, names.ELECTRICITY, [*homes, *own], table + 3 + len(own) + 1 + CHART_ROWS)


def scenario(built: StudyModel, made: Layout, name: str) -> None:
    """One scenario's sheet; tables that no order knows stand before the months."""
    own = (table for table in built.model.tables.values() if table.scenario == name)
    tables = {table.kind: table for table in own if built.model.of(table)}
    kinds = sorted((kind for kind in tables if kind not in (*BESIDE, "bill")), key=place_of)
    sheet, needs = made.sheets[name], len(stated_names(built.study))
    row = down(built, made, sheet, [tables["measures"]])
    made.rooms[sheet] = row
    down(built, made, sheet, [tables[kind] for kind in kinds[1:]], row + (CARD_HEAD + needs + 1 if needs else 0))
    for kind, beside in BESIDE.items():
        if kind in tables:
            first = next(block for block in made.of(made.sheets[name]) if block.table.kind == beside)
            taken = [left for block in made.of(first.sheet) if block.top == first.top for left in block.lefts]
            made.keep(beyond(tables[kind], first, built.model.of(tables[kind]), max(BEYOND, max(taken) + 2)))


def place_of(kind: str) -> float:
    """Where a table of a scenario stands on its sheet: what people ask first, then what it is worked out from."""
    if kind == "months":
        return 1000.0
    stem = kind.split(" ")[0]
    after = LATER.index(stem) if stem in LATER else 0
    return float(ORDER.index(kind)) if kind in ORDER else 100.0 + 10 * after


def down(built: StudyModel, made: Layout, sheet: str, tables: Iterable[Table], row: int = 3) -> int:
    """Blocks of the tables, one under the other from a row on; returns the row after the last."""
    for table in tables:
        columns = built.model.of(table)
        make = card if len(table.rows) == 1 and is_card(table) else grid
        for block in make(table, sheet, columns, row, asides=has_asides(built, table)):
            made.keep(block)
            row = max(row, block.end + 1)
    return row


CARDS = ("settings", "inputs", "measures", "delivered", "stated", "needs", "room")


def is_card(table: Table) -> bool:
    """Tables of one row by nature; a list that happens to have one row stays a grid."""
    return table.kind in CARDS


def heading(table: Table) -> str:
    """What stands over a table."""
    return HEADINGS.get(table.kind, table.label)


def card(table: Table, sheet: str, columns: list[Column], row: int, *, asides: bool) -> Iterator[Block]:
    """A table of one row: its columns one under the other."""
    several = (1,) * len(columns)
    spans = tuple(2 if column.unit is None else 1 for column in columns)
    yield Block(table, "card", sheet, heading(table), row, tuple(columns), several, spans, 4 if asides else 0)


def grid(table: Table, sheet: str, columns: list[Column], row: int, *, asides: bool) -> Iterator[Block]:
    """A table of several rows, in as many bands as the page needs, and what only formulas need beside the first."""
    shown = [column for column in columns if not is_helper(column)]
    top, title = row, heading(table)
    bands = list(cut(shown, SOURCE + NOTE if asides else 0))
    for number, (band, aside) in enumerate(bands):
        spans = [span(column) for column in band]
        lefts = tuple(1 + sum(spans[:place]) if wide else 0 for place, wide in enumerate(spans))
        words = title if number == 0 else f"{title}, continued"
        made = Block(table, "grid", sheet, words, top, tuple(band), lefts, tuple(spans), aside)
        yield made
        if number == 0 and len(shown) < len(columns):
            yield beyond(table, made, [column for column in columns if is_helper(column)], BEYOND)
        top = made.end + 1


def beyond(table: Table, beside: Block, columns: list[Column], left: int) -> Block:
    """A grid right of the page, row by row with the one beside it."""
    lefts, spans = tuple(range(left, left + len(columns))), (1,) * len(columns)
    words = "For the formulas" if table is beside.table else heading(table)
    return Block(table, "beyond", beside.sheet, words, beside.top, tuple(columns), lefts, spans)


def cut(columns: list[Column], aside: int) -> Iterator[tuple[list[Column], int]]:
    """Bands that fit the page, each with where source and note start: 0 but in the last, if `aside` wants room."""
    band: list[Column] = []
    for column in columns:
        if width(band) + span(column) > UNITS:
            yield band, 0
            band = []
        band.append(column)
    if aside and width(band) + aside > UNITS:
        yield band, 0
        band = []
    yield band, 1 + width(band) if aside else 0


def width(columns: list[Column]) -> int:
    """How many narrow columns some take."""
    return sum(map(span, columns))


def span(column: Column) -> int:
    """How many narrow columns one takes: numbers one, text by its length."""
    if column.state is not None:
        return spread(max(map(len, column.words)))
    if column.unit is not None or column.values is None or is_label(column):
        return 0 if is_label(column) else 1
    return min(2, spread(max(len(str(value)) for value in column.values)))


def spread(letters: int) -> int:
    """How many narrow columns a text of so many letters takes, on two lines if need be."""
    return 1 if letters <= 10 else 2 if letters <= 40 else 3


def is_label(column: Column) -> bool:
    """Whether a text column is what names its table's rows: it stands in the column of labels."""
    return column.unit is None and column.values is not None and list(column.values) == list(column.table.rows)


def is_helper(column: Column) -> bool:
    """Whether only formulas need a column: keys, flags, parts of a sum."""
    if is_card(column.table):
        return False
    if column.name == "year":
        return column.table.kind == "years"
    own = column.name == "scenario"
    if column.sources:
        return own  # what a person typed is shown
    named = column.name.startswith(HELPER_STARTS) or column.name.endswith(HELPER_ENDS)
    return own or named or column.name in HELPERS


def named_cells(built: StudyModel) -> Iterator[tuple[Column, str]]:
    """Names for the inputs of which there is one cell each."""
    taken: set[str] = set()
    for column in built.model.columns.values():
        if column.live and is_card(column.table):
            stem = f"need_{column.name}" if column.table.name == "needs" else column.name
            yield column, names.cell_name(stem, column.table.scenario, taken)


__all__ = ["Block", "Layout", "layout"]
