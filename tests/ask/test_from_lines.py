"""Every measure worked out again from lines.csv alone, by plain formulas, for random studies of all timings."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

import tco
from tco.study import Study
from tests.random_studies import random_study

OPERATING = ["electricity", "heat", "fees", "upkeep", "insurance"]
RANGE = np.linspace(math.log(0.01), math.log(11), 6001)


class Plain:
    """One scenario's costs by month as printed, and the moments at which they count."""

    def __init__(self, lines, study: Study, rate: float) -> None:  # type: ignore[no-untyped-def]
        table = lines[lines.line != "energy"].pivot(index="month", columns="line", values="value")
        self.often = table[OPERATING].sum(axis=1).to_numpy()
        self.dated = table.drop(columns=OPERATING).sum(axis=1).to_numpy()
        horizon, timing = study.settings.horizon, study.settings.timing
        self.months, self.moments = (
            np.arange(horizon + 1),
            np.array([moment(t, horizon, timing) for t in range(horizon + 1)]),
        )
        self.often_worth = self.often * (1 + rate) ** (-self.moments / 12)
        self.dated_worth = self.dated * (1 + rate) ** (-self.months / 12)


def moment(month: int, horizon: int, timing: str) -> float:
    """When a month's recurring costs count."""
    if timing == "month-end" or month == 0:
        return float(month)
    start = 12 * ((month - 1) // 12)
    end = min(start + 12, horizon)
    return float(end) if timing == "year-end" else (start + end) / 2


def payback(saved: np.ndarray) -> float | str:
    """Years until the sum so far stays at nothing or above."""
    total = np.cumsum(saved)
    low = total < -0.005
    back = np.flatnonzero(low[:-1] & ~low[1:]) + 1
    if not low.any():
        return "none: never costs more"
    if low[-1]:
        ahead = "none: ahead first, then behind" if total.max() > 0.005 else "none: not within the horizon"
        return "none: falls behind again" if len(back) else ahead
    month = int(back[-1])
    before, after = abs(total[month - 1]), abs(total[month])
    return float((month - 1 + before / (before + after)) / 12)


def wanted(base: Plain, own: Plain, rate: float, horizon: int) -> dict[str, float | str]:
    """The measures against the baseline."""
    saved = float(base.often_worth.sum() - own.often_worth.sum())
    extra = float(own.dated_worth.sum() - base.dated_worth.sum())
    ratio: float | str = saved / extra if extra > 0.005 else "none: no extra investment"
    adjusted: float | str = ratio
    if not isinstance(ratio, str):
        adjusted = (1 + rate) * ratio ** (12 / horizon) - 1 if saved > 0.005 else "none: operation saves nothing"
    flows = (base.often + base.dated) - (own.often + own.dated)
    worth = (base.often_worth + base.dated_worth) - (own.often_worth + own.dated_worth)
    return {
        "net_savings": saved - extra,
        "savings_to_investment_ratio": ratio,
        "adjusted_rate_of_return": adjusted,
        "simple_payback": payback(flows),
        "discounted_payback": payback(worth),
        "rate_of_return": internal(base, own) if np.any(np.cumsum(flows) < -0.005) else "none: never costs more",
    }


def internal(base: Plain, own: Plain) -> float | str:
    """The one rate, `none` or `several`."""
    amounts = np.concatenate([base.dated - own.dated, base.often - own.often])
    times = np.concatenate([own.months, own.moments]) / 12

    def worth(growth: float) -> float:
        return float((amounts * np.exp(-growth * times)).sum())

    values = np.sign([worth(growth) for growth in RANGE])
    places = np.flatnonzero(values[1:] != values[:-1])
    flows = saved_when_it_counts(amounts, times)
    turns = np.count_nonzero(flows[1:] * flows[:-1] < 0)
    rises = len(places) == 1 and values[places[0]] < 0  # worth more the higher the rate: a loan's
    if rises or (turns == 1 and flows[0] > 0):
        return "none: saves first, pays later"
    if len(places) == 1:
        return math.expm1(brentq(worth, RANGE[places[0]], RANGE[places[0] + 1], xtol=1e-14))
    return "several" if len(places) else "none"


def saved_when_it_counts(amounts: np.ndarray, times: np.ndarray) -> np.ndarray:
    """The sums of what falls at one moment, in order, those that are nothing left out."""
    found = np.array([amounts[np.isclose(times, time)].sum() for time in np.unique(times.round(9))])
    return found[np.abs(found) > 1e-7]


@pytest.mark.parametrize("seed", range(500, 515))
def test_measures_follow_from_the_lines(seed: int, tmp_path: Path) -> None:
    study = tco.load(random_study(seed, tmp_path))
    comparison = tco.compare(study)
    rate = float(comparison.of(comparison.built.model["settings.discount"])[0])
    lines, found = tco.lines(comparison), tco.measures(comparison).set_index(["scenario", "measure"]).value
    plain = {name: Plain(own, study, rate) for name, own in lines.groupby("scenario")}
    base = next(scenario.scenario for scenario in study.scenarios if scenario.baseline)
    for name, own in plain.items():
        assert found[name, "lcc"] == pytest.approx(own.often_worth.sum() + own.dated_worth.sum(), rel=1e-9, abs=1e-6)
        if name != base:
            for measure, value in wanted(plain[base], own, rate, study.settings.horizon).items():
                told = found[name, measure]
                if isinstance(value, str):
                    assert str(told).startswith(value), (name, measure)
                else:
                    assert told == pytest.approx(value, rel=1e-6, abs=1e-6), (name, measure)
