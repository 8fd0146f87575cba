"""What every scenario must deliver, beside what this one does: a block of a scenario's sheet, live."""

from __future__ import annotations

from tco.engine import absent
from tco.model import Ground
from tco.model.needs import AT_MOST, stated_names
from tco.units import written
from tco.write.blocks import Draft, heading, label
from tco.write.layout import CARD_HEAD, UNITS
from tco.write.live import Live
from tco.write.page import Page

HEADS = (("verdict", 1, 3), ("short by", 4, 1), ("unit", 5, 1), ("from month", 6, 1), ("wanted", 7, 2))


def needs_block(page: Page, draft: Draft, ground: Ground) -> None:
    """One line a need: met, missed or unknown; by how much, from which month; what is wanted."""
    wanted = stated_names(ground.study)
    if not wanted:
        return
    made, top = page.formats, draft.layout.rooms[page.name]
    heading(page, top, "What is needed, and whether it is met (from month 0: from the start)")
    page.text(top + 1, 0, "need", made.get("head_left"))
    for word, at, span in HEADS:
        page.wide(top + 1, at, span, made.get("head_left" if at in (1, 5) else "head"), word)
    page.wide(top + 1, 9, UNITS - 8, made.get("head_aside"), "note")
    for row, name in enumerate(wanted, start=top + CARD_HEAD):
        need_line(page, draft, ground, name, row)


def need_line(page: Page, draft: Draft, ground: Ground, name: str, row: int) -> None:
    """One need."""
    made, verdict = page.formats, ground.measure(f"need_{name}")
    page.text(row, 0, label(verdict.label), made.get("label"))
    page.wide(row, 1, 3, made.get("label"))
    put(page, row, 1, told(draft, ground, f"need_{name}"), made.get("label"))
    page.wide(row, 7, 2, made.get("number"))
    if ground.has_measure(f"need_{name}_from"):
        short = ground.measure(f"need_{name}_short")
        look = made.get("number", "0.0%" if short.percent else "#,##0.0#")
        put(page, row, 4, number_only(draft, ground, f"need_{name}_short"), look)
        unit = written(short.unit)
        page.text(row, 5, unit, made.get("unit_left"))
        put(page, row, 6, number_only(draft, ground, f"need_{name}_from"), made.get("number", "0"))
    said = draft.comparison.built.model.columns.get(f"needs.{name}")
    if said is not None and said.unit is not None:
        word = "at most" if name in AT_MOST else "at least"
        cell = Live(draft.layout.absolute(said), float(draft.comparison.of(said)[0]))
        page.formula(row, 7, f"={cell.formula}", cell.value, made.get("number", f'"{word} "#,##0.##'))
    needs = ground.study.needs
    assert needs is not None
    page.wide(row, 9, UNITS - 8, made.get("aside"), needs.sources.get(name, ("", ""))[1])


def put(page: Page, row: int, at: int, live: Live, look: object) -> None:
    """A live cell."""
    page.formula(row, at, f"={live.formula}", live.value, look)


def told(draft: Draft, ground: Ground, name: str) -> Live:
    """A measure that is words."""
    column = ground.measure(name)
    return Live(draft.layout.absolute(column), absent(column, 0, draft.comparison.figures))


def number_only(draft: Draft, ground: Ground, name: str) -> Live:
    """A measure's number; nothing where it is words."""
    column = ground.measure(name)
    cell, words = draft.layout.absolute(column), absent(column, 0, draft.comparison.figures)
    return Live(f'IF(ISNUMBER({cell}),{cell},"")', "" if words else float(draft.comparison.of(column)[0]))
