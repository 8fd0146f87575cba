"""Nominal or real: the word that may stand after a value, or after the unit in a header."""

from __future__ import annotations

import re

from tco.cell import Cell
from tco.read.column import Column
from tco.read.problems import Refused, shown

ANYWHERE = re.compile(r"\b(?ai:nominal|real)\b")
AT_END = re.compile(r"(?:^|(?<=[\s%\d]))(?ai:nominal|real)\Z")


def split(text: str) -> tuple[str, str]:
    """(`2 %`, `real`) of `2 % real`: the text before the word, and the word in lower case; empty if there is none."""
    found = AT_END.search(text)
    return (text[: found.start()].rstrip(), found[0].lower()) if found else (text, "")


def said(text: str, column: Column) -> str:
    """Which kind of money a filled cell is in, by its own word or by its header's; empty where neither says it."""
    return (split(text.strip())[1] or column.kind) if column.cell.quoted else ""


def bare(text: str, column: Column) -> str:
    """A number's text without its word; raises Refused where the word does not belong, or not like this."""
    rest, word = split(text)
    if not rest:
        return text  # a word alone is no number, which is told with an example
    check_word(text, word, column.cell)
    if word and column.kind and word != column.kind:
        raise Refused(f"the cell says '{word}', the header '{column.kind}': write one of them")
    if column.cell.quoted and ANYWHERE.search(rest):
        raise Refused(f"{shown(text)}: write the word nominal or real once, after the value and its unit")
    return rest


def check_word(text: str, word: str, cell: Cell) -> None:
    """Refuse a word where what is written is the same in both kinds of money, or no money at all."""
    if word and not cell.quoted:
        what = "only the discount, growth of prices and later amounts are nominal or real"
        raise Refused(f"{shown(text)}: {what}; leave '{word}' out here")
