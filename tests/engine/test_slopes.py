"""Slopes are differences: the figure with one unit more in a row, less the figure without it."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

import numpy as np
import pytest

from tco.engine import FUNCTIONS, Column, Model, Slopes, at, call, evaluate

ROWS = 4
LINEAR = [(name, number) for name, one in FUNCTIONS.items() for number, rule in enumerate(one.slopes) if rule]


def differences(model: Model, figure: Column, column: Column) -> np.ndarray:
    """By how much the figure is more with one more in each row, shape (rows,)."""
    more = column.values + np.eye(len(column.values))
    return evaluate(model, {column: more})[figure][:, 0] - evaluate(model)[figure][0]


SAID = {  # arguments that decide which values count: both ways, and on the edge
    ("where", 0): [1.0, 0.0, 0.0, 2.0],
    ("convolved_since", 2): [0.0, 1.0, 1.0, 2.0],
    ("convolved_since", 3): [1.0, 1.0, 0.0, 2.0],
}


def drawn(draw: Random, reach: str) -> list[float]:
    """Numbers for an argument; keys come more than once."""
    return [float(draw.randrange(2)) if reach.startswith("key") else draw.uniform(0.5, 3) for _ in range(ROWS)]


def weighed(model: Model, result: Column) -> Column:
    """A figure that counts each row of a column by another weight."""
    weights = model.given(result.table, "weights", "weights", "", [1.0, 10.0, 0.0, -3.0][: len(result.table.rows)])
    product = model.column(result.table, "weighed", "weighed", "", result * weights)
    return model.column(model.table("one", "One", ["here"]), "figure", "figure", "", call("sum_of", product))


def case(name: str, columns: Sequence[int], rows: int = ROWS) -> tuple[Model, Column, list[Column]]:
    """A function over drawn columns (those of the given numbers; others hold one row), and a figure of its result."""
    draw, model = Random(len(name)), Model()
    tables = {True: model.table("t", "T", [str(row) for row in range(rows)]), False: model.table("s", "S", ["only"])}
    given = [
        model.given(
            tables[n in columns],
            f"x{n}",
            "x",
            "",
            SAID.get((name, n), drawn(draw, reach))[: rows if n in columns else 1],
        )
        for n, reach in enumerate(FUNCTIONS[name].reach)
    ]
    result = model.column(tables[True], "result", "result", "", call(name, *given))
    return model, weighed(model, result), given


def test_there_are_functions_that_say_so():
    both = [(name, number) for name in ("add", "subtract", "multiply") for number in (0, 1)]
    others = [("where", 1), ("where", 2), *((name, 0) for name in ("divide", "sum_of", "sum_where"))]
    assert {*both, *others, ("convolved", 0), ("convolved_since", 0)} == set(LINEAR)


@pytest.mark.parametrize(("name", "number"), LINEAR)
def test_each_linear_argument(name, number):
    model, figure, given = case(name, range(9))
    found = Slopes(model, figure, [given[number]])(evaluate(model))
    expected = differences(model, figure, given[number])
    np.testing.assert_allclose(found[given[number]] + np.zeros(ROWS), expected, rtol=1e-9, atol=1e-9)
    assert np.ptp(expected) or not np.any(expected) or name == "sum_of"  # rows are told apart


@pytest.mark.parametrize(("name", "number"), [("add", 1), ("subtract", 1), ("multiply", 0), ("divide", 0)])
def test_one_row_that_meets_many_gathers_their_slopes(name, number):
    model, figure, given = case(name, [1 - number])
    found = Slopes(model, figure, [given[number]])(evaluate(model))[given[number]]
    np.testing.assert_allclose(found, differences(model, figure, given[number]), rtol=1e-9)


@pytest.mark.parametrize("name", ["convolved", "convolved_since", "multiply", "where"])
def test_draws_have_slopes_of_their_own(name):
    model, figure, given = case(name, range(9))
    varied, sought = given[1], given[0 if name != "where" else 2]
    weights = model["t.weights"]
    values, weighed_so = (one.values * np.array([[1.0], [2.0], [0.0]]) for one in (varied, weights))
    for changes in ({varied: values}, {weights: weighed_so}, {varied: values, weights: weighed_so[::-1]}):
        found = Slopes(model, figure, [sought])(evaluate(model, changes))[sought]
        for draw in range(3):
            own = {column: one[draw] for column, one in changes.items()}
            alone = Slopes(model, figure, [sought])(evaluate(model, own))[sought]
            np.testing.assert_allclose(np.broadcast_to(found, (3, ROWS))[draw], alone, rtol=1e-12)
    assert np.ptp(np.broadcast_to(found, (3, ROWS)), axis=0).any()


def chain() -> tuple[Model, Column, list[Column]]:
    """A figure that meets two columns by several ways, a fixed row among them, and one that it does not meet."""
    model = Model()
    table = model.table("t", "T", ["a", "b", "c"])
    one, two, idle = (model.given(table, name, name, "", [1.0, 2.0, 4.0]) for name in ("one", "two", "idle"))
    inner = model.column(table, "inner", "inner", "", 2.0 * one + two * at(idle, 1) + at(one, 2))
    model.column(table, "beside", "beside", "", inner * 5.0)
    outer = model.column(table, "outer", "outer", "", inner - one / idle)
    return model, weighed(model, outer), [one, two, idle]


def test_all_ways_add_up():
    model, figure, (one, two, _) = chain()
    slopes = Slopes(model, figure, [one, two])
    found = slopes(evaluate(model))
    weights, rest = [1.0, 10.0, 0.0], [2 - 1 / 1, 2 - 1 / 2, 2 - 1 / 4]
    by_hand = [weight * each for weight, each in zip(weights, rest, strict=True)]
    by_hand[2] += sum(weights)  # the fixed row, which every row adds once
    assert found[one].tolist() == by_hand
    assert found[two].tolist() == [2 * weight for weight in weights]
    assert [column.name for column in slopes.way] == ["inner", "outer", "weighed", "figure"]
    assert {column.name for column in slopes.cofactors} == {"idle", "weights"}


def test_a_fixed_row_and_a_single_row_gather_slopes_by_draw():
    model, figure, (one, _, idle) = chain()
    values, weights = idle.values * np.array([[1.0], [2.0]]), np.array([[1.0, 10.0, 0.0], [0.0, 0.0, 100.0]])
    changes = {idle: values, model["t.weights"]: weights}
    found = Slopes(model, figure, [one])(evaluate(model, changes))[one]
    # 2 - 1 / idle, weighed; the fixed row c has the sum of the weights besides
    assert found.tolist() == [[1.0, 15.0, 11.0], [0.0, 0.0, 100 * (2 - 1 / 8) + 100]]
    model, figure, given = case("multiply", [1])
    found = Slopes(model, figure, [given[0]])(evaluate(model, {model["t.weights"]: np.eye(ROWS)[:2]}))[given[0]]
    assert found.tolist() == [[given[1].values[0]], [given[1].values[1]]]


def test_what_the_figure_does_not_meet_has_slopes_of_nothing():
    model, figure, _ = chain()
    apart = model.given(model.tables["t"], "apart", "apart", "", 1.0)
    assert Slopes(model, figure, [apart])(evaluate(model))[apart].tolist() == [0.0, 0.0, 0.0]


@pytest.mark.parametrize(
    ("formula", "told"),
    [
        (lambda x: x**2.0, "figure: power is not linear"),
        (lambda x: 1.0 / x, "figure: divide is not linear"),
        (lambda x: x * x, "figure: multiply is not linear"),
        (lambda x: call("previous", x, 1.0), "is not linear"),
    ],
)
def test_what_is_not_linear_is_told(formula, told):
    model = Model()
    table = model.table("t", "T", ["a", "b", "c"])
    x = model.given(table, "x", "x", "", [1.0, 2.0, 4.0])
    figure = weighed(model, model.column(table, "y", "y", "", formula(x)))
    with pytest.raises(ValueError, match=told):
        Slopes(model, figure, [x])(evaluate(model))
