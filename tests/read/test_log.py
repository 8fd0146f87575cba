"""Metered logs: known loads are found again, by any clock; what a log lacks or doubles is said, never filled."""

from __future__ import annotations

from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path
from random import Random
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tco.electricity import Log
from tco.read.log_times import Clock
from tests.read.logs import (
    LORD_HOWE,
    VIENNA,
    WEEKDAY,
    WEEKEND,
    at,
    load_of,
    local,
    log_text,
    moments,
    power_rows,
    read_text,
    reading_rows,
    table,
)

QUARTER, MINUTE = timedelta(minutes=15), timedelta(minutes=1)
# Averages are sums of some thousand products and quotients: 1e-12 leaves room for their rounding, and for nothing
# else. Readings are differences of two numbers near 130 kWh, known to 3e-14 kWh each, over 10 W for a quarter of an
# hour, 2.5e-3 kWh: 1e-10.
EXACT, DIFFERENCE = 1e-12, 1e-10


def same(found: Log, weekday: object = WEEKDAY, weekend: object = WEEKEND, close: float = EXACT) -> None:
    assert found.weekday == pytest.approx(weekday, rel=close)
    assert found.weekend == pytest.approx(weekend, rel=close)


STARTS = (
    (VIENNA, "2026-10-19 00:00"),  # clocks go back on the 25th
    (VIENNA, "2026-03-23 00:00"),  # and forward on the 29th
    (LORD_HOWE, "2026-03-30 00:00"),  # back by half an hour on 5 April
    (LORD_HOWE, "2026-09-28 00:00"),  # and forward on 4 October
    ("UTC", "2026-10-19 00:00"),
    ("Asia/Kathmandu", "2026-10-19 00:00"),  # 5:45 ahead
    ("America/St_Johns", "2026-10-26 00:00"),  # 3:30 behind; back on 1 November
)


@pytest.mark.parametrize("step", [QUARTER, 5 * MINUTE], ids=["every quarter", "every 5 minutes"])
@pytest.mark.parametrize("form", ["power", "reading"])
@pytest.mark.parametrize(("zone", "start"), STARTS)
def test_a_known_load_is_found_again(tmp_path: Path, zone: str, start: str, form: str, step: timedelta) -> None:
    rows = power_rows(moments(at(zone, start), step, 14 * timedelta(days=1) // step), zone)
    if form == "reading":
        log = read_text(tmp_path, log_text(reading_rows(rows), zone, "time,reading [kWh]"), zone)
        same(log, close=DIFFERENCE)
    else:
        log = read_text(tmp_path, log_text(rows, zone), zone)
        same(log)
    assert not any("gap" in sentence for sentence in log.told)


@pytest.mark.parametrize(("zone", "start"), STARTS)
def test_times_with_an_offset_say_the_same(tmp_path: Path, zone: str, start: str) -> None:
    rows = power_rows(moments(at(zone, start), QUARTER, 96 * 14), zone)
    by_clock = read_text(tmp_path, log_text(rows, zone), zone)
    for write in (
        lambda moment: moment.strftime("%Y-%m-%dT%H:%M:%SZ"),
        lambda moment: moment.astimezone(ZoneInfo(zone)).isoformat(),
        lambda moment: moment.astimezone(ZoneInfo("America/New_York")).strftime("%Y-%m-%d %H:%M %z"),
        lambda moment: moment.isoformat(" ", "microseconds"),
    ):
        other = read_text(tmp_path, table((write(moment), watts) for moment, watts in rows), zone)
        assert (other.weekday, other.weekend, other.told[0]) == (by_clock.weekday, by_clock.weekend, by_clock.told[0])


@pytest.mark.parametrize("zone", [VIENNA, LORD_HOWE, "Africa/Casablanca", "Pacific/Chatham"])
def test_every_quarter_of_a_year_is_as_far_ahead_as_the_zone_says(zone: str) -> None:
    place, clock = ZoneInfo(zone), Clock(ZoneInfo(zone))
    for quarter in range(56 * 365 * 96, 57 * 366 * 96):
        naive = datetime(1970, 1, 1) + quarter * QUARTER
        both = tuple(naive.replace(tzinfo=place, fold=fold).utcoffset() for fold in (0, 1))
        assert tuple(timedelta(microseconds=ticks) for ticks in clock.both(quarter)) == both


def test_what_a_log_holds_is_told(tmp_path: Path) -> None:
    when = moments(at(VIENNA, "2026-10-01 00:00"), MINUTE, 29 * 1440)
    log = read_text(tmp_path, table((local(moment, VIENNA), 11.8) for moment in when))
    assert log.told == (
        "node.csv: 2026-10-01 00:00 to 2026-10-29 22:59, 29.0 days measured, 11.8 W on average, every 60 s",
        "clocks went back on 2026-10-25: the hour from 02:00 is there twice, both counted",
    )
    assert log.file == "node.csv"
    same(log, [11.8] * 24, [11.8] * 24)


@pytest.mark.parametrize(
    ("step", "words"),
    [(timedelta(seconds=10), "10 s"), (MINUTE, "60 s"), (5 * MINUTE, "5 min"), (60 * MINUTE, "1 h"),
     (timedelta(days=1), "24 h")],
)  # fmt: skip
def test_how_often_the_meter_writes_is_told(tmp_path: Path, step: timedelta, words: str) -> None:
    when = moments(at("UTC", "2026-10-01 00:00"), step, 8 * timedelta(days=1) // step)
    log = read_text(tmp_path, table((local(moment, "UTC"), 11) for moment in when), "UTC")
    assert log.told[0].endswith(f"every {words}")


def days(zone: str, start: str, step: timedelta, count: int) -> list[str]:
    """The rows of some days of 11 W by local time."""
    when = moments(at(zone, start), step, count * timedelta(days=1) // step)
    return [f"{local(moment, zone)},11" for moment in when]


def file(rows: list[str]) -> str:
    return "\n".join(["time,power [W]", *rows]) + "\n"


def test_half_an_hour_that_comes_twice(tmp_path: Path) -> None:
    log = read_text(tmp_path, file(days(LORD_HOWE, "2026-04-04 00:00", MINUTE, 3)), LORD_HOWE)
    assert log.told[0].split(", ")[1] == "3.0 days measured"  # less the minute after the last row
    assert (
        "clocks went back on 2026-04-05: the time of 30 minutes from 01:30 is there twice, both counted" in log.told
    )


def test_clocks_that_go_forward_leave_no_gap(tmp_path: Path) -> None:
    log = read_text(tmp_path, file(days(VIENNA, "2026-03-28 00:00", QUARTER, 3)))
    assert [sentence for sentence in log.told[1:] if "one profile" not in sentence] == []
    assert "2026-03-31 00:45, 3.0 days measured" in log.told[0]


@pytest.mark.parametrize("hours", [1, 2])
def test_rows_as_far_apart_as_the_double_hour(tmp_path: Path, hours: int) -> None:
    """02:00 and 02:00 again an hour later are no double row; every two hours the second 02:00 never comes."""
    rows = power_rows(moments(at(VIENNA, "2026-10-19 00:00"), timedelta(hours=hours), 14 * 24 // hours), VIENNA)
    log = read_text(tmp_path, log_text(rows, VIENNA))
    assert not any("twice" in sentence.replace("there twice", "") for sentence in log.told)
    assert any("is there twice, both counted" in sentence for sentence in log.told) == (hours == 1)
    assert f"{14 - hours / 24:.1f} days measured" in log.told[0]


def test_a_double_hour_that_is_there_once_is_taken_for_the_first(tmp_path: Path) -> None:
    rows = power_rows(moments(at(VIENNA, "2026-10-19 00:00"), MINUTE, 14 * 1440), VIENNA)
    first = [row for row in rows if not at("UTC", "2026-10-25 01:00") <= row[0] < at("UTC", "2026-10-25 02:00")]
    second = [row for row in rows if not at("UTC", "2026-10-25 00:00") <= row[0] < at("UTC", "2026-10-25 01:00")]
    for kept in (first, second):
        log = read_text(tmp_path, log_text(kept, VIENNA))
        same(log)
        assert "clocks went back on 2026-10-25: the hour from 02:00 is there once, taken for the first" in log.told
        # From the last row of the hour, 02:59, to 03:00 by winter time.
        assert "1 gap (1.0 h) left out, from 2026-10-25 02:59 to 2026-10-25 03:00" in log.told


def test_each_autumn_of_a_long_log_has_its_own_double_hour(tmp_path: Path) -> None:
    hour = ["02:00", "02:30", "02:00", "02:30"]
    rows = [f"2025-10-26 {time},11" for time in hour] + [f"2026-10-25 {time},11" for time in hour]
    later = days(VIENNA, "2026-10-25 03:00", timedelta(minutes=30), 8)
    log = read_text(tmp_path, file(rows + later))
    found = [sentence for sentence in log.told if "clocks" in sentence]
    assert [sentence.split()[4] for sentence in found] == ["2025-10-26:", "2026-10-25:"]
    assert all("both counted" in sentence for sentence in found)


def test_gaps_are_left_out_and_told(tmp_path: Path) -> None:
    rows = power_rows(moments(at(VIENNA, "2026-11-02 00:00"), MINUTE, 14 * 1440), VIENNA)
    out = [(at(VIENNA, "2026-11-04 10:00"), at(VIENNA, "2026-11-04 22:30")),
           (at(VIENNA, "2026-11-08 05:00"), at(VIENNA, "2026-11-08 05:30"))]  # fmt: skip
    # In the row before a gap 5 kW are on: it counts only until nobody knows.
    kept = [(moment, 5000.0 if moment + MINUTE in (out[0][0], out[1][0]) else watts)
            for moment, watts in rows if not any(first <= moment < last for first, last in out)]  # fmt: skip
    log = read_text(tmp_path, log_text(kept, VIENNA))
    same(log)
    assert log.told[1] == "2 gaps (13.0 h) left out, the longest from 2026-11-04 09:59 to 2026-11-04 22:30"
    assert "13.5 days measured" in log.told[0]
    assert not any("more time" in sentence for sentence in log.told)


def test_a_log_by_the_day_says_that_it_knows_no_hour(tmp_path: Path) -> None:
    rows = power_rows(moments(at("UTC", "2026-11-02 00:00"), 24 * 60 * MINUTE, 15), "UTC")
    log = read_text(tmp_path, log_text(rows, "UTC"), "UTC")
    assert any(sentence.startswith("a row every 24 h does not say at what hour") for sentence in log.told)


def test_a_meter_that_jumps_up_is_told(tmp_path: Path) -> None:
    rows = reading_rows(power_rows(moments(at(VIENNA, "2026-11-02 00:00"), 15 * MINUTE, 14 * 96), VIENNA))
    jumped = [(moment, kwh + (5000 if number > 400 else 0)) for number, (moment, kwh) in enumerate(rows)]
    found = read_text(tmp_path, log_text(jumped, VIENNA, "time,reading [kWh]")).told
    assert any("20,000,0" in sentence and "has the meter jumped?" in sentence for sentence in found)


def test_a_log_that_is_mostly_gap_says_so(tmp_path: Path) -> None:
    rows = power_rows(moments(at(VIENNA, "2026-11-02 00:00"), MINUTE, 14 * 1440), VIENNA)
    first, last = at(VIENNA, "2026-11-03 00:00"), at(VIENNA, "2026-11-14 00:00")  # a Tuesday to a Saturday
    log = read_text(tmp_path, log_text([one for one in rows if not first <= one[0] < last], VIENNA))
    same(log)
    assert log.told[2].startswith("more time is left out than was measured")


@pytest.mark.parametrize(
    ("step", "absent", "gap"),
    [
        (MINUTE, 14, False),  # 15 minutes: not over 15
        (MINUTE, 15, True),
        (10 * MINUTE, 2, False),  # three steps: not over three
        (10 * MINUTE, 3, True),
        (timedelta(hours=2), 2, False),
        (timedelta(hours=2), 3, True),
    ],
)
def test_a_gap_is_over_three_steps_and_over_a_quarter_of_an_hour(
    tmp_path: Path, step: timedelta, absent: int, gap: bool
) -> None:
    rows = days("UTC", "2026-11-02 00:00", step, 9)
    log = read_text(tmp_path, file(rows[:50] + rows[50 + absent :]), "UTC")
    assert any("gap" in sentence for sentence in log.told) == gap
    measured = 9 * timedelta(days=1) - step - (step * (absent + 1) if gap else timedelta())
    assert f", {measured / timedelta(days=1):.1f} days measured" in log.told[0]


def test_a_reset_of_the_meter_is_left_out_and_told(tmp_path: Path) -> None:
    when = moments(at(VIENNA, "2026-11-02 00:00"), QUARTER, 14 * 96)
    rows = reading_rows(power_rows(when, VIENNA))

    def lost_at(*resets: int) -> Log:
        """What the reader makes of the same readings where the meter fell to nought at some rows."""
        begun = [
            max((rows[reset][1] for reset in resets if reset <= number), default=0.0) for number in range(len(rows))
        ]
        shown = [(moment, amount - base) for (moment, amount), base in zip(rows, begun, strict=True)]
        return read_text(tmp_path, log_text(shown, VIENNA, "time,reading [kWh]"))

    one, seven = lost_at(700), lost_at(700, 720, 740, 760, 780, 800, 900)
    same(one, close=DIFFERENCE)
    same(seven, close=DIFFERENCE)
    assert one.told[1:] == ("1 reset of the meter at line 702, left out",)
    assert seven.told[1:] == ("7 resets of the meter at lines 702, 722, 742, 762, 782, …, left out",)


def test_rows_that_stand_twice_count_once(tmp_path: Path) -> None:
    rows = days(VIENNA, "2026-11-02 00:00", QUARTER, 8)
    log = read_text(tmp_path, file(rows[:10] + rows[9:10] * 2 + rows[10:40] + rows[39:]))
    assert log.told[1:] == ("3 rows stood twice",)


def test_one_profile_where_weekends_are_missing_hours(tmp_path: Path) -> None:
    """From Monday to Saturday noon: the afternoon of a Saturday is nowhere."""
    rows = power_rows(moments(at(VIENNA, "2026-11-02 00:00"), QUARTER, 5 * 96 + 48 + 1), VIENNA)
    log = read_text(tmp_path, log_text(rows, VIENNA))
    expected = [(5 * WEEKDAY[hour] + WEEKEND[hour]) / 6 if hour < 12 else WEEKDAY[hour] for hour in range(24)]
    same(log, expected, expected)
    assert log.told[-1] == "not measured: Saturday and Sunday 12:00-24:00; so one profile for all days"


def test_a_quarter_of_an_hour_covers_its_hour(tmp_path: Path) -> None:
    """Until Sunday 23:15: all of the last hour's measured time is a quarter of an hour, and that is enough."""
    start = at(VIENNA, "2026-11-02 00:00")
    whole = power_rows(moments(start, QUARTER, 7 * 96), VIENNA)
    saturday = [row for row in whole if (row[0] - start) // timedelta(hours=1) != 5 * 24 + 23]
    enough = [row for row in saturday if row[0] <= start + 7 * timedelta(days=1) - 3 * QUARTER]
    same(read_text(tmp_path, log_text(enough, VIENNA)))
    log = read_text(tmp_path, log_text(enough[:-1], VIENNA))
    assert log.told[-1] == "not measured: Saturday and Sunday 23:00-24:00; so one profile for all days"


def test_forms_of_a_table_make_no_difference(tmp_path: Path) -> None:
    when = moments(at(VIENNA, "2026-11-02 00:00"), QUARTER, 8 * 96)
    rows = [(local(moment, VIENNA), f"{load_of(moment.astimezone(ZoneInfo(VIENNA))) / 8:.3f}") for moment in when]
    plain = read_text(tmp_path, table(rows))
    text = table(rows)
    german = text.replace(",", ";").replace(".", ",")
    forms: list[str | bytes] = [
        text.replace("\n", "\r\n").encode("utf-16"),
        text.replace("\n", "\r"),
        "sep=,\n" + text.replace("\n", "\n,\n"),
        german,
        german.encode("utf-8-sig"),
        text.replace(",", "\t"),
        text.replace("[W]", "").replace("\n2", " W\n2").replace("power  W", "power").rstrip() + " W\n",
        table([(when, f"{float(watts) / 1000:.6f}") for when, watts in rows], "Time,Power [kW]"),
        table([(when, f'"{watts}"') for when, watts in rows]),
        "\n".join(line + ",,x" for line in text.splitlines()).replace(",,x", ",source,note", 1),
    ]
    for form in forms:
        other = read_text(tmp_path, form)
        same(other, plain.weekday, plain.weekend)
        assert other.told == plain.told


def test_watts_with_thousands_and_watts_without(tmp_path: Path) -> None:
    rows = days("UTC", "2026-11-02 00:00", QUARTER, 8)
    rows[5] = rows[5].replace(",11", ",1 234.5 W")
    rows[6] = rows[6].replace(",11", ",0.5 kW")
    log = read_text(tmp_path, file(rows), "UTC")
    assert log.weekday[1] == pytest.approx((11 * 22 + 1234.5 + 500) / 24, rel=EXACT)


def test_readings_with_three_digits_are_fractions_where_thousands_make_no_sense(tmp_path: Path) -> None:
    """128.431 kWh may be 128431 kWh, but no node draws 5 kW day and night; 1.5 kW might be a home's."""
    when = [local(moment, "UTC") for moment in moments(at("UTC", "2026-11-02 00:00"), 60 * MINUTE, 8 * 24)]
    likely = table([(time, f"{128 + 0.005 * n:.3f}") for n, time in enumerate(when)], "time,reading [kWh]")
    log = read_text(tmp_path, likely, "UTC")
    same(log, [5] * 24, [5] * 24, close=1e-9)
    comma = likely.replace(",", ";").replace(".", ",")
    assert read_text(tmp_path, comma, "UTC").weekday == log.weekday
    small = table([(time, f"{128 + 0.001 * n:.3f}") for n, time in enumerate(when)], "time,reading [kWh]")
    with pytest.raises(Exception, match=r"node.csv:2:2: reading: '128.000' could be 128 or 128000"):
        read_text(tmp_path, small, "UTC")


def slow_averages(rows: list[tuple[int, float]], limit: int) -> list[list[float]]:
    """Averages of rows (minute of UTC from a Monday, W) by kind of day and hour, counted minute by minute."""
    drawn, count = [[0.0] * 24, [0.0] * 24], [[0] * 24, [0] * 24]
    for (minute, watts), (following, _) in pairwise(rows):
        for one in range(minute, following if following - minute <= limit else minute):
            kind, hour = int(one // 1440 % 7 >= 5), one // 60 % 24
            drawn[kind][hour] += watts
            count[kind][hour] += 1
    return [[d / c for d, c in zip(ds, cs, strict=True)] for ds, cs in zip(drawn, count, strict=True)]


@given(
    others=st.lists(st.sampled_from([1, 7, 11, 25]), max_size=4),
    gap=st.sampled_from([10, 30, 31, 40]),
    shuffled=st.randoms(use_true_random=False),
    watts=st.lists(st.integers(0, 3000), min_size=1, max_size=30),
    doubled=st.lists(st.integers(0, 100), max_size=5),
)
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_uneven_rows_average_as_minute_by_minute(
    tmp_path: Path, others: list[int], gap: int, shuffled: Random, watts: list[int], doubled: list[int]
) -> None:
    """Steps of 10 minutes, the usual one, and others among them; over 30 minutes is a gap. Some rows stand twice."""
    steps = [*[10] * 7, gap, *others]
    shuffled.shuffle(steps)
    minute, rows = 0, []
    while minute < 8 * 1440:
        rows.append((minute, watts[len(rows) % len(watts)] / 7))
        minute += steps[len(rows) % len(steps)]
    lines = [f"{datetime(2026, 11, 2) + one * MINUTE:%Y-%m-%d %H:%M},{power!r}" for one, power in rows]
    for number in doubled:
        lines.insert(number, lines[number])
    log = read_text(tmp_path, file(lines), "UTC")
    same(log, *slow_averages(rows, 30))
    assert sum("twice" in sentence for sentence in log.told) == bool(doubled)
    assert sum("gap" in sentence for sentence in log.told) == (gap > 30)


@given(first=st.integers(0, 13 * 96), length=st.integers(4, 96))
@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_a_gap_changes_no_average_of_a_steady_load(tmp_path: Path, first: int, length: int) -> None:
    rows = power_rows(moments(at(VIENNA, "2026-10-19 00:00"), QUARTER, 14 * 96), VIENNA)
    log = read_text(tmp_path, log_text(rows[:first] + rows[first + length :], VIENNA))
    same(log)
