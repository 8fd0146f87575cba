"""What a scenario delivers in each phase, and what that comes to over the horizon: mostly the worst phase."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from tco.engine import Column, Constant, Node, added, at, call, least, most
from tco.engine.nodes import as_node, plain
from tco.model import fit, site
from tco.model.ceilings import DOES, ceilings, unknown
from tco.model.ground import Ground, one_month
from tco.model.measure import Measure, Reason, always
from tco.model.phases import phase_table
from tco.model.pools import FEW_NODES, TINY, Scheme, is_absent, pool_table, schemes
from tco.model.recovery import exposed, node_hours, recovery, why_unknown
from tco.units import unit, written

NO_POOLS, NOT_STATED = "unknown: no pools stated", "unknown: not stated"
MANY = 1000.0  # losses that a pool survives whose drives are not there yet: it does not count
NO_REDUNDANCY = "none: no redundancy"
NOTES = {
    "node_losses": "Copies and parity protect against failing hardware, not against deletion, theft, fire or "
    "ransomware: a cluster is not a backup",
    "read": "A ceiling is no promise",
    "write": "A ceiling is no promise",
    "recovery_drive": "A floor: nothing else is going on meanwhile",
    "recovery_node": "A floor: nothing else is going on meanwhile",
    "exposed_hours": "Expected failures a year times recovery time",
    "noise_idle": "As in the open: rooms throw sound back, and makers' figures are taken in empty rooms",
    "noise_busy": "As in the open. A guideline for bedrooms at night is 30 dB LAeq (WHO 1999); a limit for hearing "
    "is 85 dB(A) over 8 h (NIOSH), which is another thing",
    "heat_busy": "All of it ends in the room: a closed cupboard needs moving air",
    "circuit_load": "What runs day and night is a continuous load; shared sockets, extension leads and old wiring "
    "carry less than the breaker says. Local code and a licensed electrician decide; this only compares numbers",
    "plug_load": "The local rule for the plug decides",
}
FIRST = "first month of the phase that a month is in"


def delivers(ground: Ground) -> None:
    """All tables and columns of what a scenario delivers."""
    phase_table(ground)
    pools = schemes(ground)
    for one in pools:
        pool_table(one)
        keep_worst(ground, f"pool {one.pool.pool}", ("safe_case", "safe"))
    if pools:
        capacity(ground, pools)
        resilience(ground, pools)
        ceilings(ground, pools)
        for way in DOES:
            if ground.has("phases", way):
                keep_worst(ground, "phases", (f"{way}_bottleneck", f"{way}_lowest"))
        if not why_unknown(ground, pools):
            for one in pools:
                recovery(one)
            longest = {
                "node": most(node_hours(ground, pools)),
                "drive": most([one.of("recovery_drive") for one in pools]),
            }
            for what, hours in longest.items():
                put(ground, f"recovery_{what}", f"recovery of a {what}, longest", "h", hours)
            put(ground, "exposed_hours", "hours a year with less redundancy", "h/year", exposed(ground, pools))
    if ground.scenario.stated is not None:
        stated(ground)
    if ground.scenario.parts:
        site.site_columns(ground)
        fit.fit_tables(ground)
    by_month(ground)


def put(ground: Ground, name: str, label: str, unit_text: str, formula: Any, **about: Any) -> Column:
    """A column of the phases."""
    return ground.model.column(ground.phases, name, label, unit_text, formula, **about)


def capacity(ground: Ground, pools: Sequence[Scheme]) -> None:
    """What all pools hold together."""
    for name, label in (
        ("raw", "raw capacity"),
        ("usable", "usable when full"),
        ("recommended", "room within the fill limit"),
        ("safe", "safe: whole again after one loss"),
        ("unused", "capacity that cannot be used"),
        ("to_free", "more on smaller nodes would free it"),
    ):
        put(ground, name, label, "TB", added([one.of(name) for one in pools]))


def resilience(ground: Ground, pools: Sequence[Scheme]) -> None:
    """Losses of nodes that are survived, with and without a stop of writing; whether one is rebuilt on the others."""
    found = [one.of("losses") + MANY * is_absent(one) for one in pools]
    survived = call("where", some(pools), least(found), 0.0)
    losses = put(ground, "node_losses", "node losses that lose no data", "", survived)
    minority = call("whole_part", (votes(ground, pools) - 1.0) / 2.0)
    writing = least([losses, call("larger", minority, 0.0)])
    put(ground, "losses_writing", "node losses during which writing goes on", "", writing)
    rebuilt = least([one.of("rebuilds") for one in pools]) * some(pools)
    put(ground, "rebuilds", "a lost node is rebuilt on the others (1)", "", rebuilt)
    holds = least([one.of("holds") for one in pools])
    put(ground, "holds", "the others hold then what the fill limit lets in (1)", "", holds)
    lacking = most([one.of("lacking") for one in pools])
    put(ground, "lacking", "a pool has fewer nodes than pieces (1)", "", lacking)


def some(pools: Sequence[Scheme]) -> Node:
    """Whether any drive of a pool is there."""
    return call("at_least", added([one.of("nodes") for one in pools]), 1.0)


def votes(ground: Ground, pools: Sequence[Scheme]) -> Node:
    """The nodes of which a majority must be up: as stated, or all that have drives of a pool."""
    if ground.scenario.voting_nodes is not None:
        return as_node(ground.own("inputs", "voting_nodes"))
    counts = []
    for number, _ in enumerate(ground.scenario.nodes):
        using = [one.of(f"nodes {group.node}") for one in pools for group in one.groups if group.row == number]
        counts += [most(using)] if using else []
    return added(counts)


def stated(ground: Ground) -> None:
    """What a scenario without pools states."""
    for name, field, label, unit_text in (
        ("recommended", "usable", "may be kept there at most", "TB"),
        ("usable", "usable", "usable by contract", "TB"),
        ("node_losses", "node_losses", "node losses that lose no data", ""),
        ("losses_writing", "losses_writing", "node losses during which writing goes on", ""),
        ("read", "read", "reading, all clients together at most", "MB/s"),
        ("write", "write", "writing, all clients together at most", "MB/s"),
        ("one_client_read", "one_client_read", "reading, one client at most", "MB/s"),
        ("one_client_write", "one_client_write", "writing, one client at most", "MB/s"),
    ):
        if getattr(ground.scenario.stated, field) is not None:
            put(ground, name, label, unit_text, ground.own("stated", field))


def by_month(ground: Ground) -> None:
    """What may be kept in each month, beside what it must hold; month 0 has what month 1 has."""
    if not ground.has("phases", "recommended"):
        return
    model, first = ground.model, ground.own("phases", "month")
    assert first.values is not None
    starts = [
        max(int(start) for start in first.values if start <= max(month, 1)) for month in range(ground.horizon + 1)
    ]
    phase = model.given(ground.months, "phase", "from month (phase)", "month", starts, computed=FIRST)
    kept = call("look_up", phase, first, ground.own("phases", "recommended"))
    model.column(ground.months, "recommended", "room within the fill limit", "TB", kept)


# What it comes to over the horizon.


def measure(
    ground: Ground, name: str, label: str, unit_text: str, way: str, reason: str = "", more: Sequence[Reason] = ()
) -> Measure:
    """One figure: its worst phase, the `smallest` or `largest`, or why it is not known."""
    if not ground.has("phases", name):
        return unknown_measure(name, label, unit_text, reason)
    return Measure(name, label, unit_text, lambda g: call(way, g.own("phases", name)), reasons=tuple(more))


def unknown_measure(name: str, label: str, unit_text: str, reason: str = "") -> Measure:
    """A figure that is not known, with the input that is missing."""
    return Measure(
        name, label, unit_text, lambda _: Constant(0.0, unit(unit_text)), reasons=(always(reason or NOT_STATED),)
    )


def measures(ground: Ground) -> list[Measure]:
    """Capacity, resilience, recovery, ceilings, what a TB and a GB/s cost; then noise, heat, circuit and fit."""
    pools = schemes(ground)
    said = ground.scenario.stated is not None
    missing = "" if pools or said else NO_POOLS
    own = [
        measure(ground, name, label, "TB", way, missing, (few_nodes(),) if name == "to_free" else ())
        for name, label, way in (
            ("raw", "raw capacity", "smallest"),
            ("usable", "usable capacity when full", "smallest"),
            ("recommended", "room within the fill limit", "smallest"),
            ("safe", "safe capacity: whole again after one loss", "smallest"),
            ("unused", "capacity that cannot be used", "largest"),
            ("to_free", "more on smaller nodes that would free it", "largest"),
        )
    ]
    own += [
        measure(ground, "node_losses", "node losses that lose no data", "", "smallest", missing),
        measure(ground, "losses_writing", "node losses during which writing goes on", "", "smallest", missing),
        words("rebuild", "a lost node is rebuilt on the others", rebuild(pools, missing)),
        *safe_case(ground, pools),
    ]
    own += throughput(ground, pools, missing) + recovering(ground, pools, missing)
    found = [*own, *site.measures(ground), *fit.measures(ground), *costs(ground)]
    return [replace(one, note=NOTES.get(one.name, one.note)) for one in found]


def words(name: str, label: str, reasons: Sequence[Reason]) -> Measure:
    """A measure that is always words."""
    return Measure(name, label, "", lambda _: plain(0.0), reasons=tuple(reasons))


def rebuild(pools: Sequence[Scheme], missing: str) -> list[Reason]:
    """Yes where all pools have a node to spare in every phase, and the others hold what the fill limit lets in."""
    if not pools:
        return [always(missing or NOT_STATED)]
    return [
        Reason(lambda g: 1.0 - call("smallest", g.own("phases", "rebuilds")), "no"),
        Reason(lambda g: call("smallest", g.own("phases", "holds")), "yes"),
        always("only if less full"),
    ]


def throughput(ground: Ground, pools: Sequence[Scheme], missing: str) -> list[Measure]:
    """Ceilings, with what limits them."""
    found = []
    for way, does in DOES.items():
        reason = missing or (unknown(ground, pools, way) if pools else "")
        found += [measure(ground, way, f"{does}, all clients together at most", "MB/s", "smallest", reason)]
        if pools and ground.has("phases", f"{way}_bottleneck"):
            found.append(in_worst(ground, "phases", f"{way}_bottleneck", f"what limits {does}"))
        alone = reason or "unknown: no one client link"
        found.append(measure(ground, f"one_client_{way}", f"{does}, one client at most", "MB/s", "smallest", alone))
    return found


def safe_case(ground: Ground, pools: Sequence[Scheme]) -> list[Measure]:
    """After which loss the safe capacity of the only pool is safe; of several, each says so for itself."""
    if len(pools) != 1:
        return []
    return [in_worst(ground, f"pool {pools[0].pool.pool}", "safe_case", "safe after which loss")]


def in_worst(ground: Ground, kind: str, name: str, label: str) -> Measure:
    """The words of a column in its worst phase, once `keep_worst` has found it."""
    reasons = tuple(always(text) for text in ground.own(kind, name).words)
    kept = ground.own(kind, f"least {name}")
    return Measure(name, label, "", lambda _: plain(0.0), reasons=reasons, state=lambda _: at(kept, -1))


def keep_worst(ground: Ground, kind: str, names: tuple[str, str]) -> None:
    """Which words a column has in the first phase in which another one is smallest, found phase by phase."""
    told, figure = (ground.own(kind, name) for name in names)
    model, table, state = ground.model, told.table, told.state
    assert state is not None
    assert figure.unit is not None
    label = f"{figure.label}: smallest so far"
    lowest = model.recurrence(
        table, f"least {figure.name}", label, written(figure.unit),
        lambda own: call("smaller", figure, call("previous", own, figure)),
    )  # fmt: skip
    lower = call("more_than", call("previous", lowest, figure), figure)
    model.recurrence(
        table, f"least {told.name}", f"{told.label}: at the smallest so far", "",
        lambda own: call("where", lower, state, call("previous", own, state)),
    )  # fmt: skip


def recovering(ground: Ground, pools: Sequence[Scheme], missing: str) -> list[Measure]:
    """Recovery times and the hours a year that they add up to."""
    reason = missing or (why_unknown(ground, pools) if pools else "")
    bare = Reason(lambda g: call("more_than", 1.0, call("smallest", g.own("phases", "node_losses"))), NO_REDUNDANCY)
    late = [no_lead_time(one) for one in pools if one.pool.lead_time is None]
    none = (few_nodes(), bare, *late)
    return [
        measure(ground, "recovery_drive", "recovery of a drive, longest", "h", "largest", reason, none),
        measure(ground, "recovery_node", "recovery of a node, longest", "h", "largest", reason, none),
        measure(ground, "exposed_hours", "hours a year with less redundancy", "h/year", "largest", reason, none),
    ]


def few_nodes() -> Reason:
    """Where a pool has fewer nodes than pieces it holds nothing."""
    return Reason(lambda g: call("largest", g.own("phases", "lacking")), FEW_NODES)


def no_lead_time(one: Scheme) -> Reason:
    """Where a lost node waits for its replacement, recovery is unknown without a lead time."""
    return Reason(lambda _: 1.0 - call("smallest", one.of("whole")), f"unknown: no lead time of pool {one.pool.pool}")


def costs(ground: Ground) -> list[Measure]:
    """What a usable TB, and a GB/s, cost a month."""
    kept = Reason(
        lambda g: call("at_least", TINY, call("largest", g.own("phases", "recommended"))), "none: nothing can be kept"
    )
    about = ("cost_per_TB", "a month per TB kept within the fill limit, average", "{money}/TB/month")
    found = [per(ground, about, "recommended", average, (kept,))]
    for way, does in DOES.items():

        def rate(g: Ground, way: str = way) -> Node:
            return call("smallest", g.own("phases", way)) / Constant(1000.0, unit("MB/s"))

        nothing = Reason(lambda g, way=way: call("at_least", Constant(1e-9, unit("MB/s")), call(  # type: ignore[misc]
            "smallest", g.own("phases", way))), f"none: {does} stops")  # fmt: skip
        about = (f"cost_per_{way}", f"a month per GB/s of {does}", "{money}/month")
        found.append(per(ground, about, way, rate, (nothing,)))
    return found


def per(
    ground: Ground, about: tuple[str, str, str], name: str, amount: Callable[[Ground], Node], none: tuple[Reason, ...]
) -> Measure:
    """The equivalent month, per unit of something delivered."""
    if not ground.has("phases", name):
        return unknown_measure(*about[:2], about[2].format(money=ground.money))
    return Measure(*about, lambda g: g.own("measures", "equivalent_month") / amount(g) / one_month(), reasons=none)


def average(ground: Ground) -> Node:
    """Recommended capacity, averaged over the months."""
    kept = call("sum_product", ground.own("phases", "months"), ground.own("phases", "recommended"))
    return kept / Constant(float(ground.horizon), unit("month"))
