"""What growth, all on day one and renting come to: room, months above it, what is paid when, savings by line."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tco.ask.grow import GROW, Growth, Way
from tco.ask.grow_turns import Step, more_than
from tco.engine import Array
from tco.model import LINES, Ground

INTEREST = "interest"  # what paying later is worth beside the amounts themselves


@dataclass(frozen=True)
class Above:
    """The months of a way whose data are more than its room: how many, the first, by how much at worst [TB]."""

    months: int
    first: int | None
    most: float


@dataclass(frozen=True)
class Saving:
    """What one way costs less than another (negative: more): life-cycle cost, undiscounted, a month, by line.

    lines: line -> undiscounted; `interest` is what discounting makes of them, so that all add up to lcc.
    """

    lcc: float
    undiscounted: float
    month: float
    lines: dict[str, float]


def data(found: Growth) -> Array:
    """The data held in each month [TB], month 0 first."""
    return found.comparison.of(found.ways[0].ground.month("data_held"))


def room(found: Growth, way: Way) -> Array | None:
    """What a way may hold in each month [TB]; None where it does not say."""
    if way.ground.has("months", "recommended"):
        return found.comparison.of(way.ground.month("recommended"))
    return None if way.plan is None else np.zeros(len(data(found)))


def above(found: Growth, way: Way) -> Above | None:
    """When a way holds more than its room; None where its room is not known."""
    own = room(found, way)
    if own is None:
        return None
    held = data(found)
    months = [month for month in range(len(held)) if more_than(held[month], own[month])]
    most = max((float(held[month] - own[month]) for month in months), default=0.0)
    return Above(len(months), months[0] if months else None, most)


def left_over(found: Growth, way: Way) -> float | None:
    """The room that is not used in the last month [TB]; None where the room is not known."""
    own = room(found, way)
    return None if own is None else max(0.0, float(own[-1] - data(found)[-1]))


def paid(found: Growth, plan: int, step: Step) -> float:
    """What a purchase costs in its month: all that comes, at its price then, with tax and shipping."""
    ground = grown(found, plan).ground
    return float(found.comparison.of(ground.part("outlay"))[paid_rows(ground, step)].sum())


def paid_rows(ground: Ground, step: Step) -> list[int]:
    """The rows of the parts list that a purchase brings; what another one sends away later has a row of its own."""
    mine = [f"{row.part} ({step.bought.name})" for row in step.bought.offer.rows]
    starts = tuple(f"{name} (until " for name in mine)
    names = [part.part for part in ground.scenario.parts]
    return [number for number, name in enumerate(names) if name in mine or name.startswith(starts)]


def cash(found: Growth, way: Way) -> Array:
    """What changes hands in each month, income negative, shape (months,)."""
    return np.sum([found.comparison.of(way.ground.month(line.name)) for line in LINES if line.cash], axis=0)  # type: ignore[no-any-return]


def years(found: Growth) -> list[str]:
    """The years of the study: `start`, `year 1` and on."""
    return list(found.ways[0].ground.own("years", "year").table.rows)


def cash_by_year(found: Growth, way: Way) -> Array:
    """What changes hands in each year, the start first, shape (years,)."""
    by_line = [found.comparison.of(way.ground.own("years", line.name)) for line in LINES if line.cash]
    return np.sum(by_line, axis=0)  # type: ignore[no-any-return]


def saving(found: Growth, one: Way, other: Way) -> Saving:
    """What one way costs less than another."""
    names = ("lcc", "undiscounted", "equivalent_month")
    lcc, total, month = (measure(found, other, name) - measure(found, one, name) for name in names)
    totals = {line.name: f"total_{line.name}" for line in LINES}
    lines = {name: measure(found, other, key) - measure(found, one, key) for name, key in totals.items()}
    return Saving(lcc, total, month, {**lines, INTEREST: lcc - total})


def measure(found: Growth, way: Way, name: str) -> float:
    """One measure of a way."""
    return found.comparison.measure(way.ground, name)


def month_name(found: Growth, month: int) -> str:
    """`the start`, or the calendar month: `2028-03`."""
    return found.ways[0].ground.months.rows[month] if month else "the start"


def grown(found: Growth, plan: int) -> Way:
    """The way as data grow of one plan."""
    return next(way for way in found.ways if way.plan == plan and way.kind == GROW)
