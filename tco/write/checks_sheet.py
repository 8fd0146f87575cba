"""The practice checks sheet: what was found when tco ran, why it matters, on whose word; what was not looked at."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tco.ask.practice import finding_rows, unseen_rows
from tco.write.blocks import Draft
from tco.write.page import EIGHT, NINE, Page, lines_of
from tco.write.shared_sheets import print_setup, top

FINDING = "finding"
HEADS = (("scenario", 20), ("check", 28), (FINDING, 62), ("why it matters", 54), ("standing", 40))
WHOLE = "the whole study"


def checks_sheet(page: Page, draft: Draft) -> None:
    """Findings, then what no check could look at; both as tco ran, not live."""
    line = "Findings by common practice and published sources, as tco ran; they block nothing and change no figure."
    top(page, "Checks: what a careful builder would remark on", line)
    for column, (_, wide) in enumerate(HEADS):
        page.sheet.set_column(column, column, wide)
    row = block(page, 3, FINDING, finding_rows(draft.comparison), "No check found anything.")
    row = block(page, row + 1, "not looked at, for this is not stated", together(unseen_rows(draft.comparison)), "")
    page.sheet.freeze_panes(4, 0)
    page.sheet.repeat_rows(3)
    print_setup(page, row, len(HEADS) - 1)


def together(rows: Iterable[Sequence[str]]) -> list[list[str]]:
    """What is said of several scenarios alike, once with all their names."""
    found: dict[tuple[str, ...], list[str]] = {}
    for name, *said in rows:
        found.setdefault(tuple(said), []).append(name or WHOLE)
    return [[", ".join(dict.fromkeys(own)), *said] for said, own in found.items()]


def block(page: Page, row: int, word: str, rows: Iterable[Sequence[str]], none: str) -> int:
    """A heading and one line a finding; returns the row after the last."""
    found = list(rows)
    if not found and not none:
        return row
    for column, (head, _) in enumerate(HEADS):
        page.text(row, column, word if head == FINDING else head, page.formats.get("mark_left"))
    if not found:
        page.text(row + 1, 2, none, page.formats.get("label"))
    before: Sequence[str] = ("", "", "", "", "")
    for number, texts in enumerate(found, start=row + 1):
        same = texts[:2] == before[:2]
        line(page, number, [*texts[:3], *(("", "") if same else texts[3:])])
        before = texts
    return row + max(1, len(found)) + 1


def line(page: Page, row: int, texts: Sequence[str]) -> None:
    """One finding; why and standing stand once for several of one check."""
    shown = [texts[0] or WHOLE, *texts[1:]]
    for column, text in enumerate(shown):
        page.text(row, column, text, page.formats.get("label" if column < 3 else "aside"))
    sizes = (
        lines_of(text, wide - 2, NINE if column < 3 else EIGHT)
        for column, (text, (_, wide)) in enumerate(zip(shown, HEADS, strict=True))
    )
    page.height(row, max(sizes))
