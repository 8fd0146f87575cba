"""What `tco simulate` prints fits the screen, and its tables have the figures that were found."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from tco.ask.simulated import LUCK, Driver, Simulated, Varied
from tco.study import Range
from tco.write.chance_text import in_short, plain, shares, simulated_text
from tco.write.chance_words import TYPED, answers
from tests.write.chances import DISK, HOSTILE, PRICE, compared, four, simulated, with_ranges

FILES = [Path("out") / name for name in ("simulate.xlsx", "simulate.csv")]


def printed(found: Simulated) -> list[str]:
    return simulated_text(found, FILES).splitlines()


def rows_of(lines: list[str], found: Simulated) -> dict[str, list[str]]:
    """The table's figures by scenario, where names are short."""
    names = [own.scenario for own in found.outcomes]
    table = lines[lines.index("-" * 79) + 1 :]
    return {name: line[19:].split() for line in table for name in names if line.startswith(f"{name} ")}


def test_the_answer_comes_first_then_the_table_then_the_files() -> None:
    found = simulated(compared(), four(), varied=[PRICE, DISK])
    lines = printed(found)
    assert lines[0] == "Which storage cluster for our flat in Graz?"
    words = " ".join(" ".join(lines[2 : lines.index("", 2)]).split())
    assert words == " ".join(answers(found, TYPED))
    assert lines[-3:] == ["written:", "  out/simulate.xlsx", "  out/simulate.csv"]
    places = [next(n for n, line in enumerate(lines) if line.startswith(start)) for start in
              ("EUR    ", "what drives the spread", "10,000 draws, seed 7.", "written:")]  # fmt: skip
    assert places == sorted(places)


def test_every_figure_of_the_table_is_the_one_found() -> None:
    found = simulated(compared(), four(), varied=[PRICE])
    rows = rows_of(printed(found), found)
    assert len(rows) == 4
    for own in found.outcomes:
        month, chance = own.equivalent_month, own.cheapest.share
        failures = sum(year.failures for year in own.years) / 5
        assert rows[own.scenario] == [
            *(f"{value:,.2f}" for value in (month.p10, month.p50, month.p90)),
            *(["never"] if chance == 0 else f"{100 * chance:.1f} %".split()),
            f"{own.worst_year.p90:,.0f}",
            f"{failures:.2f}",
        ]
    assert "never: in none of 10,000 draws" in printed(found)


def test_those_that_are_not_ranked_stand_below_and_have_no_chance() -> None:
    found = simulated(compared(), four(), misses=["old servers", "quiet minis"])
    lines = printed(found)
    at = lines.index("not ranked:")
    assert [line.split("  ")[0] for line in lines[at - 2 : at]] == ["rented space", "modern boards"]
    assert [line.split("  ")[0] for line in lines[at + 1 : at + 3]] == ["quiet minis", "old servers"]
    assert rows_of(lines, found)["quiet minis"][3] == "-"
    assert "not ranked:" not in printed(simulated(compared(), four(), misses=[*four()]))


@pytest.mark.parametrize(
    ("share", "word"),
    [(0.0, "never"), (1.0, "always"), (0.0004, "<0.1 %"), (0.0005, "0.1 %"), (0.5, "50.0 %"), (0.9994, "99.9 %"),
     (0.9996, ">99.9 %")],
)  # fmt: skip
def test_a_chance_in_short(share: float, word: str) -> None:
    assert in_short(share) == word


def test_what_drives_the_spread_is_listed_from_the_largest_down() -> None:
    many = [Driver(f"input {n}", share) for n, share in enumerate((0.02, 0.3, 0.1, 0.004, 0.05, 0.2))]
    assert shares([*many, Driver(LUCK, 0.326)]) == (
        f"33 % {LUCK}; 30 % input 1; 20 % input 5; 10 % input 2; 7 % others"
    )
    assert shares([Driver("resale", 0.998), Driver(LUCK, 0.002)]) == "100 % resale"
    assert shares([Driver("price", 0.25), Driver("price", 0.5), Driver(LUCK, 0.25)]) == f"75 % price; 25 % {LUCK}"


def test_spreads_are_driven_only_where_there_are_any() -> None:
    told = printed(simulated(compared(), four(), varied=[PRICE, DISK]))
    at = told.index("what drives the spread, in % of its variance:")
    words = " ".join(" ".join(told[at + 1 : told.index("", at)]).split())
    first = f"50 % {PRICE.name}; 25 % {DISK.name}; 25 % {LUCK}"
    assert (
        f"quiet minis: {first} modern boards: {first} old servers: {first} quiet minis less rented space: " in words
    )
    assert "rented space: " not in words.replace("less rented space: ", "")
    assert "what drives" not in " ".join(printed(simulated(compared(), four())))


def test_inputs_that_varied_are_listed_with_their_ends() -> None:
    rows = (
        Range(input=DISK.name, low="150 EUR", high="260 EUR", scenario="quiet minis", source="three shops"),
        Range(input="discount", low="1 %", high="5 %"),
        Range(input="electricity growth", low="-1.5 %", high="0.07"),
        Range(input="price of a box", low="80 %", high="130 %", is_factor=True),
    )
    varied = [
        PRICE,
        DISK,
        Varied("discount", "", 0.01, 0.03, 0.05),
        Varied("electricity growth", "", -0.015, 0.02, 0.07),
        Varied("price of a box", "EUR", 0.8, 1.0, 1.3),
    ]
    told = printed(simulated(with_ranges(compared(), *rows), four(), varied=varied))
    assert "- electricity price: 0.8 to 1.5 times what the study says, most likely 1" in told
    assert f"- {DISK.name} (quiet minis): 150 to 260 EUR, most likely 180" in told
    share, row = (
        Varied("busy share of a", "", 0.1, 0.2, 0.3),
        Range(input="busy share of a", low="10 %", high="30 %", scenario="a"),
    )
    assert "- busy share of a: 10 % to 30 %, most likely 20 %" in printed(
        simulated(with_ranges(compared(), row), four(), varied=[share])
    )
    assert "- discount: 1 % to 5 %, most likely 3 %" in told
    assert "- electricity growth: -1.5 % to 7 %, most likely 2 %" in told
    assert "- price of a box: 0.8 to 1.3 times what the study says, most likely 1" in told
    many = [Varied(f"input {n}", "EUR", 1, 2, 3) for n in range(13)]
    assert "- and 3 more, on sheet Chance" in printed(simulated(compared(), four(), varied=many))


def test_the_exact_mean_stands_beside_that_of_the_draws() -> None:
    found = simulated(compared(), four())
    own = found.outcomes[1].lcc
    words = " ".join(" ".join(printed(found)).split())
    assert own.exact is not None
    told = f"- mean life-cycle cost of quiet minis: {own.mean:,.0f} +- {own.error:,.0f} EUR by the draws, "
    assert f"{told}{own.exact:,.0f} exactly" in words
    assert "exactly" not in " ".join(printed(simulated(compared(), {"rented": np.full(9, 100.0)})))


def test_draws_that_count_in_part_are_told() -> None:
    told = "cheapest: a draw in which several cost the same counts for each in part"
    minis = four()["quiet minis"]
    assert told in printed(simulated(compared(), {"a": minis, "b": minis.copy()}))
    assert told in printed(simulated(compared(), {"a": np.array([1.0, 2, 1]), "b": np.array([1.0, 3, 0.0])}))
    assert told not in printed(simulated(compared(), four()))


@pytest.mark.parametrize("scale", [-1.0, 1.0, 1e3, 1e9, 1e14])
def test_everything_fits_the_screen(scale: float) -> None:
    rng = np.random.default_rng(1)
    costs = {name: scale * (5000 + 900 * rng.gamma(2.0, 1.0, 50) - 10.0 * n) for n, name in enumerate(HOSTILE)}
    many = [Varied(f"price of {name}", "EUR", 1e-7, 1234567.891, 2e12) for name in HOSTILE]
    found = simulated(compared(), costs, varied=many, misses=HOSTILE[:2])
    lines = printed(found)
    assert max(map(len, lines)) <= 80
    assert all(line.isprintable() for line in lines)
    assert not any(line.lstrip().startswith(("% ", "+- 0")) for line in lines)
    sentences = " ".join(" ".join(lines).split())
    assert favourite_of(found) in sentences
    assert "nan" not in sentences.split()


def favourite_of(found: Simulated) -> str:
    return max(found.outcomes, key=lambda own: own.cheapest.share).scenario


def test_numbers_of_inputs_keep_their_digits() -> None:
    assert [plain(value) for value in (0.3344, 1234567.0, 0.1 + 0.2, -0.0, 1e-7)] == [
        "0.3344", "1,234,570", "0.3", "0", "1e-07"]  # fmt: skip
