"""Inputs by name: each is found, other values of it give what a fresh run of the edited study gives."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import groupby
from pathlib import Path

import numpy as np
import pytest

import tco
from tco.ask.compare import Comparison
from tco.ask.inputs import Input, changes, find, inputs, ranged
from tco.engine import Replay, evaluate
from tco.errors import AskedError, UnknownNameError
from tco.model import build
from tco.model.shelf import leaned_on
from tco.ranges import ELECTRICITY, FAILURES, RESALE
from tests.ask.edited_study import edited
from tests.random_studies import random_study
from tests.studies import SCENARIOS, write_study

OURS = ("demo", "small", "hours")
SEEDS = (2, 5)
EVERY = 5  # of the kinds of input, the first and each so many after it are held against fresh runs
WANTED = ("lcc", "needs_open", "equivalent_month")


@cache
def compared(name: str) -> Comparison:
    """A study that comes with tco."""
    return tco.compare(tco.load(tco.demo().parent / name))


@pytest.fixture(scope="module", params=[*OURS, *SEEDS])
def comparison(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Comparison:
    if isinstance(request.param, str):
        return compared(request.param)
    return tco.compare(tco.load(random_study(request.param, tmp_path_factory.mktemp("random"))))


def test_every_input_of_a_model_is_found_by_its_name(comparison: Comparison) -> None:
    named = [(column, row, column.inputs[row]) for column, row, _ in comparison.built.model.inputs() if column.inputs]
    known = inputs(comparison)
    assert len(named) > 40
    assert len({name for *_, name in named}) > 30
    for column, row, name in named:
        assert name, (column.full_name, row)
        place = known[name].cells.index((column, row))
        assert column.values is not None
        assert known[name].likely[place] == column.values[row]
    for name in random.Random(1).sample(sorted(known), 25):
        assert find(comparison, f"  {name.replace(' ', '  ')} ") == find(comparison, name) == known[name]


def kinds(comparison: Comparison) -> Iterator[Input]:
    """An input of each kind (a field of a table), the first that the study does not say to be 0; and all factors."""
    held = {column for ground in comparison.built.grounds for column in leaned_on(ground)}  # counted above the engine
    spares = any(ground.spares for ground in comparison.built.grounds)
    found = [one for one in inputs(comparison).values() if not {column for column, _ in one.cells} & held]
    yield from (one for one in found if one.is_factor and not (one.curves and spares))

    def kind(one: Input) -> tuple[str, str]:
        column = one.cells[0][0]
        return column.table.name.split(" of ")[0], column.name

    plain = sorted((one for one in found if not one.is_factor and any(one.likely)), key=kind)
    yield from (next(own) for number, (_, own) in enumerate(groupby(plain, kind)) if number % EVERY == 0)


def test_other_values_give_what_a_fresh_run_gives(comparison: Comparison) -> None:
    """An eighth more, or one more of a count; the study is edited row by row and built anew."""
    grounds = comparison.built.grounds
    replay = Replay(comparison.built.model, comparison.figures, [g.measure(name) for g in grounds for name in WANTED])
    tried = 0
    for one in kinds(comparison):
        wanted = raised(one)
        found = replay(changes(comparison, wanted))
        own = [float(np.ravel(values)[0]) for values in found.values()]
        study = edited(
            comparison.study, one.name, (lambda value: value + 1) if one.whole else lambda value: value * 1.125
        )
        fresh = build(study)
        figures = evaluate(fresh.model)
        anew = [float(figures[ground.measure(name)][0]) for ground in fresh.grounds for name in WANTED]
        assert own == pytest.approx(anew, rel=1e-9, abs=1e-7), one.name
        assert study != comparison.study, one.name
        tried += 1
    assert tried > 7


def raised(one: Input) -> dict[Input, np.ndarray]:
    """An input an eighth above what the study says in each cell, or a count by one; as `changes` takes it."""
    if one.is_factor or not one.whole:
        return {replace(one, is_factor=True): np.array([1.125])}
    return {
        replace(one, cells=(cell,), likely=(likely,)): np.array([likely + 1.0])
        for cell, likely in zip(one.cells, one.likely, strict=True)
    }


def test_all_draws_are_those_of_single_ones() -> None:
    comparison = compared("small")
    known = inputs(comparison)
    values = {known[ELECTRICITY]: np.array([0.5, 1.0, 2.0]), known["discount"]: np.array([0.0, 0.02, 0.3]),
              known[FAILURES]: np.array([2.0, 1.0, 0.0])}  # fmt: skip
    together = changes(comparison, values)
    for draw in range(3):
        alone = changes(comparison, {one: wanted[[draw]] for one, wanted in values.items()})
        for column, rows in together.items():
            own = alone[column][0] if column in alone else column.values
            assert rows[draw] == pytest.approx(own, rel=1e-12, abs=1e-300), column.full_name


def test_values_are_put_and_factors_multiply_on_top() -> None:
    comparison = compared("demo")
    price, factor = find(comparison, "price of energy, household from 2026-01"), find(comparison, ELECTRICITY)
    (column, row), other = price.cells[0], find(comparison, "price of network, household from 2026-01")
    found = changes(comparison, {factor: np.array([1.0, 2.0, 3.0]), price: np.array([0.1, 0.2, 0.3])})
    assert found[column][:, row] == pytest.approx([0.1, 0.4, 0.9], rel=1e-15)
    assert found[other.cells[0][0]][:, other.cells[0][1]] == pytest.approx(
        np.array([1.0, 2.0, 3.0]) * other.likely[0], rel=1e-15
    )
    twice = changes(comparison, {factor: np.array([2.0]), replace(price, is_factor=True): np.array([5.0])})
    assert twice[column][0, row] == pytest.approx(10 * price.likely[0], rel=1e-15)
    assert column.values is not None
    assert column.values[row] == price.likely[0]  # the model keeps its own


def test_failure_rates_of_one_curve_and_of_all_multiply() -> None:
    comparison = compared("demo")
    of_all, of_one = find(comparison, FAILURES), find(comparison, "failure rate of small gear")
    both = changes(comparison, {of_all: np.array([3.0]), of_one: np.array([0.5])})
    anew = build(edited(edited(comparison.study, FAILURES, lambda _: 3.0), of_one.name, lambda _: 0.5))
    figures, fresh = evaluate(comparison.built.model, both), evaluate(anew.model)
    for ground, other in zip(comparison.built.grounds, anew.grounds, strict=True):
        own = float(np.ravel(figures[ground.measure("lcc")])[0])
        assert own == pytest.approx(float(fresh[other.measure("lcc")][0]), rel=1e-10)
        assert ground.scenario.parts == () or own != pytest.approx(comparison.measure(ground, "lcc"), rel=1e-6)


def test_an_input_within_one_scenario(tmp_path: Path) -> None:
    """Two scenarios with one parts list: the price changes in the one that is named."""
    more = SCENARIOS.replace("rented,,,,,,,", "more minis,,,minis.csv,household,10 %,1 h/month,ours\nrented,,,,,,,")
    nodes = "scenario,node,count\nminis,mini,3\nmore minis,mini,3\n"
    comparison = tco.compare(tco.load(write_study(tmp_path, scenarios=more, nodes=nodes)))
    name = "price of mini PC"
    everywhere, own = find(comparison, name), find(comparison, name, "more minis")
    assert (len(everywhere.cells), len(own.cells)) == (2, 1)
    assert own.cells[0][0].table.scenario == "more minis"
    found = evaluate(comparison.built.model, changes(comparison, {own: np.array([200.0])}))
    fresh = tco.compare(edited(comparison.study, name, lambda _: 200.0, "more minis"))
    for ground, other in zip(comparison.built.grounds, fresh.built.grounds, strict=True):
        lcc = float(np.ravel(found[ground.measure("lcc")])[0])
        assert lcc == pytest.approx(fresh.measure(other, "lcc"), rel=1e-12)
        moved = ground.scenario.scenario == "more minis"
        assert (abs(lcc - comparison.measure(ground, "lcc")) > 100) == moved


@pytest.mark.parametrize(
    ("name", "scenario", "message"),
    [
        ("hour valeu", "", "there is no input 'hour valeu'; did you mean 'hour value'?"),
        ("electricity", "", "there is no input 'electricity'"),
        ("discount", "quiet minis", "discount: is one for all scenarios; leave the scenario out"),
        ("Hour Valeu", "", "there is no input 'Hour Valeu'; did you mean 'hour value'?"),
        ("price hdd 8tb", "", "did you mean 'price of hard drive 8 TB, new'?"),
        ("electricity", "", "did you mean 'electricity price'?"),
        ("life of hard drive 8 TB, new", "", "is in the study, but cannot vary by itself: ages, lives, warranties"),
        ("Tariff of quiet minis", "", "is in the study, but cannot vary by itself: it is no number"),
        ("qqqq", "", "there is no input 'qqqq'\nthere are: "),
        ("price of hard drive 16 TB, new", "old servers", "in scenario 'old servers'"),
        ("hour value", "quite minis", "there is no scenario 'quite minis'; did you mean 'quiet minis'"),
    ],
)  # fmt: skip
def test_names_that_are_none(name: str, scenario: str, message: str) -> None:
    with pytest.raises((AskedError, UnknownNameError)) as told:
        find(compared("demo"), name, scenario)
    assert message in str(told.value)
    assert len(str(told.value)) < 1200


def test_ranges_are_inputs_with_their_ends() -> None:
    comparison = compared("demo")
    found = {one.name: (one, low, high) for one, low, high in ranged(comparison)}
    assert len(found) == len(comparison.study.ranges) > 5
    one, low, high = found[ELECTRICITY]
    assert (one.is_factor, low, high) == (True, 0.8, 1.7)
    one, low, high = found["hour value"]
    assert (one.is_factor, low, one.likely, high) == (False, 6.0, (12.0,), 20.0)
    one, low, high = found["growth of storage by the TB"]
    assert (one.cells[0][0].table.scenario, low, high) == ("rented space", 0.0, 0.08)


def test_resale_is_what_all_sales_fetch() -> None:
    """Twice of it is twice the line resale before selling costs, which a fresh run of the setting gives as well."""
    comparison = compared("small")
    found = evaluate(comparison.built.model, changes(comparison, {find(comparison, RESALE): np.array([0.0, 2.0])}))
    for draw, factor in enumerate((0.0, 2.0)):
        fresh = tco.compare(edited(comparison.study, RESALE, lambda value, by=factor: value * by))
        for ground, other in zip(comparison.built.grounds, fresh.built.grounds, strict=True):
            lcc = np.broadcast_to(found[ground.measure("lcc")], (2, 1))[draw, 0]
            assert lcc == pytest.approx(fresh.measure(other, "lcc"), rel=1e-12)
