"""Several meetings, meetings beside the range's ends, and what is put in again: against roots known beforehand.

The studies pay and receive single amounts, so that what lies between two scenarios is a polynomial in
1 / (1 + discount) whose roots are chosen; no figure of tco's is used to make them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import pytest

import tco
from tco.ask import breakeven as asked
from tco.ask.breakeven import Ends, Level, breakeven
from tco.ask.level import verify, with_ends
from tco.ask.vary_roots import ALIKE, CROSSES, JUMPS, SAME, TOUCHES, Meeting, meetings
from tco.engine import Array
from tco.errors import LevelError
from tco.model.measure import LEVEL

LARGE = 1e6  # so that even two discounts a tenth of a per cent apart have cents between them


def flows(roots: Sequence[float]) -> Array:
    """Amounts at the starts of years whose present value is 0 at just these discounts."""
    found = np.array([LARGE])
    for root in roots:
        found = np.convolve(found, [1.0, -(1.0 + root)])
    return found


def study_of(folder: Path, roots: Sequence[float]) -> Path:
    """A study in which one scenario costs those amounts more than the other, which costs 1,000 at the start."""
    amounts = flows(roots)
    rows = [f"wavy,year {year},{12 * year},{amount!r} EUR" for year, amount in enumerate(amounts.tolist())]
    tables = {
        "study": [
            "setting,value",
            "question,Which?",
            "currency,EUR",
            "start,2027-01",
            f"horizon,{len(amounts) - 1} years",
            "time zone,Europe/Vienna",
            "discount,3 %",
            "hour value,0 EUR/h",
        ],
        "scenarios": ["scenario,baseline", "steady,yes", "wavy,"],
        "one_offs": ["scenario,what,month,amount", "steady,all,0,1000 EUR", "wavy,all,0,1000 EUR", *rows],
    }
    folder.mkdir()
    for name, lines in tables.items():
        (folder / f"{name}.csv").write_text("\n".join([*lines, ""]), encoding="utf-8")
    return folder


def level_of(folder: Path, roots: Sequence[float], low: float | None = None, high: float | None = None) -> Level:
    comparison = tco.compare(tco.load(study_of(folder, roots)))
    return breakeven(comparison, "discount", ("wavy", "steady"), Ends(low, high)).levels[0]


@pytest.mark.parametrize(
    ("roots", "low", "high"),
    [
        ([0.1], None, None),
        ([0.1, 0.2], None, None),
        ([0.1, 0.2, 0.4], None, None),
        ([-0.3, 0.031, 0.2, 0.9], None, None),
        ([0.2, 0.201], None, None),  # both between two values that are looked at
        ([0.1, 0.101], 0.0999, 1.0),  # both in the first step
        ([0.1, 0.101], -0.5, 0.1011),  # both in the last one
        ([0.1, 0.101, 0.5], 0.0999, 1.0),
    ],
)
def test_every_discount_is_found(roots: list[float], low: float | None, high: float | None, tmp_path: Path) -> None:
    level = level_of(tmp_path / "study", roots, low, high)
    assert [met.kind for met in level.meetings] == [CROSSES] * len(roots)
    assert [met.value for met in level.meetings] == pytest.approx(roots, abs=1e-9)
    sides = [
        (-1) ** (len(roots) - n) for n in range(len(roots) + 1)
    ]  # with a high discount only the first year counts
    assert [met.before for met in level.meetings] == sides[:-1]
    assert [met.after for met in level.meetings] == sides[1:]
    assert level.costs == pytest.approx([1000.0] * len(roots), abs=LEVEL)


@pytest.mark.parametrize("root", [0.2, 0.2017])
def test_a_double_discount_touches(root: float, tmp_path: Path) -> None:
    level = level_of(tmp_path / "study", [root, root])
    assert [met.kind for met in level.meetings] == [TOUCHES]
    assert level.meetings[0].value == pytest.approx(root, abs=(LEVEL / LARGE) ** 0.5 * (1 + root))  # as flat as it is
    assert (level.meetings[0].before, level.meetings[0].after) == (1, 1)
    assert level.cheaper == "steady"


def test_discounts_at_both_ends_of_the_range(tmp_path: Path) -> None:
    level = level_of(tmp_path / "study", [0.1, 0.3], 0.1, 0.3)
    assert [met.kind for met in level.meetings] == [TOUCHES, TOUCHES]
    assert [met.value for met in level.meetings] == [0.1, 0.3]
    assert [(met.before, met.after) for met in level.meetings] == [(0, -1), (-1, 0)]
    assert level.cheaper == "wavy"


def test_a_range_without_a_meeting_says_who_costs_less(tmp_path: Path) -> None:
    level = level_of(tmp_path / "study", [0.1, 0.3], 0.11, 0.29)
    assert level.meetings == ()
    assert level.cheaper == "wavy"


def both_ways(function: Callable[[Array], Array]) -> Callable[[Array, Array], Array]:
    """One pair's difference, and the same of the pair turned round."""
    return lambda values, pairs: function(values) * np.where(pairs == 0, 1.0, -1.0)


@pytest.mark.parametrize("seed", range(8))
def test_roots_of_polynomials_at_random_are_those_chosen(seed: int) -> None:
    """One to five roots, some steps apart or twice in one; the pair turned round has the same, turned round."""
    draw = np.random.default_rng(seed)
    for _ in range(25):
        values = np.linspace(0.0, 4.0, 401)
        roots = np.cumsum(draw.uniform(0.03, 0.8, draw.integers(1, 5)))
        roots = np.sort([*roots, *roots[: draw.integers(0, 2)] + draw.uniform(1e-3, 4e-3)])  # a close second one
        roots = roots[roots < 4.0]
        of = both_ways(lambda at, own=roots: 1e7 * np.prod([at - root for root in own], axis=0))
        found = np.stack([of(values, np.array(pair)) for pair in (0, 1)], axis=1)
        scale = np.full(2, 1e7)
        one, other = meetings(*with_ends(values, found, of), scale, of)
        assert [met.kind for met in one] == [CROSSES] * len(roots)
        assert [met.value for met in one] == pytest.approx(roots.tolist(), abs=1e-9)
        assert [met.value for met in other] == pytest.approx([met.value for met in one], abs=1e-12)
        assert [(met.before, met.after) for met in other] == [(-met.before, -met.after) for met in one]
        verify([one, other], (0.0, 4.0), scale, of, ["one", "other"])


@pytest.mark.parametrize("last", [False, True])
def test_a_turn_beside_an_end_is_looked_at(last: bool) -> None:
    """Without it both meetings in that step would be missed."""
    values = np.linspace(0.0, 4.0, 401)
    middle = 3.996 if last else 0.004
    of = both_ways(lambda at: 1e6 * ((at - middle) ** 2 - 1e-6))
    found = of(values, np.array(0))[:, None]
    assert meetings(values, found, np.ones(1), of) == [[]]
    own, differences = with_ends(values, found, of)
    assert len(own) == 402
    assert own[-2 if last else 1] == pytest.approx(middle, abs=1e-4)
    assert differences == pytest.approx(of(own, np.array(0))[:, None])
    met = meetings(own, differences, np.ones(1), of)[0]
    assert [one.value for one in met] == pytest.approx([middle - 1e-3, middle + 1e-3], abs=1e-9)


def test_what_does_not_turn_beside_an_end_is_left_as_it_is() -> None:
    values = np.linspace(0.0, 4.0, 401)
    for function in (lambda at: 1e4 * (at + 1) ** 2, lambda at: 3.0 - 0 * at, lambda at: at - 2.0):
        found = both_ways(function)(values, np.array(0))[:, None]
        assert with_ends(values, found, both_ways(function))[0] is values


LINE = both_ways(lambda at: 100.0 * (at - 2.0))
FALSE = {
    "a value beside the meeting": (Meeting(CROSSES, 2.001, 2.001, -1, 1), "they should cost the same"),
    "no number": (Meeting(CROSSES, float("nan"), float("nan"), -1, 1), "they should cost the same"),
    "sides turned round": (Meeting(CROSSES, 2.0, 2.0, 1, -1), "the other one should cost less"),
    "a touch that is none": (Meeting(TOUCHES, 2.0, 2.0, -1, -1), "the other one should cost less"),
    "a stretch that is none": (Meeting(SAME, 1.9, 2.3, -1, 1), "they should cost the same"),
    "a jump on the wrong side": (Meeting(JUMPS, 3.0, 3.0, 1, -1), "the other one should cost less"),
}


@pytest.mark.parametrize("name", FALSE)
def test_a_false_meeting_is_caught(name: str) -> None:
    met, told = FALSE[name]
    with pytest.raises(LevelError, match=told):
        verify([[met]], (0.0, 4.0), np.array([1000.0]), LINE, ["minis and servers, hour value"])


def test_a_true_meeting_passes_and_rounding_of_large_costs_is_no_fault() -> None:
    true = [Meeting(CROSSES, 2.0, 2.0, -1, 1)]
    verify([true, [Meeting(CROSSES, 2.0, 2.0, 1, -1)]], (0.0, 4.0), np.array([1.0, 1.0]), LINE, ["", ""])
    verify([[], []], (0.0, 4.0), np.array([1.0, 1.0]), LINE, ["", ""])
    beside = [Meeting(CROSSES, 2.0002, 2.0002, -1, 1)]  # two cents apart
    verify([beside], (0.0, 4.0), np.array([0.021 / ALIKE]), LINE, [""])
    with pytest.raises(LevelError):
        verify([beside], (0.0, 4.0), np.array([0.019 / ALIKE]), LINE, [""])


def test_a_meeting_that_was_missed_is_caught() -> None:
    """Two crossings of the same kind in a row: there must be another one between."""
    of = both_ways(lambda at: 100.0 * (at - 1.0) * (at - 2.2) * (at - 3.0))
    met = [Meeting(CROSSES, 1.0, 1.0, -1, 1), Meeting(CROSSES, 3.0, 3.0, -1, 1)]
    with pytest.raises(LevelError):
        verify([met], (0.0, 4.0), np.array([1.0]), of, ["minis and servers, hour value"])


def test_a_false_value_never_reaches_the_answer(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """The whole way: were the search to return another value, nothing is told."""
    comparison = tco.compare(tco.load(study_of(tmp_path / "study", [0.1])))

    def wrong(*_: object) -> list[list[Meeting]]:
        return [[Meeting(CROSSES, 0.1001, 0.1001, -1, 1)]]

    monkeypatch.setattr(asked, "meetings", wrong)
    with pytest.raises(
        LevelError, match=r"^wavy and steady, discount at 0\.1001: they are .* this is a fault of tco"
    ):
        breakeven(comparison, "discount", ("wavy", "steady"))
