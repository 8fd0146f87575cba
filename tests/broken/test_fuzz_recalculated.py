"""What is accepted recalculates: workbooks of mutants that were read, cell by cell, against a spreadsheet program.

Each time the same few; a long run takes others: TCO_FUZZ=1200 pytest tests/broken/test_fuzz_recalculated.py
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import islice
from pathlib import Path
from typing import Any

import tco
from tco.ask.compare import Comparison
from tco.engine import absent
from tco.errors import TcoError
from tco.write.workbook import write_workbook
from tests.broken.fuzzing import is_long, lean, rounds
from tests.broken.mutate import Mutation, cell_scaled_a_little, mutant, name_odd, row_changed, write
from tests.recalculate import cells, is_error, needs_libreoffice, recalculated_many
from tests.workbook.test_recalculation import agrees, is_money, model_cells

pytestmark = needs_libreoffice
EACH = 8  # workbooks in one run of the spreadsheet program
KINDS: Mapping[str, Mutation] = {  # the first twice, for numbers are what is worked with
    "scaled": cell_scaled_a_little, "scaled again": cell_scaled_a_little, "name": name_odd, "row": row_changed,
}  # fmt: skip


def accepted(folder: Path) -> Iterator[tuple[str, Comparison]]:
    """Mutants that are read and compared, each with its seed and what was changed."""
    for number, seed in enumerate(rounds("recalculated", 60)):
        one = mutant(seed, changes=1 + number % 3, kinds=KINDS)
        study = write(one, folder / str(number))
        try:
            yield f"{seed}: {one.study} {one.how}", tco.compare(tco.load(study))
        except TcoError:
            continue


def differences(comparison: Comparison, stored: Any, found: Any) -> Iterator[tuple[Any, ...]]:
    """Numbers of the model, and other cells of the workbook, that are recalculated to something else."""
    for column, row, sheet, cell in model_cells(comparison):
        wanted, own = float(comparison.of(column)[row]), found[sheet].get(cell)
        if column.blank and column.blank[row]:
            own = 0.0 if own is None else own
        words = absent(column, row, comparison.figures)
        if own != words if words else not agrees(own, wanted, money=is_money(column)):
            yield column.full_name, row, sheet, cell, own, wanted
    for sheet, texts in stored.items():
        for cell, value in texts.items():
            own = found[sheet].get(cell)
            same = agrees(own, value, money=False, size=1e-3) if isinstance(value, int | float) else own == value
            if (not same and value != "") or is_error(own):
                yield sheet, cell, own, value


def wrong(of: Sequence[tuple[str, Comparison]], work: Path) -> list[str]:
    """What differs in some workbooks, recalculated in one run."""
    work.mkdir()
    paths = [work / f"{number}.xlsx" for number in range(len(of))]
    for (_, comparison), path in zip(of, paths, strict=True):
        write_workbook(comparison, path)
    books = zip(of, paths, recalculated_many(paths, work / "again"), strict=True)
    found = ((what, [*islice(differences(made, cells(path), again), 3)]) for (what, made), path, again in books)
    return [f"{what}: {some}" for what, some in found if some]


def test_accepted_mutants_recalculate_cell_by_cell(tmp_path: Path) -> None:
    checked, of = 0, accepted(tmp_path)
    with lean():
        while len(some := [*islice(of, EACH)]) == EACH:
            told = wrong(some, tmp_path / f"books {checked}")
            assert not told, "\n".join(told)
            checked += EACH
            if not is_long():
                break
    assert checked >= EACH
