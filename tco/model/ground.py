"""What a cost line stands on: the shared tables of a study, and those of one scenario."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields
from inspect import get_annotations
from operator import gt
from typing import Any

from tco.addresses import address, label
from tco.cell import NUMBERS, Cell
from tco.engine import Column, Constant, Model, Node, Ref, Table, at, call
from tco.engine.nodes import as_node
from tco.model.periods import Times
from tco.model.slot import Slot, Spare
from tco.study import Needs, Row, Scenario, Settings, Study
from tco.units import unit, written

PUBLISHED = ("measures", "delivered", "judged")  # the tables of measures, in the order in which people read them
MEASURES = (*PUBLISHED, "reasons")  # with what only formulas and sentences need


@dataclass(frozen=True)
class Line:
    """One kind of cost or income over the months; each has a file in tco/model/lines, found there by itself.

    name: as in CSV; label: for people; order: place among the lines.
    investment: whether it is investment-related (purchase, replacement, resale, disposal) or operating, as the
        savings-to-investment ratio tells them apart.
    cash: whether money changes hands. monthly: whether the need `budget month` counts it.
    build: ground -> formula of a month's amount, in money; costs positive.
    settings, parts: inputs of its own, read from study.csv and from parts lists, by field name.
    """

    name: str
    label: str
    order: int
    investment: bool
    build: Callable[[Ground], Node]
    cash: bool = True
    monthly: bool = False
    settings: Mapping[str, Cell] = field(default_factory=dict)
    parts: Mapping[str, Cell] = field(default_factory=dict)


@dataclass(frozen=True)
class Ground:
    """One scenario's tables in the model, and the shared ones. Columns are asked for by name.

    slots: what becomes of each row of the parts list, and of spares; spares: those, by kind.
    times: the study's hours, counted once for all.
    """

    model: Model
    study: Study
    scenario: Scenario
    months: Table
    times: Times
    slots: tuple[Slot, ...] = ()
    spares: tuple[Spare, ...] = ()

    @property
    def horizon(self) -> int:
        return self.study.settings.horizon

    @property
    def money(self) -> str:
        return self.study.settings.currency

    @property
    def phases(self) -> Table:
        """The months between changes of the equipment, one row each."""
        return self.model.tables[f"phases of {self.scenario.scenario}"]

    def site(self, name: str) -> Ref:
        """An input of the site at which the scenario stands; raises StopIteration where it names none."""
        sites = self.model["sites.wall"].table
        row = next(row for row, site in enumerate(sites.rows) if site == self.scenario.site)
        return at(self.model[f"sites.{name}"], row)

    def setting(self, name: str) -> Column:
        """A shared setting: one row."""
        return self.model[f"settings.{name}"]

    def states(self, name: str) -> bool:
        """Whether the study states a cost line's own setting; one whose default is nothing is else left out."""
        return f"settings.{name}" in self.model.columns

    def own(self, table: str, name: str) -> Column:
        """A column of one of the scenario's own tables: parts, nodes, fees, one-offs, months ..."""
        return self.model[f"{table} of {self.scenario.scenario}.{name}"]

    def has(self, table: str, name: str) -> bool:
        """Whether one of the scenario's own tables has a column: some are left out where no row states them."""
        return f"{table} of {self.scenario.scenario}.{name}" in self.model.columns

    def measure(self, name: str) -> Column:
        """A measure, in whichever of the scenario's tables of them it stands; raises KeyError."""
        return self.own(next((kind for kind in MEASURES if self.has(kind, name)), MEASURES[0]), name)

    def has_measure(self, name: str) -> bool:
        """Whether there is a measure of that name."""
        return any(self.has(kind, name) for kind in MEASURES)

    def part(self, name: str) -> Column:
        """A column of the parts list: one row a part."""
        return self.own("parts", name)

    def month(self, name: str) -> Column:
        """A column of the scenario's months, or of the calendar that all scenarios share."""
        own = f"{self.months.name}.{name}"
        return self.model.columns.get(own) or self.model[f"calendar.{name}"]

    def table(self, table: str, label: str, rows: Sequence[str], axis: str = "") -> Table:
        """A new table of this scenario."""
        name = self.scenario.scenario
        return self.model.table(f"{table} of {name}", label, rows, scenario=name, axis=axis)

    def nothing(self) -> Node:
        """No money."""
        return Constant(0.0, unit(self.money))

    def by_month(self, name: str, month: Column | Node) -> Node:
        """What a column of the calendar says of a month that is a cell of its own."""
        return call("look_up", month, self.model["calendar.month"], self.model[f"calendar.{name}"])

    def price_then(self, row: int, month: Node | None = None) -> Node:
        """What a part's price at the start has become, by each month, or by one that is a cell of its own."""

        def of(name: str) -> Column | Node:
            return self.month(name) if month is None else self.by_month(name, month)

        path = self.scenario.parts[row].price_path
        return as_node(of(f"path {path}")) if path else growing(at(self.part("price_trend"), row), of("grown_years"))

    def costs_then(self, row: int) -> Node:
        """What one of a part costs in each month, with tax and shipping; shipping grows with other prices."""
        shipping = at(self.part("shipping"), row) * self.month("other_level")
        return at(self.part("with_tax"), row) * self.price_then(row) + shipping


def growing(rate: Any, years: Any) -> Node:
    """What 1 becomes in that many years at an effective yearly rate."""
    return (1.0 + rate) ** years  # type: ignore[no-any-return]


def one_month() -> Constant:
    """A month, to turn what is paid per month into a month's amount."""
    return Constant(1.0, unit("month"))


def cells_of(kind: type[Row], extra: Mapping[str, Cell] | None = None) -> Iterator[tuple[str, Cell]]:
    """The fields of a row type with what they hold, and those that cost lines added."""
    own = get_annotations(kind)
    for spec in sorted(fields(kind), key=lambda one: one.name not in own):  # what it inherits comes after
        if "cell" in spec.metadata:
            yield spec.name, spec.metadata["cell"]
    yield from (extra or {}).items()


SPARSE = {
    "tco.gear",
    "tco.delivery",
    "tco.electricity",
}  # modules whose columns are left out where no row states them


def is_sparse(name: str, spec: Cell, rows: Sequence[Row]) -> bool:
    """Whether a field is left out of the model where nobody states it: it has no default that means anything.

    Of what a cost line declared, a default of 0 means nothing either.
    """
    owner = next((kind for kind in type(rows[0]).__mro__ if name in get_annotations(kind)), None)
    if owner is None:
        return not spec.default
    if not (spec.default is None or spec.default is False or spec.default in ("", ())):
        return False
    return name == "inflation" or owner.__module__ in SPARSE


def value_of(row: Row, name: str) -> Any:
    """A field's value, whether the row type or a cost line declared it."""
    return row.extra[name] if name in row.extra else getattr(row, name)


def given_columns(
    model: Model,
    table: Table,
    rows: Sequence[Row],
    settings: Settings,
    *,
    extra: Mapping[str, Cell] | None = None,
    follows: Mapping[str, Column | str] | None = None,
    empty: Mapping[str, float] | None = None,
    months: str = "",
) -> None:
    """The inputs of rows of one type as given columns: numbers with their units, names as text.

    follows: field -> the column (or field of the same table) that an empty cell follows.
    empty: field -> what an empty cell means where the definition leaves it to the meaning.
    months: the column of the same table that says in which month an amount falls, for amounts that may be quoted in
        the other kind of money.
    """
    for name, spec in cells_of(type(rows[0]), extra):
        stated = any(name in row.places for row in rows)
        if name in ("source", "note") or (not stated and is_sparse(name, spec, rows)):
            continue
        values = [value_of(row, name) for row in rows]
        about: dict[str, Any] = {
            "live": spec.live,
            "cell": spec,
            "percent": spec.kind in ("share", "growth"),
            "places": tuple(row.places.get(name) for row in rows),
            "sources": tuple(source_of(row, name) for row in rows),
        }
        if spec.kind in NUMBERS:
            about["inputs"] = tuple(address(row, name) for row in rows) if spec.live else ()
            target = (follows or {}).get(name)
            unknown = tuple(value is None for value in values)
            if target is not None:
                about["follows"] = other = model[f"{table.name}.{target}"] if isinstance(target, str) else target
                about["blank"] = other.blank
                about["following"] = tuple(map(gt, unknown, other.blank or (False,) * len(rows)))
            elif name not in (empty or {}) and any(unknown):
                about["blank"] = unknown
            stands = (empty or {}).get(name, 0.0)
            numbers = [stands if value is None else value for value in values]
            turns = [turn(row.kinds.get(name, ""), settings.money) for row in rows]
            key, said = (f"{name}{QUOTED}", f"{label(name)}, as quoted") if any(turns) else (name, label(name))
            given = model.given(table, key, said, unit_of(spec, settings.currency), numbers, **about)
            if any(turns):
                turned(given, model, name, turns, months if spec.kind == "number" else "")
        else:
            model.given(table, name, label(name), None, [text_of(value, spec) for value in values], **about)


QUOTED = "_quoted"
TURNED = "which values are quoted in the other kind of money"


def turn(kind: str, wanted: str) -> float:
    """Whether a value is to be inflated (1) or deflated (-1) to be of the study's kind of money, or neither."""
    return 0.0 if kind in ("", wanted) else 1.0 if wanted == "nominal" else -1.0


def turned(given: Column, model: Model, name: str, turns: Sequence[float], months: str) -> None:
    """Values in the study's kind of money: 1 + nominal = (1 + real) (1 + inflation) a year; amounts by the month."""
    table = given.table
    told = f"{label(name)}: inflated (1), deflated (-1) or as it is (0)"
    alike = len(set(turns)) == 1
    flag: Any = turns[0] if alike else model.given(table, f"{name}_turn", told, "", turns, computed=TURNED)
    years = flag * (model[f"{table.name}.{months}"] / Constant(12.0, unit("month"))) if months else flag
    inflation = model["settings.inflation"]
    assert given.unit is not None
    value = given * growing(inflation, years) if months else converted(given, inflation, flag)
    model.column(table, name, label(name), written(given.unit), value, percent=given.percent)


def converted(rate: Any, inflation: Any, flag: Any) -> Node:
    """A yearly rate inflated (1), deflated (-1) or as it is; so written that one equal to inflation is exactly 0."""
    up, down = rate + inflation + rate * inflation, (rate - inflation) / (1.0 + inflation)
    if not isinstance(flag, Column):
        return up if flag > 0 else down  # type: ignore[no-any-return]
    return call("where", call("more_than", flag, 0.0), up, call("where", call("more_than", 0.0, flag), down, rate))


def source_of(row: Row, name: str) -> str:
    """Where a field's value comes from: the row's source, or in study.csv the setting's own."""
    return row.sources.get(name, ("", ""))[0] if isinstance(row, Settings | Needs) else row.source


def unit_of(spec: Cell, money: str) -> str:
    """The unit in which a cell is held."""
    return "month" if spec.kind == "months" else (spec.counts or spec.unit).replace("{money}", money)


def text_of(value: Any, spec: Cell) -> str:
    """Text of a cell that is no number, as a person writes it."""
    if spec.kind == "clock":
        return f"{value // 60:02}:{value % 60:02}"
    if isinstance(value, bool):
        return "yes" if value else ""
    return " + ".join(map(str, value)) if isinstance(value, tuple) else str(value)
