"""What `tco breakeven` prints: the answer first, every value that was found, what was looked at; in 80 columns."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tco.ask.breakeven import Level
from tco.write.breakeven_text import answers, levels_text, rows
from tests.write.chances import HOSTILE
from tests.write.levels import (
    AT_HIGH,
    AT_LOW,
    BACK,
    COUNT,
    COUNTED,
    CROSS,
    EVERY,
    HOUR,
    JUMP,
    PRICE,
    SHARE,
    STRETCH,
    TOUCH,
    Meeting,
    found,
    made,
    named,
)

FILES = [Path("out/breakeven.csv")]


def printed(*levels: Level) -> list[str]:
    return levels_text(found(*levels), FILES).splitlines()


def joined(*levels: Level) -> str:
    """All that is printed, lines put together."""
    return " ".join(" ".join(printed(*levels)).split())


def row(level: Level) -> list[str]:
    """One input's lines, with single spaces."""
    return [" ".join(line.split()) for line in rows(level)]


def test_the_answer_comes_first_then_the_table_then_what_was_looked_at_then_the_files() -> None:
    lines = printed(made(HOUR, CROSS))
    assert lines[0] == "Which storage cluster for our flat in Graz?"
    assert lines[2] == "quiet minis and rented space change places by hour value at 19.57 EUR/h."
    assert lines[4:6] == ["quiet minis or rented space", "-" * 79]
    assert lines[6].split("  ")[0] == "hour value"
    assert lines[8] == "Looked at: hour value 0 to 60 EUR/h."
    assert lines[9].startswith("Each at 401 values")
    assert lines[-2:] == ["written:", "  out/breakeven.csv"]


ROWS = {
    "crosses": (made(HOUR, CROSS), ["hour value 19.57 EUR/h above rented space less"]),
    "crosses twice": (made(HOUR, CROSS, BACK), ["hour value 19.57 EUR/h above rented space less",
                                                "31 EUR/h above quiet minis less"]),
    "touches": (made(HOUR, TOUCH), ["hour value 24.5 EUR/h", "quiet minis less on both sides"]),
    "at the low end": (made(HOUR, AT_LOW), ["hour value 0 EUR/h above rented space less"]),
    "at the high end": (made(HOUR, AT_HIGH), ["hour value 60 EUR/h below quiet minis less"]),
    "for a while": (made(HOUR, STRETCH), ["hour value 12 to 15.5 EUR/h then rented space less"]),
    "jumps": (made(HOUR, JUMP), ["hour value 7.25 EUR/h", "above rented space less at once"]),
    "years": (made(None, Meeting("crosses", 50.268, 50.268, 1, -1)), ["years 4.189 years",
                                                                      "from month 51 quiet minis less"]),
    "share": (made(SHARE, Meeting("crosses", 0.0708, 0.0708, -1, 1)), ["discount 7.08 % above rented space less"]),
    "price of a kWh": (made(PRICE, Meeting("crosses", 1.25, 1.25, -1, 1), price=0.32),
                       ["electricity price 125 % (0.4000 EUR/kWh) above rented space less"]),
    "no one price": (made(PRICE, Meeting("crosses", 1.25, 1.25, -1, 1), price="none: the two pay different prices"),
                     ["electricity price 125 % above rented space less"]),
    "count": (made(COUNT, COUNTED), ["quantity of mini PC, 4 cores, two drive bays",
                                     "between 5 and 6 from 6 rented space less"]),
    "none": (made(HOUR), ["hour value none, 0 to 60 EUR/h quiet minis less"]),
    "no effect": (made(HOUR, depends=False), ["hour value none, 0 to 60 EUR/h", "quiet minis less; no effect"]),
    "the same": (made(HOUR, cheaper="", depends=False), ["hour value the same at any value"]),
}  # fmt: skip


@pytest.mark.parametrize("name", ROWS)
def test_a_row_says_where_they_meet_and_who_costs_less_beyond(name: str) -> None:
    level, told = ROWS[name]
    assert row(level) == told


ANSWERS = [
    ([made(HOUR, CROSS, BACK)], "change places by hour value at 19.57 EUR/h and at 31 EUR/h."),
    ([made(HOUR, TOUCH)], "cost the same by hour value at 24.5 EUR/h."),
    ([made(COUNT, COUNTED)], "change places by quantity of mini PC, 4 cores, two drive bays between 5 and 6."),
    ([made(HOUR, CROSS), made(SHARE), made(None, Meeting("crosses", 50.268, 50.268, 1, -1))],
     "change places by any of: hour value at 19.57 EUR/h; years at 4.189 years."),
    ([made(HOUR)], "never cost the same with hour value from 0 to 60 EUR/h: quiet minis costs less throughout."),
    ([made(HOUR), made(None)], "never cost the same by any of 2 inputs alone, as far as was looked: quiet minis "
                               "costs less throughout."),
    ([made(HOUR, cheaper="", depends=False)], "cost the same at any value."),
]  # fmt: skip


@pytest.mark.parametrize(("levels", "told"), ANSWERS)
def test_answers(levels: list[Level], told: str) -> None:
    assert list(answers(found(*levels))) == [f"quiet minis and rented space {told}"]


def test_an_input_that_does_not_matter_is_told_as_that() -> None:
    one, other, third = (made(input, depends=False) for input in (HOUR, SHARE, PRICE))
    apart = "not change what sets quiet minis and rented space apart: quiet minis costs less throughout."
    assert list(answers(found(one))) == [f"hour value does {apart}"]
    assert list(answers(found(one, other, third))) == [f"hour value, discount and electricity price do {apart}"]


def test_pairs_stand_under_each_other_the_cheapest_first() -> None:
    """Two pairs, whatever the order in which they were asked."""
    other = replace(made(HOUR, CROSS), other="old servers")
    lines = printed(other, made(HOUR, CROSS), replace(other, input=SHARE))
    heads = [line for line in lines if line.startswith("quiet minis or ")]
    assert heads == ["quiet minis or rented space", "quiet minis or old servers"]
    table = lines[lines.index(heads[1]) + 2 :]
    assert [line.split("  ")[0] for line in table[:2]] == ["hour value", "discount"]


def test_each_range_is_told_once_and_counts_have_no_steps() -> None:
    other = replace(made(HOUR), other="old servers")
    told = joined(made(HOUR, CROSS), other, made(None), made(SHARE, low=-0.5, high=1.0))
    assert "Looked at: hour value 0 to 60 EUR/h; years 0 to 5 years; discount -50 to 100 %. Each at 401" in told
    assert "years: both sold then" in told
    told = joined(made(COUNT, COUNTED, high=20.0))
    assert "401 values" not in told
    assert "Counts: at every whole number of the range." in told
    assert "(failure rates: 21)" in joined(made(named("failure rate"), high=5.0))


def test_what_a_factor_multiplies_is_said_only_where_there_is_one() -> None:
    said = "of what the study says. In brackets: EUR for a kWh in month 1."
    assert said in joined(made(PRICE, high=5.0, price=0.3))
    assert said not in joined(made(HOUR))


def test_nothing_that_depends_is_said_too() -> None:
    lines = printed()
    assert lines[2:4] == ["No input that was looked at changes what lies between these scenarios.", ""]


def test_it_fits_80_columns_whatever_the_names() -> None:
    """Long and strange names of scenarios and inputs; every kind of meeting."""
    named = [replace(level, input=level.input and replace(level.input, name=f"price of {HOSTILE[number % 6]}, new"))
             for number, level in enumerate(EVERY)]  # fmt: skip
    for lines in (printed(*EVERY), printed(*named)):
        assert max(map(len, lines)) <= 80
        assert [line for line in lines if line != line.rstrip()] == []
