"""Worked cases of every function: its own checks, and many more from independent sources."""

from __future__ import annotations

import statistics
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal, localcontext
from fractions import Fraction
from functools import cache
from random import Random
from typing import Any

import numpy as np
import numpy_financial

from tco.engine import FUNCTIONS, Column, Model, call

SEED = 20_261_125
NUMBERS = (-7.25, -1.0, -0.001, 0.5, 1.0, 3.0, 1234.5678, 9.9e6)


@dataclass(frozen=True)
class Case:
    """A function with arguments (a list is a column of cells) and the result; None where it has none."""

    function: str
    args: tuple[Any, ...]
    result: Any
    source: str

    def __str__(self) -> str:
        return f"{self.function}{self.args}"


def build(case: Case) -> tuple[Model, Column]:
    """The case as a model: lists are columns of one table, numbers of another with one row."""
    model = Model()
    length = max((len(arg) for arg in case.args if isinstance(arg, list)), default=1)
    one = model.table("one", "One", ["here"])
    many = model.table("many", "Many", [f"row {n}" for n in range(length)])
    given = [
        model.given(many if isinstance(arg, list) else one, f"x{n}", f"input {n}", kind(arg), arg)
        for n, arg in enumerate(case.args)
    ]
    place = many if isinstance(case.result, list) else one
    return model, model.column(place, "result", "result", "", call(case.function, *given))


def kind(arg: Any) -> str | None:
    """No unit for text, a plain number otherwise."""
    return None if isinstance(arg[0] if isinstance(arg, list) else arg, str) else ""


@cache
def every_case() -> tuple[Case, ...]:
    """All of them: each function's own checks first."""
    own = [Case(f.name, check.args, check.result, check.source) for f in FUNCTIONS.values() for check in f.checks]
    return (*own, *arithmetic(), *comparisons(), *annuities(), *worths(), *columns(), *keyed())


def arithmetic() -> Iterator[Case]:
    """Exact arithmetic, rounded once at the end."""
    for a in NUMBERS:
        for b in NUMBERS:
            one, other = Fraction(a), Fraction(b)
            yield Case("add", (a, b), float(one + other), "fractions")
            yield Case("subtract", (a, b), float(one - other), "fractions")
            yield Case("multiply", (a, b), float(one * other), "fractions")
            yield Case("divide", (a, b), float(one / other), "fractions")
        yield Case("power", (a, 3.0), float(Fraction(a) ** 3), "fractions")
        yield Case("power", (a, -2.0), float(Fraction(a) ** -2), "fractions")
        yield Case("divide", (a, 0.0), None, "no number")
    for base, exponent in ((1.05, 0.25), (0.5, 7.5), (1234.5, -0.1), (1.000001, 250.0)):
        yield Case("power", (base, exponent), decimal_power(base, exponent), "decimal, 40 digits")
    yield Case("power", (0.0, -1.0), None, "division by zero")
    yield Case("power", (1e200, 2.0), None, "overflow")
    yield Case("multiply", (1e200, 1e200), None, "overflow")


def decimal_power(base: float, exponent: float) -> float:
    """A power with 40 digits on the way."""
    with localcontext() as context:
        context.prec = 40
        return float(Decimal(base) ** Decimal(exponent))


def comparisons() -> Iterator[Case]:
    """Python's own comparisons."""
    for a in NUMBERS:
        for b in NUMBERS:
            yield Case("smaller", (a, b), min(a, b), "Python")
            yield Case("larger", (a, b), max(a, b), "Python")
            yield Case("at_least", (a, b), float(a >= b), "Python")
            yield Case("more_than", (a, b), float(a > b), "Python")
            yield Case("where", (a, b, 5.0), b, "anything but 0 counts as true")
    for a, b in ((0.3, 0.1 * 3), (0.1 * 3, 0.3), (0.1 + 0.2, 0.3), (-0.3, -0.1 * 3)):
        yield Case("at_least", (a, b), 1.0, "alike to 15 digits")
        yield Case("more_than", (a, b), 0.0, "alike to 15 digits")


def annuities() -> Iterator[Case]:
    """numpy-financial's pmt."""
    for rate in (-0.02, 0.0, 0.0004, 0.004, 0.05, 0.3, 2.0):
        for periods in (1.0, 2.5, 12.0, 60.0, 240.0):
            for present in (-800.0, 0.01, 1e6):
                result = -float(numpy_financial.pmt(rate, periods, present))
                yield Case("annuity", (rate, periods, present), result, "numpy-financial 1.0.0, pmt")
    yield Case("annuity", (0.05, 0.0, 100.0), None, "no periods")
    yield Case("annuity", (-2.0, 3.0, 100.0), None, "less than nothing is left")


def worths() -> Iterator[Case]:
    """numpy-financial's irr, and numpy's convolution."""
    draw = Random(SEED + 2)
    for length in (2, 5, 61, 240):
        amounts = [round(draw.uniform(-50, 90), 2) for _ in range(length)]
        for rate in (-0.02, 0.0, 0.004, 0.3):
            worth = float(numpy_financial.npv(rate, [0.0, *amounts]))
            yield Case("present_worth", (rate, amounts), worth, "numpy-financial 1.0.0, npv")
        bought = [-float(draw.randrange(100, 900)), *(round(draw.uniform(5, 90), 2) for _ in range(length - 1))]
        if length <= 61:
            rate = float(numpy_financial.irr(bought))
            yield Case("only_rate", (bought, rate + 0.001), rate, "numpy-financial 1.0.0, irr")
        kernel = [draw.uniform(0, 2) for _ in range(length)]
        found = np.convolve(amounts, kernel)[:length].tolist()
        yield Case("convolved", (amounts, kernel[::-1]), found, "numpy, convolve")
    yield Case("only_rate", ([-100.0, 0.0, 0.0, 74.0], -0.1), 0.74 ** (1 / 3) - 1, "by hand")


def columns() -> Iterator[Case]:
    """Whole columns of many lengths, against statistics and exact sums."""
    draw = Random(SEED)
    for length in (1, 2, 7, 8, 9, 60, 129, 200):
        values = [round(draw.uniform(-1000, 1000), draw.randrange(5)) for _ in range(length)]
        others = [draw.uniform(0, 2) for _ in range(length)]
        exact = [Fraction(value) for value in values]
        yield Case("sum_of", (values,), float(sum(exact)), "fractions")
        yield Case("sum_of", (values,), statistics.fmean(values) * length, "statistics")
        yield Case("largest", (values,), sorted(values)[-1], "sorted")
        yield Case("smallest", (values,), sorted(values)[0], "sorted")
        product = sum(Fraction(a) * Fraction(b) for a, b in zip(values, others, strict=True))
        yield Case("sum_product", (values, others), float(product), "fractions")
        running = [float(sum(exact[: row + 1])) for row in range(length)]
        yield Case("running_total", (values,), running, "fractions")
        yield Case("previous", (values, 4.5), [4.5, *values[:-1]], "Python")


def keyed() -> Iterator[Case]:
    """Sums and look-ups by key, done again slowly in plain Python."""
    draw = Random(SEED + 1)
    for _ in range(30):
        length = draw.choice((1, 3, 10, 40))
        values = [round(draw.uniform(-50, 50), 2) for _ in range(length)]
        for keys in ([float(draw.randrange(4)) for _ in range(length)], [draw.choice("nsew") for _ in range(length)]):
            own = [draw.choice(keys) for _ in range(length)]
            absent = 9.0 if kind(keys) == "" else "up"
            yield Case(
                "sum_where", (values, keys, own), [slow_sum_where(values, keys, k) for k in own], "slow Python"
            )
            yield Case("sum_where", (values, keys, absent), 0.0, "slow Python")
            yield Case("look_up", (own, keys, values), [values[keys.index(k)] for k in own], "slow Python")
            yield Case("look_up", (absent, keys, values), None, "not there")
            yield from steps(draw, length, keys, own)
        after = [float(draw.randrange(12)) for _ in range(length)]
        until = [start + draw.randrange(6) for start in after]
        moments = [float(draw.randrange(16)) for _ in range(length)]
        results = [slow_sum_between(values, after, until, moment) for moment in moments]
        yield Case("sum_between", (values, after, until, moments), results, "slow Python")


def steps(draw: Random, length: int, keys: list[Any], own: list[Any]) -> Iterator[Case]:
    """What amounts come to by steps, done again slowly."""
    starts, rises, amounts = ([round(draw.uniform(-50, 50), 2) for _ in range(length)] for _ in range(3))
    rows = list(zip(keys, starts, rises, strict=True))
    results = [
        float(sum(max(Fraction(amount) - Fraction(start), Fraction(0)) * Fraction(rise)
                  for other, start, rise in rows if other == key))
        for amount, key in zip(amounts, own, strict=True)
    ]  # fmt: skip
    yield Case("steps_above", (amounts, own, keys, starts, rises), results, "slow Python")


def slow_sum_where(values: list[float], keys: list[Any], key: Any) -> float:
    """The sum of the values beside a key."""
    return float(sum(Fraction(value) for value, other in zip(values, keys, strict=True) if other == key))


def slow_sum_between(values: list[float], after: list[float], until: list[float], moment: float) -> float:
    """The sum of the values that stand at a moment."""
    rows = zip(values, after, until, strict=True)
    return float(sum(Fraction(value) for value, start, end in rows if start < moment <= end))
