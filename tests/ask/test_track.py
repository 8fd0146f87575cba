"""Plan against actuals: a ledger equal to the plan gives the plan; what differs is worked out by hand beside it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

import tco
from tco.ask.compare import Comparison, compare
from tco.ask.stock import price_rise
from tco.ask.track import Tracked, by_line, track
from tco.model import LINES, Ground
from tco.model.calendar import month_after
from tco.model.renewal import LONG, Unit, history
from tco.study import Entry, Study
from tests.random_studies import random_study
from tests.studies import MINIS, write_study

TODAY = date(2100, 1, 1)
LEDGER = "scenario,day,what,part,quantity,amount [EUR],line,energy [kWh]\n"


# a ledger equal to the plan


def day_of(study: Study, month: int) -> date:
    """The last day of a month of the study; of month 0 the first day of all."""
    start = study.settings.start
    return start if month == 0 else month_after(start, month) - timedelta(days=1)


def as_planned(comparison: Comparison, ground: Ground, months: int, *, billed: bool) -> tuple[Entry, ...]:
    """The ledger of a scenario in which all goes as planned; billed: electricity is paid, not only metered."""
    study, name = comparison.study, ground.scenario.scenario

    def entry(month: int, what: str, amount: float | None = None, **more: object) -> tuple[int, Entry]:
        paid = None if amount is None else amount * price_rise(study.settings, month)
        return month, Entry(scenario=name, day=day_of(study, month), what=what, amount=paid, **more)  # type: ignore[arg-type]

    def every() -> Iterator[tuple[int, Entry]]:
        bought = [part for part in ground.scenario.parts if part.quantity and part.bought <= months]
        for part in bought:
            row = ground.scenario.parts.index(part)
            outlay = float(comparison.of(ground.own("parts", "outlay"))[row])
            yield entry(part.bought, "bought", outlay, part=part.part, quantity=part.quantity)
        for part in bought:
            if part.leaves is not None and part.leaves <= months:
                yield entry(part.leaves, "sold", 0.0, part=part.part, quantity=part.quantity)
        for month in range(1, months + 1):
            energy = float(comparison.of(ground.month("energy"))[month])
            yield entry(month, "metered", energy=energy)
            if billed:
                yield entry(
                    month, "paid", float(comparison.of(ground.month("electricity"))[month]), line="electricity"
                )
            yield entry(month, "paid", float(comparison.of(ground.month("fees"))[month]), line="fees")
        for line in ("resale", "disposal"):  # what sales brought is booked as amounts of their lines
            for month in range(months + 1):
                amount = float(comparison.of(ground.month(line))[month])
                if amount:
                    yield entry(month, "paid", amount, line=line)

    return tuple(one for _, one in sorted(every(), key=lambda pair: pair[1].day))


def without_failures(study: Study) -> Study:
    """The study in which nothing fails or wears, and nothing is kept on a shelf."""
    whole = {"failures": "", "replaced_by": "", "endurance": None, "life": None}
    scenarios = tuple(
        replace(one, parts=tuple(replace(part, **whole) for part in one.parts))
        for one in study.scenarios  # type: ignore[arg-type]
    )
    extra = {name: value for name, value in study.settings.extra.items() if not name.startswith("spares")}
    extra |= {"spares_confidence": None, "spares_lead_time": None}
    return replace(study, scenarios=scenarios, failures={}, ranges=(), settings=replace(study.settings, extra=extra))


def same(found: Tracked) -> None:
    """Every line of every month, and every measure, as planned."""
    for line in LINES:
        planned, went = (found.comparison.of(ground.month(line.name)) for ground in (found.plan, found.went))
        np.testing.assert_allclose(went, planned, rtol=1e-9, atol=1e-9, err_msg=line.name)
    for name in ("lcc", "undiscounted", "equivalent_month", "total_energy"):
        planned, went = (found.comparison.measure(ground, name) for ground in (found.plan, found.went))
        assert went == pytest.approx(planned, rel=1e-9, abs=1e-7), name


@pytest.mark.parametrize("seed", range(12))
def test_a_ledger_equal_to_the_plan_gives_the_plan(seed: int, tmp_path: Path) -> None:
    study = without_failures(tco.load(random_study(seed, tmp_path)))
    comparison = compare(study)
    horizon = study.settings.horizon
    ground = next((one for one in comparison.built.grounds if one.scenario.parts), None)
    if ground is None:
        pytest.skip("no scenario has hardware")
    for months in sorted({0, horizon // 2, horizon}):
        ledger = as_planned(comparison, ground, months, billed=seed % 2 == 0)
        if not ledger:
            continue
        until = month_after(study.settings.start, months - 1) if months else None
        same(track(replace(study, ledger=ledger), until=until, today=TODAY))


def test_where_failures_are_memoryless_the_rest_is_as_planned(tmp_path: Path) -> None:
    """At a constant rate a unit that lived is as good as new: what is expected later is what was planned."""
    failures = "curve,age,rate,chance\nsmall things,0 years,20 %/year,\ndrives,0 years,30 %/year,\n"
    parts = (
        "part,quantity,price [EUR],shipping [EUR],idle [W],failures,disposal [EUR]\n"
        "box,3,129,6,9,small things,4\ndrive,3,99.50,2,5,drives,1\n"
    )
    study = tco.load(write_study(tmp_path, failures=failures, minis=parts, nodes=None, resale=None,
                                 servers="part,quantity,price [EUR]\nserver,1,100\n"))  # fmt: skip
    comparison = compare(replace(study, ranges=()))
    ground = comparison.built.grounds[0]
    planned = comparison.of(ground.month("replacement"))
    ledger = list(as_planned(comparison, ground, 20, billed=False))
    ledger += [
        Entry(
            scenario="minis", day=day_of(study, month), what="paid", line="replacement", amount=float(planned[month])
        )
        for month in range(1, 21)
    ]
    found = track(replace(study, ledger=tuple(sorted(ledger, key=lambda one: one.day))), today=TODAY)
    assert planned[21:].sum() > 100
    same(found)


def test_a_price_that_was_higher_shows_by_as_much_and_no_more(tmp_path: Path) -> None:
    """The test above can fail: a cent more at the start is a cent more in the end."""
    study = without_failures(tco.load(write_study(tmp_path, minis=MINIS.replace(",fair", ","))))
    comparison = compare(study)
    ledger = list(as_planned(comparison, comparison.built.grounds[0], 12, billed=False))
    ledger[0] = replace(ledger[0], amount=(ledger[0].amount or 0.0) + 0.01)
    found = track(replace(study, ledger=tuple(ledger)), today=TODAY)
    purchase, total = by_line(found)[0], by_line(found)[-1]
    assert purchase.name == "purchase"
    assert purchase.differences == pytest.approx((0.01, 0.0, 0.01), abs=1e-9)
    assert total.differences == pytest.approx((0.01, 0.0, 0.01), abs=1e-8)


# what is known of a unit


@pytest.mark.parametrize("known", [0, 1, 3, 5])
@pytest.mark.parametrize("warranty", [0, 2, 4])
def test_what_is_expected_of_a_unit_that_lived_by_walking_every_path(known: int, warranty: int) -> None:
    """Every way in which things may go from the last month that is known, with its chance; six months."""
    months, chances = 6, np.array([0.3, 0.1, 0.05, 0.2, 0.4, 0.25])
    failed, covered, there = np.zeros((3, months + 1))

    def walk(month: int, came: int, bought: int, chance: float) -> None:
        """A unit that came, bought with its warranty, is there at the end of the month before."""
        if month > months:
            return
        dies = float(chances[month - came - 1])
        failed[month] += chance * dies
        there[month] += chance
        is_covered = month - bought <= warranty
        covered[month] += chance * dies * is_covered
        walk(month + 1, month, bought if is_covered else month, chance * dies)
        walk(month + 1, came, bought, chance * (1 - dies))

    walk(known + 1, 0, 0, 1.0)
    unit = Unit(-np.log1p(-chances), np.full(months + 1, LONG), warranty, known)
    found = history(unit, None, months)
    (crowd,) = found.crowds
    assert found.failures == pytest.approx(failed, abs=1e-12)
    assert crowd.covered == pytest.approx(covered, abs=1e-12)
    survives = np.cumprod(np.concatenate([[1.0], 1.0 - chances]))
    for month in range(known, months + 1):  # who is there later follows from what was put in: resale counts so
        assert float(crowd.arrivals[: month + 1] @ survives[month::-1]) == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize("seed", [1, 2, 5, 6, 9, 10])
def test_a_meter_that_reads_a_quarter_more_counts_in_every_period_and_goes_on(seed: int, tmp_path: Path) -> None:
    study = without_failures(tco.load(random_study(seed, tmp_path)))
    comparison = compare(study)
    ground = next(one for one in comparison.built.grounds if one.scenario.parts)
    months = study.settings.horizon // 2 + 1
    ledger = tuple(
        replace(one, energy=1.25 * one.energy) if one.energy is not None else one
        for one in as_planned(comparison, ground, months, billed=False)
    )
    found = track(replace(study, ledger=ledger), today=TODAY)
    planned, went = (found.comparison.of(one.month("energy")) for one in (found.plan, found.went))
    assert planned.sum() > 0
    np.testing.assert_allclose(went, 1.25 * planned, rtol=1e-9, atol=1e-9)
    for name, column in found.comparison.built.model.columns.items():
        if name.startswith(f"bill of {found.went.scenario.scenario}.own "):
            as_listed = found.comparison.of(found.plan.own("bill", column.name))
            np.testing.assert_allclose(found.comparison.of(column), 1.25 * as_listed, rtol=1e-9, atol=1e-9)


def test_a_reading_is_spread_as_the_parts_list_has_its_months(tmp_path: Path) -> None:
    """January to March 2027 have 31, 28 and 31 days, less an hour, at the same watts; 1.1 times what is listed."""
    study = without_failures(tco.load(write_study(tmp_path)))
    comparison = compare(study)
    ground = comparison.built.grounds[0]
    energy = comparison.of(ground.month("energy"))
    bought = list(as_planned(comparison, ground, 0, billed=False))
    rows = [
        Entry(scenario="minis", day=date(2026, 12, 31), what="metered", energy=float(energy[1])),
        Entry(scenario="minis", day=date(2027, 3, 31), what="metered", energy=1.1 * float(energy[2:5].sum())),
        Entry(scenario="minis", day=date(2027, 5, 31), what="paid", line="fees", amount=0.0),
    ]
    found = track(replace(study, ledger=(*bought, *rows)), today=TODAY)
    load = np.array(found.past.load)
    assert load[1] == pytest.approx(1.0, rel=1e-12)
    assert load[2:5] == pytest.approx(1.1, rel=1e-12)
    whole = (energy[1] + 1.1 * energy[2:5].sum()) / energy[1:5].sum()  # what was read, over what is listed
    assert load[5:] == pytest.approx(whole, rel=1e-12)
    hours = np.array([744, 672, 743])
    assert found.comparison.of(found.went.month("energy"))[2:5] == pytest.approx(
        1.1 * float(energy[2:5].sum()) * hours / hours.sum(), rel=1e-12
    )


def test_a_reading_in_the_middle_of_a_month_counts_to_its_day(tmp_path: Path) -> None:
    """A tenth more than listed to the middle of January, as listed to its end, and on as over both."""
    study = without_failures(tco.load(write_study(tmp_path)))
    ground = (comparison := compare(study)).built.grounds[0]
    energy = comparison.of(ground.month("energy"))
    bought = list(as_planned(comparison, ground, 0, billed=False))
    read = 1.1 * float(energy[1] + 15 / 31 * energy[2])
    rows = [Entry(scenario="minis", day=date(2027, 1, 15), what="metered", energy=read)]
    found = track(replace(study, ledger=(*bought, *rows)), today=TODAY)
    assert found.months == 1
    assert np.array(found.past.load)[1:] == pytest.approx(1.1, rel=1e-12)
    rows.append(Entry(scenario="minis", day=date(2027, 1, 31), what="metered", energy=16 / 31 * float(energy[2])))
    load = np.array(track(replace(study, ledger=(*bought, *rows)), today=TODAY).past.load)
    january = (15 * 1.1 + 16) / 31
    assert load[1:3] == pytest.approx([1.1, january], rel=1e-12)
    whole = (1.1 * energy[1] + january * energy[2]) / (energy[1] + energy[2])
    assert load[3:] == pytest.approx(float(whole), rel=1e-12)
