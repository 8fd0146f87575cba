"""The tool against the same definitions as plain loops, written independently: every line of every month."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import tco
from tco.places import data_folder
from tests.model.plain_bills import Billed
from tests.random_studies import random_study


def assert_same(folder: Path) -> None:
    study = tco.load(folder)
    comparison = tco.compare(study)
    for ground in comparison.built.grounds:
        for name, wanted in Billed(study, ground.scenario).lines().items():
            found = comparison.of(ground.month(name))
            assert found == pytest.approx(np.array(wanted), rel=1e-9, abs=1e-8), (ground.scenario.scenario, name)


@pytest.mark.parametrize("name", ["demo", "small"])
def test_demo_studies(name: str) -> None:
    assert_same(data_folder() / name)


@pytest.mark.parametrize("seed", range(40))
def test_random_studies(seed: int, tmp_path: Path) -> None:
    assert_same(random_study(seed, tmp_path))
