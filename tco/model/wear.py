"""Wear: what the host writes to one unit of each row of a parts list, and when it is worn.

A rating in TB written counts what the host writes (JESD218); write amplification is in the rating already. Bytes
follow data: what clients write to a pool, times its copies (or pieces over data pieces) and its overhead, goes to its
nodes by what they hold of it, and within a node by capacity. A drive that takes all writes first gets them all.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import fsum

import numpy as np

from tco.model.ground import Ground
from tco.model.phases import is_there, starts
from tco.model.renewal import LONG, Floats, Months
from tco.study import Part, Pool, Scenario


def worn_after(part: Part, bought: int, writes: Floats | None, months: int) -> Months:
    """For one that comes 0..months months after month `bought`: in which of its months it is worn, or LONG.

    writes: TB written to one in each month 0..H of the study; None where that is not known.
    """
    lasts = np.full(months + 1, LONG)
    if part.life is not None:
        lasts[:] = part.life - part.age
    if part.endurance is None or writes is None:
        return lasts
    so_far = np.cumsum(writes)
    came = bought + np.arange(months + 1)
    wanted = so_far[came] + (part.endurance - part.written_before) * (
        1 - 1e-12
    )  # reached but for rounding is reached
    month = np.searchsorted(so_far, wanted)
    found: Months = np.minimum(lasts, np.where(month < len(so_far), month - came, LONG))
    return found


def host_writes(ground: Ground, part: Part) -> Floats | None:
    """TB that the host writes to one of a part in each month 0..H; None where neither it nor its pool says it."""
    a_day, hours = written_a_day(ground.scenario, ground.horizon, part), ground.month("hours").values
    if a_day is None or hours is None:
        return None
    found: Floats = a_day * hours / 24 / 1000
    return found


def written_a_day(scenario: Scenario, horizon: int, part: Part) -> Floats | None:
    """GB that the host writes to one of a part a day, by month 0..H; None where it is not known."""
    if part.written is not None:
        return np.full(horizon + 1, part.written)
    pool = next((pool for pool in scenario.pools if pool.pool in (part.pool, part.takes_first)), None)
    if pool is None or pool.written is None:
        return None
    found = np.zeros(horizon + 1)
    for first in starts(scenario, horizon):
        found[first:] = pool.written * amplified(pool) * share(scenario, horizon, pool, part, first)
    return found


def amplified(pool: Pool) -> float:
    """Bytes written for each byte of the clients, over all nodes of a pool."""
    return pool.overhead * pieces(pool) / (pool.data or 1)


def pieces(pool: Pool) -> int:
    """The nodes over which each byte is laid: copies, or data and parity pieces."""
    return pool.copies if pool.copies is not None else (pool.data or 0) + (pool.parity or 0)


def share(scenario: Scenario, horizon: int, pool: Pool, part: Part, month: int) -> float:
    """The share of what is written to a pool that goes to one of a part in a month."""
    there = [one for one in scenario.parts if one.quantity and is_there(one, month, horizon)]
    if part.takes_first:
        first = sum(one.quantity for one in there if one.takes_first == pool.pool)
        return 1 / first if first else 0.0
    counts = {node.node: node.count for node in scenario.nodes}
    held = {name: capacity(there, pool, name) / count for name, count in counts.items()}
    piece = a_piece([(held[name], counts[name]) for name in held if held[name]], pieces(pool))
    own = held.get(part.node, 0.0)
    if not piece or not own:
        return 0.0
    return min(own, piece) / (pieces(pool) * piece) * (part.capacity or 0.0) / own


def capacity(parts: Sequence[Part], pool: Pool, node: str) -> float:
    """What the drives of a pool in a group of nodes hold together [TB]."""
    return fsum(one.quantity * (one.capacity or 0.0) for one in parts if one.pool == pool.pool and one.node == node)


def a_piece(nodes: Sequence[tuple[float, int]], wanted: int) -> float:
    """The largest U with sum of min(c, U) >= wanted x U over nodes of capacity c [TB]; 0 for too few; see pools.py.

    nodes: capacity of one, and how many there are like it.
    """
    each = np.sort([size for size, count in nodes for _ in range(count)])[::-1]
    if len(each) < wanted:
        return 0.0
    left = np.sum(each) - np.concatenate([[0.0], np.cumsum(each)])[:wanted]
    return float((left / (wanted - np.arange(wanted))).min())
