"""Whether a build fits together: the places that parts provide (bays, ports, memory, watts), and what takes them.

A need of a part that belongs to a group of nodes is met within the group where any part of the group provides that
name, otherwise by parts without a node, which all share. What replaces a failed part is taken to need the same.

Live: quantities and the number of nodes. Given: what one part provides and needs, and when it is there. A part of
quantity 0 lists a price only; it takes and offers nothing, in the workbook neither.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain

from tco import units
from tco.engine import Array, Column, Figures, Node, Table, at, call, least, quantity
from tco.engine.nodes import plain
from tco.model.ground import Ground
from tco.model.measure import Measure, Reason, always
from tco.model.phases import is_there, phase_names, starts
from tco.study import Amount, Part, Scenario

DEPENDS = "what parts provide and need, when they are there, which quantities are 0"
ALIKE = 1e-9  # of what is there and needed: sums such as 0.1 + 0.2 are level with 0.3; far below any real place
NOT_STATED = "unknown: no places stated"
ROUNDING = 1e-12  # what may be rounding in a factor between units
WORDS = ("does not fit", "all taken", "fits")


@dataclass(frozen=True)
class Spot:
    """Places of one name in one phase, counted from 0; group: the nodes to which they belong, empty: shared."""

    phase: int
    group: str
    name: str


@dataclass(frozen=True)
class Take:
    """What one unit of a row of the parts list provides or needs of a spot, in the unit of `counted_in`."""

    spot: Spot
    row: int
    provides: float
    needs: float


def fit_tables(ground: Ground) -> None:
    """What is provided, needed and left of every place, and room for more drives; nothing where no part says."""
    takes = takes_of(ground.scenario, ground.horizon)
    if not takes:
        return
    spots = in_order(takes, ground.scenario)
    table = ground.table("fit", "Does it fit: places and what takes them", labels(ground, spots))
    numbered(ground, table)
    take_table(ground, takes, spots)
    places(ground, table, spots)
    room_table(ground, takes, spots)


# what stands in the study


def used(scenario: Scenario) -> list[Part]:
    """The parts that are more than a price."""
    return [part for part in scenario.parts if part.quantity]


def takes_of(scenario: Scenario, horizon: int) -> list[Take]:
    """What every part takes and offers in every phase in which it is there."""
    own = {(part.node, amount.name) for part in used(scenario) for amount in part.provides}
    counts = counted_in(scenario)

    def of(phase: int, row: int, part: Part) -> Iterator[Take]:
        for amount in part.provides:
            yield Take(Spot(phase, part.node, amount.name), row, turned(amount, counts), 0.0)
        for amount in part.needs:
            group = part.node if (part.node, amount.name) in own else ""
            yield Take(Spot(phase, group, amount.name), row, 0.0, turned(amount, counts))

    months = enumerate(starts(scenario, horizon))
    return [take for phase, month in months for row, part in enumerate(scenario.parts)
            if part.quantity and is_there(part, month, horizon) for take in of(phase, row, part)]  # fmt: skip


def counted_in(scenario: Scenario) -> dict[str, str]:
    """Name of a place -> the unit in which it is counted: that of the first part that provides it, else needs it."""
    parts = [*used(scenario), *scenario.parts]
    amounts = chain((one for part in parts for one in part.provides), (one for part in parts for one in part.needs))
    found: dict[str, str] = {}
    for amount in amounts:
        found.setdefault(amount.name, amount.unit)
    return found


def turned(amount: Amount, counts: dict[str, str]) -> float:
    """An amount in the unit of its name; the reader has seen to it that the kinds agree."""
    wanted = counts[amount.name]
    if amount.unit == wanted:
        return amount.count
    scale = units.factor(units.unit(amount.unit), units.unit(wanted))
    times, parts = round(scale), round(1.0 / scale)  # 0.032 TB are 32 GB, while pint's factor is 1000.0000000000001
    if times and abs(scale / times - 1.0) < ROUNDING:
        return amount.count * times
    return amount.count / parts if parts and abs(scale * parts - 1.0) < ROUNDING else amount.count * scale


def in_order(takes: Sequence[Take], scenario: Scenario) -> dict[Spot, int]:
    """Spot -> its row, from 0: by phase, then groups as they come in the parts list, what is shared last."""
    groups = [*dict.fromkeys(part.node for part in scenario.parts if part.node), ""]
    spots = sorted(dict.fromkeys(take.spot for take in takes), key=lambda one: (one.phase, groups.index(one.group)))
    return {spot: row for row, spot in enumerate(spots)}


def labels(ground: Ground, spots: Iterable[Spot]) -> list[str]:
    """`months 1–12, each mini: memory [GB]`."""
    counts, named = counted_in(ground.scenario), spelled_out(ground, spots)
    shown = {name: f" [{units.written(units.unit(text))}]" if text else "" for name, text in counts.items()}
    return [f"{text}{shown[spot.name]}" for spot, text in named.items()]


def spelled_out(ground: Ground, spots: Iterable[Spot], *, phased: bool = True) -> dict[Spot, str]:
    """`each mini: bay 3.5`, with the name as it was first written, behind the phase where there are several.

    phased: whether the phase is told at all.
    """
    names = phase_names(starts(ground.scenario, ground.horizon), ground.horizon)
    amounts = [one for part in ground.scenario.parts for one in (*part.provides, *part.needs)]
    written = {one.name: one.shown or one.name for one in reversed(amounts)}

    def text(spot: Spot) -> str:
        phase = f"{names[spot.phase]}, " if len(names) > 1 and phased else ""
        return f"{phase}{whose(ground, spot.group)}: {written[spot.name]}"

    return {spot: text(spot) for spot in spots}


def whose(ground: Ground, group: str) -> str:
    """`each mini`; `all mini` where the study does not say how many nodes there are; `shared`."""
    return f"{'each' if group_row(ground, group) is not None else 'all'} {group}" if group else "shared"


def group_row(ground: Ground, group: str) -> int | None:
    """The row of nodes.csv that counts a group's nodes; None where none does."""
    return next((row for row, node in enumerate(ground.scenario.nodes) if node.node == group), None)


# columns


def numbered(ground: Ground, *tables: Table) -> None:
    """Row numbers from 1, as keys, for the tables and for those of parts and nodes."""
    own = [ground.part("quantity").table]
    own += [ground.own("nodes", "count").table] if ground.scenario.nodes else []
    for table in (*tables, *own):
        ground.model.given(table, "number", "row", "", range(1, len(table.rows) + 1), computed=DEPENDS)


def take_table(ground: Ground, takes: Sequence[Take], spots: dict[Spot, int]) -> None:
    """One row for each amount of each part in each phase: which place, and how much all of the part make of it."""
    model = ground.model
    named = spelled_out(ground, spots)
    names = [f"{ground.scenario.parts[take.row].part}: {named[take.spot]}" for take in takes]
    table = ground.table("takes", "What each part takes and offers", names)
    for name, label, values in (
        ("fit", "row of its place", [spots[take.spot] + 1.0 for take in takes]),
        ("part", "row of the parts list", [take.row + 1.0 for take in takes]),
        ("provides_each", "one provides", [take.provides for take in takes]),
        ("needs_each", "one needs", [take.needs for take in takes]),
    ):
        model.given(table, name, label, "", values, computed=DEPENDS)
    part = ground.own("takes", "part")
    many = call("look_up", part, ground.part("number"), ground.part("quantity"))
    for does in ("provides", "needs"):
        each = ground.own("takes", f"{does}_each")
        model.column(table, f"{does}_all", f"all of them {does.removesuffix('s')}", "", each * many)


def places(ground: Ground, table: Table, spots: dict[Spot, int]) -> None:
    """What is provided, needed and left of each place, per node or in all, and whether that fits."""
    model = ground.model
    nodes = node_count(ground, table, spots)
    for name, does in (("provided", "provides"), ("needed", "needs")):
        keys = ground.own("takes", "fit"), ground.own("fit", "number")
        model.column(table, name, name, "", call("sum_where", ground.own("takes", f"{does}_all"), *keys) / nodes)
    provided, needed = ground.own("fit", "provided"), ground.own("fit", "needed")
    apart = call("larger", provided - needed, needed - provided)
    level = model.column(table, "level", "all taken (1)", "", call("more_than", ALIKE * (provided + needed), apart))
    left = model.column(table, "left", "left", "", call("where", level, 0.0, provided - needed))
    short = model.column(table, "short", "too few (1)", "", call("more_than", 0.0, left))
    number = call("where", short, 1.0, call("where", level, 2.0, 3.0))
    state = model.column(table, "state", "too few (1), all taken (2), some left (3)", "", number)
    model.column(table, "fits", "does it fit", "", plain(0.0), state=state, words=WORDS)


def node_count(ground: Ground, table: Table, spots: dict[Spot, int]) -> Column:
    """The nodes by which a row is divided: those of its group; 1 for what is shared or not counted."""
    rows = [group_row(ground, spot.group) for spot in spots]
    numbers = [0.0 if row is None else row + 1.0 for row in rows]
    group = ground.model.given(table, "group", "row of its nodes (0: none)", "", numbers, computed=DEPENDS)
    nodes: Node = plain(1.0)
    if ground.scenario.nodes:
        found = call("sum_where", ground.own("nodes", "count"), ground.own("nodes", "number"), group)
        nodes = call("larger", found, 1.0)
    return ground.model.column(table, "nodes", "nodes over which it is spread (shared: 1)", "", nodes)


# what the last free places allow


def room_table(ground: Ground, takes: Sequence[Take], spots: dict[Spot, int]) -> None:
    """How many more of each drive fit in the last phase, each drive on its own, and the capacity that adds."""
    months = starts(ground.scenario, ground.horizon)
    wanted = {row: takes_in(takes, len(months) - 1, row) for row in drives(ground.scenario)}
    wanted = {row: found for row, found in wanted.items() if found}
    if not wanted:
        return
    name = phase_names(months, ground.horizon)[-1]
    table = ground.table("room", "What the last free places allow", [name])
    for row, found in wanted.items():
        room_of(ground, table, row, [(take, at(ground.own("fit", "left"), spots[take.spot])) for take in found])


def drives(scenario: Scenario) -> list[int]:
    """The rows of the parts list that are drives in nodes; what a quantity of 0 takes is nothing anyway."""
    return [row for row, part in enumerate(scenario.parts) if part.capacity is not None and part.node]


def takes_in(takes: Sequence[Take], phase: int, row: int) -> list[Take]:
    """What a row of the parts list needs in a phase; nothing where it is not there."""
    return [take for take in takes if take.spot.phase == phase and take.row == row and take.needs > 0]


def room_of(ground: Ground, table: Table, row: int, needs: Sequence[tuple[Take, Node]]) -> None:
    """Two columns for one drive: how many more each node takes, and the raw capacity that adds in all of them."""
    part, model = ground.scenario.parts[row], ground.model
    counted = group_row(ground, part.node)
    nodes = plain(1.0) if counted is None else at(ground.own("nodes", "count"), counted)
    free = [left / take.needs if take.spot.group else left / (nodes * take.needs) for take, left in needs]
    # 1e-9 before rounding down: two that are left in thirds of a place are two
    room = call("larger", least([call("whole_part", one + ALIKE) for one in free]), 0.0)
    more = model.column(table, f"more {row}", f"more of {part.part} in {whose(ground, part.node)}", "", room)
    raw = more * nodes * at(ground.part("capacity"), row)
    model.column(table, f"adds {row}", f"raw capacity that adds, {part.part}", "TB", raw)


# measures and sentences


def measures(ground: Ground) -> list[Measure]:
    """Whether everything fits in every phase, in words, and how many places do not; unknown where no part says."""
    known = ground.has("fit", "short")
    unknown = () if known else (always(NOT_STATED),)
    told = (Reason(places_short, WORDS[0]), always(WORDS[2])) if known else unknown
    return [
        Measure("fits", "does everything fit", "", lambda _: plain(0.0), reasons=told),
        Measure("places_short", "places of which there are too few", "", places_short, reasons=unknown),
    ]


def places_short(ground: Ground) -> Node:
    """The number of places, by phase, of which more is needed than is there."""
    return call("sum_of", ground.own("fit", "short")) if ground.has("fit", "short") else plain(0.0)


@dataclass(frozen=True)
class Shortage:
    """A spot of which more is needed than is provided. told: `2 needed, 1 there`."""

    spot: Spot
    needed: float
    provided: float
    told: str


def short_of(ground: Ground, figures: Figures) -> Iterator[Shortage]:
    """Each spot that does not fit (first draw), in the order of the table."""
    if not ground.has("fit", "short"):
        return
    short, needed, provided = (first(figures[ground.own("fit", name)]) for name in ("short", "needed", "provided"))
    counts = counted_in(ground.scenario)
    for spot, row in in_order(takes_of(ground.scenario, ground.horizon), ground.scenario).items():
        if short[row]:
            unit = units.unit(counts[spot.name])
            told = f"{quantity(needed[row], unit)} needed, {quantity(provided[row], unit)} there"
            yield Shortage(spot, float(needed[row]), float(provided[row]), told)


def shortages(ground: Ground, figures: Figures) -> list[str]:
    """A sentence for each place that does not fit: `each mini: bay 3.5: 2 needed, 1 there`."""
    found = list(short_of(ground, figures))
    named = spelled_out(ground, [one.spot for one in found])
    return [f"{named[one.spot]}: {one.told}" for one in found]


def first(values: Array) -> Array:
    """The rows of the first draw."""
    return values.reshape(-1, values.shape[-1])[0]  # type: ignore[no-any-return]
