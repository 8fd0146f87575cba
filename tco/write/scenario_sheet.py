"""One scenario's sheet: what it comes to, year by year, its parts, its months."""

from __future__ import annotations

from collections.abc import Sequence
from math import fsum

from tco.engine import Ref
from tco.engine.nodes import leaves
from tco.model import LINES, Ground
from tco.write import charts, names
from tco.write.blocks import HOW_TO_READ, Draft, draw, label, widths
from tco.write.layout import BEYOND, UNITS, Block
from tco.write.live import Live, fixed, picked, row_of, sentence
from tco.write.needs_block import needs_block
from tco.write.page import EIGHT, Page, lines_of
from tco.write.shared_sheets import on_page, page_breaks, print_setup, top
from tco.write.written import Written, state

CHART_LEFT = 9  # the column where the chart starts, right of the measures
FINDING = BEYOND  # right of the page, the first row keeps the chart's title


def scenario_sheet(page: Page, draft: Draft, ground: Ground, kept: Written) -> None:
    """The whole sheet."""
    widths(page)
    name, title = ground.scenario.scenario, ground.scenario.title
    about = f"{name}: {title}" if title not in ("", name) else name
    top(page, about, "")
    line = state(kept, name)
    page.wide_formula(1, 0, UNITS + 1, f"={line.formula}", line.value, page.formats.get("state"))
    page.height(1, lines_of(line.value, 185, EIGHT), line=11.5)
    page.text(2, 0, HOW_TO_READ, page.formats.get("hint"))
    draw(page, draft)
    blocks = draft.layout.of(page.name)
    put_chart(page, draft, ground, block_of(blocks, "measures"))
    needs_block(page, draft, ground)
    months = block_of(blocks, "months")
    page.sheet.freeze_panes(2, 1)
    page.sheet.repeat_rows(months.top + 1, months.first - 1)
    page_breaks(page, on_page(draft, page))
    print_setup(page, months.end)


def block_of(blocks: list[Block], table: str) -> Block:
    """The first block of a table."""
    return next(block for block in blocks if block.table.kind == table)


def real_lines(grounds: Sequence[Ground]) -> dict[str, int]:
    """Cost lines that are more than a fixed nothing in any of the scenarios, each with its colour's number."""
    return {
        line.name: number
        for number, line in enumerate(LINES)
        if any(isinstance(leaf, Ref) for ground in grounds for leaf in leaves(ground.month(line.name).formula))  # type: ignore[arg-type]
    }


def put_chart(page: Page, draft: Draft, ground: Ground, beside: Block) -> None:
    """Cost by line and year, beside the measures."""
    layout = draft.layout
    years = block_of(layout.of(page.name), "years")
    shown = real_lines([ground])
    if not shown:
        return
    found = finding(draft, ground)
    where = f"{names.quoted(page.name)}${names.letters(FINDING)}$1"
    page.formula(0, FINDING, f"={found.formula}", found.value, page.formats.get("label"))
    last = len(years.table.rows)
    labels = f"{names.quoted(page.name)}$A${years.first + 1}:$A${years.first + last}"
    series = []
    for line, fill in shown.items():
        column = ground.own("years", line)
        head = layout.cell(column)[1].rstrip("0123456789")
        name = f"{names.quoted(page.name)}${head}${years.top + 2}"
        least = float(draft.comparison.of(column).min())
        series.append(charts.Series(name, labels, layout.absolute(column, 0, last - 1), fill=fill, least=least))
    size = (485, 22 + 17 * (len(beside.columns) + 1))
    money = f"{draft.money}, undiscounted"
    chart = charts.stacked(page.book, "column", series, where, ("", money), size)
    page.sheet.insert_chart(beside.top, CHART_LEFT, chart, {"x_offset": 8, "y_offset": 2, "object_position": 2})


def finding(draft: Draft, ground: Ground) -> Live:
    """What the chart shows: the largest line, and the whole that it is part of."""
    every = [ground.own("measures", f"total_{line.name}") for line in LINES]
    first, last = (draft.layout.absolute(column) for column in (every[0], every[-1]))
    span = f"{first}:{last.rpartition('!')[2]}"  # the lines stand one under the other in the card
    values = [float(draft.comparison.of(column)[0]) for column in every]
    largest = Live(f"MAX({span})", max(values))
    labels = [label(column.label) for column in every]
    named = picked(labels, span.replace("$B$", "$A$"), row_of(values, span, largest))
    short = Live(
        f'LOWER(SUBSTITUTE({named.formula},", undiscounted",""))', named.value.replace(", undiscounted", "").lower()
    )
    gross = Live(f'SUMIF({span},">0")', fsum(value for value in values if value > 0))
    part = (fixed(largest), " of ", fixed(gross), f" {draft.money}, income left out")
    return sentence("Largest cost: ", short, ", ", *part)
