"""Axes: round steps, and amounts so large that they are told in thousands or millions."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tco.write.page_to_send.shown import by_look

ROUND = (1.0, 2.0, 2.5, 5.0, 10.0)
THOUSANDS = ("", "thousand ", "million ", "thousand million ", "million million ")
MONTHS = (1, 2, 3, 6, 12, 24, 60, 120, 240, 600)
LARGE = 1e6  # from here on amounts of an axis are told in thousands


@dataclass(frozen=True)
class Axis:
    """An axis from `low` to `high` over a length; ticks: values with their texts; unit: what the texts count."""

    low: float
    high: float
    start: float
    length: float
    ticks: tuple[tuple[float, str], ...]
    unit: str = ""

    def place(self, value: float) -> float:
        """Where a value stands, to a hundredth."""
        return round(self.start + self.length * (value - self.low) / (self.high - self.low), 2)


def amounts(values: Sequence[float], start: float, length: float, most: int = 5) -> Axis:
    """An axis of amounts that holds all values and 0, with at most so many steps; length < 0: it goes up."""
    low, high = min(0.0, *values), max(0.0, *values)
    step = step_of(high - low, most)
    first, last = math.floor(low / step), math.ceil(high / step)
    last = first + 1 if first == last else last
    power = power_of(max(abs(low), abs(high)))
    digits = max(0, -math.floor(math.log10(step / 1000**power) + 1e-9))
    digits += (step / 1000**power * 10**digits) % 1 > 1e-6  # a step of 2.5
    look = f"#,##0{'.' * bool(digits)}{'0' * digits};;0"
    ticks = tuple((step * n, by_look(step * n / 1000**power, look)) for n in range(first, last + 1))
    return Axis(step * first, step * last, start, length, ticks, THOUSANDS[power])


def step_of(span: float, most: int) -> float:
    """The least round step of which at most so many cover a span."""
    if span <= 0:
        return 1.0
    size = 10.0 ** math.floor(math.log10(span / most))
    return next(size * one for one in ROUND if size * one * most >= span * (1 - 1e-9))


def power_of(most: float) -> int:
    """By how many thousands amounts are divided, so that they are short."""
    return 0 if most < LARGE else min(len(THOUSANDS) - 1, int(math.log10(most) // 3))


def months(last: int, start: float, length: float, most: int = 6) -> Axis:
    """An axis of months from 0 to the last one."""
    step = next((step for step in MONTHS if last <= step * most), MONTHS[-1])
    ticks = tuple((float(month), str(month)) for month in range(0, last + 1, step))
    return Axis(0.0, float(last), start, length, ticks)
