"""What the terminal shows: the answer, a table that fits 80 columns, then where the files are. Plain text."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from pathlib import Path

from tco.ask.answer import sentences
from tco.ask.compare import Comparison
from tco.ask.explain import Explanation
from tco.model import Ground

WIDTH = 80
NAME = 19  # a scenario's name in the table; longer ones are cut with an ellipsis
# Heading, measure, decimals, whether it is money.
TABLE = (
    ("to buy", "cost_to_buy", 0),
    ("electric", "total_electricity", 0),
    ("failures", "total_replacement", 0),
    ("resale", "total_resale", 0),
    ("in all", "lcc", 0),
    ("a month", "equivalent_month", 2),
)


def comparison_text(comparison: Comparison, files: Iterable[Path]) -> str:
    """The whole of what `tco compare` prints."""
    question = comparison.study.settings.question
    answer = [textwrap.fill(sentence, WIDTH) for sentence in sentences(comparison)]
    written = [f"  {path}" for path in files]
    return "\n".join([*wrapped(question), "", *answer, "", *table(comparison), "", "written:", *written])


def wrapped(text: str, indent: str = "") -> list[str]:
    """A text in lines that fit."""
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  ") or [""]


def table(comparison: Comparison) -> list[str]:
    """Scenarios from the cheapest to the dearest, money of the study; what a column means stands below."""
    money = comparison.study.settings.currency
    head = f"{money:<{NAME}}" + "".join(f"{name:>10}" for name, *_ in TABLE)
    rows = [row(comparison, ground) for ground in comparison.ranked()]
    note = "to buy: at the start; in all: present value; a month: the same, level"
    return [head, "-" * len(head), *rows, "", note]


def row(comparison: Comparison, ground: Ground) -> str:
    """One scenario's figures."""
    name = ground.scenario.scenario
    name = name if len(name) < NAME else name[: NAME - 2] + "…"
    values = "".join(f"{comparison.measure(ground, measure):>10,.{digits}f}" for _, measure, digits in TABLE)
    return f"{name:<{NAME}}{values}"


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
