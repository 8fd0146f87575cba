"""Needs: met, missed (by how much, from which month) or unknown; who is ranked, and what is said of the others."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pandas as pd
import pytest

import tco
from tco.ask.compare import Comparison
from tco.write.terminal import comparison_text
from tests.studies import FEES, MINIS, NODES, SCENARIOS, write_study

MORE = "capacity [TB],pool,read [MB/s],write [MB/s],noise idle,noise busy,noise as,noise distance"
DRIVES = {  # row of the parts list -> its further cells
    "mini PC": ",,,,20 dB(A),26 dB(A),pressure,1 m",
    "drive 8 TB,": "8,main,200,180,,,,",
    "switch": ",,,,0 dB(A),,,",
}
POOLS = "scenario,pool,copies,fill limit,lead time\nminis,main,2,80 %,3 d\n"
SITES = "site,bed distance,voltage,breaker,rule\nhall,4 m,230 V,16 A,rating\n"
STATED = "scenario,usable,node losses,one client read\nrented,20 TB,2,30 MB/s\n"


def clustered(lists: str = MINIS) -> str:
    """The minis' parts list with drives that stay, a pool and sound levels."""
    head, *rows = lists.replace(",36,2 years", ",,2 years").splitlines()
    wide = [f"{row}{',' * (head.count(',') - row.count(','))}" for row in rows]
    told = [next((more for start, more in DRIVES.items() if row.startswith(start)), ",,,,,,,") for row in wide]
    return "\n".join([f"{head},{MORE}", *(f"{row},{more}" for row, more in zip(wide, told, strict=True))]) + "\n"


def compared(folder: Path, needs: dict[str, str], **changes: Any) -> Comparison:
    """The good study with a pool, a site and what the rented space states; `needs` as in needs.csv."""
    placed = SCENARIOS.replace("upkeep,source", "upkeep,site,power factor,one client link,backup elsewhere,source")
    placed = placed.replace("1 h/month,ours", "1 h/month,hall,0.6,2.5 Gbit/s,yes,ours")
    placed = placed.replace("2 h/month,", "2 h/month,,,,,").replace("rented,,,,,,,", "rented,,,,,,,,,,no,")
    tables = {
        "scenarios": placed,
        "minis": clustered(),
        "nodes": NODES.replace("measured busy [W]", "measured busy [W],client link").replace("3,,", "3,,,1 Gbit/s"),
        "pools": POOLS,
        "sites": SITES,
        "stated": STATED,
        "fees": FEES,
        "needs": "need,value\n" + "".join(f"{name},{value}\n" for name, value in needs.items()),
    }
    return tco.compare(tco.load(write_study(folder, **(tables | changes))))


def told(comparison: Comparison) -> dict[tuple[str, str], Any]:
    """(scenario, measure) -> value."""
    frame: pd.DataFrame = tco.measures(comparison)
    return {(row.scenario, row.measure): row.value for row in frame.itertuples()}


def test_room_is_judged_month_by_month(tmp_path: Path) -> None:
    """24 TB raw, two copies, 80 %: 9.6 TB; 8 TB and 10 % a year pass that in month 23: 8 x 1.1^(23/12) = 9.603."""
    found = told(compared(tmp_path, {"hold data": "yes"}))
    held = [8 * 1.1 ** (month / 12) for month in range(61)]
    first = next(month for month, amount in enumerate(held) if amount > 9.6)
    assert found["minis", "recommended"] == pytest.approx(9.6, rel=1e-12)
    assert found["minis", "need_hold_data"] == "missed"
    assert found["minis", "need_hold_data_from"] == first == 23
    assert found["minis", "need_hold_data_short"] == pytest.approx(held[60] - 9.6, rel=1e-9)


def test_a_need_met_to_the_last_bit_is_met(tmp_path: Path) -> None:
    """0.8 x 12 TB is 9.600000000000001 in floating point; a need of 9.6 TB, or of all that there is, is met."""
    found = told(compared(tmp_path, {"usable": "9.6 TB", "node losses": "1", "losses writing": "1"}))
    assert [found["minis", f"need_{name}"] for name in ("usable", "node_losses", "losses_writing")] == ["met"] * 3
    assert found["minis", "need_usable_from"] == "none: met"
    assert found["minis", "meets_needs"] == "yes"


def test_a_growing_need_starts_from_its_own_amount(tmp_path: Path) -> None:
    found = told(compared(tmp_path, {"usable": "9 TB", "usable growth": "4 %"}))
    wanted = [9 * 1.04 ** (month / 12) for month in range(61)]
    first = next(month for month, amount in enumerate(wanted) if amount > 9.6)
    assert found["minis", "need_usable_from"] == first
    assert found["rented", "need_usable"] == "met"


@pytest.mark.parametrize(
    ("need", "value", "verdict", "short"),
    [
        ("node losses", "2", "missed", 1.0),
        ("losses writing", "2", "missed", 1.0),
        ("read", "250 MB/s", "met", None),  # links: 3 x 125
        ("read", "400 MB/s", "missed", 25.0),
        ("write", "190 MB/s", "missed", 2.5),  # links: 3 x 125 / 2
        ("one client read", "313 MB/s", "missed", 0.5),  # its own link: 2.5 Gbit/s
        ("noise idle", "30 dB(A)", "met", None),
        ("noise busy", "18 dB(A)", "missed", 26 + 4.771212547 - 12.041199827 - 18),
        ("budget start", "700 EUR", "missed", 3 * 135 + 3 * 99.5 + 45 - 700),
        ("power", "40 W", "missed", 3 * (9 + 0.1 * 19) + 3 * (5.5 + 0.1 * 2.5) + 4 - 40),
        ("circuit", "yes", "met", None),
        ("backup elsewhere", "yes", "met", None),
    ],
)
def test_each_need_by_hand(tmp_path: Path, need: str, value: str, verdict: str, short: float | None) -> None:
    found = told(compared(tmp_path, {need: value}))
    name = need.replace(" ", "_")
    assert found["minis", f"need_{name}"] == verdict
    if short is not None:
        assert found["minis", f"need_{name}_short"] == pytest.approx(short, rel=1e-9)
        assert found["minis", f"need_{name}_from"] == (1 if need == "power" else 0)


def test_a_budget_a_month_counts_electricity_fees_and_what_fails(tmp_path: Path) -> None:
    comparison = compared(tmp_path, {"budget month": "14 EUR/month"})
    lines = tco.lines(comparison).query("scenario == 'minis' and line in ['electricity', 'fees', 'replacement']")
    by_month = lines.groupby("month").value.sum()
    found = told(comparison)
    assert found["minis", "need_budget_month_short"] == pytest.approx(by_month.max() - 14, rel=1e-9)
    assert found["minis", "need_budget_month_from"] == by_month[by_month > 14].index[0]


@pytest.mark.parametrize(
    ("need", "scenario", "words"),
    [
        ("usable,1 TB", "servers", "unknown: no pools stated"),
        ("read,1 MB/s", "rented", "unknown: not stated"),
        ("noise busy,30 dB(A)", "servers", "unknown: no bed distance"),
        ("circuit,yes", "servers", "unknown: no site"),
        ("noise busy,30 dB(A)", "rented", "met"),
        ("circuit,yes", "rented", "met"),
        ("backup elsewhere,yes", "rented", "missed"),
        ("backup elsewhere,yes", "servers", "unknown: not stated whether there is a backup"),
    ],
)
def test_what_is_not_known_is_told_and_is_no_pass(tmp_path: Path, need: str, scenario: str, words: str) -> None:
    name, value = need.split(",")
    comparison = compared(tmp_path, {name: value})
    found = told(comparison)
    assert found[scenario, f"need_{name.replace(' ', '_')}"] == words
    ground = next(one for one in comparison.built.grounds if one.scenario.scenario == scenario)
    assert comparison.meets(ground) == (words == "met")
    assert found[scenario, "meets_needs"] == {"met": "yes", "missed": "no"}.get(words, "unknown")


def names(comparison: Comparison) -> list[str]:
    return [ground.scenario.scenario for ground in comparison.ranked()]


def test_only_what_meets_all_is_ranked_and_the_rest_stands_below_with_its_reason(tmp_path: Path) -> None:
    comparison = compared(tmp_path, {"usable": "9 TB", "backup elsewhere": "yes"})
    assert names(comparison)[0] == "minis"
    text = comparison_text(comparison, [])
    assert "Cheapest of those that meet all needs: minis" in text
    assert text.index("\nminis ") < text.index("\nnot ranked:") < text.index("\nrented ") < text.index("\nwritten")
    plain = " ".join(text.split())
    assert "rented – a backup elsewhere: missed." in plain
    assert "servers – capacity within the fill limit: unknown: no pools stated; a backup elsewhere: unknown" in plain
    assert "It is the baseline, and no other scenario meets all needs." in plain


def test_where_none_meets_all_needs_none_is_ranked(tmp_path: Path) -> None:
    comparison = compared(tmp_path, {"usable": "50 TB"})
    text = " ".join(comparison_text(comparison, []).split())
    assert "No scenario is known to meet all needs, so none is ranked. The one that costs least: minis" in text
    assert "minis – capacity within the fill limit: 40.4 TB short" in text


def test_where_all_meet_all_needs_it_is_said(tmp_path: Path) -> None:
    comparison = compared(tmp_path, {"budget start": "5000 EUR"})
    text = " ".join(comparison_text(comparison, []).split())
    assert "All scenarios meet all needs." in text
    assert "not ranked" not in text


def test_without_needs_all_are_ranked_by_cost_and_nothing_is_said_of_needs(tmp_path: Path) -> None:
    comparison = compared(tmp_path, {})
    costs = [comparison.measure(ground, "lcc") for ground in comparison.ranked()]
    assert costs == sorted(costs)
    text = comparison_text(comparison, [])
    assert "meet all needs" not in text
    assert not [measure for _, measure in told(comparison) if measure.startswith("need")]
