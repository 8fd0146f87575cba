"""Does it fit: places and what takes them, by hand."""

from __future__ import annotations

import tempfile
from pathlib import Path

import numpy as np
import pytest

import tco
from tco.engine import absent, cell_text, evaluate
from tco.model.fit import shortages
from tests.model.places import found_in
from tests.studies import write_study

MINIS = """
mini PC,mini,3,1 EUR,,,,2 bay 3.5 + 64 GB memory + 90 W supply,1 port
drive,mini,6,1 EUR,,,8 TB,,1 bay 3.5 + 10 W supply
stick,mini,3,1 EUR,,,,,0.032 TB memory
switch,,1,1 EUR,,,,5 port,
"""


def test_each_node_and_what_all_share(tmp_path: Path) -> None:
    assert found_in(tmp_path, MINIS).fit() == {
        "each mini: bay 3.5": (2, 2, 0, "all taken"),
        "each mini: memory [GB]": (64, 32, 32, "fits"),
        "each mini: supply [W]": (90, 20, 70, "fits"),
        "shared: port": (5, 3, 2, "fits"),
    }


def test_what_does_not_fit_is_told_with_numbers(tmp_path: Path) -> None:
    parts = MINIS.replace("drive,mini,6", "drive,mini,9").replace("5 port", "2 port").replace("0.032", "0.096")
    found = found_in(tmp_path, parts)
    assert [row[3] for row in found.fit().values()] == ["does not fit", "does not fit", "fits", "does not fit"]
    assert found.fit()["each mini: bay 3.5"] == (2, 3, -1, "does not fit")
    assert found.short() == [
        "each mini: bay 3.5: 3 needed, 2 there",
        "each mini: memory: 96 GB needed, 64 GB there",
        "shared: port: 3 needed, 2 there",
    ]
    assert (found.measure("fits"), found.measure("places_short")) == ("does not fit", "3")


def test_what_fits_has_no_shortage(tmp_path: Path) -> None:
    found = found_in(tmp_path, MINIS)
    assert (found.short(), found.measure("fits"), found.measure("places_short")) == ([], "fits", "0")


def test_a_group_meets_its_own_needs_first(tmp_path: Path) -> None:
    parts = """
        mini PC,mini,3,1 EUR,,,,1 port,
        camera,mini,3,1 EUR,,,,,2 port
        printer,,1,1 EUR,,,,,1 port
        switch,,1,1 EUR,,,,8 port,
    """
    assert found_in(tmp_path, parts).fit() == {
        "each mini: port": (1, 2, -1, "does not fit"),  # though the switch has some free
        "shared: port": (8, 1, 7, "fits"),
    }


def test_what_only_another_group_provides_is_not_there(tmp_path: Path) -> None:
    parts = "tower,tower,1,1 EUR,,,,4 bay,\ndrive,mini,3,1 EUR,,,8 TB,,1 bay\nspare,,2,1 EUR,,,,,1 bay"
    found = found_in(tmp_path, parts, "tower,1 mini,3")
    assert found.fit() == {"each tower: bay": (4, 0, 4, "fits"), "shared: bay": (0, 5, -5, "does not fit")}
    assert found.short() == ["shared: bay: 5 needed, 0 there"]


def test_two_groups_share_one_switch(tmp_path: Path) -> None:
    parts = """
        a,a,2,1 EUR,,,,,1 port
        b,b,6,1 EUR,,,,,1 port
        switch,,2,1 EUR,,,,4 port,1 outlet
        bar,,1,1 EUR,,,,3 outlet,
    """
    assert found_in(tmp_path, parts, "a,2 b,3").fit() == {
        "shared: port": (8, 8, 0, "all taken"),
        "shared: outlet": (3, 2, 1, "fits"),
    }


def test_a_part_may_meet_a_need_of_its_own(tmp_path: Path) -> None:
    found = found_in(tmp_path, "box,mini,3,1 EUR,,,,90 W supply,35 W supply")
    assert found.fit() == {"each mini: supply [W]": (90, 35, 55, "fits")}


def test_units_of_one_kind_meet_in_the_first_providers(tmp_path: Path) -> None:
    parts = """
        stick,mini,3,1 EUR,,,,,8 GiB memory
        board,mini,3,1 EUR,,,,0.016 TB memory,
        board b,mini,3,1 EUR,,,,8000 MB memory,
        log,mini,3,1 EUR,,,,,500 MB memory
    """
    (label, row), *more = found_in(tmp_path, parts).fit().items()
    assert (label, more) == ("each mini: memory [TB]", [])
    assert row[:3] == pytest.approx((0.024, 0.009089934592, 0.014910065408), rel=1e-12)


def test_a_price_only_names_no_unit(tmp_path: Path) -> None:
    parts = """
        old stick,mini,0,1 EUR,,,,9 GB memory,
        board,mini,3,1 EUR,,,,16000 MB memory,
        stick,mini,3,1 EUR,,,,,8 GB memory
    """
    assert found_in(tmp_path, parts).fit() == {"each mini: memory [MB]": (16000, 8000, 8000, "fits")}


def test_groups_come_as_in_the_parts_list_and_what_is_shared_last(tmp_path: Path) -> None:
    parts = """
        switch,,1,1 EUR,,,,9 port,
        b,b,3,1 EUR,,,,1 bay,1 port
        a,a,2,1 EUR,,,,1 bay,
        card,b,3,1 EUR,,,,1 slot,
    """
    found = list(found_in(tmp_path, parts, "a,2 b,3").fit())
    assert found == ["each b: bay", "each b: slot", "each a: bay", "shared: port"]


def test_decimal_fractions_are_level(tmp_path: Path) -> None:
    parts = """
        shelf,mini,3,1 EUR,,,,0.3 shelf,
        one,mini,3,1 EUR,,,,,0.1 shelf
        two,mini,3,1 EUR,,,,,0.2 shelf
    """
    assert 0.1 + 0.2 > 0.3
    assert found_in(tmp_path / "a", parts).fit() == {
        "each mini: shelf": (pytest.approx(0.3), pytest.approx(0.3), 0, "all taken")
    }
    more = found_in(tmp_path / "b", parts.replace("0.2 shelf", "0.20001 shelf"))
    assert more.fit()["each mini: shelf"][3] == "does not fit"
    assert more.short() == ["each mini: shelf: 0.30001 needed, 0.3 there"]


def test_nothing_provided_and_nothing_needed_is_not_all_taken(tmp_path: Path) -> None:
    assert found_in(tmp_path, "a,mini,3,1 EUR,,,,0 slot,0 slot").fit() == {"each mini: slot": (0, 0, 0, "fits")}


def test_phases_follow_what_is_there(tmp_path: Path) -> None:
    parts = """
        mini PC,mini,3,1 EUR,,,,2 bay,
        drive,mini,3,1 EUR,,12,8 TB,,1 bay
        big drive,mini,6,1 EUR,6,,20 TB,,1 bay
        cage,mini,3,1 EUR,9,,,1 bay,
    """
    found = found_in(tmp_path, parts)
    assert found.fit() == {
        "months 1–6, each mini: bay": (2, 1, 1, "fits"),
        "months 7–9, each mini: bay": (2, 3, -1, "does not fit"),
        "months 10–12, each mini: bay": (3, 3, 0, "all taken"),
        "months 13–24, each mini: bay": (3, 2, 1, "fits"),
    }
    assert found.short() == ["months 7–9, each mini: bay: 3 needed, 2 there"]
    assert (found.measure("fits"), found.measure("places_short")) == ("does not fit", "1")


def test_what_is_provided_no_more_is_short(tmp_path: Path) -> None:
    found = found_in(
        tmp_path, "case,mini,3,1 EUR,,12,,2 bay,\ndrive,mini,3,1 EUR,,,8 TB,,1 bay\nrack,,1,1 EUR,,,,9 bay,"
    )
    assert found.fit() == {
        "months 1–12, each mini: bay": (2, 1, 1, "fits"),
        "months 1–12, shared: bay": (9, 0, 9, "fits"),
        "months 13–24, each mini: bay": (0, 1, -1, "does not fit"),  # the rule of the group first has no phases
        "months 13–24, shared: bay": (9, 0, 9, "fits"),
    }


def test_nothing_stands_where_nothing_is_there(tmp_path: Path) -> None:
    found = found_in(tmp_path, "case,mini,3,1 EUR,6,12,,2 bay,\nlate,,1,1 EUR,24,,,9 port,")
    assert list(found.fit()) == ["months 7–12, each mini: bay"]


def test_a_price_only_neither_offers_nor_takes(tmp_path: Path) -> None:
    parts = "case,mini,3,1 EUR,,,,2 bay,\ndrive,mini,3,1 EUR,,,8 TB,,1 bay\nspare,mini,0,1 EUR,,,8 TB,5 bay,1 bay"
    assert found_in(tmp_path, parts).fit() == {"each mini: bay": (2, 1, 1, "fits")}


def test_provided_by_a_price_only_is_not_there(tmp_path: Path) -> None:
    found = found_in(tmp_path, "case,mini,0,1 EUR,,,,2 GB memory,\nstick,mini,3,1 EUR,,,,,500 MB memory")
    assert found.fit() == {"shared: memory [GB]": (0, 1.5, -1.5, "does not fit")}


def test_nodes_that_nobody_counts_are_taken_together(tmp_path: Path) -> None:
    found = found_in(tmp_path, MINIS, nodes="")
    assert found.fit()["all mini: bay 3.5"] == (6, 6, 0, "all taken")
    assert found.room()["more of drive in all mini"] == 0


@pytest.mark.parametrize("parts", ["a,mini,3,1 EUR,,,,,", "a,mini,3,1 EUR,,,,,\nb,,0,1 EUR,,,,1 bay,1 bay"])
def test_without_places_it_is_not_known(parts: str, tmp_path: Path) -> None:
    found = found_in(tmp_path, parts)
    assert (found.short(), found.room()) == ([], {})
    for name in ("fits", "places_short"):
        assert absent(found.ground.measure(name), 0, found.comparison.figures) == "unknown: no places stated"
    assert not {"fit of box", "takes of box"} & set(found.ground.model.tables)
    assert not found.ground.has("parts", "number")


def test_a_scenario_without_parts_is_not_known() -> None:
    with tempfile.TemporaryDirectory() as folder:
        comparison = tco.compare(tco.load(write_study(Path(folder))))
    rented = comparison.built.grounds[2]
    assert cell_text(rented.measure("fits"), 0, comparison.figures) == "unknown: no places stated"


# live


def test_quantities_and_nodes_are_live(tmp_path: Path) -> None:
    found = found_in(tmp_path, MINIS)
    model, ground = found.ground.model, found.ground
    quantities = np.array([[3.0, 6.0, 3.0, 1.0], [6.0, 6.0, 6.0, 0.0], [3.0, 9.0, 3.0, 2.0]])
    counts = np.array([[3.0], [6.0], [3.0]])
    figures = evaluate(model, {ground.part("quantity"): quantities, ground.own("nodes", "count"): counts})
    assert figures[ground.own("fit", "provided")][:, [0, 3]].tolist() == [[2, 5], [2, 0], [2, 10]]
    assert figures[ground.own("fit", "needed")][:, [0, 3]].tolist() == [[2, 3], [1, 6], [3, 3]]
    assert figures[ground.own("fit", "state")].tolist() == [[2, 3, 3, 3], [3, 3, 3, 1], [1, 3, 3, 3]]
    assert figures[ground.measure("places_short")].ravel().tolist() == [0, 1, 1]
    assert figures[ground.own("room", "more 1")].ravel().tolist() == [0, 1, 0]
    assert shortages(ground, figures) == []  # of the first draw


def test_what_does_not_follow_says_so(tmp_path: Path) -> None:
    model = found_in(tmp_path, MINIS).ground.model
    for kind in ("fit", "takes"):
        given = [column for column in model.of(model.tables[f"{kind} of box"]) if column.values is not None]
        assert given
        assert all(column.computed and not column.live for column in given)


# what the last free places allow


def test_room_is_the_smaller_over_its_needs(tmp_path: Path) -> None:
    parts = """
        mini PC,mini,3,1 EUR,,,,5 bay + 40 W supply,
        drive,mini,3,1 EUR,,,8 TB,,1 bay + 12 W supply
        small drive,mini,3,1 EUR,,,500 GB,,1 bay + 3 W supply
    """
    assert found_in(tmp_path, parts).room() == {
        "more of drive in each mini": 2,  # 3 bays and 25 W left
        "raw capacity that adds, drive": pytest.approx(48),
        "more of small drive in each mini": 3,
        "raw capacity that adds, small drive": pytest.approx(4.5),
    }


@pytest.mark.parametrize(("ports", "more"), [(3, 0), (5, 0), (6, 1), (14, 3), (15, 4), (2, 0)])
def test_room_in_shared_places_is_split_by_the_nodes(ports: int, more: int, tmp_path: Path) -> None:
    found = found_in(tmp_path, f"net drive,mini,3,1 EUR,,,2 TB,,1 port\nswitch,,1,1 EUR,,,,{ports} port,")
    assert list(found.room().values()) == [more, 6 * more]


def test_room_counts_tenths_as_tenths(tmp_path: Path) -> None:
    assert (0.7 - 0.1) / 0.1 < 6  # in doubles
    found = found_in(tmp_path, "case,mini,3,1 EUR,,,,0.7 shelf,\ndrive,mini,3,1 EUR,,,2 TB,,0.1 shelf")
    assert found.room()["more of drive in each mini"] == 6


def test_room_is_that_of_the_last_phase(tmp_path: Path) -> None:
    parts = """
        case,mini,3,1 EUR,,,,4 bay,
        old drive,mini,6,1 EUR,,12,4 TB,,1 bay
        new drive,mini,3,1 EUR,12,,20 TB,,1 bay
    """
    found = found_in(tmp_path, parts)
    assert found.ground.model.tables["room of box"].rows == ("months 13–24",)
    assert found.room() == {"more of new drive in each mini": 3, "raw capacity that adds, new drive": 180}


def test_no_room_for_what_is_no_drive_in_a_node_or_needs_nothing(tmp_path: Path) -> None:
    parts = """
        case,mini,3,1 EUR,,,,4 bay,
        card,mini,3,1 EUR,,,,,1 bay
        outside,,3,1 EUR,,,8 TB,,1 bay
        floating,mini,3,1 EUR,,,8 TB,,
        modest,mini,3,1 EUR,,,8 TB,,0 bay
        spare,mini,0,1 EUR,,,8 TB,,1 bay
    """
    assert found_in(tmp_path, parts).room() == {}
