"""What a tariff is made of: its versions, charges, blocks and periods, as formulas ask for them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from graphlib import TopologicalSorter

from tco.study import Charge, Study, Version

APART = 1000.0  # keys of charges: version x this + number


@dataclass(frozen=True)
class Tariff:
    """A tariff that is billed by charges, or beside a home whose use is known."""

    study: Study
    name: str

    @property
    def versions(self) -> tuple[Version, ...]:
        return self.study.tariffs[self.name]

    @property
    def home(self) -> str:
        """The name of the table that has the home's bill under it."""
        return f"home on {self.name}"

    @cached_property
    def rows(self) -> tuple[Charge, ...]:
        """Its charges by version, then in their order, blocks rising."""
        rows = self.study.charges.get(self.name, ())
        names = list(dict.fromkeys(row.charge for row in rows))
        return tuple(sorted(rows, key=lambda row: (row.start, names.index(row.charge), row.period, row.above)))

    @cached_property
    def pairs(self) -> tuple[tuple[str, str], ...]:
        """Charge and period, each pair once; what the keys count."""
        return tuple(dict.fromkeys((row.charge, row.period) for row in self.rows))

    def names(self) -> list[str]:
        """Its charges that are no percentages, in order."""
        return list(dict.fromkeys(row.charge for row in self.rows if row.percent is None))

    def percentages(self) -> list[str]:
        """Its charges that are percentages, each after those it is a percentage of in any version."""
        rows = [row for row in self.rows if row.percent is not None]
        of = {row.charge: {name for other in rows if other.charge == row.charge for name in other.of} for row in rows}
        return list(TopologicalSorter({name: own & set(of) for name, own in of.items()}).static_order())

    @property
    def periods(self) -> list[str]:
        """The periods that are charged apart."""
        return list(dict.fromkeys(row.period for row in self.rows if row.period))

    @property
    def tails(self) -> dict[str, str]:
        """What the names of columns end with, for all hours (empty) and for each period."""
        return {"": ""} | {period: f" {number}" for number, period in enumerate(self.periods, start=1)}

    @property
    def is_flat(self) -> bool:
        """Whether a version says one price."""
        return any(version.price is not None for version in self.versions)

    def number(self, charge: str) -> str:
        """The number by which columns name a charge."""
        return str(list(dict.fromkeys(row.charge for row in self.rows)).index(charge) + 1)

    def key(self, row: Charge) -> float:
        """The key of a row of its charges."""
        starts = [version.start for version in self.versions]
        return APART * (starts.index(row.start) + 1) + self.pairs.index((row.charge, row.period))

    def keys(self, charge: str) -> list[tuple[int, str]]:
        """The keys of a charge, as numbers, with their periods."""
        return [(number, period) for number, (name, period) in enumerate(self.pairs) if name == charge]

    def bases(self, charge: str) -> list[tuple[str, ...]]:
        """What a percentage is of, each way that its versions have."""
        return list(dict.fromkeys(row.of for row in self.rows if row.charge == charge and row.percent is not None))

    def base_number(self, charge: str, version: int) -> int:
        """Which of the ways a version (by number, from 0) has."""
        own = [row.of for row in self.rows if row.charge == charge and row.start == self.versions[version].start]
        return self.bases(charge).index(own[0]) if own else 0


def billed(study: Study, name: str) -> bool:
    """Whether a tariff's bills are worked out: one flat price without a home and own solar power needs none."""
    solar = any(scenario.solar_share for scenario in study.scenarios if scenario.tariff == name)
    return bool(name) and bool(study.charges.get(name) or study.home or solar)
