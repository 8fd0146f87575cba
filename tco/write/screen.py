"""What the terminal in front of a person can show: how wide it is, which signs it has, whether bold. Starts light."""

from __future__ import annotations

import codecs
import os
import re
import shutil
import sys
from typing import TextIO

NARROWEST, USUAL, WIDEST = 40, 80, 120  # columns; the usual ones where nothing says how wide it is
STAND_INS = {  # of our own signs; what a study says is escaped instead
    "−": "-",
    "–": "-",
    "…": "...",
    "×": "x",
    "±": "+-",
    "·": "*",
    "≥": ">=",
    "≤": "<=",
    "°": " deg",
    "→": "->",
    "€": "EUR",
    "£": "GBP",
    "²": "2",
    "’": "'",
    "�": "?",
    "\N{NO-BREAK SPACE}": " ",
}


def stand_in(error: UnicodeError) -> tuple[str, int]:
    """For codecs: what is written in the place of signs that an encoding lacks, and where to go on."""
    assert isinstance(error, UnicodeEncodeError)
    signs = error.object[error.start : error.end]
    return "".join(STAND_INS.get(one) or one.encode("ascii", "backslashreplace").decode() for one in signs), error.end


codecs.register_error("tco.stand_in", stand_in)

# What a terminal obeys instead of showing it, but for our own bold letters; and what turns a line's direction around.
OBEYED = re.compile("\033(?!\\[[01]m)|[\0-\x08\x0b-\x1a\x1c-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069]")


def typed(text: str, stream: TextIO | None = None) -> str:
    """A text in the signs that a stream (standard output) can show."""
    encoding = getattr(stream or sys.stdout, "encoding", None) or "utf-8"
    text = OBEYED.sub(lambda found: found[0].encode("unicode_escape").decode(), text)
    return text.encode(encoding, "tco.stand_in").decode(encoding)


def is_terminal(stream: TextIO | None) -> bool:
    """Whether a person looks at a stream."""
    return stream is not None and not stream.closed and stream.isatty()


def is_plain() -> bool:
    """Whether the terminal takes nothing but text, as TERM=dumb says."""
    return os.environ.get("TERM") == "dumb"


def width() -> int:
    """How many columns a line may have: the terminal's or what COLUMNS says, within bounds; else the usual ones."""
    said = os.environ.get("COLUMNS", "")
    known = is_terminal(sys.stdout) or (said.isascii() and said.isdigit() and int(said) > 0)
    columns = shutil.get_terminal_size((USUAL, 24)).columns if known else USUAL
    return min(max(columns, NARROWEST), WIDEST)


def bold(text: str) -> str:
    """A text in bold letters, where a person looks at a terminal that has them and wants them (no-color.org)."""
    wanted = is_terminal(sys.stdout) and not is_plain() and not os.environ.get("NO_COLOR")
    return f"\033[1m{text}\033[0m" if wanted else text
