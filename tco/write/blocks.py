"""Blocks of a layout on their sheets: headings, labels, units, marks, values and formulas."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from tco.ask.compare import Comparison
from tco.engine import Column, absent, in_words
from tco.study import Row
from tco.units import written
from tco.write.fixed import digits_of
from tco.write.formats import number_format
from tco.write.formulas import column_formulas
from tco.write.layout import BEYOND, UNITS, Block, Layout, is_card
from tco.write.page import EIGHT, Page, lines_of
from tco.write.rows import BY_NAME, WITHOUT_EFFECT, aside, rows_of

LABELS, NARROW, WIDE = 31.0, 9.4, 20.0  # widths of columns, in characters
MAY_CHANGE, RUN_AGAIN, BY_TOOL = "may change", "run again", "by the tool"
HOW_TO_READ = (
    "A dotted line under a value: may be changed here, and the figures follow. Marked 'run again': takes effect only "
    "when tco runs again. Units stand over the figures; costs are positive, income has a minus."
)


@dataclass(frozen=True)
class Draft:
    """What drawing needs: the figures and where they go."""

    comparison: Comparison
    layout: Layout

    @property
    def money(self) -> str:
        return self.comparison.study.settings.currency

    @property
    def digits(self) -> int:
        """Digits after the point of an amount."""
        return digits_of(self.money)


def draw(page: Page, draft: Draft) -> None:
    """All blocks of a page."""
    for block in draft.layout.of(page.name):
        if block.kind == "card":
            draw_card(page, draft, block)
        else:
            draw_grid(page, draft, block)
        for column in block.columns:
            limit(page, draft, column)


def widths(page: Page) -> None:
    """The widths that all pages share, and what stands beyond the page."""
    page.sheet.set_column(0, 0, LABELS)
    page.sheet.set_column(1, UNITS, NARROW)
    page.sheet.set_column(UNITS + 1, UNITS + 1, 3)
    last = BEYOND + 200
    page.sheet.set_column(BEYOND, last, WIDE)


def heading(page: Page, row: int, text: str, left: int = 0, right: int = UNITS) -> None:
    """A heading with a line under it across the page."""
    page.text(row, left, text, page.formats.get("heading"))
    for column in range(left + 1, right + 1):
        page.sheet.write_blank(row, column, None, page.formats.get("rule"))
    page.points(row, 18)


def mark(column: Column) -> str:
    """Whether a column may be changed in the workbook."""
    if column.formula is not None:
        return ""
    if column.live:
        return MAY_CHANGE
    if column.name in WITHOUT_EFFECT:
        return ""
    return RUN_AGAIN if column.sources else BY_TOOL


def label(text: str) -> str:
    """A label as it stands at a line's start."""
    return text if text.startswith("kWh") else text[:1].upper() + text[1:]


def draw_card(page: Page, draft: Draft, block: Block) -> None:
    """A card: one line a column."""
    made = page.formats
    heading(page, block.top, block.heading, right=UNITS if block.aside else words_end(block) - 1)
    heads = (("", "head_left"), ("value", "head"), ("unit", "head_aside"), ("", "head_left"))
    for place, (text, look) in enumerate(heads):
        page.text(block.top + 1, place, text, made.get(look))
    if block.aside:
        left, middle, right = halves(block.aside)
        page.wide(block.top + 1, left, middle - left, made.get("head_aside"), "source")
        page.wide(block.top + 1, middle, right - middle, made.get("head_aside"), "note")
    else:
        page.wide(block.top + 1, 4, words_end(block) - 4, made.get("head_aside"), "how it comes about")
    rows = rows_of(draft.comparison.built, block.table)
    for number, column in enumerate(block.columns):
        card_line(page, draft, block, column, block.first + number, rows)


def words_end(block: Block) -> int:
    """The column after a card's words: beside the measures stands a chart."""
    return 9 if block.table.kind == "measures" else UNITS + 1


def card_line(page: Page, draft: Draft, block: Block, column: Column, row: int, rows: Sequence[Row]) -> None:
    """One line of a card."""
    made = page.formats
    page.text(row, 0, label(titled(column)), made.get("label"))
    is_text = column.unit is None
    if is_text:
        page.wide(row, 1, 2, made.get("text_left"))
    elif column.state is None:
        page.text(row, 2, written(column.unit), made.get("unit_left"))
    write_column(page, draft, column)
    if column.state is None:
        page.text(row, 3, mark(column), made.get("kind"))
    tall = lines_of(str(draft.comparison.of(column)[0]), 2 * NARROW) if is_text else lines_of(titled(column), LABELS)
    if block.aside and rows:
        source, note = aside(rows[0], column.name)
        first = block.columns.index(column) == 0
        if not isinstance(rows[0], BY_NAME) and not first:
            source = note = ""
        tall = max(tall, asides(page, row, 4, source, note))
    elif column.formula is not None:
        words = "" if column.is_words else in_words(column.formula, column.table.scenario)
        words = ". ".join(filter(None, (words, column.note)))
        span = words_end(block) - 4
        page.wide(row, 4, span, made.get("aside"), words)
        tall = max(tall, lines_of(words, span * NARROW - 2, EIGHT))
    page.height(row, tall)


def titled(column: Column) -> str:
    """A column's label; with its unit where words may stand in the place of the value and the unit."""
    unit = "" if column.state is None or column.unit is None else written(column.unit)
    plural = f"{unit}s" if unit in ("month", "year") else unit
    return f"{column.label}, {plural}" if unit else column.label


def asides(page: Page, row: int, left: int, source: str, note: str) -> int:
    """A row's source and note, and how many lines they take."""
    look = page.formats.get("aside")
    _, middle, right = halves(left)
    page.wide(row, left, middle - left, look, source)
    page.wide(row, middle, right - middle, look, note)
    wide = (lines_of(text, n * NARROW - 2, EIGHT) for text, n in ((source, middle - left), (note, right - middle)))
    return max(wide)


def halves(left: int) -> tuple[int, int, int]:
    """Where a row's source starts, where its note starts, and where the page ends."""
    return left, left + (UNITS + 1 - left) // 2, UNITS + 1


def draw_grid(page: Page, draft: Draft, block: Block) -> None:
    """A grid: labels, units and marks over its columns, and its rows."""
    left = block.lefts[0] if block.kind == "beyond" else 0
    heading(page, block.top, block.heading, left, max((UNITS if not left else 0, *block.lefts)))
    if block.kind != "beyond":
        row_labels(page, block)
    for column, at, span in zip(block.columns, block.lefts, block.spans, strict=True):
        if span:
            head(page, block, column, at, span)
            if span > 1:
                for row in range(len(block.table.rows)):
                    page.wide(block.first + row, at, span, page.formats.get("text"))
        write_column(page, draft, column)
    if block.kind != "beyond":
        tall = [aside_rows(page, draft, block), text_rows(draft, block)]
        for row, lines in enumerate(map(max, zip(*tall, strict=True))):
            page.height(block.first + row, lines)
        page.height(block.top + 1, head_lines(draft, block))


def row_labels(page: Page, block: Block) -> None:
    """What names each row; months and years also by number."""
    made = page.formats
    for row, look in ((1, "head_left"), (2, "head_left"), (3, "mark_left")):
        page.text(block.top + row, 0, "", made.get(look))
    if any(span == 0 for span in block.spans):
        return  # a column of the table is its own label
    numbered = block.table.axis == "months"
    for number, name in enumerate(block.table.rows):
        text = f"{name} · month {number}" if numbered and number else name
        page.text(block.first + number, 0, text, made.get("label"))


def head(page: Page, block: Block, column: Column, at: int, span: int) -> None:
    """A column's label, unit and mark, with its formula in words as a comment."""
    made = page.formats
    page.wide(block.top + 1, at, span, made.get("head_apart"), label(column.label))
    unit = "" if column.unit is None else written(column.unit)
    page.wide(block.top + 2, at, span, made.get("unit"), unit)
    page.wide(block.top + 3, at, span, made.get("mark"), mark(column))
    if column.formula is not None or column.computed:
        words = (
            f"by the tool: {column.computed}"
            if column.formula is None
            else "= " + in_words(column.formula, column.table.scenario)
        )
        height = 18 * (1 + lines_of(words, 40))
        options = {"x_scale": 2, "height": min(height, 400), "font_name": "Arial", "font_size": 8}
        page.comment(block.top + 1, at, words[:2000], options)


def head_lines(draft: Draft, block: Block) -> int:
    """The lines that the labels take, of this block and of those beyond the page beside it."""
    beside = [one for one in draft.layout.of(block.sheet) if one.top == block.top]
    heads = (
        lines_of(column.label, (WIDE if one.kind == "beyond" else NARROW * span) - 1.2)
        for one in beside
        for column, span in zip(one.columns, one.spans, strict=True)
        if span
    )
    return max(heads, default=1)


def text_rows(draft: Draft, block: Block) -> list[int]:
    """The lines that each row's label and texts take."""
    tall = [lines_of(name, LABELS) for name in block.table.rows]
    for column, span in zip(block.columns, block.spans, strict=True):
        if span and (column.unit is None or column.is_words):
            texts = shown_figures(draft, column) if column.is_words else draft.comparison.of(column)
            tall = [
                max(lines, lines_of(str(text), span * NARROW - 1)) for lines, text in zip(tall, texts, strict=True)
            ]
    return tall


def aside_rows(page: Page, draft: Draft, block: Block) -> list[int]:
    """Sources and notes of a grid's rows, and the lines that each takes."""
    none = [1] * len(block.table.rows)
    if not block.aside:
        return none
    left, middle, right = halves(block.aside)
    for at, until, word in ((left, middle, "source"), (middle, right, "note")):
        for row, text, look in ((1, word, "head_aside"), (2, "", "head_left"), (3, "", "mark_aside")):
            page.wide(block.top + row, at, until - at, page.formats.get(look), text)
    rows = rows_of(draft.comparison.built, block.table)
    shown = without_repeats([aside(row) for row in rows])
    return [asides(page, block.first + number, left, *texts) for number, texts in enumerate(shown)] or none


def without_repeats(texts: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    """Sources and notes, with a long source that the row above has as well left to that row."""
    before = ["", *(source for source, _ in texts)]
    return [
        ("as above" if source == above and len(source) > 60 else source, note)
        for above, (source, note) in zip(before, texts, strict=False)
    ]


def write_column(page: Page, draft: Draft, column: Column) -> None:
    """Every value of a column: given ones as values, the others as live formulas with what they come to."""
    _, first, left = draft.layout.spots[column]
    if column.unit is None:
        write_texts(page, column, first, left)
        return
    number = number_format(column, draft.money)
    kind = (
        "number"
        if column.state is None
        else "text"
        if column.is_words and not is_card(column.table)
        else "may_be_words"
    )
    look = page.formats.get(kind, number, live=column.live)
    figures = shown_figures(draft, column)
    address = draft.layout.address(page.name)
    if column.formula is not None:
        for row, formula in enumerate(column_formulas(column, address)):
            page.formula(first + row, left, formula, figures[row], look)
        return
    for row, value in enumerate(figures):
        if column.blank and column.blank[row]:
            page.text(first + row, left, "", page.formats.get(kind, number))
        elif column.follows is not None and column.following[row]:
            there = min(row, len(column.follows.table.rows) - 1)
            page.formula(first + row, left, "=" + address(column.follows, there, there), value, look)
        else:
            page.number(first + row, left, value, look)


def shown_figures(draft: Draft, column: Column) -> list[Any]:
    """A column's figures, with words where there is none."""
    figures = draft.comparison.of(column).tolist()
    if column.state is None:
        return figures  # type: ignore[no-any-return]
    return [absent(column, row, draft.comparison.figures) or figure for row, figure in enumerate(figures)]


def write_texts(page: Page, column: Column, first: int, left: int) -> None:
    """A column of text."""
    name = "label" if left == 0 else "text_left" if column.table.kind in ("settings", "inputs") else "text"
    look: Any = page.formats.get(name)
    assert column.values is not None
    for row, text in enumerate(column.values):
        page.text(first + row, left, str(text), look)


def limit(page: Page, draft: Draft, column: Column) -> None:
    """Refuse, in cells that may be changed, what the study would refuse."""
    spec = column.cell
    if not column.live or spec is None:
        return
    least, most = spec.least, spec.most
    low, high = -1e15 if least is None else least, 1e15 if most is None else most
    asked = f"a number from {low:g} to {high:g}" if most is not None else f"a number of at least {low:g}"
    asked = "a number" if least is None else asked
    _, first, left = draft.layout.spots[column]
    rule = {
        "validate": "decimal", "criteria": "between", "minimum": low, "maximum": high,
        "error_title": "This cell wants a number",
        "error_message": f"{label(column.label)}: {asked}."[:255],
    }  # fmt: skip
    page.sheet.data_validation(first, left, first + len(column.table.rows) - 1, left, rule)
