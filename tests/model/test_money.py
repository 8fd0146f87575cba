"""Real and nominal statements of one study agree; moved by years it costs the same; costs are linear in prices.

Exact where prices grow and costs count by the month: prices that rise once a year meet discounting by the month, or
the reverse, only at the years' ends.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tco
from tco.engine import evaluate
from tco.model import LINES, build
from tco.model.calendar import month_after
from tco.study import Charge, Fee, OneOff, Part, PathPoint, Row, Scenario, Study, Version
from tests.random_studies import random_study

SEEDS = st.integers(0, 10_000)
tried = settings(max_examples=8, deadline=None, derandomize=True)
NAMES = [line.name for line in LINES]


@cache
def nominal_study(seed: int) -> Study:
    """A random study in nominal money, none of it quoted otherwise, everything by the month."""
    with tempfile.TemporaryDirectory() as folder:
        study = tco.load(random_study(seed, Path(folder)))
    about = {"money": "nominal", "timing": "month-end", "growth_step": "month", "inflation": 0.031, "kinds": {}}
    plain = each_row(study, lambda row, _: replace(row, kinds={}))
    return replace(plain, settings=replace(plain.settings, **about))


def each_row(study: Study, change: Callable[[Row, int], Row]) -> Study:
    """The study with every row of its parts, fees, one-offs, tariffs, charges and paths changed.

    change: (row, month in which its amount falls) -> row.
    """

    def begins(start) -> int:  # type: ignore[no-untyped-def]
        first = study.settings.start
        month = (start.year - first.year) * 12 + start.month - first.month
        return month + 1 if month > 0 else 0

    def of(scenario: Scenario) -> Scenario:
        return replace(
            scenario,
            parts=tuple(change(part, 0) for part in scenario.parts),
            fees=tuple(change(fee, 0) for fee in scenario.fees),
            one_offs=tuple(change(one, one.month) for one in scenario.one_offs),
        )

    return replace(
        study,
        scenarios=tuple(of(scenario) for scenario in study.scenarios),
        tariffs={name: tuple(change(v, begins(v.start)) for v in vs) for name, vs in study.tariffs.items()},
        charges={name: tuple(change(c, begins(c.start)) for c in cs) for name, cs in study.charges.items()},
        paths={name: tuple(change(p, 12 * p.year) for p in ps) for name, ps in study.paths.items()},
    )


def lines_of(study: Study) -> dict[tuple[str, str], np.ndarray]:
    comparison = tco.compare(study)
    grounds = comparison.built.grounds
    return {(g.scenario.scenario, name): comparison.of(g.month(name)) for g in grounds for name in NAMES}


def in_real_money(study: Study) -> Study:
    """The same study stated in money of its start, by hand: rates above inflation, amounts deflated."""
    up = 1 + study.settings.inflation  # type: ignore[operator]

    def stated(row: Row, months: int) -> Row:
        rates = {name: (1 + (getattr(row, name) or 0.0)) / up - 1 for name in rates_of(study, row)}
        amounts = {name: getattr(row, name) / up ** (months / 12) for name in amounts_of(row)}
        return replace(row, **rates, **amounts)

    own = study.settings
    rates = {name: (1 + getattr(own, name)) / up - 1 for name in SHARED}
    return replace(each_row(study, stated), settings=replace(own, money="real", **rates))


def quoted(study: Study) -> Study:
    """The same in a study of real money, with every rate and amount as it was, said to be nominal.

    Amounts of a bill other than a tariff's one price cannot be said so: they are in the study's money.
    """
    up = 1 + study.settings.inflation  # type: ignore[operator]

    def said(row: Row, months: int) -> Row:
        rates = {name: getattr(row, name) or 0.0 for name in rates_of(study, row)}
        said_so = [name for name in amounts_of(row) if (type(row), name) in QUOTABLE]
        by_hand = {name: getattr(row, name) / up ** (months / 12) for name in set(amounts_of(row)) - set(said_so)}
        return replace(row, **rates, **by_hand, kinds=dict.fromkeys([*rates, *said_so], "nominal"))

    about = {"money": "real", "kinds": dict.fromkeys(SHARED, "nominal")}
    return replace(each_row(study, said), settings=replace(study.settings, **about))


SHARED = ("discount", "electricity_growth", "other_growth")


def rates_of(study: Study, row: Row) -> list[str]:
    """The yearly rates of a row; none where it follows a path, or the study's growth."""
    if isinstance(row, Part):
        return [] if row.price_path else ["price_trend"]
    if isinstance(row, Version) and row.growth is None and any(row is vs[-1] for vs in study.tariffs.values()):
        return []
    return ["growth"] if isinstance(row, Fee | Version) and not row.path else []


def amounts_of(row: Row) -> list[str]:
    """The amounts of a row that are of a later month's money, as far as it has them."""
    names = {
        Version: ("price", "minimum", "export"),
        Charge: ("price", "fixed", "fixed_day", "capacity"),
        OneOff: ("amount",),
        PathPoint: ("index",),
    }.get(type(row), ())
    return [name for name in names if getattr(row, name) is not None]


QUOTABLE = ((Version, "price"), (OneOff, "amount"), (PathPoint, "index"))


def deflated(lines: dict[tuple[str, str], np.ndarray], inflation: float) -> dict[tuple[str, str], np.ndarray]:
    return {key: line / (1 + inflation) ** (np.arange(len(line)) / 12) for key, line in lines.items()}


def same(found: dict, wanted: dict) -> None:  # type: ignore[type-arg]
    for key, line in wanted.items():
        assert found[key] == pytest.approx(line, rel=1e-9, abs=1e-9 * max(1.0, np.abs(line).max())), key


@tried
@given(SEEDS)
def test_real_and_nominal_statements_agree_line_by_line(seed: int) -> None:
    """Each month's amounts are those of the nominal study in money of the start; life-cycle costs are equal."""
    nominal = nominal_study(seed)
    real = in_real_money(nominal)
    same(lines_of(real), deflated(lines_of(nominal), 0.031))
    one, other = (tco.compare(study) for study in (nominal, real))
    for here, there in zip(one.built.grounds, other.built.grounds, strict=True):
        for name in ("lcc", "operating_worth", "investment_worth", "net_savings"):
            assert other.measure(there, name) == pytest.approx(one.measure(here, name), rel=1e-9, abs=1e-6)


@tried
@given(SEEDS)
def test_what_is_quoted_in_nominal_money_is_converted(seed: int) -> None:
    nominal = nominal_study(seed)
    same(lines_of(quoted(nominal)), lines_of(in_real_money(nominal)))


@tried
@given(SEEDS)
def test_rates_of_return_differ_by_inflation_alone(seed: int) -> None:
    """(1 + nominal) = (1 + real) (1 + inflation) for both rates of return; ratio and discounted payback are equal."""
    nominal = nominal_study(seed)
    pair = [
        tco.measures(tco.compare(study)).set_index(["scenario", "measure"]).value
        for study in (nominal, in_real_money(nominal))
    ]
    for scenario in {name for name, _ in pair[0].index}:
        for measure in ("rate_of_return", "adjusted_rate_of_return"):
            one, other = (values[scenario, measure] for values in pair)
            if not isinstance(one, str) and not isinstance(other, str):
                assert (1 + other) * 1.031 == pytest.approx(1 + one, rel=1e-6)
        for measure in ("savings_to_investment_ratio", "discounted_payback"):
            one, other = (values[scenario, measure] for values in pair)
            assert other == (one if isinstance(one, str) else pytest.approx(one, rel=1e-6))


@tried
@given(SEEDS, st.sampled_from([28, 56]))
def test_moving_a_study_by_years_changes_nothing_without_growth(seed: int, years: int) -> None:
    """By whole cycles of leap years and weekdays, as hours are true ones; each tariff keeps its first version, and
    holidays are those of every year."""
    study = nominal_study(seed)
    study = replace(study, holidays=tuple(day for day in study.holidays if len(day.day) == len("12-25")))
    none = {"price_trend": 0.0, "growth": 0.0, "path": "", "price_path": ""}
    still = each_row(study, lambda row, _: replace(row, **{n: v for n, v in none.items() if hasattr(row, n)}))
    still = replace(
        still,
        tariffs={name: versions[:1] for name, versions in still.tariffs.items()},
        charges={
            name: tuple(row for row in rows if row.start == still.tariffs[name][0].start)
            for name, rows in still.charges.items()
        },
    )
    still = replace(still, settings=replace(still.settings, electricity_growth=0.0, other_growth=0.0))
    start = month_after(still.settings.start, 12 * years)
    moved = replace(still, settings=replace(still.settings, start=start))
    same(lines_of(moved), lines_of(still))


@tried
@given(SEEDS)
def test_savings_one_way_are_losses_the_other_way(seed: int) -> None:
    study = nominal_study(seed)
    names = [scenario.scenario for scenario in study.scenarios]
    saved = {(base, name): float(value) for base in names for name, value in savings(study, base).items()}
    for one in names:
        assert saved[one, one] == 0
        for other in names:
            assert saved[one, other] == pytest.approx(-saved[other, one], rel=1e-12, abs=1e-9)


def savings(study: Study, baseline: str) -> dict[str, float]:
    measures = tco.measures(tco.compare(study, against=baseline))
    own = measures[measures.measure == "net_savings"]
    return dict(zip(own.scenario, own.value, strict=True))


PRICES = (
    *("price", "shipping", "fetches_today", "selling_cost", "disposal", "amount", "amount_per_TB", "hour_value"),
    *("fixed", "fixed_day", "capacity", "export", "heat_price"),
)


@tried
@given(SEEDS)
def test_life_cycle_cost_is_linear_in_each_price(seed: int) -> None:
    """Each money input alone at three values a step apart: the cost moves by the same amount twice.

    But for a bill's minimum: prices do not matter until it is reached.
    """
    study = nominal_study(seed)
    versions = {name: tuple(replace(v, minimum=None) for v in vs) for name, vs in study.tariffs.items()}
    built = build(replace(study, tariffs=versions))
    model, money = built.model, built.study.settings.currency
    inputs = [
        c
        for c in model.columns.values()
        if c.live and c.name in PRICES and money in f"{c.unit:P}" and c.values is not None
    ]
    assert inputs
    for column in inputs:
        step = np.where(column.values == 0, 0.0, 7.0) if column.name == "fetches_today" else 7.0
        figures = evaluate(model, {column: column.values + np.arange(3)[:, None] * step})
        for ground in built.grounds:
            low, middle, high = np.broadcast_to(figures[ground.own("measures", "lcc")][..., 0], (3,))
            assert high - middle == pytest.approx(middle - low, rel=1e-9, abs=1e-7), column.full_name
