"""What a scenario's pools, nodes and drives are in each phase of its equipment, from its tables alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import fsum

from tco.ask.compare import Comparison
from tco.ask.practice.rule import NotStated, Told
from tco.ask.practice.words import spans
from tco.engine import absent
from tco.model import Ground
from tco.model.measured import measured_nodes
from tco.model.phases import is_there, starts
from tco.study import Node, Part, Pool, Scenario

POOLS = NotStated("pools (pools.csv), with `pool` and `capacity` of each drive in the parts list")
UNKNOWN = "unknown: "  # how a measure begins to say which input is missing
WATTS = NotStated("`idle` or `busy` of parts (parts list), or `measured idle` of nodes (nodes.csv)")
NODES = NotStated("groups of nodes (nodes.csv, and `node` in the parts list)")


@dataclass(frozen=True)
class Spread:
    """A pool in one phase: its drives, what each of its nodes holds, by group, and what the model makes of them, TB.

    raw: all of its capacity; piece: the most for each piece of all data, 0 with too few nodes; after_loss: the same
    without the largest node.
    """

    pool: Pool
    drives: tuple[Part, ...]
    groups: tuple[tuple[Node, float], ...]
    raw: float
    piece: float
    after_loss: float

    @property
    def data(self) -> int:
        """k: how many pieces restore the whole; 1 for copies."""
        return 1 if self.pool.copies is not None else self.pool.data or 1

    @property
    def pieces(self) -> int:
        """p: copies, or data + parity."""
        return self.pool.copies if self.pool.copies is not None else self.data + (self.pool.parity or 0)

    @property
    def scheme(self) -> str:
        """`3 copies`, or `4 + 2 pieces`."""
        copies = self.pool.copies
        if copies is None:
            return f"{self.data} + {self.pieces - self.data} pieces"
        return f"{copies} copies" if copies != 1 else "1 copy"

    @property
    def nodes(self) -> int:
        return sum(node.count for node, _ in self.groups)

    @property
    def room_after_loss(self) -> float:
        """What the others can hold without the largest node, full to the last byte."""
        return self.data * self.after_loss


def there(ground: Ground, month: int) -> list[Part]:
    """The parts that are of use in a month."""
    return [part for part in ground.scenario.parts if part.quantity and is_there(part, month, ground.horizon)]


def spread(comparison: Comparison, ground: Ground, pool: Pool, phase: int) -> Spread:
    """A pool in a phase, counted from 0; it must have drives in some phase."""
    parts = there(ground, starts(ground.scenario, ground.horizon)[phase])
    drives = tuple(part for part in parts if part.pool == pool.pool)
    groups = []
    for node in ground.scenario.nodes:
        held = [part.quantity * (part.capacity or 0.0) for part in drives if part.node == node.node]
        groups += [(node, fsum(held) / node.count)] if held else []
    columns = (ground.own(f"pool {pool.pool}", name) for name in ("raw", "piece", "after_loss"))
    return Spread(pool, drives, tuple(groups), *(float(comparison.of(column)[phase]) for column in columns))


def spreads(comparison: Comparison, ground: Ground, phase: int) -> list[Spread]:
    """Every pool that has drives in a phase."""
    used = {part.pool for part in ground.scenario.parts if part.quantity}
    found = [spread(comparison, ground, pool, phase) for pool in ground.scenario.pools if pool.pool in used]
    return [one for one in found if one.drives]


def by_phase(ground: Ground, find: Callable[[Sequence[Part]], Iterable[Told]]) -> Iterator[Told]:
    """What is found among the parts of each phase; see phase_by_phase."""
    months = starts(ground.scenario, ground.horizon)
    yield from phase_by_phase(ground, lambda phase: find(there(ground, months[phase])))


def phase_by_phase(ground: Ground, find: Callable[[int], Iterable[Told]]) -> Iterator[Told]:
    """What is found in each phase, said once; with its months where it does not hold all the time."""
    first = starts(ground.scenario, ground.horizon)
    months: dict[Told, list[int]] = {}
    for phase, (begin, after) in enumerate(zip(first, [*first[1:], ground.horizon + 1], strict=True)):
        for told in dict.fromkeys(find(phase)):
            months.setdefault(told, []).extend(range(begin, after))
    for told, own in months.items():
        always = isinstance(told, NotStated) or len(own) == ground.horizon
        yield told if always else f"{str(told).removesuffix('.')} ({spans(own, ground.horizon)})."


def each_pool(comparison: Comparison, ground: Ground, find: Callable[[Spread], Iterable[Told]]) -> Iterator[Told]:
    """What is found of each pool in each phase; without pools there is nothing to look at."""
    if not ground.scenario.pools:
        yield POOLS
        return
    yield from phase_by_phase(
        ground, lambda phase: [told for one in spreads(comparison, ground, phase) for told in find(one)]
    )


def each_storage_node(ground: Ground, find: Callable[[Node, Sequence[Part]], Iterable[Told]]) -> Iterator[Told]:
    """What is found of each group of nodes with drives of a pool, among the parts of each phase."""
    if not ground.scenario.pools:
        yield POOLS
        return

    def among(parts: Sequence[Part]) -> list[Told]:
        nodes = groups_there(ground, [part for part in parts if part.pool])
        return [told for node in nodes for told in find(node, parts)]

    yield from by_phase(ground, among)


def groups_there(ground: Ground, parts: Sequence[Part]) -> list[Node]:
    """The groups of nodes of which some part is there."""
    names = {part.node for part in parts}
    return [node for node in ground.scenario.nodes if node.node in names]


def most_held(ground: Ground, node: Node) -> float:
    """The most capacity that one node of a group has at any time, TB."""

    def held(month: int) -> float:
        return fsum(part.quantity * (part.capacity or 0.0) for part in there(ground, month) if part.node == node.node)

    return max(held(month) for month in starts(ground.scenario, ground.horizon)) / node.count


def is_drive(part: Part) -> bool:
    """Whether the parts list says what only drives have."""
    return bool(part.pool) or part.capacity is not None or part.endurance is not None


def powered(scenario: Scenario) -> list[Part]:
    """The parts that draw power: by their watts, or those of a measured node of which none has any."""
    used = [part for part in scenario.parts if part.quantity]
    watts = {part.part for part in used if max(part.idle, part.busy or 0.0) > 0}
    known = {part.node for part in used if part.part in watts}
    measured = {node.node for node in measured_nodes(scenario)} - known
    return [part for part in used if part.part in watts or part.node in measured]


def can_fail(scenario: Scenario) -> list[Part]:
    """The parts that draw power or hold data; cables and shelves are left out."""
    draw = {part.part for part in powered(scenario)}
    return [part for part in scenario.parts if part.quantity and (part.part in draw or is_drive(part))]


def leaving(ground: Ground, part: Part) -> int:
    """The month at whose end a part leaves."""
    return ground.horizon if part.leaves is None else part.leaves


def measured(comparison: Comparison, ground: Ground, name: str) -> float | NotStated | None:
    """A measure of a scenario; NotStated where an input is missing, None where there is no such figure."""
    column = ground.measure(name)
    reason = absent(column, 0, comparison.figures)
    if reason:
        missing = reason.removeprefix(UNKNOWN)
        return NotStated(f"{column.label}: {missing}") if missing != reason else None
    return comparison.measure(ground, name)
