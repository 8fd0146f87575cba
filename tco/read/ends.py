"""The ends of a range: numbers as in the input's own column, or in % of what the study says."""

from __future__ import annotations

from dataclasses import dataclass
from math import isclose, isnan

from tco.cell import Cell
from tco.read import kinds
from tco.read.column import Column
from tco.read.inputs import Spot
from tco.read.numbers import NotNumber, split
from tco.read.problems import Refused, shown
from tco.read.quantities import Money
from tco.read.values import NUMBER_LIMIT, check_range, value, with_unit
from tco.study import Range

FACTOR = Cell("share", "", "80 %", least=0.0, most=100.0)
SUCH_AS = "in % of what the study says, such as '80 %'"
PERCENT = ("%", "percent")
NEAR = 1e-9  # so near, an end is what the study says


@dataclass(frozen=True)
class Target:
    """What a row of ranges.csv is about: the cells of that name; none where it is a factor on all of a kind."""

    row: Range
    name: str
    spots: tuple[Spot, ...] = ()

    @property
    def cell(self) -> Cell:
        """How its column is written."""
        return self.spots[0].cell if self.spots else FACTOR

    @property
    def takes_percent(self) -> bool:
        """Whether a percentage is one of what the study says, and not the value itself."""
        return not self.spots or self.cell.kind == "number"


@dataclass(frozen=True)
class End:
    """One end of a range: a number in the input's unit, or a factor."""

    value: float
    is_factor: bool


@dataclass(frozen=True)
class Style:
    """How the numbers of the table are written, and what money they are in. kind: nominal or real."""

    sign: str
    money: Money
    kind: str


def read_end(text: str, target: Target, style: Style) -> End:
    """One end from its cell; raises Refused."""
    number, unit, word = _parts(text, target, style)
    if not target.takes_percent or (target.spots and unit not in PERCENT):
        return End(_own(text, target, word, style), is_factor=False)
    if word:
        raise Refused(f"{shown(text)}: a percentage of what the study says is neither; leave '{word}' out")
    if target.cell.unit == "dBA":
        raise Refused(f"{shown(text)}: a share of a sound level means nothing; write it in dB(A)")
    if number[0] in "+-":
        change = "write what it becomes, '80 %' for 20 % less, '150 %' for 50 % more"
        raise Refused(f"{shown(text)} could be a change: {change}")
    if unit not in PERCENT and (unit or number.strip("0.,")):
        raise Refused(f"{shown(text)}: {shown(target.name)} is a factor, written {SUCH_AS}")
    found = value(text, Column("", FACTOR, sign=style.sign, heads=False), style.money)
    for spot in target.spots:
        _check_product(text, found, spot, style.money)
    return End(found, is_factor=True)


def _parts(text: str, target: Target, style: Style) -> tuple[str, str, str]:
    """(number with its sign, unit, nominal or real) of an end; raises Refused where it begins with no number."""
    plain, word = kinds.split(text)
    try:
        if len(plain) > NUMBER_LIMIT:
            raise NotNumber(f"{shown(text)} is not a number")
        number, _, unit = split(plain)
    except NotNumber as error:
        example = Column("", target.cell).example(style.money)
        raise Refused(f"{error}; write for example {example}") from None
    return number, unit.replace(" ", ""), word


def _own(text: str, target: Target, word: str, style: Style) -> float:
    """An end as its column has it, in the kind of money in which the study says the input; raises Refused."""
    cell = target.cell
    try:
        found = float(value(text, Column("", cell, sign=style.sign, heads=False), style.money))
    except Refused as refused:
        may_be = target.takes_percent and "has no unit" in str(refused) and cell.unit != "dBA"
        raise Refused(f"{refused}; or {SUCH_AS}" if may_be else str(refused)) from None
    if cell.quoted and style.kind:
        _check_kind(text, word or style.kind, target, style)
    return found


def _check_kind(text: str, word: str, target: Target, style: Style) -> None:
    """Refuse an end that is nominal where the study says the input in real money, or the other way round."""
    spots = {spot.row.kinds.get(spot.field) or style.kind: spot for spot in reversed(target.spots)}
    said = " and in ".join(f"{kind} money ({spot.place})" for kind, spot in sorted(spots.items()))
    if len(spots) > 1:
        raise Refused(f"{shown(text)}: the study says it in {said}; name the scenario")
    if word not in spots:
        raise Refused(f"{shown(text)} is {word}, but the study says it in {said}; write it so and add '{min(spots)}'")


def _check_product(text: str, factor: float, spot: Spot, money: Money) -> None:
    """Refuse a percentage that takes an input beyond the range of its column."""
    if spot.value is None or isnan(spot.value):
        return
    try:
        check_range(spot.value * factor, Column("", spot.cell), money)
    except Refused as refused:
        said = f"{with_unit(spot.value, spot.cell, money)} ({spot.place})"
        raise Refused(f"{shown(text)} of {said}: {refused}") from None


def check_one(target: Target) -> None:
    """One name means one column."""
    first = target.spots[0]
    for spot in target.spots[1:]:
        if type(spot.row) is not type(first.row) or spot.field != first.field:
            where = f"{first.place} and {spot.place}"
            raise Refused(f"{shown(target.name)} is two things, in {where}; give one of them another name")


def check_ends(target: Target, low: End, high: End, money: Money) -> tuple[str, str]:
    """Which of the two cells is wrong and why; both empty where they lie around what the study says."""
    if low.is_factor != high.is_factor:
        return "high", f"low is {_way(low)}, this is {_way(high)}; write both alike"
    one, two = (_shown(target, end.value, end, money) for end in (low, high))
    if low.value > high.value:
        return "low", f"{one} is above high, {two}"
    if low.is_factor and target.spots and all(spot.value == 0 for spot in target.spots):
        return "low", f"the study says 0 ({target.spots[0].place}), of which every percentage is 0; write amounts"
    for likely, where in _likely(target, low):
        said = f"what the study says, {_shown(target, likely, low, money)}{where}; that must lie between low and high"
        if low.value > likely and not isclose(low.value, likely, rel_tol=NEAR):
            return "low", f"{one} is above {said}"
        if high.value < likely and not isclose(high.value, likely, rel_tol=NEAR):
            return "high", f"{two} is below {said}"
    return "", ""


def around(target: Target, low: End, high: End) -> tuple[float, float]:
    """Both ends as numbers; one that is what the study says but for rounding is that."""
    values = [likely for likely, _ in _likely(target, low)]
    return min(low.value, *values), max(high.value, *values)


def _likely(target: Target, end: End) -> list[tuple[float, str]]:
    """What the study says in each cell, as a number like an end, and where: ` (minis.csv:2:4)`."""
    if end.is_factor:
        return [(1.0, "")]
    return [
        (spot.value or 0.0, f" ({spot.place}{'' if spot.field in spot.row.places else ', left out'})")
        for spot in target.spots
    ]


def _way(end: End) -> str:
    return "in % of what the study says" if end.is_factor else "as in its column"


def _shown(target: Target, value: float, end: End, money: Money) -> str:
    """A number like an end as a person writes it."""
    return with_unit(value, FACTOR if end.is_factor else target.cell, money)
