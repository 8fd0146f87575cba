"""What would change the answer, live: the price of electricity, how long it is kept, the needs."""

from __future__ import annotations

from tco.ask.compare import cents
from tco.write.blocks import Draft
from tco.write.board import Board
from tco.write.live import Live, either, fixed, row_of, sentence
from tco.write.page import Page
from tco.write.priced import Priced
from tco.write.sooner import Sooner

CHANGES = "What would change the answer (every other input: tco vary, tco breakeven)"
ALONE = "No other scenario meets all needs, so neither the price of electricity nor time changes who comes first."


def changes(draft: Draft, board: Board) -> list[Live]:
    """What would change the answer; nothing where there is one scenario."""
    if len(board.grounds) == 1:
        return []
    sooner, priced = cells(board)
    counted = board.values("counted")
    alone = Live(f"SUM({board.span('counted')})=1", sum(counted) == 1)
    return [either(alone, ALONE, priced.told()), either(alone, "", sooner.told()), by_needs(draft, board)]


def cells(board: Board) -> tuple[Sooner, Priced]:
    """What stands right of the page for these sentences."""
    sooner = Sooner(board, max(board.columns.values()) + 1)
    return sooner, Priced(board, sooner.left + len(sooner.periods))


def write_cells(page: Page, board: Board) -> None:
    """Put it there."""
    for block in cells(board):
        block.write(page)


def by_needs(draft: Draft, board: Board) -> Live:
    """Who would cost least if needs did not count; nothing where it is the same one."""
    costs, span = board.values("lcc"), board.span("lcc")
    least = Live(f"MIN({span})", min(costs))
    place, first = row_of(costs, span, least), board.place_of(Live("1", 1))
    lowest = board.figure("lcc", first)
    lower = Live(f"ROUND({least.formula},2)<ROUND({lowest.formula},2)", cents(least.value) < cents(lowest.value))
    month, other = (board.figure("equivalent_month", one) for one in (first, place))
    apart = Live(f"{month.formula}-{other.formula}", month.value - other.value)
    told = sentence(
        "Needs: without those it misses or leaves unknown, ", board.name(place), " would come first, ",
        fixed(apart, draft.digits), f" {draft.money} a month below ", board.name(first), ".",
    )  # fmt: skip
    return either(lower, told, "")
