"""The model's plain functions one by one: by hand, by brute force, or by what must add up. No study is read."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from itertools import pairwise
from random import Random
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from tco.engine import Model, evaluate
from tco.model import calendar, failing, holding, measures, phases, pools, shared, shelf, slots, wear
from tco.model.clock import EPOCH, QUARTER, ahead, changes_at, offsets, winter_offset
from tco.model.renewal import LONG, Unit, history
from tco.model.slot import Slot, Stay
from tco.study import Node, Part, Pool, ResalePoint, Scenario, Settings, Version

ZONES = {"Europe/Vienna": 4, "Australia/Sydney": 40, "America/St_Johns": -14, "Asia/Kolkata": 22, "Europe/Dublin": 0}


def part(**about: object) -> Part:
    """One part, 1 EUR each."""
    return Part(**{"part": "drive", "quantity": 1, "price": 1.0, **about})  # type: ignore[arg-type]


def quarter_of(*moment: int) -> int:
    """A moment in UTC as quarters since 1970."""
    return (datetime(*moment, tzinfo=UTC) - EPOCH) // QUARTER


# Hours and months


@pytest.mark.parametrize(("zone", "winter"), ZONES.items())
@pytest.mark.parametrize("month", [1, 4, 7, 11])
def test_winter_time_is_the_least_offset_whenever_a_study_starts(zone, winter, month):
    assert winter_offset(quarter_of(2027, month, 1), ZoneInfo(zone)) == winter


@pytest.mark.parametrize("zone", ZONES)
def test_spans_of_one_offset_are_what_each_quarter_says(zone):
    first, last, place = quarter_of(2027, 3, 1, 5, 15), quarter_of(2027, 11, 20, 7), ZoneInfo(zone)
    spans = list(offsets(first, last, place))
    assert [spans[0][0], spans[-1][1]] == [first, last]
    assert all(one[1] == other[0] for one, other in pairwise(spans))
    for start, end, offset in spans:
        assert {ahead(q, place) for q in (start, (start + end) // 2, end - 1)} == {offset}
    assert all(one[2] != other[2] for one, other in pairwise(spans))
    assert len(spans) == (1 if zone == "Asia/Kolkata" else 3)


def test_a_change_of_the_clock_is_found_to_the_quarter():
    change = quarter_of(2027, 3, 28, 1)  # 28 March 2027, 01:00 UTC
    for low, high in ((change - 1, change), (change - 96, change + 95), (change - 5, change)):
        assert changes_at(low, high, ZoneInfo("Europe/Vienna")) == change


def test_days_and_shares_of_the_year():
    assert calendar.days_of(date(2027, 12, 1), 3) == [0.0, 31.0, 31.0, 29.0]
    settings = Settings(
        question="?", currency="EUR", start=date(2027, 11, 1), horizon=14, time_zone="UTC", discount=0.0
    )
    shares = calendar.shares_of_year(settings)
    leap = [date(2028, month % 12 + 1, 1) - timedelta(1) for month in range(1, 12)]
    assert shares[:3] == [0.0, 30 / 365, 31 / 365]
    assert shares[3:14] == pytest.approx([day.day / 366 for day in leap])
    assert sum(shares[3:15]) == pytest.approx(1)


def test_the_version_in_force_is_the_last_that_has_begun():
    settings = Settings(
        question="?", currency="EUR", start=date(2027, 1, 1), horizon=6, time_zone="UTC", discount=0.0
    )
    starts = [date(2026, 5, 1), date(2027, 1, 1), date(2027, 4, 1)]
    versions = [Version(tariff="t", start=start) for start in starts]
    assert calendar.versions_of(settings, versions) == [2, 2, 2, 2, 3, 3, 3]
    assert calendar.versions_of(settings, versions[2:]) == [1] * 7


def test_years_and_holding_periods_are_named():
    names = [measures.year_names(months) for months in (1, 12, 14, 25)]
    assert names == [
        ["year 1 (1 month)"],
        ["year 1"],
        ["year 1", "year 2 (2 months)"],
        ["year 1", "year 2", "year 3 (1 month)"],
    ]
    kept = [holding.periods(months) for months in (1, 12, 29)]
    assert kept == [{"1 month": 1}, {"1 year": 12}, {"1 year": 12, "2 years": 24, "29 months": 29}]


# Phases and wear


def test_a_phase_begins_where_what_is_there_changes():
    draw, horizon = Random(9), 12
    for _ in range(60):
        rows = [
            part(quantity=draw.randrange(3), bought=(bought := draw.randrange(12)),
                 leaves=draw.choice([None, draw.randrange(bought, 13)]))
            for _ in range(draw.randrange(1, 4))
        ]  # fmt: skip
        scenario = Scenario(scenario="it", parts=tuple(rows))

        def there(month, rows=rows):
            return [one.quantity and one.bought < month <= (12 if one.leaves is None else one.leaves) for one in rows]

        starts = phases.starts(scenario, horizon)
        assert {1, *(m for m in range(2, 13) if there(m) != there(m - 1))} <= set(starts)
        edges = (
            {1}
            | {one.bought + 1 for one in rows if one.quantity}
            | {(one.leaves or 12) + 1 for one in rows if one.quantity}
        )
        assert set(starts) <= edges
        assert starts == sorted(set(starts))
        assert max(starts) <= horizon
    assert phases.phase_names([1, 5, 6], 12) == ["months 1–4", "month 5", "months 6–12"]


def test_the_largest_piece_is_the_largest_that_still_finds_places():
    draw = Random(4)
    for _ in range(40):
        nodes = [(float(draw.randrange(1, 30)), draw.randrange(1, 4)) for _ in range(draw.randrange(1, 5))]
        wanted = draw.randrange(1, 5)
        piece = wear.a_piece(nodes, wanted)
        fits = [sum(count * min(size, trial) for size, count in nodes) >= wanted * trial * (1 - 1e-12)
                for trial in (piece, piece * 1.001 + 1e-9)]  # fmt: skip
        assert fits == [True, False]
        assert bool(piece) == (sum(count for _, count in nodes) >= wanted)


SCHEMES = [{"copies": 2}, {"copies": 3}, {"data": 2, "parity": 1}]


@pytest.mark.parametrize("scheme", SCHEMES)
def test_all_that_is_written_to_a_pool_goes_to_its_drives(scheme):
    """Clients' bytes times copies, or pieces over data pieces, times the overhead; 1.5 x 100 GB a day here."""
    rows = (
        part(node="small", quantity=4, capacity=3.0, pool="main"),
        part(node="small", quantity=2, capacity=1.0, pool="main", bought=6),
        part(node="large", quantity=2, capacity=20.0, pool="main"),
        part(node="large", quantity=2, capacity=9.0, pool="other"),
        part(node="large", quantity=2, capacity=0.5),
    )
    pool = Pool(scenario="it", pool="main", written=100.0, overhead=1.5, **scheme)
    nodes = (Node(scenario="it", node="small", count=2), Node(scenario="it", node="large", count=1))
    scenario = Scenario(scenario="it", parts=rows, nodes=nodes, pools=(Pool(scenario="it", pool="other"), pool))
    every = [wear.written_a_day(scenario, 12, one) for one in rows[:3]]
    there = [one.quantity * (np.arange(13) > one.bought) for one in rows[:3]]
    total = sum(units * by_month for units, by_month in zip(there, every, strict=True))
    assert total[1:] == pytest.approx([150.0 * scheme.get("copies", 3 / 2)] * 12)
    within = every[1][7:] / every[0][7:]
    assert within == pytest.approx([1 / 3] * 6)  # within a node by capacity
    assert wear.written_a_day(scenario, 12, rows[3]) is None
    assert wear.written_a_day(scenario, 12, rows[4]) is None
    assert wear.written_a_day(scenario, 2, replace(rows[4], written=7.0)).tolist() == [7.0] * 3


def test_a_drive_that_takes_all_writes_first_gets_its_part_of_them():
    first = [part(quantity=n, takes_first="main", leaves=leaves) for n, leaves in ((2, 4), (3, None))]
    pool = Pool(scenario="it", pool="main", written=10.0, overhead=1.0, copies=2)
    scenario = Scenario(scenario="it", parts=tuple(first), pools=(pool,))
    assert wear.written_a_day(scenario, 6, first[1])[1:].tolist() == pytest.approx([20 / 5] * 4 + [20 / 3] * 2)
    later = replace(scenario, parts=(replace(first[1], bought=2),))
    assert wear.written_a_day(later, 4, later.parts[0])[1:].tolist() == pytest.approx([0.0] * 2 + [20 / 3] * 2)


def test_a_part_is_of_use_from_the_month_after_buying_to_that_in_which_it_leaves():
    used = [
        [phases.is_there(part(bought=2, leaves=leaves), month, 6) for month in range(1, 7)] for leaves in (4, None)
    ]
    assert used == [[False, False, True, True, False, False], [False, False, True, True, True, True]]


def test_worn_in_the_month_in_which_the_rated_writes_are_reached():
    writes = np.array([0.0, *[1.0, 2.0, 3.0] * 3])  # TB; so far 1, 3, 6, 7, 9, 12, 13, 15, 18

    def by_hand(came: int, left: float) -> int:
        sums = np.cumsum(writes[came + 1 :])
        return next((n for n, sum_ in enumerate(sums, start=1) if sum_ >= left), LONG)

    for left in (1.0, 3.0, 5.5, 6.0, 20.0):
        worn = part(endurance=left + 0.5, written_before=0.5)
        assert wear.worn_after(worn, 2, writes, 5).tolist() == [by_hand(2 + n, left) for n in range(6)]
    both = part(endurance=6.0, life=5, age=2)
    assert wear.worn_after(both, 0, writes, 3).tolist() == [3, 3, 3, 3]
    assert wear.worn_after(part(endurance=6.0), 0, None, 1).tolist() == [LONG, LONG]


# Slots and spares


def test_a_span_counts_from_buying_to_leaving():
    span = slots.Span(2, 5, 7)
    assert span.months == 3
    assert span.over(np.array([1.0, 2.0, 3.0, 4.0])).tolist() == [0, 0, 1, 2, 3, 4, 0, 0]
    assert span.over(np.array([1.0, 1e-101, 0.0, 1e-99]))[2:6].tolist() == [1.0, 0.0, 0.0, 1e-99]
    unit = Unit(-np.log1p(-np.array([0.5, 0.25, 1.0 - 1e-12])), np.array([2, 1, 9, 9]), 0)
    assert span.survives(unit)[:3].tolist() == pytest.approx([1.0, 0.5, 0.375])
    assert span.survives(unit)[4:].tolist() == [0.0] * 4
    # came in 2, 3, 4, 5 and worn in 4, 4, 13, 14: in month 4 what came in 4 and later is not worn yet
    assert span.since(unit)[[0, 3, 4, 5, 7]].tolist() == [2, 2, 4, 4, 4]
    assert span.since(replace(unit, lasts=np.array([4, 3, 2, 1]))) is None


def test_what_is_known_to_have_lived_is_not_worn_before():
    unit = Unit(np.zeros(4), np.array([2, 2, 2, 2, 2]), 0)
    assert slots.lived(unit, 0) is unit
    found = slots.lived(unit, 2)
    assert (found.lasts.tolist(), found.known) == ([3, 2, 2, 2, 2], 2)  # what came at 0 is there in 1 and 2


@pytest.mark.parametrize("warranty", [0, 2, 5])
def test_a_unit_that_is_known_to_live_is_there_for_certain_until_then(warranty):
    """A chance of 10 % a month, nothing in three months that are known; then 10 % again, like replacing like."""
    unit = Unit(np.full(8, -math.log(0.9)), np.full(9, LONG), warranty, known=3)
    found = history(unit, None, 8)
    assert found.failures == pytest.approx([0.0] * 4 + [0.1] * 5)
    [crowd] = found.crowds
    assert crowd.there == pytest.approx([1.0] * 9)
    assert crowd.arrivals[:4].tolist() == pytest.approx([0.9**-3, 0.0, 0.0, 0.0])
    assert crowd.covered[4] == pytest.approx(0.1 if warranty >= 4 else 0.0)
    by_arrivals = [crowd.arrivals[: month + 1] @ 0.9 ** np.arange(month, -1, -1) for month in range(3, 9)]
    assert by_arrivals == pytest.approx([1.0] * 6)  # what is there follows from what was put in


@pytest.mark.parametrize("mean", [0.01, 0.4, 3.0, 25.0])
@pytest.mark.parametrize("wanted", [0.0, 0.5, 0.95, 0.9999])
def test_the_least_number_of_spares_by_adding_up_chances(mean, wanted):
    sums = np.cumsum([math.exp(-mean) * mean**k / math.factorial(k) for k in range(90)])
    count = next(k for k, total in enumerate(sums) if total >= wanted)
    assert shelf.enough(mean, wanted) == (count, pytest.approx(sums[count], rel=1e-12))


def test_spares_go_by_the_worst_month_of_each_row_and_the_lead_time():
    rates = ([0.0, 0.01, 0.03], [0.0, 0.02, 0.0])
    own = [
        Slot(str(n), n, part(quantity=10 * (n + 1), bought=n, leaves=None), 1, 2 + n, np.array(each), np.zeros(3), ())
        for n, each in enumerate(rates)
    ]
    found = shelf.spare(own, 0.9, 365.0)  # half of 8,760 / 12 hours
    assert found.mean == pytest.approx((10 * 0.03 + 20 * 0.02) / 2)
    assert (found.row, found.bought, found.leaves, found.count) == (1, 0, 3, 1)  # P(N <= 1) = 1.35 e^-0.35 = 0.951


def test_ages_when_units_leave():
    """Bought at 10 months of age; half of it replaced in month 3, a quarter in month 20; all leave with month 30."""
    arrivals = np.zeros(41)
    arrivals[[0, 3, 20]] = 1.0, 0.5, 0.25
    survives = np.full(41, 1.0)
    survives[28:] = 0.5
    unit = Unit(np.zeros(30), np.full(31, LONG), 0)
    stay = Stay(0, part(age=10), unit, arrivals, survives, None, np.zeros(41), np.zeros(41))
    slot = Slot("0", 0, stay.part, 0, 30, np.zeros(41), np.zeros(41), (stay,))
    assert failing.ages_of(slot).tolist() == [0.0, 0.25, 0.0, 1.0]  # 20, 37 and 40 months; 0.5 x 1 and 1 x 0.5
    worn = replace(slot, stays=(replace(stay, since=np.full(41, 1)),))
    assert failing.ages_of(worn).tolist() == [0.0, 0.25, 0.0, 0.5]


# Resale, and words by case


def test_between_two_points_of_a_resale_curve():
    points = [ResalePoint(curve="c", base="own price", age=age, share=0.5) for age in (0, 12, 36)]
    found = [shared.between(points, age) for age in (0, 3, 12, 30, 36, 48)]
    assert found == [(0, 0, 0.0), (0, 1, 0.25), (1, 1, 0.0), (1, 2, 0.75), (2, 2, 0.0), (1, 2, 1.5)]


@pytest.mark.parametrize("count", [1, 29, 30, 31, 61, 95])
def test_the_first_case_that_holds_of_any_number(count):
    model = Model()
    table = model.table("t", "T", ["only"])
    holds = [model.given(table, f"h{n}", "h", "", 0.0) for n in range(count - 1)]

    def put(name, label, unit, formula):
        return model.column(table, name, label, unit, formula)

    found = pools.first_that_holds(put, "state", "state", [*holds, 1.0])
    assert evaluate(model)[found].tolist() == [count]
    for chosen in {0, count // 2, count - 2} & set(range(count - 1)):
        changes = {holds[n]: np.ones(1) for n in (chosen, count - 2)}
        assert evaluate(model, changes)[found].tolist() == [chosen + 1]


def test_a_piece_of_parity_and_copies_by_fractions():
    pool = Pool(scenario="it", pool="p", data=4, parity=2, overhead=1.25)
    assert wear.amplified(pool) == float(Fraction(6, 4) * Fraction(5, 4))
    assert wear.amplified(Pool(scenario="it", pool="p", copies=3, overhead=1.25)) == 3.75
