"""The charts: native ones, whose titles are cells that say the finding.

Colours are our own; their lightness goes up and down from one to the next, so that neighbours differ in grey and to
colour-blind eyes. Lines differ in dashes as well.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from tco.write.formats import FONT, INK, SOFT, WHOLE_MONEY

FILLS = (  # in the order of the cost lines
    "#16324F", "#6B7A38", "#F1E8D2", "#D99A00", "#BFDDE2", "#8C2F3A", "#F3B08C", "#A9D18E", "#262626", "#DDB7D1",
    "#6F4E9A", "#B08968",
)  # fmt: skip
HATCHED = {
    8: "wide_upward_diagonal",
    10: "dark_horizontal",
    11: "small_grid",
}  # so that grey tells these apart as well
LINES = ("#16324F", "#C77700", "#2F8F83", "#8C2F5E", "#5B6B1E", "#777777")
DASHES = ("long_dash", "dash", "round_dot", "long_dash_dot", "square_dot", "long_dash_dot_dot")
GRID = {"visible": True, "line": {"color": "#D5D2C8", "width": 0.5}}


@dataclass(frozen=True)
class Series:
    """One row of bars or one line: the cells of its name, its categories (or x) and its values.

    strong: a heavier line; fill: which of FILLS a row of bars has; least: its lowest value as written.
    """

    name: str
    categories: str
    values: str
    strong: bool = False
    fill: int = 0
    least: float = 0.0


def font(size: float, **more: Any) -> dict[str, Any]:
    """A chart's font."""
    return {"name": FONT, "size": size, "color": INK, **more}


MEETING = {
    "line": {"none": True},
    "marker": {"type": "diamond", "size": 10, "fill": {"color": INK}, "border": {"color": "#FFFFFF", "width": 1}},
}


def finish(chart: Any, title: str, size: tuple[int, int]) -> Any:
    """Title, size and frame."""
    chart.set_title({"name": f"={title}", "name_font": font(10, bold=True), "overlay": False})
    chart.set_size({"width": size[0], "height": size[1]})
    chart.set_chartarea({"border": {"color": "#BFBBAE", "width": 0.75}, "fill": {"color": "#FFFFFF"}})
    return chart


def axis(name: str, number: str = "", **more: Any) -> dict[str, Any]:
    """An axis with its unit."""
    named = {"name": name, "name_font": font(8, bold=False)} if name else {}  # an empty one takes its room
    about = {**named, "num_font": font(8), "line": {"color": SOFT}, **more}
    return about | ({"num_format": number} if number else {})


def stacked(
    book: Any, kind: str, series: Sequence[Series], title: str, axes: tuple[str, str], size: tuple[int, int]
) -> Any:
    """Bars cut into cost lines; `kind` is `bar` (lying, first on top) or `column` (standing)."""
    chart = book.add_chart({"type": kind, "subtype": "stacked"})
    for one in series:
        chart.add_series(
            {
                "name": f"={one.name}", "categories": f"={one.categories}", "values": f"={one.values}", "gap": 55,
                "border": {"color": "#FFFFFF", "width": 0.5}, **filling(one.fill % len(FILLS)),
            }
        )  # fmt: skip
    # Bars start at 0, which programs do not see to by themselves where all are long and nearly alike.
    from_zero = {"min": 0} if all(one.least >= 0 for one in series) else {}
    lying: dict[str, Any] = {"reverse": True, "crossing": "max"} if kind == "bar" else {}
    names = axis(axes[0], label_position="low", major_gridlines={"visible": False}, **lying)
    amounts = axis(axes[1], WHOLE_MONEY, major_gridlines=GRID, **from_zero)
    chart.set_x_axis(amounts if kind == "bar" else names)
    chart.set_y_axis(names if kind == "bar" else amounts)
    chart.set_legend({"position": "bottom", "font": font(8)})
    return finish(chart, title, size)


def filling(fill: int) -> dict[str, Any]:
    """How a row of bars is filled: in its colour, or hatched in it."""
    if fill not in HATCHED:
        return {"fill": {"color": FILLS[fill]}}
    return {"pattern": {"pattern": HATCHED[fill], "fg_color": FILLS[fill], "bg_color": "#FFFFFF"}}


def side_by_side(book: Any, series: Sequence[Series], title: str, money: str) -> Any:
    """Standing bars, those of one scenario beside each other."""
    chart = book.add_chart({"type": "column"})
    for one in series:
        look = {"fill": {"color": FILLS[one.fill]}, "border": {"color": INK, "width": 0.5}, "gap": 90}
        chart.add_series(drawn(one) | look)
    chart.set_x_axis(axis("", label_position="low", major_gridlines={"visible": False}))
    from_zero = {"min": 0} if all(one.least >= 0 for one in series) else {}
    chart.set_y_axis(axis(money, "0.00", major_gridlines=GRID, **from_zero))
    chart.set_legend({"position": "bottom", "font": font(8)})
    return finish(chart, title, SUMMARY_SIZE)


def running(
    book: Any, series: Sequence[Series], meets: Sequence[Series], title: str, axes: tuple[str, str], last: int
) -> Any:
    """Lines over the months, and a mark where one meets the baseline."""
    chart = book.add_chart({"type": "scatter", "subtype": "straight"})
    for number, one in enumerate(series):
        chart.add_series(drawn(one) | {"line": style(number, strong=one.strong), "marker": {"type": "none"}})
    for one in meets:
        chart.add_series(drawn(one) | MEETING)
    chart.set_x_axis(
        axis(
            axes[0],
            "0",
            label_position="low",
            min=0,
            max=last,
            major_unit=12 if last > 12 else 1,
            major_gridlines=GRID,
        )
    )
    chart.set_y_axis(axis(axes[1], WHOLE_MONEY, major_gridlines=GRID))
    hidden = list(range(len(series), len(series) + len(meets)))
    chart.set_legend({"position": "bottom", "font": font(8), "delete_series": hidden})
    return finish(chart, title, SUMMARY_SIZE)


SUMMARY_SIZE = (664, 316)


def lines(book: Any, series: Sequence[Series], title: str, axes: tuple[str, str], size: tuple[int, int]) -> Any:
    """Lines over named periods, with markers: a single period has no line."""
    chart = book.add_chart({"type": "line"})
    for number, one in enumerate(series):
        look = style(number, strong=one.strong)
        marker = {"type": "circle", "size": 5, "fill": {"color": look["color"]}, "border": {"color": "#FFFFFF"}}
        chart.add_series(drawn(one) | {"line": look, "marker": marker})
    chart.set_x_axis(axis(axes[0], label_position="low"))
    chart.set_y_axis(axis(axes[1], WHOLE_MONEY, major_gridlines=GRID))
    chart.set_legend({"position": "bottom", "font": font(8)})
    return finish(chart, title, size)


def style(number: int, *, strong: bool) -> dict[str, Any]:
    """How the line of a scenario looks; the baseline's is strong."""
    return {
        "color": INK if strong else LINES[number % len(LINES)],
        "width": 2.75 if strong else 2.0,
        "dash_type": "solid" if strong else DASHES[number % len(DASHES)],
    }


def drawn(one: Series) -> dict[str, Any]:
    """The cells of a series."""
    return {"name": f"={one.name}", "categories": f"={one.categories}", "values": f"={one.values}"}
