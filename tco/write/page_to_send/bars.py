"""The geometry of lying bars, one a scenario, cut into its cost lines; income lies left of 0."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import fsum

from tco.write.charts import FILLS
from tco.write.formats import INK, WHOLE_MONEY
from tco.write.page_to_send.scale import Axis, amounts
from tco.write.page_to_send.shown import Figure, by_look, cut, width

WIDTH, SIZE, SMALL = 360.0, 13.5, 13.0  # of the drawing and its letters; a phone shows about nine tenths of it
LOOSE, TIGHT, MANY = (18.0, 24.0, 12.0), (17.0, 11.0, 6.0), 8  # name, bar, gap; the latter for more than so many
KEY = 19.0  # one line of the legend
SMALLEST = 0.005  # of a unit of money: less is not drawn
PAPER = "#FFFFFF"


@dataclass(frozen=True)
class Cost:
    """A cost line: its label, which of FILLS it has, and each scenario's amount."""

    label: str
    fill: int
    amounts: tuple[float, ...]


@dataclass(frozen=True)
class Piece:
    """A piece of a bar; its amount stands in it where there is room."""

    left: float
    width: float
    fill: str
    ink: str
    text: str


@dataclass(frozen=True)
class Bar:
    """One scenario's bar: its name over it, the sum at the right, and its pieces."""

    name: str
    total: Figure
    top: float
    pieces: tuple[Piece, ...]


@dataclass(frozen=True)
class Key:
    """A line of the legend."""

    label: str
    fill: str
    left: float
    top: float


@dataclass(frozen=True)
class Bars:
    """The whole drawing. name, tall: heights of a bar's name and of the bar."""

    height: float
    bottom: float
    name: float
    tall: float
    axis: Axis
    bars: tuple[Bar, ...]
    keys: tuple[Key, ...]
    title: str


def bars(names: Sequence[str], totals: Sequence[Figure], costs: Sequence[Cost], title: str) -> Bars:
    """The drawing; costs that are nothing everywhere are left out. title: of the axis, after its unit."""
    shown = [cost for cost in costs if any(abs(amount) >= SMALLEST for amount in cost.amounts)]
    ends = [end for n in range(len(names)) for end in reach([cost.amounts[n] for cost in shown])]
    axis = amounts(ends, 0, WIDTH)
    side = max(width(text, SIZE) for _, text in axis.ticks) / 2  # the outer texts stand half beyond the axis
    axis = replace(axis, start=side, length=WIDTH - 2 * side)
    name, tall, apart = LOOSE if len(names) <= MANY else TIGHT
    step = name + tall + apart
    rooms = [WIDTH - 12 - width(total.text, SIZE, bold=True) for total in totals]
    made = [
        Bar(cut(names[n], SIZE, rooms[n]), totals[n], n * step, pieces(axis, shown, n, tall))
        for n in range(len(names))
    ]
    bottom = len(names) * step - apart / 2
    keys = legend(shown, bottom + 58)
    last = keys[-1].top if keys else bottom + 30
    return Bars(last + 10, bottom, name, tall, axis, tuple(made), keys, f"{axis.unit}{title}")


def reach(values: Sequence[float]) -> tuple[float, float]:
    """How far a bar reaches left and right of 0."""
    return fsum(value for value in values if value < 0), fsum(value for value in values if value > 0)


def pieces(axis: Axis, costs: Sequence[Cost], number: int, tall: float) -> tuple[Piece, ...]:
    """A scenario's pieces, costs to the right of 0 one after the other, income to the left."""
    ends, found = {True: 0.0, False: 0.0}, []
    for cost in costs:
        amount = cost.amounts[number]
        if abs(amount) < SMALLEST:
            continue
        from_, to = ends[amount > 0], ends[amount > 0] + amount
        ends[amount > 0] = to
        left, right = sorted((axis.place(from_), axis.place(to)))
        fill, text = FILLS[cost.fill % len(FILLS)], by_look(amount, WHOLE_MONEY)
        fits = width(text, SMALL) + 6 <= right - left and abs(amount) >= 0.5 and tall > SMALL
        found.append(Piece(left, round(right - left, 2), fill, ink_on(fill), text if fits else ""))
    return tuple(found)


def legend(costs: Sequence[Cost], top: float) -> tuple[Key, ...]:
    """The cost lines in two columns, in the order of the bars."""
    fills = [FILLS[cost.fill % len(FILLS)] for cost in costs]
    return tuple(
        Key(cost.label, fill, WIDTH / 2 * (n % 2), top + KEY * (n // 2))
        for n, (cost, fill) in enumerate(zip(costs, fills, strict=True))
    )


def ink_on(fill: str) -> str:
    """Dark or white letters, whichever stand out more on a colour."""
    return max((INK, PAPER), key=lambda ink: contrast(ink, fill))


def contrast(one: str, other: str) -> float:
    """The contrast of two colours, 1 to 21: WCAG 2's definition (from memory)."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def luminance(colour: str) -> float:
    """The relative luminance of `#RRGGBB`, 0 to 1 (WCAG 2, from memory)."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
