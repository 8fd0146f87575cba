"""The functions of the engine, one record each: numbers, cell formula, words, units and worked checks together.

To add one, add a record here; the tests walk the registry, recalculate its checks in a spreadsheet program and draw
it into random formulas. Cell formulas use only what every spreadsheet program of the last fifteen years knows.
Brackets: a sheet binds comparison 5, + and - 10, * and / 15, power 20; a minus in front and chains of powers are
never written bare, because programs disagree about them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from tco import units
from tco.engine.nodes import FUNCTIONS, Array, Check, Function, Phrase, shown


def define(**fields: Any) -> Function:
    """Put one record into the registry."""
    function = Function(**fields)
    FUNCTIONS[function.name] = function
    return function


# Units of results. Each raises ValueError(found, wanted).


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


def annuity_unit(given: Sequence[Any]) -> Any:
    """(rate, periods, present value) -> the unit of the present value."""
    power_unit(given[:2])
    return given[2]


# Numbers. NaN stands for a spreadsheet's error value and is never swallowed.

TINY = np.finfo(np.float64).tiny  # below it numbers lose digits in numpy, and are 0 or an error in a sheet
ALIKE = 2.0**-48  # spreadsheet programs compare about 15 digits


def none_too_small(operation: Any) -> Any:
    """The operation, with NaN where a result other than 0 is too small to hold."""

    def array(one: Array, other: Array) -> Array:
        try:
            with np.errstate(under="raise"):
                return operation(one, other)  # type: ignore[no-any-return]
        except FloatingPointError:
            with np.errstate(all="ignore"):
                found = operation(one, other)
        return np.where((np.abs(found) < TINY) & (one != 0) & (other != 0), np.nan, found)

    return array


def divided(top: Array, bottom: Array) -> Array:
    """NaN where the divisor is 0, as a sheet's error."""
    return np.divide(top, np.where(bottom == 0, np.nan, bottom))


def raised(base: Array, exponent: Array) -> Array:
    """NaN for 0 to the power 0, about which programs disagree, and for NaN, which numpy loses in x^0 and 1^x.

    Operands are laid out alike so that one draw and many take the same path through numpy, to the bit.
    """
    base, exponent = (np.ascontiguousarray(side) for side in np.broadcast_arrays(base, exponent))
    lost = ((base == 0) & (exponent == 0)) | np.isnan(base) | np.isnan(exponent)
    return np.where(lost, np.nan, np.power(base, exponent))


def compared(test: Any) -> Any:
    """1 or 0, and NaN where either side is NaN; numbers alike to 15 digits are equal, as they are in a sheet."""

    def array(one: Array, other: Array) -> Array:
        alike = np.abs(one - other) < ALIKE * np.minimum(np.abs(one), np.abs(other))
        return np.where(np.isnan(one) | np.isnan(other), np.nan, test(one, np.where(alike, one, other)))

    return array


def total(values: Array) -> Array:
    """Sum over the last axis, kept with length 1; contiguous, so that batching leaves the order of adding alone."""
    return np.add.reduce(np.ascontiguousarray(values), axis=-1, keepdims=True)


def total_within(values: Array, within: Array) -> Array:
    """For each row, the sum of the values within; one row at a time, lest draws x rows x rows fill the memory."""
    if values.ndim == 1:
        return total(np.where(within, values, 0.0))[..., 0]
    rows = (within[..., row, :] for row in range(within.shape[-2]))
    return np.concatenate([total(np.where(row, values, 0.0)) for row in rows], axis=-1)


def total_where(values: Array, keys: Array, key: Array) -> Array:
    """For each row, the sum of the values whose key is the row's."""
    return total_within(values, keys[..., None, :] == key[..., :, None])


def total_between(values: Array, after: Array, until: Array, moment: Array) -> Array:
    """For each row, the sum of the values with after < moment <= until."""
    now = moment[..., :, None]
    return total_within(values, (after[..., None, :] < now) & (now <= until[..., None, :]))


def looked_up(key: Array, keys: Array, values: Array) -> Array:
    """For each row, the value beside the first equal key; NaN where there is none."""
    equal = keys[..., None, :] == key[..., :, None]
    first = equal.argmax(axis=-1)
    draws = np.broadcast_shapes(values.shape[:-1], first.shape[:-1])
    first = np.broadcast_to(first, (*draws, first.shape[-1]))
    beside = np.take_along_axis(np.broadcast_to(values, (*draws, values.shape[-1])), first, axis=-1)
    return np.where(equal.any(axis=-1), beside, np.nan)


def level_payment(rate: Array, periods: Array, present: Array) -> Array:
    """The level payment at each period's end that repays `present`; present / periods at a rate of 0."""
    with np.errstate(all="ignore"):
        shrink = -np.expm1(-periods * np.log1p(rate))
        share = np.where(rate == 0, divided(np.ones_like(periods), periods), divided(rate, shrink))
    return present * share


HAND = "by hand"
FORMULA = "OASIS OpenFormula 1.2, function of the same name; value by hand"

define(
    name="add",
    reach=("cell", "cell"),
    unit=same,
    array=np.add,
    sheet=Phrase("{0}+{1}", 10, (10, 11)),
    words=Phrase("{0} + {1}", 10, (10, 11)),
    checks=(Check((2.5, 4.0), 6.5, HAND),),
)
define(
    name="subtract",
    reach=("cell", "cell"),
    unit=same,
    array=np.subtract,
    sheet=Phrase("{0}-{1}", 10, (10, 11)),
    words=Phrase("{0} − {1}", 10, (10, 11)),
    checks=(Check((2.5, 4.0), -1.5, HAND),),
)
define(
    name="multiply",
    reach=("cell", "cell"),
    unit=product,
    array=none_too_small(np.multiply),
    sheet=Phrase("{0}*{1}", 15, (15, 16)),
    words=Phrase("{0} × {1}", 15, (15, 16)),
    checks=(Check((2.5, 4.0), 10.0, HAND),),
)
define(
    name="divide",
    reach=("cell", "cell"),
    unit=quotient,
    array=none_too_small(divided),
    sheet=Phrase("{0}/{1}", 15, (15, 16)),
    words=Phrase("{0} / {1}", 15, (15, 16)),
    checks=(Check((2.5, 4.0), 0.625, HAND), Check((1.0, 0.0), None, "OpenFormula 1.2 section 5.12: #DIV/0!")),
)
define(
    name="power",
    reach=("cell", "cell"),
    unit=power_unit,
    array=none_too_small(raised),
    sheet=Phrase("{0}^{1}", 20, (21, 21)),
    words=Phrase("{0} to the power {1}", 20, (21, 21)),
    checks=(
        Check((1.05, 2.0), 1.1025, HAND),
        Check((-2.0, 2.0), 4.0, HAND + "; a bare -2^2 is 4 in sheets and -4 in Python"),
        Check((-2.0, 0.5), None, "no real root"),
    ),
)
define(
    name="smaller",
    reach=("cell", "cell"),
    unit=same,
    array=np.minimum,
    sheet=Phrase("MIN({0},{1})"),
    words=Phrase("the smaller of {0} and {1}", 5, (6, 6)),
    checks=(Check((2.5, 4.0), 2.5, HAND),),
)
define(
    name="larger",
    reach=("cell", "cell"),
    unit=same,
    array=np.maximum,
    sheet=Phrase("MAX({0},{1})"),
    words=Phrase("the larger of {0} and {1}", 5, (6, 6)),
    checks=(Check((2.5, 4.0), 4.0, HAND),),
)
define(
    name="at_least",
    reach=("cell", "cell"),
    unit=comparable,
    array=compared(np.greater_equal),
    sheet=Phrase("({0}>={1})*1", 15, (6, 6)),
    words=Phrase("{0} is at least {1}", 5, (6, 6)),
    checks=(Check((4.0, 4.0), 1.0, HAND), Check((3.0, 4.0), 0.0, HAND)),
)
define(
    name="more_than",
    reach=("cell", "cell"),
    unit=comparable,
    array=compared(np.greater),
    sheet=Phrase("({0}>{1})*1", 15, (6, 6)),
    words=Phrase("{0} is more than {1}", 5, (6, 6)),
    checks=(Check((4.0, 4.0), 0.0, HAND), Check((5.0, 4.0), 1.0, HAND)),
)
define(
    name="same_key",
    reach=("key", "key"),
    unit=comparable,
    array=compared(np.equal),
    sheet=Phrase("({0}={1})*1", 15, (6, 6)),
    words=Phrase("{0} is {1}", 5, (6, 6)),
    checks=(Check((4.0, 4.0), 1.0, HAND), Check((3.0, 4.0), 0.0, HAND)),
)
define(
    name="where",
    reach=("cell", "cell", "cell"),
    unit=chosen,
    array=lambda test, yes, no: np.where(np.isnan(test), np.nan, np.where(test != 0, yes, no)),
    sheet=Phrase("IF({0},{1},{2})"),
    words=Phrase("{1} where {0}, else {2}", 4, (5, 5, 5)),
    checks=(Check((1.0, 2.5, 4.0), 2.5, HAND), Check((0.0, 2.5, 4.0), 4.0, HAND)),
)
define(
    name="sum_of",
    reach=("range",),
    unit=same,
    array=total,
    sheet=Phrase("SUM({0})"),
    words=Phrase("the sum of {0}", 6, (7,)),
    checks=(Check(([1.0, 2.5, 4.0],), 7.5, HAND),),
)
define(
    name="largest",
    reach=("range",),
    unit=same,
    array=lambda values: values.max(axis=-1, keepdims=True),
    sheet=Phrase("MAX({0})"),
    words=Phrase("the largest of {0}", 6, (7,)),
    checks=(Check(([1.0, 4.0, 2.5],), 4.0, HAND),),
)
define(
    name="sum_where",
    reach=("range", "keys", "key"),
    unit=where_unit,
    array=total_where,
    sheet=Phrase("SUMIFS({0},{1},{2})"),
    words=Phrase("the sum of {0} where {1} is {2}", 5, (7, 7, 7)),
    checks=(
        Check(([1.0, 2.5, 4.0], [0.0, 1.0, 0.0], 0.0), 5.0, HAND),
        Check(([1.0, 2.5, 4.0], [0.0, 1.0, 0.0], 7.0), 0.0, HAND),
    ),
)
define(
    name="sum_between",
    reach=("range", "keys", "keys", "key"),
    unit=between_unit,
    array=total_between,
    sheet=Phrase("SUMPRODUCT({0}*({1}<{3})*({2}>={3}))", 30, (16, 6, 6, 6)),
    words=Phrase("the sum of {0} where {1} is before and {2} not before {3}", 5, (7, 7, 7, 7)),
    checks=(Check(([1.0, 2.5, 4.0], [0.0, 1.0, 2.0], [2.0, 9.0, 9.0], 2.0), 3.5, HAND),),
)
define(
    name="running_total",
    reach=("so far",),
    unit=same,
    array=lambda values: np.cumsum(values, axis=-1),
    sheet=Phrase("SUM({0})"),
    words=Phrase("{0}, added up from the first row to this one", 6, (7,)),
    checks=(Check(([1.0, 2.5, 4.0],), [1.0, 3.5, 7.5], HAND),),
)
define(
    name="previous",
    reach=("before", "cell"),
    unit=same,
    array=lambda before, first: np.where(np.isnan(before), first, before),
    sheet=Phrase("{0}", 30, (0, 0)),
    sheet_first=Phrase("({1})", 30, (0, 0)),
    words=Phrase("{0} of the row before (at first {1})", 6, (7, 7)),
    checks=(Check(([1.0, 2.5, 4.0], 9.0), [9.0, 1.0, 2.5], HAND),),
)
define(
    name="look_up",
    reach=("key", "keys", "range"),
    unit=look_up_unit,
    array=looked_up,
    sheet=Phrase("INDEX({2},MATCH({0},{1},0))"),
    words=Phrase("{2} where {1} is {0}", 5, (7, 7, 7)),
    checks=(
        Check((2.0, [1.0, 2.0, 3.0], [10.0, 20.0, 30.0]), 20.0, HAND),
        Check((7.0, [1.0, 2.0, 3.0], [10.0, 20.0, 30.0]), None, "OpenFormula 1.2 MATCH: #N/A where none is equal"),
    ),
)
define(
    name="sum_product",
    reach=("range", "range"),
    unit=product,
    array=lambda one, other: total(one * other),
    sheet=Phrase("SUMPRODUCT({0},{1})"),
    words=Phrase("the sum of {0} × {1}", 6, (7, 7)),
    checks=(Check(([1.0, 2.5, 4.0], [2.0, 2.0, 0.5]), 9.0, HAND),),
)
define(
    name="annuity",
    reach=("cell", "cell", "cell"),
    unit=annuity_unit,
    array=level_payment,
    sheet=Phrase("PMT({0},{1},0-{2})", 30, (6, 6, 11)),
    words=Phrase("the level amount that is worth {2} over {1} periods at {0}", 5, (7, 7, 7)),
    checks=(
        Check((0.05, 12.0, 1000.0), 112.8254100208154, "exact fractions: 1000 * r / (1 - (1 + r)^-12), r = 1/20"),
        Check((0.0, 12.0, 600.0), 50.0, HAND),
    ),
)
