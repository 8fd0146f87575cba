"""What a model's formulas rest on beside its numbers: which parts are there at all, and what they state.

Sets of purchases that are alike in this share one model, in which quantities and links vary. What is listed here is
what the modules of tco/model look at when they build formulas: power.py and supplies.py (what a measurement or a
supply covers), pools.py, ceilings.py (what is not stated), site.py (what is heard), fit.py (in whose places a need is
met).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from tco.ask.spend_offers import Flags
from tco.ask.spend_stock import Outcome, Stock
from tco.engine import Array
from tco.model.measured import measured_nodes
from tco.study import Part

WAYS = ("read", "write")


def shapes(stock: Stock, outcome: Outcome) -> list[Array]:
    """Sets that share a model: the places of each kind's sets, kinds in the order in which they come."""
    keys = np.stack(list(marks(stock, outcome)), axis=1)
    _, first, kind = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    return [np.flatnonzero(kind.ravel() == number) for number in np.argsort(first)]


def marks(stock: Stock, outcome: Outcome) -> Iterator[Flags]:
    """All that must be alike, one after the other, shape (sets,)."""
    there = outcome.quantity > 0
    yield np.ones(len(there), dtype=bool)
    yield from measured(stock, there)
    yield from supplied(stock, there)
    yield from pooled(stock, there)
    yield from linked(stock, outcome)
    yield from heard(stock, there)
    yield from placed(stock, there)


def any_of(there: Flags, rows: Iterable[int]) -> Flags:
    """Whether any of some rows is there, shape (sets,)."""
    return np.asarray(there[:, list(rows)].any(axis=1), dtype=bool)


def measured(stock: Stock, there: Flags) -> Iterator[Flags]:
    """When the parts were bought, and leave, that a measured node was measured with; new nodes come at the start."""
    names = {node.node for node in measured_nodes(stock.scenario)}
    times = {(part.node, part.bought, part.leaves) for part in stock.scenario.parts if part.node in names}
    for time in sorted(times, key=repr):
        yield any_of(there, (row for row, part in enumerate(stock.parts)
                             if (part.node, part.bought, part.leaves) == time and not part.on_top))  # fmt: skip


def supplied(stock: Stock, there: Flags) -> Iterator[Flags]:
    """Which nodes have parts whose watts are counted behind a supply, and which supplies."""
    for name in sorted({part.node for part in stock.parts if part.watts_at == "supply"}):
        own = [row for row, part in enumerate(stock.parts) if part.node == name]
        yield any_of(there, (row for row in own if stock.parts[row].watts_at == "supply"))
        yield from (there[:, row] for row in own if stock.parts[row].efficiency)


def pooled(stock: Stock, there: Flags) -> Iterator[Flags]:
    """Which pools have drives, and whether any of all those does not state what a ceiling rests on."""
    groups = {node.node for node in stock.nodes}
    drives = [row for row, part in enumerate(stock.parts) if part.node in groups and part.pool]
    for pool in stock.scenario.pools:
        yield any_of(there, (row for row in drives if stock.parts[row].pool == pool.pool))
    for way in WAYS:
        yield any_of(there, (row for row in drives if getattr(stock.parts[row], way) is None))
    unlinked = {node.node for node in stock.nodes if node.client_link is None}
    yield any_of(there, (row for row in drives if stock.parts[row].node in unlinked))


def linked(stock: Stock, outcome: Outcome) -> Iterator[Flags]:
    """Which groups of nodes have links to each other, where that is not as the scenario states it.

    A link to clients never comes where there was none.
    """
    for group, node in enumerate(stock.nodes):
        has_link = ~np.isnan(outcome.links["replication_link"][:, group])
        yield outcome.there[:, group] & (has_link != (node.replication_link is not None))


def heard(stock: Stock, there: Flags) -> Iterator[Flags]:
    """Whether any part draws power without a sound level, of its own or of its node's; whether any is loud."""
    groups = {node.node for node in stock.nodes if node.measured_idle is not None or node.log}
    unheard = np.zeros(len(there), dtype=bool)
    for row, part in enumerate(stock.parts):
        draws = max(part.idle, part.busy or 0.0) > 0 or part.node in groups
        if draws and part.noise_idle is None:
            beside = (other for other, own in enumerate(stock.parts)
                      if own.node == part.node != "" and own.noise_idle is not None)  # fmt: skip
            unheard |= there[:, row] & ~any_of(there, beside)
    yield unheard
    for busy in (False, True):
        yield any_of(there, (row for row, part in enumerate(stock.parts) if level(part, busy=busy)))


def level(part: Part, *, busy: bool) -> float | None:
    """The sound level that a part states."""
    return part.noise_busy if busy and part.noise_busy is not None else part.noise_idle


def placed(stock: Stock, there: Flags) -> Iterator[Flags]:
    """Which places a node's parts need while none of its own provides them; whether any part says what it takes."""
    yield any_of(there, (row for row, part in enumerate(stock.parts) if part.provides or part.needs))
    for node, name in sorted({(part.node, one.name) for part in stock.parts for one in part.needs if part.node}):
        own = [row for row, part in enumerate(stock.parts) if part.node == node]
        needing = (row for row in own if name in [one.name for one in stock.parts[row].needs])
        giving = (row for row in own if name in [one.name for one in stock.parts[row].provides])
        yield any_of(there, needing) & ~any_of(there, giving)
