"""Why a scenario is not ranked: the needs it misses or leaves open, live, for the summary and the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tco.engine import absent
from tco.model import Ground
from tco.model.needs import AT_MOST, stated_names
from tco.units import written
from tco.write.live import Live, either, fixed, sentence, text

if TYPE_CHECKING:
    from tco.write.board import Board

DIGITS = {"TB": 1, "dB(A)": 1, "MB/s": 0, "W": 0}  # of what is short; money two, whole numbers none


def why_not(board: Board, number: int) -> Live:
    """Each need that is not met, in a phrase: `room for the data held: 0.1 TB short from month 58; `; or nothing."""
    ground = board.grounds[number]
    phrases = [phrase(board, ground, name) for name in stated_names(ground.study)]
    return sentence(*phrases) if phrases else text("")


def phrase(board: Board, ground: Ground, name: str) -> Live:
    """One need: what is short of it, or what is unknown; empty where it is met."""
    verdict = ground.measure(f"need_{name}")
    words = absent(verdict, 0, board.draft.comparison.figures)
    if words.startswith("unknown"):
        return text(f"{verdict.label}: {words}; ")
    if not ground.has_measure(f"need_{name}_from"):
        return text("" if words == "met" else f"{verdict.label}: {words}; ")
    cell = board.draft.layout.absolute(verdict)
    missed = sentence(f"{verdict.label}: ", by_how_much(board, ground, name), "; ")
    return either(Live(f'{cell}="missed"', words == "missed"), missed, "")


def by_how_much(board: Board, ground: Ground, name: str) -> Live:
    """By how much and from when a need is missed."""
    layout, figures = board.draft.layout, board.draft.comparison.figures
    short, since = (ground.measure(f"need_{name}_{what}") for what in ("short", "from"))
    unit = written(short.unit)
    factor = 100 if short.percent else 1
    amount = Live(f"{factor}*{layout.absolute(short)}", factor * float(figures[short][0]))
    month = Live(layout.absolute(since), float(figures[since][0]))
    start = Live(f"{month.formula}=0", month.value == 0)
    when = either(start, "", sentence(" from month ", fixed(month)))
    digits = DIGITS.get(unit, board.draft.digits if ground.money in unit else 0)
    shown = "%" if short.percent else unit
    over = " too much" if name in AT_MOST else " short"
    return sentence(fixed(amount, digits), f" {shown}".rstrip(), over, when)
