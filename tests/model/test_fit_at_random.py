"""Does it fit: parts lists at random, against places counted part by part, as properties, and recalculated."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tco
from tco.engine import absent
from tco.study import Amount, Part
from tests.engine.layout import SHEET, Layout
from tests.model.places import HORIZON, NODES, SHOWN, UNITS, Found, Row, by_month, counted, random_fit, random_rows
from tests.recalculate import needs_libreoffice, recalculated

SEEDS = st.integers(0, 10_000)
tried = settings(max_examples=25, deadline=None, derandomize=True)


@tried
@given(SEEDS)
def test_every_month_is_as_counted_part_by_part(seed: int) -> None:
    rows, fit = random_rows(seed), random_fit(seed).fit()
    for month in range(1, HORIZON + 1):
        wanted, found = counted(rows, month), by_month(fit, month)
        assert set(found) == set(wanted)
        for place, (provided, needed) in wanted.items():
            words = "does not fit" if needed > provided else "all taken" if needed == provided else "fits"
            assert found[place][:3] == pytest.approx((provided, needed, provided - needed), rel=1e-12, abs=1e-12)
            assert found[place][3] == words


@tried
@given(SEEDS)
def test_the_room_for_a_drive_is_what_still_fits(seed: int) -> None:
    rows, room = random_rows(seed), random_fit(seed).room()
    for number, row in enumerate(rows):
        there = row.quantity and row.bought < HORIZON <= row.leaves
        more = room.get(f"more of part {number} in each {row.node}")
        assert (more is not None) == bool(there and row.drive and row.node and row.needs)
        if more is not None:
            assert more == math.floor(more) >= 0
            assert more == 0 or fits_with(rows, number, int(more))
            assert not fits_with(rows, number, int(more) + 1)
            adds = room[f"raw capacity that adds, part {number}"]
            assert adds == pytest.approx(8 * more * NODES[row.node])


def fits_with(rows: list[Row], number: int, more: int) -> bool:
    """Whether all that a drive takes is there at the end, with so many more of it in each node; it offers no more."""
    row = rows[number]
    added = replace(row, quantity=more * NODES[row.node], provides={})
    sums = counted([*rows, added], HORIZON)
    own = {name for other in rows if other.node == row.node and other.quantity for name in other.provides}
    places = [f"{f'each {row.node}' if name in own else 'shared'}: {SHOWN[name]}" for name in row.needs]
    return all(needed <= provided for provided, needed in (sums[place] for place in places))


@tried
@given(SEEDS, st.sampled_from(["", *NODES]), st.sampled_from(sorted(UNITS)), st.integers(1, 9), st.floats(0.01, 100))
def test_a_further_part_leaves_less_by_what_it_needs(
    seed: int, node: str, name: str, each: int, amount: float
) -> None:
    before = random_fit(seed)
    study, count = before.comparison.study, NODES.get(node, 1)
    (box,) = study.scenarios
    own = any(
        part.node == node and part.quantity and name in {one.name for one in part.provides} for part in box.parts
    )
    needs = (Amount(amount, UNITS[name][0][0], name),)
    added = replace(
        box.parts[0], part="added", node=node, quantity=each * count, provides=(), needs=needs, bought=0, leaves=None
    )
    after = Found(tco.compare(replace(study, scenarios=(replace(box, parts=(*box.parts, added)),))))
    place = f"{f'each {node}' if node and own else 'shared'}: {SHOWN[name]}"
    takes = each * amount if node and own else each * count * amount
    old, new = before.fit(), after.fit()
    for label, row in new.items():
        less = takes if label.endswith(place) else 0.0
        assert row[2] == pytest.approx(old.get(label, (0, 0, 0))[2] - less, rel=1e-9, abs=1e-7)


@tried
@given(SEEDS, st.integers(2, 5))
def test_more_nodes_alike_leave_the_same_in_each(seed: int, factor: int) -> None:
    before = random_fit(seed)
    (box,) = before.comparison.study.scenarios

    def scaled(row: Part) -> Part:
        return replace(row, quantity=row.quantity * factor)

    nodes = tuple(replace(node, count=node.count * factor) for node in box.nodes)
    more = replace(box, parts=tuple(map(scaled, box.parts)), nodes=nodes)
    after = Found(tco.compare(replace(before.comparison.study, scenarios=(more,)))).fit()
    for label, row in before.fit().items():
        times = factor if "shared" in label else 1
        assert after[label][:3] == pytest.approx([times * figure for figure in row[:3]], rel=1e-12, abs=1e-9)
        assert after[label][3] == row[3]


# recalculated


@needs_libreoffice
def test_the_cells_say_the_same(tmp_path: Path) -> None:
    layout, kept = Layout(), []
    for seed in range(12):
        found = random_fit(seed)
        tables = [table for table in found.ground.model.tables.values() if table.kind in KINDS]
        columns = [column for table in tables for column in found.ground.model.of(table)]
        needed = [column for column in columns if column.table.kind not in GIVEN or column.values is not None]
        layout.add(sorted(needed, key=[*found.ground.model.columns.values()].index))
        kept += [(found, column) for column in needed if column.table.kind not in GIVEN]
    cells = recalculated(layout.save(tmp_path / "fit.xlsx"), tmp_path / "work")[SHEET]
    for found, column in kept:
        for row in range(len(column.table.rows)):
            cell = cells.get(layout.cell(column, row))
            if column.state is None:
                assert cell == pytest.approx(found.number(column, row), rel=1e-9, abs=1e-9), column
            else:
                assert cell == absent(column, row, found.comparison.figures)
    assert len(kept) > 100


GIVEN = ("parts", "nodes")
KINDS = (*GIVEN, "takes", "fit", "room")
