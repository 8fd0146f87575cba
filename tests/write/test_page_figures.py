"""Every figure of the page is one of the CSV results, and is shown rounded as the workbook's summary rounds it."""

from __future__ import annotations

import io
import math
import re
from pathlib import Path

import pandas as pd
import pytest

import tco
from tco.ask.compare import Comparison
from tco.model import LINES
from tco.model.needs import stated_names
from tco.write.page_to_send.page import page
from tco.write.tables import lines_csv, measures_csv, replacements_csv
from tests.hostile import study
from tests.random_studies import random_study
from tests.write.page_reading import SVG, Cells, read, table_of

FIGURES = {
    "Paid at the start": "paid_at_start",
    "A month, spread evenly": "equivalent_month",
    "Electricity, *": "total_electricity",
    "Life-cycle cost, *": "lcc",
    "Saved a month against baseline": "saved_a_month",
    "Room, within the fill limit": "recommended",
    "Nodes that may die, no data lost": "node_losses",
    "At the bed, when busy": "noise_busy",
    "Power, month 1": "first_power",
}
DELIVERS = {
    "Safe after one loss": "safe",
    "Reading, at most": "read",
    "Recovery of a lost node": "recovery_node",
    "Load of the circuit": "circuit_load",
    "A month per TB of room": "cost_per_TB",
}
LOUD = {"At the bed, when idle": "noise_idle", "Heat when all is busy": "heat_busy"}
LABELS = {line.label: line.name for line in LINES}
FAILING = {"Expected to fail": "failures", "of these under warranty": "covered", "Expected to wear out": "worn"}
STUDIES = ["demo", "small", *range(6)]


@pytest.fixture(scope="module", params=STUDIES)
def comparison(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Comparison:
    name = request.param
    seeded = isinstance(name, int)
    folder = random_study(name, tmp_path_factory.mktemp("study")) if seeded else tco.demo().parent / name
    return tco.compare(tco.load(folder))


def frame(text: str) -> pd.DataFrame:
    return pd.read_csv(io.StringIO(text), dtype={"scenario": str}, keep_default_na=False)


def measures(comparison: Comparison) -> dict[tuple[str, str], str]:
    found = frame(measures_csv(comparison))
    names = found.scenario.str.removeprefix("'")
    return dict(zip(zip(names, found.measure, strict=True), found.value, strict=True))


def rounded_well(value: float, text: str) -> bool:
    """Whether a text is a value to within half of its last digit; `0` stands for nothing at all."""
    plain = text.replace(",", "").replace("−", "-")
    share = plain.endswith("%")
    plain = plain.removesuffix("%")
    digits = len(plain.partition(".")[2])
    return math.isclose(float(plain), value * (100 if share else 1), abs_tol=0.5 * 10**-digits * (1 + 1e-9))


def check(cells: Cells, known: dict[str, str], comparison: Comparison) -> int:
    """Hold a table's figures against measures.csv; returns how many there were."""
    wanted, count = measures(comparison), 0
    for head, own in cells.items():
        name = known.get(re.sub(r", \d+ (year|month)s?$", ", *", head))
        for scenario, (value, text) in own.items() if name else ():
            said = wanted[scenario, name or ""]
            if value is None:
                assert text == said.split(":")[0]
                continue
            assert value == float(said), (scenario, name)
            assert rounded_well(value, text), (scenario, name, value, text)
            count += 1
    return count


def test_the_tables_are_those_of_measures_csv(comparison: Comparison) -> None:
    tree, scenarios = read(page(comparison)), len(comparison.built.grounds)
    assert check(table_of(tree, "figures"), FIGURES, comparison) >= 6 * scenarios
    assert check(table_of(tree, "loud"), LOUD, comparison) >= scenarios
    delivered = check(table_of(tree, "delivers"), DELIVERS, comparison)
    assert delivered >= scenarios or comparison.study.needs is None


def test_the_demo_shows_what_its_summary_shows() -> None:
    tree = read(page(tco.compare(tco.load(tco.demo()))))
    cells = table_of(tree, "figures")
    minis = {head: own["quiet minis"][1] for head, own in cells.items()}
    assert minis == {
        "Paid at the start": "2,980", "A month, spread evenly": "89.16", "Electricity, 5 years": "1,084",
        "Life-cycle cost, 5 years": "4,967", "Saved a month against baseline": "97.06",
        "Ahead of baseline to the end": "9", "Room, within the fill limit": "17.1",
        "Nodes that may die, no data lost": "2", "At the bed, when busy": "15", "Power, month 1": "74",
    }  # fmt: skip
    assert list(cells["Paid at the start"]) == ["quiet minis", "rented space", "modern boards", "old servers"]
    assert cells["At the bed, when busy"]["rented space"] == (None, "silent")


def test_the_month_from_which_a_scenario_is_ahead(comparison: Comparison) -> None:
    """The month after the last crossing in its favour, or the start; measures.csv tells crossings between months."""
    wanted, cells = measures(comparison), table_of(read(page(comparison)), "figures")
    for scenario, (value, text) in cells.get("Ahead of baseline to the end", {}).items():
        ahead = [
            float(month) for (name, what), month in wanted.items()
            if name == scenario and what.startswith("crossing") and what.endswith("ahead")
        ]  # fmt: skip
        if value is not None:
            assert value == math.ceil(max(ahead)), (scenario, text)
        else:
            assert text in ("the start", "level", "not at the end", "–")


def test_a_diamond_stands_where_a_scenario_comes_ahead_to_stay(comparison: Comparison) -> None:
    tree = read(page(comparison))
    ahead = table_of(tree, "figures").get("Ahead of baseline to the end", {}).values()
    marks = [one for one in tree.iter(f"{SVG}path") if one.get("class") == "meets"]
    assert len(marks) == sum(value is not None for value, _ in ahead)


def test_the_chart_of_cost_lines_has_the_measures_figures(comparison: Comparison) -> None:
    cells, wanted = table_of(read(page(comparison)), "by-line"), measures(comparison)
    for head, own in cells.items():
        name = "undiscounted" if head == "All in all" else f"total_{LABELS[head]}"
        assert {scenario: value for scenario, (value, _) in own.items()} == {
            scenario: float(wanted[scenario, name]) for scenario in own
        }
    left_out = {f"total_{name}" for label, name in LABELS.items() if label not in cells}
    assert all(float(wanted[one]) == 0 for one in wanted if one[1] in left_out)


def test_the_chart_over_the_months_adds_up_lines_csv(comparison: Comparison) -> None:
    """Without resale; also owned gear, which is no cash."""
    cells, found = table_of(read(page(comparison)), "so-far"), frame(lines_csv(comparison))
    found = found[~found.line.isin(["energy", "resale"])].assign(scenario=found.scenario.str.removeprefix("'"))
    for head, own in cells.items():
        until = found[found.month <= int(head.removeprefix("Month "))].groupby("scenario").value.sum()
        for scenario, (value, _) in own.items():
            assert value == pytest.approx(until[scenario], rel=1e-9, abs=1e-6), (head, scenario)


def test_what_may_fail_is_what_replacements_csv_adds_up_to(comparison: Comparison) -> None:
    cells, found = table_of(read(page(comparison)), "failing"), frame(replacements_csv(comparison))
    sums = found[found.year == ""].assign(scenario=found.scenario.str.removeprefix("'"))
    for head, figure in FAILING.items():
        for scenario, (value, text) in cells.get(head, {}).items():
            own = sums[(sums.scenario == scenario) & (sums.figure == figure)].value
            if value is None:
                assert own.empty, (scenario, text)
            else:
                assert value == pytest.approx(own.sum(), rel=1e-12)


def test_what_misses_a_need_says_by_how_much(comparison: Comparison) -> None:
    wanted = measures(comparison)
    cells = table_of(read(page(comparison)), "needs")
    assert len(cells) == len(stated_names(comparison.study))
    labels = {
        ground.measure(what).label.casefold(): what
        for ground in comparison.built.grounds[:1]
        for _, what in wanted
        if what.startswith("need_") and not what.endswith(("_short", "_from"))
    }
    for head, own in cells.items():
        name = labels[head.partition(": at ")[0].casefold()]
        for scenario, (value, text) in own.items():
            said = wanted[scenario, name]
            assert text.startswith(said), (scenario, head)
            if value is not None:
                assert value == float(wanted[scenario, f"{name}_short"])
                month = float(wanted[scenario, f"{name}_from"])
                assert text.endswith(f"from month {month:.0f}") == (month > 0)


def test_a_currency_without_cents_has_none(tmp_path: Path) -> None:
    folder = study(tmp_path, ("a", "b"), question="Which?", currency="JPY", scale=150)
    cells = table_of(read(page(tco.compare(tco.load(folder)))), "figures")
    assert re.fullmatch(r"[\d,]+", cells["A month, spread evenly"]["a"][1])


def test_amounts_of_twelve_digits_are_whole(tmp_path: Path) -> None:
    folder = study(tmp_path, ("a", "b"), question="Which?", scale=1e9)
    text = page(tco.compare(tco.load(folder)))
    assert table_of(read(text), "figures")["Paid at the start"]["a"] == (1e11, "100,000,000,000")
    assert "thousand million EUR over 5 years" in text
