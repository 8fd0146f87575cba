"""The tool against the same definitions as plain loops, written independently: every line of every month."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

import tco
from tco.model import LINES, Ground, build
from tco.places import data_folder
from tests.model.plain import Plain
from tests.model.plain_bills import Billed
from tests.model.plain_failing import Story
from tests.random_studies import random_study
from tests.studies import STUDY, write_study


def assert_same(folder: Path) -> None:
    study = tco.load(folder)
    comparison = tco.compare(study)
    for ground in comparison.built.grounds:
        plain = Billed(study, ground.scenario)
        lines = plain.lines()
        assert set(lines) == {line.name for line in LINES}
        for name, wanted in lines.items():
            found = comparison.of(ground.month(name))
            assert found == pytest.approx(np.array(wanted), rel=1e-9, abs=1e-8), (ground.scenario.scenario, name)
        assert_units_alike(comparison, ground, plain)


def assert_units_alike(comparison: tco.Comparison, ground: Ground, plain: Plain) -> None:
    """What is expected to happen to one unit of each row, by month: failures, those covered, worn units."""
    for slot, (part, told) in zip(ground.slots, plain.stories, strict=False):  # the slots of spares come last
        assert (slot.part, slot.shelf) == (part, None)
        kinds = [f"covered {slot.key} {stay.row}" for stay in slot.stays]
        columns = {"failures": [f"failures {slot.key}"], "covered": kinds, "worn": [f"worn {slot.key}"]}
        for name, wanted in expected(told, ground.horizon).items():
            stated = [ground.own("units", key) for key in columns[name] if ground.has("units", key)]
            found = sum((comparison.of(column) for column in stated), np.zeros(ground.horizon + 1))
            assert found == pytest.approx(wanted, rel=1e-9, abs=1e-12), (ground.scenario.scenario, part.part, name)


def expected(told: Story, horizon: int) -> dict[str, np.ndarray]:
    """A row's story as the model's columns have it; a covered failure is a failure too."""
    kinds = {"failures": ("covered", "paid"), "covered": ("covered",), "worn": ("worn",)}
    return {name: np.array(told.by_month(horizon, *whats)) for name, whats in kinds.items()}


@pytest.mark.parametrize("name", ["demo", "small", "hours"])
def test_demo_studies(name: str) -> None:
    assert_same(data_folder() / name)


@pytest.mark.parametrize("seed", range(40))
def test_random_studies(seed: int, tmp_path: Path) -> None:
    assert_same(random_study(seed, tmp_path))


SPARES = STUDY + "spares confidence,90 %,,\nspares lead time,20 d,,\n"
HEAD = "part,quantity,price,age,bought,leaves,failures,replaced by,resale\n"
SAME_NAME = {
    "later, dearer and shorter": "drive,9,90 EUR,,0,,drives,,fair\ndrive,7,140 EUR,,1,30,drives,,fair\n",
    "the first listed comes later": "drive,9,90 EUR,,7,,drives,,fair\ndrive,7,140 EUR,,2,30,drives,,fair\n",
    "new and used": "drive,9,90 EUR,,0,,drives,,fair\ndrive,7,40 EUR,3 years,0,,drives,,fair\n",
    "it replaces itself and another": "old,9,40 EUR,4 years,0,20,drives,drive,\ndrive,7,140 EUR,,30,,drives,,fair\n",
}


@pytest.mark.parametrize("rows", SAME_NAME.values(), ids=SAME_NAME.keys())
def test_one_shelf_for_all_rows_that_a_part_replaces_in(rows: str, tmp_path: Path) -> None:
    often = ("drives,0 years,1.3 %/year", "drives,0 years,190 %/year")
    folder = write_study(tmp_path, study=SPARES, servers=HEAD + rows, failures=often)
    assert_same(folder)
    comparison = tco.compare(tco.load(folder))
    (servers,) = (ground for ground in comparison.built.grounds if ground.scenario.scenario == "servers")
    assert np.count_nonzero(comparison.of(servers.month("spares"))) == 1


DAYS = [monthrange(2026 + number // 12, number % 12 + 1)[1] for number in range(11, 71)]
TO_THE_LAST_BYTE = [(before, months) for before in ("0", "1.1") for months in (1, 2, 3, 7, 12, 13, 24, 36)]


@pytest.mark.parametrize("a_day", ["0.1", "7", "10", "33.3"])
def test_an_endurance_reached_to_the_last_byte(a_day: str, tmp_path: Path) -> None:
    """Just what a number of months bring: reckoned by days in fractions, for sums of floats miss round amounts."""
    table, wanted = "part,quantity,price,endurance,written,written before\n", []
    for before, months in TO_THE_LAST_BYTE:
        endurance = Fraction(before) + Fraction(a_day) * sum(DAYS[:months]) / 1000
        table += f"drive,1,90 EUR,{float(endurance):.6f} TB,{a_day} GB/d,{before} TB\n"
        wanted.append([0.0, *worn_by_days(Fraction(a_day), Fraction(before), endurance)])
    study = tco.load(write_study(tmp_path, study=("Europe/Vienna", "UTC"), servers=table))
    (ground,) = (ground for ground in build(study).grounds if ground.scenario.scenario == "servers")
    assert [slot.worn.tolist() for slot in ground.slots] == wanted
    stories = Plain(study, ground.scenario).stories
    assert [told.by_month(ground.horizon, "worn") for _, told in stories] == wanted


def worn_by_days(a_day: Fraction, before: Fraction, endurance: Fraction) -> Iterator[float]:
    """For each month, whether one is worn by its end; the next begins with what was written before it was bought."""
    total = before
    for days in DAYS:
        total += a_day * days / 1000
        yield float(total >= endurance)
        total = before if total >= endurance else total
