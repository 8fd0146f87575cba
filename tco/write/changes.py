"""What would change the answer, live: the price of electricity, how long it is kept, the needs.

Electricity: a tariff's amounts scale a scenario's bills alike, so two life-cycle costs L with the present values E of
what is billed are level at the factor 1 - (L1 - L2) / (E1 - E2).
"""

from __future__ import annotations

from tco.ask.compare import cents
from tco.model.measure import LEVEL
from tco.write.blocks import Draft
from tco.write.board import Board
from tco.write.live import Live, either, fixed, sentence
from tco.write.sooner import Sooner

CHANGES = "What would change the answer (every other input: tco vary, tco breakeven)"


def changes(draft: Draft, board: Board) -> list[Live]:
    """What would change the answer; nothing where there is one scenario."""
    if len(board.grounds) == 1:
        return []
    return [by_electricity(draft, board), Sooner(board).told(), by_needs(draft, board)]


def by_electricity(draft: Draft, board: Board) -> Live:
    """At which price of electricity the first and the next cost the same."""
    first, second = (board.place_of(Live(str(order), order)) for order in (1, 2))
    apart, billed = (between(board, key, first, second) for key in ("lcc", "electricity worth"))
    one, other = board.name(first), board.name(second)
    depends = Live(f"ABS({billed.formula})>={LEVEL}", abs(billed.value) >= LEVEL)
    times = ratio(apart, billed)
    some = Live(f"{times.formula}>=0", times.value >= 0)
    rises = Live(f"{times.formula}>=1", times.value >= 1)
    more = Live(f"({billed.formula}>0)=({rises.formula})", (billed.value > 0) == rises.value)
    told = sentence(
        "Electricity: at ", fixed(times, 2), " times its price", kwh(draft, board, (first, second), times), " ", one,
        " and ", other, " cost the same; ", either(rises, "dearer", "cheaper"), " than that, ",
        either(more, other, one), " costs less.",
    )  # fmt: skip
    never = sentence("Electricity: no price of it, from nothing up, makes ", one, " and ", other, " change places.")
    return either(depends, either(some, told, never), never)


def between(board: Board, key: str, first: Live, second: Live) -> Live:
    """A figure of one scenario less that of another."""
    one, other = (board.figure(key, place) for place in (first, second))
    return Live(f"({one.formula}-{other.formula})", one.value - other.value)


def ratio(apart: Live, billed: Live) -> Live:
    """The factor on the price of electricity at which two scenarios are level; see the top of the file."""
    value = 1.0 - apart.value / billed.value if billed.value else 0.0
    return Live(f"(1-{apart.formula}/{billed.formula})", value)


def kwh(draft: Draft, board: Board, places: tuple[Live, Live], times: Live) -> Live:
    """What a kWh would cost then, in brackets: of the first scenario that draws any."""
    one, other = (board.figure("kWh price", place) for place in places)
    has = Live(f"{one.formula}>0", one.value > 0)
    price = Live(f"IF({has.formula},{one.formula},{other.formula})", one.value if has.value else other.value)
    then = Live(f"{times.formula}*{price.formula}", times.value * price.value)
    some = Live(f"{price.formula}>0", price.value > 0)
    return either(some, sentence(" (", fixed(then, 3), f" {draft.money} for a kWh, on average)"), "")


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
