"""Many draws at once give what each gives alone, to the bit."""

from __future__ import annotations

import numpy as np
import pytest

from tco.engine import Array, Column, Model, call, evaluate
from tco.errors import FigureError
from tests.engine.maker import KEYS, Maker

Changes = dict[Column, Array]


def varied(columns: list[Column], draws: int, seed: int) -> Changes:
    """Other values for given columns: some one a row, some one a draw for all rows."""
    random = np.random.default_rng(seed)
    return {
        column: column.values * random.uniform(0.8, 1.2, size=(draws, random.choice([1, len(column.values)])))
        for column in columns
    }


def one(changes: Changes, draw: int) -> Changes:
    """A single draw of the changes."""
    return {column: values[draw] for column, values in changes.items()}


def outcome(model: Model, changes: Changes) -> dict[Column, Array] | FigureError:
    """The figures, or the error."""
    try:
        return evaluate(model, changes)
    except FigureError as error:
        return error


def same_to_the_bit(model: Model, changes: Changes, draws: int) -> int:
    """Asserts that the batch and its draws agree; returns how many columns differ among draws."""
    batch = outcome(model, changes)
    alone = [outcome(model, one(changes, draw)) for draw in range(draws)]
    if isinstance(batch, FigureError):
        assert str(batch) in [str(error) for error in alone if isinstance(error, FigureError)]
        return 0
    for column, figures in batch.items():
        wide = np.broadcast_to(figures, (draws, len(column.table.rows)))
        for draw in range(draws):
            assert np.array_equal(wide[draw], alone[draw][column]), column
    return sum(figures.ndim > 1 for figures in batch.values())


def random_model(seed: int) -> Model:
    """A random model of formulas that give numbers."""
    maker = Maker(seed)
    maker.formulas(25)
    for column in maker.failed:
        del maker.model.columns[column.full_name]
    return maker.model


def test_random_models():
    vary = 0
    for seed in range(100, 142):
        model, draws = random_model(seed), 1 + seed % 7
        given = [column for column in model.columns.values() if column.formula is None and column.name not in KEYS]
        chosen = [given[n] for n in np.random.default_rng(seed).choice(len(given), 4, replace=False)]
        vary += same_to_the_bit(model, varied(chosen, draws, seed), draws) > 4
    assert vary >= 21  # the others met an error in some draw, and the same error alone


def whole_column_model(rows: int) -> tuple[Model, list[Column]]:
    """Everything that adds up, and powers, over a table of that many rows."""
    random = np.random.default_rng(rows)
    model = Model()
    table = model.table("t", "T", [str(row) for row in range(rows)])
    values = model.given(
        table, "values", "values", "", random.uniform(-1, 1, rows) * 10.0 ** random.integers(-3, 6, rows)
    )
    weights = model.given(table, "weights", "weights", "", random.uniform(0.1, 3, rows))
    rate = model.given(table, "rate", "rate", "", random.uniform(0, 0.1, rows))
    key = model.given(table, "key", "key", "", random.integers(0, 4, rows).astype(float))
    until = model.given(table, "until", "until", "", key.values + random.integers(0, 4, rows))
    formulas = {
        "sum": call("sum_of", values),
        "largest": call("largest", values),
        "product": call("sum_product", values, weights),
        "running": call("running_total", values),
        "where": call("sum_where", values, key, key),
        "between": call("sum_between", values, key, until, key),
        "found": call("look_up", key, key, values),
        "before": call("previous", values, weights),
        "power": call("power", weights, values / 1e6) * weights**rate,
        "level": call("annuity", rate, weights * 100.0, values),
    }
    for name, formula in formulas.items():
        model.column(table, name, name, "", formula)
    model.recurrence(table, "held", "held", "", lambda own: call("previous", own, weights) * (1.0 - rate) + values)
    return model, [values, weights, rate]


@pytest.mark.parametrize("rows", [*range(1, 18), 31, 32, 60, 63, 64, 65, 127, 128, 129, 130, 200])
def test_whole_columns_of_any_length(rows):
    model, given = whole_column_model(rows)
    assert same_to_the_bit(model, varied(given, 5, rows), 5) >= 11


def test_keys_and_values_may_both_have_draws():
    model, given = whole_column_model(9)
    keys = {model["t.key"]: np.random.default_rng(1).integers(0, 4, size=(6, 9)).astype(float)}
    changes = varied(given, 6, 2) | keys | {model["t.until"]: keys[model["t.key"]] + 2.0}
    assert same_to_the_bit(model, changes, 6) >= 11


def test_more_than_one_leading_axis():
    model, given = whole_column_model(12)
    grid = {column: values.reshape(2, 3, -1) for column, values in varied(given, 6, 3).items()}
    flat = {column: values.reshape(6, -1) for column, values in grid.items()}
    wide, long = evaluate(model, grid), evaluate(model, flat)
    for column in model.columns.values():
        assert np.array_equal(np.reshape(wide[column], (-1, 12)), np.reshape(long[column], (-1, 12))), column


def test_many_draws_of_a_large_table_stay_within_reach_of_memory():
    rows, draws = 240, 2000  # draws x rows x rows would be 0.9 GB
    model, given = whole_column_model(rows)
    figures = evaluate(model, varied(given[:1], draws, 4))
    assert figures[model["t.where"]].shape == (draws, rows)
