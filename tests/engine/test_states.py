"""Figures that may not exist: 0 among the numbers, words in the cell and for people, and no part of a formula."""

from __future__ import annotations

import numpy as np
import pytest

from tco.engine import Model, absent, call, cell_formula, cell_text, evaluate
from tco.engine.nodes import plain
from tco.errors import FormulaError

WORDS = ('none: "nothing" divides', "none: below 0")


def ratio(bottom: float) -> tuple[Model, object]:
    """10 over a number; none where it is 0 or less."""
    model = Model()
    table = model.table("one", "One", ["here"])
    number = model.given(table, "bottom", "bottom", "", [bottom])
    below = call("where", call("more_than", 0.0, number), 2.0, 0.0)
    state = model.column(table, "state", "state", "", call("where", number, below, 1.0))
    return model, model.column(table, "ratio", "ratio", "", plain(10.0) / number, state=state, words=WORDS)


@pytest.mark.parametrize(
    ("bottom", "figure", "text"), [(4.0, 2.5, "2.5"), (0.0, 0.0, WORDS[0]), (-1.0, 0.0, WORDS[1])]
)
def test_a_figure_or_words(bottom: float, figure: float, text: str) -> None:
    model, column = ratio(bottom)
    figures = evaluate(model)
    assert figures[column] == [figure]
    assert cell_text(column, 0, figures) == text
    assert absent(column, 0, figures) == ("" if bottom > 0 else text)


def test_the_cell_chooses_words_by_its_state() -> None:
    _, column = ratio(4.0)
    names = {"state": "$B$1", "bottom": "$A$1"}
    found = cell_formula(column, 0, lambda one, *_: names[one.name])
    assert found == '=IF($B$1>0,CHOOSE($B$1,"none: ""nothing"" divides","none: below 0"),10/$A$1)'


def test_many_draws_have_states_of_their_own() -> None:
    model, column = ratio(4.0)
    figures = evaluate(model, {model["one.bottom"]: np.array([[4.0], [0.0], [-1.0]])})
    assert figures[column].tolist() == [[2.5], [0.0], [0.0]]


def test_words_cannot_be_reckoned_with() -> None:
    model, column = ratio(4.0)
    with pytest.raises(FormulaError, match="may be words"):
        model.column(column.table, "twice", "twice", "", column * 2.0)
