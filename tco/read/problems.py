"""The problems of a study, gathered while its tables are read and raised together at the end."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

from tco.errors import Place, StudyError

PROBLEM_LIMIT = 1000  # beyond this a file was given by mistake; listing on helps nobody
SIMILAR_LIMIT = 100  # how many known names are compared with a misspelt one, at most
SHOWN = 60  # characters of a cell that a message repeats


class Refused(ValueError):  # noqa: N818  (what happened to the cell, said as the messages say it)
    """One cell that cannot be read; its text is the message, without place and column name."""


class Problems:
    """Pairs of place and message, each once."""

    def __init__(self) -> None:
        self.found: set[tuple[Place, str]] = set()

    def add(self, place: Place, message: str) -> None:
        """Keep one problem; raises StudyError when there are more than anybody reads."""
        self.found.add((place, message))
        if len(self.found) >= PROBLEM_LIMIT:
            self.found.add((place, f"reading stopped here, after {PROBLEM_LIMIT} problems"))
            self.settle()

    def settle(self) -> None:
        """Raise StudyError if there is any problem, in order of file, line and column."""
        if self.found:
            raise StudyError(sorted(self.found))


def shown(text: str) -> str:
    """A cell's text as messages repeat it: in quotes, short, on one line."""
    short = text if len(text) <= SHOWN else text[: SHOWN - 1] + "…"
    return "'" + "".join(c if c.isprintable() else "�" for c in short) + "'"


def nearest(text: str, names: Iterable[str]) -> str:
    """The known name closest to a misspelt one; empty where none is close."""
    known = [name for name in names if name][:SIMILAR_LIMIT]
    folded = text[:SHOWN].casefold()
    by_fold = {name.casefold(): name for name in reversed(known)}
    close = get_close_matches(folded, by_fold, n=1, cutoff=0.6)
    return by_fold[close[0]] if close else ""


def suggestion(text: str, names: Iterable[str]) -> str:
    """The end of a message about an unknown name: what was probably meant, or what there is."""
    known = sorted({name for name in names if name})
    if close := nearest(text, known):
        return f"; did you mean {shown(close)}?"
    if not known:
        return ""
    more = ", …" if len(known) > 6 else ""
    return f"; known: {', '.join(known[:6])}{more}"
