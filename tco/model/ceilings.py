"""Throughput ceilings: the most that clients can read or write before a drive or a link is at its rate.

Bytes follow data. A node with share s of a pool's raw bytes takes share s of its traffic, a drive its part of that by
capacity; a pool gets its share of all traffic. Per byte of a client, with k data and p pieces:

    reading   drive s           link shared  s (1 + (k - 1) / k)   apart  clients s, replication s (k - 1) / k
    writing   drive s p / k     link shared  s (1 + (p - 1) / k)   apart  clients s, replication s (p - 1) / k

A ceiling is rate over bytes, the smallest of all; equal nodes give n x rate / copies and so on. It is no promise.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from tco.engine import Column, Constant, Node, added, at, call, least
from tco.engine.nodes import as_node, in_unit, plain
from tco.model.ground import Ground
from tco.model.phases import in_use
from tco.model.pools import FEW_NODES, NOTHING, TINY, Group, Scheme, in_words
from tco.units import unit

NO_LIMIT = Constant(1e9, unit("MB/s"))  # stands for the limit of what takes no traffic
DOES = {"read": "reading", "write": "writing"}


@dataclass(frozen=True)
class Resource:
    """A drive or a link that may be the bottleneck: its words, and the column of what it lets clients have."""

    words: str
    limit: Column


def rate(ground: Ground, row: int, way: str) -> Node:
    """What a drive reads or writes, less what an operating system on it takes."""
    own = at(ground.part(way), row)
    return own * (1.0 - ground.setting("system_takes")) if ground.scenario.parts[row].system else own


def shares(pools: Sequence[Scheme]) -> None:
    """Which share of all traffic each pool gets, of a pool each of its nodes, and what a node holds when full."""
    total = call("larger", added([one.of("usable") for one in pools]), TINY)
    for one in pools:
        stated = one.pool.traffic is not None
        weight = one.given("traffic") if stated else one.of("usable") / total
        one.put("weight", "share of the traffic", "", plain(1.0) if len(pools) == 1 else weight)
        stored = call("larger", one.pieces * one.of("piece"), TINY)
        for group in one.groups:
            held = call("smaller", one.of(f"one {group.node}"), one.of("piece"))
            full = one.put(f"held {group.node}", f"{group.node}: what one holds when full", "TB", held)
            one.put(f"share {group.node}", f"{group.node}: share of one in the pool's bytes", "", full / stored)


def part_of_node(one: Scheme, group: Group, row: int) -> Node:
    """A drive's share of what its node holds; 0 where it is not there."""
    ground = one.ground
    node = call("larger", one.of(f"one {group.node}"), TINY)
    return in_use(ground, row) * (at(ground.part("capacity"), row) / node)


def drive_limits(one: Scheme, way: str) -> Iterator[Resource]:
    """What each kind of drive of a pool lets clients have."""
    for group in one.groups:
        for row in group.drives:
            times = one.of("weight") * one.of(f"share {group.node}") * part_of_node(one, group, row)
            bytes_each = times if way == "read" else times * (one.pieces / one.data)
            part = one.ground.scenario.parts[row].part
            limit = limited(rate(one.ground, row, way), bytes_each)
            column = one.put(f"{way} {row}", f"what '{part}' allows, {DOES[way]}", "MB/s", limit)
            yield Resource(f"drives: {part}", column)


def limited(rate_of_one: Node, bytes_each: Node) -> Node:
    """Rate over bytes; no limit where there are none."""
    own = in_unit(rate_of_one, NO_LIMIT.unit, "a rate")
    return call("where", call("more_than", bytes_each, 0.0), own / bytes_each, NO_LIMIT)


def link_limits(ground: Ground, pools: Sequence[Scheme], way: str) -> Iterator[Resource]:
    """What the links of each group of nodes let clients have; two pools on one link add up."""
    for number, node in enumerate(ground.scenario.nodes):
        using = [(one, group) for one in pools for group in one.groups if group.row == number]
        if not using:
            continue
        apart = node.replication_link is not None
        yield link(
            ground, using, way, ("client_link", "network" if apart else "network, one for all", 1.0, not apart)
        )
        if apart and any(has_replication(one, way) for one, _ in using):
            yield link(ground, using, way, ("replication_link", "replication network", 0.0, True))


def has_replication(one: Scheme, way: str) -> bool:
    """Whether nodes exchange bytes: to write always, to read where several pieces make up the whole."""
    return way == "write" or one.pool.copies is None


def link(
    ground: Ground, using: Sequence[tuple[Scheme, Group]], way: str, about: tuple[str, str, float, bool]
) -> Resource:
    """One link. about: its input, its words, what clients take of it per byte, whether nodes exchange bytes on it."""
    field, words, clients, exchanged = about
    group = using[0][1]

    def bytes_each(one: Scheme, own: Group) -> Node:
        between = (one.data if way == "read" else one.pieces) - 1.0
        times = clients + between / one.data if exchanged else plain(clients)
        return one.of("weight") * one.of(f"share {own.node}") * times

    own_rate = at(ground.own("nodes", field), group.row)
    limit = limited(own_rate, added([bytes_each(one, own) for one, own in using]))
    label = f"what the {words} of {group.node} allows, {DOES[way]}"
    column = ground.model.column(ground.phases, f"{way} {field} {group.node}", label, "MB/s", limit)
    return Resource(f"{words}: {group.node}", column)


def ceilings(ground: Ground, pools: Sequence[Scheme]) -> None:
    """What all clients together can read and write at most, and what limits them; 0 where no pool can hold any."""
    shares(pools)
    total = added([one.of("usable") for one in pools])

    def put(name: str, label: str, unit_text: str, formula: Any, **about: Any) -> Column:
        return ground.model.column(ground.phases, name, label, unit_text, formula, **about)

    for way in DOES:
        if unknown(ground, pools, way):
            continue
        found = [resource for one in pools for resource in drive_limits(one, way)]
        found += link_limits(ground, pools, way)
        lowest = put(f"{way}_lowest", f"lowest limit, {DOES[way]}", "MB/s", least([one.limit for one in found]))
        holds = call("more_than", total, NOTHING)
        put(
            way,
            f"{DOES[way]}, all clients together at most",
            "MB/s",
            call("where", holds, lowest, Constant(0.0, NO_LIMIT.unit)),
        )
        cases: list[tuple[Any, str]] = [(1.0 - holds, FEW_NODES)]
        cases += [(call("at_least", lowest, one.limit), one.words) for one in found]
        in_words(put, f"{way}_bottleneck", f"what limits {DOES[way]}", cases)
        one_client(ground, way)


def one_client(ground: Ground, way: str) -> None:
    """What a single client has: its own link, or what all have together."""
    if ground.scenario.one_client_link is not None:
        own = in_unit(as_node(ground.own("inputs", "one_client_link")), NO_LIMIT.unit, "a link")
        mine = call("smaller", own, ground.own("phases", way))
        ground.model.column(ground.phases, f"one_client_{way}", f"{DOES[way]}, one client at most", "MB/s", mine)


def unknown(ground: Ground, pools: Sequence[Scheme], way: str, *, clients: bool = True) -> str:
    """Which input is missing to know a ceiling, or a recovery, for which any link will do; empty where none is."""
    for one in pools:
        for group in one.groups:
            for row in group.drives:
                if getattr(ground.scenario.parts[row], way) is None:
                    return f"unknown: no '{way}' of {ground.scenario.parts[row].part}"
            node = ground.scenario.nodes[group.row]
            if node.client_link is None and (clients or node.replication_link is None):
                return f"unknown: no client link of {group.node}"
    return ""
