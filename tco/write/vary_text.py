"""What `tco vary` prints: the answer, what matters most in a table that fits 80 columns, the grid. Plain text."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from tco.ask.vary import Swing, Variation
from tco.write.chance_text import held_together
from tco.write.chance_words import TYPED
from tco.write.terminal import POWERS, wrapped
from tco.write.vary_figures import changed, letter, unit_of, value_in_short
from tco.write.vary_grid_text import grid_text
from tco.write.vary_words import answers, notes, span

TOP = 12  # inputs in the table; the workbook has all
NAME, VALUE, CHANGE, OF = 32, 12, 10, 3


def varied_text(found: Variation, files: Iterable[Path]) -> str:
    """The whole of what is printed."""
    parts = [
        wrapped(found.comparison.study.settings.question),
        [line for sentence in answers(found, TYPED) for line in held_together(sentence)],
        table(found),
        grid_text(found.grid) if found.grid else [],
        [line for note in notes(found) for line in wrapped(note)],
    ]
    told = [line for part in parts if part for line in (*part, "")]
    return "\n".join([*told, "written:", *(f"  {path}" for path in files)])


def table(found: Variation) -> list[str]:
    """The inputs that matter most: their ends, and what the scenario that changes most costs there."""
    if not found.swings:
        return []
    own = found.swings[:TOP]
    power = power_of(found, own)
    money = f"{POWERS[power]}{found.comparison.study.settings.currency}"
    head = f"{f'{money} {span(found)}':<{NAME}}{'low':>{VALUE}}{'high':>{VALUE}}"
    head += f"{'at low':>{CHANGE}}{'at high':>{CHANGE}}{'of':>{OF}}"
    lines = [line for one in own for line in row(found, one, 1000.0**power)]
    more = len(found.swings) - len(own)
    return [head, "-" * len(head), *lines, *([f"and {more} more, on sheet What matters"] if more > 0 else []), "",
            *explained(found, own)]  # fmt: skip


def row(found: Variation, own: Swing, scale: float) -> list[str]:
    """One input; a long name stands on a line of its own."""
    one, choice = own.choice.input, own.choice
    unit = unit_of(one)
    label = f"{one.label} [{unit}]" if unit and not one.is_factor else one.label
    values = "".join(f"{value_in_short(one, value, TYPED):>{VALUE}}" for value in (choice.low, choice.high))
    changes = "".join(f"{signed(change / scale):>{CHANGE}}" for change in changed(found, own, own.most))
    figures = f"{values}{changes}{letter(own.most):>{OF}}"
    if len(label) < NAME:
        return [f"{label:<{NAME}}{figures}"]
    return [*wrapped(label), f"{'':<{NAME}}{figures}"]


def signed(change: float) -> str:
    """A change with its sign; 0 without."""
    text = TYPED.amount(change)
    return f"+{text}" if round(change) > 0 else text


def power_of(found: Variation, own: Iterable[Swing]) -> int:
    """By how many thousands amounts are divided to fit the table."""
    largest = max(max(map(abs, changed(found, one, one.most))) for one in own)
    return next(power for power in range(9) if len(signed(largest / 1000.0**power)) < CHANGE - 1)


def explained(found: Variation, own: Iterable[Swing]) -> list[str]:
    """What the table's words mean."""
    factors = any(one.choice.input.is_factor for one in own)
    told = "at low, at high: what the scenario that changes most then costs more than as the study stands"
    who = ", ".join(f"{letter(number)} {name}" for number, name in enumerate(found.names))
    lines = [*wrapped(f"of: that scenario: {who}"), *wrapped(told)]
    return [*lines, *(["electricity price, rates and resale in % of what the study says"] if factors else [])]
