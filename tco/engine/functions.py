"""The functions of the engine, one record each: numbers, cell formula, words, units and worked checks together.

To add one, add a record here; the tests walk the registry, recalculate its checks in a spreadsheet program and draw
it into random formulas. Cell formulas use only what every spreadsheet program of the last fifteen years knows.
Brackets: a sheet binds comparison 5, + and - 10, * and / 15, power 20; a minus in front and chains of powers are
never written bare, because programs disagree about them.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from tco.engine.arrays import (
    above_steps,
    compared,
    level_payment,
    looked_up,
    none_too_small,
    only_rate,
    present_worth,
    raised,
    slope_of_summed,
    summed_since,
    summed_to_end,
    total,
    total_between,
    total_where,
)
from tco.engine.nodes import FUNCTIONS, Check, Function, Phrase
from tco.engine.result_units import (
    annuity_unit,
    between_unit,
    chosen,
    comparable,
    look_up_unit,
    number,
    power_unit,
    product,
    quotient,
    rate_unit,
    same,
    since_unit,
    steps_unit,
    where_unit,
    worth_unit,
)


def define(**fields: Any) -> Function:
    """Put one record into the registry."""
    function = Function(**fields)
    FUNCTIONS[function.name] = function
    return function


HAND = "by hand"
NOT_FOUND = -1  # where a spreadsheet program does not find a rate: nothing is left at it

define(
    name="add",
    reach=("cell", "cell"),
    unit=same,
    array=np.add,
    sheet=Phrase("{0}+{1}", 10, (10, 11)),
    words=Phrase("{0} + {1}", 10, (10, 11)),
    slopes=(lambda slope, _one, _other: slope, lambda slope, _one, _other: slope),
    checks=(Check((2.5, 4.0), 6.5, HAND),),
)
define(
    name="subtract",
    reach=("cell", "cell"),
    unit=same,
    array=np.subtract,
    sheet=Phrase("{0}-{1}", 10, (10, 11)),
    words=Phrase("{0} − {1}", 10, (10, 11)),
    slopes=(lambda slope, _one, _other: slope, lambda slope, _one, _other: -slope),
    checks=(Check((2.5, 4.0), -1.5, HAND),),
)
define(
    name="multiply",
    reach=("cell", "cell"),
    unit=product,
    array=none_too_small(np.multiply),
    sheet=Phrase("{0}*{1}", 15, (15, 16)),
    words=Phrase("{0} × {1}", 15, (15, 16)),
    slopes=(lambda slope, _, other: slope * other, lambda slope, one, _: slope * one),
    checks=(Check((2.5, 4.0), 10.0, HAND),),
)
define(
    name="divide",
    reach=("cell", "cell"),
    unit=quotient,
    array=none_too_small(np.divide),
    sheet=Phrase("{0}/{1}", 15, (15, 16)),
    words=Phrase("{0} / {1}", 15, (15, 16)),
    slopes=(lambda slope, _, other: slope / other, None),
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
# Programs differ where a number is whole but for rounding (2.9999999999999996): add a little before rounding down.
define(
    name="whole_part",
    reach=("cell",),
    unit=lambda given: number(given[0]),
    array=np.floor,
    sheet=Phrase("INT({0})"),
    words=Phrase("{0}, rounded down to a whole number", 6, (7,)),
    checks=(
        Check((2.5,), 2.0, HAND),
        Check((4.0,), 4.0, HAND),
        Check((-2.5,), -3.0, HAND + "; INT goes down, not towards 0"),
    ),
)
define(
    name="decimal_log",
    reach=("cell",),
    unit=lambda given: number(given[0]),
    array=lambda values: np.log10(np.where(values > 0, values, np.nan)),
    sheet=Phrase("LOG10({0})"),
    words=Phrase("the decimal logarithm of {0}", 6, (7,)),
    checks=(
        Check((1000.0,), 3.0, HAND),
        Check((2.0,), 0.3010299956639812, "logarithm tables: log 2 = 0.30103"),
        Check((0.0,), None, "OpenFormula 1.2 LOG10: of positive numbers only"),
    ),
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
    slopes=(
        None,
        lambda slope, test, _yes, _no: slope * (test != 0),
        lambda slope, test, _yes, _no: slope * (test == 0),
    ),
    checks=(Check((1.0, 2.5, 4.0), 2.5, HAND), Check((0.0, 2.5, 4.0), 4.0, HAND)),
)
define(
    name="sum_of",
    reach=("range",),
    unit=same,
    array=total,
    sheet=Phrase("SUM({0})"),
    words=Phrase("the sum of {0}", 6, (7,)),
    slopes=(lambda slope, _: slope.sum(axis=-1, keepdims=True),),
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
    name="smallest",
    reach=("range",),
    unit=same,
    array=lambda values: values.min(axis=-1, keepdims=True),
    sheet=Phrase("MIN({0})"),
    words=Phrase("the smallest of {0}", 6, (7,)),
    checks=(Check(([2.5, 1.0, 4.0],), 1.0, HAND),),
)
define(
    name="sum_where",
    reach=("range", "keys", "key"),
    unit=where_unit,
    array=total_where,
    sheet=Phrase("SUMIFS({0},{1},{2})"),
    words=Phrase("the sum of {0} where {1} is {2}", 5, (7, 7, 7)),
    slopes=(lambda slope, _, keys, key: slope @ (key[..., :, None] == keys[..., None, :]), None, None),
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
    name="steps_above",
    reach=("cell", "key", "keys", "range", "range"),
    unit=steps_unit,
    array=above_steps,
    sheet=Phrase("SUMPRODUCT(({2}={1})*({0}>{3})*({0}-{3})*{4})", 30, (16, 6, 6, 16, 16)),
    words=Phrase("the sum of {4} × what {0} exceeds {3} by, where {2} is {1}", 5, (7, 7, 7, 7, 7)),
    checks=(
        Check((350.0, 1.0, [1.0, 1.0, 1.0, 2.0], [0.0, 200.0, 300.0, 0.0], [0.218, 0.116, 0.182, 9.0]), 102.8,
              "Tenaga Nasional, billing component, 2018: 350 kWh at 0.218, from 200 at 0.334, from 300 at 0.516"),
        Check((7.0, 3.0, [1.0, 2.0], [0.0, 5.0], [1.0, 2.0]), 0.0, HAND),
    ),
)  # fmt: skip
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
define(
    name="convolved",
    reach=("so far", "to end"),
    unit=product,
    array=summed_to_end,
    sheet=Phrase("SUMPRODUCT({0},{1})"),
    words=Phrase("the sum of {0} so far × {1}, the latest with the last", 6, (7, 7)),
    slopes=(lambda slope, _, kernel: slope_of_summed(slope, kernel), None),
    checks=(Check(([1.0, 2.5, 4.0], [2.0, 2.0, 0.5]), [0.5, 3.25, 9.0], HAND + "; the kernel runs back"),),
)
define(
    name="convolved_since",
    reach=("so far", "to end", "so far", "cell"),
    unit=since_unit,
    array=summed_since,
    sheet=Phrase("SUMPRODUCT({0},{1},({2}>={3})*1)", 30, (0, 0, 6, 6)),
    words=Phrase("the sum of {0} so far × {1}, the latest with the last, from where {2} is {3}", 6, (7, 7, 7, 7)),
    slopes=(lambda slope, _, kernel, keys, since: slope_of_summed(slope, kernel, keys, since), None, None, None),
    checks=(
        Check(([1.0, 2.5, 4.0], [2.0, 2.0, 0.5], [0.0, 1.0, 2.0], 1.0), [0.0, 1.25, 7.0], HAND + "; as convolved"),
        Check(([1.0, 2.5, 4.0], [2.0, 2.0, 0.5], [0.0, 1.0, 2.0], 0.0), [0.5, 3.25, 9.0], HAND + "; all of them"),
    ),
)
define(
    name="present_worth",
    reach=("cell", "range"),
    unit=worth_unit,
    array=present_worth,
    sheet=Phrase("NPV({0},{1})", 30, (6, 0)),
    words=Phrase("the present value of {1} at {0} a step, the first after one step", 5, (7, 7)),
    checks=(
        Check(
            (0.1, [-10000.0, 3000.0, 4200.0, 6800.0]),
            1188.4434123352,
            "a spreadsheet program's help on NPV, 1,188.44",
        ),
        Check((0.0, [1.0, 2.5, -4.0]), -0.5, HAND),
        Check((-1.0, [1.0, 2.0]), None, "nothing is left"),
    ),
)
define(
    name="only_rate",
    reach=("range", "cell"),
    unit=rate_unit,
    array=only_rate,
    sheet=Phrase(f"IFERROR(IRR({{0}},{{1}}),IFERROR(IRR({{0}},0),IFERROR(IRR({{0}},0.05),{NOT_FOUND})))"),
    words=Phrase("the rate a step, sought from {1}, at which {0} are worth nothing together", 5, (7, 7)),
    checks=(Check(([-100.0, 39.0, 59.0, 55.0, 20.0], 0.28), 0.2809484211599611, "numpy-financial's docstring, irr"),),
)
