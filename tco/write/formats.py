"""How cells look. Read in black and white: what may be changed has a dotted line under it, results have none.

Zero is written 0, never left empty; a minus is a minus sign (quoted in number formats, as it is no ASCII character).
Colours are never needed for meaning.
"""

from __future__ import annotations

from typing import Any

from tco.engine import Column
from tco.units import written

FONT = "Arial"
INK, SOFT, PAPER = "#222222", "#5A5A5A", "#EFEDE6"
DOTTED, HAIR, THIN = 4, 7, 1
MONEY = '#,##0.00;"−"#,##0.00;0'
WHOLE_MONEY = '#,##0;"−"#,##0;0'
PERCENT = '0.0##%;"−"0.0##%;0%'
BY_UNIT = {
    "W": '#,##0.0;"−"#,##0.0;0',
    "kWh": '#,##0.0;"−"#,##0.0;0',
    "kWh/year": "#,##0",
    "h": "#,##0",
    "d": "0",
    "kW": "0.00",
    "month": "0",
    "year": "0",
    "TB": "#,##0.00",
    "h/month": "0.0##",
    "h/year": "#,##0.0",
    "MB/s": "#,##0",
    "GB/d": "#,##0",
    "Gbit/s": "#,##0.0##",
    "dB(A)": "0.0",
    "m": "0.0##",
    "kg": "0.0##",
    "V": "0",
    "A": "0.0#",
    "VA": "#,##0",
    "BTU/h": "#,##0",
}
BASE: dict[str, dict[str, Any]] = {
    "title": {"bold": True, "font_size": 14},
    "question": {"bold": True, "font_size": 17},
    "line": {"font_color": SOFT},
    "state": {"italic": True, "text_wrap": True, "valign": "top", "font_size": 8},
    "heading": {"bold": True, "font_size": 11, "bottom": THIN},
    "rule": {"bottom": THIN},
    "head": {
        "bold": True,
        "font_size": 8,
        "text_wrap": True,
        "align": "right",
        "valign": "bottom",
        "bg_color": PAPER,
    },
    "head_left": {"bold": True, "font_size": 8, "text_wrap": True, "valign": "bottom", "bg_color": PAPER},
    "head_aside": {"bold": True, "align": "left", "font_size": 8, "valign": "bottom", "bg_color": PAPER, "indent": 2},
    "mark_aside": {"bg_color": PAPER, "bottom": THIN},
    "unit": {"align": "right", "font_color": SOFT, "font_size": 8, "bg_color": PAPER},
    "mark": {"align": "right", "italic": True, "font_size": 8, "bg_color": PAPER, "bottom": THIN},
    "mark_left": {"italic": True, "font_size": 8, "bg_color": PAPER, "bottom": THIN},
    "unit_left": {"font_color": SOFT, "font_size": 8, "valign": "vcenter", "indent": 1},
    "hint": {"font_color": SOFT, "font_size": 8},
    "kind": {"italic": True, "font_size": 8, "valign": "vcenter"},
    "label": {"text_wrap": True, "valign": "vcenter"},
    "number": {"align": "right", "valign": "vcenter"},
    "may_be_words": {"valign": "vcenter"},  # numbers to the right, words to the left and on into empty cells
    "text": {"text_wrap": True, "align": "right", "valign": "vcenter", "indent": 1},
    "text_left": {"text_wrap": True, "align": "left", "valign": "vcenter"},
    "aside": {"text_wrap": True, "font_size": 8, "font_color": SOFT, "valign": "vcenter", "indent": 2},
    "answer": {"text_wrap": True, "font_size": 12, "valign": "top"},
    "figure": {"align": "right", "valign": "vcenter", "text_wrap": True, "indent": 1},
    "small": {"text_wrap": True, "font_size": 9, "valign": "vcenter"},
    "strong": {"bold": True, "valign": "vcenter", "text_wrap": True},
}
BASE["head_apart"] = BASE["head"] | {"indent": 1}  # where heads of neighbours would run together


class Formats:
    """A workbook's formats, each made once; whole: amounts of money have no digits after the point."""

    def __init__(self, book: Any, *, whole: bool = False) -> None:
        self.book, self.whole = book, whole
        self.made: dict[tuple[str, str, bool, bool], Any] = {}

    def get(self, name: str, number: str = "", *, live: bool = False, last: bool = False) -> Any:
        """A format by name; `number`: a number format; live: may be changed; last: a thin line under it."""
        number = WHOLE_MONEY if self.whole and number == MONEY else number
        key = (name, number, live, last)
        if key not in self.made:
            spec = {"font_name": FONT, "font_size": 9, "font_color": INK, **BASE[name]}
            if number:
                spec["num_format"] = number
            if live:
                spec |= {"bottom": DOTTED, "bottom_color": INK}
            elif last:
                spec["bottom"] = HAIR
            self.made[key] = self.book.add_format(spec)
        return self.made[key]


def number_format(column: Column, money: str) -> str:
    """How a column's numbers are shown; they are never rounded in formulas."""
    assert column.unit is not None
    unit = written(column.unit)
    if unit == money:
        return MONEY
    if unit in ("year", "month") and (column.state is not None or column.formula is not None):
        return "0.0#"
    if unit in BY_UNIT:
        return BY_UNIT[unit]
    if money in unit:
        return '#,##0.0000;"−"#,##0.0000;0' if "kWh" in unit else MONEY
    return plain_format(column)


COUNTS = (
    "version",
    "point",
    "key",
    "counted",
    "taxed",
    "point before",
    "point after",
    "side_at_end",
    "sign",
    "turns",
    "sign_changes",
)


def is_count(column: Column) -> bool:
    """Whether a column of what is delivered counts something: nodes, losses, places."""
    counts = column.name.startswith(("nodes", "needs_", "above ", "there ", "more ")) or column.name in DELIVERED
    return counts or (column.table.kind, column.name) == ("shelf", "quantity")


DELIVERED = ("node_losses", "losses_writing", "losses", "rebuilds", "places_short", "provided", "needed", "left")


def plain_format(column: Column) -> str:
    """How numbers without a unit are shown."""
    spec = column.cell
    if column.percent or column.name == "share":
        return PERCENT
    if column.table.kind == "failing":
        return "0.000"
    if column.name == "index" or column.name == "savings_to_investment_ratio":
        return "0.00##"
    if column.name in ("power_factor", "overhead", "weight") or column.name.startswith(("share ", "lost ")):
        return "0.0##"
    if (
        spec
        or column.name in COUNTS
        or is_count(column)
        or column.name.endswith(("_state", "_side", "_behind", "_turn"))
    ):
        return "#,##0"
    if column.name.startswith(("version ", "age key ")):
        return "0"
    return "0.00000"
