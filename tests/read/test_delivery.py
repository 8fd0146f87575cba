"""What builds deliver and need: what arrives of a good study, and what is odd but no slip."""

from __future__ import annotations

from pathlib import Path

import pytest

import tco
from tco.errors import Place
from tco.read import load
from tco.study import Amount, Scenario
from tests.read.corpus_delivery import LINKED, MINIS, NEEDS, POOLS, STATED, changed
from tests.studies import Change, write_study

Figures = dict[str, float | str]


def minis(folder: Path, **changes: Change) -> Scenario:
    """The scenario with two pools of the good study, some tables changed."""
    return load(write_study(folder, **changed(**changes))).scenarios[0]


def figures(folder: Path, **changes: Change) -> Figures:
    """Measure -> value of that scenario."""
    frame = tco.measures(tco.compare(tco.load(write_study(folder, **changed(**changes)))))
    own = frame[frame.scenario == "minis"]
    return dict(zip(own.measure, own.value, strict=True))


def test_pools_sites_and_parts_arrive_in_their_units(tmp_path: Path) -> None:
    found = minis(tmp_path)
    main, fast = found.pools
    assert (main.copies, main.data, main.fill_limit, main.lead_time, main.written) == (3, None, 0.8, 72, 60)
    assert (fast.copies, fast.data, fast.parity, fast.traffic, fast.overhead) == (None, 2, 1, 0.3, 1.2)
    assert found.stands
    assert (found.stands.bed_distance, found.stands.rule, found.stands.others_short) == (4, "rating", 9)
    node, drive, fast_drive, _ = found.parts
    assert node.provides[-1] == Amount(90, "W", "supply")
    assert (drive.capacity, drive.pool, drive.read, drive.system, drive.warranty) == (8, "main", 200, True, 36)
    assert fast_drive.endurance == 600
    assert fast_drive.places["endurance"] == Place("minis.csv", 4, 13)
    assert (found.nodes[0].client_link, found.nodes[0].replication_link) == (2.5, 10)


def test_stated_and_needs_arrive(tmp_path: Path) -> None:
    study = load(write_study(tmp_path, **changed()))
    stated, needs = study.scenarios[2].stated, study.needs
    assert stated
    assert (stated.usable, stated.node_losses, stated.one_client_write) == (40, 2, 5)
    assert needs
    assert (needs.usable, needs.hold_data, needs.noise_busy, needs.budget_month) == (6, True, 30, 40)
    assert needs.places["node_losses"] == Place("needs.csv", 5, 2)


@pytest.mark.parametrize(
    ("cell", "rate"),
    [("200 Mbit/s", 25), ("1.6 Gbit/s", 200), ("0.2 GB/s", 200), ("200 MiB/s", 209.7152), ("720 GB/h", 200)],
)
def test_rates_may_be_in_bits_and_other_times(cell: str, rate: float, tmp_path: Path) -> None:
    assert minis(tmp_path, minis=("200 MB/s", cell)).parts[1].read == pytest.approx(rate)


@pytest.mark.parametrize(
    ("cell", "hours"), [("3 d", 72), ("3 days", 72), ("1 day", 24), ("36 h", 36), ("90 min", 1.5), ("0", 0)]
)
def test_lead_times_in_hours(cell: str, hours: float, tmp_path: Path) -> None:
    assert minis(tmp_path, pools=("3 d", cell)).pools[0].lead_time == hours


@pytest.mark.parametrize("cell", ["continuous 125 %", "Continuous 125%", "CONTINUOUS_125 %"])
def test_a_rule_in_any_case(cell: str, tmp_path: Path) -> None:
    site = minis(tmp_path, sites=(",rating,", f",{cell},")).stands
    assert site
    assert site.rule == "continuous 125 %"


@pytest.mark.parametrize("row", ["circuit", "hold data", "backup elsewhere"])
def test_what_is_not_needed_is_not_judged(row: str, tmp_path: Path) -> None:
    folder = write_study(tmp_path, **changed(needs=f"need,value\n{row},no\nnode losses,1\n"))
    needs = load(folder).needs
    assert needs
    assert set(needs.places) == {"", "node_losses"}
    judged = {name for name in tco.measures(tco.compare(tco.load(folder))).measure if name.startswith("need_")}
    assert judged == {"need_node_losses", "need_node_losses_short", "need_node_losses_from"}


def test_a_header_alone_needs_nothing(tmp_path: Path) -> None:
    assert "meets_needs" not in figures(tmp_path, needs="need,value\n")


# What cannot hold anything is no slip: it compares.


def test_more_copies_than_nodes(tmp_path: Path) -> None:
    found = figures(tmp_path, pools=(",3,,,80 %", ",4,,,80 %"))
    assert (found["usable"], found["node_losses"]) == (2.0, 0.0)  # what the other pool has
    assert found["recommended"] == pytest.approx(0.85 * 2)


def test_more_pieces_than_nodes_in_every_pool(tmp_path: Path) -> None:
    found = figures(tmp_path, pools=POOLS.replace(",3,,,80 %", ",4,,,80 %").replace(",,2,1,", ",,3,1,"))
    assert (found["usable"], found["recommended"], found["safe"], found["node_losses"]) == (0, 0, 0, 0)
    assert found["rebuild"] == "no"
    assert (found["read"], found["write"]) == (0, 0)
    for name in ("read_bottleneck", "write_bottleneck", "recovery_node", "recovery_drive"):
        assert found[name] == "none: fewer nodes than pieces"
    assert found["cost_per_TB"] == "none: nothing can be kept"
    assert found["cost_per_read"] == "none: reading stops"
    assert found["meets_needs"] == "no"


def test_a_group_of_nodes_without_drives(tmp_path: Path) -> None:
    plain = figures(tmp_path / "a")
    more = figures(
        tmp_path / "b",
        nodes=LINKED + "minis,watcher,1,,1 Gbit/s,\n",
        minis=MINIS + "small computer,watcher,1,40,3 W,,,,,,,,,,\n",
    )
    for name in ("raw", "usable", "node_losses", "read", "recovery_node"):
        assert more[name] == plain[name]


def test_a_node_without_anything_stated(tmp_path: Path) -> None:
    found = figures(tmp_path, nodes=("2.5 Gbit/s,10 Gbit/s", ","))
    assert found["read"] == "unknown: no client link of mini"
    assert found["need_one_client_read"] == "unknown: no client link of mini"


def test_drives_that_come_later(tmp_path: Path) -> None:
    rows = MINIS.splitlines()
    later = [f"{rows[0]},bought", f"{rows[1]},", f"{rows[2]},12", f"{rows[3]},12", f"{rows[4]},"]
    found = figures(tmp_path, minis="\n".join(later) + "\n", nodes=("15 W", ""))
    assert (found["usable"], found["read"]) == (0, 0)
    assert found["need_usable_from"] == 0


def test_nothing_stated_at_all(tmp_path: Path) -> None:
    stated = STATED.splitlines()[0] + "\nrented,,,,,,,\n"
    frame = tco.measures(tco.compare(tco.load(write_study(tmp_path, **changed(stated=stated)))))
    own = frame[frame.scenario == "rented"].set_index("measure").value
    assert own["recommended"] == "unknown: not stated"
    assert own["meets_needs"] != "yes"


def test_needs_of_nothing(tmp_path: Path) -> None:
    rows = [row.split(",")[0] for row in NEEDS.splitlines()[1:]]
    zero = {"usable growth": "0", "hold data": "yes", "circuit": "yes", "backup elsewhere": "yes"}
    found = figures(tmp_path, needs="need,value\n" + "".join(f"{row},{zero.get(row, '0')}\n" for row in rows))
    assert found["need_usable"] == found["need_node_losses"] == "met"
    assert found["need_power"] == found["need_budget_start"] == "missed"
