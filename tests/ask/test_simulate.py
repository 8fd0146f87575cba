"""A simulation is the study's own model: what it draws, put into the model unit by unit, gives the same costs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

import tco
from tco.ask import inputs
from tco.ask.fleet import Fleet, columns_of
from tco.ask.luck import BLOCK, Luck, triangular
from tco.ask.simulate import Simulation, by_likely, simulate
from tco.engine import evaluate
from tco.errors import DrawsError, StoppedError
from tests.random_studies import random_study

SHOWN = 12  # draws that are put into the model one by one


def study_of(seed, folder):
    return tco.demo().parent / ("demo", "small", "hours")[seed] if seed < 3 else random_study(seed, folder)


def drawn_columns(fleet, lives, draw):
    """What the model's given columns are in one draw: whole units over the number of units of a row."""
    own = lives.draw == draw
    ground, found = fleet.ground, {}
    months = ground.horizon + 1
    for place, slot in enumerate(fleet.slots):
        here = own & (lives.slot == place)

        def by_month(flags, here=here, slot=slot):
            return np.bincount(lives.month[here & flags], minlength=months) / slot.part.quantity

        found[f"failures {slot.key}"] = by_month(~lives.worn)
        found[f"worn {slot.key}"] = by_month(lives.worn)
        kinds = [number for number, kind in enumerate(fleet.kinds) if kind.slot == place]
        for number, stay in zip(kinds, slot.stays, strict=True):
            came = np.zeros(months)
            if number == kinds[0]:
                came[slot.part.bought] = slot.part.quantity
            came += np.bincount(lives.month[here & (lives.takes == number)], minlength=months)
            came -= np.bincount(lives.came[here & (lives.kind == number)], minlength=months)
            name = f"{slot.key} {stay.row}"
            assert (came >= 0).all()
            found[f"covered {name}"] = by_month(lives.covered & (lives.kind == number))
            found[f"arrivals {name}"] = came / slot.part.quantity
            found[f"there {name}"] = np.where(np.arange(months) == slot.leaves, came.sum() / slot.part.quantity, 0.0)
            found[f"survives {name}"], found[f"since {name}"] = np.ones(months), np.zeros(months)
    return {ground.own("units", name): one for name, one in found.items() if ground.has("units", name)}


@pytest.mark.parametrize("seed", range(16))
def test_draws_put_into_the_model_give_the_same_costs(seed, tmp_path):
    """Inputs that vary with them: the demo has nine ranges, the failure rate among them."""
    comparison = tco.compare(tco.load(study_of(seed, tmp_path)))
    run = Simulation(comparison, 100, 7)
    luck, rows = Luck(7, 0, run.units), slice(0, 512)
    uniform = luck.of_inputs(len(run.ranges))[rows]
    batch = run.batch(luck, rows, uniform)
    busiest = np.argsort(-sum(one.counts().sum(axis=0) for one in batch), kind="stable")[:SHOWN]
    for draw in busiest:
        varied = {part: values for n, (one, low, high) in enumerate(run.ranges) if one.cells
                  for part, values in by_likely(one, low, high, uniform[[draw], n])}  # fmt: skip
        changes = dict(inputs.changes(comparison, varied)) if varied else {}
        for table, drawn in zip(run.tables, batch, strict=True):
            changes |= drawn_columns(table.fleet, drawn.lives, draw)
        figures = {
            column: np.atleast_2d(found)[0] for column, found in evaluate(comparison.built.model, changes).items()
        }
        for table, drawn in zip(run.tables, batch, strict=True):
            ground = table.ground
            scale = 1 + sum(abs(figures[ground.month(name)]).sum() for name in ("present_value", "total"))
            assert drawn.lcc[draw] == pytest.approx(figures[ground.measure("lcc")][0], abs=1e-9 * scale)
            cash = figures[ground.own("years", "total")] - figures[ground.own("years", "owned")]
            assert drawn.cash[draw] == pytest.approx(cash, abs=1e-9 * scale)
            month = figures[ground.measure("equivalent_month")][0]
            assert drawn.equivalent_month[draw] == pytest.approx(month, abs=1e-9 * scale)


def test_alike_scenarios_differ_in_no_draw_and_a_seed_says_it_all():
    study = replace(tco.load(tco.demo()), ranges=())
    twin = replace(study.scenarios[0], scenario="twin", baseline=False)
    comparison = tco.compare(replace(study, scenarios=(*study.scenarios, twin)))
    first, again = (simulate(comparison, 5000, 3) for _ in range(2))
    assert (first.outcomes, first.duels) == (again.outcomes, again.duels)
    assert simulate(comparison, 5000, 4).outcomes != first.outcomes
    pair = next(one for one in first.duels if {one.one, one.other} == {"twin", study.scenarios[0].scenario})
    assert pair.costs_less.share == pair.difference.mean == pair.difference.p90 == 0.0


def test_the_first_draws_of_a_long_run_are_a_short_one():
    run = Simulation(tco.compare(tco.load(tco.demo())), 3 * BLOCK, 1)
    short = Simulation(run.comparison, BLOCK + 100, 1)
    long_draws = np.concatenate([batch[0].lcc for _, batch in run.batches()])
    short_draws = np.concatenate([batch[0].lcc for _, batch in short.batches()])
    assert np.array_equal(short_draws, long_draws[: BLOCK + 100])


@pytest.mark.parametrize(("low", "likely", "high"), [(0, 0, 1), (0, 1, 1), (-3, 2, 4), (0.8, 1.0, 2.5), (5, 5, 5)])
def test_triangular_values_are_the_libraries(low, likely, high):
    uniform = np.linspace(0, 1, 1001)
    mine = triangular(uniform, low, likely, high)
    if low == high:
        assert (mine == low).all()
        return
    theirs = stats.triang.ppf(uniform, (likely - low) / (high - low), loc=low, scale=high - low)
    assert mine == pytest.approx(theirs, abs=1e-12)


def test_lives_follow_the_curve_they_are_drawn_from():
    """Months of first failure of new units against the curve: Kolmogorov's distance, as scipy has it, at 0.1 %."""
    comparison = tco.compare(replace(tco.load(tco.demo()), ranges=()))
    ground = comparison.built.grounds[0]
    columns, units = columns_of(comparison.built.grounds)
    fleet = Fleet(ground, columns)
    factors = np.ones((1, len(ground.study.failures) + 1))
    counts = np.zeros(ground.horizon + 1)
    draws = 40 * BLOCK
    place = next(n for n, slot in enumerate(fleet.slots) if "rack server" in slot.part.part)
    for block in range(draws // BLOCK):
        lives = fleet.lives(Luck(11, block, units), slice(0, BLOCK), factors)
        first = (lives.slot == place) & (lives.came == 0) & (lives.kind == fleet.first[place])
        counts += np.bincount(lives.month[first], minlength=len(counts))
    slot = fleet.slots[place]
    reached = 1 - slot.stays[0].survives
    empirical = np.cumsum(counts) / (draws * slot.part.quantity)
    distance = np.abs(empirical - reached).max()
    assert distance < stats.kstwo.ppf(0.999, draws * slot.part.quantity)
    assert np.abs(empirical - reached * 1.02).max() > stats.kstwo.ppf(0.999, draws * slot.part.quantity)


def test_too_few_draws_and_odd_seeds_are_refused():
    comparison = tco.compare(tco.load(tco.demo().parent / "small"))
    for draws, seed in ((0, 1), (99, 1), (10**9, 1), (1000, -1)):
        with pytest.raises(DrawsError):
            simulate(comparison, draws, seed)


def test_an_interrupt_says_how_far_it_got():
    comparison = tco.compare(tco.load(tco.demo().parent / "small"))

    def stop(_):
        raise KeyboardInterrupt

    with pytest.raises(StoppedError, match=r"stopped after 4,096 of 10,000 draws"):
        simulate(comparison, 10_000, 1, stop)
