"""With uncertain inputs a simulation's mean and quantiles are those of a quadrature over fresh runs of the tool.

The reference knows nothing of draws: the study is worked out anew at the nodes of a Gauss-Legendre rule (numpy), each
weighed by the triangular density (scipy), below and above the likeliest value apart, where the density has its edge.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

import tco
from tco.ask.simulate import simulate
from tco.ask.tally import BINS, ByInput, shares
from tco.engine import evaluate
from tco.model import build
from tco.model.slots import with_failure_rates
from tests.published.written import table
from tests.studies import write_study

DRAWS, NODES = 40_000, 6
SURE = stats.norm.ppf(1 - 0.001 / 2 / 40)  # standard errors, for one wrong alarm in a thousand over forty comparisons


def study_with(folder, *ranges):
    """The good study of the tests with ranges: input, scenario, low, high."""
    return tco.load(write_study(folder, ranges=table("input,scenario,low,high", list(ranges))))


def density(low, likely, high):
    span = high - low
    return stats.triang((likely - low) / span, loc=low, scale=span)


def nodes(low, likely, high):
    """Values and weights of the rule, with the density in the weights."""
    x, w = np.polynomial.legendre.leggauss(NODES)
    values, weights = [], []
    for start, end in ((low, likely), (likely, high)):
        values += list(start + (end - start) * (x + 1) / 2)
        weights += list(w * (end - start) / 2)
    return np.array(values), np.array(weights) * density(low, likely, high).pdf(values)


def costs(study):
    """Life-cycle costs of a fresh run."""
    comparison = tco.compare(study)
    return {ground.scenario.scenario: comparison.measure(ground, "lcc") for ground in comparison.built.grounds}


def with_setting(study, **values):
    return replace(study, settings=replace(study.settings, **values))


def agrees(found, values, weights, runs):
    """Whether each scenario's mean is that of the rule, within its standard error."""
    assert weights.sum() == pytest.approx(1.0, abs=1e-9)
    for outcome in found.outcomes:
        rule = sum(weight * run[outcome.scenario] for weight, run in zip(weights, runs, strict=True))
        assert abs(outcome.lcc.mean - rule) <= SURE * outcome.lcc.error + 1e-6, outcome.scenario
    assert len(values) == len(runs)


def test_an_input_that_bends_the_cost(tmp_path):
    study = study_with(tmp_path, "discount,,1 %,12 %")
    values, weights = nodes(0.01, study.settings.discount, 0.12)
    runs = [costs(with_setting(study, discount=float(value))) for value in values]
    agrees(simulate(tco.compare(study), DRAWS, 5), values, weights, runs)
    assert np.ptp([run["minis"] for run in runs]) > 100


def test_two_inputs_at_once(tmp_path):
    study = study_with(tmp_path, "hour value,,5 EUR/h,25 EUR/h", "electricity growth,,-2 %,9 %")
    ends = ((5.0, study.settings.hour_value, 25.0), (-0.02, study.settings.electricity_growth, 0.09))
    (one, first), (other, second) = (nodes(*three) for three in ends)
    runs = [costs(with_setting(study, hour_value=float(a), electricity_growth=float(b))) for a in one for b in other]
    weights = np.outer(first, second).ravel()
    agrees(simulate(tco.compare(study), DRAWS, 6), weights, weights, runs)


def test_failure_rates_that_are_uncertain(tmp_path):
    study = study_with(tmp_path, "failure rate,,40 %,400 %")
    built = build(study)
    values, weights = nodes(0.4, 1.0, 4.0)
    runs = []
    for value in values:
        rates = dict.fromkeys(study.failures, float(value))
        changes = {}
        for ground in built.grounds:
            changes |= with_failure_rates(ground, rates)
        figures = evaluate(built.model, changes)
        runs.append({g.scenario.scenario: float(figures[g.measure("lcc")][0]) for g in built.grounds})
    found = simulate(tco.compare(study), DRAWS, 7)
    agrees(found, values, weights, runs)
    assert np.ptp([run["minis"] for run in runs]) > 10


def test_a_factor_on_all_prices_of_electricity_has_its_own_quantiles(tmp_path):
    """Without failures the cost is a line in the factor, so its quantiles are the line at the factor's quantiles."""
    no_failures = replace(study_with(tmp_path, "electricity price,,60 %,250 %"), failures={})
    bare = [replace(s, parts=tuple(replace(p, failures="") for p in s.parts)) for s in no_failures.scenarios]
    study = replace(no_failures, scenarios=tuple(bare))
    comparison = tco.compare(study)
    found = simulate(comparison, DRAWS, 8)
    factor = density(0.6, 1.0, 2.5)
    for outcome, ground in zip(found.outcomes, comparison.built.grounds, strict=True):
        rate = evaluate_electricity(comparison, ground)
        for share, value in ((0.1, outcome.lcc.p10), (0.5, outcome.lcc.p50), (0.9, outcome.lcc.p90)):
            exact = comparison.measure(ground, "lcc") + rate * (factor.ppf(share) - 1.0)
            error = rate * (share * (1 - share) / DRAWS) ** 0.5 / factor.pdf(factor.ppf(share))
            assert abs(value - exact) <= SURE * abs(error) + 1e-6
        names = [driver.name for driver in outcome.drivers]
        assert names[:1] == (["electricity price"] if rate else [])


def evaluate_electricity(comparison, ground):
    """What one more of all prices of electricity adds to a scenario's cost: the line's slope, by two fresh runs."""
    study = comparison.study
    double = {
        name: tuple(replace(v, price=2 * v.price if v.price is not None else None) for v in versions)
        for name, versions in study.tariffs.items()
    }
    other = tco.compare(replace(study, tariffs=double))
    same = next(g for g in other.built.grounds if g.scenario.scenario == ground.scenario.scenario)
    return other.measure(same, "lcc") - comparison.measure(ground, "lcc")


def test_shares_of_variance_are_those_of_a_known_sum():
    """y = 3 a + b, a and b uniform: shares 9/10 and 1/10 exactly; and a x b, whose interplay belongs to neither."""
    uniform = np.random.default_rng(1).random((200_000, 2))
    for figure, wanted in ((3 * uniform[:, 0] + uniform[:, 1], (0.9, 0.1)), (uniform.prod(axis=1), (3 / 7, 3 / 7))):
        sums = ByInput.of(2, ["y"])
        for part in np.array_split(np.arange(len(uniform)), 7):
            sums.put(uniform[part], {"y": figure[part]})
        found = shares(sums.counts, sums.sums["y"], float(figure.var()), len(figure))
        assert found == pytest.approx(wanted, abs=4 / BINS**2 + 4 / len(figure) ** 0.5)
