"""Wear by a pool's writes, and spares, are worked out by the tool: the workbook says when an edit leaves them so."""

from __future__ import annotations

import csv
import shutil
from pathlib import Path
from typing import Any

import pytest

import tco
from tco.ask.compare import Comparison
from tco.write.workbook import write_workbook
from tests.recalculate import needs_libreoffice, recalculated_many
from tests.workbook.changes import change_study, change_workbook, figures_in
from tests.workbook.test_needs_live import made

pytestmark = needs_libreoffice
LEFT_BEHIND = {  # edits after which worn drives or spares are other ones, and what is told of them
    "more than one drive a node": ("parts of quiet minis.quantity", 1, 8.0, "8", "Quantity of hard drive 16 TB"),
    "larger drives": ("parts of quiet minis.capacity", 1, 20.0, "20", "Capacity of hard drive 16 TB"),
    "two copies": ("pools of quiet minis.copies", 0, 2.0, "2", "Copies of quiet minis"),
}
FOLLOWED = {  # edits that all figures follow
    "a dearer drive": ("parts of quiet minis.price", 1, 400.0, "400"),
    "a claim": ("parts of quiet minis.claim", 0, 15.0, "15"),
    "a better market": ("settings.resale_level", 0, 1.2, "120 %"),
    "a dearer insurance": ("settings.insurance", 0, 0.015, "1.5 %"),
}


def worn_study(folder: Path) -> Path:
    """The demo with drives that are worn after three years, spares on the shelf, a resale level, insured."""
    shutil.copytree(tco.demo(), folder)
    parts = folder / "quiet-minis.csv"
    with parts.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    next(row for row in rows if row["part"] == "hard drive 16 TB, new")["endurance [TB]"] = "30"
    with parts.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    study = folder / "study.csv"
    more = "spares confidence,99.9 %,,\nspares lead time,60 d,,\nresale level,90 %,,\ninsurance,0.8 %,,\n"
    study.write_text(study.read_text(encoding="utf-8") + more, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> tuple[Comparison, dict[str, dict[str, Any]], dict[str, Path]]:
    """The comparison, its workbook recalculated by edit, and the study edited likewise."""
    root = tmp_path_factory.mktemp("wear")
    before = tco.compare(tco.load(worn_study(root / "study")))
    paths, folders = [], {}
    edits = {"": None, **LEFT_BEHIND, **FOLLOWED}
    for number, (name, edit) in enumerate(edits.items()):
        paths.append(root / f"{number}.xlsx")
        write_workbook(before, paths[-1])
        if edit is not None:
            change = made(before, *edit[:4])
            change_workbook(before, paths[-1], [change])
            folders[name] = Path(shutil.copytree(root / "study", root / str(number)))
            change_study(folders[name], [change])
    return before, dict(zip(edits, recalculated_many(paths, root / "work"), strict=True)), folders


def test_the_study_wears_drives_and_keeps_spares(books):
    before = books[0]
    ground = next(g for g in before.built.grounds if g.scenario.scenario == "quiet minis")
    drive = next(slot for slot in ground.slots if slot.part.part == "hard drive 16 TB, new")
    assert drive.worn.max() > 0.9
    assert sum(spare.count for spare in ground.spares) > 0
    assert before.measure(ground, "total_spares") > 0


def test_all_figures_are_recalculated_alike(books):
    before, found, _ = books
    for key, value in figures_in(before, found[""]).items():
        scenario, name = key
        ground = next(g for g in before.built.grounds if g.scenario.scenario == scenario)
        if isinstance(value, float | int) and ground.has_measure(name):
            assert value == pytest.approx(before.measure(ground, name), rel=1e-9, abs=0.005), key
    assert "Out of date" not in str(found[""]["quiet minis"]["A2"])


@pytest.mark.parametrize("name", LEFT_BEHIND)
def test_an_edit_that_they_do_not_follow_is_told(books, name):
    line = str(books[1][name]["quiet minis"]["A2"])
    assert line.lower().startswith(f"out of date: {LEFT_BEHIND[name][4].lower()}")
    assert "Run tco again" in line


@pytest.mark.parametrize("name", FOLLOWED)
def test_an_edit_that_they_follow_gives_what_a_fresh_run_gives(books, name):
    before, found, folders = books
    fresh = tco.compare(tco.load(folders[name]))
    assert "Out of date" not in str(found[name]["quiet minis"]["A2"])
    figures, moved = figures_in(before, found[name]), 0
    for ground in fresh.built.grounds:
        for measure in (
            "lcc",
            "total_insurance",
            "total_replacement",
            "total_resale",
            "total_spares",
            "undiscounted",
        ):
            wanted = fresh.measure(ground, measure)
            assert figures[ground.scenario.scenario, measure] == pytest.approx(wanted, rel=1e-9, abs=0.005)
        same = next(g for g in before.built.grounds if g.scenario.scenario == ground.scenario.scenario)
        moved += abs(fresh.measure(ground, "lcc") - before.measure(same, "lcc")) > 0.01
    assert moved
