"""The studies that come with the tool: complete, consistent, and honest about being invented."""

import csv
from pathlib import Path

import pytest

DATA = Path(__file__).parents[2] / "data"
STUDIES = ("demo", "small", "hours", "kept", "growing")
TABLES = [
    pytest.param(path, id=f"{study}/{path.name}")
    for study in STUDIES
    for path in sorted((DATA / study).glob("*.csv"))
]


def plain(header: str) -> str:
    return header.partition(" [")[0]


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return [{plain(name): cell for name, cell in row.items()} for row in csv.DictReader(file, strict=True)]


def table(study: str, name: str) -> list[dict[str, str]]:
    path = DATA / study / name
    return rows(path) if path.exists() else []


def parts_lists(study: str) -> dict[str, list[dict[str, str]]]:
    """Scenario -> its parts, for the scenarios that have any."""
    scenarios = table(study, "scenarios.csv")
    return {one["scenario"]: table(study, one["parts list"]) for one in scenarios if one.get("parts list", "")}


@pytest.mark.parametrize("path", TABLES)
def test_every_row_says_that_it_is_invented(path: Path) -> None:
    found = rows(path)
    assert found
    for line, row in enumerate(found[:1] if "time" in found[0] else found, start=2):  # a log says it once
        assert "invented" in row["source"], f"{path.name}:{line}: {row['source']!r}"


@pytest.mark.parametrize("path", TABLES)
def test_tables_are_plain(path: Path) -> None:
    raw = path.read_bytes()
    assert b"\r" not in raw
    assert raw.endswith(b"\n")
    assert not raw.startswith(b"\xef\xbb\xbf")
    with path.open(encoding="utf-8", newline="") as file:
        widths = {len(row) for row in csv.reader(file, strict=True)}
    assert len(widths) == 1


@pytest.mark.parametrize("study", STUDIES)
def test_every_scenario_named_exists_and_one_is_the_baseline(study: str) -> None:
    scenarios = table(study, "scenarios.csv")
    names = {one["scenario"] for one in scenarios}
    assert [one["baseline"] for one in scenarios].count("yes") == 1
    for name in ("nodes.csv", "fees.csv", "one_offs.csv"):
        assert {row["scenario"] for row in table(study, name)} <= names, name


@pytest.mark.parametrize("study", STUDIES)
def test_every_curve_and_tariff_named_exists_and_own_ones_are_used(study: str) -> None:
    parts = [part for one in parts_lists(study).values() for part in one]
    for name, column in (("failures.csv", "failures"), ("resale.csv", "resale")):
        own = {row["curve"] for row in table(study, name)}
        reference = {row["curve"] for row in table("reference", name)}
        wanted = {part[column] for part in parts} - {""}
        assert wanted <= own | reference
        assert own <= wanted
    assert {one["tariff"] for one in table(study, "scenarios.csv")} - {""} == {
        row["tariff"] for row in table(study, "tariffs.csv")
    }


@pytest.mark.parametrize("study", STUDIES)
def test_parts_name_their_nodes_and_replacements(study: str) -> None:
    nodes = table(study, "nodes.csv")
    for scenario, parts in parts_lists(study).items():
        names = [part["part"] for part in parts]
        assert len(set(names)) == len(names)
        assert {part.get("replaced by", "") for part in parts} - {""} <= set(names)
        listed = {row["node"]: int(row["count"]) for row in nodes if row["scenario"] == scenario}
        assert {part["node"] for part in parts} - {""} == set(listed)
        for part in parts:
            assert not part["node"] or int(part["quantity"]) % listed[part["node"]] == 0, part["part"]
        unused = {part["part"] for part in parts if part["quantity"] == "0"}
        offered = {row["part"] for row in table(study, "purchases.csv") if row["scenario"] == scenario}
        assert unused <= {part.get("replaced by", "") for part in parts} | offered


def test_the_demo_buys_alike_capacity_in_every_build() -> None:
    """Drives are named by their size: 3 x 5 x 4, 4 x 16 and 3 x 3 x 8 TB; three copies of each TB."""
    usable = {}
    for scenario, parts in parts_lists("demo").items():
        drives = [part for part in parts if part["part"].startswith("hard drive")]
        usable[scenario] = sum(int(part["part"].split()[2]) * int(part["quantity"]) for part in drives) / 3
    assert usable == pytest.approx({"old servers": 20, "quiet minis": 64 / 3, "modern boards": 24})
    held = 12 * 1.06**5  # data held and its growth in study.csv
    assert held < 0.85 * min(usable.values())
