"""What a simulation draws, with fixed inputs, against the exact expectation and against units drawn one by one.

All tests are statistical at fixed seeds; LEVEL is the chance that a right program fails one of them at another seed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from scipy import stats

import tco
from tco.ask.compare import Comparison
from tco.ask.simulate import Simulation, simulate
from tco.model import Ground
from tco.places import data_folder
from tests.benchmarks.fleet_study import fleet_study
from tests.model.fleet_by_events import Events, Terms, inherited
from tests.model.fleets import everything, row, study_of
from tests.random_studies import random_study

LEVEL = 0.001
DRAWS = 20_000
BY_EVENTS = 2500
OFTEN = 200  # from so many events in all draws on, a mean is near enough to normal


@cache
def small_fleet(units: int) -> tco.Study:
    """The fleet of which nothing is simple, so many units in its first row."""
    with TemporaryDirectory() as folder:
        return everything(Path(folder), units)


def fixed(study: tco.Study) -> Comparison:
    """A comparison of which no input varies."""
    return tco.compare(replace(study, ranges=()))


@dataclass(frozen=True)
class Drawn:
    """Draws of one scenario. lcc: (draws,); cash: by draw and year; covered, paid, worn: events by draw and month."""

    ground: Ground
    lcc: np.ndarray
    cash: np.ndarray
    covered: np.ndarray
    paid: np.ndarray
    worn: np.ndarray


def drawn(comparison: Comparison, seed: int) -> list[Drawn]:
    """Every scenario's draws, from the simulation's own events."""
    batches = [batch for _, batch in Simulation(comparison, DRAWS, seed).batches()]
    return [joined(ground, [one[n] for one in batches]) for n, ground in enumerate(comparison.built.grounds)]


def joined(ground: Ground, batches: list) -> Drawn:  # type: ignore[type-arg]
    """One scenario's batches put together."""
    counts: dict[str, list[np.ndarray]] = {"covered": [], "paid": [], "worn": []}
    for batch in batches:
        lives, shape = batch.lives, (len(batch.lcc), ground.horizon + 1)
        kinds = {"covered": lives.covered, "worn": lives.worn, "paid": ~(lives.covered | lives.worn)}
        for name, which in kinds.items():
            flat = np.ravel_multi_index((lives.draw[which], lives.month[which]), shape)
            counts[name].append(np.bincount(flat, minlength=shape[0] * shape[1]).reshape(shape))
    return Drawn(
        ground,
        np.concatenate([one.lcc for one in batches]),
        np.concatenate([one.cash for one in batches]),
        **{name: np.concatenate(some) for name, some in counts.items()},
    )


# Means


STUDIES = ["demo", "small", "hours", "fleet", "everything", *range(6, 40, 6), *range(1, 40, 12)]


def study_named(name: str | int, folder: Path) -> tco.Study:
    """A study that comes with the tool, one made at random, four large fleets, or one of which nothing is simple."""
    if name == "everything":
        return everything(folder)
    if name == "fleet":
        return tco.load(fleet_study(folder))
    return tco.load(random_study(name, folder) if isinstance(name, int) else data_folder() / name)


@pytest.mark.parametrize("name", STUDIES)
def test_means_are_the_expectations(name: str | int, tmp_path: Path) -> None:
    """Life-cycle cost, each year's cash, events of each year and month: all together at one level."""
    comparison = fixed(study_named(name, tmp_path))
    found = [one for some in drawn(comparison, 11) for one in compared(comparison, some)]
    assert len(found) >= 20
    assert all(mean == pytest.approx(wanted, rel=1e-9, abs=1e-9) for mean, wanted, error in found if not error)
    beyond = np.array([abs(mean - wanted) / error for mean, wanted, error in found if error])
    assert len(beyond) > 5
    assert beyond.max() < stats.norm.isf(LEVEL / 2 / len(beyond)), len(beyond)


def compared(comparison: Comparison, some: Drawn) -> Iterator[tuple[float, float, float]]:
    """Mean, expectation and standard error of what is drawn of one scenario; no error where draws do not differ."""
    ground = some.ground
    yield with_error(some.lcc, comparison.measure(ground, "lcc"))
    failures = some.paid + some.covered
    years = np.ceil(np.arange(ground.horizon + 1) / 12).astype(int)
    first = np.flatnonzero(np.diff(years, prepend=-1))  # where a year begins
    happened = np.add.reduceat((failures + some.worn).sum(axis=0), first)
    total, owned = (comparison.of(ground.own("years", name)) for name in ("total", "owned"))
    for year, wanted in enumerate(total - owned):
        if happened[year] > OFTEN or year == years[-1] or not some.cash[:, year].std():
            yield with_error(some.cash[:, year], wanted)
    for counts, wanted in zip((some.covered, failures, some.worn), expectations(comparison, ground), strict=True):
        by_year = np.add.reduceat(counts, first, axis=1), np.add.reduceat(wanted, first)
        for each, hoped in ((counts, wanted), by_year):
            for place in np.flatnonzero((hoped * DRAWS > OFTEN) | (each.sum(axis=0) > 2 * OFTEN)):
                yield with_error(each[:, place], hoped[place])


def with_error(values: np.ndarray, wanted: float) -> tuple[float, float, float]:
    """The mean of draws, what is expected, and the standard error of the mean; rounding is none."""
    mean, error = values.mean(), values.std(ddof=1) / np.sqrt(DRAWS)
    return mean, wanted, error if error > 1e-12 * max(1.0, abs(mean)) else 0.0


def expectations(comparison: Comparison, ground: Ground) -> list[np.ndarray]:
    """Covered failures, all failures and worn units of all rows, by month."""
    found = [np.zeros(ground.horizon + 1) for _ in range(3)]
    for slot in ground.slots:
        if slot.shelf is None:
            covered = [f"covered {slot.key} {stay.row}" for stay in slot.stays]
            for sums, keys in zip(found, (covered, [f"failures {slot.key}"], [f"worn {slot.key}"]), strict=True):
                for key in keys:
                    if ground.has("units", key):
                        sums += slot.part.quantity * comparison.of(ground.own("units", key))
    return found


def test_what_is_reported_is_what_was_drawn() -> None:
    """The mean, its error and the exact expectation of the results, from the draws and the comparison."""
    comparison = fixed(small_fleet(4))
    (some,), (told,) = drawn(comparison, 3), simulate(comparison, DRAWS, 3).outcomes
    assert told.lcc.exact == comparison.measure(some.ground, "lcc")
    assert told.lcc.mean == pytest.approx(some.lcc.mean(), rel=1e-12)
    assert told.lcc.error == pytest.approx(some.lcc.std(ddof=1) / np.sqrt(DRAWS), rel=1e-3)
    quantiles = np.quantile(some.lcc, [0.1, 0.5, 0.9])
    assert [told.lcc.p10, told.lcc.p50, told.lcc.p90] == pytest.approx(quantiles, rel=1e-3)
    years = np.ceil(np.arange(some.ground.horizon + 1) / 12).astype(int)
    for year in told.years:
        own = years == year.year
        wanted = [one[:, own].sum() / DRAWS for one in (some.paid + some.covered, some.covered, some.worn)]
        assert [year.failures, year.covered, year.worn] == pytest.approx(wanted, rel=1e-12)


# Distributions


def by_events(study: tco.Study, seed: int, terms: Terms = inherited) -> tuple[np.ndarray, np.ndarray]:
    """Units that were paid for, and the life-cycle cost, of fleets drawn unit by unit."""
    (scenario,), rate = study.scenarios, study.settings.discount
    fleet, rng = Events(study, scenario, terms), Random(seed)
    worth = (1 + rate) ** (-np.arange(study.settings.horizon + 1) / 12)
    counts, costs = [], []
    for _ in range(BY_EVENTS):
        stories = fleet.draw(rng)
        rows = zip(scenario.parts, stories, strict=True)
        own = (part.quantity * event.count for part, told in rows for event in told.events if event.what != "covered")
        counts.append(round(sum(own)))
        costs.append(sum(np.sum(worth * months) for months in fleet.lines(stories).values()))
    return np.array(counts), np.array(costs)


def counts_differ(one: np.ndarray, other: np.ndarray) -> float:
    """Two samples of whole numbers: the chance of a difference like theirs, by chi-square; pooled to 5 expected."""
    highest = max(one.max(), other.max()) + 1
    table = np.array([np.bincount(some, minlength=highest) for some in (one, other)])
    share = min(len(one), len(other)) / (len(one) + len(other))
    groups, sums = np.zeros(highest, dtype=int), 0.0
    for value in range(highest - 1):
        sums += table[:, value].sum() * share
        new = sums >= 5 and table[:, value + 1 :].sum() * share >= 5
        groups[value + 1] = groups[value] + new
        sums = 0.0 if new else sums
    pooled = np.array([np.bincount(groups, weights=row) for row in table])
    assert pooled.shape[1] > 3, "there is something to compare"
    return float(stats.chi2_contingency(pooled).pvalue)


@pytest.mark.parametrize("units", [1, 4, 12])
def test_paid_units_and_cost_are_distributed_alike(units: int) -> None:
    """Both at LEVEL. Where units are few, costs take few values: Kolmogorov's test is milder then, not wrong."""
    comparison = fixed(small_fleet(units))
    (some,), (counts, costs) = drawn(comparison, 5), by_events(small_fleet(units), units)
    paid = (some.paid + some.worn).sum(axis=1)
    assert counts_differ(paid, counts) > LEVEL
    assert stats.ks_2samp(np.round(some.lcc, 6), np.round(costs, 6)).pvalue > LEVEL


@pytest.mark.parametrize(
    "wrong",
    [
        lambda unit, month: month - unit.came <= (unit.kind.part.warranty or 0),
        lambda unit, month: month - unit.bought <= 0,
        lambda unit, month: month - unit.bought <= (unit.kind.part.warranty or 0) + 1,
        lambda unit, month: month - unit.bought <= (unit.kind.part.warranty or 0) - 1,
    ],
    ids=["a new warranty for what is sent", "none", "a month longer", "a month shorter"],
)
def test_another_warranty_is_told_apart(wrong: Terms) -> None:
    """The two tests reject fleets of other terms, so they could have failed."""
    (some,), (counts, costs) = drawn(fixed(small_fleet(12)), 5), by_events(small_fleet(12), 12, wrong)
    assert counts_differ((some.paid + some.worn).sum(axis=1), counts) < LEVEL
    assert stats.ks_2samp(np.round(some.lcc, 6), np.round(costs, 6)).pvalue < LEVEL


# Lives


@pytest.mark.parametrize("warranty", [0, 8])
def test_all_lives_follow_the_curve(warranty: int, tmp_path: Path) -> None:
    """First and later ones, cut off where they leave: Kaplan and Meier's estimate, as scipy has it, and its bands."""
    months, units, age = 48, 3, 5
    curve = ["bath,0 months,,9 %", "bath,4 months,,2 %", "bath,12 months,80 %/year,", "bath,30 months,,25 %"]
    part = row(quantity=units, failures="bath", age=f"{age} months", warranty=f"{warranty} months")
    comparison = fixed(study_of(tmp_path, months, curve, part))
    spans, still = lives(comparison, units)
    estimate = stats.ecdf(stats.CensoredData(uncensored=spans, right=still)).sf
    bands = estimate.confidence_interval(1 - LEVEL / len(estimate.quantiles), method="log-log")
    chances = [0.02 if n < 12 else -np.expm1(-0.8 / 12) if n < 30 else 0.25 for n in range(age, age + months)]
    alive = np.cumprod(1 - np.array(chances))[estimate.quantiles.astype(int) - 1]
    inside = (bands.low.probabilities <= alive) & (alive <= bands.high.probabilities)
    assert inside[alive > 100 / len(spans)].all()
    assert (alive > 100 / len(spans)).sum() > 20
    late = np.concatenate([[1.0], alive[:-1]])
    assert not (late <= bands.high.probabilities).all(), "lives of a month more would be told apart"
    assert not (alive**1.02 >= bands.low.probabilities).all(), "and rates 2 % higher"


def lives(comparison: Comparison, units: int) -> tuple[np.ndarray, np.ndarray]:
    """How long units of the only row stood, in months: those that failed, and those that were there at the end."""
    (ground,) = comparison.built.grounds
    failed, still, size = [], [], ground.horizon + 1
    for _, (batch,) in Simulation(comparison, DRAWS // 4, 2).batches():
        own = batch.lives
        failed.append(own.month - own.came)
        left = np.bincount(own.month, minlength=size) - np.bincount(own.came, minlength=size)
        left[0] += len(batch.lcc) * units
        still.append(np.repeat(ground.horizon - np.arange(size - 1), left[:-1]))  # what comes last tells nothing
    return np.concatenate(failed), np.concatenate(still)
