"""What the scenarios deliver, side by side: the second table of the summary, live."""

from __future__ import annotations

from tco.ask.compare import Comparison
from tco.engine import absent
from tco.model.needs import stated_names
from tco.write.board import Board
from tco.write.formats import MONEY
from tco.write.live import Live, either, fixed, sentence
from tco.write.page import Page, lines_of

# Measure, what stands over it, its unit, how its numbers look.
FIGURES = (
    ("safe", "Safe after one loss", "TB", "#,##0.0"),
    ("losses_writing", "Nodes that may die, writing on", "", "0"),
    ("read", "Reading, at most", "MB/s", "#,##0"),
    ("write", "Writing, at most", "MB/s", "#,##0"),
    ("one_client_read", "Reading, one client", "MB/s", "#,##0"),
    ("recovery_node", "A lost node is made good in", "h", "#,##0"),
    ("exposed_hours", "Less redundancy", "h/year", "#,##0.0"),
    ("heat_busy", "Heat when all is busy", "BTU/h", "#,##0"),
    ("circuit_load", "Load of the circuit", "", "0%"),
    ("cost_per_TB", "A month per TB of room", "{money}", MONEY),
)


def is_told(comparison: Comparison) -> bool:
    """Whether any scenario says what it delivers, or any need is stated."""
    rooms = [ground.measure("recommended") for ground in comparison.built.grounds]
    return bool(stated_names(comparison.study)) or not all(absent(one, 0, comparison.figures) for one in rooms)


def delivers_block(page: Page, board: Board, row: int, height: float) -> int:
    """The table from a row on; returns the row after it. height: characters that a narrow column holds."""
    comparison, made = board.draft.comparison, page.formats
    if not is_told(comparison):
        return row
    money = comparison.study.settings.currency
    heads = [
        ("What it delivers", ""),
        ("Needs", ""),
        ("A lost node", ""),
        *((head, unit) for _, head, unit, _ in FIGURES),
    ]
    for column, (head, unit) in enumerate(heads):
        side = "_left" if column < 3 else ""
        page.text(row, column, head, made.get(f"head{side or '_apart'}"))
        page.text(row + 1, column, unit.format(money=money), made.get(f"mark{side}"))
    page.height(row, max(lines_of(head, height) for head, _ in heads[3:]))
    for number in range(len(board.grounds)):
        line(page, board, row + 2 + number, number)
    return row + len(board.grounds) + 3


def line(page: Page, board: Board, row: int, number: int) -> None:
    """One scenario."""
    made, last = page.formats, number == len(board.grounds) - 1
    page.text(row, 0, board.grounds[number].scenario.scenario, made.get("strong", last=last))
    for column, live in ((1, verdict(board, number)), (2, rebuilt(board, number))):
        page.formula(row, column, f"={live.formula}", live.value, made.get("label", last=last))
    for column, (key, _, _, look) in enumerate(FIGURES, start=3):
        live = board.shown(number, key)
        page.formula(row, column, f"={live.formula}", live.value, made.get("number", look, last=last))
    page.height(row, lines_of(board.grounds[number].scenario.scenario, 20), least=16)


def verdict(board: Board, number: int) -> Live:
    """`meets all`, or how many needs are missed and how many are unknown."""
    if not stated_names(board.draft.comparison.study):
        return Live('"none stated"', "none stated")
    counts = {word: board.measure(number, f"needs_{word}") for word in ("missed", "unknown")}
    none = Live(
        f"{counts['missed'].formula}+{counts['unknown'].formula}=0", sum(one.value for one in counts.values()) == 0
    )
    told = sentence("missed: ", fixed(counts["missed"]), ", unknown: ", fixed(counts["unknown"]))
    return either(none, "meets all", told)


def rebuilt(board: Board, number: int) -> Live:
    """Whether a lost node is rebuilt on the others."""
    column = board.grounds[number].measure("rebuild")
    cell, words = board.draft.layout.absolute(column), absent(column, 0, board.draft.comparison.figures)
    told = either(Live(f'{cell}="only if less full"', words == "only if less full"), "if less full", "unknown")
    for said, shown in (("no", "waits"), ("yes", "is rebuilt")):
        told = either(Live(f'{cell}="{said}"', words == said), shown, told)
    return told
