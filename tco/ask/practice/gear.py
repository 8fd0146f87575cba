"""Checks of what parts need of each other, and of those who carry them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tco.ask.compare import Comparison
from tco.ask.practice.cluster import each_storage_node
from tco.ask.practice.rule import PRACTICE, PUBLISHED, NotStated, Rule, Told
from tco.ask.practice.words import counted, number
from tco.model import Ground
from tco.model.fit import shortages
from tco.study import Node, Part
from tco.units import factor, same_kind, unit

ORDER = 50
NODE_MEMORY = 4.0  # GB for the system of a node: common practice, no source
DRIVE_MEMORY = 2.0  # GB for each drive of a pool: common practice, no source
HEAVY = 23.0  # kg: the load constant of the NIOSH lifting equation, from memory
PLACES = NotStated("what parts `provides` and `needs` (parts list)")
MEMORY = NotStated("memory that nodes with drives provide, such as `16 GB memory` (parts list)")
WEIGHT = NotStated("`weight` of parts (parts list)")


def does_not_fit(comparison: Comparison, ground: Ground) -> Iterator[Told]:
    """Places of which more are needed than there are."""
    if not ground.has("fit", "short"):
        yield PLACES
    for shortage in shortages(ground, comparison.figures):
        yield f"Too few places, {shortage}."


def without_its_node(_: Comparison, ground: Ground) -> Iterator[Told]:
    """Drives that are there while every other part of their node is not there yet, or no more."""

    def find(node: Node, parts: Sequence[Part]) -> Iterator[Told]:
        own = [part for part in ground.scenario.parts if part.node == node.node and part.quantity]
        others = [part for part in own if not part.pool]
        if others and not any(part in parts for part in others):
            yield f"The drives of '{node.node}' are there without any other part of it; they count as if it were."

    return each_storage_node(ground, find)


def little_memory(_: Comparison, ground: Ground) -> Iterator[Told]:
    """Nodes with less memory than their drives are usually given."""

    def find(node: Node, parts: Sequence[Part]) -> Iterator[Told]:
        own = [part for part in parts if part.node == node.node]
        drives = sum(part.quantity for part in own if part.pool) / node.count
        found, usual = memory(node, own), NODE_MEMORY + DRIVE_MEMORY * drives
        if not found:
            yield MEMORY
        elif found < usual:
            usually = f"{NODE_MEMORY:g} GB and {DRIVE_MEMORY:g} GB a drive make {number(usual)} GB"
            yield f"One '{node.node}' has {number(found)} GB of memory for {counted(drives, 'drive')}; {usually}."

    return each_storage_node(ground, find)


def memory(node: Node, parts: Sequence[Part]) -> float:
    """What the parts of a group provide as memory to one node, GB."""
    found, wanted = 0.0, unit("GB")
    for part in parts:
        for amount in part.provides:
            if amount.name == "memory" and same_kind(unit(amount.unit), wanted):
                found += part.quantity * amount.count * factor(unit(amount.unit), wanted)
    return found / node.count


def heavy(_: Comparison, ground: Ground) -> Iterator[Told]:
    """Parts that one person should not lift."""
    parts = [part for part in ground.scenario.parts if part.quantity]
    if not any(part.weight is not None for part in parts):
        yield WEIGHT
    for part in parts:
        if part.weight is not None and part.weight > HEAVY:
            yield f"One '{part.part}' weighs {number(part.weight)} kg, more than {HEAVY:g} kg: two people lift it."


RULES = (
    Rule(
        "drives without their node",
        "when the drives of a node and its other parts are bought and leave",
        "Drives hold and deliver nothing without a machine around them; room, speed and losses take it for given.",
        f"{PRACTICE}: what belongs together comes and goes together",
        without_its_node,
    ),
    Rule(
        "a part that does not fit",
        "places that parts provide, and what takes them",
        "A drive without a bay or a supply without watts to spare is found after the money is spent.",
        f"{PRACTICE}: count the places before buying; the counting is arithmetic",
        does_not_fit,
    ),
    Rule(
        "little memory for the drives",
        "memory that nodes provide, and drives of pools in them",
        "Storage that runs out of memory stops without warning, most likely during recovery, when it needs most.",
        f"{PRACTICE}: {NODE_MEMORY:g} GB a node and {DRIVE_MEMORY:g} GB for each drive",
        little_memory,
    ),
    Rule(
        "heavy part",
        "weight of each part",
        "Old servers are heavy and sharp-edged; backs and hands pay for it.",
        f"{PUBLISHED}: the load constant of the NIOSH lifting equation, {HEAVY:g} kg (from memory); it holds for a "
        "good grip close to the body, so less is heavy too",
        heavy,
    ),
)
