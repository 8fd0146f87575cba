"""Expected replacements against closed forms of renewal theory, at a fine step.

The step scheme puts a failure at the end of its step, so its error is proportional to the step. Each test shows that:
halving the step halves the error, and what is left after removing the parts that go with the step and its square
(Romberg's way) is of the step's cube.
Sources of the closed forms: exponential, Tijms, A First Course in Stochastic Models, eq. 2.1.5 (seen); Erlang-2 and
uniform, standard renewal theory (from memory, derived again); used units, derived, verified numerically. A warranty
of its own for each unit bought: Blischke and Scheuer, Naval Research Logistics Quarterly 28 (1981) (abstract seen);
the closed forms for lives without memory are derived at the tests.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from scipy.stats import gamma, nbinom

from tco.model.renewal import LONG, History, Unit, history, monthly_hazards
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


def unit(chances: np.ndarray, *, warranty: int = 0, lasts: int = LONG) -> Unit:
    """A unit by its chance to fail in each of its months here."""
    with np.errstate(divide="ignore"):
        return Unit(-np.log1p(-chances), np.full(len(chances) + 1, lasts), warranty)


def stepped(lifetime: Distribution, until: float, steps: int) -> Unit:
    reached = lifetime(np.linspace(0, until, steps + 1))
    alive = 1 - reached[:-1]
    return unit(np.divide(np.diff(reached), alive, out=np.ones(steps), where=alive > 0))


def expected(lifetime: Distribution, age: float, until: float, steps: int) -> float:
    """Expected failures until a time, like replaced by new, by the tool's own renewal function."""
    first, later = (stepped(one, until, steps) for one in (used(lifetime, age), lifetime))
    return float(history(first, later, steps).failures.sum())


STEPS = (120, 240, 480)


def without_step(lifetime: Distribution, age: float, until: float) -> tuple[list[float], float]:
    """What the steps give, and what they say of a step of no length."""
    found = [expected(lifetime, age, until, steps) for steps in STEPS]
    return found[1:], extrapolated(found)


def extrapolated(found: list[float]) -> float:
    """What the steps say of a step of no length: halved twice, what goes with the step and its square taken out."""
    coarse, middle, fine = found
    first, second = 2 * middle - coarse, 2 * fine - middle
    return (4 * second - first) / 3


def third_order(until: float) -> float:
    """What may be left: the step's cube, times at most 30 where a life ends at once, and the last printed digit."""
    return 30 * (until / STEPS[-1]) ** 3 + 1e-7


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
    (middle, fine), found = without_step(lifetime, age, until)
    assert abs(fine - closed) < 0.51 * abs(middle - closed) + 1e-7, "the error is proportional to the step"
    assert found == pytest.approx(closed, abs=third_order(until)), "and what is left is of third order"


@pytest.mark.parametrize(("time", "age"), [(0.7, 0.0), (1.0, 1.0), (3.0, 0.2), (4.0, 7.0)])
def test_erlang_formula_and_printed_values_are_one(time: float, age: float) -> None:
    _, found = without_step(erlang_2, age, time)
    assert found == pytest.approx(erlang_closed(time, age), abs=third_order(time))


def test_uniform_formula_is_the_printed_one() -> None:
    assert [round(uniform_closed(t), 7) for t in (0.5, 1, 1.5, 2)] == [0.6487213, 1.7182818, 2.6573284, 3.6707743]


def test_a_constant_monthly_chance_is_exact() -> None:
    """Geometric lives have no memory: whatever happened, the chance of a failure in any month is q."""
    one = unit(np.full(60, 0.03))
    assert history(one, None, 60).failures[1:] == pytest.approx(np.full(60, 0.03), rel=1e-12)


def some_units(rng: np.random.Generator, months: int) -> list[Unit]:
    """Two kinds at random: they fail, wear and are under warranty."""
    return [
        Unit(-np.log1p(-rng.uniform(0, 0.2, months)), rng.integers(1, 50, months + 1), int(rng.integers(0, 30)))
        for _ in range(2)
    ]


@pytest.mark.parametrize("seed", range(6))
def test_what_is_there_adds_up_to_one_in_every_month(seed: int) -> None:
    first, later = some_units(np.random.default_rng(seed), 90)
    found = history(first, later, 90)
    assert sum(crowd.there for crowd in found.crowds) == pytest.approx(np.ones(91), abs=1e-12)
    assert all((crowd.there >= 0).all() for crowd in found.crowds)
    came = sum(crowd.arrivals for crowd in found.crowds)
    assert came[1:] == pytest.approx((found.failures + found.worn)[1:], abs=1e-12), "what goes is replaced at once"
    assert sum(crowd.covered.sum() for crowd in found.crowds) > 0.1


def test_the_first_unit_alone_is_there_by_its_life() -> None:
    rng = np.random.default_rng(7)
    chances = rng.uniform(0, 0.2, 90)
    found = history(unit(chances), unit(rng.uniform(0, 0.2, 90)), 90)
    assert found.crowds[0].there == pytest.approx(np.concatenate([[1.0], np.cumprod(1 - chances)]), abs=1e-15)


def test_what_is_there_at_the_end_counted_path_by_path() -> None:
    """Three months, chances 0.1, 0.2, 0.3 by age: every history written out by hand."""
    one = unit(np.array([0.1, 0.2, 0.3]))
    (crowd,) = history(one, None, 3).crowds
    share = crowd.arrivals * np.array([0.9 * 0.8 * 0.7, 0.9 * 0.8, 0.9, 1.0])
    first_lives = 0.9 * 0.8 * 0.7
    put_in_1 = 0.1 * 0.9 * 0.8
    put_in_2 = (0.9 * 0.2 + 0.1 * 0.1) * 0.9
    put_in_3 = 0.9 * 0.8 * 0.3 + 0.1 * 0.9 * 0.2 + (0.9 * 0.2 + 0.1 * 0.1) * 0.1
    assert share == pytest.approx([first_lives, put_in_1, put_in_2, put_in_3], abs=1e-15)
    assert crowd.there[3] == pytest.approx(share.sum(), abs=1e-15)


def test_three_months_under_warranty_and_wear_by_hand() -> None:
    """Chances 0.1, 0.2 by age, worn in its third month, warranty of one month: every history written out.

    Month 1: 0.1 fail, covered. Month 2: of 0.9 bought at the start 0.2 fail and of the 0.1 sent 0.1; both are out of
    warranty, so paid. Month 3: what came at the start is worn (0.9 x 0.8); of what was sent in month 1 (0.1 x 0.9)
    0.2 fail, paid; of what was bought in month 2 (0.9 x 0.2 + 0.1 x 0.1) 0.1 fail, covered.
    """
    found = history(unit(np.array([0.1, 0.2, 0.0]), warranty=1, lasts=3), None, 3)
    bought = 0.9 * 0.2 + 0.1 * 0.1
    assert found.worn == pytest.approx([0, 0, 0, 0.9 * 0.8], abs=1e-15)
    assert found.failures == pytest.approx([0, 0.1, bought, 0.1 * 0.9 * 0.2 + bought * 0.1], abs=1e-15)
    assert found.crowds[0].covered == pytest.approx([0, 0.1, 0, bought * 0.1], abs=1e-15)


CURVE = (FailurePoint(curve="c", age=0, rate=0.12), FailurePoint(curve="c", age=12, chance=0.5))


def test_chances_follow_the_age_of_the_unit() -> None:
    """From a rate of 12 % a year: 0.01 failures to be expected, then of the chance given; the last value holds."""
    given = -np.log(0.5)
    assert monthly_hazards(CURVE, 0, 14) == pytest.approx([0.01] * 12 + [given] * 2, abs=1e-15)
    assert monthly_hazards(CURVE, 11, 3) == pytest.approx([0.01, given, given], abs=1e-15)
    assert monthly_hazards(CURVE, 500, 1) == pytest.approx([given])
    assert monthly_hazards((FailurePoint(curve="c", age=0, chance=1.0),), 0, 1) == [np.inf]


@pytest.mark.parametrize(("used_up", "lasts", "until"), [(0, 7, 90), (3, 7, 88), (3, 7, 87), (59, 60, 1), (5, 6, 0)])
def test_what_only_wears_is_replaced_each_time_its_life_is_over(used_up: int, lasts: int, until: int) -> None:
    """Month by month: as often as the life goes into the months, those gone before included; never under warranty."""
    first, later = (unit(np.zeros(until), lasts=left, warranty=500) for left in (lasts - used_up, lasts))
    found = history(first, later, until)
    whole = [(month + used_up) // lasts for month in range(until + 1)]
    assert np.cumsum(found.worn).tolist() == whole
    assert not found.failures.any()
    assert not sum(crowd.covered for crowd in found.crowds).any()


def paid(found: History) -> np.ndarray:
    """Failures that no warranty covers, by month."""
    return found.failures - sum(crowd.covered for crowd in found.crowds)


WARRANTIES = [(q, w) for q in (0.004, 0.03, 0.4) for w in (0, 1, 7, 24, 59, 60, 200)]


@pytest.mark.parametrize(("chance", "warranty"), WARRANTIES)
def test_a_warranty_for_each_unit_bought_where_lives_have_no_memory(chance: float, warranty: int) -> None:
    """The n-th paid failure is the first one after n whole warranties and n waits, each geometric, together negative
    binomial. Of those bought so far, each has had as many months under warranty as it has been here, at most all."""
    months, nth = np.arange(61), np.arange(1, 62)[:, np.newaxis]
    found = history(unit(np.full(60, chance), warranty=warranty), None, 60)
    waited = months - nth * warranty - nth
    assert paid(found).cumsum() == pytest.approx(nbinom.cdf(waited, nth, chance).sum(0), abs=1e-12)
    bought = (months == 0) + nbinom.pmf(waited, nth, chance).sum(0)
    under = np.clip(months[:, np.newaxis] - months, 0, warranty) @ bought
    assert sum(crowd.covered for crowd in found.crowds).cumsum() == pytest.approx(chance * under, abs=1e-12)
    assert found.failures[1:] == pytest.approx(np.full(60, chance), rel=1e-12), "who pays changes no failure"


@pytest.mark.parametrize(("until", "share"), [(5.0, 0.3), (5.0, 0.05), (2.0, 0.45), (0.8, 0.4), (12.0, 0.15)])
def test_a_warranty_in_continuous_time(until: float, share: float) -> None:
    """Expected purchases within L under a warranty of W: the sum over n of P(a Gamma time of n waits <= L - n W)."""
    counts = np.arange(1, 100)
    closed = gamma.cdf(until - counts * share * until, counts).sum()
    found = [
        paid(history(unit(exponential(np.full(n, until / n)), warranty=round(share * n)), None, n)).sum()
        for n in STEPS
    ]
    (middle, fine), limit = found[1:], extrapolated(found)
    assert abs(fine - closed) < 0.51 * abs(middle - closed), "the error is proportional to the step"
    assert limit == pytest.approx(closed, abs=2 * (until / STEPS[-1]) ** 3), "and what is left is of third order"
