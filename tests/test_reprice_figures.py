"""What a new price changes: months before keep their cost; the figures are those of a study changed by hand."""

from __future__ import annotations

import csv
import dataclasses
import io
import random
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

import tco
from tco.ask.compare import Comparison
from tco.ask.reprice import (
    HEADER,
    Pair,
    Repriced,
    break_evens,
    changed_lines,
    from_then_on,
    kwh_price,
    level_with,
    meetings,
    places,
    ranking,
    reprice_rows,
    repriced,
)
from tco.errors import PastError, StudyError
from tco.model import LINES, line_inputs
from tco.read.revise import NewPrice, Revision, revise
from tco.study import Study
from tco.write.reprice_words import crossing_sentences, headline, lines_sentence, ranking_sentence
from tco.write.tables import csv_text
from tests.random_studies import random_study
from tests.studies import STUDY, write_study

ONE = "tariff,start,price,growth\nhousehold,2026-01,0.31 EUR/kWh,\n"


def changed(folder: Path, *offers: Path | NewPrice) -> tuple[Repriced, Revision]:
    revision = revise(folder, offers, line_inputs())
    found = repriced(tco.compare(revision.before), tco.compare(revision.after), revision.added)
    return found, revision


def lines_of(comparison: Comparison) -> np.ndarray[Any, Any]:
    """Every line of every scenario by month, shape (scenarios, lines, months)."""
    return np.array(
        [[comparison.of(ground.month(line.name)) for line in LINES] for ground in comparison.built.grounds]
    )


def by_hand(folder: Path, new: dict[str, str], growth: str) -> Comparison:
    """The study with one more row in tariffs.csv, written by the csv module; a superseded last one gets a growth."""
    path = folder / "tariffs.csv"
    rows = list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8"))))
    last = max((row for row in rows if row["tariff"] == "house"), key=lambda row: row["start"])
    if new["start"] > last["start"] and not last["growth"] and not last["path"]:
        last["growth"] = growth
    rows.append(dict.fromkeys(rows[0], "") | new)
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return tco.compare(tco.load(folder))


@pytest.mark.parametrize("seed", range(16))
def test_random_studies_keep_their_past_and_change_as_by_hand(seed: int, tmp_path: Path) -> None:
    """A new version anywhere, before the study's start, between others, at the last month or beyond it."""
    rng = random.Random(f"reprice {seed}")
    folder = random_study(seed, tmp_path / "study")
    study = tco.load(folder)
    begins, horizon = study.settings.start, study.settings.horizon
    taken = {version.start for version in study.tariffs["house"]}
    numbers = [begins.year * 12 + begins.month - 1 + n for n in range(-2, horizon + 2)]
    start = rng.choice([day for n in numbers if (day := date(n // 12, n % 12 + 1, 1)) not in taken])
    price = f"{rng.uniform(-0.02, 0.7):.5f} EUR/kWh{rng.choice(['', ' real', ' nominal'])}"
    new = {"tariff": "house", "start": f"{start:%Y-%m}", "price": price, "export": "0.05 EUR/kWh"}
    if "export" not in (folder / "tariffs.csv").read_text(encoding="utf-8").splitlines()[0]:
        new.pop("export")
    offer = tmp_path / "new.csv"
    offer.write_text("\n".join([",".join(new), ",".join(new.values())]), encoding="utf-8")
    found, revision = changed(folder, offer)
    before, after = lines_of(found.before), lines_of(found.after)
    # The growth of the superseded version is the same number in its row: equal but for the order of roundings.
    np.testing.assert_allclose(after[..., : found.first], before[..., : found.first], rtol=1e-12, atol=1e-12)
    gone = (start.year - begins.year) * 12 + start.month - begins.month
    assert found.first == min(max(gone, 0), horizon) + 1
    rows = csv.DictReader(io.StringIO((folder / "study.csv").read_text(encoding="utf-8")))
    growth = next(row["value"] for row in rows if row["setting"] == "electricity growth")
    np.testing.assert_allclose(after, lines_of(by_hand(folder, new, growth)), rtol=1e-12, atol=1e-12)
    assert set(changed_lines(found)) <= {"electricity", "heat"}
    assert [text for _, text in revision.kept] in ([], [growth])


GROWTHS = {
    "nominal, as the money": ("", "growth,2.37 %", "growth"),
    "real, said in the cell": ("", "growth,2.37 % real", "growth"),
    "real money": ("money,real,,\n", "growth,2.37 %", "growth"),
    "nominal in real money": ("money,real,,\n", "growth,2.37 % nominal", "growth"),
    "under a header of percent": ("", "growth,2.37 %", "growth [%]"),
    "under a header of percent a year": ("", "growth,-1.5 %/year", "growth [%/year]"),
    "real under a header that says real": ("", "growth,2.37 % real", "growth [% real]"),
    "nominal under a header that says real": ("", "growth,2.37 %", "growth [% real]"),
    "real under a header that says nominal": ("", "growth,2.37 % real", "growth [nominal]"),
    "nothing real in nominal money": ("", "growth,0 % real", "growth"),
    "nothing": ("", "growth,0", "growth"),
    "not stated": ("", "growth,", "growth"),
    "no such column": ("", "growth,2.37 %", ""),
    "by the year": ("growth step,year,,\n", "growth,2.37 %", "growth"),
}


@pytest.mark.parametrize("case", GROWTHS)
def test_the_superseded_version_goes_on_growing_as_it_did(case: str, tmp_path: Path) -> None:
    """All months before the new price, however the growth is said; without the rule they would differ at the cent."""
    more, growth, head = GROWTHS[case]
    study = (STUDY + "inflation,1.7 %,,\n" + more).replace("growth,2 %", growth, 1)
    columns = ("tariff", "start", "price", *([head] if head else []))
    text = ",".join(columns) + "\nhousehold,2026-01,0.31 EUR/kWh" + ("," if head else "") + "\n"
    folder = write_study(tmp_path / "study", study=study, tariffs=text)
    found, revision = changed(folder, NewPrice("0.36 EUR/kWh", "2029-05"))
    assert found.first == 30
    before, after = (values[..., :30] for values in (lines_of(found.before), lines_of(found.after)))
    np.testing.assert_allclose(after, before, rtol=1e-13, atol=0)
    assert bool(revision.kept) == (case not in ("nothing", "not stated"))
    assert found.after.study.tariffs["household"][-1].growth is None


def test_a_growth_that_no_header_takes_is_told(tmp_path: Path) -> None:
    """Without inflation, nominal growth cannot stand under a header that says real."""
    folder = write_study(
        tmp_path / "study", tariffs="tariff,start,price,growth [% real]\nhousehold,2026-01,0.31 EUR/kWh,\n"
    )
    with pytest.raises(StudyError, match=r"tariffs.csv:1:4: growth: headed 'real', which the study's growth is not"):
        changed(folder, NewPrice("0.36 EUR/kWh", "2029-05"))


def test_a_path_goes_on_and_nothing_is_written_into_its_row(tmp_path: Path) -> None:
    paths = "path,year,index\n" + "".join(f"up,{year},{1 + year / 10}\n" for year in range(1, 6))
    text = "tariff,start,price,growth,path\nhousehold,2026-01,0.31 EUR/kWh,,up\n"
    folder = write_study(tmp_path / "study", tariffs=text, paths=paths)
    found, revision = changed(folder, NewPrice("0.36 EUR/kWh", "2029-05"))
    assert revision.kept == ()
    assert b"household,2026-01,0.31 EUR/kWh,,up\n" in revision.tables["tariffs.csv"][1]
    np.testing.assert_array_equal(lines_of(found.after)[..., :30], lines_of(found.before)[..., :30])


def test_a_version_before_a_later_one_supersedes_nothing_that_was_last(tmp_path: Path) -> None:
    text = ONE + "household,2029-01,0.35 EUR/kWh,\n"
    folder = write_study(tmp_path / "study", tariffs=text)
    found, revision = changed(folder, NewPrice("0.40 EUR/kWh", "2028-01"))
    rows = revision.tables["tariffs.csv"][1].decode().splitlines()[1:]
    assert rows == [
        "household,2026-01,0.31 EUR/kWh,",
        "household,2029-01,0.35 EUR/kWh,",
        "household,2028-01,0.40 EUR/kWh,",
    ]
    change = lines_of(found.after) - lines_of(found.before)
    assert np.flatnonzero(np.abs(change).sum(axis=(0, 1))).tolist() == list(range(14, 26))  # 2028-01 to 2028-12
    assert headline(found) == [
        "household: from 2028-01 (month 14) on a kWh costs 0.4000 EUR instead of 0.3100, until the version of "
        "2029-01."
    ]


@pytest.mark.parametrize(
    ("start", "first", "told"),
    [
        ("2026-11", 1, "household: from the start on a kWh costs 0.4007 EUR instead of 0.3105."),
        ("2026-12", 1, "household: from the start on a kWh costs 0.4007 EUR instead of 0.3105."),
        ("2027-01", 2, "household: from 2027-01 (month 2) on a kWh costs 0.4000 EUR instead of 0.3110."),
        ("2031-11", 60, "household: from 2031-11 (month 60) on a kWh costs 0.4000 EUR instead of 0.3423."),
        ("2031-12", 61, "household: the new version begins in 2031-12, after the horizon (to 2031-11), so that no "
                        "figure changes."),
    ],
)  # fmt: skip
def test_dates_before_the_start_and_beyond_the_horizon(start: str, first: int, told: str, tmp_path: Path) -> None:
    """Prices: 0.40 or 0.31 x 1.02^(months / 12), the new one grown from its first month, or from the start."""
    found, revision = changed(write_study(tmp_path / "study", tariffs=ONE), NewPrice("0.40 EUR/kWh", start))
    assert found.first == first
    assert headline(found) == [told]
    assert len(revision.tables) == 1
    if first > 60:
        np.testing.assert_array_equal(lines_of(found.after), lines_of(found.before))
        assert lines_sentence(found) == "No line of cost changes."
    else:
        assert changed_lines(found) == ["electricity"]
        assert lines_sentence(found) == "Of the lines of cost only electricity changes."


def test_a_tariff_that_nobody_uses(tmp_path: Path) -> None:
    folder = write_study(tmp_path / "study", tariffs=ONE + "cabin,2026-01,0.2 EUR/kWh,\n")
    found, _ = changed(folder, NewPrice("0.36 EUR/kWh", "2028-03", "cabin"))
    assert headline(found) == ["cabin: no scenario has this tariff, so that no figure changes."]
    assert changed_lines(found) == []


def test_a_month_of_the_past_that_changes_is_an_error(tmp_path: Path) -> None:
    """As if the version had supplanted the one before it: told with scenario, line, month and both amounts."""
    study = tco.load(write_study(tmp_path / "study", tariffs=ONE))
    (version,) = study.tariffs["household"]
    wrong = dataclasses.replace(study, tariffs={"household": (dataclasses.replace(version, price=0.32),)})
    added = dataclasses.replace(version, start=date(2028, 3, 1))
    with pytest.raises(
        PastError, match=r"Electricity of minis in 2026-12 would be [0-9.]+ instead of [0-9.]+, though"
    ):
        repriced(tco.compare(study), tco.compare(wrong), [added])


@pytest.fixture(scope="module")
def two_tariffs(tmp_path_factory: pytest.TempPathFactory) -> Repriced:
    """Both clusters draw power, on tariffs of their own; the first one's is repriced."""
    folder = write_study(
        tmp_path_factory.mktemp("two") / "study",
        tariffs=ONE + "cabin,2026-01,0.2 EUR/kWh,\n",
        scenarios=("servers.csv,household", "servers.csv,cabin"),
    )
    return changed(folder, NewPrice("0.55 EUR/kWh", "2028-03", "household"))[0]


@pytest.fixture(scope="module")
def one_tariff(tmp_path_factory: pytest.TempPathFactory) -> Repriced:
    folder = write_study(tmp_path_factory.mktemp("one") / "study", tariffs=ONE)
    return changed(folder, NewPrice("0.55 EUR/kWh", "2028-03"))[0]


@pytest.fixture(scope="module")
def demo() -> Repriced:
    """The demo, one of whose places moves."""
    revision = revise(tco.demo(), [NewPrice("0.50 EUR/kWh", "2028-03")], line_inputs())
    return repriced(tco.compare(revision.before), tco.compare(revision.after), revision.added)


def times(study: Study, tariff: str, factor: float) -> Study:
    """The study with all amounts of one tariff multiplied."""

    def multiplied(row: Any, *names: str) -> Any:
        given = {name: value * factor for name in names if (value := getattr(row, name)) is not None}
        return dataclasses.replace(row, **given)

    versions = tuple(multiplied(version, "price", "minimum", "export") for version in study.tariffs[tariff])
    charges = tuple(
        multiplied(row, "price", "fixed", "fixed_day", "capacity") for row in study.charges.get(tariff, ())
    )
    more = {"charges": {**study.charges, tariff: charges}} if charges else {}
    return dataclasses.replace(study, tariffs={**study.tariffs, tariff: versions}, **more)


@pytest.mark.parametrize("name", ["one_tariff", "two_tariffs", "demo"])
def test_at_the_break_even_price_both_cost_the_same(name: str, request: pytest.FixtureRequest) -> None:
    """Every amount of the tariff multiplied, the study compared again: equal to a hundredth of a cent."""
    found = request.getfixturevalue(name)
    rows = [one for one in break_evens(found) if isinstance(one.factor.before, float)]
    assert rows
    for one in rows:
        for side, factor, price in zip((found.before, found.after), *(
            (pair.before, pair.after) for pair in (one.factor, one.price)), strict=True):  # fmt: skip
            again = tco.compare(times(side.study, found.tariffs[0], factor))
            grounds = {ground.scenario.scenario: ground for ground in again.built.grounds}
            assert again.measure(grounds[one.one], "lcc") == pytest.approx(
                again.measure(grounds[one.other], "lcc"), abs=1e-4
            )
            names = sorted((one.other, one.one), key=lambda own: grounds[own].scenario.tariff not in found.tariffs)
            assert kwh_price(again, grounds[names[0]], found.shown_month) == pytest.approx(price, abs=1e-9)


def test_no_price_makes_some_scenarios_equal(one_tariff: Repriced, two_tariffs: Repriced) -> None:
    """The reason is checked at no price at all and at a hundred times the price: the same one is always cheaper."""
    none = [
        (found, one) for found in (one_tariff, two_tariffs) for one in break_evens(found)
        if isinstance(one.factor.after, str)
    ]  # fmt: skip
    assert none
    for found, one in none:
        for factor in (1e-9, 100.0):
            again = tco.compare(times(found.after.study, "household", factor))
            costs = {g.scenario.scenario: again.measure(g, "lcc") for g in again.built.grounds}
            cheaper = min((one.one, one.other), key=costs.__getitem__)
            assert one.factor.after == f"none: {cheaper} costs less at any price"
            assert one.price.after == one.factor.after


def test_scenarios_whose_electricity_costs_the_same_have_no_such_price(tmp_path: Path) -> None:
    same = ("servers.csv,household,5 %", "minis.csv,household,10 %")
    folder = write_study(tmp_path / "study", tariffs=ONE, scenarios=same, servers=None)
    found, _ = changed(folder, NewPrice("0.55 EUR/kWh", "2028-03"))
    alike = next(one for one in break_evens(found) if {one.one, one.other} == {"minis", "servers"})
    assert alike.factor == Pair(*["none: their electricity costs the same"] * 2)
    assert not alike.factor.moved


def test_places_and_crossings_are_those_of_each_comparison(demo: Repriced) -> None:
    assert ranking(demo)["quiet minis"] == Pair(1.0, 2.0)
    assert ranking(demo)["old servers"] == Pair(*["not ranked: does not meet all needs"] * 2)
    assert ranking_sentence(demo) == "The ranking moves: quiet minis from 1 to 2 and rented space from 2 to 1."
    (pair,) = meetings(demo, 2).values()
    measures = [tco.measures(one).set_index(["scenario", "measure"]).value for one in (demo.before, demo.after)]
    assert [pair.before, pair.after] == [own["modern boards", "crossing_1_ahead"] for own in measures]
    assert pair.moved
    told = list(crossing_sentences(demo))
    assert told[1] == f"modern boards: ahead from month {pair.after:.1f} (before: {pair.before:.1f})"
    assert told[2] == "no crossing: rented space"


def test_equal_costs_share_a_place(tmp_path: Path) -> None:
    folder = write_study(
        tmp_path / "study",
        scenarios="scenario,baseline\na,yes\nb,\nc,\n",
        one_offs="scenario,what,month,amount\na,x,0,2 EUR\nb,x,0,1 EUR\nc,x,0,1 EUR\n",
        **dict.fromkeys(("minis", "servers", "nodes", "tariffs", "fees")),  # type: ignore[arg-type]
    )
    assert places(tco.compare(tco.load(folder))) == {"a": 3.0, "b": 1.0, "c": 1.0}


def test_averages_and_totals_add_up_to_the_months(one_tariff: Repriced) -> None:
    frames = [tco.lines(side).query("line == 'electricity'") for side in (one_tariff.before, one_tariff.after)]
    for number, name in enumerate(["minis", "servers", "rented"]):
        own = [frame[frame.scenario == name] for frame in frames]
        monthly, total = from_then_on(one_tariff, number), one_tariff.measure("total_electricity", number)
        for frame, average, whole in zip(own, *((p.before, p.after) for p in (monthly, total)), strict=True):
            assert frame[frame.month >= 16].value.mean() == pytest.approx(average, rel=1e-12)
            assert frame.value.sum() == pytest.approx(whole, rel=1e-12)


def test_csv_is_one_table_that_pandas_reads(one_tariff: Repriced) -> None:
    text = csv_text(HEADER, reprice_rows(one_tariff))
    frame = pd.read_csv(io.StringIO(text), keep_default_na=False)
    assert list(frame.columns) == ["scenario", "figure", "month", "before", "after", "change", "unit"]
    assert not frame.duplicated(["scenario", "figure", "month"]).any()
    numbers = frame[["before", "after", "change"]].apply(pd.to_numeric, errors="coerce")
    both = numbers.notna().all(axis=1)
    pd.testing.assert_series_equal(
        numbers.change[both], (numbers.after - numbers.before)[both], check_names=False, check_exact=True
    )
    words = frame[["before", "after"]][~both]
    assert words.isin(["none"]).any(axis=1).sum() + words.before.str.startswith("none: ").sum() == len(words) > 0
    monthly = frame[(frame.figure == "electricity") & (frame.scenario == "minis")]
    lines = tco.lines(one_tariff.after).query("line == 'electricity' and scenario == 'minis'")
    assert monthly.after.astype(float).tolist() == lines.value.tolist()
    totals = frame[frame.month == ""].set_index(["scenario", "figure"])
    after = tco.measures(one_tariff.after).set_index(["scenario", "measure"])
    assert float(totals.after["servers", "lcc"]) == pytest.approx(after.value["servers", "lcc"], rel=1e-12)
    assert set(frame.figure[frame.month != ""]) == {"price", "electricity", "total"}


def test_the_price_beside_a_factor_is_that_of_who_draws_power(one_tariff: Repriced) -> None:
    """A rented space has no tariff; the price by which it is held against a cluster is the cluster's."""
    own = level_with(one_tariff, "minis", "rented")
    assert own == Pair(kwh_price(one_tariff.before, one_tariff.pairs[0][0], 16), pytest.approx(0.55))  # type: ignore[arg-type]
    assert kwh_price(one_tariff.after, one_tariff.pairs[2][1], 16) == "none: no tariff"
