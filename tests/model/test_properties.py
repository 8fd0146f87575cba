"""What must hold of every study, tried on studies made at random."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tco
from tco.ask.compare import published
from tco.engine import evaluate
from tco.model import LINES, build
from tco.model.slot import Slot
from tco.study import Part, PathPoint, Scenario, Study
from tests.random_studies import random_study

SEEDS = st.integers(0, 10_000)
NAMES = [line.name for line in LINES]
PER_UNIT = ("purchase", "owned", "electricity", "heat", "replacement", "resale", "insurance", "disposal")
FAILING = SEEDS.map(lambda seed: seed // 2 * 6 + seed % 2)  # see random_studies.py: these wear, under warranty
tried = settings(max_examples=25, deadline=None, derandomize=True)
fewer = settings(max_examples=12, deadline=None, derandomize=True)


@cache
def study_of(seed: int) -> Study:
    with tempfile.TemporaryDirectory() as folder:
        return tco.load(random_study(seed, Path(folder)))


def lines_of(study: Study) -> dict[tuple[str, str], np.ndarray]:
    """(scenario, line) -> the months of the line."""
    comparison = tco.compare(study)
    grounds = comparison.built.grounds
    return {(g.scenario.scenario, name): comparison.of(g.month(name)) for g in grounds for name in NAMES}


def with_scenarios(study: Study, change: Callable[[Scenario], Scenario]) -> Study:
    return replace(study, scenarios=tuple(change(scenario) for scenario in study.scenarios))


def without_spares(study: Study) -> Study:
    """No spares are kept: how many are is a whole number for all of a kind together, over the whole horizon."""
    extra = {**study.settings.extra, "spares_confidence": None, "spares_lead_time": None}
    return replace(study, settings=replace(study.settings, extra=extra))


def without_shared_writes(scenario: Scenario) -> Scenario:
    """Drives wear only by what is written to each, not by a share of what is written to all of a pool."""
    return replace(scenario, pools=tuple(replace(pool, written=None) for pool in scenario.pools))


def with_parts(study: Study, change: Callable[[Part], Part]) -> Study:
    return with_scenarios(study, lambda one: replace(one, parts=tuple(map(change, one.parts))))


def slots_of(study: Study) -> dict[tuple[str, str], Slot]:
    """(scenario, number of the row) -> what is expected of one of its units; spares on the shelf left out."""
    grounds = build(study).grounds
    return {(g.scenario.scenario, slot.key): slot for g in grounds for slot in g.slots if slot.shelf is None}


def covered(slot: Slot) -> np.ndarray:
    """Failures of one unit that a warranty covers, by month."""
    return sum((stay.covered for stay in slot.stays), np.zeros(len(slot.failures)))


def paid(slot: Slot) -> np.ndarray:
    """What is bought anew for one unit, by month: for failures that no warranty covers, and for what is worn."""
    return slot.failures + slot.worn - covered(slot)


def close(found: np.ndarray, wanted: np.ndarray) -> bool:
    """Equal to rounding, as money: a billionth of the size of the numbers."""
    return bool(np.allclose(found, wanted, rtol=1e-9, atol=1e-9 * max(1.0, np.abs(wanted).max())))


@tried
@given(SEEDS, st.integers(2, 7))
def test_scaling_quantities_scales_what_is_paid_per_unit(seed: int, factor: int) -> None:
    """But for what goes through a bill of several charges: twice the kWh may be dearer or cheaper a kWh."""
    study = without_spares(with_scenarios(study_of(seed), without_shared_writes))
    billed = ("electricity", "heat") if study.charges else ()

    def scaled(scenario: Scenario) -> Scenario:
        parts = tuple(replace(part, quantity=part.quantity * factor) for part in scenario.parts)
        nodes = tuple(replace(node, count=node.count * factor) for node in scenario.nodes)
        return replace(scenario, parts=parts, nodes=nodes)

    before, after = lines_of(study), lines_of(with_scenarios(study, scaled))
    kept = [key for key in before if key[1] not in billed]
    assert all(close(after[key], before[key] * (factor if key[1] in PER_UNIT else 1)) for key in kept)


@tried
@given(SEEDS)
def test_splitting_a_part_in_two_rows_changes_nothing(seed: int) -> None:
    study = study_of(seed)

    def split(scenario: Scenario) -> Scenario:
        halves = [half for part in scenario.parts for half in halved(part)]
        return replace(scenario, parts=tuple(halves))

    before, after = lines_of(study), lines_of(with_scenarios(study, split))
    assert all(close(after[key], before[key]) for key in before)


def halved(part: Part) -> list[Part]:
    """Two rows for one; the second under a name of its own, like the first replaced by what replaces that."""
    some = part.quantity // 3
    again = replace(part, quantity=some, part=f"{part.part}, more", replaced_by=part.replaced_by or part.part)
    return [replace(part, quantity=part.quantity - some), again]


@tried
@given(SEEDS, st.integers(1, 40))
def test_a_longer_horizon_begins_with_the_shorter_one(seed: int, more: int) -> None:
    study = without_spares(study_of(seed))
    settings = replace(study.settings, horizon=study.settings.horizon + more)
    longer = replace(study, settings=settings, paths={name: lengthened(p, more) for name, p in study.paths.items()})
    before, after = lines_of(study), lines_of(longer)
    size = study.settings.horizon + 1
    kept = [key for key in before if key[1] not in ("resale", "disposal")]
    assert all(close(after[key][:size], before[key]) for key in kept)


def lengthened(points: tuple[PathPoint, ...], more: int) -> tuple[PathPoint, ...]:
    """A price path with more years at its end than the months could need."""
    last = points[-1]
    return (
        *points,
        *(replace(last, year=last.year + n, index=last.index * 1.1**n) for n in range(1, more // 12 + 2)),
    )


@tried
@given(SEEDS)
def test_at_a_discount_of_0_the_life_cycle_cost_is_the_plain_sum(seed: int) -> None:
    study = study_of(seed)
    comparison = tco.compare(replace(study, settings=replace(study.settings, discount=0.0, kinds={})))
    for ground in comparison.built.grounds:
        lcc, total = (comparison.measure(ground, name) for name in ("lcc", "undiscounted"))
        assert lcc == pytest.approx(total, rel=1e-12, abs=1e-9)
        assert comparison.measure(ground, "equivalent_month") == pytest.approx(lcc / ground.horizon, abs=1e-9)


@tried
@given(SEEDS, st.randoms(use_true_random=False))
def test_the_order_of_rows_does_not_matter(seed: int, rng: object) -> None:
    study = study_of(seed)

    def shuffled(rows: tuple) -> tuple:  # type: ignore[type-arg]
        return tuple(rng.sample(rows, len(rows)))  # type: ignore[attr-defined]

    def mixed(scenario: Scenario) -> Scenario:
        fields = ("parts", "nodes", "fees", "one_offs")
        return replace(scenario, **{name: shuffled(getattr(scenario, name)) for name in fields})

    mixed_up = with_scenarios(study, mixed)
    before = lines_of(study)
    after = lines_of(replace(mixed_up, scenarios=shuffled(mixed_up.scenarios)))
    assert all(close(after[key], before[key]) for key in before)


@fewer
@given(FAILING)
def test_a_unit_is_in_every_place_until_it_leaves(seed: int) -> None:
    """And as many come as go: each is bought with its row, sent for a covered failure, or bought for the rest."""
    for slot in slots_of(study_of(seed)).values():
        stays = np.zeros(len(slot.failures))
        stays[slot.part.bought : slot.leaves + 1] = 1
        assert sum(stay.there for stay in slot.stays) == pytest.approx(stays, abs=1e-12)
        goes = slot.failures + slot.worn
        goes[slot.part.bought] += 1
        assert sum(stay.arrivals for stay in slot.stays) == pytest.approx(goes, abs=1e-12)
        assert all((numbers >= 0).all() for numbers in (slot.failures, slot.worn, covered(slot), paid(slot)))


@fewer
@given(FAILING, st.integers(0, 20), st.integers(1, 30))
def test_a_longer_warranty_never_costs_more_replacements(seed: int, some: int, more: int) -> None:
    """Paid ones, counted to any month. And who pays does not change what fails where like replaces like."""
    study = study_of(seed)
    without, short, long = (
        slots_of(with_parts(study, lambda part, w=w: replace(part, warranty=w))) for w in (None, some, some + more)
    )
    for key, slot in without.items():
        assert not covered(slot).any()
        counts = [paid(slots[key]).cumsum() for slots in (long, short, without)]
        assert all((one <= other + 1e-9).all() for one, other in pairwise(counts))
        for other in (short[key], long[key]):
            assert paid(other) + covered(other) == pytest.approx(other.failures + other.worn, abs=1e-12)
            if not slot.part.replaced_by:
                assert other.failures == pytest.approx(slot.failures, abs=1e-12)
                assert other.worn == pytest.approx(slot.worn, abs=1e-12)


@fewer
@given(FAILING)
def test_a_warranty_to_the_end_whose_claims_cost_nothing_leaves_nothing_to_pay(seed: int) -> None:
    study = study_of(seed)
    horizon = study.settings.horizon
    lines = lines_of(
        with_parts(study, lambda part: replace(part, claim=0.0, warranty=horizon, life=None, endurance=None))
    )
    assert not any(months.any() for (_, name), months in lines.items() if name == "replacement")


@fewer
@given(FAILING)
def test_a_life_beyond_the_horizon_changes_nothing(seed: int) -> None:
    """By the calendar from a month beyond it; by what is written, from more than could be."""
    study = study_of(seed)

    def lives_on(part: Part) -> Part:
        life = part.age + study.settings.horizon + 1 if part.life is None else part.life
        endurance = 1e9 if part.endurance is None else part.endurance
        return replace(part, life=life, endurance=endurance)

    before, after = lines_of(study), lines_of(with_parts(study, lives_on))
    assert all(close(after[key], before[key]) for key in before)


@tried
@given(SEEDS)
def test_published_figures_are_numpy_financials(seed: int) -> None:
    """The batched sum of the engine equals what numpy-financial makes of the same months."""
    comparison = tco.compare(study_of(seed))
    for ground in comparison.built.grounds:
        size = np.abs(comparison.of(ground.month("total"))).sum()
        for name, value in published(comparison, ground).items():
            assert comparison.measure(ground, name) == pytest.approx(value, rel=1e-9, abs=1e-9 * size)


@tried
@given(SEEDS)
def test_the_years_add_up_to_the_months(seed: int) -> None:
    comparison = tco.compare(study_of(seed))
    for ground in comparison.built.grounds:
        for name in [*NAMES, "total", "energy"]:
            by_year, by_month = (comparison.of(ground.own(table, name)).sum() for table in ("years", "months"))
            assert by_year == pytest.approx(by_month, rel=1e-9, abs=1e-7)


@tried
@given(SEEDS)
def test_batched_draws_equal_one_at_a_time(seed: int) -> None:
    """Electricity, discount and quantities drawn at random: all draws at once equal each alone, to the bit."""
    built = tco.compare(study_of(seed)).built
    rng = np.random.default_rng(seed)
    inputs = [column for column in built.model.columns.values() if column.live and column.values is not None]
    changes = {c: c.values * rng.uniform(0.5, 1.5, (5, 1)) for c in inputs}
    together = evaluate(built.model, changes)
    for draw in range(5):
        alone = evaluate(built.model, {column: values[draw] for column, values in changes.items()})
        for ground in built.grounds:
            for name in ("total", "cumulative", "present_value"):
                column = ground.month(name)
                assert np.array_equal(
                    np.broadcast_to(together[column], (5, len(column.table.rows)))[draw], alone[column]
                )
