"""The inputs of a study as a person may call them: each cell that has a name, and what figures take it for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property

from tco.addresses import ROWS, address, folded, label
from tco.cell import NUMBERS, Cell
from tco.errors import Place
from tco.ranges import FACTORS, failure_rate_of
from tco.read.curves import place
from tco.read.found import Found
from tco.read.paths import used_paths
from tco.read.tables import Table, cells
from tco.study import Charge, Fee, Needs, Node, Part, Row, Scenario, Settings, Version

Extra = Mapping[type[Row], Mapping[str, Cell]]
APART = ("source", "note")  # columns of every table that are no inputs
SUGGESTED_ROWS = 2000  # rows whose inputs are looked through for what a misspelt one means, at most
FOLLOWED = {(Part, "busy"): "idle", (Part, "noise_busy"): "noise_idle", (Node, "measured_busy"): "measured_idle"}
PATHS = {(Version, "growth"): "path", (Fee, "growth"): "path", (Part, "price_trend"): "price_path"}


@dataclass(frozen=True)
class Owner:
    """A row of a study whose cells are inputs.

    scenarios: those it belongs to; empty: it is shared. is_used: whether any scenario leans on it.
    """

    row: Row
    scenarios: tuple[str, ...] = ()
    is_used: bool = True


@dataclass(frozen=True)
class Spot:
    """One cell that has the name of an input."""

    owner: Owner
    field: str
    cell: Cell

    @property
    def row(self) -> Row:
        return self.owner.row

    @cached_property
    def name(self) -> str:
        """How it is called."""
        return address(self.row, self.field)

    @property
    def place(self) -> Place:
        """Where it stands."""
        return place(self.row, self.field)

    @property
    def path(self) -> str:
        """The price path that holds in its place, if any."""
        return str(getattr(self.row, PATHS.get((type(self.row), self.field), ""), ""))

    @property
    def value(self) -> float | None:
        """What the study says in the cell, or its default; None where that is not known."""
        row, name = self.row, self.field
        if isinstance(row, Settings) and name in row.extra and name not in row.places and not self.cell.default:
            return None  # a cost line that nobody asks for is no part of the model
        if isinstance(row, Scenario) and name == "busy_share" and row.busy_shape:
            return None
        found: float | None = row.extra[name] if name in row.extra else getattr(row, name)
        if found is None and isinstance(row, Version) and name == "growth":
            return 0.0  # where it does not follow the study's; see `follows`
        return found

    def is_shown(self) -> bool:
        """Whether it is among what a misspelt name may mean: a number that figures follow, and no count."""
        return self.cell.live and self.cell.kind in NUMBERS and self.cell.kind != "whole" and self.value is not None


def follows(spot: Spot, found: Found) -> str:
    """How the input is called that an empty cell follows; empty where it follows none."""
    row, name = spot.row, spot.field
    if getattr(row, name, 0.0) is not None:
        return ""
    if isinstance(row, Version) and name == "growth":
        last = row is found.versions(row.tariff)[-1] and not row.path
        return label("electricity_growth") if last else ""
    other = FOLLOWED.get((type(row), name), "")
    return address(row, other) if other and getattr(row, other) is not None else ""


class Names:
    """What the names of inputs mean in one study."""

    def __init__(self, found: Found, extra: Extra) -> None:
        self.found, self.extra = found, extra
        self.owners = list(_owners(found))
        self.columns: dict[type[Row], dict[str, tuple[str, Cell]]] = {}  # folded label -> field and its definition
        self.asked: dict[str, list[Spot]] = {}
        self.by_row: dict[str, list[Owner]] = {}
        for owner in self.owners:
            if kind := ROWS.get(type(owner.row)):
                self.by_row.setdefault(folded(kind(owner.row)), []).append(owner)

    def spots(self, text: str) -> list[Spot]:
        """Every cell that is called so; only those spelt exactly so where there are any."""
        if text not in self.asked:
            self.asked[text] = self._spots(text)
        return self.asked[text]

    def _spots(self, text: str) -> list[Spot]:
        name = folded(text)
        if name.startswith("need: "):
            found = self._of(name.removeprefix("need: "), [one for one in self.owners if isinstance(one.row, Needs)])
        else:
            head, _, tail = name.partition(" of ")
            settings = [one for one in self.owners if isinstance(one.row, Settings)]
            found = self._of(head, self.by_row.get(tail, [])) if tail else self._of(head, settings)
        exact = [spot for spot in found if spot.name == text]
        return exact or found

    def _of(self, head: str, owners: Iterable[Owner]) -> list[Spot]:
        """The cells of rows in the column of that label."""
        columns = ((owner, self.columns_of(type(owner.row)).get(head)) for owner in owners)
        return [Spot(owner, *column) for owner, column in columns if column]

    def columns_of(self, kind: type[Row]) -> dict[str, tuple[str, Cell]]:
        """The columns of a table by their labels, without source and note."""
        if kind not in self.columns:
            found = cells(kind, self.extra.get(kind, {})).items()
            self.columns[kind] = {folded(label(name)): (name, cell) for name, cell in found if name not in APART}
        return self.columns[kind]

    @cached_property
    def curves(self) -> dict[str, str]:
        """Folded name -> name of each failure curve that parts follow."""
        used = {part.failures for table in self.found.parts.values() for part in table.rows}
        return {folded(name): name for name in sorted(used - {""}, reverse=True)}

    def meant(self, text: str) -> str:
        """The input that a misspelt name probably means; empty where none is near."""
        column = next((name for name in self._known if folded(name).startswith(f"{folded(text)} of ")), "")
        if column:
            return column
        words = set(folded(text).split())
        likely = sorted(self._known, key=lambda name: -len(words & self._known[name]))[:100]
        by_fold = {folded(name): name for name in reversed(likely)}
        close = get_close_matches(folded(text)[:200], by_fold, n=1, cutoff=0.6)
        return by_fold[close[0]] if close else ""

    @cached_property
    def _known(self) -> dict[str, set[str]]:
        """Each name that a range may have, with its words."""
        names = [*FACTORS, *map(failure_rate_of, self.curves.values())]
        for owner in self.owners[:SUGGESTED_ROWS]:
            spots = (Spot(owner, *column) for column in self.columns_of(type(owner.row)).values())
            names += [spot.name for spot in spots if spot.is_shown() and not follows(spot, self.found)]
        return {name: set(folded(name).split()) for name in names}


def _owners(found: Found) -> Iterator[Owner]:
    """Every row of the study whose cells have names; settings first."""
    yield Owner(found.settings)
    if found.needs is not None:
        yield Owner(found.needs)
    for scenario in found.scenarios.rows:
        yield Owner(scenario, (scenario.scenario,))
    for file, parts in found.parts.items():
        users = tuple(row.scenario for row in found.scenarios.rows if row.parts_list == file)
        yield from (Owner(part, users) for part in parts.rows)
    names = {row.scenario for row in found.scenarios.rows}
    tables: tuple[Table[Row], ...] = (found.nodes, found.pools, found.stated, found.fees, found.one_offs)  # type: ignore[assignment]
    for table in tables:
        for row in table.rows:
            owner = str(getattr(row, "scenario", ""))
            yield Owner(row, (owner,), owner in names)
    yield from _shared(found)


def _shared(found: Found) -> Iterator[Owner]:
    """The rows that scenarios share: sites, tariffs, the home, curves, paths."""
    scenarios = found.scenarios.rows
    parts = [part for table in found.parts.values() for part in table.rows]
    sites, tariffs = {one.site for one in scenarios}, {one.tariff for one in scenarios}
    yield from (Owner(row, is_used=row.site in sites) for row in found.sites.rows)
    priced: list[Version | Charge] = [*found.tariffs.rows, *found.charges.rows]
    yield from (Owner(row, is_used=row.tariff in tariffs) for row in priced)
    yield from (Owner(row, is_used=any(tariffs)) for row in found.home.rows)
    paths, resale = set(used_paths(found)), {part.resale for part in parts}
    efficiency = {part.efficiency for part in parts}
    yield from (Owner(row, is_used=row.path in paths) for row in found.paths.rows)
    for points, used in ((found.curves.resale, resale), (found.curves.efficiency, efficiency)):
        yield from (Owner(row, is_used=name in used) for name, rows in points.items() for row in rows)
