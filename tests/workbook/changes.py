"""Changing inputs in a workbook and in the study's CSV files alike, and reading figures back by their place."""

from __future__ import annotations

import csv
import io
import random
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import openpyxl

from tco.ask.compare import Comparison, measure_tables
from tco.engine import Column
from tco.errors import Place
from tco.model.shelf import leaned_on
from tco.units import written
from tco.write.layout import layout

WHOLE = ("quantity", "count", "copies", "data", "parity", "voting_nodes", "node_losses", "losses_writing")
SHARED_OUT = ("quantity", "count", "idle")  # what a group of nodes ties together: changing one alone is refused
UP = ("busy", "measured_busy", "noise_busy")  # may not fall below idle
DOWN = ("idle", "measured_idle", "noise_idle", "power_factor")


@dataclass(frozen=True)
class Change:
    """One live input given another value: in the workbook a number, in its CSV file a text."""

    column: Column
    row: int
    place: Place
    value: float
    text: str


def some_changes(comparison: Comparison, rng: random.Random, count: int) -> list[Change]:
    """That many live inputs at random, each with a new value that a study may hold."""
    model = comparison.built.model
    own = [(c, row, place) for c, row, place in model.inputs() if place and not place.file.startswith("reference")]
    counted_above = {column for ground in comparison.built.grounds for column in leaned_on(ground)}
    inputs = [one for one in own if one[0] not in counted_above and not tied(model, *one[:2])]
    return [change(rng, *one) for one in rng.sample(inputs, min(count, len(inputs)))]


def tied(model: Any, column: Column, row: int) -> bool:
    """Whether a group of nodes fixes the value, or what is owned and what is bought would change places."""
    if column.name in ("price", "fetches_today") and column.values[row] == 0:
        return True
    if column.name in ("above", "load"):  # blocks and efficiency curves rise from where they begin
        return True
    if column.name == "traffic":  # the shares of all pools add up to 100 %
        return True
    nodes = [c for c in model.of(column.table) if c.name == "node"]
    return bool(column.name in SHARED_OUT and nodes and nodes[0].values[row])


def change(rng: random.Random, column: Column, row: int, place: Place) -> Change:
    """A new value near the old one; something small where that was 0."""
    old = float(column.values[row])  # type: ignore[index]
    if column.name in WHOLE:
        new = float(int(old) + rng.randint(1, 3))
        return Change(column, row, place, new, str(int(new)))
    low, high = {True: (1.0, 1.4)}.get(column.name in UP, (0.6, 1.0) if column.name in DOWN else (0.6, 1.3))
    digits = f"{old * rng.uniform(low, high):.10f}"
    if old == 0 and column.name not in DOWN:
        digits = f"{rng.uniform(0.01, 0.05):.10f}"
    if column.percent:
        text = f"{100 * min(float(digits), 1.0):.10f}"
        return Change(column, row, place, float(text) * 0.01, f"{text} %")
    return Change(column, row, place, float(digits), f"{digits} {written(column.unit)}".strip())


def change_workbook(comparison: Comparison, path: Path, changes: list[Change]) -> None:
    """Type the new values into the workbook's cells."""
    book, stands = openpyxl.load_workbook(path), layout(comparison.built)
    inputs = list(comparison.built.model.inputs())
    for one in changes:  # scenarios may share a parts list: a row of it has a cell on the sheet of each
        for column, row, place in inputs:
            if place == one.place:
                sheet, cell = stands.cell(column, row)
                assert not str(book[sheet][cell].value).startswith("="), f"{column.full_name} is no input there"
                book[sheet][cell] = one.value
    book.save(path)


def change_study(folder: Path, changes: list[Change]) -> None:
    """Type the new values into the study's CSV files."""
    for one in changes:
        path = folder / one.place.file
        rows = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"))))
        cells, at = rows[one.place.line - 1], one.place.column - 1
        kind = cells[at].split()[-1:] if cells[at].endswith(("real", "nominal")) else []
        cells[at] = " ".join([one.text, *kind])
        buffer = io.StringIO()
        csv.writer(buffer, lineterminator="\n").writerows(rows)
        path.write_text(buffer.getvalue(), encoding="utf-8")


def figures_in(comparison: Comparison, cells: dict[str, dict[str, Any]]) -> dict[tuple[str, str], Any]:
    """(scenario, measure) -> what a workbook's cells hold."""
    stands, model = layout(comparison.built), comparison.built.model
    found = {}
    for ground in comparison.built.grounds:
        for column in (one for table in measure_tables(ground) for one in model.of(table)):
            sheet, cell = stands.cell(column)
            found[ground.scenario.scenario, column.name] = cells[sheet].get(cell)
    return found
