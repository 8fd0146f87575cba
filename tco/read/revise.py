"""A study with a new version of a tariff: merged into its tables as text, checked by the reader, old versions kept.

What a version that was the last one followed silently, the study's electricity growth, is written into its row: once
another supersedes it an empty growth means none, and months before the change must keep their cost.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from tco.errors import Place, StudyError
from tco.read import text
from tco.read.amend import amended, amended_grid, check_same, origins, width
from tco.read.grid import Grid
from tco.read.merge import Merge
from tco.read.offer import OPTIONS, Sheet, from_file, from_options
from tco.read.problems import Problems, Refused, shown
from tco.read.quantities import Money
from tco.read.shelf import Shelf, Workbook, find
from tco.read.study import from_shelf
from tco.study import Study, Version

if TYPE_CHECKING:
    from tco.read.study import Extra


@dataclass(frozen=True)
class NewPrice:
    """A new price on the command line; tariff: empty where the study has one only."""

    price: str
    start: str
    tariff: str = ""


@dataclass(frozen=True)
class Revision:
    """A study before and after a new version.

    added: the new versions as read. same: what stands there already, in sentences.
    kept: versions into whose row the study's growth was written, with its text.
    tables: table -> its file before and after, as bytes; empty for a workbook. told: what to add by hand there.
    """

    before: Study
    after: Study
    added: tuple[Version, ...] = ()
    same: tuple[str, ...] = ()
    kept: tuple[tuple[Version, str], ...] = ()
    tables: Mapping[str, tuple[bytes, bytes]] = field(default_factory=dict)
    told: tuple[str, ...] = ()

    @property
    def is_nothing(self) -> bool:
        """Whether all that is offered stands in the study already."""
        return self.after is self.before

    @property
    def by_hand(self) -> str:
        """What to do where the study is a workbook; empty where it is none."""
        if self.tables or self.is_nothing:
            return ""
        return f"{self.before.folder} is a workbook, which tco does not rewrite; change it by hand: " + "; ".join(
            self.told
        )

    @property
    def notes(self) -> list[str]:
        """What was done to the tables and need not be expected, in sentences."""
        found = [f"{one}." for one in self.same]
        found += [
            f"{version.tariff} from {version.start:%Y-%m}: its growth now stands in its row ({text}, so far the "
            "study's), since a version that another supersedes has none otherwise."
            for version, text in self.kept
        ]
        return [*found, f"{self.by_hand}."] if self.by_hand else found


def revise(folder: str | Path, offers: Sequence[Path | NewPrice], extra: Extra | None = None) -> Revision:
    """A study with the versions offered; nothing is written.

    Raises StudyError with everything wrong in the study, else in what is offered, at its place there.
    """
    problems = Problems()
    shelf = find(Path(folder), problems)
    study = from_shelf(shelf, str(folder), extra, problems)
    money = Money(study.settings.currency, study.rates)
    offered = [_opened(offer, study, money, problems) for offer in offers]
    problems.settle()
    merge = Merge(shelf, study, money, problems)
    merge.everything([one for one in offered if one is not None])
    problems.settle()
    same = tuple(merge.same)
    if not merge.edits:
        return Revision(study, study, same=same)
    raws, grids = _applied(merge, problems)
    problems.settle()
    after = _read_again(merge, grids, extra)
    return Revision(study, after, tuple(merge.added), same, tuple(merge.kept), raws, tuple(_told(merge)))


def _opened(offer: Path | NewPrice, study: Study, money: Money, problems: Problems) -> Sheet | None:
    """What is offered as a table."""
    if isinstance(offer, Path):
        return from_file(offer, money, problems)
    tariff = offer.tariff or only_tariff(study, problems)
    return from_options(offer.price, offer.start, tariff, money, problems)


def only_tariff(study: Study, problems: Problems) -> str:
    """The one tariff that the study uses; raises StudyError where there are none or several."""
    names = list(study.tariffs)
    if len(names) != 1:
        listed = ", ".join(shown(name) for name in names)
        what = f"the study uses several tariffs, {listed}; say which" if names else "no scenario has a tariff"
        problems.add(Place("--name"), what)
        problems.settle()
    return names[0]


class Amended:
    """A shelf some of whose tables are changed."""

    def __init__(self, shelf: Shelf, grids: Mapping[str, Grid]) -> None:
        self.shelf, self.grids, self.elsewhere = shelf, grids, shelf.elsewhere

    def has(self, file: str) -> bool:
        """Whether there is such a table."""
        return file in self.grids or self.shelf.has(file)

    def shown(self, file: str) -> str:
        """The table's name as messages give it."""
        return self.shelf.shown(file)

    def grid(self, file: str, problems: Problems) -> Grid | None:
        """The table's rows, changed or not."""
        return self.grids.get(file) or self.shelf.grid(file, problems)

    def raw(self, file: str, limit: int) -> bytes | None:
        """The bytes of a file that is no table."""
        return self.shelf.raw(file, limit)

    def names(self) -> list[str]:
        """Every table there is, in order."""
        return sorted({*self.shelf.names(), *self.grids})


def _applied(merge: Merge, problems: Problems) -> tuple[dict[str, tuple[bytes, bytes]], dict[str, Grid]]:
    """The changed tables: their files before and after, and as read."""
    raws: dict[str, tuple[bytes, bytes]] = {}
    grids: dict[str, Grid] = {}
    for table, edits in merge.edits.items():
        base, name = merge.bases[table], merge.shelf.shown(table)
        if not base.raw or isinstance(merge.shelf, Workbook):
            grids[table] = replace(amended_grid(base.grid, edits), file=name)
            continue
        try:
            raw = amended(base.raw, base.grid, edits)
            grid = text.parse(name, raw, problems)
            check_same(base.grid, edits, grid)
            assert grid is not None
        except Refused as refused:
            first = edits.rows[0]
            problems.add(first.source.row_place(first.line), str(refused))
            continue
        raws[table], grids[table] = (base.raw if merge.shelf.has(table) else b"", raw), grid
    return raws, grids


def _read_again(merge: Merge, grids: Mapping[str, Grid], extra: Extra | None) -> Study:
    """The study with its changed tables; what is wrong now is told where it stands in a person's files."""
    known: dict[Place, Place] = {}
    for table, grid in grids.items():
        known |= origins(merge.bases[table].grid, merge.edits[table], grid)
    try:
        return from_shelf(Amended(merge.shelf, grids), merge.study.folder, extra, Problems())
    except StudyError as error:
        raise StudyError(sorted(_at_home(place, message, known) for place, message in error.found)) from None


LINE_OF = re.compile(r"\bline ([0-9]+)")


def _at_home(place: Place, message: str, known: Mapping[Place, Place]) -> tuple[Place, str]:
    """A problem of a changed table as one of the files that a person has: its place, and places in its words."""
    own = known.get(place, place)

    def line(found: re.Match[str]) -> str:
        row = known.get(Place(place.file, int(found[1])))
        if row is None:
            return found[0]
        return f"line {row.line}" if row.file == own.file else f"line {row.line} of {row.file}"

    def spot(found: re.Match[str]) -> str:
        there = Place(found[1], int(found[2]), int(found[3] or 0))
        return str(known.get(there, there))

    if own.file in OPTIONS:
        message += "; what one price does not say goes into a file, see --tariff"
    names = "|".join(sorted({re.escape(one.file) for one in known}))
    message = LINE_OF.sub(line, message) if place in known else message
    return own, re.sub(rf"\b({names}):([0-9]+)(?::([0-9]+))?", spot, message)


def _told(merge: Merge) -> Iterator[str]:
    """What changes, cell by cell, for somebody who does it by hand."""
    for table, edits in merge.edits.items():
        base, name = merge.bases[table], merge.shelf.shown(table)
        heads = [
            *base.grid.lines[0].cells,
            *[""] * (width(base.grid) - len(base.grid.lines[0].cells)),
            *edits.columns,
        ]
        if not merge.shelf.has(table):
            yield f"{name}: a new table, as {base.grid.file}"
        for (line, column), cell in edits.cells.items():
            yield f"{name}, row {line}: {heads[column]} {cell}"
        for row in edits.rows:
            filled = ", ".join(f"{head} {cell}" for head, cell in zip(heads, row.cells, strict=True) if cell)
            yield f"{name}, a row below row {row.after}: {filled}"
