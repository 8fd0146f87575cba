"""The sheets that belong to no scenario: assumptions, calendar, curves, sources."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from tco.ask.remarks import remarks
from tco.engine import Table
from tco.model.calendar import MONTHS
from tco.study import FailurePoint, ResalePoint, Row
from tco.write import names
from tco.write.blocks import HOW_TO_READ, Draft, draw, heading, widths, without_repeats
from tco.write.fits import SHARED, Entry
from tco.write.layout import HEAD, UNITS, Block
from tco.write.page import EIGHT, NINE, Page, lines_of
from tco.write.rows import BY_NAME, aside, place_of, rows_of
from tco.write.written import again

Line = tuple[str, str, str, str, str]
OF = {"settings": "the study", "needs": "the needs"}
FULL = 610.0  # points of rows on a page one page wide: A4 holds fewer than Letter, and some are to spare
UPRIGHT = 1250.0  # the same where the paper stands upright: five years of months, say
FAILING = "expected failures per unit; ages of what is there when it leaves"


def top(page: Page, title: str, line: str) -> None:
    """What a sheet shows, and how to read it."""
    page.text(0, 0, title, page.formats.get("title"))
    page.points(0, 21)
    page.text(1, 0, line, page.formats.get("line"))


def asked(page: Page, question: str, line: str) -> None:
    """The question over a sheet that answers it, and what kind of figures follow."""
    page.text(0, 0, question, page.formats.get("question"))
    page.points(0, 27)
    page.text(1, 0, line, page.formats.get("line"))


def heads(page: Page, row: int, first: Sequence[str], rest: Sequence[tuple[str, str]], wide: float) -> None:
    """The heads of a table, texts to the left, figures with their units; wide: letters that a figure's head holds."""
    for column, (head, unit) in enumerate([*((text, "") for text in first), *rest]):
        side = "_left" if column < len(first) else ""
        page.text(row, column, head, page.formats.get(f"head{side or '_apart'}"))
        page.text(row + 1, column, unit, page.formats.get(f"mark{side}"))
    page.height(row, max(lines_of(head, wide) for head, _ in rest))


def print_setup(page: Page, rows: int, columns: int = UNITS, *, upright: bool = False) -> None:
    """Landscape unless upright, one page wide, with its name and page number."""
    sheet = page.sheet
    if upright:
        sheet.set_portrait()
    else:
        sheet.set_landscape()
    sheet.set_margins(left=0.4, right=0.4, top=0.5, bottom=0.55)
    sheet.fit_to_pages(1, 0)
    sheet.print_area(0, 0, max(rows - 1, 1), columns)
    sheet.set_footer("&L&8&A&R&8page &P of &N")
    sheet.hide_gridlines(2)


def page_breaks(page: Page, blocks: Sequence[Block], *, first: bool = False, full: float = FULL) -> None:
    """Begin a new page before a block that would be cut, if it fits a page, and before the months.

    first: whether even the first block may begin a page. full: points of rows that a page holds.
    """
    used, breaks = page.tall(0, blocks[0].top), []
    for block, after in zip(blocks, [*blocks[1:], None], strict=True):
        height = page.tall(block.top, after.top if after else block.end)
        if (
            (first or block is not blocks[0])
            and used + height > full
            and (height <= full or block.table.axis == MONTHS)
        ):
            breaks.append(block.top)
            used = 0.0
        used = (used + height) % full
    page.sheet.set_h_pagebreaks(breaks)


def assumptions(page: Page, draft: Draft) -> None:
    """What several scenarios share."""
    widths(page)
    top(page, "Assumptions: what all scenarios share", HOW_TO_READ)
    draw(page, draft)
    end = noted(page, draft, draft.layout.rooms[names.ASSUMPTIONS])
    page.sheet.freeze_panes(2, 1)
    page_breaks(page, on_page(draft, page))
    print_setup(page, end)


def noted(page: Page, draft: Draft, row: int) -> int:
    """What was converted, or carried on beyond its curve, when the workbook was written; returns the row after it."""
    found = remarks(draft.comparison)
    if not found:
        return row
    heading(page, row, "Converted, or carried on beyond a curve's end (as tco ran)")
    for number, text in enumerate(found, start=row + 1):
        page.wide(number, 0, UNITS + 1, page.formats.get("label"), text)
        page.height(number, lines_of(text, 165))
    return row + len(found) + 2


def on_page(draft: Draft, page: Page) -> list[Block]:
    """The blocks that are printed."""
    return [block for block in draft.layout.of(page.name) if block.kind != "beyond"]


def calendar(page: Page, draft: Draft) -> None:
    """The months that all scenarios share."""
    widths(page)
    zone = draft.comparison.study.settings.time_zone
    line = (
        f"True hours of each month in {zone}; what a payment then is worth at the start; data held; price of a kWh."
    )
    top(page, "Calendar: the months that all scenarios share", line)
    draw(page, draft)
    (block, *_) = draft.layout.of(page.name)
    page.sheet.freeze_panes(block.first, 1)
    page.sheet.repeat_rows(block.top + 1, block.first - 1)
    print_setup(page, block.end)


def curves(page: Page, draft: Draft) -> list[Entry]:
    """Failure curves for information, and what resale curves come to by age. Returns the failure curves' cells."""
    widths(page)
    line = (
        "Failure curves take effect only when tco runs again; the points of the resale curves stand on Assumptions."
    )
    top(page, "Curves: how parts fail, and what they fetch by age", line)
    found = list(failure_grid(page, draft))
    draw(page, draft)
    blocks = draft.layout.of(page.name)
    page.sheet.freeze_panes(2, 1)
    print_setup(page, blocks[0].top if blocks else draft.layout.rooms[names.CURVES] + HEAD + len(found))
    return found


def failure_grid(page: Page, draft: Draft) -> Iterator[Entry]:
    """Every point of the failure curves."""
    curves, row = draft.comparison.study.failures, draft.layout.rooms[names.CURVES]
    if not curves:
        return
    made = page.formats
    heading(page, row, "Failure curves: each row holds from its age to the next row's, the last one for ever")
    heads = (
        ("", "", ""),
        ("age", "month", "run again"),
        ("rate", "a year", "run again"),
        ("chance", "a month", "run again"),
    )
    for column, words in enumerate(heads):
        for line, look in enumerate(("head", "unit", "mark"), start=1):
            kind = {0: {"head": "head_left", "unit": "head_left", "mark": "mark_left"}[look]}.get(column, look)
            page.text(row + line, column, words[line - 1], made.get(kind))
    for at, span, word in ((4, 6, "source"), (10, 6, "note")):
        for line, text, look in ((1, word, "head_aside"), (2, "", "head_left"), (3, "", "mark_left")):
            page.wide(row + line, at, span, made.get(look), text)
    points = [point for curve in curves.values() for point in curve]
    asides = without_repeats([(point.source, point.note) for point in points])
    for number, (point, texts) in enumerate(zip(points, asides, strict=True), start=row + HEAD):
        yield from failure_line(page, point, number, texts)


def failure_line(page: Page, point: FailurePoint, row: int, asides: tuple[str, str]) -> Iterator[Entry]:
    """One point of a failure curve."""
    made = page.formats
    page.text(row, 0, point.curve, made.get("label"))
    values = (
        (1, "age", float(point.age), "0"),
        (2, "rate", point.rate, "0.0##%"),
        (3, "chance", point.chance, "0.0##%"),
    )
    for column, field, value, look in values:
        if value is not None:
            page.number(row, column, value, made.get("number", look))
            address = f"{names.quoted(page.name)}${names.letters(column)}${row + 1}"
            what = f"{field} of failure curve {point.curve}, {point.age} months was changed."
            yield Entry(SHARED, address, what, float(value), again(FAILING))
    for at, text in zip((4, 10), asides, strict=True):
        page.wide(row, at, 6, made.get("aside"), text)
    page.height(row, max(lines_of(point.curve, 31), *(lines_of(text, 57, EIGHT) for text in asides)))


def sources(page: Page, draft: Draft) -> None:
    """Where every input comes from."""
    made = page.formats
    top(page, "Sources: where the inputs come from", "One line for each row of the study; settings one by one.")
    heads = (("what", 38), ("of", 26), ("from", 20), ("source", 50), ("note", 60))
    for column, (word, wide) in enumerate(heads):
        page.sheet.set_column(column, column, wide)
        page.text(3, column, word, made.get("mark_left"))
    row = 4
    for texts in source_lines(draft):
        for column, text in enumerate(texts):
            page.text(row, column, text, made.get("aside" if column > 1 else "label"))
        sizes = (
            lines_of(text, wide - 2, EIGHT if n > 1 else NINE)
            for n, (text, (_, wide)) in enumerate(zip(texts, heads, strict=True))
        )
        page.height(row, max(sizes))
        row += 1
    page.sheet.freeze_panes(4, 0)
    page.sheet.repeat_rows(3)
    print_setup(page, row, len(heads) - 1)


def source_lines(draft: Draft) -> Iterator[Line]:
    """(what, of, place, source, note) of every input row with any of these."""
    built = draft.comparison.built
    for table in built.model.tables.values():
        rows = rows_of(built, table)
        if table.name == "resale":
            continue
        if rows and isinstance(rows[0], BY_NAME):
            for column in built.model.of(table):
                source, note = aside(rows[0], column.name)
                yield (
                    column.label,
                    OF[table.name],
                    place_of(rows[0], column.name),
                    source or "left to its default",
                    note,
                )
            continue
        for name, row in zip(table.rows, rows, strict=False):
            yield from source_line(table, name, row)
    for curve, failing in built.study.failures.items():
        yield from curve_lines(curve, "Failure curves", failing)
    for curve, worth in built.study.resale.items():
        yield from curve_lines(curve, "Resale curves", worth)


def curve_lines(curve: str, of: str, points: Sequence[FailurePoint | ResalePoint]) -> Iterator[Line]:
    """The points of a curve, those that follow each other with the same source and note in one line."""
    for (source, note), run in groupby(points, key=lambda point: (point.source, point.note)):
        same = list(run)
        ages = f"{same[0].age} months" if len(same) == 1 else f"{same[0].age} to {same[-1].age} months"
        yield f"{curve}, {ages}", of, place_of(same[0]), source, note


def source_line(table: Table, name: str, row: Row) -> Iterator[Line]:
    """One row of a table, where it says anything about itself."""
    source, note = aside(row)
    if source or note:
        of = (
            f"{table.scenario}: {table.label.lower()}"
            if table.scenario and table.label != table.scenario
            else table.label
        )
        what = table.label if name in ("this scenario",) else name
        yield what, of, place_of(row), source, note
