"""Studies about places and what takes them: one scenario by hand or at random, and the same counted part by part."""

from __future__ import annotations

import random
import re
import tempfile
from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path

import tco
from tco.ask.compare import Comparison
from tco.engine import Column, cell_text
from tco.model import Ground
from tco.model.fit import shortages
from tco.study import Study
from tests.studies import write_study

STUDY = "setting,value\nquestion,Which?\ncurrency,EUR\nstart,2027-01\nhorizon,24 months\ntime zone,UTC\ndiscount,0\n"
HEAD = "part,node,quantity,price,bought,leaves,capacity,provides,needs\n"
GONE = dict.fromkeys(("minis", "servers", "fees", "one_offs", "failures", "resale", "exchange", "tariffs"))


def study_of(folder: Path, parts: str, nodes: str = "mini,3") -> Study:
    """One scenario, `box`, with the parts given (price 1 EUR each), over 24 months."""
    rows = "\n".join(line.strip() for line in parts.strip().splitlines())
    counted = "".join(f"box,{line}\n" for line in nodes.split())
    write_study(
        folder, study=STUDY, scenarios="scenario,parts list\nbox,box.csv\n", box=HEAD + rows + "\n",
        nodes="scenario,node,count\n" + counted if counted else None, **GONE,
    )  # fmt: skip
    return tco.load(folder)


@dataclass(frozen=True)
class Found:
    """The one scenario of a comparison."""

    comparison: Comparison

    @property
    def ground(self) -> Ground:
        return self.comparison.built.grounds[0]

    def number(self, column: Column, row: int = 0) -> float:
        return float(self.comparison.of(column)[row])

    def fit(self) -> dict[str, tuple[float, float, float, str]]:
        """Row -> provided, needed, left, words."""
        own = [self.ground.own("fit", name) for name in ("provided", "needed", "left", "fits")]
        rows = enumerate(own[0].table.rows)
        return {
            label: (
                *(self.number(column, row) for column in own[:3]),
                cell_text(own[3], row, self.comparison.figures),
            )
            for row, label in rows
        }

    def room(self) -> dict[str, float]:
        """Label -> figure; empty where there is no such table."""
        table = self.ground.model.tables.get("room of box")
        return {column.label: self.number(column) for column in self.ground.model.of(table)} if table else {}

    def measure(self, name: str) -> str:
        return cell_text(self.ground.measure(name), 0, self.comparison.figures)

    def short(self) -> list[str]:
        return shortages(self.ground, self.comparison.figures)


def found_in(folder: Path, parts: str, nodes: str = "mini,3") -> Found:
    return Found(tco.compare(study_of(folder, parts, nodes)))


@dataclass(frozen=True)
class Row:
    """A row of a random parts list: what one provides and needs, by name, in thousandths of the name's unit."""

    node: str
    quantity: int
    bought: int
    leaves: int
    provides: dict[str, int]
    needs: dict[str, int]
    drive: bool = False


NODES = {"small": 2, "large": 3}
HORIZON = 24
UNITS = {"bay": [("", 3)], "memory": [("GB", 3), ("TB", 6), ("MB", 0)], "supply": [("W", 3), ("kW", 6)]}
SHOWN = {"bay": "bay", "memory": "memory [GB]", "supply": "supply [W]"}
# provides a little of everything, first, so that every need has a provider and every name its unit
EVERYTHING = Row("", 1, 0, HORIZON, dict.fromkeys(UNITS, 1000), {})
Sums = dict[str, tuple[float, float]]  # place -> provided, needed


def random_rows(seed: int) -> list[Row]:
    rng = random.Random(seed)

    def amounts(chance: float, most: int) -> dict[str, int]:
        return {name: rng.randint(1, most) * 100 for name in UNITS if rng.random() < chance}

    rows = [EVERYTHING, *(Row(node, count, 0, HORIZON, {}, {}) for node, count in NODES.items())]
    for _ in range(rng.randint(1, 7)):
        node, bought = rng.choice(["", *NODES]), rng.choice([0, 0, 0, 6, 12])
        leaves = rng.choice([HORIZON, HORIZON, 13, 18])
        quantity = rng.randint(0, 3) * NODES.get(node, 1)
        rows.append(Row(node, quantity, bought, leaves, amounts(0.5, 300), amounts(0.5, 60), rng.random() < 0.7))
    return rows


def as_text(rows: list[Row], seed: int) -> str:
    """The parts list, each amount but those of the first row in any unit of its kind."""
    rng = random.Random(seed)

    def amounts(of: dict[str, int], first: bool) -> str:
        texts = []
        for name, thousandths in of.items():
            unit, digits = UNITS[name][0] if first else rng.choice(UNITS[name])
            texts.append(f"{Decimal(thousandths).scaleb(-digits).normalize():f} {unit} {name}".replace("  ", " "))
        return " + ".join(texts)

    return "\n".join(
        f"part {n},{row.node},{row.quantity},1 EUR,{row.bought},{row.leaves},{'8 TB' if row.drive else ''},"
        f"{amounts(row.provides, n == 0)},{amounts(row.needs, n == 0)}"
        for n, row in enumerate(rows)
    )


def counted(rows: list[Row], month: int) -> Sums:
    """Part by part: what one node of each group provides and needs, and what all share, in a month."""
    own = {(row.node, name) for row in rows if row.quantity for name in row.provides}
    found: dict[str, list[Fraction]] = defaultdict(lambda: [Fraction(0), Fraction(0)])
    for row in rows:
        if not row.bought < month <= row.leaves:
            continue
        for which, amounts in enumerate((row.provides, row.needs)):
            for name, thousandths in amounts.items():
                inside = bool(row.node) and (which == 0 or (row.node, name) in own)
                place = f"{f'each {row.node}' if inside else 'shared'}: {SHOWN[name]}"
                for _ in range(row.quantity // NODES[row.node] if inside else row.quantity):
                    found[place][which] += Fraction(thousandths, 1000)
    return {place: (float(provided), float(needed)) for place, (provided, needed) in found.items()}


def by_month(fit: dict[str, tuple[float, float, float, str]], month: int) -> dict[str, tuple[float, ...]]:
    """The rows of the phase that a month is in, without its name."""
    found = {}
    for label, figures in fit.items():
        start, end, place = re.fullmatch(r"(?:months? (\d+)(?:–(\d+))?, )?(.*)", label).groups()
        if int(start or 1) <= month <= int(end or start or HORIZON):
            found[place] = figures
    return found


@cache
def random_fit(seed: int) -> Found:
    with tempfile.TemporaryDirectory() as folder:
        return found_in(Path(folder), as_text(random_rows(seed), seed), "small,2 large,3")
