"""What is said of a simulation is true: its numbers are those found, and it fits whatever was found."""

from __future__ import annotations

import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tco.ask.simulated import Simulated
from tco.study import Range
from tco.write.chance_figures import favourite, is_cheapest, mates, runner_up
from tco.write.chance_words import PRINTED, TYPED, answers, notes
from tests.write.chances import DISK, PRICE, Draws, compared, four, simulated, with_ranges


def said(costs: dict[str, Draws], **more: object) -> list[str]:
    return answers(simulated(compared(), costs, **more), TYPED)  # type: ignore[arg-type]


def of(*parts: tuple[float, int]) -> Draws:
    """Draws with so many of each value."""
    return np.concatenate([np.full(count, value) for value, count in parts])


def test_the_answer_is_said_with_its_numbers() -> None:
    """Percentiles of a hundred draws by hand: from 5,500 up by 11, so 100 a month up by 0.2."""
    costs = {"minis": 5500.0 + 11 * np.arange(100), "rented": np.full(100, 6200.0)}
    low, middle, high = (5500 + 11 * 99 * share for share in (0.1, 0.5, 0.9))
    assert said(costs)[:3] == [
        "minis is most often the cheapest, in 64.0 % +- 4.8 % of 100 draws; next is rented, in 36.0 % +- 4.8 %.",
        f"minis costs {middle / 55:.2f} EUR a month, spread evenly, in the middle of the draws (P50), and "
        f"{low / 55:.2f} to {high / 55:.2f} EUR in eight draws of ten (P10 to P90).",
        f"minis costs from {6200 - low:.0f} EUR less to {high - 6200:.0f} EUR more than rented in eight draws of "
        "ten, over 5 years, at its worth at the start.",
    ]
    assert (round(middle / 55, 2), round(low / 55, 2), round(high / 55, 2)) == (109.90, 101.98, 117.82)


def test_the_dearest_year_is_said() -> None:
    found = simulated(compared(), four())
    best = found.outcomes[1]
    year = max(best.years[1:], key=lambda own: own.worst)
    assert answers(found, TYPED)[-1] == (
        f"The dearest year of quiet minis after the start costs {best.worst_year.p50:,.0f} EUR in the middle of the "
        f"draws, and at most {best.worst_year.p90:,.0f} EUR in nine of ten; most often that is {year.name}, in "
        f"{100 * year.worst:.1f} % of the draws."
    )


def test_one_scenario_alone() -> None:
    told = said({"minis": four()["quiet minis"]})
    assert told[0] == "minis is the only scenario, so that no other can be cheaper."
    assert len(told) == 3
    assert not any("than" in sentence for sentence in told)


def test_only_one_meets_the_needs() -> None:
    told = said(four(), misses=("old servers", "modern boards", "rented space"))
    assert told[0] == "Only quiet minis meets all needs; the others are not ranked."
    assert not any(name in sentence for sentence in told for name in ("servers", "boards", "rented"))


def test_none_meets_the_needs() -> None:
    told = said(four(), misses=tuple(four()))
    assert told[0].startswith(
        "No scenario meets all needs; among all 4 quiet minis is most often the cheapest, in 95."
    )


def test_some_meet_the_needs() -> None:
    told = said(four(), misses=("old servers", "modern boards"))
    assert told[0].startswith("Among the 2 that meet all needs quiet minis is most often the cheapest, in 95.")


def test_certain_scenarios_have_no_spread_to_tell() -> None:
    assert said({"rented": np.full(500, 5500.0), "bought": np.full(500, 6600.0)}) == [
        "rented is the cheapest in all 500 draws.",
        "rented costs 100.00 EUR a month, spread evenly, in every draw: none of it is left to chance.",
        "rented costs 1,100 EUR less than bought in every draw, over 5 years, at its worth at the start.",
        "The dearest year of rented after the start, year 5, costs 726 EUR in every draw.",
    ]


def test_a_cost_that_is_nearly_always_the_same() -> None:
    told = said({"minis": of((5500, 95), (9900, 5))})
    assert told[1] == "minis costs 100.00 EUR a month, spread evenly, in at least eight draws of ten."


def test_two_that_cost_the_same_in_every_draw() -> None:
    minis = four()["quiet minis"]
    assert said({"a": minis, "b": minis.copy()})[0] == "a and b cost the same in all 10,000 draws."
    told = said({"a": minis, "b": minis.copy(), "c": of((4900.0, 10_000))})
    count = int((minis < 4900).sum())
    share, error = count / 100, np.sqrt(count / 1e4 * (1 - count / 1e4))  # in %: over the root of 10,000, times 100
    assert told[0] == (
        f"a and b cost the same in every draw; they are the cheapest in {share:.1f} % +- {error:.1f} % of 10,000 "
        "draws."
    )
    assert told[2].startswith("a costs from ")
    assert " than c in eight draws of ten" in told[2]


def test_those_that_always_cost_the_same_are_counted_together() -> None:
    """Each of the twins has three draws of ten; together they are the cheapest more often than the third one."""
    twin = of((100, 60), (300, 40))
    told = said({"lone": np.full(100, 200.0), "a": twin, "b": twin.copy()})
    assert told[0] == "a and b cost the same in every draw; they are the cheapest in 60.0 % +- 4.9 % of 100 draws."
    twin = of((100, 40), (300, 60))
    told = said({"lone": np.full(100, 200.0), "a": twin, "b": twin.copy()})
    assert told[0] == (
        "lone is most often the cheapest, in 60.0 % +- 4.9 % of 100 draws; next, alike in every draw, are a and b, "
        "in 40.0 % +- 4.9 %."
    )


def test_the_cheapest_on_average_is_not_the_most_often_cheapest() -> None:
    """Seven draws of ten cost 100, three 1,000: 370 on average, against 200."""
    told = said({"risky": of((100, 700), (1000, 300)), "sure": np.full(1000, 200.0)})
    assert told[0].startswith(
        "risky is most often the cheapest, in 70.0 % +- 1.4 % of 1,000 draws; next is sure, in 30.0"
    )
    error = float(of((100, 700), (1000, 300)).std(ddof=1)) / 1000**0.5
    assert told[3] == f"On average, though, sure costs least: 170 +- {error:.0f} EUR less than risky over 5 years."
    told = said({"risky": of((100, 7), (450, 3)), "sure": np.full(10, 200.0)})
    assert told[3].startswith("On average, though, sure costs least: 5 +- ")
    assert told[3].endswith("over 5 years, which is too little to tell by so few draws.")
    assert not any("On average" in sentence for sentence in said(four()))


def test_rare_draws_are_counted() -> None:
    told = said({"minis": of((100, 9997), (300, 3)), "rented": np.full(10_000, 200.0)})
    assert told[0] == "minis is most often the cheapest, in all but 3 of 10,000 draws; next is rented, in 3."
    assert "0.0 %" not in " ".join(told)


def test_equally_often_and_too_close_to_tell() -> None:
    told = said({"a": of((1, 50), (5, 50)), "b": of((3, 100))})
    assert told[0] == "a and b are the cheapest equally often, each in 50.0 % +- 5.0 % of 100 draws."
    told = said({"a": of((1, 52), (5, 48)), "b": of((3, 100))})
    assert told[0].endswith("48.0 % +- 5.0 %; so few draws cannot tell which of these it is more often.")
    told = said({"a": of((1, 62), (5, 38)), "b": of((3, 100))})
    assert "cannot tell" not in told[0]


def test_draws_that_cost_the_same_are_no_win() -> None:
    """With a warranty: never dearer, the same in eight draws of ten; half of those count for each."""
    told = said({"warranty": np.full(1000, 500.0), "none": of((500, 800), (900, 200))})
    assert told[0].startswith("warranty is most often the cheapest, in 60.0 %")
    assert told[2] == (
        "warranty costs 0 to 400 EUR less than none in eight draws of ten, over 5 years, at its worth at the start; "
        "it costs less in 20.0 % +- 1.3 % of 1,000 draws."
    )


def test_the_sheet_has_the_signs_of_print() -> None:
    found = simulated(compared(), {"sold": of((-5500, 60), (-4400, 40)), "b - 1 +- 2": np.full(100, 0.0)})
    typed, printed = answers(found, TYPED), answers(found, PRINTED)
    assert typed[1] == (
        "sold costs -100.00 EUR a month, spread evenly, in the middle of the draws (P50), and -100.00 to -80.00 EUR "
        "in eight draws of ten (P10 to P90)."
    )
    assert printed[1] == typed[1].replace("-1", "−1").replace("-8", "−8")
    assert "b - 1 +- 2" in " ".join(printed)


def test_what_is_left_to_chance_is_told() -> None:
    costs = four()
    (first, *_) = notes(simulated(compared(), costs), TYPED)
    assert first == (
        "10,000 draws, seed 7: the same seed gives the same figures. No input varies: the study has no ranges.csv. "
        "Only failures are left to chance."
    )
    (first, *_) = notes(simulated(compared(), costs, varied=[PRICE, DISK]), TYPED)
    assert " 2 inputs vary from draw to draw, as does which units fail. All scenarios share" in first
    (first, *_) = notes(simulated(compared(), {"a": np.full(9, 1.0)}), TYPED)
    assert first.endswith("Every draw gives the same costs.")
    rows = (Range(input="resale", low="90 %", high="110 %"),)
    (first, *_) = notes(simulated(with_ranges(compared(), *rows), costs), TYPED)
    assert "No input varies. Only failures are left to chance." in first


@pytest.mark.parametrize("varied", [(), (PRICE,)])
def test_the_exact_mean_is_explained_only_where_there_is_one(varied: tuple[object, ...]) -> None:
    told = " ".join(notes(simulated(compared(), four(), varied=varied), TYPED))  # type: ignore[arg-type]
    assert ("known exactly" in told) == (not varied)


def by_hand(found: Simulated, costs: dict[str, Draws]) -> None:
    """What the figures must be, from the draws themselves: level ones are one another's mates, and count together."""
    among = np.array([costs[name] for name in found.among])
    first = among == among.min(axis=0)
    parts = first / first.sum(axis=0)
    together = {
        name: float(parts[[bool((among[n] == row).all()) for row in among]].sum()) / found.draws
        for n, name in enumerate(found.among)
    }
    best, other = favourite(found), runner_up(found)
    assert is_cheapest(found, best).share == pytest.approx(max(together.values()))
    same = {own.scenario for own in mates(found, best)}
    assert same == {name for name in found.among if (costs[name] == costs[best.scenario]).all()}
    rest = [name for name in found.among if name not in same]
    assert (other is None) == (not rest)
    if other is not None:
        assert is_cheapest(found, other).share == pytest.approx(max(together[name] for name in rest))
    told, whole = answers(found, TYPED), " ".join(answers(found, TYPED))
    least = min(found.among, key=lambda name: costs[name].mean())
    is_least = np.isclose(costs[least].mean(), costs[best.scenario].mean(), atol=1e-9)
    assert ("On average, though" in whole) == (not is_least)
    if less := re.search(r"On average, though, (\w+) costs least", whole):
        assert costs[less[1]].mean() == pytest.approx(min(costs[name].mean() for name in found.among))
    certain = np.ptp(costs[best.scenario]) == 0
    assert ("none of it is left to chance" in whole) == certain
    if match := re.match(r"(\w+) is the cheapest in all", told[0]):
        assert (among.min(axis=0) == costs[match[1]]).all()
    if match := re.search(r"(\w) costs .* than (\w) in every draw", whole):
        apart = costs[match[1]] - costs[match[2]]
        assert np.ptp(apart) == 0
        assert ("less than" in match[0]) == (apart[0] < 0)
    assert not re.search(r"\bnever in\b|nan|inf|\b0\.0 %|100\.0 %", whole)


@settings(deadline=None)  # the first one compares the demo
@given(
    st.integers(1, 4).flatmap(lambda count: st.lists(
        st.lists(st.integers(-2, 2), min_size=6, max_size=6), min_size=count, max_size=count)),
    st.sets(st.integers(0, 3)),
)  # fmt: skip
def test_whatever_was_found_the_sentences_are_true(rows: list[list[int]], misses: set[int]) -> None:
    """Few draws of small whole numbers, so that ties of every kind are common."""
    names = "abcd"[: len(rows)]
    costs = {name: np.array(row, dtype=float) for name, row in zip(names, rows, strict=True)}
    found = simulated(compared(), costs, misses=[names[n] for n in misses if n < len(names)])
    by_hand(found, costs)
