"""How sure the answer is, in a sentence. What was drawn does not follow an edit, so the sentence gives way to one."""

from __future__ import annotations

from tco.ask.compare import cents
from tco.ask.sure import DRAWS, Sure, sure
from tco.write.blocks import Draft
from tco.write.board import Board
from tco.write.live import Live, either, fixed

CHANGED = "How sure: costs were changed here since tco drew what may happen; run tco compare on the changed study."
NOT_DRAWN = "How sure: that cannot be drawn as the study stands; tco simulate says why."


def how_sure(draft: Draft, board: Board) -> Live | str:
    """What the draws say, as long as the workbook's costs are those that were drawn."""
    found = sure(draft.comparison)
    if found is None:
        return NOT_DRAWN
    names = [name for name in (found.first, found.second) if name]
    rows = [board.values("scenario").index(name) for name in names]
    kept = [f"ROUND({board.cell('lcc', row)},2)={cents(board.measure(row, 'lcc').value)!r}" for row in rows] + [
        f"{board.cell('order', row)}={place}" for place, row in enumerate(rows, start=1)
    ]
    return either(Live(f"AND({','.join(kept)})", True), said(found, draft.money, draft.digits), CHANGED)


def said(found: Sure, money: str, digits: int) -> str:
    """What the draws say."""
    if not (found.fails or found.inputs):
        return (
            "How sure: this study leaves nothing to chance, neither failures nor inputs (ranges.csv), so how far "
            "costs may lie apart is not known. A small difference decides nothing."
        )
    low, high = (fixed(Live("", value), digits).value for value in (found.low, found.high))
    apart = f"{low} {money}" if low == high else f"{low} to {high} {money}"
    varied = [f"{found.inputs} input{'s' * (found.inputs != 1)} of ranges.csv"] if found.inputs else []
    of = " and ".join([*(["what fails"] if found.fails else []), *varied])
    drawn = f"in eight of ten of {DRAWS:,} draws (of {of})"
    return f"How sure: {drawn} {found.first} costs {apart} a month{duel(found)}"


def duel(found: Sure) -> str:
    """How often the first costs less than the next one, and whether that decides anything."""
    if not found.second:
        return "."
    if found.is_level:
        return f", and {found.second} the same."
    told = f"; it costs less than {found.second} in {of_hundred(found.wins)}"
    return told + (
        ". Within that spread either may turn out cheaper: let other reasons weigh too." if found.is_close else "."
    )


def of_hundred(share: float) -> str:
    """A share of draws: `78 of 100`."""
    if share in (0.0, 1.0):
        return "all of them" if share else "none of them"
    return "more than 99 of 100" if share > 0.995 else f"{max(1, round(100 * share))} of 100"
