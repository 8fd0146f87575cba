"""What `tco vary` prints: the answer, what matters most in a table that fits 80 columns, the grid. Plain text."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from tco.ask.vary import Swing, Variation
from tco.write.chance_words import TYPED
from tco.write.lines import POWERS, Row, all_wrapped, page
from tco.write.lines import table as in_table
from tco.write.vary_figures import changed, letter, unit_of, value_in_short
from tco.write.vary_grid_text import grid_text
from tco.write.vary_words import answers, notes, span

TOP = 12  # inputs in the table; the workbook has all
NAME, SIZES, CHANGE = 32, (12, 12, 10, 10, 3), 10  # of a name at least, of the others; of a change
HEADS = ("low", "high", "at low", "at high", "of")


def varied_text(found: Variation, files: Iterable[Path]) -> str:
    """The whole of what is printed."""
    parts = [table(found), grid_text(found.grid) if found.grid else [], all_wrapped(notes(found))]
    return page(found.comparison.study.settings.question, answers(found, TYPED), parts, files)


def table(found: Variation) -> list[str]:
    """The inputs that matter most: their ends, and what the scenario that changes most costs there."""
    if not found.swings:
        return []
    own = found.swings[:TOP]
    power = power_of(found, own)
    money = f"{POWERS[power]}{found.comparison.study.settings.currency}"
    rows = [row(found, one, 1000.0**power) for one in own]
    more = len(found.swings) - len(own)
    lines = in_table(f"{money} {span(found)}", HEADS, rows, columns=SIZES, least=NAME)
    return [*lines, *([f"and {more} more, on sheet What matters"] if more > 0 else []), "", *explained(found, own)]


def row(found: Variation, own: Swing, scale: float) -> Row:
    """One input."""
    one, choice = own.choice.input, own.choice
    unit = unit_of(one)
    label = f"{one.label} [{unit}]" if unit and not one.is_factor else one.label
    values = [value_in_short(one, value, TYPED) for value in (choice.low, choice.high)]
    changes = [signed(change / scale) for change in changed(found, own, own.most)]
    return label, [*values, *changes, letter(own.most)]


def signed(change: float) -> str:
    """A change with its sign; 0 without."""
    text = TYPED.amount(change)
    return f"+{text}" if change > 0 and text != "0" else text


def power_of(found: Variation, own: Iterable[Swing]) -> int:
    """By how many thousands amounts are divided to fit the table."""
    largest = max(max(map(abs, changed(found, one, one.most))) for one in own)
    return next(power for power in range(9) if len(signed(largest / 1000.0**power)) < CHANGE - 1)


def explained(found: Variation, own: Iterable[Swing]) -> list[str]:
    """What the table's words mean."""
    factors = any(one.choice.input.is_factor for one in own)
    told = "at low, at high: what the scenario that changes most then costs more than as the study stands"
    who = ", ".join(f"{letter(number)} {name}" for number, name in enumerate(found.names))
    more = ["electricity price, rates and resale in % of what the study says"] if factors else []
    return all_wrapped([f"of: that scenario: {who}", told, *more])
