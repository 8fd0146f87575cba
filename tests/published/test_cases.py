"""Every printed figure comes out; what is allowed beyond its digits has a reason. The checks: cases.py."""

from __future__ import annotations

import pytest

from tests.published.cases import CHECKS, SUBJECTS
from tests.published.record import STATUSES, Check, Wrong
from tests.published.sources import HANDOUT
from tests.published.written import alone, comparison, figure
from tests.published.wrong import WRONG


@pytest.mark.parametrize("name", CHECKS)
def test_what_was_printed_comes_out(name: str) -> None:
    check = CHECKS[name]
    assert check.ours() == pytest.approx(check.value, abs=check.within, rel=0), check.source.cite


@pytest.mark.parametrize("name", CHECKS)
def test_only_a_reason_allows_more_than_half_of_the_last_digit(name: str) -> None:
    check = CHECKS[name]
    assert bool(check.more) == bool(check.why)
    assert check.more >= 0
    assert check.source.status in STATUSES


def test_no_check_is_lost_or_said_twice() -> None:
    each = ((subject.title, check) for subject in SUBJECTS for check in subject.checks)
    said = [(title, check.name, check.printed, check.source.short) for title, check in each]
    assert len(CHECKS) == len(said) == len(set(said))
    assert len(said) > 300


@pytest.mark.parametrize(
    ("printed", "value", "within"),
    [
        ("1,530.07", 1530.07, 0.005),
        ("-0.82", -0.82, 0.005),
        ("20 %", 0.2, 0.005),
        ("-44.4 %", -0.444, 0.0005),
        ("68,400", 68400, 0.5),
        ("273.14193838457", 273.14193838457, 5e-12),
    ],
)
def test_printed_text_gives_number_and_tolerance(printed: str, value: float, within: float) -> None:
    check = Check("x", printed, HANDOUT, lambda: 0.0)
    assert check.value == pytest.approx(value, rel=1e-15)
    assert check.within == pytest.approx(within)


@pytest.mark.parametrize("wrong", WRONG, ids=[wrong.name for wrong in WRONG])
def test_a_wrong_answer_does_not_come_out_of_the_right_inputs(wrong: Wrong) -> None:
    right, false = wrong.correct, wrong.false
    assert wrong.ours() == pytest.approx(right.value, abs=right.within, rel=0)
    assert abs(wrong.ours() - false.value) > 10 * (right.within + false.within)


@pytest.mark.parametrize("wrong", [wrong for wrong in WRONG if wrong.mistaken], ids=lambda wrong: wrong.name)
def test_the_same_mistake_gives_the_posted_answer(wrong: Wrong) -> None:
    assert wrong.false.ours() == pytest.approx(wrong.false.value, abs=wrong.false.within, rel=0)


def test_an_example_is_worked_out_once_and_not_for_another() -> None:
    one, other = alone(2, 0.05), alone(2, 0.06)
    assert comparison(one) is comparison(alone(2, 0.05))
    assert comparison(one) is not comparison(other)
    assert figure(one, "month_rate") != figure(other, "month_rate")
