"""What a formula is made of: tables of columns, and nodes that are a constant, a reference or a call.

Nodes are few and dumb; operators on them are calls too. What a call does is a Function, a record in functions.py.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import reduce
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from tco import units
from tco.cell import Cell
from tco.errors import FormulaError, Place

if TYPE_CHECKING:
    import pint

Array = NDArray[Any]
T = TypeVar("T")


@dataclass(frozen=True)
class Phrase:
    """How a call is written: a template, how tightly it binds, how tightly each argument must (default: not at all).

    Nothing else in the engine knows precedence: `fill` puts brackets round an argument that binds less than needed.
    """

    template: str
    binds: int = 30
    needs: tuple[int, ...] = ()


@dataclass(frozen=True)
class Text:
    """A written part of a formula, and how tightly it binds."""

    text: str
    binds: int = 30


def fill(phrase: Phrase, parts: Sequence[Text]) -> Text:
    """The phrase with its parts in place, bracketed where they bind too loosely."""
    needs = phrase.needs or (0,) * len(parts)
    texts = [p.text if p.binds >= n else f"({p.text})" for p, n in zip(parts, needs, strict=True)]
    return Text(phrase.template.format(*texts), phrase.binds)


@dataclass(frozen=True)
class Check:
    """A worked case of a function: arguments (a list is a column of cells), result, where the result comes from."""

    args: tuple[Any, ...]
    result: Any
    source: str


@dataclass(frozen=True)
class Function:
    """One function of the engine with all its readings; defined in one place, functions.py.

    reach: what each argument is: `cell` (the row's own), `range` (a whole column), `so far` (its rows up to this),
        `to end` (as many rows as `so far`, the last ones), `before` (the row before this), `key`/`keys` (as
        cell/range, but given, never computed: no `=` on computed numbers).
    unit: the units of the arguments (None for text) -> the unit of the result, or ValueError(found, wanted).
    array: numpy arrays -> array; cells have shape (..., rows) or (..., 1), ranges (..., all rows); what is no
        finite number is given to the next as NaN, which no function may swallow.
    sheet_first: how the first row of a table is written, where that differs.
    slopes: for functions linear in an argument: (slope of the result, arguments) -> slope of that argument, one an
        argument or None; arguments whose slope is sought are None. Shapes as for `array`; see slopes.py.
    """

    name: str
    reach: tuple[str, ...]
    unit: Callable[[Sequence[Any]], Any]
    array: Callable[..., Array]
    sheet: Phrase
    words: Phrase
    checks: tuple[Check, ...]
    sheet_first: Phrase | None = None
    slopes: tuple[Callable[..., Array] | None, ...] = ()


FUNCTIONS: dict[str, Function] = {}


class Operand:
    """What columns and nodes share: arithmetic makes calls."""

    __array_ufunc__ = None  # numpy's own numbers leave arithmetic to us

    def __add__(self, other: Any) -> Call:
        return call("add", self, other)

    def __sub__(self, other: Any) -> Call:
        return call("subtract", self, other)

    def __mul__(self, other: Any) -> Call:
        return call("multiply", self, other)

    def __truediv__(self, other: Any) -> Call:
        return call("divide", self, other)

    def __pow__(self, other: Any) -> Call:
        return call("power", self, other)

    def __radd__(self, other: Any) -> Call:
        return call("add", other, self)

    def __rsub__(self, other: Any) -> Call:
        return call("subtract", other, self)

    def __rmul__(self, other: Any) -> Call:
        return call("multiply", other, self)

    def __rtruediv__(self, other: Any) -> Call:
        return call("divide", other, self)


@dataclass(frozen=True, eq=False)
class Table:
    """Named rows that columns share. `rows` are labels for people, one each.

    name: unique in a model; a scenario's tables are called `months of quiet minis`, whatever scenarios are called.

    scenario: the scenario it belongs to; empty for what all share.
    axis: tables of one axis have the same rows, and meet row by row (months, for one).
    """

    name: str
    label: str
    rows: tuple[str, ...]
    scenario: str = ""
    axis: str = ""

    @property
    def kind(self) -> str:
        """What the table is, whichever scenario it belongs to: `months`."""
        return self.name.removesuffix(f" of {self.scenario}")

    def meets(self, other: Table) -> bool:
        """Whether the two meet row by row."""
        return self is other or self.axis == other.axis != ""


@dataclass(frozen=True, eq=False)
class Column(Operand):
    """A quantity of a table: a name, a label, a unit, and either given values or one formula.

    unit: None for text (keys, names), which is always given.
    values: given values, shape (rows,); None where there is a formula.
    live: an input that a person may change in the workbook; the figures follow.
    computed: given, but worked out by the tool above the engine (hours of a month, expected failures): what to
        tell a person who changes what it was worked out from. Empty for plain inputs.
    follows, following: rows left empty that mean "the same as that other column": which column, and which rows.
    blank: rows left empty in the study whose value is unknown, not 0: no formula leans on them.
    percent: whether people read it as a percentage (it is held as a plain share).
    places, sources: for inputs, where each row's value stands and where it comes from.
    inputs: for live inputs, how each row's value is called. cell: what a person may type there.
    note: what to bear in mind where the figure stands.
    state, words: a figure that may not exist: where `state` is n > 0, the n-th of `words` says why, and the figure is
        0; such a column is read by people only, no formula may use it.
    """

    table: Table
    name: str
    label: str
    unit: pint.Unit | None
    values: Array | None = None
    formula: Node | None = None
    live: bool = False
    computed: str = ""
    follows: Column | None = None
    following: tuple[bool, ...] = ()
    blank: tuple[bool, ...] = ()
    percent: bool = False
    places: tuple[Place | None, ...] = ()
    sources: tuple[str, ...] = ()
    inputs: tuple[str, ...] = ()
    cell: Cell | None = None
    state: Column | None = None
    words: tuple[str, ...] = ()
    note: str = ""

    @property
    def is_words(self) -> bool:
        """Whether it never holds a number."""
        return self.state is not None and isinstance(self.formula, Constant)

    @property
    def full_name(self) -> str:
        """Unique in a model: `months of minis.electricity`."""
        return f"{self.table.name}.{self.name}"

    def __repr__(self) -> str:
        return f"<column {self.full_name}>"


class Node(Operand):
    """A part of a formula."""

    unit: Any


@dataclass(frozen=True)
class Constant(Node):
    """A number with a unit, visible in every reading."""

    value: float
    unit: Any

    def __post_init__(self) -> None:
        if not math.isfinite(self.value):
            raise FormulaError("a constant", "number", repr(self.value), "a finite number")


@dataclass(frozen=True)
class Ref(Node):
    """A column as a formula meets it; `reach` as in Function, or `at` a fixed row."""

    column: Column
    reach: str = "cell"
    row: int = 0

    @property
    def unit(self) -> Any:
        return self.column.unit

    @property
    def is_one_cell(self) -> bool:
        """Whether it means one cell in each row, not a whole column."""
        return self.reach in ("cell", "key", "before", "at")

    def row_in(self, row: int) -> int | None:
        """The row of its column that it means (a whole column: the first); None for the row before the first."""
        if self.reach == "at" or not self.is_one_cell:
            return self.row
        here = min(row, len(self.column.table.rows) - 1)  # the only row of a one-row table
        return here if self.reach != "before" else here - 1 if here else None


@dataclass(frozen=True)
class Call(Node):
    """A function applied to nodes; its unit is worked out once, when it is made."""

    function: Function
    args: tuple[Node, ...]
    unit: Any = field(compare=False, default=None)


def fold(node: Node, leaf: Callable[[Node], T], join: Callable[[Function, list[T]], T]) -> T:
    """Combine a formula from its leaves up: the only tree walk in the engine."""
    if isinstance(node, Call):
        return join(node.function, [fold(arg, leaf, join) for arg in node.args])
    return leaf(node)


def leaves(node: Node) -> Iterator[Node]:
    """Every constant and reference of a formula, left to right."""
    found: list[Node] = []
    fold(node, found.append, lambda _function, _args: None)
    return iter(found)


def plain(value: float) -> Constant:
    """A number without a unit."""
    return Constant(float(value), units.unit(""))


def at(column: Column, row: int) -> Ref:
    """A fixed row of a column, whatever table the formula stands in; -1 is the last. Raises IndexError."""
    return Ref(column, "at", range(len(column.table.rows))[row])


def as_node(thing: Any, reach: str = "cell") -> Node:
    """A column, node or number as an argument of the given reach."""
    if isinstance(thing, Column):
        return Ref(thing, reach)
    return thing if isinstance(thing, Node) else plain(thing)


def call(name: str, *args: Any) -> Call:
    """A call of the function called `name`; raises FormulaError where the units or reaches do not fit."""
    function = FUNCTIONS[name]
    nodes = tuple(as_node(arg, reach) for arg, reach in zip(args, function.reach, strict=True))
    for node, reach in zip(nodes, function.reach, strict=True):
        check_reach(function, node, reach)
    check_ranges(function, nodes)
    try:
        unit = function.unit([node.unit for node in nodes])
    except ValueError as error:
        found, wanted = error.args
        raise FormulaError(described(nodes), name, found, wanted) from None
    return Call(function, nodes, unit)


def check_reach(function: Function, node: Node, reach: str) -> None:
    """Ranges and keys must be columns, and keys given ones; raises FormulaError."""
    if not isinstance(node, Ref):
        if reach != "cell":
            raise FormulaError(described((node,)), function.name, "a computed value", f"a column ({reach})")
        return
    if node.reach != reach and not (node.reach == "at" and reach in ("cell", "key")):
        raise FormulaError(node.column.full_name, function.name, f"a column ({node.reach})", f"a column ({reach})")
    if reach.startswith("key"):
        check_keys(function, node.column)


def check_keys(function: Function, column: Column) -> None:
    """Keys are given; text among them must be told apart by a sheet as well, which knows wildcards and no case."""
    if column.values is None:
        raise FormulaError(column.full_name, function.name, "a computed column", "a given column as key")
    if column.unit is None:
        texts = {str(text) for text in column.values}
        odd = sorted(text for text in texts if not text or text[0] in "<>=" or set(text) & set("*?~"))
        if odd or len({text.casefold() for text in texts}) < len(texts):
            found = repr(odd[0]) if odd else "texts that differ by capitals only"
            raise FormulaError(column.full_name, function.name, found, "texts that a spreadsheet tells apart")


def check_ranges(function: Function, nodes: Sequence[Node]) -> None:
    """The whole columns of one call stand side by side; raises FormulaError."""
    whole = [node.column for node in nodes if isinstance(node, Ref) and not node.is_one_cell]
    for column in whole[1:]:
        if not column.table.meets(whole[0].table):
            raise FormulaError(column.full_name, function.name, column.table.name, f"rows of {whole[0].table.name}")


def added(terms: Sequence[Column | Node]) -> Node:
    """The terms added up, left to right; there must be one."""
    return reduce(lambda left, right: left + right, terms[1:], as_node(terms[0]))


def least(nodes: Sequence[Column | Node]) -> Node:
    """The smallest of some figures."""
    return paired("smaller", nodes)


def most(nodes: Sequence[Column | Node]) -> Node:
    """The largest of some figures."""
    return paired("larger", nodes)


def paired(name: str, nodes: Sequence[Column | Node]) -> Node:
    """A function of two applied to all, halves first: a cell formula may be nested 64 deep at most."""
    if len(nodes) == 1:
        return as_node(nodes[0])
    half = len(nodes) // 2
    return call(name, paired(name, nodes[:half]), paired(name, nodes[half:]))


def described(nodes: Sequence[Node]) -> str:
    """The columns that nodes name, for messages."""
    names = [leaf.column.full_name for node in nodes for leaf in leaves(node) if isinstance(leaf, Ref)]
    return ", ".join(dict.fromkeys(names)) or "a constant"


def in_unit(node: Node, wanted: Any, column: str) -> Node:
    """The node in the wanted unit: where they differ by a factor, it becomes a constant that every reading shows.

    Raises FormulaError, naming the column and both units, where they are of different kinds.
    """
    if node.unit is None or wanted is None or not units.same_kind(node.unit, wanted):
        raise FormulaError(column, "unit of the formula", shown(node.unit), shown(wanted))
    ratio = units.factor(node.unit, wanted)
    if abs(ratio - 1.0) < 1e-12:
        return node
    if isinstance(node, Constant):
        return Constant(node.value * ratio, wanted)
    return call("multiply", node, Constant(ratio, wanted / node.unit))


def shown(unit: Any) -> str:
    """A unit for messages."""
    return "text" if unit is None else units.written(unit) or "a plain number"


def finite(values: Array) -> bool:
    """Whether every value is a finite number: if their sum is one, all are."""
    return math.isfinite(np.add.reduce(values, axis=None)) or bool(np.isfinite(values).all())
