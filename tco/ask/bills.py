"""The home's bill without a build, with it, and the difference, month by month: the rows of bills.csv."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tco.ask.compare import Comparison
from tco.engine import Column
from tco.model import Ground
from tco.model.marginal import has_bill
from tco.model.tariff import Tariff
from tco.units import written

BILL_HEADER = ("scenario", "month", "kind", "item", "home", "with_build", "difference", "unit")
NOTHING = ""  # an empty cell: there is no such figure
Cell = float | str
Row = tuple[str, int, str, str, Cell, Cell, Cell, str]


@dataclass(frozen=True)
class Item:
    """What a bill has a line for: without the build, with it, and the difference; None where there is no such figure.

    kind: `use` (kWh), `power` (kW), `charge`, `bill` (money), `price` (money per kWh).
    """

    kind: str
    name: str
    home: Column | None = None
    with_build: Column | None = None
    difference: Column | None = None


def items(ground: Ground) -> list[Item]:
    """The lines of a scenario's bill, in the order in which bills have them; none without a tariff."""
    if not ground.scenario.tariff:
        return []
    if not has_bill(ground):
        flat = ground.month(f"price {ground.scenario.tariff}")
        paid = ground.month("electricity")
        return [
            Item("use", "all", difference=ground.month("energy")),
            Item("charge", "price", difference=paid),
            Item("bill", "total", difference=paid),
            Item("price", "marginal", difference=flat),
        ]
    tariff = Tariff(ground.study, ground.scenario.tariff)
    found = [both(ground, tariff, "use", name or "all", f"energy{tail}") for name, tail in tariff.tails.items()]
    found += [both(ground, tariff, "power", "peak", "peak")] if ground.has("bill", "peak") else []
    found += [both(ground, tariff, "charge", name, column) for name, column in charges(tariff)]
    found += [both(ground, tariff, "bill", "minimum", "minimum")] if ground.has("bill", "minimum") else []
    total = both(ground, tariff, "bill", "total", "bill")
    found.append(Item("bill", "total", total.home, total.with_build, ground.own("bill", "difference")))
    if ground.has("bill", "not_sold"):
        found.append(Item("bill", "own solar power not sold", difference=ground.own("bill", "not_sold")))
    found.append(
        Item("price", "average", at_home(ground, tariff, "average_price"), ground.own("bill", "average_price"))
    )
    found.append(Item("price", "marginal", difference=ground.own("bill", "marginal_price")))
    return found


def charges(tariff: Tariff) -> list[tuple[str, str]]:
    """Each charge with its column, in the order of charges.csv; a flat price goes first."""
    flat = [("price", "charge price")] if tariff.is_flat else []
    names = [*tariff.names(), *tariff.percentages()]
    return [*flat, *((name, f"charge {tariff.number(name)}") for name in names)]


def both(ground: Ground, tariff: Tariff, kind: str, name: str, column: str) -> Item:
    """A line that stands on the bill without and on the one with the build."""
    return Item(kind, name, at_home(ground, tariff, column), ground.own("bill", column))


def at_home(ground: Ground, tariff: Tariff, column: str) -> Column:
    """A column of the home's own bill."""
    return ground.model[f"{tariff.home}.{column}"]


def bill_rows(comparison: Comparison) -> Iterator[Row]:
    """(scenario, month, kind, item, home, with_build, difference, unit) of every line of every month's bill."""
    for ground in comparison.built.grounds:
        lines = [(item, *figures(comparison, item)) for item in items(ground)]
        for month in range(1, ground.horizon + 1):
            for item, unit, shown in lines:
                yield ground.scenario.scenario, month, item.kind, item.name, *shown[month], unit


def figures(comparison: Comparison, item: Item) -> tuple[str, list[tuple[Cell, Cell, Cell]]]:
    """A line's unit and its three figures by month; what is on both bills differs by their difference."""
    columns = (item.home, item.with_build, item.difference)
    home, with_build, own = (cells(comparison, column) for column in columns)
    if item.difference is None and item.kind != "price":
        own = [_less(one, other) for one, other in zip(with_build, home, strict=True)]
    unit = next(column.unit for column in columns if column is not None)
    size = max(map(len, (home, with_build, own)))
    filled = [found or [NOTHING] * size for found in (home, with_build, own)]
    return written(unit), list(zip(*filled, strict=True))


def cells(comparison: Comparison, column: Column | None) -> list[Cell]:
    """A column's figures by month; empty text where there is none, nothing at all without a column."""
    if column is None:
        return []
    values = [float(value) for value in comparison.of(column)]
    if column.state is None:
        return list(values)
    return [NOTHING if state else value for value, state in zip(values, comparison.of(column.state), strict=True)]


def _less(one: Cell, other: Cell) -> Cell:
    """The difference of two figures."""
    return one - other if isinstance(one, float) and isinstance(other, float) else NOTHING
