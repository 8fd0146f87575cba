"""Between which ends each input is varied: what ranges.csv says, else some per cent less and more than the study."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from tco.ask.compare import Comparison
from tco.ask.inputs import Input, inputs, ranged
from tco.errors import AskedError

USUAL = 0.2  # how much less and more, where ranges.csv says nothing: common practice, no source
SOUND = "dB(A)"  # of which a share means nothing


@dataclass(frozen=True)
class Choice:
    """An input and the ends between which it is varied; of_ranges: whether ranges.csv says them."""

    input: Input
    low: float
    high: float
    of_ranges: bool = False

    @property
    def likely(self) -> float | None:
        """What the study says, where that is one value between the ends."""
        values = set(self.input.likely) if not self.input.is_factor else {1.0}
        value = values.pop()
        return value if not values and self.low <= value <= self.high else None


def choices(comparison: Comparison, by: float = USUAL) -> tuple[list[Choice], int]:
    """Every input with its ends, factors first; and how many have none: they are 0, or sound levels.

    by: how much less and more than the study says, as a share of it. Raises AskedError.
    """
    if not 0.0 < by <= 100.0:
        raise AskedError(f"{100 * by:g} %", "write how much less and more than the study says, such as 20 %")
    said = [Choice(one, low, high, of_ranges=True) for one, low, high in ranged(comparison)]
    found, without = [*dict.fromkeys(said)], 0
    for one in left_over(comparison, [choice.input for choice in said]):
        choice = around(one, by)
        if choice is None:
            without += 1
        else:
            found.append(choice)
    return sorted(found, key=lambda choice: not choice.input.is_factor), without


def left_over(comparison: Comparison, said: list[Input]) -> Iterator[Input]:
    """The inputs, or cells of them, that ranges.csv does not name; counts that differ by scenario one by one.

    One that is a factor's only cells is that factor told twice.
    """
    known = inputs(comparison)
    by_factor = {one.cells for one in known.values() if one.is_factor and one.cells}
    for one in known.values():
        taken = [other for other in said if other.name == one.name]
        if any(not other.scenario for other in taken) or (not one.is_factor and one.cells in by_factor):
            continue
        gone = {cell for other in taken for cell in other.cells}
        rest = only(one, [place for place, cell in enumerate(one.cells) if cell not in gone]) if gone else one
        if rest.cells or rest.curves:
            yield from by_value(rest) if rest.whole else [rest]


def only(one: Input, places: list[int]) -> Input:
    """Some of an input's cells, with the scenarios that they stand in where those are not all."""
    cells, likely = tuple(one.cells[place] for place in places), tuple(one.likely[place] for place in places)
    names = dict.fromkeys(column.table.scenario for column, _ in cells)
    return replace(one, cells=cells, likely=likely, scenario=", ".join(names) if len(cells) < len(one.cells) else "")


def by_value(one: Input) -> Iterator[Input]:
    """A count for each number that the study says: one more of each is another number."""
    for value in dict.fromkeys(one.likely):
        yield only(one, [place for place, likely in enumerate(one.likely) if likely == value])


def around(one: Input, by: float) -> Choice | None:
    """Less and more than the study says, within what a study may hold; None where that leaves one value."""
    if one.unit == SOUND or not any(one.likely):
        return None
    if one.whole:  # to have none of what there is is another build
        return between(one, max(1.0, one.likely[0] - 1.0), one.likely[0] + 1.0)
    own = as_one(one)
    if own.is_factor:
        return between(own, 1.0 - by, 1.0 + by)
    return between(own, *sorted((one.likely[0] * (1.0 - by), one.likely[0] * (1.0 + by))))


def as_one(one: Input) -> Input:
    """An input for which the study says several values, as a factor on each of them; others as they are."""
    if one.is_factor or one.whole or len(set(one.likely)) == 1:
        return one
    limits = [limit / value for value in one.likely if value for limit in (one.least, one.most) if limit is not None]
    least, most = (
        max((x for x in limits if x <= 1.0), default=None),
        min((x for x in limits if x >= 1.0), default=None),
    )
    return replace(one, is_factor=True, least=least, most=most)


def between(one: Input, low: float, high: float) -> Choice | None:
    """Ends within what a study may hold; None where nothing is between them."""
    low = low if one.least is None else max(low, one.least)
    high = high if one.most is None else min(high, one.most)
    return Choice(one, low, high) if low < high else None
