"""Expected replacements against closed forms of renewal theory, at a fine step.

The step scheme puts a failure at the end of its step, so its error is proportional to the step. Each test shows that:
halving the step halves the error, and what is left after removing that first-order part is of the step's square.
Sources of the closed forms: exponential, Tijms, A First Course in Stochastic Models, eq. 2.1.5 (seen); Erlang-2 and
uniform, standard renewal theory (from memory, derived again); used units, derived, verified numerically.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from tco.model.renewal import Life, failures, life, monthly_chances, present
from tco.study import FailurePoint

Distribution = Callable[[np.ndarray], np.ndarray]


def exponential(t: np.ndarray) -> np.ndarray:
    return -np.expm1(-t)


def erlang_2(t: np.ndarray) -> np.ndarray:
    return 1 - np.exp(-t) * (1 + t)


def uniform(t: np.ndarray) -> np.ndarray:
    return np.clip(t, 0, 1)


def used(lifetime: Distribution, age: float) -> Distribution:
    """The life that is left to a unit of an age."""
    gone = lifetime(np.array(age))
    return lambda t: (lifetime(t + age) - gone) / (1 - gone)


def stepped(lifetime: Distribution, until: float, steps: int) -> Life:
    reached = lifetime(np.linspace(0, until, steps + 1))
    return Life(1 - reached, np.concatenate([[0.0], np.diff(reached)]))


def expected(lifetime: Distribution, age: float, until: float, steps: int) -> float:
    """Expected failures until a time, like replaced by new, by the tool's own renewal function."""
    first, later = (stepped(one, until, steps) for one in (used(lifetime, age), lifetime))
    return float(failures(first, later).sum())


def second_order(until: float) -> float:
    """What removing the first-order part may leave: the square of the step, and the last printed digit."""
    return 2 * (until / 1500) ** 2 + 1e-7


def erlang_closed(t: float, age: float = 0.0) -> float:
    return t / 2 + (age - 1) / (age + 1) * (1 - np.exp(-2 * t)) / 4


def uniform_closed(t: float) -> float:
    return float(np.exp(t) - 1 - (t > 1) * (t - 1) * np.exp(t - 1))


CASES = [
    *((f"exponential {t}", exponential, 0.0, t, t) for t in (0.5, 1.0, 2.0, 5.0)),
    *((f"exponential used {age}", exponential, age, 1.5, 1.5) for age in (0.3, 2.0)),
    # Erlang-2 from new: 0.0919699, 0.2838338, 0.7545789, 2.2500113 as printed
    *((f"Erlang-2 {t}", erlang_2, 0.0, t, v) for t, v in ((0.5, 0.0919699), (1, 0.2838338), (2, 0.7545789))),
    ("Erlang-2 5", erlang_2, 0.0, 5.0, 2.2500113),
    # Erlang-2 used: as printed for (age, time) = (0.5, 1), (3, 2), (10, 5)
    ("Erlang-2 used 0.5", erlang_2, 0.5, 1.0, 0.4279446),
    ("Erlang-2 used 3", erlang_2, 3.0, 2.0, 1.1227105),
    ("Erlang-2 used 10", erlang_2, 10.0, 5.0, 2.7045362),
    # uniform from new: as printed for 0.5, 1, 1.5, 2; used: (0.25, 0.5), (0.5, 0.25), (0.8, 0.2)
    ("uniform 0.5", uniform, 0.0, 0.5, 0.6487213),
    ("uniform 1", uniform, 0.0, 1.0, 1.7182818),
    ("uniform 1.5", uniform, 0.0, 1.5, 2.6573284),
    ("uniform 2", uniform, 0.0, 2.0, 3.6707743),
    ("uniform used 0.25", uniform, 0.25, 0.5, 0.8649617),
    ("uniform used 0.5", uniform, 0.5, 0.25, 0.5680508),
    ("uniform used 0.8", uniform, 0.8, 0.2, 1.1070138),
]


@pytest.mark.parametrize(("lifetime", "age", "until", "closed"), [c[1:] for c in CASES], ids=[c[0] for c in CASES])
def test_closed_forms(lifetime: Distribution, age: float, until: float, closed: float) -> None:
    coarse, fine = (expected(lifetime, age, until, steps) for steps in (1500, 3000))
    assert abs(fine - closed) < 0.51 * abs(coarse - closed) + 1e-7, "the error is proportional to the step"
    assert 2 * fine - coarse == pytest.approx(closed, abs=second_order(until)), "and what is left is of second order"


@pytest.mark.parametrize(("time", "age"), [(0.7, 0.0), (1.0, 1.0), (3.0, 0.2), (4.0, 7.0)])
def test_erlang_formula_and_printed_values_are_one(time: float, age: float) -> None:
    coarse, fine = (expected(erlang_2, age, time, steps) for steps in (1500, 3000))
    assert 2 * fine - coarse == pytest.approx(erlang_closed(time, age), abs=second_order(time))


def test_uniform_formula_is_the_printed_one() -> None:
    assert [round(uniform_closed(t), 7) for t in (0.5, 1, 1.5, 2)] == [0.6487213, 1.7182818, 2.6573284, 3.6707743]


def test_a_constant_monthly_chance_is_exact() -> None:
    """Geometric lives have no memory: whatever happened, the chance of a failure in any month is q."""
    first = later = life(np.full(60, 0.03))
    assert failures(first, later)[1:] == pytest.approx(np.full(60, 0.03), rel=1e-12)


def test_what_is_there_adds_up_to_one_in_every_month() -> None:
    rng = np.random.default_rng(7)
    first, later = (life(rng.uniform(0, 0.2, 90)) for _ in range(2))
    begins = np.eye(1, 91)[0]
    there = [present(begins, first.survives), present(failures(first, later), later.survives)]
    assert sum(there) == pytest.approx(np.ones(91), abs=1e-12)
    assert (there[1] >= 0).all()
    assert there[0] == pytest.approx(first.survives, abs=1e-15)


def test_what_is_there_at_the_end_counted_path_by_path() -> None:
    """Three months, chances 0.1, 0.2, 0.3 by age: every history written out by hand."""
    one = life(np.array([0.1, 0.2, 0.3]))
    arrivals = failures(one, one) + np.array([1.0, 0, 0, 0])
    share = arrivals * one.survives[::-1]
    first_lives = 0.9 * 0.8 * 0.7
    put_in_1 = 0.1 * 0.9 * 0.8
    put_in_2 = (0.9 * 0.2 + 0.1 * 0.1) * 0.9
    put_in_3 = 0.9 * 0.8 * 0.3 + 0.1 * 0.9 * 0.2 + (0.9 * 0.2 + 0.1 * 0.1) * 0.1
    assert share == pytest.approx([first_lives, put_in_1, put_in_2, put_in_3], abs=1e-15)
    assert present(arrivals, one.survives)[3] == pytest.approx(share.sum(), abs=1e-15)


CURVE = (FailurePoint(curve="c", age=0, rate=0.12), FailurePoint(curve="c", age=12, chance=0.5))


def test_chances_follow_the_age_of_the_unit() -> None:
    """From a rate of 12 % a year: 1 - exp(-0.01); the chance given from the 13th month on; the last value holds."""
    low = 1 - np.exp(-0.01)
    assert monthly_chances(CURVE, 0, 14) == pytest.approx([low] * 12 + [0.5] * 2, abs=1e-15)
    assert monthly_chances(CURVE, 11, 3) == pytest.approx([low, 0.5, 0.5], abs=1e-15)
    assert monthly_chances(CURVE, 500, 1) == pytest.approx([0.5])
