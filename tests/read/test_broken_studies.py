"""Every slip is told at its place, in words that say what would be right, and nothing else is told."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tco.errors import Place, StudyError
from tco.read import load
from tests.read import (
    corpus,
    corpus_delivery,
    corpus_electricity,
    corpus_failing,
    corpus_hours,
    corpus_prices,
    corpus_supplies,
)
from tests.studies import write_study


def problems(folder: Path) -> list[tuple[str, str]]:
    """What loading a study tells: place and message."""
    with pytest.raises(StudyError) as caught:
        load(folder, reference=folder / "none")
    assert list(caught.value.found) == sorted(caught.value.found)
    return [(str(place), message) for place, message in caught.value.found]


# Slips that are two at once: a name nobody bears any more leaves another one without its row.
TWOFOLD = {
    "measured busy below idle", "node without parts", "member of no scenario", "scenario twice",
    "scenario in capitals", "no scenario", "parts list misspelt", "parts list is a table", "path upwards",
    "absolute path", "backslash", "no table's name", "too many rows", "takes first of one scenario only",
}  # fmt: skip


CORPUS = [
    case
    for part in (
        corpus,
        corpus_prices,
        corpus_delivery,
        corpus_electricity,
        corpus_hours,
        corpus_supplies,
        corpus_failing,
    )
    for case in part.CORPUS
]


@pytest.mark.parametrize("case", CORPUS, ids=lambda case: case.name)
def test_a_slip_is_told_at_its_place_and_once(tmp_path: Path, case: corpus.Broken) -> None:
    found = problems(write_study(tmp_path, **case.change))
    messages = [message.casefold() for place, message in found if place == case.place]
    assert any(all(word in message for word in case.words) for message in messages), found
    assert len(found) == 1 or case.name in TWOFOLD, found


def test_all_problems_of_all_files_come_at_once(tmp_path: Path) -> None:
    found = problems(
        write_study(tmp_path, study=("3 %", "3"), tariffs=("0.31", "abc"), minis=("28 W", "28 Wh"), nodes="")
    )
    assert [place for place, _ in found] == ["minis.csv:2:10", "nodes.csv", "study.csv:7:2", "tariffs.csv:2:3"]


def test_the_text_counts_problems_and_files(tmp_path: Path) -> None:
    write_study(tmp_path, study=("3 %", "3"), tariffs=("0.31", "abc"))
    with pytest.raises(StudyError, match="2 problems in 2 files; nothing was written"):
        load(tmp_path)


def test_a_folder_that_does_not_exist(tmp_path: Path) -> None:
    assert problems(tmp_path / "no") == [(str(tmp_path / "no"), "there is no such folder")]


def test_a_folder_without_a_study(tmp_path: Path) -> None:
    (tmp_path / "prices.csv").write_text("a,b\n")
    ((place, message),) = problems(tmp_path)
    assert place == str(tmp_path)
    assert "study.csv is missing" in message
    assert "prices.csv" in message


def test_a_single_csv_file_is_no_study(tmp_path: Path) -> None:
    ((_, message),) = problems(write_study(tmp_path) / "study.csv")
    assert "folder" in message


def test_a_folder_in_place_of_a_file(tmp_path: Path) -> None:
    (write_study(tmp_path, tariffs=None) / "tariffs.csv").mkdir()
    assert problems(tmp_path) == [("tariffs.csv", "this is a folder; a table is a file")]


def test_a_200_megabyte_file_is_refused_unread(tmp_path: Path) -> None:
    with (write_study(tmp_path) / "tariffs.csv").open("wb") as file:
        file.truncate(200_000_000)
    ((place, message),) = problems(tmp_path)
    assert place == "tariffs.csv"
    assert "200.0 MB" in message
    assert "20.0 MB" in message


def test_a_pipe_in_place_of_a_file_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(write_study(tmp_path, tariffs=None) / "tariffs.csv")
    assert problems(tmp_path) == [("tariffs.csv", "this is no plain file")]


def test_a_link_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    outside = tmp_path / "outside.csv"
    outside.write_text("part,quantity,price\n")
    folder = write_study(tmp_path / "study", servers=None)
    (folder / "servers.csv").symlink_to(outside)
    ((place, message),) = problems(folder)
    assert place == "servers.csv"
    assert "leads out" in message


def test_a_parts_list_may_stand_in_a_sub_folder(tmp_path: Path) -> None:
    folder = write_study(tmp_path, scenarios=("servers.csv", "lists/servers.csv"))
    (folder / "lists").mkdir()
    (folder / "servers.csv").rename(folder / "lists" / "servers.csv")
    assert load(folder).scenarios[1].parts[0].places["price"] == Place("lists/servers.csv", 2, 3)


def test_a_bad_currency_is_told_once_not_at_every_price(tmp_path: Path) -> None:
    found = problems(write_study(tmp_path, study=("currency,EUR", "currency,Euro")))
    assert [place for place, _ in found] == ["study.csv:3:2"]


def test_an_unreadable_table_makes_no_names_missing(tmp_path: Path) -> None:
    assert [place for place, _ in problems(write_study(tmp_path, failures=b"PK\x03\x04"))] == ["failures.csv"]


def test_a_thousand_problems_are_enough(tmp_path: Path) -> None:
    rows = "".join(f"rented,fee {i},abc,,,\n" for i in range(5000))
    found = problems(write_study(tmp_path, fees="scenario,fee,amount,amount per TB,first,last\n" + rows))
    assert len(found) <= 1001
    assert any("stopped" in message for _, message in found)


def test_one_scenario_is_its_own_baseline(tmp_path: Path) -> None:
    table = "scenario\nrented\n"
    study = load(write_study(tmp_path, scenarios=table, minis=None, servers=None, nodes=None, one_offs=None))
    assert study.scenarios[0].baseline
