"""Checks of copies, pieces, nodes and backups."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tco.ask.compare import Comparison
from tco.ask.practice.cluster import NODES, Spread, by_phase, each_pool, groups_there, measured
from tco.ask.practice.rule import PRACTICE, Rule, Told
from tco.ask.practice.words import counted, number
from tco.model import Ground
from tco.study import Part

ORDER = 20
FEWEST_NODES = 3  # of three, one may be lost and a majority is left: arithmetic
FEWEST_LOSSES = 2  # losses to survive: common practice, no source


def few_nodes(_: Comparison, ground: Ground) -> Iterator[Told]:
    """Fewer than three nodes that vote."""
    if not ground.scenario.nodes:
        yield NODES
        return
    yield from by_phase(ground, lambda parts: voters(ground, parts))


def voters(ground: Ground, parts: Sequence[Part]) -> Iterator[Told]:
    """The same among the parts that are there; nodes with drives of a pool vote, without pools all of them."""
    drives = [part for part in parts if part.pool] if ground.scenario.pools else parts
    nodes = ground.scenario.voting_nodes or sum(node.count for node in groups_there(ground, drives))
    if 0 < nodes < FEWEST_NODES:
        decide = "decide" if nodes > 1 else "decides"
        lost = "one is lost, the other is no majority" if nodes > 1 else "it is lost, none is left"
        yield f"{counted(nodes, 'node')} {decide} whether writing goes on: when {lost}."


def too_few_for_pieces(comparison: Comparison, ground: Ground) -> Iterator[Told]:
    """Fewer nodes than copies or pieces: the pool holds nothing as it is meant to."""

    def find(one: Spread) -> Iterator[Told]:
        if one.nodes < one.pieces:
            told = f"needs {counted(one.pieces, 'node')} for {one.scheme} and has drives in {one.nodes}"
            yield f"Pool '{one.pool.pool}' {told}: it can hold nothing that way."

    return each_pool(comparison, ground, find)


def no_spare_node(comparison: Comparison, ground: Ground) -> Iterator[Told]:
    """As many nodes as pieces: a lost node cannot be rebuilt on the others."""

    def find(one: Spread) -> Iterator[Told]:
        if one.nodes == one.pieces > 1:
            told = f"Pool '{one.pool.pool}' has {counted(one.nodes, 'node')} for {one.scheme}"
            yield f"{told}: a lost node is not rebuilt on the others but waits for its replacement{waits(one)}."
        elif one.nodes > one.pieces > one.data and one.room_after_loss < most_held(comparison, ground, one):
            told = f"Pool '{one.pool.pool}' has a node to spare, but without its largest the others hold"
            held = number(most_held(comparison, ground, one))
            yield (
                f"{told} {number(one.room_after_loss)} TB when full, and it is to hold {held} TB: above that a lost "
                f"node waits for its replacement{waits(one)}."
            )

    return each_pool(comparison, ground, find)


def most_held(comparison: Comparison, ground: Ground, one: Spread) -> float:
    """What a pool is to hold at most: the data, up to the fill limit; that limit where none are stated."""
    limit = one.pool.fill_limit * one.data * one.piece
    stated = {"data_held", "data_added"} & set(ground.study.settings.places)
    return min(limit, float(comparison.of(ground.month("data_held")).max())) if stated and is_only(ground) else limit


def is_only(ground: Ground) -> bool:
    """Whether all data are in one pool."""
    return len(ground.scenario.pools) == 1


def waits(one: Spread) -> str:
    """How long until a lost node is replaced, as far as it is stated."""
    lead = one.pool.lead_time
    return ", of which no lead time is stated" if lead is None else f", {number(lead)} h by its lead time"


def few_copies(comparison: Comparison, ground: Ground) -> Iterator[Told]:
    """Fewer than three copies, or fewer than two parity pieces."""

    def find(one: Spread) -> Iterator[Told]:
        losses = one.pieces - one.data
        if losses < FEWEST_LOSSES:
            risk = (
                "after one loss, one more before all is whole again loses data" if losses else "any loss loses data"
            )
            numbers = [*failing(ground, one), *exposed(comparison, ground, one)]
            yield "; ".join([f"Pool '{one.pool.pool}' keeps {one.scheme}: {risk}", *numbers]) + "."

    return each_pool(comparison, ground, find)


def failing(ground: Ground, one: Spread) -> Iterator[str]:
    """How many of a pool's drives are expected to fail, by their failure curves."""
    slots = [slot for slot in ground.slots if slot.part in one.drives and slot.part.failures]
    expected = sum(float(slot.failures.sum()) * slot.part.quantity for slot in slots)
    if slots:
        drives = sum(slot.part.quantity for slot in slots)
        yield f"of its {counted(drives, 'drive')} {number(expected)} are expected to fail in {ground.horizon} months"


def exposed(comparison: Comparison, ground: Ground, one: Spread) -> Iterator[str]:
    """How long recovery takes, where the scenario's measures are this pool's."""
    hours = {name: measured(comparison, ground, f"recovery_{name}") for name in ("drive", "node")}
    told = [f"{number(value)} h after losing a {name}" for name, value in hours.items() if isinstance(value, float)]
    steady = len(ground.phases.rows) == 1  # of several phases the measures are the worst
    if told and steady and one.pieces > one.data and len(ground.scenario.pools) == 1:
        yield f"recovery takes at least {' and '.join(told)}"
        a_year = measured(comparison, ground, "exposed_hours")
        yield from [f"{number(a_year)} h a year are spent so"] if isinstance(a_year, float) else []


def no_backup(comparison: Comparison, ground: Ground) -> Iterator[Told]:
    """No backup elsewhere, or nothing said about one."""
    held = comparison.of(ground.month("data_held"))
    stated = {"data_held", "data_added"} & set(ground.study.settings.places)
    data = f"the {number(held[0])} TB held ({number(held[-1])} TB at the end)" if stated else "what is held"
    if ground.scenario.backup_elsewhere == "no":
        yield f"There is no backup elsewhere of {data}."
    elif not ground.scenario.backup_elsewhere:
        yield f"Whether there is a backup elsewhere of {data} is not stated (`backup elsewhere` in scenarios.csv)."


RULES = (
    Rule(
        "fewer than three nodes",
        "nodes that vote on whether writing goes on",
        "Where two halves cannot see each other, neither may go on alone, or both would write different things. With "
        "three nodes one may fail and a majority is left.",
        f"{PRACTICE}: at least {FEWEST_NODES} nodes that vote; that half is no majority is arithmetic",
        few_nodes,
    ),
    Rule(
        "fewer nodes than pieces",
        "nodes with drives of a pool, and its copies or pieces",
        "Copies on the same node are lost together, so each copy or piece needs a node of its own.",
        f"{PRACTICE}: each copy or piece on another node",
        too_few_for_pieces,
    ),
    Rule(
        "no spare node",
        "nodes with drives of a pool, and its copies or pieces",
        "Until the replacement is there, all data have one copy or piece less, and the next loss meets them so.",
        f"{PRACTICE}: one node more than copies or pieces",
        no_spare_node,
    ),
    Rule(
        "fewer than three copies",
        "copies or parity of each pool",
        "Drives bought together age together, and recovery works the others hard: a second loss during recovery is "
        "less rare than chance alone says.",
        f"{PRACTICE}: {FEWEST_LOSSES + 1} copies, or {FEWEST_LOSSES} parity pieces; expected failures follow from "
        "the study's failure curves",
        few_copies,
    ),
    Rule(
        "no backup elsewhere",
        "`backup elsewhere` of each scenario",
        "Copies and parity protect against failing hardware, not against deletion, theft, fire or ransomware.",
        f"{PRACTICE}: one copy in another place, out of reach of what can happen here",
        no_backup,
        hardware=False,
    ),
)
