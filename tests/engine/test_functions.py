"""Every function's worked cases in every reading: numbers, recalculated cells, words and units."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest

from tco.engine import FUNCTIONS, Model, call, evaluate, in_numbers, in_words
from tco.errors import FigureError, FormulaError
from tests.engine.cases import Case, build, every_case
from tests.engine.layout import Layout
from tests.recalculate import is_error, needs_libreoffice

EXACT = 1e-12
CANCELLED = 1e-15  # of the largest argument: what is left when numbers nearly cancel, as -0.001 + 0.5 - ...


def tolerance(case: Case) -> float:
    """The absolute part: rounding of the arguments, which a sum of opposite numbers keeps."""
    numbers = np.concatenate([np.atleast_1d(arg) for arg in case.args if not isinstance(np.atleast_1d(arg)[0], str)])
    return CANCELLED * float(np.abs(numbers).sum())


def grouped() -> dict[str, list[Case]]:
    """The cases by function, so that a function is one test."""
    return {name: [case for case in every_case() if case.function == name] for name in FUNCTIONS}


@pytest.mark.parametrize("name", FUNCTIONS)
def test_every_function_has_checks_of_its_own_with_a_source(name):
    checks = FUNCTIONS[name].checks
    assert checks
    assert all(check.source for check in checks)


@pytest.mark.parametrize("name", FUNCTIONS)
def test_numbers(name):
    for case in grouped()[name]:
        model, result = build(case)
        if case.result is None:
            with pytest.raises(FigureError, match=r"^one\.result, here: not a finite number"):
                evaluate(model)
        else:
            figures = evaluate(model)[result]
            np.testing.assert_allclose(figures, np.atleast_1d(case.result), EXACT, tolerance(case), err_msg=str(case))


def lay_out_cases() -> tuple[Layout, dict[str, list[str]]]:
    """All cases in one workbook, and where each case's results stand."""
    layout, places = Layout(), {}
    for case in every_case():
        model, result = build(case)
        layout.add(model.columns.values())
        places[str(case)] = [layout.cell(result, row) for row in range(len(result.table.rows))]
    return layout, places


@needs_libreoffice
@pytest.mark.parametrize("name", FUNCTIONS)
def test_recalculated_cells(name, books):
    places, cells = books["cases"]
    for case in grouped()[name]:
        found = [cells[place] for place in places[str(case)]]
        if case.result is None:
            assert all(is_error(value) for value in found), f"{case}: {found}"
        else:
            np.testing.assert_allclose(found, np.atleast_1d(case.result), EXACT, tolerance(case), err_msg=str(case))


@pytest.mark.parametrize("name", FUNCTIONS)
def test_words_name_every_argument(name):
    model, result = build(grouped()[name][0])
    words = in_words(result.formula)
    for column in model.columns.values():
        assert column is result or column.label in words
    assert "{" not in words


@pytest.mark.parametrize("name", FUNCTIONS)
def test_words_with_numbers_show_every_cell(name):
    case = next(case for case in grouped()[name] if case.result is not None)
    model, result = build(case)
    row = len(result.table.rows) - 1
    words = in_numbers(result.formula, row, evaluate(model))
    for arg, reach in zip(case.args, FUNCTIONS[name].reach, strict=True):
        if not isinstance(arg, list):
            assert f"{arg:g}".replace("1000", "1,000.00") in words
        elif reach == "before":
            assert f"{arg[row - 1]:g}" in words


# function -> units of the arguments (None is text), unit of the column; what is found, what is wanted
MISMATCHES: dict[str, list[tuple[tuple[str | None, ...], str, str, str]]] = {
    "add": [(("EUR", "USD"), "EUR", "USD", "EUR"), (("month", "h"), "month", "h", "month")],
    "subtract": [(("kWh", "Wh"), "kWh", "Wh", "kWh"), (("1", "%"), "1", "%", "a plain number")],
    "multiply": [((None, "EUR"), "EUR", "text", "a number"), (("EUR", "TB"), "EUR", "EUR*TB", "EUR")],
    "divide": [(("EUR", None), "EUR", "text", "a number"), (("EUR", "kWh"), "EUR/TB", "EUR/kWh", "EUR/TB")],
    "power": [(("TB", "1"), "TB", "TB", "a plain number"), (("1", "%"), "1", "%", "a plain number")],
    "smaller": [(("W", "kW"), "W", "kW", "W")],
    "larger": [(("TB", "TiB"), "TB", "TiB", "TB")],
    "decimal_log": [(("dBA",), "1", "dB(A)", "a plain number"), (("%",), "1", "%", "a plain number")],
    "whole_part": [(("TB",), "1", "TB", "a plain number"), (("%",), "1", "%", "a plain number")],
    "at_least": [(("bit", "B"), "1", "B", "bit")],
    "same_key": [(("month", "h"), "1", "h", "month"), ((None, None), "1", "text", "text")],
    "more_than": [(("EUR/kWh", "EUR"), "1", "EUR", "EUR/kWh")],
    "where": [(("EUR", "1", "1"), "1", "EUR", "a plain number"), (("1", "EUR", "1"), "EUR", "a plain number", "EUR")],
    "sum_of": [(("EUR",), "USD", "EUR", "USD"), ((None,), "EUR", "text", "EUR")],
    "largest": [(("W",), "V", "W", "V"), ((None,), "W", "text", "W")],
    "smallest": [(("W",), "V", "W", "V"), ((None,), "W", "text", "W")],
    "sum_where": [
        (("EUR", None, "1"), "EUR", "a plain number", "text"),
        (("EUR", "h", "month"), "EUR", "month", "h"),
    ],
    "sum_between": [
        (("EUR", "month", "month", "h"), "EUR", "h", "month"),
        (("EUR", "month", "year", "month"), "EUR", "year", "month"),
        (("EUR", None, None, None), "EUR", "text", "text"),
    ],
    "running_total": [(("EUR",), "USD", "EUR", "USD")],
    "previous": [(("EUR", "USD"), "EUR", "USD", "EUR")],
    "look_up": [((None, "1", "EUR"), "EUR", "text", "a plain number"), (("1", "1", "EUR"), "USD", "EUR", "USD")],
    "sum_product": [(("EUR/kWh", "W"), "EUR", "EUR*W/kWh", "EUR"), ((None, "W"), "W", "text", "a number")],
    "steps_above": [
        (("kWh", "1", None, "kWh", "EUR/kWh"), "EUR", "a plain number", "text"),
        (("kWh", "1", "1", "W", "EUR/kWh"), "EUR", "W", "kWh"),
        (("kWh", "1", "1", "kWh", "EUR"), "EUR", "EUR*kWh", "EUR"),
    ],
    "annuity": [
        (("%", "1", "EUR"), "EUR", "%", "a plain number"),
        (("1", "month", "EUR"), "EUR", "month", "a plain number"),
    ],
    "convolved": [(("EUR", "TB"), "EUR", "EUR*TB", "EUR"), (("EUR", None), "EUR", "text", "a number")],
    "convolved_since": [
        (("EUR", "1", "month", "h"), "EUR", "h", "month"),
        (("EUR", "TB", "month", "month"), "EUR", "EUR*TB", "EUR"),
    ],
    "present_worth": [(("%", "EUR"), "EUR", "%", "a plain number"), (("1", "EUR"), "USD", "EUR", "USD")],
    "only_rate": [((None, "1"), "1", "text", "a number"), (("EUR", "%"), "1", "%", "a plain number")],
}


@pytest.mark.parametrize("name", FUNCTIONS)
def test_units_that_do_not_fit_are_refused_when_the_model_is_built(name):
    for units, wanted_unit, found, wanted in MISMATCHES[name]:
        with pytest.raises(FormulaError) as caught:
            with_units(name, units, wanted_unit)
        assert (caught.value.found, caught.value.wanted) == (found, wanted)
        assert re.search(r"many\.(x\d|result)", caught.value.column)
        assert str(caught.value).endswith(f"found {found}, wanted {wanted}")


def with_units(name: str, given: tuple[str | None, ...], wanted: str) -> Any:
    """A column that applies the function to columns of the given units."""
    model = Model()
    table = model.table("many", "Many", ["first", "second"])
    values = ["a", "b"]
    args = [
        model.given(table, f"x{n}", f"input {n}", unit, values if unit is None else [1.0, 2.0])
        for n, unit in enumerate(given)
    ]
    return model.column(table, "result", "result", wanted, call(name, *args))


@pytest.mark.parametrize(
    ("name", "units", "result"),
    [
        ("add", ("kWh", "kW*h"), "kWh"),
        ("multiply", ("W", "h"), "W*h"),
        ("divide", ("EUR", "kWh"), "EUR/kWh"),
        ("sum_product", ("EUR/kWh", "kWh"), "EUR"),
        ("sum_where", ("EUR", "month", "month"), "EUR"),
        ("sum_between", ("W", "month", "month", "month"), "W"),
        ("look_up", (None, None, "EUR/TB"), "EUR/TB"),
        ("at_least", ("TB", "TB"), "1"),
        ("annuity", ("1", "1", "EUR"), "EUR"),
        ("smaller", ("V*A", "W"), "W"),
        ("add", ("TB*Wh", "GB*kWh"), "TB*Wh"),  # pint's factor is 1.0000000000000002
    ],
)
def test_units_that_fit(name, units, result):
    column = with_units(name, units, result)
    assert column.formula.function.name == name  # no factor in between
