"""What is refused when a model is built, so that nothing is left to be found when it runs."""

# ruff: noqa: ARG005 (cases in tables take the same arguments)

from __future__ import annotations

import numpy as np
import pytest

from tco.engine import Constant, Model, Ref, added, at, call, evaluate, in_numbers, in_words
from tco.errors import FigureError, FormulaError
from tco.units import unit
from tests.engine.layout import formulas


@pytest.fixture
def model() -> Model:
    """Parts (2 rows), months (3 rows), other months of the same axis, and one row of settings."""
    model = Model()
    parts = model.table("parts", "Parts", ["disk", "board"])
    months = model.table("months", "Months", ["0", "1", "2"], axis="months")
    twins = model.table("twins", "Twin months", ["0", "1", "2"], axis="months")
    settings = model.table("settings", "Settings", ["all"])
    model.given(parts, "price", "price", "EUR", [100.0, 200.0], live=True)
    model.given(parts, "name", "name", None, ["disk", "board"])
    model.given(parts, "power", "power", "W", [8.0, 12.0])
    model.given(months, "hours", "hours of the month", "h", [744.0, 672.0, 744.0])
    model.given(twins, "rate", "price of a kWh", "EUR/kWh", [0.3, 0.31, 0.32])
    model.given(settings, "share", "share", "", 0.5)
    return model


def test_a_unit_is_checked_when_the_formula_is_written_not_when_it_runs(model):
    with pytest.raises(FormulaError, match=r"^parts\.price, parts\.power: add: found W, wanted EUR$"):
        model["parts.price"] + model["parts.power"]
    with pytest.raises(FormulaError, match=r"^parts\.cost: unit of the formula: found EUR, wanted USD$"):
        model.column(model.tables["parts"], "cost", "cost", "USD", model["parts.price"] * 2.0)
    assert "parts.cost" not in model.columns


def test_a_factor_is_seen_in_every_reading(model):
    power = at(model["parts.power"], 1)
    energy = model.column(model.tables["months"], "energy", "energy", "kWh", power * model["months.hours"])
    figures = evaluate(model)
    assert formulas(model, energy)[1] == "=power[1]*hours[1]*0.001"
    assert in_words(energy.formula) == "power (board) × hours of the month × 0.001 kWh/h/W"
    assert in_numbers(energy.formula, 1, figures) == "12 W × 672 h × 0.001 kWh/h/W"
    np.testing.assert_allclose(figures[energy], [8.928, 8.064, 8.928], rtol=1e-15)


def test_no_factor_where_none_is_needed(model):
    hours = model["months.hours"] * Constant(1.0, unit("kW"))
    energy = model.column(model.tables["months"], "energy", "energy", "kWh", hours)
    assert formulas(model, energy)[0] == "=hours[0]*1"


def test_a_constant_is_converted_where_it_stands(model):
    column = model.column(model.tables["settings"], "limit", "limit", "W", Constant(1.5, unit("kW")))
    assert formulas(model, column) == ["=1500"]


def test_names_are_given_once(model):
    with pytest.raises(FormulaError, match=r"^parts\.price: name: found the same name twice"):
        model.given(model.tables["parts"], "price", "again", "EUR", 1.0)
    with pytest.raises(FormulaError, match=r"^parts: name: found the same table twice"):
        model.table("parts", "Parts again", ["x"])


def test_tables_of_one_axis_have_the_same_rows(model):
    with pytest.raises(FormulaError, match=r"^late: rows of the axis months: found 2 rows, wanted those of months$"):
        model.table("late", "Late", ["1", "2"], axis="months")


def test_rows_of_another_table_do_not_meet_a_formula(model):
    with pytest.raises(FormulaError, match=r"^months\.x: rows of the formula: found parts \(price\), wanted months$"):
        model.column(model.tables["months"], "x", "x", "EUR", model["parts.price"])


def test_rows_of_one_axis_and_single_rows_do(model):
    formula = model["twins.rate"] * model["settings.share"]
    column = model.column(model.tables["months"], "half", "half", "EUR/kWh", formula)
    assert formulas(model, column)[2] == "=rate[2]*share[0]"
    np.testing.assert_allclose(evaluate(model)[column], [0.15, 0.155, 0.16], rtol=1e-15)


@pytest.mark.parametrize("name", ["previous", "running_total"])
def test_the_only_row_of_a_table_has_none_before_it(model, name):
    args = (model["settings.share"], 1.0)[: 1 if name == "running_total" else 2]
    with pytest.raises(FormulaError, match=r"found settings \(share\), wanted months$"):
        model.column(model.tables["months"], "x", "x", "", call(name, *args))


@pytest.mark.parametrize(
    "build",
    [
        lambda m: call("sum_where", m["parts.price"], m["months.hours"], m["months.hours"]),
        lambda m: call("sum_between", m["parts.price"], m["parts.power"], m["settings.power"], m["parts.power"]),
        lambda m: call("look_up", m["settings.share"], m["settings.share"], m["parts.price"]),
        lambda m: call("sum_product", m["parts.price"], m["settings.share"]),
    ],
)
def test_whole_columns_of_one_call_stand_side_by_side(model, build):
    model.given(model.tables["settings"], "power", "power", "W", 1.0)
    with pytest.raises(FormulaError, match=r"found (months|settings|parts), wanted rows of (parts|settings)$"):
        build(model)


def test_keys_are_given_never_computed(model):
    computed = model.column(model.tables["parts"], "double", "double", "EUR", model["parts.price"] * 2.0)
    with pytest.raises(FormulaError, match=r"^parts\.double: look_up: found a computed column"):
        call("look_up", computed, model["parts.price"], model["parts.power"])
    with pytest.raises(FormulaError, match=r"^parts\.price: look_up: found a computed value"):
        call("look_up", model["parts.price"] * 1.0, model["parts.price"], model["parts.power"])


def test_a_whole_column_is_a_column(model):
    with pytest.raises(
        FormulaError, match=r"^parts\.price: sum_of: found a computed value, wanted a column \(range\)$"
    ):
        call("sum_of", model["parts.price"] * 2.0)
    with pytest.raises(FormulaError, match=r"found a column \(range\), wanted a column \(cell\)$"):
        Ref(model["parts.price"], "range") + model["parts.price"]


def test_a_table_without_rows_has_no_sum(model):
    empty = model.given(model.table("none", "None", []), "price", "price", "EUR", [])
    with pytest.raises(FormulaError, match="found none, which has no rows"):
        model.column(model.tables["settings"], "x", "x", "EUR", call("sum_of", empty))


def test_columns_of_another_model_are_refused(model):
    stranger = Model()
    there = stranger.given(stranger.table("settings", "Settings", ["all"]), "share", "share", "", 0.5)
    with pytest.raises(FormulaError, match=r"found settings\.share of no model"):
        model.column(model.tables["settings"], "x", "x", "", there * 2.0)
    with pytest.raises(FormulaError, match=r"found settings\.share of no model"):
        model.given(model.tables["settings"], "y", "y", "", 0.5, follows=there, following=(True,))


def test_a_fixed_row_is_one_of_the_table(model):
    assert at(model["parts.price"], -1).row == 1
    with pytest.raises(IndexError):
        at(model["parts.price"], 2)


@pytest.mark.parametrize(
    ("formula", "found"),
    [
        (lambda own, m: own * 2.0, "the column itself"),
        (lambda own, m: at(own, 0) + call("previous", own, 1.0), "the column itself"),
        (lambda own, m: call("sum_of", own) + call("previous", own, 1.0), "the column itself"),
        (lambda own, m: call("running_total", m["twins.plain"]) + call("previous", own, 1.0), "a running total"),
    ],
)
def test_a_recurrence_meets_itself_in_the_row_before_only(model, formula, found):
    model.given(model.tables["twins"], "plain", "plain", "", 1.0)
    with pytest.raises(FormulaError, match=f"^months\\.x: recurrence: found {found}"):
        model.recurrence(model.tables["months"], "x", "x", "", lambda own: formula(own, model))


def test_a_recurrence_is_worked_out_row_by_row(model):
    grown = lambda own: call("previous", own, 100.0) * (1.0 + model["settings.share"])  # noqa: E731
    column = model.recurrence(model.tables["months"], "held", "held", "", grown)
    assert list(evaluate(model)[column]) == [150.0, 225.0, 337.5]
    assert formulas(model, column) == ["=(100)*(1+share[0])", "=held[0]*(1+share[0])", "=held[1]*(1+share[0])"]


def test_changes_are_for_given_columns_and_fill_their_rows(model):
    double = model.column(model.tables["parts"], "double", "double", "EUR", model["parts.price"] * 2.0)
    total = model.column(model.tables["settings"], "sum", "sum", "EUR", call("sum_of", double))
    assert evaluate(model)[total] == 600.0
    changed = evaluate(model, {model["parts.price"]: np.array([[1], [2], [3]])})  # one integer a draw, for both rows
    assert changed[total].tolist() == [[4.0], [8.0], [12.0]]
    with pytest.raises(ValueError, match=r"only given columns can be changed, not parts\.double"):
        evaluate(model, {double: np.ones(2)})
    with pytest.raises(ValueError, match="broadcast"):
        evaluate(model, {model["parts.price"]: np.ones((4, 3))})
    with pytest.raises(FigureError, match=r"^parts\.price, board: "):
        evaluate(model, {model["parts.price"]: np.array([[1.0, 2.0], [1.0, np.nan]])})


def test_integers_among_changes_are_numbers_like_others(model):
    column = model.column(model.tables["settings"], "x", "x", "", model["settings.share"] ** -1.0)
    assert evaluate(model, {model["settings.share"]: np.array([[4]])})[column].tolist() == [[0.25]]


def test_a_row_that_follows_another_column_has_its_figure(model):
    later = model.given(
        model.tables["parts"], "later", "price later", "EUR", [0.0, 50.0],
        live=True, follows=model["parts.price"], following=(True, False),
    )  # fmt: skip
    assert list(evaluate(model)[later]) == [100.0, 50.0]
    changed = evaluate(model, {model["parts.price"]: np.array([[7.0, 8.0], [9.0, 10.0]])})
    assert changed[later].tolist() == [[7.0, 50.0], [9.0, 50.0]]
    assert [(column.name, row) for column, row, _ in model.inputs()] == [("price", 0), ("price", 1), ("later", 1)]


def test_numbers_of_numpy_stand_in_formulas_as_others_do(model):
    formula = np.float64(2.0) * model["parts.price"]
    assert in_words(formula) == "2 × price"
    assert in_words(added([model["parts.price"], formula, formula])) == "price + 2 × price + 2 × price"
