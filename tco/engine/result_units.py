"""The units of functions' results: from the units of the arguments (None for text), or ValueError(found, wanted)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tco import units
from tco.engine.nodes import shown


def same(given: Sequence[Any]) -> Any:
    """All arguments of one kind and scale."""
    first = given[0]
    for other in given[1:]:
        if first is None or other is None or not units.same_kind(first, other) or not one_to_one(other, first):
            raise ValueError(shown(other), shown(first))
    return first


def one_to_one(given: Any, wanted: Any) -> bool:
    """Whether no factor lies between two units of one kind; pint's factors carry rounding (TB*Wh to GB*kWh)."""
    return abs(units.factor(given, wanted) - 1.0) < 1e-12


def number(given: Any) -> Any:
    """A plain number, and no percentage: its factor would be lost without a trace."""
    if given is None or not given.dimensionless or not one_to_one(given, units.unit("")):
        raise ValueError(shown(given), "a plain number")
    return units.unit("")


def product(given: Sequence[Any]) -> Any:
    """The product of numbers' units."""
    if None in given:
        raise ValueError("text", "a number")
    return given[0] * given[1]


def quotient(given: Sequence[Any]) -> Any:
    """The quotient of numbers' units."""
    if None in given:
        raise ValueError("text", "a number")
    return given[0] / given[1]


def power_unit(given: Sequence[Any]) -> Any:
    """Base and exponent are plain numbers."""
    number(given[1])
    return number(given[0])


def comparable(given: Sequence[Any]) -> Any:
    """Two of one kind give a plain 1 or 0."""
    same(given)
    return units.unit("")


def chosen(given: Sequence[Any]) -> Any:
    """The unit of the two branches, on a plain condition."""
    number(given[0])
    return same(given[1:])


def matched(key: Any, keys: Any) -> None:
    """A key and the column it is sought in: both text, or one kind of number."""
    if (key is None) != (keys is None):
        raise ValueError(shown(key), shown(keys))
    if key is not None:
        same((keys, key))


def where_unit(given: Sequence[Any]) -> Any:
    """(values, keys, key) -> the unit of the values."""
    matched(given[2], given[1])
    return given[0]


def look_up_unit(given: Sequence[Any]) -> Any:
    """(key, keys, values) -> the unit of the values."""
    matched(given[0], given[1])
    return given[2]


def between_unit(given: Sequence[Any]) -> Any:
    """(values, after, until, moment) -> the unit of the values."""
    same(given[1:])
    return given[0]


def since_unit(given: Sequence[Any]) -> Any:
    """(values, kernel, keys, key) -> the unit of values x kernel."""
    same(given[2:])
    return product(given[:2])


def steps_unit(given: Sequence[Any]) -> Any:
    """(amount, key, keys, starts, rises) -> the unit of rises x amount."""
    matched(given[1], given[2])
    same((given[0], given[3]))
    return product((given[4], given[0]))


def annuity_unit(given: Sequence[Any]) -> Any:
    """(rate, periods, present value) -> the unit of the present value."""
    power_unit(given[:2])
    return given[2]


def worth_unit(given: Sequence[Any]) -> Any:
    """(rate, amounts) -> the unit of the amounts."""
    number(given[0])
    return given[1]


def rate_unit(given: Sequence[Any]) -> Any:
    """(amounts, guess) -> a plain number, as the guess."""
    if given[0] is None:
        raise ValueError("text", "a number")
    return number(given[1])
