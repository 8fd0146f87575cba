"""Text in lines that fit the terminal: sentences, tables, the page they stand on. Wide characters count twice."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

import wcwidth

from tco.write.screen import bold, typed, width

NAME, FIGURE = 19, 10  # columns of a scenario's name at least, and of a figure: six of them fit 80
FEWEST = 12  # columns left for names below which a table is turned
POWERS = ("", "1,000 ", *(f"10^{3 * power} " for power in range(2, 9)))
TIED, SPACE = re.compile(r"(?<=\d) (?=%)|(?<=\+-) | (?=\+-)"), "\N{NO-BREAK SPACE}"
Row = tuple[str, Sequence[str]]  # a name and its figures; a name alone stands on a line of its own


def wrapped(text: str, indent: str = "", hang: str = "  ") -> list[str]:
    """A text in lines that fit, which do not begin with the % or the error of a number; at least one line."""
    lines = wcwidth.wrap(
        TIED.sub(SPACE, typed(text)), width(), initial_indent=indent, subsequent_indent=indent + hang
    )
    return [line.replace(SPACE, " ").rstrip() for line in lines] or [""]


def all_wrapped(texts: Iterable[str], indent: str = "", hang: str = "  ") -> list[str]:
    """Texts one after the other, each in lines that fit."""
    return [line for text in texts for line in wrapped(text, indent, hang)]


def listed(words: Iterable[str], before: str = "") -> list[str]:
    """Words with semicolons between, in lines that fit; a word is not torn apart."""
    told = "; ".join(word.replace(" ", SPACE) for word in words)
    return wrapped(f"{before}{told}")


def wide(text: str) -> int:
    """How many columns a text takes."""
    return int(wcwidth.width(text))


def left(text: str, columns: int) -> str:
    """A text with spaces behind it up to so many columns."""
    return text + " " * (columns - wide(text))


def right(text: str, columns: int) -> str:
    """A text with spaces before it up to so many columns."""
    return " " * (columns - wide(text)) + text


def table(
    first: str,
    heads: Sequence[str],
    rows: Iterable[Row | str],
    over: Sequence[tuple[str, int]] = (),
    columns: Sequence[int] = (),
    least: int = NAME,
) -> list[str]:
    """Headings with a rule under them and a row a name; where that is too wide, a block a name.

    first: heading of the names. over: words over groups of so many columns. columns: how wide each one is, all
    FIGURE if left out. least: how wide the names' one is at least, where there is room.
    """
    sizes = list(columns) or [FIGURE] * len(heads)
    own: list[Row] = [(row, ()) if isinstance(row, str) else row for row in rows]
    own = [(typed(name), [typed(text) for text in texts]) for name, texts in own]
    room = width() - 1 - sum(sizes)
    if room < FEWEST or any(wide(text) > size for _, texts in own for text, size in zip(texts, sizes, strict=False)):
        return turned(typed(first), heads, own, over)
    longest = max(wide(name) for name in (typed(first), *(name for name, texts in own if texts)))
    names = min(max(least, longest + 1), room)
    head = list(in_columns((typed(first), heads), names, sizes))
    groups = [over_groups(names, over, sizes)] if over else []
    return [*groups, *head, "-" * (names + sum(sizes)), *(x for row in own for x in in_columns(row, names, sizes))]


def in_columns(row: Row, names: int, sizes: Sequence[int]) -> Iterator[str]:
    """One row; a name that is too long for its column stands on lines of its own."""
    name, texts = row
    if not texts or wide(name) >= names:
        yield from wrapped(name)
        name = ""
    if texts:
        cells = "".join(right(text, size) for text, size in zip(texts, sizes, strict=True))
        yield f"{left(name, names)}{cells}".rstrip()


def over_groups(names: int, over: Sequence[tuple[str, int]], sizes: Sequence[int]) -> str:
    """The line of words over groups of columns; the first stands over the names, and groups no column."""
    (first, _), *groups = over
    text, start = left(first, names), 0
    for word, count in groups:
        text += right(word, sum(sizes[start : start + count]))
        start += count
    return text.rstrip()


def turned(first: str, heads: Sequence[str], rows: Sequence[Row], over: Sequence[tuple[str, int]]) -> list[str]:
    """The same table for a narrow screen: under each name its figures, one a line."""
    title = ", ".join(filter(None, [*(word for word, _ in over[:1]), first]))
    size = max((wide(text) for _, texts in rows for text in texts), default=0)
    lines = [*wrapped(title), "-" * (width() - 1)]
    for name, texts in rows:
        lines += [*wrapped(name), *in_block(heads, texts, over[1:], size)]
    return lines


def in_block(heads: Sequence[str], texts: Sequence[str], groups: Sequence[tuple[str, int]], size: int) -> list[str]:
    """The figures of one name, under the words of their groups."""
    begins = {sum(count for _, count in groups[:place]): word for place, (word, _) in enumerate(groups)}
    labels, lines = max(map(wide, heads)), list[str]()
    for number, (head, text) in enumerate(zip(heads, texts, strict=False)):
        lines += wrapped(begins[number], "  ") if begins.get(number) else []
        lines.append(f"  {'  ' if groups else ''}{left(head, labels)}  {right(text, size)}".rstrip())
    return lines


def page(
    question: str, answer: Iterable[str], parts: Iterable[Sequence[str]], files: Iterable[Path] | None = None
) -> str:
    """All that a command prints: what was asked, the answer, tables and notes, where the files are."""
    sentences = [sentence for sentence in answer if sentence]
    told = [*map(bold, all_wrapped(sentences[:1])), *all_wrapped(sentences[1:])]
    written = [] if files is None else ["written:", *(f"  {path}" for path in files)]
    shown = [line for part in (wrapped(question), told, *parts) if part for line in (*part, "")]
    return "\n".join([*shown, *written]).rstrip()
