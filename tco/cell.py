"""What one cell of a study may hold: the kind of thing, its unit, range, default, meaning and an example."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

REQUIRED = "required"  # no default: an empty cell is an error
NUMBERS = ("number", "share", "growth", "whole", "months")  # kinds of cells that hold a number
MONTH_LIMIT = 600  # a horizon beyond 50 years is taken for a slip of the pen


@dataclass(frozen=True)
class Cell:
    """What one cell of a study may hold.

    kind: `number` (float, in `unit`), `share` (float; must be written with %), `growth` (a share a year, written
    with % or %/year), `whole` (int), `months` (int; written with a unit, `5 years` or `60 months`), `text`,
    `name` (text that other tables refer to), `file`, `month` (the first day of a calendar month, `2026-12`),
    `date`, `currency`, `zone` (IANA time zone), `yes` (yes or empty), `choice` (one of `choices`), `amounts` (such as
        `2 bay 3.5 + 90 W supply`, see Amount), `names` (joined by +), `season` (months of the year, a tuple),
        `days` (kinds of day, a tuple), `clock` (time of day in minutes), `day` (a date, or a day of every year).
    default: REQUIRED, or what an empty cell or an absent column means (None: decided as `meaning` says).
    least, most: allowed range in `unit`, ends included.
    live: whether the workbook's figures follow when this input is changed there.
    quoted: whether the cell may say `nominal` or `real` after its value.
    counts: what a whole number counts, where it has a unit of its own (months); not typed by a person.
    """

    kind: str
    meaning: str
    example: str
    unit: str = ""
    default: Any = REQUIRED
    least: float | None = None
    most: float | None = None
    choices: tuple[str, ...] = ()
    live: bool = False
    quoted: bool = False
    counts: str = ""


def cell(kind: str, meaning: str, example: str, **more: Any) -> Any:
    """A dataclass field that says what a person types for it; see Cell."""
    spec = Cell(kind, meaning, example, **more)
    if spec.default is REQUIRED:
        return field(metadata={"cell": spec})
    return field(default=spec.default, metadata={"cell": spec})
