"""Working out again only what a change touches gives what working out everything gives, to the bit."""

from __future__ import annotations

import random

import numpy as np
import pytest

import tco
from tco.engine import Replay, evaluate
from tco.model import build
from tests.random_studies import random_study

STUDIES = [*(tco.demo().parent / name for name in ("demo", "small", "hours"))]


def changed(model, generator, draws):
    """Some live inputs of a model, a little different in each draw."""
    columns = [column for column in model.columns.values() if column.live and column.unit is not None]
    chosen = generator.sample(columns, min(6, len(columns)))
    noise = np.random.default_rng(generator.randrange(2**32))
    return {one: one.values * (1 + 0.01 * noise.random((draws, len(one.table.rows)))) for one in chosen}


@pytest.mark.parametrize("seed", range(12))
def test_it_is_what_evaluating_everything_gives(seed, tmp_path):
    folder = STUDIES[seed] if seed < len(STUDIES) else random_study(seed, tmp_path)
    built = build(tco.load(folder))
    base = evaluate(built.model)
    wanted = [ground.measure(name) for ground in built.grounds for name in ("lcc", "equivalent_month")]
    replay = Replay(built.model, base, wanted)
    for draws in (1, 3):
        changes = changed(built.model, random.Random(seed), draws)
        whole = evaluate(built.model, changes)
        again = replay(changes)
        assert list(again) == wanted
        for column in wanted:
            assert np.array_equal(*np.broadcast_arrays(again[column], whole[column]))


def test_what_nothing_touches_stays_and_nothing_else_is_kept():
    built = build(tco.load(STUDIES[1]))
    base = evaluate(built.model)
    one = built.grounds[0]
    replay = Replay(built.model, base, [one.measure("lcc")])
    assert replay({})[one.measure("lcc")] is base[one.measure("lcc")]
    price = one.part("price")
    plan = replay.plan(frozenset([price]))
    dropped = [column for _, done in plan for column in done]
    worked = [column for column, _ in plan]
    assert sorted(map(id, dropped)) == sorted(id(column) for column in worked if column is not one.measure("lcc"))
    assert len(worked) < len(built.model.columns) / 4
