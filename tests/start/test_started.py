"""The studies that `tco new` makes: complete, right in their amounts, large enough, and compared without an edit."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache
from itertools import combinations
from pathlib import Path

import pytest
from click.testing import CliRunner

import tco
from tco.ask.compare import Comparison
from tco.ask.practice import finding_rows
from tco.cli import main
from tco.model import line_inputs
from tco.read.averages import average, averages
from tco.read.columns import documented
from tco.read.study import TABLES
from tco.start import texts
from tco.start.answers import LEAST_ROOM, MOST_ROOM, answered, builds
from tco.start.money import scaled
from tco.start.size import sized
from tco.start.study import started

TODAY = date(2026, 11, 28)
LISTS = {"quiet-minis.csv", "modern-boards.csv", "old-servers.csv"}
REGIONS = sorted({one.region for one in averages()})
ROOMS = ("0.5 TB", "1 TB", "2 TB", "3.3 TB", "7 TB", "12 TB", "25 TB", "40 TB", "64 TB", "100 TB", "180 TB", "333 TB",
         "499.9 TB", "500 TB")  # fmt: skip
Cells = list[dict[str, str]]


@cache
def files(**given: str) -> dict[str, str]:
    """The texts of a new study."""
    texts_given = {name.replace("_", "-"): text for name, text in given.items()}
    return started(answered({"today": f"{TODAY}", **texts_given}), line_inputs())


def rows(text: str) -> Cells:
    """The cells of a table by plain name."""
    found = csv.DictReader(io.StringIO(text), strict=True)
    return [{name.partition(" [")[0]: cell for name, cell in row.items()} for row in found]


def placed(folder: Path, **given: str) -> Path:
    """A new study in a folder."""
    folder.mkdir()
    for name, text in files(**given).items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def compared(folder: Path, **given: str) -> Comparison:
    return tco.compare(tco.load(placed(folder, **given)))


def setting(found: dict[str, str], name: str) -> str:
    return next(row["value"] for row in rows(found["study.csv"]) if row["setting"] == name)


def measure(comparison: Comparison, scenario: str, name: str) -> str:
    return str(tco.measures(comparison).set_index(["scenario", "measure"]).value[scenario, name])


# the starting study itself


def test_the_starting_study_has_every_table_and_column() -> None:
    known = {one.table: [] for one in documented(line_inputs())}
    for one in documented(line_inputs()):
        known[one.table].append(one.column)
    part = next(name for name, columns in known.items() if "claim" in columns)
    for name, table in texts.template().items():
        columns = known[part if name in LISTS else name]
        first = {"study.csv": ["setting", "value"], "needs.csv": ["need", "value"]}.get(name, columns)
        assert [texts.plain(one) for one in table.header] == [*first, "source", "note"], name
    assert set(texts.template()) == {*TABLES, *LISTS}
    assert {row["setting"] for row in texts.template()["study.csv"].rows} == set(known["study.csv"])
    assert {row["need"] for row in texts.template()["needs.csv"].rows} <= set(known["needs.csv"])


def test_the_starting_study_says_in_every_row_that_it_is_invented() -> None:
    for name, table in texts.template().items():
        for row in table.rows:
            assert "invented" in row["source"] or name == "tariffs.csv", (name, row)


def test_the_starting_study_is_what_the_usual_answers_give(tmp_path: Path) -> None:
    """Sizes that are not taken are left out, the start is another: nothing else differs."""
    for name, text in files().items():
        if name.endswith(".csv"):
            own = list(texts.template()[name].rows)
            dated = ("start", "currency", "data held", "time zone")
            made = [row for row in rows(text) if row.get("setting") not in dated]
            kept = [row for row in own if row.get("setting") not in dated]
            if name in LISTS:
                kept = [row for row in kept if row["part"] in {one["part"] for one in made}]
            if name == "tariffs.csv":
                kept = [{**row, "start": "2026-12"} for row in kept]
            assert made == kept, name
    whole, made = tco.compare(tco.load(texts.folder())), compared(tmp_path / "s")
    assert [one.scenario.scenario for one in whole.built.grounds] == [
        one.scenario.scenario for one in made.built.grounds
    ]


def test_amounts_are_even_so_that_whole_prices_of_a_drive_give_whole_cents() -> None:
    for name, table in texts.template().items():
        headed = [texts.plain(one) for one in table.header if "EUR" in one]
        for row in table.rows if name not in ("tariffs.csv", "exchange.csv") else ():
            amounts = [row[column] for column in headed if row[column]]
            amounts += re.findall(r"([\d.]+) EUR", " ".join(row.get(key, "") for key in ("value", "low", "high")))
            assert all(int(one) % 2 == 0 for one in amounts), (name, row)


def test_reasons_are_given_for_every_column_and_no_other() -> None:
    assert list(texts.why()) == [(one.table, one.column) for one in documented(line_inputs())]
    assert all(texts.why().values())


def test_every_region_has_its_clock_and_its_mains() -> None:
    places = {row["place"]: row for row in texts._list("places")}
    assert set(REGIONS) <= set(places)
    assert {row["currency"] for row in texts._list("currencies")} <= set(places)
    assert all("invented" in row["source"] for row in texts._list("currencies"))


# which builds


@pytest.mark.parametrize("chosen", [names for size in range(1, 5) for names in combinations(builds(), size)], ids=str)
def test_any_choice_of_builds_compares(chosen: tuple[str, ...], tmp_path: Path) -> None:
    comparison = compared(tmp_path / "s", build=",".join(reversed(chosen)))
    scenarios = [one.scenario for one in comparison.study.scenarios]
    assert scenarios == list(reversed(chosen))
    base = [one.scenario for one in comparison.study.scenarios if one.baseline]
    assert base == ["old servers" if "old servers" in chosen else scenarios[0]]
    for name in scenarios:
        assert measure(comparison, name, "meets_needs") == "yes"


def test_only_what_is_compared_is_in_the_tables() -> None:
    found = files(build="minis")
    assert "quiet-minis.csv" in found
    assert not {"modern-boards.csv", "old-servers.csv"} & set(found)
    assert set(TABLES) <= set(found)
    for name, text in found.items():
        if name.endswith(".csv"):
            assert "old servers" not in text
            assert "rented space" not in text
    used = {row["failures"] for row in rows(found["quiet-minis.csv"])}
    assert {row["curve"] for row in rows(found["failures.csv"])} <= used


def test_a_table_that_is_not_needed_has_its_header() -> None:
    found = files(build="rented")
    for name in ("nodes.csv", "pools.csv", "sites.csv", "exchange.csv", "charges.csv", "home.csv"):
        assert len(found[name].splitlines()) == 1
        assert found[name].split(",")[0]


# where, and in which money


@pytest.mark.parametrize("region", REGIONS)
def test_every_region_compares_at_its_official_price(region: str, tmp_path: Path) -> None:
    comparison = compared(tmp_path / "s", region=region, build="minis")
    (tariff,) = comparison.study.tariffs.values()
    official = average(region)
    assert comparison.study.settings.currency == official.currency
    assert tariff[0].price == float(official.price.split()[0])
    assert official.source in tariff[0].source
    site = comparison.study.scenarios[0].stands
    assert site is not None
    assert (site.voltage, site.rule) == ((120.0, "continuous 125 %") if region.endswith("USA") else (230.0, "rating"))
    assert comparison.study.settings.time_zone != "UTC"


@pytest.mark.parametrize("code", [row["currency"] for row in texts._list("currencies")])
def test_every_currency_with_a_rough_price_compares(code: str, tmp_path: Path) -> None:
    comparison = compared(tmp_path / "s", price=f"0.3 {code}/kWh")
    drive = texts.currency(code)["drive"]
    first = next(part for part in comparison.study.scenarios[1].parts if part.part == "hard drive 12 TB, new")
    assert first.price == pytest.approx(260 * float(drive) / 200)
    assert {unit for unit in tco.measures(comparison).unit if unit.isupper() and len(unit) == 3} == {code}
    assert "EUR" not in "".join(files(price=f"0.3 {code}/kWh").values()) or code == "EUR" or has_only_examples(code)


def has_only_examples(code: str) -> bool:
    """Whether no table has EUR in it; the notes say what to write with examples of their own."""
    return all("EUR" not in text for name, text in files(price=f"0.3 {code}/kWh").items() if name.endswith(".csv"))


def test_a_price_of_one_s_own_beside_a_region_keeps_its_place(tmp_path: Path) -> None:
    study = tco.load(placed(tmp_path / "s", region="Germany", price="0.305"))
    assert study.settings.time_zone == "Europe/Berlin"
    assert [one.price for one in study.tariffs["household"]] == [0.305]
    assert rows(files(region="Germany", price="0.305")["tariffs.csv"])[0]["price"] == "0.305 EUR/kWh"


def test_a_rate_is_written_with_its_day_and_used(tmp_path: Path) -> None:
    given = {"region": "Germany", "currency": "CHF", "rate": "0.95"}
    assert rows(files(**given)["exchange.csv"])[0] | {"note": ""} == {
        "currency": "EUR",
        "rate": "0.95",
        "day": "2026-11-28",
        "source": "as answered when this study was made",
        "note": "",
    }
    comparison = compared(tmp_path / "s", **given)
    assert comparison.study.tariffs["average of Germany"][0].price == pytest.approx(0.3835 * 0.95)


@pytest.mark.parametrize("drive", ["1", "99.99", "180", "199", "365.5", "30000"])
def test_every_invented_amount_is_linear_in_the_price_of_a_drive(drive: str) -> None:
    """Exactly, in decimals; and nothing else changes with it."""
    one, other = files(), files(drive=drive)
    changed = 0
    for name, text in one.items():
        if name.endswith(".csv"):
            for row, new in zip(rows(text), rows(other[name]), strict=True):
                for column in row:
                    if row[column] != new[column] and column != "source":
                        old, scaled_to = (Decimal(cell.split(" ")[0]) for cell in (row[column], new[column]))
                        assert scaled_to * 200 == old * Decimal(drive), (name, column)
                        changed += 1
    assert changed > 100


def test_an_amount_that_could_be_read_two_ways_gets_a_digit_more() -> None:
    assert [scaled("4", Decimal(price)) for price in ("61.7", "61.75", "200", "50000")] == [
        "1.2340",
        "1.2350",
        "4",
        "1000",
    ]
    assert scaled("-40", Decimal(180)) == "-36"


@pytest.mark.parametrize("drive", ["61.7", "61.75", "123.45", "0.37", "61725"])
def test_no_price_of_a_drive_makes_an_amount_that_the_reader_refuses(drive: str, tmp_path: Path) -> None:
    assert compared(tmp_path / "s", drive=drive).study.scenarios


@pytest.mark.parametrize(
    ("today", "start"),
    [(date(2026, 11, 1), "2026-12"), (date(2026, 12, 31), "2027-01"), (date(2028, 2, 29), "2028-03")],
)
def test_it_starts_next_month(today: date, start: str) -> None:
    answers = answered({"today": f"{today}"})
    assert f"{answers.start:%Y-%m}" == start
    found = started(answers, line_inputs())
    assert setting(found, "start") == start
    assert rows(found["tariffs.csv"])[0]["start"] == start


# how large


@pytest.mark.parametrize("room", ROOMS)
def test_every_build_holds_the_data_to_the_end_and_after_a_loss(room: str, tmp_path: Path) -> None:
    """By the model's own figures: `hold data` is met, and what stays safe holds the data of the last month."""
    comparison = compared(tmp_path / "s", room=room)
    held = float(room.split()[0]) * 1.08**5
    for ground in comparison.built.grounds:
        name = ground.scenario.scenario
        assert measure(comparison, name, "need_hold_data") == "met", name
        assert float(measure(comparison, name, "recommended")) >= held, name
        if name in ("quiet minis", "modern boards"):
            assert float(measure(comparison, name, "safe")) >= held * (1 - 1e-12), name
    rules = {row[1] for row in finding_rows(comparison)}
    assert not rules & {"a part that does not fit", "above the fill limit", "little memory for the drives"}


@pytest.mark.parametrize("name", ["quiet minis", "modern boards", "old servers"])
def test_no_smaller_build_would_do(name: str) -> None:
    """One node or one drive less a node, by arithmetic alone: copies of all data, within the fill limit."""
    study = tco.load(texts.folder())
    scenario = next(one for one in study.scenarios if one.scenario == name)
    least, spare = scenario.nodes[0].count, scenario.nodes[0].count > 3
    for held in (0.5, 3.0, 17.6, 60.0, 250.0, 735.0):
        found = sized(scenario, held)
        (drive,) = [part for part in scenario.parts if part.pool and found.quantities.get(part.part)]
        each = found.quantities[drive.part] // found.nodes * (drive.capacity or 0.0)
        assert (found.nodes - spare) * each * 0.8 / 3 >= held
        assert found.nodes == least or (found.nodes - 1 - spare) * each * 0.8 / 3 < held


def test_the_cheapest_to_buy_is_taken() -> None:
    """Against every mixture of one kind of drive and number of nodes, tried one by one."""
    study = tco.load(texts.folder())
    scenario = study.scenarios[0]
    body, bays = 240 + 6 + 50 + 4, 2
    for held in (1.0, 17.6, 90.0, 400.0):
        found = sized(scenario, held)
        drives = [part for part in scenario.parts if part.pool]
        prices = [
            nodes * (body + many * (part.price + part.shipping))
            for part in drives
            for many in range(1, bays + 1)
            for nodes in range(4, 800)
            if (nodes - 1) * many * (part.capacity or 0.0) * 0.8 / 3 >= held
        ]
        paid = found.nodes * body + sum(
            found.quantities.get(part.part, 0) * (part.price + part.shipping) for part in drives
        )
        assert paid == pytest.approx(min(prices))


def test_ports_outlets_and_cables_go_round(tmp_path: Path) -> None:
    comparison = compared(tmp_path / "s", room="200 TB", build="minis")
    (scenario,) = comparison.study.scenarios
    many = {part.part: part.quantity for part in scenario.parts}
    nodes = scenario.nodes[0].count
    switches = sum(count for name, count in many.items() if name.startswith("switch"))
    assert nodes > 7
    assert many["network cable, copper, 2 m"] == nodes + switches
    assert many["UPS 700 VA, new"] == -(-(nodes + switches) // 6) == many["UPS battery, as delivered"]


def test_sizes_that_are_not_taken_are_left_out() -> None:
    for room in ROOMS:
        found = files(room=room)
        for name in LISTS:
            own = rows(found[name])
            assert len([row for row in own if row["pool"]]) == 1
            zero = {row["part"] for row in own if row["quantity"] == "0"}
            assert zero <= {row["replaced by"] for row in own}


# the notes


def test_the_notes_name_every_column_of_every_table_once() -> None:
    known: dict[str, list[str]] = {}
    for one in documented(line_inputs()):
        known.setdefault(one.table, []).append(one.column)
    for given in ({}, {"build": "rented"}, {"build": "servers", "region": "Maine"}):
        _, *sections = re.split(r"^## ", files(**given)["README.md"], flags=re.MULTILINE)[1:]
        assert len(sections) == len(known)
        for section, columns in zip(sections, known.values(), strict=True):
            told = re.findall(r"^\| `([^`]+)` \|", section, re.MULTILINE)
            assert told == columns
            assert len(set(re.findall(r"^\|(?:.*?(?<!\\)\|){5}$", section, re.MULTILINE))) == len(columns) + 2


def test_the_notes_say_what_stands_in_the_settings() -> None:
    page = files(room="33 TB", region="Maine")["README.md"]
    assert re.search(r"^\| `data held` \|.*\| `33 TB`: as asked", page, re.MULTILINE)
    assert re.search(r"^\| `time zone` \|.*\| `America/New_York`: ", page, re.MULTILINE)
    assert "Parts lists: quiet-minis.csv, modern-boards.csv, old-servers.csv" in page
    assert "the official average of Maine, USA, which has fixed charges in it" in page
    assert "Great Britain, without the standing charge" in files(region="Great Britain")["README.md"]


# what other commands make of it


@pytest.mark.parametrize("given", [{}, {"build": "minis,rented", "region": "Maine"}], ids=str)
@pytest.mark.parametrize(
    "words",
    [
        ["compare", "{}", "--out", "{}-out"],
        ["check", "{}"],
        ["simulate", "{}", "--draws", "200", "--out", "{}-out"],
        ["vary", "{}", "--out", "{}-out", "--steps", "3"],
        ["breakeven", "{}", "--out", "{}-out"],
        ["reprice", "{}", "--price", "0.4 {code}/kWh", "--from", "2028-01", "--out", "{}-out"],
    ],
    ids=lambda words: words[0],
)
def test_every_command_takes_it_without_an_edit(words: list[str], given: dict[str, str], tmp_path: Path) -> None:
    folder = placed(tmp_path / "s", **given)
    code = "USD" if given else "EUR"
    result = CliRunner().invoke(main, [word.replace("{}", str(folder)).replace("{code}", code) for word in words])
    assert result.exit_code == 0, result.output


@pytest.mark.parametrize("name", ["minis", "boards", "servers", "rented"])
@pytest.mark.parametrize("command", ["check", "simulate", "vary", "compare"])
def test_every_kind_alone_passes_the_commands_that_take_one(command: str, name: str, tmp_path: Path) -> None:
    folder = placed(tmp_path / "s", build=name)
    more = {"check": [], "simulate": ["--draws", "100", "--out", f"{folder}-out"], "vary": ["--steps", "3"]}
    words = [command, str(folder), *more.get(command, ["--out", f"{folder}-out"])]
    words += ["--out", f"{folder}-out"] if command == "vary" else []
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 0, result.output


def test_findings_are_few_and_the_same_everywhere(tmp_path: Path) -> None:
    """Those that a starting study cannot avoid: one switch, one circuit, warranties that end, heavy old gear."""
    rules = {row[1] for row in finding_rows(compared(tmp_path / "s"))}
    assert rules == {
        "one switch",
        "no spare node",
        "warranty ending within the horizon",
        "all supplies on one circuit",
        "heavy part",
    }


def test_the_examples_in_unused_tables_change_no_figure(tmp_path: Path) -> None:
    whole = compared(tmp_path / "s")
    bare = placed(tmp_path / "bare")
    for name in (
        "hours.csv",
        "holidays.csv",
        "shapes.csv",
        "efficiency.csv",
        "paths.csv",
        "exchange.csv",
        "home.csv",
    ):
        (bare / name).unlink()
    other = tco.compare(tco.load(bare))
    assert tco.measures(whole).equals(tco.measures(other))
    assert replace(whole.study, folder="", holidays=()) == replace(other.study, folder="")


def test_rooms_from_the_least_to_the_most_are_those_tried() -> None:
    assert (f"{LEAST_ROOM:g} TB", f"{MOST_ROOM:g} TB") == (ROOMS[0], ROOMS[-1])
