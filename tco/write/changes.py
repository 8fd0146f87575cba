"""What would change the answer, live: the price of electricity, how long it is kept, the needs."""

from __future__ import annotations

from tco.ask.compare import cents
from tco.write.blocks import Draft
from tco.write.board import Board
from tco.write.live import Live, either, fixed, sentence
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
    costs, months = board.values("lcc"), board.values("equivalent_month")
    least = Live(f"MIN({board.span('lcc')})", min(costs))
    place = Live(f"MATCH({least.formula},{board.span('lcc')},0)", costs.index(least.value) + 1)
    first = board.place_of(Live("1", 1))
    lowest = board.figure("lcc", first)
    lower = Live(f"ROUND({least.formula},2)<ROUND({lowest.formula},2)", cents(least.value) < cents(lowest.value))
    month = board.figure("equivalent_month", first)
    span = board.span("equivalent_month")
    apart = Live(f"{month.formula}-INDEX({span},{place.formula})", month.value - months[place.value - 1])
    told = sentence(
        "Needs: without those it misses or leaves unknown, ", board.name(place), " would come first, ",
        fixed(apart, draft.digits), f" {draft.money} a month below ", board.name(first), ".",
    )  # fmt: skip
    return either(lower, told, "")
