"""New versions put into the tables of a study: what is there already, what contradicts it, where and how rows go."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import isclose
from typing import Any

from tco.addresses import label
from tco.errors import Place
from tco.read.amend import Edits, NewRow, width
from tco.read.column import Column
from tco.read.grid import SIZE_LIMIT, Line
from tco.read.offer import KINDS, Sheet, said, sheet
from tco.read.problems import Problems, Refused, shown, suggestion
from tco.read.quantities import Money
from tco.read.restate import plain, restated, with_sign
from tco.read.shelf import Shelf
from tco.read.tables import cells
from tco.read.values import value
from tco.study import Row, Settings, Study, Version

TARIFFS = "tariffs.csv"


@dataclass(frozen=True)
class Offered:
    """A row that is offered, with its line and the table it stands in."""

    row: Any
    line: Line
    sheet: Sheet

    @property
    def place(self) -> Place:
        return self.row.places[""]  # type: ignore[no-any-return]

    def at(self, name: str) -> Place:
        """Where a field of it stands; the row where it is empty."""
        return self.row.places.get(name, self.place)  # type: ignore[no-any-return]


class Merge:
    """Puts what is offered into the tables of a study, one table after the other; tells problems, raises none."""

    def __init__(self, shelf: Shelf, study: Study, money: Money, problems: Problems) -> None:
        self.shelf, self.study, self.money, self.problems = shelf, study, money, problems
        self.edits: dict[str, Edits] = {}
        self.bases: dict[str, Sheet] = {}
        self.added: list[Version] = []
        self.same: list[str] = []
        self.kept: list[tuple[Version, str]] = []

    def everything(self, sheets: Sequence[Sheet]) -> None:
        """All tables."""
        if self.base(TARIFFS) is None:
            self.problems.add(Place(self.shelf.shown(TARIFFS)), "the study has no tariffs, so no price to change")
            return
        for table in KINDS:
            if own := [one for one in sheets if one.table == table]:
                self.table(table, own)
        if self.edits and not self.added:
            first = next(one for one in sheets if one.table in self.edits)
            message = f"no new version of a tariff comes with it; give its row of {TARIFFS} as well"
            self.problems.add(Place(first.grid.file), message)

    def base(self, table: str) -> Sheet | None:
        """A table of the study as it stands."""
        if table not in self.bases and self.shelf.has(table):
            grid = self.shelf.grid(table, Problems())
            assert grid is not None, "a study that was read has no unreadable table"
            raw = self.shelf.raw(table, SIZE_LIMIT) or b""
            self.bases[table] = sheet(table, grid, {}, self.money, Problems(), raw)
        return self.bases.get(table)

    def table(self, table: str, sheets: Sequence[Sheet]) -> None:
        """New rows of one table; where the study has none the first that is offered becomes it."""
        base = self.base(table)
        for one in sheets:
            self.check_tariffs(one)
        if base is None:
            base, *sheets = sheets
            self.bases[table], self.edits[table] = base, Edits()
        known = {key: [Offered(*row, base) for row in rows] for key, rows in base.groups().items()}
        fresh: list[Offered] = []
        for one in sheets:
            for key, rows in one.groups().items():
                mine = [Offered(*row, one) for row in rows]
                if not self.is_known(mine[0].row):
                    continue
                if key in known:
                    self.compare(table, mine, known[key])
                elif self.is_single(table, mine):
                    known[key] = mine
                    fresh += mine
        if fresh:
            self.put(table, base, fresh)

    def check_tariffs(self, offered: Sheet) -> None:
        """Only tariffs that the study has get a new version."""
        base = self.bases[TARIFFS]
        for row in offered.rows:
            if not self.is_known(row):
                hint = suggestion(row.tariff, {one.tariff for one in base.rows})
                message = f"tariff: there is no tariff {shown(row.tariff)} in {base.grid.file}{hint}"
                self.problems.add(row.places["tariff"], message)

    def is_known(self, row: Any) -> bool:
        """Whether a row is of a tariff that the study has, or of none."""
        return not hasattr(row, "tariff") or any(one.tariff == row.tariff for one in self.bases[TARIFFS].rows)

    def is_single(self, table: str, mine: Sequence[Offered]) -> bool:
        """Whether a version or a holiday is offered once only."""
        if len(mine) > 1 and table in (TARIFFS, "holidays.csv"):
            self.problems.add(
                mine[1].place, f"{named(table, mine[1].row)} stands in {mine[0].place} already; keep one"
            )
            return False
        return True

    def compare(self, table: str, mine: Sequence[Offered], theirs: Sequence[Offered]) -> None:
        """What is there already is left alone if it says the same, and is a problem if it does not."""
        what, where = named(table, mine[0].row), theirs[0].place
        verb = "stands" if table == "holidays.csv" else "stand"
        if table == TARIFFS and len(mine) == 1:
            if not (other := self.differing(mine[0].row, theirs[0].row)):
                self.same.append(f"{what} stands in {where} already")
            for name in other:
                message = f"{label(name)}: {what} stands in {theirs[0].at(name)} already, with another {label(name)}"
                self.problems.add(mine[0].at(name), f"{message}; change that row by hand, or take this one out")
        elif self.values(mine) == self.values(theirs):
            self.same.append(f"{what} {verb} in {where} already")
        else:
            message = f"{what} {verb} in {where} already, and not with the same values; change those rows by hand"
            self.problems.add(mine[0].place, message)

    def values(self, rows: Sequence[Offered]) -> list[list[str]]:
        """What rows say, whatever their order."""
        return sorted([self.value(one.row, name) for name in said(one.row)] for one in rows)

    def value(self, row: Row, name: str) -> str:
        """What a field says, to twelve digits, with its kind of money."""
        found = getattr(row, name)
        kind = row.kinds.get(name) or self.study.settings.money
        return f"{found:.12g} {kind}" if isinstance(found, float) else repr(found)

    def differing(self, mine: Version, theirs: Version) -> list[str]:
        """The fields in which two versions differ; an empty growth may have been filled since, or be filled now."""
        names = [name for name in said(mine) if self.value(mine, name) != self.value(theirs, name)]
        settings = self.study.settings
        own = self.rate(settings.electricity_growth, settings.kinds.get("electricity_growth", ""))
        rates = [
            self.rate(row.growth, row.kinds.get("growth", "")) for row in (mine, theirs) if row.growth is not None
        ]
        last = max(row.start for row in self.bases[TARIFFS].rows if row.tariff == theirs.tariff)
        filled = mine.growth is None or (theirs.growth is None and theirs.start == last)
        if filled and not mine.path and all(isclose(rate, own, rel_tol=1e-9, abs_tol=1e-12) for rate in rates):
            names = [name for name in names if name != "growth"]
        return names

    def rate(self, rate: float, kind: str) -> float:
        """A yearly rate in the study's kind of money."""
        return rate if kind in ("", self.study.settings.money) else self.turned(rate, self.study.settings.money)

    def turned(self, rate: float, wanted: str) -> float:
        """A yearly rate of the other kind of money, nominal or real; needs the study's inflation."""
        inflation = self.study.settings.inflation
        assert inflation is not None, "what is of the other kind is refused without it"
        return (rate - inflation) / (1 + inflation) if wanted == "real" else rate + inflation + rate * inflation

    def put(self, table: str, base: Sheet, fresh: Sequence[Offered]) -> None:
        """Rows into their places, with the columns that they need and the table lacks."""
        edits = self.edits.setdefault(table, Edits())
        grown = self.growths(base, fresh) if table == TARIFFS else {}
        need = {name for one in fresh for name in one.row.places} | ({"growth"} if grown else set())
        places = base.places()
        for name in cells(KINDS[table]):
            if name in need and name not in places:
                places[name] = width(base.grid) + len(edits.columns)
                edits.columns.append(label(name))
        targets = {name: self.target(base, name) for name in places}
        edits.cells |= {(line.number, places["growth"]): text for line, text in grown.items()}
        size = width(base.grid) + len(edits.columns)
        for one in fresh:
            cells_of, columns = self.row(one, places, targets, size)
            edits.rows.append(NewRow(anchor(base, one.row).number, cells_of, one.sheet.grid, one.line, columns))
        if table == TARIFFS:
            self.added += [one.row for one in fresh]

    def target(self, base: Sheet, name: str) -> Column:
        """How a table's column is written; a new one has no unit in its header."""
        for own, column in base.columns.values():
            if own == name:
                return column
        sign = next((column.sign for _, column in base.columns.values()), "")
        return Column(label(name), cells(KINDS[base.table])[name], sign=sign)

    def row(
        self, one: Offered, places: Mapping[str, int], targets: Mapping[str, Column], size: int
    ) -> tuple[tuple[str, ...], dict[int, int]]:
        """The cells of a new row as the table writes them, and which cell of the offer each is from."""
        found, columns = [""] * size, {}
        for source, (name, column) in one.sheet.columns.items():
            if name not in one.row.places:
                continue
            columns[places[name]] = source
            try:
                found[places[name]] = self.restated(one.line.cells[source], column, targets[name])
            except Refused as refused:
                self.problems.add(one.at(name), f"{label(name)}: {refused}")
        return tuple(found), columns

    def restated(self, typed: str, source: Column, target: Column) -> str:
        """The text of a cell as the table writes it; raises Refused."""
        return restated(typed, source, target, self.money, self.study.settings.money)

    def growths(self, base: Sheet, fresh: Sequence[Offered]) -> dict[Line, str]:
        """Rows of versions that are superseded now and silently followed the study's growth, with its text."""
        found = {}
        for tariff in dict.fromkeys(one.row.tariff for one in fresh):
            last, line = max(((r, li) for r, li in base.lines() if r.tariff == tariff), key=lambda one: one[0].start)
            later = any(one.row.start > last.start for one in fresh if one.row.tariff == tariff)
            if later and last.growth is None and not last.path and (text := self.study_growth(base)):
                found[line] = text
                self.kept.append((last, text))
        return found

    def study_growth(self, base: Sheet) -> str:
        """The study's electricity growth as a cell of the tariffs' growth; empty where it is nothing."""
        settings = self.study.settings
        if not (where := settings.places.get("electricity_growth")):
            return ""
        word = settings.kinds.get("electricity_growth", "")
        if settings.electricity_growth == 0 and word in ("", settings.money):
            return ""
        target, kind = self.target(base, "growth"), word or settings.money
        if target.kind not in ("", kind):
            return self.turned_growth(base, target)
        grid = self.shelf.grid("study.csv", Problems())
        assert grid is not None, "a study that was read has its settings"
        line = next(line for line in grid.lines if line.start(where.column - 1) == where.line)
        typed, spec = line.cells[where.column - 1], cells(Settings)["electricity_growth"]
        readings = (Column("growth", spec, sign=sign) for sign in (",", "."))
        source = next(one for one in readings if value(typed, one, self.money) == settings.electricity_growth)
        return self.restated(typed, source, target)

    def turned_growth(self, base: Sheet, target: Column) -> str:
        """The study's growth in the other kind of money, which the header of the tariffs' growth says."""
        if self.study.settings.inflation is None:
            where = base.grid.place(base.grid.lines[0], base.places()["growth"])
            message = f"growth: headed '{target.kind}', which the study's growth is not; state inflation in study.csv"
            self.problems.add(where, message)
            return ""
        rate = self.turned(self.study.settings.electricity_growth, target.kind)
        return with_sign(plain(rate * 100), target.sign) + ("" if target.unit else " %")


def anchor(base: Sheet, row: Any) -> Line:
    """The row behind which a new one goes: the last of the same tariff or hours, else the last of the table."""
    name = "tariff" if hasattr(row, "tariff") else "hours"
    own = [line for one, line in base.lines() if getattr(one, name) == getattr(row, name)]
    return (own or base.grid.lines)[-1]


def named(table: str, row: Any) -> str:
    """What a row is part of, in words."""
    if table == "holidays.csv":
        return f"holiday {row.day}"
    if table == "hours.csv":
        return f"hours {shown(row.hours)}"
    version = f"{shown(row.tariff)} from {row.start:%Y-%m}"
    return version if table == TARIFFS else f"the charges of {version}"
