"""What the terminal shows: the answer, a table that fits 80 columns, then where the files are. Plain text."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from pathlib import Path

from tco.ask.compare import Comparison
from tco.ask.explain import Explanation
from tco.model import Ground
from tco.write.summary import spoken

WIDTH = 80
NAME = 19  # a scenario's name in the table; longer ones are cut with an ellipsis
FIGURE = 10
LARGE = 1e7  # from here on the table counts in thousands
# Heading, measure, decimals, whether it is money.
TABLE = (
    ("at start", "paid_at_start", 0),
    ("electric", "total_electricity", 0),
    ("failures", "total_replacement", 0),
    ("resale", "total_resale", 0),
    ("in all", "lcc", 0),
    ("a month", "equivalent_month", 2),
)


def comparison_text(comparison: Comparison, files: Iterable[Path]) -> str:
    """The whole of what `tco compare` prints."""
    question = comparison.study.settings.question
    answer = [textwrap.fill(sentence, WIDTH) for sentence in spoken(comparison)]
    written = [f"  {path}" for path in files]
    return "\n".join([*wrapped(question), "", *answer, "", *table(comparison), "", "written:", *written])


def wrapped(text: str, indent: str = "") -> list[str]:
    """A text in lines that fit."""
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  ") or [""]


def table(comparison: Comparison) -> list[str]:
    """Scenarios from the cheapest to the dearest, money of the study; what a column means stands below."""
    grounds = comparison.ranked()
    values = [[comparison.measure(ground, measure) for _, measure, _ in TABLE] for ground in grounds]
    scale = 1000.0 if max(abs(value) for row in values for value in row) >= LARGE else 1.0
    money = f"{'1,000 ' if scale > 1 else ''}{comparison.study.settings.currency}"
    head = f"{money:<{NAME}}" + "".join(f"{name:>{FIGURE}}" for name, *_ in TABLE)
    rows = [row(ground, [value / scale for value in own]) for ground, own in zip(grounds, values, strict=True)]
    note = "at start: paid in month 0; in all: present value; a month: the same, level"
    return [head, "-" * len(head), *rows, "", note]


def row(ground: Ground, values: Sequence[float]) -> str:
    """One scenario's figures."""
    name = ground.scenario.scenario
    name = name if len(name) < NAME else f"{name[: NAME - 10]}…{name[-8:]}"
    figures = (f"{value:>{FIGURE},.{digits}f}" for value, (*_, digits) in zip(values, TABLE, strict=True))
    return f"{name:<{NAME}}{''.join(figures)}"


def explanation_text(explanation: Explanation) -> str:
    """The whole of what `tco explain` prints."""
    lines = [*wrapped(explanation.headline), ""]
    for block in explanation.blocks:
        lines += wrapped(block.label)
        lines += wrapped(f"= {block.words}", "  ") if block.words else []
        for entry in block.entries:
            lines += entry_lines(entry.row, entry.value, entry.numbers, (entry.cell, entry.origin))
        lines += [f"    and {block.more} more rows"] if block.more else []
        lines.append("")
    return "\n".join(lines).rstrip()


def entry_lines(row: str, value: str, numbers: str, notes: Sequence[str]) -> list[str]:
    """One figure: its row and value, the formula with its numbers, its cell and where it is from."""
    lines = wrapped(f"{row}: {value}", "    ")
    lines += wrapped(f"= {numbers}", "      ") if numbers else []
    about = "; ".join(note for note in notes if note)
    return lines + (wrapped(f"[{about}]", "      ") if about else [])
