"""Purchases at random for random studies, and what they come to by the plainest means: one set after the other."""

from __future__ import annotations

import csv
import itertools
import math
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import tco
from tco.ask.compare import Comparison, compare
from tco.ask.offers import Bought, with_all
from tco.errors import FigureError, StockError, StudyError
from tco.purchase import offers
from tco.study import Scenario, Study
from tests.random_studies import random_study

COLUMNS = (
    "scenario", "purchase", "part", "quantity", "node", "more nodes", "in place of", "going", "client link",
    "replication link", "needs", "excludes", "most",
)  # fmt: skip
HALF_A_CENT = 0.005


def with_purchases(seed: int, folder: Path, most: int = 5) -> Study | None:
    """A random study with purchases for its first scenario; None where the reader refuses them."""
    random_study(seed, folder)
    rng = random.Random(f"purchases {seed}")
    with (folder / "parts0.csv").open(encoding="utf-8") as file:
        parts = list(csv.DictReader(file))
    with (folder / "nodes.csv").open(encoding="utf-8") as file:
        groups = [row for row in csv.DictReader(file) if row["scenario"] == "alpha"]
    names = [f"buy {number}" for number in range(rng.randint(2, most))]
    rows = [row for number in range(len(names)) for row in purchase(rng, names, number, parts, groups)]
    (folder / "purchases.csv").write_text("\n".join([",".join(COLUMNS), *rows]) + "\n", encoding="utf-8")
    try:
        return tco.load(folder)
    except StudyError:
        return None


def purchase(
    rng: random.Random, names: Sequence[str], number: int, parts: list[dict[str, str]], groups: list[dict[str, str]]
) -> Iterator[str]:
    """One purchase: a row or two."""
    own = [row for row in parts if row["part"] and not row["part"].startswith("=")]
    needs = names[rng.randrange(number)] if number and rng.random() < 0.3 else ""
    excludes = names[rng.randrange(number)] if number and rng.random() < 0.3 else ""
    excludes = "" if excludes == needs else excludes
    again = rng.choice(["", "", "2"])
    counts = {row["node"]: int(row["count"]) for row in groups}
    for line in range(rng.choice([1, 1, 2])):
        part = rng.choice(own)
        linked = [row for row in groups if row.get("client link")]
        group = rng.choice(linked or groups)["node"] if rng.random() < 0.4 else ""
        node = part["node"] or group
        more = rng.choice(["", "1", "2"]) if node else ""
        goes, going = gone(rng, own, part, int(again or 1), counts) if not line else ("", "")
        nodes = int(more) if more else counts.get(node, 1)  # that share it evenly
        client = (
            f"{rng.choice([2.5, 10])} Gbit/s"
            if node in [row["node"] for row in linked] and rng.random() < 0.4
            else ""
        )
        apart = f"{rng.choice([2.5, 10])} Gbit/s" if client and rng.random() < 0.6 else ""
        first = [needs, excludes, again] if not line else ["", "", ""]
        cells = [
            "alpha",
            names[number],
            part["part"],
            str(nodes * rng.randint(1, 3)),
            group,
            more,
            goes,
            going,
            client,
            apart,
        ]
        yield ",".join([*cells, *first])


def gone(
    rng: random.Random, own: list[dict[str, str]], part: dict[str, str], again: int, counts: dict[str, int]
) -> tuple[str, str]:
    """What goes for it and how many: no more than there are, so that two purchases together may lack some."""
    each = {row["part"]: again * counts.get(row["node"], 1) for row in own}
    enough = [row for row in own if row["part"] != part["part"] and int(row["quantity"]) >= each[row["part"]]]
    if not enough or rng.random() < 0.4:
        return "", ""
    row = rng.choice(enough[:5])
    nodes = counts.get(row["node"], 1)
    return row["part"], str(nodes * rng.randint(1, int(row["quantity"]) // each[row["part"]]))


@dataclass(frozen=True)
class Outcome:
    """One set, worked out by itself. bought: places of what is bought, in the order of candidates."""

    bought: tuple[int, ...]
    comparison: Comparison

    def measure(self, name: str) -> float:
        """A measure; NaN where there is none."""
        ground = self.comparison.built.grounds[0]
        column = ground.measure(name)
        if column.state is not None and (number := int(self.comparison.of(column.state)[0])):
            return 0.0 if column.words[number - 1].startswith(("silent", "none: met", "met")) else math.nan
        return float(self.comparison.of(column)[0])


def rolled(scenario: Scenario) -> list[Bought]:
    """Everything that may be bought, what is needed first; written anew, with nothing of tco/ask/spend_offers.py."""
    left, found = list(offers(scenario.purchases)), list[Bought]()
    while left:
        names = {one.offer.name for one in found}
        one = [offer for offer in left if all(name in names for name in offer.needs)][0]  # noqa: RUF015
        left.remove(one)
        found += [Bought(one, 0, number + 1) for number in range(one.most)]
    return found


def is_allowed(chosen: Sequence[Bought]) -> bool:
    """Whether a set has all that it needs, and nothing that is excluded."""
    names = {one.offer.name for one in chosen}
    for one in chosen:
        if not names >= set(one.offer.needs) or (names - {one.offer.name}) & set(one.offer.excludes):
            return False
        if one.number > 1 and not any(o.offer is one.offer and o.number == one.number - 1 for o in chosen):
            return False
    return True


def every_set(study: Study, scenario: Scenario) -> Iterator[Outcome]:
    """All sets that can be bought, each built and worked out anew; those that leave no figure are passed over."""
    own = rolled(scenario)
    for count in range(len(own) + 1):
        for places in itertools.combinations(range(len(own)), count):
            chosen = [own[place] for place in places]
            if is_allowed(chosen):
                try:
                    after = with_all(study, scenario, chosen)
                    yield Outcome(places, compare(replace(study, scenarios=(replace(after, baseline=True),))))
                except (StockError, FigureError):
                    continue


@dataclass(frozen=True)
class Asked:
    """What is asked of some sets. way: 1 where more is better, -1 where less is; name `needs`: the missed needs."""

    name: str
    way: float
    budget: float


def best_of(outcomes: Sequence[Outcome], asked: Asked) -> tuple[int, ...]:
    """The best set by a plain walk: feasible ones, of them the best by the goal, the cheapest, the smallest."""
    nothing = outcomes[0]
    assert nothing.bought == ()
    names = [name for name in verdicts(nothing) if not math.isnan(nothing.measure(name))]
    paid = nothing.measure("paid_at_start")
    left = []
    for one in outcomes:
        within = one.measure("paid_at_start") - paid <= asked.budget + HALF_A_CENT
        short = one.measure("places_short")
        fits = math.isnan(short) or short == 0
        met = all(not math.isnan(one.measure(name)) for name in names)
        if one.bought == () or (within and fits and met):
            left.append(one)
    scores = [(score(one, asked), one) for one in left]
    scores = [pair for pair in scores if not any(map(math.isnan, pair[0]))]
    for level in range(len(scores[0][0])):
        least = min(own[level] for own, _ in scores)
        scores = [pair for pair in scores if pair[0][level] - least <= 1e-9 * max(1.0, abs(least))]
    cheapest = min(one.measure("lcc") for _, one in scores)
    level = [one for _, one in scores if one.measure("lcc") < cheapest + HALF_A_CENT]
    return min((len(one.bought), one.bought) for one in level)[1]


def verdicts(one: Outcome) -> list[str]:
    """The needs that are judged, as measures."""
    names = [column.name for table in one.comparison.built.model.tables.values() if table.name.startswith("judged of")
             for column in one.comparison.built.model.of(table)]  # fmt: skip
    return [name for name in names if name.startswith("need_") and not name.endswith(("_short", "_from"))]


def score(one: Outcome, asked: Asked) -> tuple[float, ...]:
    """What is made small: needs first by how many are open, then by what they are short."""
    if asked.name != "needs":
        return (-asked.way * one.measure(asked.name),)
    return one.measure("needs_open"), sum(shares(one))


def shares(one: Outcome) -> Iterator[float]:
    """What each need is short as a share of what is wanted, at its worst; an unknown one is short of all."""
    comparison = one.comparison
    ground, needs = comparison.built.grounds[0], comparison.study.needs
    assert needs is not None
    for name in verdicts(one):
        field = name.removeprefix("need_")
        if field == "backup_elsewhere":
            continue
        column = ground.measure(name)
        if not ground.has_measure(f"{name}_from"):
            assert column.state is not None
            words = column.words[int(comparison.of(column.state)[0]) - 1]
            yield 0.0 if words == "met" else 1.0
            continue
        table = "months" if ground.has("months", f"short {field}") else "phases"
        short = comparison.of(ground.own(table, f"short {field}"))
        yield max(share(float(amount), wanted(comparison, field, month)) for month, amount in enumerate(short))


def share(short: float, wanted: float) -> float:
    """Short of what is wanted; of nothing: all of it."""
    return short / wanted if wanted > 0 else float(short > 0)


def wanted(comparison: Comparison, field: str, month: int) -> float:
    """What a need wants in a month, by the words of needs.csv."""
    needs = comparison.study.needs
    assert needs is not None
    if field == "circuit":
        return 1.0
    if field == "hold_data":
        return float(comparison.of(comparison.built.model["calendar.data_held"])[month])
    if field == "usable":
        return float(needs.usable or 0.0) * (1.0 + (needs.usable_growth or 0.0)) ** (month / 12)
    return float(getattr(needs, field))
