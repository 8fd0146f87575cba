"""The line that says whether what the tool computed still fits the inputs.

Failures, ages and hours are computed by the tool and do not follow a change in the workbook. A hidden sheet keeps the
inputs they depend on as they were written and compares them with the cells where a person can change them.
"""

from __future__ import annotations

from dataclasses import dataclass

from tco.engine import Column, Table
from tco.model.shelf import leaned_on
from tco.write import names
from tco.write.blocks import Draft
from tco.write.fits import SHARED, Entry, fits
from tco.write.live import Live, either, sentence, text
from tco.write.page import Page
from tco.write.rows import WITHOUT_EFFECT

BILLED = ("tariff ", "charges ", "hours ", "shape ", "holidays", "home")  # tables on which bills rest
FIRST = 3  # the first row of entries on the hidden sheet


@dataclass(frozen=True)
class Written:
    """All entries, grouped: what all scenarios share first."""

    entries: tuple[Entry, ...]

    def span(self, letter: str, group: str = "") -> str:
        """The cells of a group's entries on the hidden sheet; all of them without a group."""
        rows = [FIRST + n for n, entry in enumerate(self.entries) if group in ("", entry.group)]
        sheet = names.quoted(names.WRITTEN)
        return f"{sheet}${letter}${rows[0] + 1}:${letter}${rows[-1] + 1}" if rows else ""


def written(draft: Draft, failures: list[Entry]) -> Written:
    """Every input that the figures do not follow; `failures`: failure curves, which are no columns of the model."""
    found = [*failures]
    for column in draft.layout.spots:
        if column.sources and not column.live and column.name not in WITHOUT_EFFECT:
            found.extend(entries(draft, column))
    for ground in draft.comparison.built.grounds:
        for column, told in leaned_on(ground).items():
            found.extend(entries(draft, column, told))
    found.extend(fits(draft))
    order = {SHARED: 0}
    return Written(tuple(sorted(found, key=lambda entry: order.setdefault(entry.group, len(order)))))


def entries(draft: Draft, column: Column, told: str = "") -> list[Entry]:
    """One entry a row; told: what the tool computes of it, where not all that rests on its table."""
    told = told or computed_of(draft, column)
    where = column.table.scenario or column.table.label
    rows = column.table.rows if len(column.table.rows) > 1 else [where]
    return [
        Entry(
            column.table.scenario or SHARED,
            draft.layout.absolute(column, row),
            f"{column.label} of {name}" + (f" ({where})" if name != where else "") + " was changed.",
            value if column.unit is None else float(value),
            again(told),
        )
        for row, (name, value) in enumerate(zip(rows, draft.comparison.of(column), strict=True))
    ]


def again(computed: str) -> str:
    """What to say after a change that the figures do not follow."""
    return f"Computed by the tool: {computed}. Run tco again." if computed else "Run tco again."


def computed_of(draft: Draft, column: Column) -> str:
    """What the tool computes of the inputs of a column's table."""
    if column.table.kind in ("fees", "one-offs"):
        return ""  # nothing above the engine rests on them
    scenario = column.table.scenario
    model = draft.comparison.built.model
    if column.table.name == "settings":
        tables = list(model.tables.values())
    else:
        near = {"resale": ("ages",)}.get(column.table.name, ("calendar", column.table.name))
        billed = column.table.name.startswith(BILLED)
        tables = [
            table
            for table in model.tables.values()
            if (table.scenario == scenario if scenario else table.name in near or (billed and is_bill(table)))
        ]
    tables = [table for table in tables if table.kind != "reasons"]  # rates of return say so themselves
    told = [one.computed.split(" (")[0] for table in tables for one in model.of(table) if one.computed]
    return "; ".join(dict.fromkeys(told))


def is_bill(table: Table) -> bool:
    """Whether a table is a bill, the home's or that with a build."""
    return table.name.startswith("home on ") or table.kind == "bill"


def state(kept: Written, scenario: str = "") -> Live:
    """The line for a scenario's sheet, or for the whole workbook."""
    where = "on this sheet and the shared ones" if scenario else "in this workbook"
    fine = f"Figures hold: what tco computed for them still fits the inputs {where}."
    spans = [kept.span("C", group) for group in ((scenario, SHARED) if scenario else ("",))]
    line = text(fine)
    for flags in reversed([span for span in spans if span]):
        line = either(Live(f"SUM({flags})>0", False), out_of_date(flags), line)
    return line


def out_of_date(flags: str) -> Live:
    """What to say where an input differs; nothing does as the workbook is written."""
    first = f"MATCH(1,{flags},0)"
    what, told = (Live(f"INDEX({flags.replace('$C$', f'${letter}$')},{first})", "") for letter in "AD")
    return sentence("Out of date: ", what, " ", told)


def write_written(page: Page, kept: Written) -> None:
    """The hidden sheet."""
    made = page.formats
    page.text(
        0,
        0,
        "What the inputs were when this workbook was written, where results do not follow a change",
        made.get("title"),
    )
    for column, word in enumerate(("input", "as written", "changed (1)", "what tco computed of it")):
        page.text(FIRST - 1, column, word, made.get("head_left"))
    page.sheet.set_column(0, 0, 60)
    page.sheet.set_column(1, 2, 14)
    page.sheet.set_column(3, 3, 80)
    for number, entry in enumerate(kept.entries):
        row = FIRST + number
        page.text(row, 0, entry.what, made.get("label"))
        if isinstance(entry.value, float):
            page.number(row, 1, entry.value, made.get("number"))
        else:
            page.text(row, 1, str(entry.value), made.get("label"))
        page.formula(row, 2, entry.flag(row + 1), 0.0, made.get("number"))
        page.text(row, 3, entry.told, made.get("label"))
    page.sheet.very_hidden()


__all__ = ["Written", "state", "write_written", "written"]
