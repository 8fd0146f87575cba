"""The geometry of lines over the months, one a scenario: what has been paid so far."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tco.write.charts import DASHES, LINES
from tco.write.formats import INK
from tco.write.page_to_send.bars import SIZE, WIDTH
from tco.write.page_to_send.scale import Axis, amounts, months
from tco.write.page_to_send.shown import cut, width

PATTERNS = {
    "long_dash": "9 4",
    "dash": "6 4",
    "round_dot": "2 3",
    "long_dash_dot": "9 3 2 3",
    "square_dot": "4 2",
    "long_dash_dot_dot": "9 3 2 3 2 3",
}
TOP, TALL = 24.0, 236.0
LABEL, MOST = 138.0, 6  # room for names at the lines' ends, and for how many
LINE = 17.0  # from one name to the next
SAMPLE = 34.0  # of a line in the legend


@dataclass(frozen=True)
class Run:
    """What one scenario has cost by each month, and where it meets the baseline, if it does.

    number: which colour and dashes it has; strong: the baseline's.
    """

    name: str
    amounts: tuple[float, ...]
    number: int
    strong: bool
    meets: tuple[float, float] | None = None


@dataclass(frozen=True)
class Curve:
    """One drawn line: its points; the name and where it stands."""

    name: str
    points: str
    colour: str
    dashes: str
    thick: float
    end: tuple[float, float]
    label: tuple[float, float]


@dataclass(frozen=True)
class Curves:
    """The whole drawing. beside: whether names stand at the ends of the lines; below them otherwise."""

    height: float
    right: float
    bottom: float
    amounts: Axis
    months: Axis
    curves: tuple[Curve, ...]
    meets: tuple[tuple[float, float], ...]
    beside: bool
    title: str


def curves(runs: Sequence[Run], title: str) -> Curves:
    """The drawing. title: what the amounts are."""
    values = [amount for run in runs for amount in run.amounts]
    up = amounts(values, TOP + TALL, -TALL)
    beside = len(runs) <= MOST
    wide = max(width(run.name, SIZE, bold=True) for run in runs) if beside else 0.0
    left = max(width(text, SIZE) for _, text in up.ticks) + 6
    right = WIDTH - (min(wide, LABEL) + 16 if beside else 12)
    along = months(len(runs[0].amounts) - 1, left, right - left)
    labels = beside_ends([up.place(run.amounts[-1]) for run in runs], right + 14) if beside else below(len(runs))
    drawn = tuple(curve(run, along, up, spot, beside=beside) for run, spot in zip(runs, labels, strict=True))
    met = tuple((along.place(run.meets[0]), up.place(run.meets[1])) for run in runs if run.meets)
    bottom = TOP + TALL
    height = bottom + 46 if beside else labels[-1][1] + 14
    return Curves(height, right, bottom, up, along, drawn, met, beside, f"{up.unit}{title}")


def curve(run: Run, along: Axis, up: Axis, label: tuple[float, float], *, beside: bool) -> Curve:
    """One line; its name is cut where there is no more room."""
    points = [(along.place(month), up.place(amount)) for month, amount in enumerate(run.amounts)]
    name = cut(run.name, SIZE, WIDTH - label[0])
    number = run.number
    # Beyond six lines colours come back, and with other dashes.
    dashes = "" if run.strong else PATTERNS[DASHES[(number + number // len(LINES)) % len(DASHES)]]
    colour = INK if run.strong else LINES[number % len(LINES)]
    text = " ".join(f"{x:g},{y:g}" for x, y in points)
    end = points[-1] if beside else (label[0] - SAMPLE, label[1])
    return Curve(name, text, colour, dashes, 3.0 if run.strong else 2.25, end, label)


def beside_ends(ends: Sequence[float], left: float) -> list[tuple[float, float]]:
    """Where names stand right of the lines' ends: as near as may be, none over another, all within the drawing."""
    order = sorted(range(len(ends)), key=lambda n: (ends[n], n))
    found = [0.0] * len(ends)
    least = TOP
    for n in order:
        found[n] = least = max(ends[n], least)
        least += LINE
    most = TOP + TALL
    for n in reversed(order):
        found[n] = most = min(found[n], most)
        most -= LINE
    return [(round(left, 2), round(spot, 2)) for spot in found]


def below(count: int) -> list[tuple[float, float]]:
    """Where names stand under the drawing, one a line."""
    return [(SAMPLE + 8, TOP + TALL + 68 + KEY_LINE * n) for n in range(count)]


KEY_LINE = 19.0
