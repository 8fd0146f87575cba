"""Corners of the engine where a small slip would go unseen, against plain Python, a sheet's answer, or by hand."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from tco.engine import FUNCTIONS, Model, Ref, at, call, cell_text, evaluate, in_numbers, in_words, least, most
from tco.engine.words import quantity
from tco.errors import FigureError, FormulaError
from tco.units import unit
from tests.engine.cases import Case, build
from tests.engine.layout import formulas


def months(rows: int) -> tuple[Model, object]:
    """A model with a table of months and one of a single row."""
    model = Model()
    model.table("one", "One", ["here"])
    return model, model.table("months", "Months", [f"month {row}" for row in range(rows)])


def result(function: str, *args: object) -> float:
    """What a function comes to for one row of plain numbers and columns."""
    model, column = build(Case(function, args, 0.0, "by hand"))
    return float(evaluate(model)[column][0])


def test_what_is_summed_since_a_key_goes_by_each_rows_own_key():
    draw, rows = Random(9), 7
    model, table = months(rows)
    drawn = [[draw.uniform(1, 9) for _ in range(rows)] for _ in range(2)]
    keys, since = ([float(draw.randrange(5)) for _ in range(rows)] for _ in range(2))
    values, kernel = (model.given(table, name, name, "", numbers) for name, numbers in zip("vk", drawn, strict=True))
    own = [model.given(table, name, name, "", numbers) for name, numbers in (("keys", keys), ("since", since))]
    column = model.column(table, "x", "x", "", call("convolved_since", values, kernel, *own))
    expected = [
        sum(drawn[0][k] * drawn[1][rows - 1 - row + k] for k in range(row + 1) if keys[k] >= since[row])
        for row in range(rows)
    ]
    np.testing.assert_allclose(evaluate(model)[column], expected, rtol=1e-14)


def test_a_level_amount_that_overflows_on_the_way_is_none_as_in_a_sheet():
    assert result("annuity", 2.0, 600.0, 4e21) == pytest.approx(8e21)  # LibreOffice: =PMT(2,600,-4E+21) is 8E+21
    for rate, periods, present in ((2.0, 600.0, 6e21), (0.5, 2000.0, 1.0), (0.5, 1700.0, 1e10)):  # there: #NUM!
        with pytest.raises(FigureError):
            result("annuity", rate, periods, present)


@pytest.mark.parametrize("amounts", [[0.0, 0.0, 0.0], [1.0, 0.0, 2.0], [-1.0, -2.0]])
def test_amounts_that_do_not_change_sign_have_no_rate(amounts):
    with pytest.raises(FigureError):
        result("only_rate", amounts, 0.1)


def test_amounts_that_are_nothing_at_first_or_last_have_their_rate():
    assert result("only_rate", [0.0, -100.0, 110.0, 0.0], 0.0) == pytest.approx(0.1)


def test_a_negative_rate_over_many_steps_is_found():
    amounts = [-300.0, *[1.0] * 240]  # at a rate r below 0, 240 amounts of 1 are worth (1 - (1 + r)^-240) / r = 300
    rate = result("only_rate", amounts, 0.0)
    assert rate < 0
    assert (1 - (1 + rate) ** -240) / rate == pytest.approx(300, rel=1e-9)


@pytest.mark.parametrize("rate", [-0.99, 4.0, 900.0])
def test_a_rate_far_out_is_found(rate):
    assert result("only_rate", [-1.0, 1.0 + rate], 0.0) == pytest.approx(rate, rel=1e-9)


def test_a_recurrence_may_add_a_whole_column_and_a_fixed_row():
    model, table = months(3)
    values = model.given(table, "values", "values", "", [1.0, 2.0, 4.0])
    grown = lambda own: call("previous", own, 0.0) + call("sum_of", values) + at(values, 2) * values  # noqa: E731
    column = model.recurrence(table, "x", "x", "", grown)
    assert evaluate(model)[column].tolist() == [7 + 4, 11 + 7 + 8, 26 + 7 + 16]


def test_a_recurrence_meets_rows_of_its_own_axis_only():
    model, table = months(3)
    other = model.given(model.table("two", "Two", ["a", "b"]), "price", "price", "", 1.0)
    with pytest.raises(FormulaError, match=r"^months\.x: rows of the formula: found two \(price\), wanted months$"):
        model.recurrence(table, "x", "x", "", lambda own: call("previous", own, 0.0) + other)
    assert "months.x" not in model.columns


def test_the_error_names_the_first_row_that_is_no_number():
    model, table = months(4)
    bottom = model.given(table, "bottom", "bottom", "", [1.0, 0.0, 2.0, 0.0])
    model.column(table, "x", "x", "", 1.0 / bottom)
    with pytest.raises(FigureError, match=r"^months\.x, month 1: ") as caught:
        evaluate(model)
    assert [type(number) for _, number in caught.value.inputs] == [float]


@pytest.mark.parametrize("name", ["add", "larger", "at_least"])
def test_text_is_no_number_on_either_side(name):
    model, table = months(2)
    number = model.given(table, "number", "number", "EUR", 1.0)
    text = model.given(table, "text", "text", None, "a")
    for one, other in ((number, text), (text, number)):
        with pytest.raises(FormulaError, match="text"):
            call(name, one, other)


def test_both_branches_are_of_one_unit_whatever_the_column_is():
    model, table = months(2)
    one, other = (model.given(table, name, name, name, 1.0) for name in ("EUR", "W"))
    for branches in ((one, other), (other, one)):
        with pytest.raises(FormulaError, match=r": where: found (EUR|W), wanted (EUR|W)$"):
            call("where", 1.0, *branches)


def test_a_key_of_a_single_row_meets_every_row():
    model, table = months(3)
    wanted = model.given(model.tables["one"], "wanted", "wanted", "", 2.0)
    keys = model.given(table, "keys", "keys", "", [1.0, 2.0, 2.0])
    column = model.column(table, "x", "x", "", call("same_key", keys, wanted))
    assert evaluate(model)[column].tolist() == [0.0, 1.0, 1.0]


def test_numbers_from_a_thousand_on_have_two_places():
    written = [quantity(value, unit("EUR")) for value in (999.5, 1000.0, -1000.0, -0.0)]
    assert written == ["999.5 EUR", "1,000.00 EUR", "-1,000.00 EUR", "0 EUR"]


def test_what_is_added_up_inside_a_formula_stands_in_words_as_the_number_found():
    model, table = months(3)
    values = model.given(table, "values", "cost", "EUR", [1.0, 2.0, 4.0])
    keys = model.given(table, "keys", "month", "month", [0.0, 1.0, 1.0])
    inner = 2.0 * (1.0 + call("sum_where", values, keys, keys) / values)
    column = model.column(table, "x", "x", "", inner)
    figures = evaluate(model)
    assert in_numbers(column.formula, 1, figures) == "2 × (1 + 6 EUR / 2 EUR)"
    assert in_numbers(column.formula, 0, figures) == "2 × (1 + 1 EUR / 1 EUR)"
    assert in_numbers(call("sum_where", values, keys, keys), 1, figures) == "the sum of cost where month is 1 month"
    first = in_numbers(call("previous", values, at(values, 2)), 0, figures)
    assert first == "nothing of the row before (at first 4 EUR)"


def test_words_show_the_first_of_many_draws_and_go_on_where_a_number_does_not_exist():
    model, table = months(2)
    values = model.given(table, "values", "cost", "EUR", [1.0, 2.0])
    keys = model.given(table, "keys", "month", "", [0.0, 1.0])
    absent = model.given(model.tables["one"], "absent", "key", "", 7.0)
    figures = evaluate(model, {values: np.array([[3.0, 5.0], [0.0, 0.0], [9.0, 9.0]])})
    assert in_numbers(2.0 * call("sum_where", values, keys, keys), 1, figures) == "2 × 5 EUR"
    assert in_numbers(2.0 * call("sum_of", values), 1, figures) == "2 × 8 EUR"
    assert in_numbers(2.0 * call("look_up", absent, keys, values), 1, figures) == "2 × (cost where month is 7)"


def test_words_name_the_scenario_of_another_and_the_row_of_many():
    model = Model()
    own, other, shared = (
        model.table(f"t{n}", "T", ["first", "second"][:rows], scenario=name)
        for n, (name, rows) in enumerate((("ours", 2), ("theirs", 2), ("", 1)))
    )
    one, two, three = (model.given(table, "cost", "cost", "EUR", 1.0) for table in (own, other, shared))
    formula = one + two + at(one, 1) + at(three, 0)
    assert in_words(formula, "ours") == "cost + cost of theirs + cost (second) + cost"
    assert in_words(formula, "theirs") == "cost of ours + cost + cost of ours + cost"


def test_a_value_in_words_is_that_of_its_row_and_of_the_first_draw():
    model, table = months(3)
    values = model.given(table, "values", "v", "EUR", [1.0, 2.0, 4.0], blank=(False, True, False))
    names = model.given(table, "names", "n", None, ["a", "b", "c"])
    share = model.given(model.tables["one"], "share", "s", "", 0.25, percent=True)
    figures = evaluate(model, {share: np.array([[0.125], [0.5]])})
    assert [cell_text(values, row, figures) for row in (-1, 0, 1, 2)] == ["nothing", "1 EUR", "not stated", "4 EUR"]
    assert [cell_text(column, 2, figures) for column in (names, share)] == ["c", "12.5 %"]


KEYS = (0.0, 1.0, 2.0)


def drawn_model(name: str) -> tuple[Model, object, list]:
    """A function over columns of seven months, the first amount of its only change of sign below 0."""
    draw, (model, table) = Random(len(name)), months(7)
    reach = FUNCTIONS[name].reach
    numbers = [[draw.uniform(0.01, 2) for _ in range(7)] for _ in reach]
    numbers = [[draw.choice(KEYS) for _ in own] if one.startswith("key") else own
               for one, own in zip(reach, numbers, strict=True)]  # fmt: skip
    if name == "only_rate":
        numbers[0][0] = -4.0
    given = [model.given(table, f"x{n}", "x", "", own) for n, own in enumerate(numbers)]
    return model, model.column(table, "x", "x", "", call(name, *given)), given


@pytest.mark.parametrize(
    "name", ["convolved", "convolved_since", "steps_above", "present_worth", "only_rate", "look_up", "sum_where"]
)
def test_draws_of_every_argument_give_what_each_gives_alone(name):
    model, column, given = drawn_model(name)
    factors = np.array([[1.0], [1.5], [0.5]])
    turned = {one: np.stack([np.roll(one.values, n) for n in range(3)]) for one in given}
    for chosen in (given, *([one] for one in given)):
        changes = {one: turned[one] if one.values[0] in KEYS else one.values * factors for one in chosen}
        together = np.broadcast_to(evaluate(model, changes)[column], (3, 7))
        for draw in range(3):
            alone = evaluate(model, {one: values[draw] for one, values in changes.items()})[column]
            np.testing.assert_array_equal(together[draw], alone)


REACHES = {
    "cell": (lambda m: m["months.v"] + 1.0, "=v[1]+1"),
    "one row": (lambda m: m["months.v"] + m["one.s"], "=v[1]+s[0]"),
    "a fixed row": (lambda m: at(m["months.v"], 2) + 1.0, "=v[2]+1"),
    "range and keys": (
        lambda m: call("sum_where", m["months.v"], m["months.k"], m["months.k"]), "=SUMIFS(v[0:2],k[0:2],k[1])",
    ),
    "a key of one row": (
        lambda m: call("look_up", m["one.s"], m["months.k"], m["months.v"]), "=INDEX(v[0:2],MATCH(s[0],k[0:2],0))",
    ),
    "so far": (lambda m: call("running_total", m["months.v"]), "=SUM(v[0:1])"),
    "to end": (lambda m: call("convolved", m["months.v"], m["months.k"]), "=SUMPRODUCT(v[0:1],k[1:2])"),
    "before": (lambda m: call("previous", m["months.v"], m["one.s"]), "=v[0]"),
}  # fmt: skip


@pytest.mark.parametrize(("formula", "written"), REACHES.values(), ids=REACHES)
def test_cells_that_each_reach_means_in_the_second_of_three_rows(formula, written):
    model, table = months(3)
    model.given(table, "v", "v", "", [1.0, 2.0, 4.0])
    model.given(table, "k", "k", "", [1.0, 2.0, 3.0])
    model.given(model.tables["one"], "s", "s", "", 2.0)
    assert formulas(model, model.column(table, "x", "x", "", formula(model)))[1] == written


def test_the_row_that_a_reference_means():
    model, table = months(3)
    many = model.given(table, "v", "v", "", [1.0, 2.0, 4.0])
    single = model.given(model.tables["one"], "s", "s", "", 2.0)
    assert [Ref(many).row_in(row) for row in range(3)] == [0, 1, 2]
    assert [Ref(many, "before").row_in(row) for row in range(3)] == [None, 0, 1]
    assert [Ref(single).row_in(2), at(many, 2).row_in(0), Ref(many, "range").row_in(2)] == [0, 2, 0]


def test_least_and_most_of_many():
    model, table = months(1)
    numbers = [5.0, 2.0, 9.0, 1.0, 7.0]
    given = [model.given(table, f"x{n}", "x", "", number) for n, number in enumerate(numbers)]
    for count in range(1, 6):
        column = model.column(table, f"both {count}", "x", "", 100.0 * least(given[:count]) + most(given[:count]))
        assert evaluate(model)[column].tolist() == [100.0 * min(numbers[:count]) + max(numbers[:count])]


def test_a_model_knows_its_columns_by_table():
    model, table = months(2)
    kept = [model.given(table, name, name, "", 1.0) for name in "ba"]
    assert model.of(table) == kept
    assert model.of(model.tables["one"]) == []


def test_time_has_a_plural_and_money_has_none():
    written = [
        quantity(value, unit(name)) for value, name in ((1.0, "month"), (2.0, "month"), (0.5, "year"), (3.0, "h"))
    ]
    assert written == ["1 month", "2 months", "0.5 years", "3 h"]


def test_the_inputs_of_an_error_come_from_its_draw_where_only_some_have_draws():
    model, table = months(2)
    top = model.given(table, "top", "top", "", [1.0, 2.0])
    bottom = model.given(table, "bottom", "bottom", "", 1.0)
    model.column(table, "x", "x", "", top / bottom)
    changes = {
        top: np.array([[1.0, 2.0], [3.0, 4.0], [5.0, 6.0]]),
        bottom: np.array([[1.0, 1.0], [1.0, 0.0], [0.0, 0.0]]),
    }
    with pytest.raises(FigureError) as caught:
        evaluate(model, changes)
    assert (caught.value.row, caught.value.inputs) == ("month 1", (("months.top", 4.0), ("months.bottom", 0.0)))


def test_what_a_table_is_and_what_is_words_only():
    model = Model()
    table = model.table("parts of it", "Parts", ["a"], scenario="it")
    state = model.given(table, "state", "state", "", 1.0)
    told, bare = (model.column(table, name, name, "", 0.0, **about)
                  for name, about in (("told", {"state": state, "words": ("none",)}), ("bare", {})))  # fmt: skip
    maybe = model.column(table, "maybe", "maybe", "", state * 2.0, state=state, words=("none",))
    assert (table.kind, repr(told)) == ("parts", "<column parts of it.told>")
    assert [column.is_words for column in (told, bare, maybe)] == [True, False, False]
