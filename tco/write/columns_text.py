"""What `tco columns` prints: every table, and what each of its columns means."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import groupby

from tco.write.lines import all_wrapped, wrapped


def columns_text(introduction: str, rows: Iterable[Sequence[str]], about: Callable[[str], str]) -> str:
    """The whole of what is printed.

    introduction: paragraphs and a list, in Markdown. rows: (table, column, meaning, what to write, unit, what an
    empty cell means, example). about: what a table is for.
    """
    parts = [*paragraphs(introduction)]
    for name, own in groupby(rows, key=lambda row: row[0]):
        head = wrapped(f"{name}: {about(name)}")
        parts.append([*head, "-" * max(map(len, head)), *(line for row in own for line in column(row))])
    return "\n\n".join("\n".join(part) for part in parts)


def paragraphs(markdown: str) -> Iterable[list[str]]:
    """Each paragraph and each list in lines that fit, without its marks."""
    for text in markdown.replace("**", "").strip().split("\n\n"):
        yield all_wrapped(" ".join(item.split()) for item in text.replace("\n- ", "\n\n- ").split("\n\n"))


def column(row: Sequence[str]) -> list[str]:
    """One column of a table."""
    _, name, meaning, write, _, empty, example = row
    told = f"{write}; empty: {empty}; example: {example}"
    return [*wrapped(f"{name}: {meaning}"), *wrapped(told, "    ")]
