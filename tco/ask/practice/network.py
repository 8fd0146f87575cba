"""Checks of links and switches."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tco.ask.compare import Comparison
from tco.ask.practice.cluster import NODES, by_phase, groups_there, most_held
from tco.ask.practice.rule import PRACTICE, NotStated, Rule, Told
from tco.ask.practice.words import counted, number
from tco.model import Ground
from tco.study import Node, Part

ORDER = 10
VERY_SLOW = 1.0  # Gbit/s a node: common practice, no source
SLOW = 2.5  # Gbit/s a node: common practice, no source
MB_PER_GBIT = 125.0
LINKS = NotStated("`client link` of each group of nodes (nodes.csv)")
PORTS = NotStated("what the switch `provides`, such as `8 ports` (parts list)")


def very_slow(_: Comparison, ground: Ground) -> Iterator[Told]:
    """Links of 1 Gbit/s or less."""
    return links(ground, 0.0, VERY_SLOW)


def slow(_: Comparison, ground: Ground) -> Iterator[Told]:
    """Links above 1 and below 2.5 Gbit/s."""
    return links(ground, VERY_SLOW, SLOW)


def links(ground: Ground, above: float, end: float) -> Iterator[Told]:
    """Links of nodes in a range of speeds; its end belongs to it only for the slowest."""
    if not ground.scenario.nodes:
        yield NODES
    for node in ground.scenario.nodes:
        if node.client_link is None:
            yield LINKS
        for speed, way in ((node.client_link, "to clients"), (node.replication_link, "to the other nodes")):
            if speed is not None and above < speed <= end and speed < SLOW:
                yield slow_link(ground, node, speed, way)


def slow_link(ground: Ground, node: Node, speed: float, way: str) -> str:
    """What a link lets through, and how long all of a node takes over it."""
    rate = speed * MB_PER_GBIT
    told = f"Each '{node.node}' has a link {way} of {number(speed)} Gbit/s, {number(rate)} MB/s at most"
    held = most_held(ground, node)
    hours = held * 1e6 / rate / 3600
    return (
        f"{told}: the {number(held)} TB of one take at least {number(hours)} h to cross it." if held else f"{told}."
    )


def one_switch(_: Comparison, ground: Ground) -> Iterator[Told]:
    """A single shared part that provides ports, where there are several nodes."""
    if not ground.scenario.nodes:
        yield NODES
        return
    yield from by_phase(ground, lambda parts: switches(ground, parts))


def switches(ground: Ground, parts: Sequence[Part]) -> Iterator[Told]:
    """The same among the parts that are there."""
    nodes = sum(node.count for node in groups_there(ground, parts))
    shared = [p for p in parts if not p.node and any(amount.name.startswith("port") for amount in p.provides)]
    if nodes < 2:
        return
    if not shared:
        yield PORTS
    elif sum(part.quantity for part in shared) == 1:
        yield f"Every path between {counted(nodes, 'node')} and to clients leads through one '{shared[0].part}'."


RULES = (
    Rule(
        "link of 1 Gbit/s or less",
        "links of nodes to clients and to each other",
        "One hard drive alone reads more than 1 Gbit/s carries, so the network is what everybody waits for, and "
        "recovery after a loss takes days in which one more loss may be fatal.",
        f"{PRACTICE}: {VERY_SLOW:g} Gbit/s a node is too slow for replicated storage; the hours are arithmetic",
        very_slow,
    ),
    Rule(
        "link below 2.5 Gbit/s",
        "links of nodes to clients and to each other",
        "Copies travel over the same links as what people read and write; below 2.5 Gbit/s a single drive fills one.",
        f"{PRACTICE}: {SLOW:g} Gbit/s a node is what such clusters begin with; the hours are arithmetic",
        slow,
    ),
    Rule(
        "one switch",
        "shared parts that provide ports",
        "Nodes that cannot reach each other stop writing, however many copies there are: when the switch or its "
        "supply fails, all of it stands still until another one is there.",
        f"{PRACTICE}: no single part on every path, or a spare one at hand",
        one_switch,
    ),
)
