"""What varying inputs finds, in sentences: each says what was found, and no more."""

from __future__ import annotations

import dataclasses

import pytest

import tco
from tco.ask.vary import Flip
from tco.ask.vary_grid import NOBODY
from tco.write.chance_words import PRINTED, TYPED
from tco.write.vary_figures import Lead, lead, nearest, number_format, ranked_first, turning, value_of
from tco.write.vary_words import answers, grid_answer, grid_heading, meeting, notes, turn
from tests.write.chances import compared
from tests.write.variations import COUNT, HOUR, PRICE, axis, choice, lattice, stated, swing, three, variation, years


def told(found) -> list[str]:
    return answers(found, TYPED)


def test_the_answer_of_the_demo() -> None:
    found = variation()
    minis, rented = stated(found.comparison)[1], stated(found.comparison)[3]
    assert told(found) == [
        "As the study stands, among the 2 that meet all needs quiet minis is the cheapest: "
        f"{rented - minis:,.0f} EUR less than rented space over 5 years.",
        "What matters most to those that meet all needs is electricity price: from 80 % to 170 % of what the study "
        "says, quiet minis costs 201 EUR less to 704 EUR more than as the study stands, over 5 years. Next are hour "
        "value and quantity of mini PC, 4 cores, two drive bays.",
        "1 of 3 inputs change who is the cheapest: electricity price (from 131.5 % up rented space).",
        "2 inputs change who meets all needs: quantity of mini PC, 4 cores, two drive bays (quiet minis no longer "
        "at 5); data held (quiet minis no longer at 14.4 TB).",
    ]


def test_what_changes_only_unranked_ones_comes_last() -> None:
    """The largest change is one of old servers, which miss a need; a small one of quiet minis is told first."""
    large = swing(compared(), choice(compared(), PRICE, 0.8, 1.7), (-1000.0, 4000.0))
    small = swing(compared(), choice(compared(), HOUR, 6.0, 20.0), (0.0, 0.0), (-9.0, 9.0))
    assert [one.choice.input.name for one in ranked_first(variation(swings=[large, small]))] == [HOUR, PRICE]
    assert "old servers costs" in told(variation(swings=[large]))[1]


def test_who_leads_is_told_with_those_that_are_level() -> None:
    comparison = compared("small")
    costs = dict(zip((g.scenario.scenario for g in comparison.built.grounds), stated(comparison), strict=True))
    every = dataclasses.replace(variation(comparison, []), among=tuple(costs))
    order = sorted(costs, key=costs.__getitem__)
    assert lead(every) == Lead((order[0],), order[1], costs[order[1]] - costs[order[0]])
    alone = dataclasses.replace(every, among=(order[2],))
    assert lead(alone) == Lead((order[2],))
    assert told(alone)[0] == f"Only {order[2]} meets all needs as the study stands; the others are not ranked."


def test_scenarios_that_cost_the_same_are_named_together() -> None:
    comparison = compared("small")
    first = dataclasses.replace(comparison.built.grounds[0].scenario, baseline=True)
    twin = dataclasses.replace(first, scenario="twin", baseline=False)
    study = dataclasses.replace(comparison.study, needs=None, scenarios=(first, twin), ranges=())
    found = variation(tco.compare(study), [])
    found = dataclasses.replace(found, among=(first.scenario, "twin"))
    assert told(found)[0] == f"As the study stands, {first.scenario} and twin cost the same."
    single = dataclasses.replace(comparison.study, needs=None, scenarios=(first,), ranges=())
    assert told(variation(tco.compare(single), []))[0] == (
        f"{first.scenario} is the only scenario, so that no other can be cheaper."
    )


def test_nothing_that_matters_and_nothing_that_turns() -> None:
    assert told(variation(swings=[]))[1] == "No input that was varied changes any cost by as much as half a cent."
    still = [dataclasses.replace(own, flips=()) for own in three(compared())]
    assert told(variation(swings=still))[2] == (
        "No single input changes who is the cheapest: none of 3 does between its low and its high end."
    )


@pytest.mark.parametrize(
    ("flip", "words"),
    [
        (Flip(14.25, "quiet minis", "rented space"), "from 14.25 EUR/h up rented space"),
        (Flip(7.123456, "rented space", "quiet minis"), "below 7.123 EUR/h rented space"),
    ],
)
def test_a_flip_is_told_from_the_study_s_side(flip: Flip, words: str) -> None:
    own = swing(compared(), choice(compared(), HOUR, 6.0, 20.0), (-5.0, 5.0), flips=[flip])
    assert turn(own, TYPED) == words


def test_the_flip_that_needs_least_comes_first() -> None:
    near = Flip(13.0, "quiet minis", "rented space")
    far = Flip(6.5, "modern boards", "quiet minis")
    own = swing(compared(), choice(compared(), HOUR, 6.0, 20.0), (-9.0, 9.0), flips=[far, near])
    assert nearest(own) is near
    found = variation(swings=[*three(compared())[:1], own])
    assert [one.choice.input.name for one in turning(found)] == [HOUR, PRICE]


def test_who_meets_all_needs_at_which_end() -> None:
    found = variation()
    count = found.swings[2]
    assert meeting(found, count, TYPED) == "quiet minis no longer at 5"
    both = dataclasses.replace(count, meets_low=count.meets_high)
    assert meeting(found, both, TYPED) == "quiet minis no longer at 3 and 5"
    other = dataclasses.replace(count, meets_high=(True, True, False, True))
    assert meeting(found, other, TYPED) == "old servers too at 5"


@pytest.mark.parametrize(
    ("name", "value", "typed"),
    [(PRICE, 1.31488, "131.5 %"), (HOUR, 19.574296, "19.57 EUR/h"), ("data growth", -0.014, "-1.4 %"),
     (COUNT, 3.0, "3"), (HOUR, 1.23456789e9, "1.235e+09 EUR/h"), (HOUR, 0.0, "0 EUR/h")],
)  # fmt: skip
def test_values_are_written_as_people_write_them(name: str, value: float, typed: str) -> None:
    one = choice(compared(), name, 0.0, 1.0).input
    assert value_of(one, value, TYPED, 4) == typed
    assert value_of(one, value, PRINTED, 4) == typed.replace("-", "−")


def test_a_spreadsheet_shows_the_digits_that_a_value_has() -> None:
    hour, price = (choice(compared(), name, 0.0, 1.0).input for name in (HOUR, PRICE))
    assert number_format(hour, 12.0) == '#,##0;"−"#,##0;0'
    assert number_format(hour, 0.0725) == '#,##0.0000;"−"#,##0.0000;0'
    assert number_format(price, 0.8) == '#,##0%;"−"#,##0%;0%'
    assert number_format(price, 1.315) == '#,##0.0%;"−"#,##0.0%;0%'


def test_notes_say_how_far_and_what_was_left_out() -> None:
    text = " ".join(notes(variation()))
    assert "2 as ranges.csv says, the others 20 % less and more than the study says, counts one less (not to" in text
    assert "3 inputs change a cost, 1 only who meets all needs; 70 change nothing; 110 were left alone" in text
    assert "what goes with it stays as it is" in text
    assert "As the study has it, whatever the value" not in text
    plain = variation(swings=[swing(compared(), choice(compared(), HOUR, 6.0, 20.0), (-5.0, 5.0))])
    assert "ranges.csv" not in " ".join(notes(plain))
    assert "what goes with it" not in " ".join(notes(plain))


def test_a_grid_in_words() -> None:
    comparison = compared()
    price = choice(comparison, PRICE, 0.5, 2.0).input
    grid = lattice(comparison, axis(price, 6), years(1, 2, 3), level=2)
    assert grid_heading(grid) == (
        "Who is the cheapest: electricity price (of what the study says) down, years (all sold then) across"
    )
    counts = sorted(
        ((int((grid.cheapest == number).sum()), name) for number, name in enumerate(grid.names)), reverse=True
    )
    words = grid_answer(grid)
    assert words.startswith(f"Cheapest in 18 cells: {counts[0][1]} in {counts[0][0]}, ")
    assert words.endswith(", in 2 several cost the same.")
    assert sum(count for count, _ in counts) + 2 == (grid.cheapest != NOBODY).sum() + 2 == 18
    one = dataclasses.replace(grid, cheapest=grid.cheapest * 0 + 1)
    assert grid_answer(one) == "quiet minis is the cheapest in all 18 cells."
