"""What the summary says, as it stands now: for the terminal and the page to send, which are not live."""

from __future__ import annotations

from dataclasses import dataclass

from tco.ask.compare import Comparison
from tco.write.answer import answers
from tco.write.assumed import assumed
from tco.write.blocks import Draft
from tco.write.board import Board
from tco.write.changes import changes
from tco.write.layout import layout
from tco.write.summary import board_of, by_line_title, kept_for, running_title


@dataclass(frozen=True)
class Told:
    """The summary's words.

    answer: its sentences; changes: what would change the answer; assumed: what was assumed; by_line, so_far: the
    findings that stand as titles over its two charts.
    """

    answer: tuple[str, ...]
    changes: tuple[str, ...]
    assumed: tuple[str, ...]
    by_line: str
    so_far: str


def told(comparison: Comparison) -> Told:
    """The summary's words for a comparison."""
    draft = Draft(comparison, layout(comparison.built))
    return words(draft, board_of(draft))


def words(draft: Draft, board: Board) -> Told:
    """The same where the summary's cells are known already."""
    kept = kept_for(draft.comparison.study.settings.horizon)
    return Told(
        tuple(line.value for line in answers(draft, board, kept)),
        tuple(line.value for line in changes(draft, board) if line.value),
        tuple(line.value for line in assumed(draft, board, kept)),
        by_line_title(draft, board).value,
        running_title(draft, board).value,
    )
