"""Sound at the bed, power when all is busy, heat, circuit: by hand, against plain loops, and what always holds.

The builds and how they are written: tests/published/sound_and_circuits.py.
"""

from __future__ import annotations

from dataclasses import replace
from math import isclose, log10
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tco.engine import Column, evaluate
from tco.model import StudyModel
from tests.published.sound_and_circuits import AMERICAN, Build, Place, Thing, amount, measures, tables
from tests.published.written import compared

tried = settings(max_examples=15, deadline=None, derandomize=True)

LEVELS = st.floats(20.0, 100.0).map(lambda level: round(level, 6))
DISTANCES = st.floats(0.25, 4.0).map(lambda metres: round(metres, 6))


@st.composite
def things(draw: st.DrawFn) -> Thing:
    """Something heard, for some of the months, or silent."""
    quiet = draw(st.one_of(LEVELS, st.just(0.0)))
    bought = draw(st.integers(0, 5))
    return Thing(
        quiet,
        draw(st.one_of(st.none(), st.floats(0.0, 9.0).map(lambda more: round(quiet + more, 6)))),
        draw(st.sampled_from(("power", "pressure"))),
        draw(DISTANCES),
        draw(st.integers(0, 4)),
        draw(st.floats(0.0, 200.0).map(lambda watts: round(watts, 3))),
        draw(st.floats(0.0, 200.0).map(lambda watts: round(watts, 3))),
        bought=bought,
        leaves=draw(st.one_of(st.none(), st.integers(bought + 1, 6))),
    )


LISTS = st.lists(things(), min_size=1, max_size=5).map(tuple)
PLACES = st.builds(
    Place,
    bed=st.floats(0.5, 8.0).map(lambda metres: round(metres, 6)),
    wall=st.one_of(st.none(), st.floats(0.0, 10.0).map(lambda level: round(level, 6))),
    standing=st.sampled_from(("", "floor", "free")),
)


def there(thing: Thing, month: int, months: int) -> bool:
    """Whether it is of use in a month."""
    return thing.bought < month <= (months if thing.leaves is None else thing.leaves)


def squared(thing: Thing, place: Place, busy: bool) -> float:
    """The mean square of the pressure that all of them make at the bed, in squares of 20 micropascal.

    Worked out in pressures and areas, not in levels: a pressure falls as 1 / d; a sound power of 1e-12 W makes a
    square of 1 where it is spread over 1 m2 (the rounded 8 and 11 dB stand for areas of 10^0.8 and 10^1.1 at 1 m).
    """
    level = thing.loud if busy and thing.loud is not None else thing.quiet
    if not level or place.bed is None:
        return 0.0
    passes = 10 ** (-(place.wall or 0.0) / 10)
    if thing.level == "pressure":
        return thing.quantity * passes * (10 ** (level / 20) * thing.distance / place.bed) ** 2
    area = 10 ** (1.1 if place.standing == "free" else 0.8) * place.bed**2
    return thing.quantity * passes * 10 ** (level / 10) / area


def loudest(build: Build, busy: bool) -> float:
    """The level of the loudest month, none below 0; month by month."""
    assert build.place
    sums = [
        sum(squared(thing, build.place, busy) for thing in build.things if there(thing, month, build.months))
        for month in range(1, build.months + 1)
    ]
    return 10 * log10(max(1.0, *sums))


@tried
@given(LISTS, PLACES)
def test_the_loudest_month_by_plain_loops(parts: tuple[Thing, ...], place: Place) -> None:
    build = Build(parts, place, months=6)
    for measure, busy in (("noise_idle", False), ("noise_busy", True)):
        found, wanted = measures(build)[measure], loudest(build, busy)
        if found == "silent":
            assert not any(squared(thing, place, busy) for thing in parts)
        else:
            assert found == pytest.approx(wanted, abs=1e-9)


@tried
@given(LISTS)
def test_power_when_all_is_busy_by_plain_loops(parts: tuple[Thing, ...]) -> None:
    def watts(month: int) -> float:
        return sum(thing.quantity * max(thing.idle, thing.busy) for thing in parts if there(thing, month, 6))

    wanted = max(watts(month) for month in range(1, 7))
    build = Build(parts, months=6, busy_share=0.0)
    assert amount(build, "power_busy") == pytest.approx(wanted, abs=1e-9)
    assert amount(build, "heat_busy") == pytest.approx(wanted * 3600 / 1055.05585262, abs=1e-9)


def idle(*parts: Thing, **about: Any) -> float:
    """The level at the bed, idle."""
    return amount(Build(parts, **about), "noise_idle")


@pytest.mark.parametrize(
    ("thing", "place", "printed"),
    [
        (Thing(40.0), Place(1.0), 40.0),
        (Thing(40.0), Place(4.0), 27.9588),  # 40 - 20 log10 4
        (Thing(40.0, distance=2.0), Place(1.0), 46.0206),  # nearer than where it was measured
        (Thing(40.0, distance=0.5), Place(5.0), 20.0),
        (Thing(40.0, level="power"), Place(1.0), 32.0),  # a floor is the usual standing
        (Thing(40.0, level="power"), Place(1.0, standing="floor"), 32.0),
        (Thing(40.0, level="power"), Place(1.0, standing="free"), 29.0),
        (Thing(40.0, level="power"), Place(10.0), 12.0),
        (Thing(40.0), Place(1.0, wall=15.0), 25.0),
        (Thing(40.0, quantity=10), Place(1.0, wall=15.0), 35.0),
    ],
)
def test_on_the_way_to_the_bed(thing: Thing, place: Place, printed: float) -> None:
    assert idle(thing, place=place) == pytest.approx(printed, abs=5e-5)


@tried
@given(LISTS, st.floats(0.1, 20.0))
def test_a_louder_part_makes_more_noise(parts: tuple[Thing, ...], more: float) -> None:
    first = replace(parts[0], quiet=50.0, loud=None, quantity=1, bought=0, leaves=None)
    louder = replace(first, quiet=50.0 + round(more, 6))
    others = tuple(replace(part, loud=None, bought=0, leaves=None) for part in parts[1:])
    assert idle(louder, *others) > idle(first, *others)


@tried
@given(LEVELS, st.integers(1, 1000), DISTANCES)
def test_equal_parts_add_ten_times_the_logarithm_of_their_number(level: float, count: int, metres: float) -> None:
    one = Thing(level, distance=metres)
    apart = idle(replace(one, quantity=count)) - idle(one)
    assert apart == pytest.approx(10 * log10(count), abs=1e-9)


@tried
@given(st.lists(st.builds(Thing, LEVELS, level=st.sampled_from(("power", "pressure"))), min_size=1, max_size=4))
def test_twice_the_distance_takes_six_decibels(parts: list[Thing]) -> None:
    near, far = (idle(*parts, place=Place(metres)) for metres in (0.5, 1.0))
    assert near - far == pytest.approx(6.0206, abs=5e-5)


@tried
@given(LISTS, PLACES, st.randoms())
def test_the_order_of_the_parts_does_not_matter(parts: tuple[Thing, ...], place: Place, random: object) -> None:
    mixed = list(parts)
    random.shuffle(mixed)  # type: ignore[attr-defined]
    one, other = (measures(Build(tuple(some), place, months=6)) for some in (parts, mixed))
    for measure in ("noise_idle", "noise_busy", "power_busy"):
        assert same(one[measure], other[measure])


@tried
@given(LISTS, PLACES, st.integers(1, 9))
def test_a_silent_part_changes_nothing(parts: tuple[Thing, ...], place: Place, count: int) -> None:
    one, other = (
        measures(Build(some, place, months=6)) for some in (parts, (*parts, Thing(0.0, idle=0.0, quantity=count)))
    )
    for measure in ("noise_idle", "noise_busy", "power_busy"):
        assert same(one[measure], other[measure])


def same(one: float | str, other: float | str) -> bool:
    """Equal to rounding, or the same words."""
    if isinstance(one, str) or isinstance(other, str):
        return one == other
    return isclose(one, other, rel_tol=1e-9, abs_tol=1e-9)


def test_busy_is_as_idle_where_a_part_says_nothing_else() -> None:
    one, other = Thing(40.0, 46.0), Thing(40.0)
    assert amount(Build((one, other)), "noise_busy") == pytest.approx(10 * log10(10**4.6 + 10**4.0))
    assert amount(Build((other, other)), "noise_busy") == idle(other, other)
    assert amount(Build((one, Thing(0.0))), "noise_busy") == pytest.approx(46.0)


def test_what_is_hardly_heard_is_told_as_nothing() -> None:
    far = Build((Thing(20.0),), Place(1000.0, wall=100.0))
    assert measures(far)["noise_idle"] == 0.0


def test_a_part_counts_while_it_is_there() -> None:
    early, late = Thing(40.0, 50.0, leaves=3), Thing(45.0, bought=3)
    build = Build((early, late), months=6)
    assert amount(build, "noise_idle") == pytest.approx(45.0)
    assert amount(build, "noise_busy") == pytest.approx(50.0)


SILENT, NO_BED = "silent", "unknown: no bed distance"
NO_LEVEL = "unknown: no noise level of thing"
HEARD, UNSAID = Thing(40.0), Thing(None)
CASE, DRIVE = Thing(40.0, node="box"), Thing(None, node="box")


@pytest.mark.parametrize(
    ("build", "words"),
    [
        (Build(()), "silent: no hardware"),
        (Build((HEARD,), None), NO_BED),
        (Build((HEARD,), Place(None)), NO_BED),
        (Build((UNSAID,), None), NO_BED),
        (Build((HEARD, UNSAID)), f"{NO_LEVEL} 1"),
        (Build((UNSAID, UNSAID)), f"{NO_LEVEL} 0"),
        (Build((replace(UNSAID, idle=0.0, busy=3.0),)), f"{NO_LEVEL} 0"),
        (Build((CASE, DRIVE, UNSAID)), f"{NO_LEVEL} 2"),  # the case speaks for its own node only
        (Build((replace(CASE, quantity=0), DRIVE)), f"{NO_LEVEL} 1"),  # a price speaks for nothing
        (Build((replace(UNSAID, idle=0.0),)), SILENT),  # a cable
        (Build((Thing(0.0), replace(UNSAID, idle=0.0))), SILENT),
        (Build((Thing(0.0),), None), SILENT),  # wherever the bed is
        (Build((replace(HEARD, quantity=0),)), SILENT),
        (Build((replace(DRIVE, idle=0.0),), nodes=(("box", 1, 9.0, None),)), f"{NO_LEVEL} 0"),
    ],
)
def test_why_there_is_no_level(build: Build, words: str) -> None:
    found = measures(build)
    assert (found["noise_idle"], found["noise_busy"]) == (words, words)


@pytest.mark.parametrize("parts", [(HEARD,), (CASE, DRIVE), (DRIVE, CASE), (HEARD, replace(UNSAID, quantity=0))])
def test_what_a_node_states_covers_its_parts(parts: tuple[Thing, ...]) -> None:
    assert idle(*parts) == pytest.approx(40.0)


def test_silent_when_idle_and_heard_when_busy() -> None:
    found = measures(Build((Thing(0.0, 30.0),)))
    assert (found["noise_idle"], found["noise_busy"]) == (SILENT, pytest.approx(30.0))
    found = measures(Build((Thing(0.0, 30.0),), None))
    assert (found["noise_idle"], found["noise_busy"]) == (SILENT, NO_BED)


def test_a_measured_node_replaces_what_it_covers() -> None:
    board, later = Thing(idle=20.0, busy=40.0, quantity=2, node="box"), Thing(idle=5.0, busy=8.0, node="box")
    later = replace(later, quantity=2, bought=2)
    nodes = (("box", 2, 11.0, 31.0), ("other", 1, None, None))
    build = Build((board, later, Thing(busy=6.0, node="other")), months=4, nodes=nodes, busy_share=0.5)
    assert amount(build, "power_busy") == pytest.approx(2 * 31 + 2 * 8 + 6)
    assert amount(build, "heat") == pytest.approx((2 * 21 + 3.5) * 3600 / 1055.05585262)


def test_a_node_measured_idle_only_draws_the_same_when_busy() -> None:
    nodes = (("box", 2, 11.0, None),)
    assert amount(Build((Thing(busy=40.0, quantity=2, node="box"),), nodes=nodes), "power_busy") == pytest.approx(22)


VOLTS = Place(voltage=230.0, breaker=16.0, plug=10.0)


@pytest.mark.parametrize(
    ("place", "factor", "amperes", "load"),
    [
        (VOLTS, 1.0, 2.0, 0.125),
        (VOLTS, 0.5, 4.0, 0.25),
        (replace(VOLTS, continuous=1.0, short=9.0), 1.0, 2.0, 0.75),
        (replace(VOLTS, rule=AMERICAN), 1.0, 2.0, 0.15625),
        (replace(VOLTS, rule=AMERICAN, continuous=2.0, short=8.0), 1.0, 2.0, 0.8125),
        (replace(VOLTS, circuits=2, continuous=3.0), 1.0, 1.0, 0.25),
    ],
)
def test_the_load_of_a_circuit_by_hand(place: Place, factor: float, amperes: float, load: float) -> None:
    build = Build((Thing(idle=100.0, busy=460.0),), place, factor, busy_share=0.1)
    assert amount(build, "amperes") == pytest.approx(amperes, rel=1e-12)
    assert amount(build, "circuit_load") == pytest.approx(load, rel=1e-12)
    assert amount(build, "plug_load") == pytest.approx(amperes / 10.0, rel=1e-12)


@tried
@given(st.floats(1.0, 2000.0), st.floats(0.5, 1.0), st.floats(0.0, 5.0), st.floats(0.0, 5.0))
def test_the_american_rule_is_never_the_laxer(watts: float, factor: float, steady: float, short: float) -> None:
    assume(watts > 0)
    place = replace(VOLTS, continuous=round(steady, 6), short=round(short, 6))
    one, other = (
        amount(Build((Thing(idle=round(watts, 3)),), replace(place, rule=rule), round(factor, 3)), "circuit_load")
        for rule in ("rating", AMERICAN)
    )
    assert one < other <= 1.25 * one + 1e-12


HARDWARE = (Thing(idle=100.0),)
NO_SITE, NO_VOLTAGE, NO_FACTOR = "unknown: no site", "unknown: no voltage", "unknown: no power factor"
NO_BREAKER, NO_PLUG, NONE = "unknown: no breaker", "none: no plug rating stated", "none: no hardware"


@pytest.mark.parametrize(
    ("build", "amperes", "load", "plug"),
    [
        (Build((), VOLTS, 1.0), NONE, NONE, NONE),
        (Build(HARDWARE, None, 1.0), NO_SITE, NO_SITE, NO_SITE),
        (Build(HARDWARE, Place(), 1.0), NO_VOLTAGE, NO_VOLTAGE, NO_PLUG),
        (Build(HARDWARE, VOLTS), NO_FACTOR, NO_FACTOR, NO_FACTOR),
        (Build(HARDWARE, replace(VOLTS, breaker=None), 1.0), 100 / 230, NO_BREAKER, 10 / 230),
        (Build(HARDWARE, replace(VOLTS, plug=None), 1.0), 100 / 230, 100 / 230 / 16, NO_PLUG),
    ],
)
def test_what_a_circuit_needs_to_be_known(
    build: Build, amperes: float | str, load: float | str, plug: float | str
) -> None:
    found = measures(build)
    for measure, wanted in (("amperes", amperes), ("circuit_load", load), ("plug_load", plug)):
        assert found[measure] == (wanted if isinstance(wanted, str) else pytest.approx(wanted)), measure


def live(built: StudyModel) -> dict[str, Column]:
    """What of a build may be changed in the workbook, by name."""
    kinds = ("parts", "nodes", "sites", "inputs")
    return {name: one for name, one in built.model.columns.items() if one.live and one.table.kind in kinds}


def told(built: StudyModel, changes: dict[Column, Any] | None = None) -> dict[str, float]:
    """The figures of the only scenario, with inputs changed."""
    figures, names = evaluate(built.model, changes), (*HEARD_OF, *DRAWN)
    return {name: float(figures[built.grounds[0].measure(name)][0]) for name in names}


HEARD_OF = ("noise_idle", "noise_busy")
DRAWN = ("power_busy", "heat", "heat_busy", "amperes", "circuit_load", "plug_load")


def test_every_figure_follows_its_inputs() -> None:
    one, other = Thing(40.0, 50.0, quantity=2, busy=9.0), Thing(44.0, level="power", quantity=2, node="box")
    place = replace(VOLTS, bed=2.0, wall=3.0, continuous=1.0, short=2.0)
    before = compared(tables(Build((one, other), place, 0.9, (("box", 2, 11.0, 31.0),)))).built
    one = replace(one, quiet=42.0, loud=55.0, distance=1.5, quantity=3, busy=8.0)
    other = replace(other, quiet=49.0)
    place = Place(3.0, 1.0, "", 120.0, 20.0, 9.0, "rating", 2.0, 3.0)
    after = compared(tables(Build((one, other), place, 0.8, (("box", 2, 12.0, 35.0),)))).built
    changes = {column: live(after)[name].values for name, column in live(before).items()}
    found, fresh, old = told(before, changes), told(after), told(before)
    assert found == pytest.approx(fresh, rel=1e-12)
    assert all(abs(found[name] - old[name]) > 1e-3 * old[name] for name in found)


def test_without_hardware_nothing_is_drawn() -> None:
    found = measures(Build((), VOLTS, 1.0))
    assert {found[name] for name in ("power_busy", "heat", "heat_busy")} == {0.0}
