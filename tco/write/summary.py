"""The first sheet: the question, the answer in plain sentences, the scenarios in one table, two charts, cautions."""

from __future__ import annotations

from dataclasses import dataclass

from tco.ask.compare import Comparison
from tco.model import LINES, Ground
from tco.study import Settings
from tco.write import charts, names
from tco.write.answer import answers
from tco.write.assumed import assumed
from tco.write.blocks import Draft
from tco.write.board import Board
from tco.write.cautions import CAUTIONS
from tco.write.changes import CHANGES, changes, write_cells
from tco.write.formats import MONEY, WHOLE_MONEY
from tco.write.live import Live, either, fixed, picked, row_of, sentence, text
from tco.write.page import BOLD, TWELVE, Page, lines_of
from tco.write.scenario_sheet import real_lines
from tco.write.shared_sheets import heads, print_setup
from tco.write.written import Written, state

LAST = 12  # the page's last column
HELP = 15  # from here on: what only formulas and charts need
WIDTHS, HEAD = (20, 34, 15, *(11.6,) * 10), 10.5
ANSWERS = 3  # the row of the first sentence
TABLE = ANSWERS + 8  # the row of the first scenario
CHART_ROWS = 17  # of the usual height, under the charts
MAY_BE_WORDS = ("recommended", "node_losses", "noise_busy")


@dataclass(frozen=True)
class Shown:
    """One figure of the table: what stands over it, and the measure it comes from."""

    key: str
    head: str
    unit: str
    look: str = WHOLE_MONEY


def figures(draft: Draft) -> list[Shown]:
    """The table's figures, in the order in which a household asks."""
    money, kept = draft.money, kept_for(draft.comparison.study.settings.horizon)
    return [
        Shown("paid_at_start", "Paid at the start", money),
        Shown("equivalent_month", "A month, spread evenly", money, MONEY),
        Shown("total_electricity", f"Electricity, {kept}", money),
        Shown("lcc", f"Life-cycle cost, {kept}", money),
        Shown("saved_a_month", "Saved a month against baseline", money, MONEY),
        Shown("ahead", "Ahead of baseline to the end", "from month"),
        Shown("recommended", "Room, within the fill limit", "TB", "#,##0.0"),
        Shown("node_losses", "Nodes that may die, no data lost", "", "0"),
        Shown("noise_busy", "At the bed, when busy", "dB(A)", "0"),
        Shown("first_power", "Power, month 1", "W", "#,##0"),
    ]


def kept_for(horizon: int) -> str:
    """The horizon in words: `5 years`, `30 months`, `1 year`."""
    count, unit = (horizon // 12, "year") if horizon % 12 == 0 else (horizon, "month")
    return f"{count} {unit}{'' if count == 1 else 's'}"


def over_what(settings: Settings) -> str:
    """What costs are counted over and in: `5 years from 2026-12, in EUR`."""
    since = f"{settings.start:%Y-%m}"
    kind = "" if settings.money == "nominal" else f" of {since} (real: inflation is left out)"
    return f"{kept_for(settings.horizon)} from {since}, in {settings.currency}{kind}"


def about(comparison: Comparison) -> str:
    """What is compared: over how long, in which money, against what."""
    baseline = comparison.built.baseline.scenario.scenario
    return f"{over_what(comparison.study.settings)}. Measured against: {baseline}."


def summary(page: Page, draft: Draft, kept: Written) -> None:
    """The whole sheet."""
    made, study = page.formats, draft.comparison.study
    for column, wide in enumerate(WIDTHS):
        page.sheet.set_column(column, column, wide)
    page.text(0, 0, study.settings.question, made.get("question"))
    page.sheet.set_row(0, 27)
    page.text(
        1, 0, f"{about(draft.comparison)} Every figure here follows the inputs on the other sheets.", made.get("line")
    )
    board = table(page, draft)
    write_cells(page, board)
    write_answers(page, draft, board)
    row = TABLE + len(draft.comparison.built.grounds) + 1
    put_charts(page, draft, board, row)
    row = below(page, row + CHART_ROWS, CHANGES, changes(draft, board))
    row = below(page, row, "What was assumed", assumed(draft, board, kept_for(study.settings.horizon)))
    row = below(page, row, "Before you decide", [text(f"· {caution}") for caution in CAUTIONS])
    line = state(kept)
    page.wide_formula(row, 0, LAST + 1, f"={line.formula}", line.value, made.get("small"))
    page.height(row, lines_of(line.value, 175))
    print_setup(page, row + 1, LAST)
    page.sheet.fit_to_pages(1, 1)
    page.sheet.center_horizontally()


def board_of(draft: Draft) -> Board:
    """The table's cells."""
    return Board(draft, names.SUMMARY, TABLE, {one.key: 3 + n for n, one in enumerate(figures(draft))}, HELP)


def table(page: Page, draft: Draft) -> Board:
    """The scenarios, one a row, with live references to their sheets."""
    shown, board = figures(draft), board_of(draft)
    heads(page, TABLE - 2, ("", "What it is", ""), [(one.head, one.unit) for one in shown], HEAD)
    for number, ground in enumerate(board.grounds):
        table_row(page, draft, board, shown, number, ground)
    return board


def table_row(page: Page, draft: Draft, board: Board, shown: list[Shown], number: int, ground: Ground) -> None:
    """One scenario's row, and its helpers right of the page."""
    made, row = page.formats, board.first + number
    is_last = number == len(draft.comparison.built.grounds) - 1
    page.text(row, 0, ground.scenario.scenario, made.get("strong", last=is_last))
    page.text(row, 1, ground.scenario.title, made.get("label", last=is_last))
    word = board.place_word(number)
    page.formula(row, 2, f"={word.formula}", word.value, made.get("strong", last=is_last))
    for one in shown:
        live = figure_of(board, number, one.key)
        look = made.get("number", "0" if one.key == "ahead" else one.look, last=is_last)
        page.formula(row, board.columns[one.key], f"={live.formula}", live.value, look)
    texts = ((ground.scenario.title, WIDTHS[1]), (ground.scenario.scenario, WIDTHS[0]), (word.value, WIDTHS[2]))
    tall = max(lines_of(text, wide, BOLD) for text, wide in texts)
    page.height(row, tall, least=16)
    for key, live in board.helpers(number).items():
        page.formula(row, board.columns[key], f"={live.formula}", live.value, made.get("number"))
        page.text(board.first - 2, board.columns[key], key, made.get("head"))


def figure_of(board: Board, number: int, key: str) -> Live:
    """One figure of a scenario's row."""
    if key == "ahead":
        return board.state(number)
    return board.shown(number, key) if key in MAY_BE_WORDS else board.measure(number, key)


def write_answers(page: Page, draft: Draft, board: Board) -> None:
    """The sentences."""
    look = page.formats.get("answer")
    for row, line in enumerate(
        answers(draft, board, kept_for(draft.comparison.study.settings.horizon)), start=ANSWERS
    ):
        page.wide_formula(row, 0, LAST + 1, f"={line.formula}", line.value, look)
        page.height(row, lines_of(line.value, 182, TWELVE), line=15.5, least=18)


def below(page: Page, row: int, heading: str, lines: list[Live]) -> int:
    """Lines under a heading with a rule; returns the row after them. Nothing where there are none."""
    if not lines:
        return row
    page.text(row, 0, heading, page.formats.get("heading"))
    for column in range(1, LAST + 1):
        page.sheet.write_blank(row, column, None, page.formats.get("rule"))
    for number, line in enumerate(lines, start=row + 1):
        page.wide_formula(number, 0, LAST + 1, f"={line.formula}", line.value, page.formats.get("small"))
        page.height(number, lines_of(line.value, 175))
    return row + 1 + len(lines)


def put_charts(page: Page, draft: Draft, board: Board, row: int) -> None:
    """Cost by line, and what is cost so far, side by side."""
    titles = (by_line_title(draft, board), running_title(draft, board))
    cells = []
    for number, title in enumerate(titles):
        page.formula(number, HELP, f"={title.formula}", title.value, page.formats.get("label"))
        cells.append(f"{names.quoted(page.name)}${names.letters(HELP)}${number + 1}")
    left = by_line(page, draft, board, cells[0])
    right = so_far(page, draft, board, cells[1])
    page.sheet.insert_chart(row, 0, left, {"x_offset": 2, "object_position": 2})
    page.sheet.insert_chart(row, 0, right, {"x_offset": charts.SUMMARY_SIZE[0] + 16, "object_position": 2})


def by_line(page: Page, draft: Draft, board: Board, title: str) -> object:
    """One bar a scenario, cut into its cost lines."""
    labels = {line.name: line.label for line in LINES}
    series = []
    for name, fill in real_lines(draft.comparison.built.grounds).items():
        key = f"line {name}"
        page.text(board.first - 2, board.columns[key], labels[name], page.formats.get("head"))
        head = f"{names.quoted(page.name)}${names.letters(board.columns[key])}${board.first - 1}"
        series.append(
            charts.Series(head, board.span("scenario"), board.span(key), fill=fill, least=min(board.values(key)))
        )
    axes = ("", f"{draft.money} over {kept_for(draft.comparison.study.settings.horizon)}, undiscounted")
    return charts.stacked(page.book, "bar", series, title, axes, charts.SUMMARY_SIZE)


def by_line_title(draft: Draft, board: Board) -> Live:
    """Which line is the largest of the scenario that costs most, undiscounted as the bars are, income left out."""
    totals, span = board.values("gross"), board.span("gross")
    most = Live(f"MAX({span})", max(totals))
    place = row_of(totals, span, most)
    of, amount = (picked(board.values(key), board.span(key), place) for key in ("largest line", "largest amount"))
    part = (fixed(amount), " of ", fixed(most), f" {draft.money}, income left out")
    finding = sentence("Largest cost of ", board.name(place), ": ", of, ", ", *part)
    return either(Live(f"{most.formula}>0", most.value > 0), finding, f"Cost by line, {draft.money}")


def running_title(draft: Draft, board: Board) -> Live:
    """Who has cost least at the end, resale left out, ranked or not."""
    values, span = board.values("paid"), board.span("paid")
    least = Live(f"MIN({span})", min(values))
    place = row_of(values, span, least)
    end = (" has cost least by the end, ", fixed(least), f" {draft.money}, resale left out")
    return sentence(board.name(place), either(board.is_ranked(place), "", " (not ranked)"), *end)


def so_far(page: Page, draft: Draft, board: Board, title: str) -> object:
    """What each scenario has cost by each month, and where it meets the baseline."""
    stands, horizon = draft.layout, draft.comparison.study.settings.horizon
    months = stands.absolute(draft.comparison.built.model["calendar.month"], 0, horizon)
    series, meets = [], []
    for number, ground in enumerate(board.grounds):
        name = board.cell("line", number)
        values = stands.absolute(ground.month("cumulative"), 0, horizon)
        series.append(charts.Series(name, months, values, strong=ground.scenario.baseline))
        if not ground.scenario.baseline:
            point = charts.Series(name, board.cell("meets at", number), board.cell("meets with", number))
            meets.append(point)
    axes = ("month", f"{draft.money} cost so far, undiscounted")
    return charts.running(page.book, series, meets, title, axes, horizon)


__all__ = ["about", "board_of", "by_line_title", "kept_for", "over_what", "running_title", "summary"]
