"""Where the inputs come from: each source once, with how many rows of the study it stands behind."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from tco.write.blocks import Draft
from tco.write.shared_sheets import source_lines

MOST = 40  # sources on the page; the workbook has all
DEFAULT = "left to its default"


@dataclass(frozen=True)
class Source:
    """A source, and how many rows of the study name it."""

    source: str
    rows: int


def sources(draft: Draft) -> list[Source]:
    """The sources that the study names, those behind most rows first; of equals in the study's order."""
    counts = Counter(source for _, _, _, source, _ in source_lines(draft) if source and source != DEFAULT)
    return [Source(source, rows) for source, rows in counts.most_common()]
