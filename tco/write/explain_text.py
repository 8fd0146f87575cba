"""What `tco explain` prints: a figure, the formula behind it, and so on down to what was given. Also as a table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tco.ask.explain import Explanation
from tco.write.lines import wrapped
from tco.write.tables import Table

SHOWN = 12  # rows of one column; more are counted, not listed
HEADER = ("scenario", "figure", "row", "value", "unit", "formula", "numbers", "cell", "from")


def explanation_text(explanation: Explanation) -> str:
    """The whole of what `tco explain` prints."""
    lines = [*wrapped(explanation.headline), ""]
    for block in explanation.blocks:
        lines += wrapped(block.label)
        lines += wrapped(f"= {block.words}", "  ") if block.words else []
        for entry in block.entries[:SHOWN]:
            lines += entry_lines(entry.row, entry.value, entry.numbers, (entry.cell, entry.origin))
        more = len(block.entries) - SHOWN
        lines += [f"    and {more} more rows; --format csv has all"] if more > 0 else []
        lines.append("")
    return "\n".join(lines).rstrip()


def entry_lines(row: str, value: str, numbers: str, notes: Sequence[str]) -> list[str]:
    """One figure: its row and value, the formula with its numbers, its cell and where it is from."""
    lines = wrapped(f"{row}: {value}", "    ")
    lines += wrapped(f"= {numbers}", "      ") if numbers else []
    about = "; ".join(note for note in notes if note)
    return lines + (wrapped(f"[{about}]", "      ") if about else [])


def explanation_table(explanation: Explanation) -> Table:
    """Every figure that takes part, the nearest first; floats in full."""
    return Table("", HEADER, rows(explanation), ("value",))


def rows(explanation: Explanation) -> Iterator[tuple[str | float, ...]]:
    """See explanation_table; what several scenarios share has none."""
    for block in explanation.blocks:
        for own in block.entries:
            where = (own.numbers, own.cell, own.origin)
            yield block.scenario, block.label, own.row, own.amount, own.unit, block.words, *where
