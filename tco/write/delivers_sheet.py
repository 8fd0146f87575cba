"""What the scenarios deliver and which needs they meet, side by side, live."""

from __future__ import annotations

from tco.ask.compare import Comparison
from tco.engine import absent
from tco.model.needs import stated_names
from tco.write.blocks import Draft
from tco.write.board import Board
from tco.write.formats import MONEY
from tco.write.live import Live, either, fixed, sentence
from tco.write.page import Page, lines_of
from tco.write.shared_sheets import heads, print_setup, top
from tco.write.summary import board_of

WIDTHS, HEAD = (30, 20, 14, *(12.5,) * 10), 11.5

# Measure, what stands over it, its unit, how its numbers look.
FIGURES = (
    ("safe", "Safe after one loss", "TB", "#,##0.0"),
    ("losses_writing", "Nodes that may die, writing on", "", "0"),
    ("read", "Reading, at most", "MB/s", "#,##0"),
    ("write", "Writing, at most", "MB/s", "#,##0"),
    ("one_client_read", "Reading, one client", "MB/s", "#,##0"),
    ("recovery_node", "Recovery of a lost node", "h", "#,##0"),
    ("exposed_hours", "Less redundancy", "h/year", "#,##0.0"),
    ("heat_busy", "Heat when all is busy", "BTU/h", "#,##0"),
    ("circuit_load", "Load of the circuit", "", "0%"),
    ("cost_per_TB", "A month per TB of room", "{money}", MONEY),
)


def is_told(comparison: Comparison) -> bool:
    """Whether any scenario says what it delivers, or any need is stated."""
    rooms = [ground.measure("recommended") for ground in comparison.built.grounds]
    return bool(stated_names(comparison.study)) or not all(absent(one, 0, comparison.figures) for one in rooms)


def delivers_sheet(page: Page, draft: Draft) -> None:
    """The whole sheet: what each scenario delivers, and which needs it meets."""
    board = board_of(draft)
    for column, wide in enumerate(WIDTHS):
        page.sheet.set_column(column, column, wide)
    about = (
        "At its worst over the horizon; every figure follows the inputs. How it comes about: the scenarios' sheets."
    )
    top(page, "What it delivers, side by side", about)
    row = judged(page, board, delivered(page, board, 3) + 1)
    print_setup(page, row, len(FIGURES) + 2)
    page.sheet.freeze_panes(0, 1)


def delivered(page: Page, board: Board, row: int) -> int:
    """The table from a row on; returns the row after it."""
    money = board.draft.money
    units = [(head, unit.format(money=money)) for _, head, unit, _ in FIGURES]
    heads(page, row, ("", "Needs", "A lost node"), units, HEAD)
    for number in range(len(board.grounds)):
        line(page, board, row + 2 + number, number)
    return row + len(board.grounds) + 2


def line(page: Page, board: Board, row: int, number: int) -> None:
    """One scenario."""
    made, last = page.formats, number == len(board.grounds) - 1
    page.text(row, 0, board.grounds[number].scenario.scenario, made.get("strong", last=last))
    for column, live in ((1, verdict(board, number)), (2, rebuilt(board, number))):
        page.formula(row, column, f"={live.formula}", live.value, made.get("label", last=last))
    for column, (key, _, _, look) in enumerate(FIGURES, start=3):
        live = board.shown(number, key)
        page.formula(row, column, f"={live.formula}", live.value, made.get("number", look, last=last))
    page.height(row, lines_of(board.grounds[number].scenario.scenario, WIDTHS[0]), least=16)


def judged(page: Page, board: Board, row: int) -> int:
    """Every need and whether each scenario meets it; returns the row after the table."""
    needs, made = stated_names(board.draft.comparison.study), page.formats
    if not needs:
        return row
    heads(page, row, ("Needs",), [(ground.scenario.scenario, "") for ground in board.grounds], HEAD)
    for below, name in enumerate(needs, start=row + 2):
        columns = [ground.measure(f"need_{name}") for ground in board.grounds]
        page.text(below, 0, columns[0].label, made.get("label"))
        tall = [lines_of(columns[0].label, WIDTHS[0])]
        for place, column in enumerate(columns, start=1):
            words = absent(column, 0, board.draft.comparison.figures)
            page.formula(below, place, f"={board.draft.layout.absolute(column)}", words, made.get("text"))
            tall.append(lines_of(words, WIDTHS[min(place, len(WIDTHS) - 1)]))
        page.height(below, max(tall))
    strong = {
        "type": "text",
        "criteria": "begins with",
        "value": "missed",
        "format": page.book.add_format({"bold": 1}),
    }
    page.sheet.conditional_format(row + 2, 1, row + 1 + len(needs), len(board.grounds), strong)
    return row + 2 + len(needs)


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
