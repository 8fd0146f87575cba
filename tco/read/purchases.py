"""purchases.csv: what may be bought names parts and groups that are there, and other purchases without a circle."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from math import isnan

from tco.addresses import label
from tco.purchase import LINKS, Offer, needed, offers
from tco.read.curves import place
from tco.read.found import Found, of, tell_absent
from tco.read.problems import Problems, shown
from tco.study import Node, Part, Purchase, Scenario

ROW_LIMIT = 1000  # rows of one scenario
SAID_ONCE = ("turn", "most")  # columns that speak of a purchase as a whole
OF_PART = ("quantity", "more_nodes", "in_place_of", "going")  # columns that mean nothing without a part


def check_purchases(found: Found, scenario: Scenario, problems: Problems) -> None:
    """What may be bought for one scenario."""
    rows = of(found.purchases, scenario)
    if len(rows) > ROW_LIMIT:
        message = f"purchase: {len(rows)} rows for {shown(scenario.scenario)}; the most is {ROW_LIMIT}"
        problems.add(place(rows[ROW_LIMIT], "purchase"), message)
        return
    for row in rows:
        _check_part(found, scenario, row, problems)
        _check_group(found, scenario, row, problems)
        _check_shares(found, scenario, row, problems)
    every = {offer.name: offer for offer in offers(row for row in rows if row.purchase)}
    for offer in every.values():
        _check_said_once(offer, problems)
        _check_turn(offer, problems)
        _check_going(found, scenario, offer, problems)
        _check_others(found, offer, every, problems)
    _check_circles(every, problems)
    _check_torn(every, problems)


def _check_shares(found: Found, scenario: Scenario, row: Purchase, problems: Problems) -> None:
    """Equal nodes have equal parts: what comes into a group, or goes from it, is shared evenly by its nodes."""
    counts = {node.node: node.count for node in of(found.nodes, scenario)}
    into, out_of = row.node or _group_of(found, scenario, row.part), _group_of(found, scenario, row.in_place_of)
    shares = [("quantity", row.part, row.quantity, into, row.more_nodes or counts.get(into, 1))]
    shares += [
        ("going" if "going" in row.places else "quantity", row.in_place_of, row.goes, out_of, counts.get(out_of, 1))
    ]
    for name, part, number, group, nodes in shares:
        if part and group and not isnan(number) and nodes > 0 and number % nodes:
            message = (
                f"{label(name)}: {number} {shown(part)} cannot be shared evenly by the {nodes} nodes {shown(group)}; "
                "parts that only some nodes have need a group of their own"
            )
            problems.add(place(row, name), message)


def _check_part(found: Found, scenario: Scenario, row: Purchase, problems: Problems) -> None:
    """The part that is bought, and the one that goes, are in the scenario's list, once each."""
    table = found.parts_of(scenario)
    count = Counter(part.part for part in table.rows)
    for name in ("part", "in_place_of"):
        wanted = getattr(row, name)
        if wanted and wanted not in count and table.whole:
            where = table.file or f"{shown(scenario.scenario)}, which has no parts list"
            tell_absent(row, name, "part", where, set(count), problems)
        elif wanted and count[wanted] > 1:
            message = (
                f"{label(name)}: {count[wanted]} parts are named {shown(wanted)}; give the one meant its own name"
            )
            problems.add(place(row, name), message)
    if row.part and row.part == row.in_place_of:
        problems.add(place(row, "in_place_of"), f"in place of: {shown(row.part)} would take its own place")
    if "part" not in row.places:
        for name in (name for name in OF_PART if name in row.places):
            problems.add(place(row, name), f"{label(name)}: says how a part comes, and the row has no 'part'")
        if not any(name in row.places for name in LINKS):
            problems.add(row.places[""], "the row changes nothing; name a 'part' that is bought, or a link")
    if "going" in row.places and "in_place_of" not in row.places:
        problems.add(place(row, "going"), "going: how many go of what? name it under 'in place of'")


def _check_group(found: Found, scenario: Scenario, row: Purchase, problems: Problems) -> None:
    """What goes into nodes, makes more of them or changes their link names a group of the scenario."""
    nodes = {node.node: node for node in of(found.nodes, scenario)}
    wanted = row.node or _group_of(found, scenario, row.part)
    if wanted and wanted not in nodes:
        if found.nodes.whole and row.node and row.node not in _strays(found):
            tell_absent(row, "node", "node", found.nodes.file, set(nodes), problems)
        return
    for name in ("more_nodes", *LINKS):
        if not getattr(row, name) or name not in row.places:
            continue
        whole = found.purchases.whole and (found.parts_of(scenario).whole or not row.part)
        if not wanted and not whole:
            continue  # a name that was refused may say it
        if not wanted:
            problems.add(place(row, name), f"{label(name)}: of which nodes? name their group under 'node'")
        elif name == "client_link":
            _check_link(nodes[wanted], row, problems)


def _strays(found: Found) -> set[str]:
    """Nodes of a scenario that does not exist: they may belong to any, and are told once, where they stand."""
    scenarios = {row.scenario for row in found.scenarios.rows}
    return {node.node for node in found.nodes.rows if node.scenario not in scenarios}


def _group_of(found: Found, scenario: Scenario, name: str) -> str:
    """The group of nodes to which a part of the list belongs."""
    return next((part.node for part in found.parts_of(scenario).rows if part.part == name), "")


def _check_link(node: Node, row: Purchase, problems: Problems) -> None:
    """What a link becomes says something only where it is known what it is."""
    if node.client_link is None:
        message = f"client link: {node.places['']} does not say what the link of {shown(node.node)} is today; add it"
        problems.add(place(row, "client_link"), message)


def _check_said_once(offer: Offer, problems: Problems) -> None:
    """A purchase has one turn, and one number of times."""
    for name in SAID_ONCE:
        said = [row for row in offer.rows if name in row.places and not isnan(getattr(row, name))]
        for row in said[1:]:
            if getattr(row, name) != getattr(said[0], name):
                first = place(said[0], name)
                message = (
                    f"{label(name)}: {getattr(said[0], name)} is said of {shown(offer.name)} in {first}; keep one"
                )
                problems.add(place(row, name), message)


def _check_turn(offer: Offer, problems: Problems) -> None:
    """Links hold from the start, so that what changes one cannot come later."""
    row = next((row for row in offer.rows if row.turn is not None), None)
    if row is not None and offer.links:
        message = f"turn: {shown(offer.name)} changes a link, which cannot happen as data grow; leave the turn empty"
        problems.add(place(row, "turn"), message)


def _check_going(found: Found, scenario: Scenario, offer: Offer, problems: Problems) -> None:
    """No more go than there are."""
    parts = {part.part: part for part in found.parts_of(scenario).rows}
    for name, row, number in going(offer, parts):
        there = parts[name].quantity
        if number > there:
            message = (
                f"in place of: {number:g} {shown(name)} would go, bought {offer.most} times; the list has {there:g}"
                if offer.most > 1
                else f"in place of: {number:g} {shown(name)} would go, and the list has {there:g}"
            )
            problems.add(place(row, "in_place_of"), message)


def going(offer: Offer, parts: Mapping[str, Part]) -> Iterator[tuple[str, Purchase, float]]:
    """Each part that goes with a purchase: its name, the last row that says so, how many in all."""
    total: dict[str, tuple[Purchase, float]] = {}
    for row in offer.rows:
        if row.in_place_of and row.in_place_of in parts:
            total[row.in_place_of] = row, total.get(row.in_place_of, (row, 0.0))[1] + row.goes * offer.most
    yield from ((name, row, number) for name, (row, number) in total.items())


def _check_others(found: Found, offer: Offer, every: Mapping[str, Offer], problems: Problems) -> None:
    """The purchases that one needs or excludes exist, and are others."""
    for row in offer.rows:
        for name in ("needs", "excludes"):
            for wanted in getattr(row, name):
                if wanted == offer.name:
                    problems.add(place(row, name), f"{label(name)}: the purchase itself; leave it out")
                elif wanted not in every and found.purchases.whole:
                    _tell_no_purchase(row, name, wanted, every, problems)


def _tell_no_purchase(row: Purchase, name: str, wanted: str, every: Mapping[str, Offer], problems: Problems) -> None:
    known = ", ".join(sorted(every)[:6])
    message = f"{label(name)}: there is no purchase {shown(wanted)} for {shown(row.scenario)}; known: {known}"
    problems.add(place(row, name), message)


def _check_circles(every: Mapping[str, Offer], problems: Problems) -> None:
    """Purchases that need each other in a circle could never be bought one by one; each circle is told once."""
    told: set[frozenset[str]] = set()
    for name in every:
        circle = _circle(name, every)
        if circle and frozenset(circle) not in told:
            told.add(frozenset(circle))
            row = next(row for row in every[name].rows if row.needs)
            way = " needs ".join(shown(one) for one in [*circle, circle[0]])
            problems.add(place(row, "needs"), f"needs: a circle: {way}; put them into one purchase")


def _circle(name: str, every: Mapping[str, Offer]) -> list[str]:
    """The shortest way from a purchase back to itself along what is needed; empty where there is none."""
    ways, seen = [[name]], {name}
    for way in ways:  # grows as it is walked
        for wanted in every[way[-1]].needs:
            if wanted == name and len(way) > 1:
                return way
            if wanted in every and wanted not in seen:
                seen.add(wanted)
                ways.append([*way, wanted])
    return []


def _check_torn(every: Mapping[str, Offer], problems: Problems) -> None:
    """What a purchase needs does not exclude it, nor something else that it needs."""
    for offer in every.values():
        wanted = [offer.name, *needed(offer.name, every)]
        torn = _torn(wanted, every)
        row = next((row for row in offer.rows if row.needs), None)
        if torn and row is not None:
            one, other = map(shown, torn)
            message = f"needs: {shown(offer.name)} takes both {one} and {other}, which exclude each other"
            problems.add(place(row, "needs"), message)


def _torn(names: Sequence[str], every: Mapping[str, Offer]) -> tuple[str, str] | None:
    """Two of some purchases that exclude each other."""
    return next(((one, other) for one in names for other in every[one].excludes if other in names), None)
