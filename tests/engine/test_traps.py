"""Where numpy, a spreadsheet and a reader's eye disagree: each known trap, in every reading."""

# ruff: noqa: ARG005 (cases in tables take the same arguments)

from __future__ import annotations

import numpy as np
import pytest

from tco.engine import Constant, Model, at, call, evaluate, in_numbers, in_words
from tco.errors import FigureError, FormulaError, Place
from tco.units import unit
from tests.engine.layout import Layout, formulas
from tests.recalculate import is_error, needs_libreoffice


class Sums:
    """A model with a = -2, b = 3, c = 2 and zero = 0 in a table of one row, and formulas over them."""

    def __init__(self) -> None:
        self.model = Model()
        self.table = self.model.table("t", "T", ["only"])
        self.a, self.b, self.c, self.zero = (
            self.model.given(self.table, name, name, "", value)
            for name, value in (("a", -2), ("b", 3), ("c", 2), ("zero", 0))
        )

    def column(self, formula):
        """The formula as a column."""
        return self.model.column(self.table, "x", "x", "", formula)

    def readings(self, formula):
        """Number, cell formula and words of a formula."""
        column = self.column(formula)
        sheet = formulas(self.model, column)[0].replace("[0]", "")
        return float(evaluate(self.model)[column][0]), sheet, in_words(column.formula)


BRACKETS = {
    "minus before power": (lambda s: call("power", -2.0, 2.0), 4.0, "=(-2)^2", "(-2) to the power 2"),
    "minus before power of a column": (lambda s: (0.0 - s.c) ** 2, 4.0, "=(0-c)^2", "(0 − c) to the power 2"),
    "minus a power": (lambda s: 0.0 - s.c**2, -4.0, "=0-c^2", "0 − c to the power 2"),
    "minus a negative number": (lambda s: s.b - Constant(-2.0, unit("")), 5.0, "=b-(-2)", "b − (-2)"),
    "power of power, left": (lambda s: (s.c**s.b) ** s.c, 64.0, "=(c^b)^c", "(c to the power b) to the power c"),
    "power of power, right": (lambda s: s.c ** (s.b**s.c), 512.0, "=c^(b^c)", "c to the power (b to the power c)"),
    "difference of a difference": (lambda s: s.a - (s.b - s.c), -3.0, "=a-(b-c)", "a − (b − c)"),
    "differences in a row": (lambda s: s.a - s.b - s.c, -7.0, "=a-b-c", "a − b − c"),
    "quotient of a product": (lambda s: s.b / (s.a * s.c), -0.75, "=b/(a*c)", "b / (a × c)"),
    "product of a quotient": (lambda s: s.b * (s.a / s.c), -3.0, "=b*(a/c)", "b × (a / c)"),
    "sum in a product": (lambda s: (s.a + s.b) * s.c, 2.0, "=(a+b)*c", "(a + b) × c"),
    "product in a sum": (lambda s: s.a + s.b * s.c, 4.0, "=a+b*c", "a + b × c"),
    "comparison in a product": (
        lambda s: s.b * call("at_least", s.a, s.c), 0.0, "=b*((a>=c)*1)", "b × (a is at least c)"
    ),
    "comparison of a comparison": (
        lambda s: call("at_least", call("more_than", s.b, s.a), s.c), 0.0,
        "=((b>a)*1>=c)*1", "(b is more than a) is at least c",
    ),
    "annuity of a sum": (
        lambda s: call("annuity", s.zero, s.b, s.a + s.c + s.b), 1.0, "=PMT(zero,b,0-(a+c+b))",
        "the level amount that is worth a + c + b over b periods at zero",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("formula", "number", "sheet", "words"), BRACKETS.values(), ids=BRACKETS)
def test_brackets(formula, number, sheet, words):
    sums = Sums()
    assert sums.readings(formula(sums)) == (number, sheet, words)


def test_a_negative_figure_in_words_is_bracketed_as_well():
    sums = Sums()
    column = sums.column(sums.b - sums.a)
    assert in_numbers(column.formula, 0, evaluate(sums.model)) == "3 − (-2)"


def test_the_unused_branch_may_fail_and_the_used_one_may_not():
    for test, expected in (("zero", 3.0), ("b", None)):
        sums = Sums()
        column = sums.column(call("where", getattr(sums, test), 1.0 / sums.zero, sums.b))
        if expected is None:
            with pytest.raises(FigureError):
                evaluate(sums.model)
        else:
            assert evaluate(sums.model)[column][0] == expected


def test_a_blank_is_no_number():
    model = Model()
    table = model.table("t", "T", ["first", "second"])
    blank = model.given(table, "price", "price", "EUR", [1.0, np.nan])
    model.column(table, "double", "double", "EUR", blank * 2.0)
    with pytest.raises(FigureError, match=r"^t\.price, second: not a finite number"):
        evaluate(model)


def test_the_place_of_what_was_met():
    """What somebody wrote is told with its file, line and column."""
    model = Model()
    table = model.table("t", "T", ["first", "second"])
    places = (None, Place("study.csv", 14, 2))
    written = model.given(table, "price", "price", "EUR", [1.0, 1e300], places=places)
    model.column(table, "huge", "huge", "EUR", written * 1e300)
    with pytest.raises(FigureError, match=r"^t\.huge, second: .*; inputs: t\.price \(study\.csv:14:2\) = 1e\+300$"):
        evaluate(model)


FAILURES = {
    "division by zero": lambda s: s.a / s.zero,
    "zero by zero": lambda s: s.zero / s.zero,
    "overflow of a product": lambda s: s.b * 1e200 * 1e200,
    "overflow of a power": lambda s: call("power", s.b, 5000.0),
    "root of a negative": lambda s: s.a**0.5,
    "zero to the power zero": lambda s: s.zero**s.zero,
    "zero to a negative power": lambda s: s.zero**s.a,
    "too small a product": lambda s: (s.b * 1e-200) * 1e-200,
    "too small to keep its digits": lambda s: (s.b * 1e-160) * 1e-160,
    "too small a quotient": lambda s: (s.b * 1e-200) / 1e200,
    "too small a power": lambda s: call("power", 1e-200, s.c),
    "annuity without periods": lambda s: call("annuity", 0.05, s.zero, s.b),
}

# What turns infinity or NaN into a harmless number in numpy or in Python, if one lets it.
COVERS = {
    "smaller": lambda s, bad: call("smaller", bad, 1.0),
    "smaller, other side": lambda s, bad: call("smaller", 1.0, bad),
    "larger": lambda s, bad: call("larger", bad, 1.0),
    "at_least": lambda s, bad: call("at_least", bad, 1.0),
    "more_than": lambda s, bad: call("more_than", 1.0, bad),
    "divisor": lambda s, bad: 1.0 / bad,
    "factor of zero": lambda s, bad: bad * 0.0,
    "test of where": lambda s, bad: call("where", bad, 1.0, 2.0),
    "branch of where": lambda s, bad: call("where", s.b, bad, 2.0),
    "power of zero": lambda s, bad: bad**0.0,
    "base one": lambda s, bad: call("power", 1.0, bad),
    "rate of an annuity": lambda s, bad: call("annuity", bad, 12.0, 0.0),
    "difference": lambda s, bad: bad - bad,
}


@pytest.mark.parametrize("cover", COVERS.values(), ids=COVERS)
@pytest.mark.parametrize("failure", FAILURES.values(), ids=FAILURES)
def test_no_function_hides_a_figure_that_is_no_number(failure, cover):
    sums = Sums()
    sums.column(cover(sums, failure(sums)))
    with pytest.raises(FigureError, match=r"^t\.x, only: not a finite number"):
        evaluate(sums.model)


def lay_out_failures() -> tuple[Layout, dict[str, str]]:
    """The failures in one workbook, and where each stands."""
    layout, places = Layout(), {}
    for name, failure in FAILURES.items():
        sums = Sums()
        column = sums.column(failure(sums))
        layout.add(sums.model.columns.values())
        places[name] = layout.cell(column, 0)
    return layout, places


@needs_libreoffice
def test_the_same_failures_are_errors_in_a_sheet(books):
    places, cells = books["failures"]
    harmless = {name: cells[place] for name, place in places.items() if not is_error(cells[place])}
    assert harmless.pop("zero to the power zero") == 1  # programs disagree: the engine refuses
    assert set(harmless) == {"too small a product", "too small to keep its digits", "too small a quotient"}
    assert all(abs(value) < 1e-300 for value in harmless.values())  # 0 to the sheet: the engine refuses


def test_the_error_names_column_row_and_inputs_of_the_draw_that_failed():
    model = Model()
    table = model.table("t", "T", ["first", "second"])
    one = model.given(table, "one", "one", "EUR", [1.0, 2.0])
    other = model.given(table, "other", "other", "", [4.0, 5.0])
    start = model.given(table, "start", "start", "EUR", 7.0)
    model.column(table, "share", "share", "EUR", call("previous", start, at(one, 0)) + one / other + at(one, 1))
    draws = np.array([[4.0, 5.0], [4.0, 5.0], [4.0, 0.0]])
    with pytest.raises(FigureError) as caught:
        evaluate(model, {other: draws})
    error = caught.value
    assert (error.column, error.row) == ("t.share", "second")
    assert error.inputs == (("t.start", 7.0), ("t.one", 1.0), ("t.one", 2.0), ("t.other", 0.0), ("t.one", 2.0))
    assert "inputs: t.start = 7, t.one = 1" in str(error)


def test_the_error_of_a_recurrence_names_row_and_inputs_too():
    model = Model()
    table = model.table("t", "T", ["first", "second", "third"])
    growth = model.given(table, "growth", "growth", "", [1.0, 1e200, 1e200])
    model.recurrence(table, "held", "held", "", lambda held: call("previous", held, 1.0) * growth)
    with pytest.raises(FigureError, match=r"^t\.held, third: .*; inputs: t\.growth = 1e\+200$"):
        evaluate(model)


def test_a_whole_column_shows_its_first_value():
    model = Model()
    table = model.table("t", "T", ["first", "second"])
    zeros = model.given(table, "zeros", "zeros", "", 0.0)
    model.column(table, "x", "x", "", 1.0 / call("sum_of", zeros))
    with pytest.raises(FigureError, match=r"inputs: t\.zeros \(first row\) = 0$"):
        evaluate(model)


@pytest.mark.parametrize("value", [np.inf, -np.inf, np.nan])
def test_a_constant_is_a_finite_number(value):
    sums = Sums()
    with pytest.raises(FormulaError, match="finite number"):
        call("smaller", sums.a, value)


@pytest.mark.parametrize(
    ("value", "written"),
    [(5.0, "5"), (0.1, "0.1"), (-0.5, "(-0.5)"), (1e-7, "1E-07"), (1e22, "1E+22"), (-0.0, "0"), (1 / 3, repr(1 / 3))],
)
def test_constants_in_cells(value, written):
    sums = Sums()
    assert sums.readings(call("power", value, 3.0))[1] == f"={written}^3"


@pytest.mark.parametrize(
    "keys", [["abc", "a*"], ["a?c", "abc"], ["a~b", "x"], ["=abc", "x"], [">1", "x"], ["", "x"], ["Disk", "disk"]]
)
def test_text_keys_that_a_sheet_would_take_for_patterns_are_refused(keys):
    model = Model()
    table = model.table("t", "T", ["first", "second"])
    names = model.given(table, "name", "name", None, keys)
    values = model.given(table, "value", "value", "", [1.0, 2.0])
    for name, args in (("sum_where", (values, names, names)), ("look_up", (names, names, values))):
        with pytest.raises(FormulaError, match=r"^t\.name: .* texts that a spreadsheet tells apart$"):
            call(name, *args)


ODD_KEYS = [
    "12",
    "012",
    "12.0",
    "x(y)",
    "x.z",
    "xyz",
    "[a]",
    "+1",
    "-1",
    "@a",
    "'a",
    "a b",
    " a",
    "é",
    "1e3",
    "TRUE",
    "5%",
]


def lay_out_keys() -> tuple[Layout, tuple[Model, list[list[str]]]]:
    """Sums and look-ups by odd keys, and where they stand."""
    model, layout = Model(), Layout()
    table = model.table("t", "T", ODD_KEYS)
    names = model.given(table, "name", "name", None, ODD_KEYS)
    values = model.given(table, "value", "value", "", [2.0**row for row in range(len(ODD_KEYS))])
    sums = model.column(table, "sum", "sum", "", call("sum_where", values, names, names))
    found = model.column(table, "found", "found", "", call("look_up", names, names, values))
    layout.add(model.columns.values())
    return layout, (model, [[layout.cell(column, row) for row in range(len(ODD_KEYS))] for column in (sums, found)])


@needs_libreoffice
def test_other_odd_text_keys_mean_the_same_in_a_sheet(books):
    (model, places), cells = books["keys"]
    for name, rows in zip(("t.sum", "t.found"), places, strict=True):
        assert [cells[place] for place in rows] == list(evaluate(model)[model[name]])
