"""Group-replacement tables of operations-research texts, through CSV: failures by month of 1,000 units.

G-B: inputs seen in a worked problem, outputs from memory (standard textbook) and recomputed.
G-C: Kanti Swarup et al., Operations Research, from memory and recomputed.
G-E: inputs seen (assignmentexpert.com, question 79189), outputs recomputed.
A table's shares of all units become chances for a unit of that age: share / (1 - shares before).
"""

from __future__ import annotations

from pathlib import Path

import pytest

import tco
from tests.studies import write_study

G_B = (0.09, 0.16, 0.24, 0.36, 0.12, 0.03)
G_C = (0.10, 0.15, 0.25, 0.30, 0.20)
G_E = (0.05, 0.15, 0.20, 0.25, 0.20, 0.15)
TABLES = {
    "G-B": (G_B, [90, 168.1, 269.53, 432.75, 274.82, 259.98], 0.005),
    "G-C": (G_C, [100, 160, 281, 377.1, 349.86, 229.80, 286.03], 0.005),
    "G-E": (G_E, [50, 152.5, 215.125, 293.63, 289.95, 299.69], 0.005),
}


def curve(shares: tuple[float, ...]) -> str:
    """A failure curve in monthly chances from the shares of a life table."""
    rows, left = ["curve,age,chance"], 1.0
    for month, share in enumerate(shares):
        rows.append(f"bulb,{month} months,{100 * min(1.0, share / left):.13f} %")
        left -= share
    return "\n".join(rows) + "\n"


def failures_by_month(folder: Path, shares: tuple[float, ...], months: int) -> list[float]:
    """Failures of 1,000 units of 1 EUR each, by the public path: CSV in, the lines frame out."""
    study = "setting,value\nquestion,Which?\ncurrency,EUR\nstart,2027-01\n"
    write_study(
        folder,
        study=f"{study}horizon,{months} months\ntime zone,UTC\ndiscount,0\n",
        scenarios="scenario,parts list\nbulbs,bulbs.csv\n",
        bulbs="part,quantity,price,failures\nbulb,1000,1 EUR,bulb\n",
        failures=curve(shares),
        **dict.fromkeys(("minis", "servers", "nodes", "tariffs", "fees", "one_offs", "resale", "exchange")),
    )
    lines = tco.lines(tco.compare(tco.load(folder)))
    return lines[(lines.line == "replacement") & (lines.month > 0)].value.tolist()


@pytest.mark.parametrize("name", TABLES)
def test_failures_by_month(name: str, tmp_path: Path) -> None:
    shares, printed, tolerance = TABLES[name]
    assert failures_by_month(tmp_path, shares, len(printed)) == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(("name", "steady"), [("G-B", 298.51), ("G-C", 298.51), ("G-E", 259.74)])
def test_in_the_long_run_the_fleet_over_the_mean_life(name: str, steady: float, tmp_path: Path) -> None:
    """Elementary renewal theorem; G-B and G-C have a mean life of 3.35, G-E of 3.85."""
    assert failures_by_month(tmp_path, TABLES[name][0], 300)[-1] == pytest.approx(steady, abs=0.005)


def test_costs_a_week_of_group_replacement(tmp_path: Path) -> None:
    """G-B: individual 3.00, group 0.70: cheapest every two weeks, at 737.15 a week as printed.

    Negative check: a posted solution that forgets that replacements fail too gets 485.00.
    """
    failing = failures_by_month(tmp_path, G_B, 6)
    weekly = [(3.0 * sum(failing[:n]) + 0.7 * 1000) / n for n in range(1, 7)]
    assert weekly == pytest.approx([970, 737.15, 760.96, 895.29, 881.12, 864.25], abs=0.01)
    assert abs(min(weekly) - 485.0) > 250


def test_costs_a_month_of_street_lamps(tmp_path: Path) -> None:
    """G-E: individual 60, group 25 each: cheapest every three months, at 16,685.8 a month."""
    failing = failures_by_month(tmp_path, G_E, 6)
    monthly = [(60 * sum(failing[:n]) + 25 * 1000) / n for n in range(1, 7)]
    assert monthly == pytest.approx([28000, 18575, 16685.8, 16918.8, 17014.5, 17175.7], abs=0.06)
