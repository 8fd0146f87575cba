"""Nodes measured at the plug, or logged: which parts that covers, and when they are there."""

from __future__ import annotations

from tco.study import Node as NodeGroup
from tco.study import Part, Scenario


def measured_nodes(scenario: Scenario) -> list[NodeGroup]:
    """The groups of nodes whose power was measured at the plug, or logged."""
    return [node for node in scenario.nodes if node.measured_idle is not None or node.log]


def covered(part: Part, scenario: Scenario) -> bool:
    """Whether a wall-plug measurement covers a part: its node is measured, and it was bought with the node."""
    measured = {node.node for node in measured_nodes(scenario)}
    if part.on_top is not None:
        return part.node in measured and not part.on_top
    first = min((other.bought for other in members(scenario, part.node)), default=part.bought)
    return part.node in measured and part.bought == first


def members(scenario: Scenario, node: str) -> list[Part]:
    """The parts of a group of nodes; a quantity of 0 only lists a price."""
    return [part for part in scenario.parts if part.node == node and part.quantity]
