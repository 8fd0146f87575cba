"""What a command has found as one JSON object (RFC 8259), in signs that every locale has.

command, question, answer, notes; table: its name, columns and rows, each row an object; files: those written. A
figure is a number in full, or null where there is none; the row's `reason` then says why, by column. Words that are
figures ("met", "fits") stay words.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from tco.write.tables import Table

ABSENT = re.compile(r"(none|several|unknown|not known|not ranked)\b")


def in_json(command: str, sentences: Mapping[str, Any], table: Table, files: Iterable[Path]) -> str:
    """The whole object, with a line end. sentences: by name, as they are."""
    made = {"name": table.name, "columns": list(table.header), "rows": [record(table, row) for row in table.rows]}
    found = {"command": command, **sentences, "table": made, "files": [str(path) for path in files]}
    return json.dumps(found, indent=1, allow_nan=False) + "\n"


def record(table: Table, row: Iterable[str | float]) -> dict[str, Any]:
    """One row as an object; see above."""
    found: dict[str, Any] = {}
    reasons: dict[str, str] = {}
    for name, value in zip(table.header, row, strict=True):
        found[name] = value if isinstance(value, int | str) else float(value) + 0.0
        if name in table.figures and isinstance(value, str) and (not value or ABSENT.match(value)):
            found[name], reasons[name] = None, value or table.blank
    return found | ({"reason": reasons} if reasons else {})
