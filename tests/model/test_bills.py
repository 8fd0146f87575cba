"""Bills: random studies against a slow reference, and what must hold of every bill.

The reference (plain_bills.py) goes through every quarter of an hour; rows of bills.csv are compared one by one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

import tco
from tco.ask.bills import bill_rows
from tco.study import Log, Study
from tests.model.plain_bills import ALL, Bill, Billed, Use
from tests.published.billed import HEADER, Customer, bills, blocks, cell, charge, tables
from tests.published.bills import tier_kwh
from tests.published.written import compared, table
from tests.random_studies import random_study
from tests.studies import TABLES, write_study

Key = tuple[int, str, str]  # month, kind, item
Cells = tuple[float | str, float | str, float | str]  # home, with the build, difference
SEEDS = [seed for seed in range(100, 132) if seed % 4 in (1, 2)]  # those that say how electricity is billed


def wanted_rows(plain: Billed) -> Iterator[tuple[Key, Cells]]:
    """Every line of every month's bill, by the reference."""
    for month in range(1, plain.horizon + 1):
        home, grid = plain.home_kwh(month), plain.grid_kwh(month)
        charges = plain.charges(plain.version(month))
        charged = {ALL, *(row.period for row in charges)}  # what no charge asks for is not listed
        yield from (((month, "use", n), three(*pair)) for n, pair in uses(home, grid).items() if n in charged)
        if any(row.capacity is not None for row in charges):
            yield (month, "power", "peak"), three(plain.peak(month, busy=False), plain.peak(month, busy=True))
        one, both = plain.bills(month)
        yield from (((month, "charge", name), three(one.charges[name], both.charges[name])) for name in one.charges)
        yield (month, "bill", "minimum"), three(one.minimum, both.minimum)
        yield (month, "bill", "total"), three(one.total, both.total)
        yield (month, "bill", "own solar power not sold"), ("", "", plain.not_sold(month))
        yield (month, "price", "average"), (average(one, home), average(both, home, grid), "")
        more = sum(grid.values())
        yield (month, "price", "marginal"), ("", "", (both.total - one.total) / more if more > 0 else "")


def uses(home: Use, grid: Use) -> dict[str, tuple[float, float]]:
    """kWh at home and with the build, in all and by period."""
    found = {ALL: (sum(home.values()), sum(home.values()) + sum(grid.values()))}
    return found | {name: (home[name], home[name] + grid[name]) for name in home if name != ALL}


def three(home: float, with_build: float) -> Cells:
    return home, with_build, with_build - home


def average(bill: Bill, *used: Use) -> float | str:
    """What a kWh costs on average; none where nothing is used."""
    kwh = sum(sum(use.values()) for use in used)
    return bill.total / kwh if kwh > 0 else ""


def found_rows(comparison, scenario: str) -> dict[Key, Cells]:  # type: ignore[no-untyped-def]
    """The rows of bills.csv of one scenario."""
    rows = [row for row in bill_rows(comparison) if row[0] == scenario]
    found = {row[1:4]: row[4:7] for row in rows}
    assert len(found) == len(rows)
    return found


def same(found: Cells, wanted: Cells) -> bool:
    """Equal to rounding: a billionth of the size of the bill's amounts."""
    size = max(1.0, *(abs(value) for value in wanted if isinstance(value, float)))
    return all(
        one == other if isinstance(other, str) else one == pytest.approx(other, rel=1e-9, abs=1e-9 * size)
        for one, other in zip(found, wanted, strict=True)
    )


@pytest.mark.parametrize("seed", SEEDS)
def test_every_row_of_the_bills_is_that_of_the_reference(seed: int, tmp_path: Path) -> None:
    study = tco.load(random_study(seed, tmp_path))
    comparison = tco.compare(study)
    for scenario in study.scenarios:
        found = found_rows(comparison, scenario.scenario)
        wanted = dict(wanted_rows(Billed(study, scenario))) if scenario.tariff else {}
        for key, cells in wanted.items():
            if key in found:
                assert same(found[key], cells), (scenario.scenario, key, found[key], cells)
            else:  # of what the study does not have there are no rows
                assert not any(cell for cell in cells if cell != ""), (scenario.scenario, key, cells)
        for key in set(found) - set(wanted):  # a charge of another version, a period or peak that none asks for now
            assert key[1] in ("use", "power") or not any(cell for cell in found[key] if cell != ""), (key, found[key])


# What must hold of every bill

tried = settings(max_examples=20, deadline=None, derandomize=True, phases=[Phase.generate])  # shrinking takes minutes
PRICE = st.integers(0, 6000).map(lambda n: n / 10_000)
KWH = st.integers(0, 9000).map(lambda n: n / 10)
STEPS = st.lists(
    st.tuples(st.integers(1, 9000).map(lambda n: n / 10), PRICE), max_size=3, unique_by=lambda step: step[0]
)


@st.composite
def charges_of(draw: st.DrawFn) -> tuple[str, ...]:
    """A version's charges without negative prices: blocks for all hours or by period, adders, fixed amounts, taxes.

    One rebate at most, of less than everything: with two of 60 % a bill would fall as use rises.
    """
    found = [*blocks("energy", (0, draw(PRICE)), *sorted(draw(STEPS)))]
    for period in ("day", "night"):
        found += blocks(period, (0, draw(PRICE)), *sorted(draw(STEPS)), period=period)
    found.append(charge("losses", price=draw(PRICE), kWh_share=f"{draw(st.integers(0, 200))} %"))
    found.append(charge("basic", fixed=draw(PRICE) * 30))
    found.append(charge("meter", fixed_day=draw(PRICE)))
    found.append(charge("tax", percent=f"{draw(st.integers(0, 30))} %"))
    found.append(charge("rebate", percent=f"{-draw(st.integers(0, 99))} %", of=draw(st.sampled_from(["", "energy"]))))
    return tuple(found)


HOURS = ("year,day,,weekday,07:00,22:00", "year,night,,otherwise,,")
MONTH = 2  # days differ most there, and no clock changes


def customer(charges: tuple[str, ...], kwh: float, watts: float, minimum: str = "", per: str = "") -> Customer:
    """A home that uses so much in February, and a build that draws so much."""
    months = (0.0, kwh, *[0.0] * 10)
    return Customer(
        "EUR", months, charges, start="2028-02", hours=HOURS, watts=watts,
        versions=(f"2000-01,,year,{per},{minimum}",),
    )  # fmt: skip


def totals(case: Customer) -> tuple[float, float]:
    """The home's bill and the one with the build."""
    return cell(case, "bill", "total"), cell(case, "bill", "total", column=1)


@tried
@given(
    charges_of(),
    KWH,
    KWH,
    st.integers(0, 900),
    st.integers(0, 900),
    st.sampled_from(["", "0 EUR/month", "90 EUR/month"]),
)
def test_bills_rise_with_use(
    charges: tuple[str, ...], kwh: float, more: float, watts: int, further: int, minimum: str
) -> None:
    """No rebate on one charge beside a minimum: while the minimum holds, more use would mean more rebate."""
    minimum = "" if amount_of(charges, "rebate", "of") else minimum
    low = totals(customer(charges, kwh, watts, minimum))
    high = totals(customer(charges, kwh + more, watts + further, minimum))
    size = 1e-9 * (1 + high[1])
    assert low[0] <= low[1] + size
    assert low[0] <= high[0] + size
    assert low[1] <= high[1] + size


@tried
@given(charges_of(), st.sampled_from(["", "day"]))
def test_the_bill_of_no_use_is_its_fixed_charges(charges: tuple[str, ...], per: str) -> None:
    """29 days of February 2028, taxed and with the rebate on all that is left."""
    case = customer(charges, 0.0, 0.0, per=per)
    fixed = cell(case, "charge", "basic") + 29 * amount_in(charges, "meter", "fixed day")
    of_all = sum(percent_in(charges, name) for name in ("tax", "rebate") if not amount_of(charges, name, "of"))
    assert totals(case) == pytest.approx((fixed * (1 + of_all),) * 2, rel=1e-12, abs=1e-12)
    assert bills(case)[1, "price", "average"] == ("", "", "")
    assert bills(case)[1, "price", "marginal"] == ("", "", "")


def amount_of(charges: tuple[str, ...], name: str, column: str) -> str:
    """A cell of the first row of a charge."""
    rows = [dict(zip(HEADER.split(","), row.split(","), strict=True)) for row in charges]
    return next(row for row in rows if row["charge"] == name)[column]


def amount_in(charges: tuple[str, ...], name: str, column: str) -> float:
    return float(amount_of(charges, name, column))


def percent_in(charges: tuple[str, ...], name: str) -> float:
    return float(amount_of(charges, name, "percent").removesuffix(" %")) / 100


@tried
@given(PRICE, PRICE, KWH, st.integers(1, 2000), st.integers(0, 30))
def test_without_blocks_a_build_costs_price_times_kwh(
    price: float, other: float, kwh: float, watts: int, tax: int
) -> None:
    """Whatever the home uses and pays besides; to rounding of the two bills' difference."""
    charges = (
        charge("energy", price=price), charge("adder", price=other), charge("basic", fixed=12.5),
        charge("tax", percent=f"{tax} %"),
    )  # fmt: skip
    case = customer(charges, kwh, watts)
    drawn = watts * 29 * 24 / 1000
    wanted = drawn * (price + other) * (1 + tax / 100)
    assert cell(case, "bill", "total", column=2) == pytest.approx(wanted, rel=1e-12, abs=1e-13 * totals(case)[1])
    assert cell(case, "price", "marginal", column=2) == pytest.approx(wanted / drawn, abs=1e-13 * totals(case)[1])


@tried
@given(PRICE, KWH, st.integers(0, 900), st.integers(1, 95))
def test_splitting_a_period_in_two_of_the_same_price_changes_nothing(
    price: float, kwh: float, watts: int, cut: int
) -> None:
    """A night cut at any quarter of an hour."""
    at = f"{cut // 4:02}:{cut % 4 * 15:02}"
    whole = customer(by_period({"day": price / 2, "night": price}), kwh, watts)
    rows = (f"year,day,,weekday,07:00,22:00|year,night,,weekend + holiday,00:00,{at}|"
            f"year,more,,weekend + holiday,{at},24:00|year,more,,otherwise,,").split("|")  # fmt: skip
    halves = replace(
        customer(by_period({"day": price / 2, "night": price, "more": price}), kwh, watts), hours=tuple(rows)
    )
    with_holiday = {"holidays": table("day,hours", ["01-01,"])}
    found = [totals_of(compared(tables(case) | with_holiday)) for case in (whole, halves)]
    assert found[1] == pytest.approx(found[0], rel=1e-12, abs=1e-12)


def by_period(prices: dict[str, float]) -> tuple[str, ...]:
    return tuple(charge(name, price=price, period=name) for name, price in prices.items())


def totals_of(comparison) -> tuple[float, float]:  # type: ignore[no-untyped-def]
    """The home's bill and the one with the build, of the first month."""
    found = found_rows(comparison, "it")[1, "bill", "total"]
    return float(found[0]), float(found[1])


@tried
@given(charges_of(), KWH, st.integers(0, 900))
def test_the_periods_bills_add_up(charges: tuple[str, ...], kwh: float, watts: int) -> None:
    """What is charged by day and what by night, each billed alone, is what both cost on one bill."""
    free = charge("all hours", price=0)
    rows = {period: [row for row in charges if f",{period}," in row] for period in ("day", "night")}
    both, day, night = (
        totals(customer((free, *(row for name in names for row in rows[name])), kwh, watts))
        for names in (("day", "night"), ("day",), ("night",))
    )
    assert len(rows["day"]) + len(rows["night"]) >= 2
    assert both == pytest.approx([sum(pair) for pair in zip(day, night, strict=True)], rel=1e-12, abs=1e-12)


@tried
@given(charges_of(), KWH, st.integers(0, 900), st.lists(st.sampled_from(range(2, 30)), min_size=2, max_size=2))
def test_days_of_one_kind_are_interchangeable(
    charges: tuple[str, ...], kwh: float, watts: int, days: list[int]
) -> None:
    """A holiday on one or another weekday of February 2028 makes the same bill, with a build that is busy by day."""
    weekdays = [day for day in range(1, 30) if date(2028, 2, day).weekday() < 5]
    found = []
    for day in (weekdays[days[0] % len(weekdays)], weekdays[days[1] % len(weekdays)]):
        case = tables(customer(charges, kwh, watts))
        case |= {
            "holidays": table("day,hours", [f"2028-02-{day:02},"]),
            "scenarios": table("scenario,parts list,tariff,busy shape", ["it,it.csv,grid,office"]),
            "shapes": table(
                "shape,days,begins,ends,share",
                ["office,weekday,08:00,18:00,70 %", "office,holiday,10:00,11:15,40 %", "office,otherwise,,,5 %"],
            ),
            "it": table("part,quantity,price,idle,busy", [f"box,1,1 EUR,{watts} W,{watts + 80} W"]),
        }
        found.append(totals_of(compared(case)))
    assert found[1] == pytest.approx(found[0], rel=1e-12)


def test_kwh_of_one_period_cost_the_same_at_any_hour_of_it() -> None:
    """Busy from 8 to 10 or from 18 to 20, both by day: one bill; from 3 to 5, by night: another one."""
    charges = (*blocks("day", (0, 0.2), (50, 0.4), period="day"), charge("night", price=0.1, period="night"))
    found = {}
    for begins in (8, 18, 3):
        case = tables(customer(charges, 200.0, 10.0)) | {
            "scenarios": table("scenario,parts list,tariff,busy shape", ["it,it.csv,grid,now"]),
            "shapes": table(
                "shape,days,begins,ends,share",
                [f"now,weekday,{begins:02}:00,{begins + 2:02}:00,100 %", "now,otherwise,,,0 %"],
            ),
            "it": table("part,quantity,price,idle,busy", ["box,1,1 EUR,10 W,500 W"]),
        }
        found[begins] = totals_of(compared(case))
    assert found[8] == pytest.approx(found[18], rel=1e-12)
    shifted = 21 * 2 * 0.490  # kWh: the weekdays of February 2028, two hours each
    assert found[8][1] - found[3][1] == pytest.approx(shifted * (0.4 - 0.1), rel=1e-9)


def test_a_minimum_makes_a_build_free_until_it_is_reached() -> None:
    """90 EUR at least: at 0.2 EUR/kWh a home of 300 kWh pays 30 EUR more than its use, which 150 kWh fill."""
    for watts, wanted in ((100, 0.0), (150 / 0.696, 0.0), (300 / 0.696, 30.0)):
        case = customer((charge("energy", price=0.2),), 300.0, watts, minimum="90 EUR/month")
        assert cell(case, "bill", "total", column=2) == pytest.approx(wanted, abs=1e-9)
        assert cell(case, "bill", "minimum") == pytest.approx(30)
        assert cell(case, "bill", "minimum", column=1) == pytest.approx(max(0.0, 30 - 0.2 * 0.696 * watts), abs=1e-9)


@pytest.mark.parametrize(("per_day", "start", "months", "kwh"), [
    (40.0, "2025-07", 2, 2480),
    (22.1918, "2028-01", 2, 1331.508),
    (22.1918, "2027-02", 1, 621.3704),
])  # fmt: skip
def test_a_threshold_by_the_day_counts_the_days_of_the_month(
    per_day: float, start: str, months: int, kwh: float
) -> None:
    """62, 60 and 28 days; as printed, but not rounded to whole kWh."""
    assert tier_kwh(per_day, start, months)() == pytest.approx(kwh, rel=1e-12)


def test_own_solar_costs_what_the_grid_would_have_paid() -> None:
    """A quarter of 69.6 kWh at 0.08, the rest at 0.3 EUR/kWh."""
    case = tables(customer((charge("energy", price=0.3),), 100.0, 100.0)) | {
        "scenarios": table("scenario,parts list,tariff,solar share", ["it,it.csv,grid,25 %"]),
        "tariffs": table("tariff,start,price,hours,export", ["grid,2000-01,,year,0.08 EUR/kWh"]),
    }
    comparison = compared(case)
    (ground,) = comparison.built.grounds
    assert comparison.of(ground.month("electricity"))[1] == pytest.approx(69.6 * (0.75 * 0.3 + 0.25 * 0.08))
    assert found_rows(comparison, "it")[1, "use", "all"] == pytest.approx((100, 152.2, 52.2))


def test_a_logged_node_is_billed_hour_by_hour() -> None:
    """Its average week behind a UPS, by its profile on weekdays and weekends; the peak has its busiest hour."""
    case = customer((*by_period({"day": 0.4, "night": 0.1}), charge("power", capacity=3)), 50.0, 25.0)
    study = loaded_with(tables(replace(case, peak=2.0)) | {
        "scenarios": table("scenario,parts list,tariff,ups efficiency", ["it,it.csv,grid,80 %"]),
        "it": table("part,node,quantity,price,idle", ["box,node,2,1 EUR,7 W", "other,,1,1 EUR,25 W"]),
        "nodes": table("scenario,node,count", ["it,node,2"]),
    })  # fmt: skip
    log = Log("log.csv", tuple(float(hour) for hour in range(24)), tuple(float(100 - hour) for hour in range(24)))
    (scenario,) = study.scenarios
    nodes = tuple(replace(node, log="log.csv") for node in scenario.nodes)
    study = replace(study, scenarios=(replace(scenario, nodes=nodes),), logs={"log.csv": log})
    comparison = tco.compare(study)
    wanted = dict(wanted_rows(Billed(study, study.scenarios[0])))
    found = found_rows(comparison, "it")
    wrong = {
        key: (found[key], cells) for key, cells in wanted.items() if key in found and not same(found[key], cells)
    }
    assert not wrong
    hours = 21 * 24 + 8 * 24  # February 2028 has more weekdays than an average week
    assert found[1, "use", "all"][2] == pytest.approx((2 * (5 * 276 + 2 * 2124) / 168 + 25) * hours / 800)
    assert found[1, "power", "peak"] == pytest.approx((2, 2 + (2 * 100 + 25) / 800, (2 * 100 + 25) / 800))


def loaded_with(found: dict[str, str]) -> Study:
    """The study of some tables."""
    with TemporaryDirectory() as folder:
        return tco.load(write_study(Path(folder), **{**dict.fromkeys(TABLES), **found}))
