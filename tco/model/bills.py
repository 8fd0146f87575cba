"""A bill under a tariff, month by month: the same formulas for the home alone and for the home with a build.

All amounts of a version grow with its price level; thresholds and percentages do not. Blocks: sum over blocks of
(price - price of the block before) x what the month's kWh are above the block's start. Suppliers' rounding is not
modelled.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from tco import units
from tco.engine import Column, Constant, Model, Node, Table, added, call
from tco.model.tariff import Tariff
from tco.units import unit

Energy = Callable[[str], Column]  # a period (empty: all hours) -> kWh of each month in it
NONE_DRAWN = "none: no kWh"


@dataclass(frozen=True)
class Payer:
    """Whose bill it is: the table its columns go to, what is drawn by period, the highest power (None: not stated).

    prefix, said: before the names and after the labels of its columns, where a table has several bills.
    """

    model: Model
    tariff: Tariff
    table: Table
    energy: Energy
    peak: Node | None
    prefix: str = ""
    said: str = ""

    def put(self, name: str, label: str, formula: Node) -> Column:
        """One column of the bill, in money."""
        return self.model.column(self.table, self.prefix + name, label + self.said, self.money, formula)

    @property
    def money(self) -> str:
        return self.tariff.study.settings.currency

    def home(self, name: str) -> Column:
        """A column of the table with the home's bill, where keys and hours stand."""
        return self.model[f"{self.tariff.home}.{name}"]

    @property
    def level(self) -> Column:
        return self.model[f"calendar.level {self.tariff.name}"]


def bill(payer: Payer) -> Column:
    """A bill's charges, each a column, and what they come to."""
    tariff, costs = payer.tariff, dict[str, Column]()
    if tariff.is_flat:
        price = of_version(payer, "price") * payer.energy("")
        costs[""] = payer.put("charge price", "price", payer.level * price)
    for charge in tariff.names():
        costs[charge] = payer.put(f"charge {tariff.number(charge)}", charge, payer.level * cost(payer, charge))
    subtotal: Node = added(list(costs.values()))
    if any(version.minimum is not None for version in tariff.versions):
        least = payer.level * of_version(payer, "minimum") * payer.model["calendar.billed"]
        missing = call(
            "where", payer.home("has_minimum"), call("larger", least - subtotal, money(payer)), money(payer)
        )
        subtotal = subtotal + payer.put("minimum", "up to the minimum", missing)
    if percents := tariff.percentages():
        whole = payer.put("subtotal", "charges before percentages", subtotal)
        for charge in percents:
            share = sum_of_kind(payer, charge, "percent") * base(payer, charge, whole, costs)
            costs[charge] = payer.put(f"charge {tariff.number(charge)}", charge, share)
        subtotal = added([whole, *(costs[charge] for charge in percents)])
    return payer.put("bill", "bill", subtotal)


def money(payer: Payer) -> Node:
    """No money."""
    return Constant(0.0, unit(payer.money))


def of_version(payer: Payer, name: str) -> Node:
    """What the version that holds in a month says; 0 where it says nothing."""
    tariff = f"tariff {payer.tariff.name}"
    held = payer.model[f"calendar.version {payer.tariff.name}"]
    return call("look_up", held, payer.model[f"{tariff}.version"], payer.model[f"{tariff}.{name}"])


def cost(payer: Payer, charge: str) -> Node:
    """What a charge that is no percentage comes to in a month, before its version's price level."""
    rows, model = [row for row in payer.tariff.rows if row.charge == charge], payer.model
    terms: list[Node] = []
    for kind, times in (("fixed", "billed"), ("fixed_day", "days")):
        if any(getattr(row, kind) is not None for row in rows):
            terms.append(sum_of_kind(payer, charge, kind) * model[f"calendar.{times}"])
    if any(row.capacity is not None for row in rows) and payer.peak is not None:
        terms.append(sum_of_kind(payer, charge, "capacity") * payer.peak * model["calendar.billed"])
    if any(row.price is not None for row in rows):
        terms += [by_blocks(payer, number, payer.energy(period)) for number, period in payer.tariff.keys(charge)]
    return added(terms) if terms else money(payer)


def sum_of_kind(payer: Payer, charge: str, kind: str) -> Node:
    """What a charge says in one column, by the version that holds."""
    table = f"charges {payer.tariff.name}"
    amounts, keys = payer.model[f"{table}.{kind}"], payer.model[f"{table}.key"]
    found = [call("sum_where", amounts, keys, payer.home(f"key {n}")) for n, _ in payer.tariff.keys(charge)]
    return added(found)


def by_blocks(payer: Payer, number: int, energy: Column) -> Node:
    """The kWh of a month by its blocks; blocks by the day hold for each of its days."""
    table, model = f"charges {payer.tariff.name}", payer.model
    steps = (payer.home(f"key {number}"), *(model[f"{table}.{name}"] for name in ("key", "above", "rise")))
    if f"{payer.tariff.home}.block_count" not in model.columns:
        return call("steps_above", energy, *steps)
    count = payer.home("block_count")
    return count * call("steps_above", energy / count, *steps)


def base(payer: Payer, charge: str, whole: Column, costs: dict[str, Column]) -> Node:
    """What a percentage is of: named charges, or all."""
    ways = [sum_named(names, whole, costs) for names in payer.tariff.bases(charge)]
    found = ways[0]
    for number, way in enumerate(ways[1:], start=1):
        choice = payer.home(f"base {payer.tariff.number(charge)}")
        found = call("where", call("at_least", choice, float(number)), way, found)
    return found


def sum_named(names: Sequence[str], whole: Column, costs: dict[str, Column]) -> Node:
    """The named charges added up; the whole without names."""
    return added([costs[name] for name in names] if names else [whole])


def energy_of(model: Model, tariff: Tariff, table: Table, prefix: str = "") -> Energy:
    """The columns of a table that say what is drawn, by period."""

    def of(period: str) -> Column:
        return model[f"{table.name}.{prefix}energy{tariff.tails[period]}"]

    return of


def is_nothing(energy: Node | Column) -> Node:
    """1 where there are no kWh."""
    return call("where", call("more_than", energy, Constant(0.0, unit("kWh"))), 0.0, 1.0)


def unit_price(model: Model, table: Table, name: str, label: str, amount: Column, energy: Node | Column) -> None:
    """Money over kWh, and words where there are none."""
    none = is_nothing(energy)
    state = model.column(table, f"{name}_state", f"{label}: why there is none (0: there is)", "", none)
    safe = energy + Constant(1.0, unit("kWh")) * state
    assert amount.unit is not None
    money = f"{units.written(amount.unit)}/kWh"
    model.column(table, name, label, money, amount / safe, state=state, words=(NONE_DRAWN,))
