"""Figures of the page: written as the summary's cells show them, with the full value beside."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from math import fsum

from tco.write.fixed import fixed

# Width of a sign, of its height: of East Asian scripts, and of others in a wide typeface; bold ones are wider.
WIDE, USUAL, BOLD = 1.0, 0.64, 1.12


@dataclass(frozen=True)
class Figure:
    """What a cell shows, and the number behind it; words have none. strong: to be noticed."""

    text: str
    value: float | None = None
    strong: bool = False

    @property
    def full(self) -> str:
        """The number in full, as CSV has it."""
        return "" if self.value is None else repr(self.value)


def figure(value: float | str, look: str) -> Figure:
    """A figure by its number format; of words the part before the reason."""
    if isinstance(value, str):
        return Figure(value.split(":")[0])
    value = float(value) + 0.0
    return Figure(by_look(value, look), value)


def by_look(value: float, look: str) -> str:
    """A number as a cell of that number format shows it: `#,##0.00`, `0%`; a third part is how nothing is shown."""
    first, *rest = look.split(";")
    if value == 0 and len(rest) > 1:
        return rest[1]
    percent = first.endswith("%")
    digits = len(first.rstrip("%").partition(".")[2])
    text = fixed(value * (100 if percent else 1), digits, "−")
    return (text if "," in first else text.replace(",", "")) + ("%" if percent else "")


def width(text: str, size: float, *, bold: bool = False) -> float:
    """About how wide a text is in letters of a size, rather too wide than too narrow."""
    return size * fsum(width_of(sign) for sign in text) * (BOLD if bold else 1.0)


def width_of(sign: str) -> float:
    """The width of a sign, of the letters' size."""
    if unicodedata.combining(sign):
        return 0.0
    if unicodedata.east_asian_width(sign) in "WF":
        return WIDE
    return 0.36 if sign in " .,'ijl|:;!I" else 0.95 if sign in "mwMW%@" else 0.75 if sign.isupper() else USUAL


def cut(text: str, size: float, room: float) -> str:
    """A text in bold letters as long as there is room for, with an ellipsis where it is cut."""
    if width(text, size, bold=True) <= room:
        return text
    while text and width(text + "…", size, bold=True) > room:
        text = text[:-1]
    return text.rstrip() + "…"
