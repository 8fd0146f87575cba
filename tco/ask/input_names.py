"""What a name that is no input may mean: an input that is called much like it, or one that cannot vary by itself."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from difflib import SequenceMatcher
from math import fsum
from typing import Any

from tco.addresses import ROWS, address, folded
from tco.cell import NUMBERS
from tco.delivery import Needs
from tco.settings import Row, Settings
from tco.study import Study

SHOWN = 6  # names that a misspelt one may mean
ALIKE = 0.6  # how like each other two names must be
LONGEST = 200  # letters of a name that are looked at
COUNTED = (
    "ages, lives, warranties, months and what else is worked out unit by unit stand above the figures; write another "
    "value into the study and compare again"
)


def near(name: str, known: Iterable[str]) -> list[str]:
    """The names that a misspelt one may mean, those most like it first; a study has hundreds."""
    every = list(known)
    scores = {one: likeness(folded(name[:LONGEST]), folded(one)) for one in every}
    return sorted((one for one in every if scores[one] >= ALIKE), key=lambda one: -scores[one])[:SHOWN]


def likeness(wanted: str, name: str) -> float:
    """How like a name is to what was typed, from 0 to 1: word by word in any order, then as a whole."""
    words = [max(ratio(word, other) for other in name.split() or [""]) for word in wanted.split()]
    return 0.9 * fsum(words) / max(1, len(words)) + 0.1 * ratio(wanted, name)


def ratio(one: str, other: str) -> float:
    """How like two words are, from 0 to 1."""
    return SequenceMatcher(None, one, other, autojunk=False).ratio()


def why_not(study: Study, name: str) -> str:
    """Why what a study calls by a name cannot vary by itself; empty where it calls nothing so."""
    for row, field, kind in cells(study):
        if folded(address(row, field)) == folded(name):
            return f"is in the study, but cannot vary by itself: {COUNTED if kind in NUMBERS else 'it is no number'}"
    return ""


def cells(study: Study) -> Iterator[tuple[Row, str, str]]:
    """Every cell of a study that has a name: its row, field and kind."""
    for row in rows(study):
        if isinstance(row, (Settings, Needs, *ROWS)):
            yield from ((row, one.name, one.metadata["cell"].kind) for one in fields(row) if "cell" in one.metadata)


def rows(value: Any) -> Iterator[Row]:
    """Every row of a study, or of a part of it."""
    if isinstance(value, Row):
        yield value
    if is_dataclass(value):
        value = [getattr(value, one.name) for one in fields(value)]
    elif isinstance(value, Mapping):
        value = value.values()
    elif not isinstance(value, tuple):
        return
    for one in value:
        yield from rows(one)
