"""What `tco vary` prints fits the screen, and its table and letters say what was found."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import numpy as np
import pytest

from tco.ask.inputs import inputs
from tco.ask.vary import Flip, Variation
from tco.ask.vary_ends import Choice
from tco.ask.vary_grid import NOBODY
from tco.write.chance_words import TYPED
from tco.write.vary_figures import letter
from tco.write.vary_grid_text import grid_text, picked
from tco.write.vary_text import TOP, varied_text
from tco.write.vary_words import answers
from tests.write.chances import compared
from tests.write.variations import HOUR, PRICE, axis, choice, hostile, lattice, swing, variation, years

FILES = [Path("out") / name for name in ("vary.xlsx", "vary.csv")]


def printed(found: Variation) -> list[str]:
    return varied_text(found, FILES).splitlines()


def words(lines: list[str]) -> str:
    return " ".join(" ".join(lines).split())


def test_the_answer_comes_first_then_the_table_then_the_grid_then_the_files() -> None:
    comparison = compared()
    grid = lattice(comparison, axis(choice(comparison, HOUR, 1, 2).input, 5), years(1, 2))
    lines = printed(variation(grid=grid))
    assert lines[0] == "Which storage cluster for our flat in Graz?"
    assert words(lines[2 : lines.index("", 2)]) == words(answers(variation(), TYPED))
    places = [next(n for n, line in enumerate(lines) if line.startswith(start)) for start in
              ("EUR over 5 years", "Who is the cheapest:", "Each input was varied", "written:")]  # fmt: skip
    assert places == sorted(places)
    assert lines[-3:] == ["written:", "  out/vary.xlsx", "  out/vary.csv"]


def test_the_table_has_ends_and_what_they_change() -> None:
    lines = printed(variation())
    rule = next(n for n, line in enumerate(lines) if line.startswith("---"))
    assert lines[rule + 1].split("  ")[0] == "electricity price"
    assert lines[rule + 1].split()[2:] == ["80", "%", "170", "%", "-1,246", "+4,362", "A"]
    assert lines[rule + 2].split() == ["hour", "value", "[EUR/h]", "6", "20", "-668", "+891", "A"]
    assert lines[rule + 3] == "quantity of mini PC, 4 cores, two drive bays"
    assert lines[rule + 4].split() == ["3", "5", "-304", "+304", "B"]
    assert lines[rule + 5] == ""
    assert "A old servers, B quiet minis, C modern boards, D rented space" in words(lines)


def test_the_largest_twelve_are_shown_and_the_rest_is_counted() -> None:
    comparison = compared()
    own = [
        swing(comparison, choice(comparison, name, 1.0, 2.0), (-5.0, 5.0)) for name in list(inputs(comparison))[:20]
    ]
    lines = printed(variation(swings=own))
    rule = next(n for n, line in enumerate(lines) if line.startswith("---"))
    end = lines.index("and 8 more, on sheet What matters")
    assert sum(line.endswith("  A") for line in lines[rule + 1 : end]) == TOP
    assert "more, on sheet" not in words(printed(variation(swings=own[:TOP])))


@pytest.mark.parametrize("scale", [1e-3, 1.0, 1e6, 1e12])
def test_everything_fits_the_screen(scale: float) -> None:
    comparison = hostile()
    names = [ground.scenario.scenario for ground in comparison.built.grounds]
    wide = [Choice(one, 1e-7 * scale, 123456.789 * scale) for one in list(inputs(comparison).values())[:30]]
    flips = [Flip(0.5 * scale, names[0], names[1]), Flip(2.0 * scale, names[1], names[2])]
    own = [swing(comparison, one, (-scale, 1.5 * scale), (0.0, -2.0 * scale), flips=flips) for one in wide]
    price = choice(comparison, PRICE, 0.5, 2.0).input
    grid = lattice(
        comparison, axis(price, 200, 37), axis(choice(comparison, "discount", 0, 1).input, 150), misses=True
    )
    found = dataclasses.replace(variation(comparison, own, grid), among=tuple(names))
    lines = printed(found)
    assert max(map(len, lines)) <= 80
    assert all(line.isprintable() for line in lines)
    assert "nan" not in words(lines).split()


def rows_of(lines: list[str]) -> list[list[str]]:
    """The letters of a printed grid."""
    rule = next(n for n, line in enumerate(lines) if line.startswith("---"))
    return [line[14:].split() for line in lines[rule + 1 : lines.index("", rule)]]


def test_each_cell_has_the_letter_of_the_cheapest() -> None:
    comparison = compared()
    grid = lattice(
        comparison, axis(choice(comparison, HOUR, 1, 2).input, 7, 2), years(1, 2, 3, 4, 5, stated=4), level=3
    )
    found = rows_of(grid_text(grid))
    for row, column in np.ndindex(7, 5):
        number = int(grid.cheapest[row, column])
        assert found[row][column] == ("=" if number == NOBODY else letter(number))
    marks = rows_of(grid_text(dataclasses.replace(grid, misses=grid.cheapest == 1)))
    assert {cell for row in marks for cell in row if cell.startswith("B")} == {"B'"}
    assert {cell[1:] for row in marks for cell in row if not cell.startswith("B")} == {""}
    lines = grid_text(grid)
    marked = [line.split() for line in lines if "*" in line]
    assert marked[0] == ["1", "2", "3", "4", "5*"]
    assert marked[1] == ["12*", *found[2]]  # half to twice of 12 in seven steps of 3
    assert [line[-1] for line in marked[2:]] == ["says"]


def test_of_a_large_grid_some_rows_and_columns_are_shown_and_that_is_said() -> None:
    comparison = compared()
    one, other = (choice(comparison, name, 1, 2).input for name in (HOUR, "discount"))
    grid = lattice(comparison, axis(one, 100, 33), axis(other, 60, 7))
    rows, columns = picked(100, 26, 33), picked(60, 7, 7)
    found = rows_of(grid_text(grid))
    assert (len(found), len(found[0])) == (len(rows), len(columns)) == (26, 7)
    for text, row in zip(found, rows, strict=True):
        assert text == [letter(int(grid.cheapest[row, column])) for column in columns]
    assert grid_text(grid)[-1] == "26 of 100 rows and 7 of 60 columns; vary_grid.csv has all"


@pytest.mark.parametrize(
    ("count", "most", "stated"), [(100, 26, 33), (5, 26, None), (26, 26, 3), (27, 26, 25), (2, 13, 1)]
)
def test_rows_that_are_shown_have_the_ends_and_the_study_s(count: int, most: int, stated: int | None) -> None:
    own = picked(count, most, stated)
    assert own == sorted(set(own))
    assert len(own) == min(count, most)
    assert {0, count - 1} <= set(own)
    assert stated is None or stated in own
