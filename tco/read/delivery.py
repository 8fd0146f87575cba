"""What builds deliver: drives and their pools, what parts provide and need, sound levels, sites, needs."""

from __future__ import annotations

from collections.abc import Sequence
from math import fsum, isnan

from tco import units
from tco.addresses import label
from tco.errors import Place
from tco.read.curves import place
from tco.read.found import Found, of, tell_absent
from tco.read.problems import Problems, nearest, shown, suggestion
from tco.read.tables import Table
from tco.read.wear import check_first
from tco.study import Amount, Part, Pool, Row, Scenario, Site

GROUP_LIMIT = 20  # groups of nodes in one pool: its formulas grow with their square
BOTTLENECK_LIMIT = 60  # drives and links of a scenario: spreadsheet programs nest 64 functions, one for each of them


def check_gear(table: Table[Part], problems: Problems) -> None:
    """One parts list, whichever scenarios use it."""
    for part in table.rows:
        _check_drive(part, problems)
        _check_noise(part, problems)
    _check_amounts(table, problems)


def _check_drive(part: Part, problems: Problems) -> None:
    """A drive of a pool has a capacity and stands in a node."""
    if not part.pool or not part.quantity > 0:
        return
    for name, what in (("capacity", "such as '16 TB'"), ("node", "the group of nodes in which it stands")):
        if name not in part.places:
            problems.add(place(part, "pool"), f"pool: a drive of a pool needs a {name}, {what}")


def _check_noise(part: Part, problems: Problems) -> None:
    """Sound levels say what they are: of a source, or at a distance."""
    idle, busy = part.noise_idle, part.noise_busy
    if busy is not None and idle is None:
        problems.add(place(part, "noise_busy"), "noise busy: needs 'noise idle' beside it")
    elif busy is not None and idle is not None and busy < idle:
        message = f"noise busy: {busy:g} dB(A) is below the idle level, {idle:g} dB(A)"
        problems.add(place(part, "noise_busy"), message)
    if max(idle or 0.0, busy or 0.0) > 0 and "noise_as" not in part.places:
        name = "noise_idle" if idle is not None else "noise_busy"
        message = f"{label(name)}: needs 'noise as' beside it: 'power' or 'pressure'; they differ by 8 dB and more"
        problems.add(place(part, name), message)
    if part.noise_as == "pressure" and part.noise_distance is None:
        message = "noise as: a pressure needs the 'noise distance' at which it was measured, such as '1 m'"
        problems.add(place(part, "noise_as"), message)
    if part.noise_as == "power" and part.noise_distance is not None:
        message = "noise distance: a sound power has none; leave it empty, or write 'pressure' under 'noise as'"
        problems.add(place(part, "noise_distance"), message)


def _check_amounts(table: Table[Part], problems: Problems) -> None:
    """What parts need, some part of the list provides, in the same kind of unit."""
    if not table.whole:
        return
    offered: dict[str, Amount] = {}
    refused = any("provides" in part.places and not part.provides for part in table.rows)
    for part in table.rows:
        for amount in part.provides:
            first = offered.setdefault(amount.name, amount)
            _check_kind(part, "provides", amount, first, problems)
    for part in table.rows:
        for amount in part.needs:
            if amount.name in offered:
                _check_kind(part, "needs", amount, offered[amount.name], problems)
            elif not refused:
                names = [one.shown or one.name for one in offered.values()]
                hint = suggestion(amount.name, names) or "; write under 'provides' which part offers it"
                message = f"needs: no part of {table.file} provides {shown(amount.shown or amount.name)}{hint}"
                problems.add(place(part, "needs"), message)


def _check_kind(part: Part, field: str, amount: Amount, other: Amount, problems: Problems) -> None:
    """One name counts one kind of thing."""
    if not units.same_kind(units.unit(amount.unit), units.unit(other.unit)):
        message = f"{field}: {shown(str(amount))} and {shown(str(other))} are not counted in the same kind of unit"
        problems.add(place(part, field), message)


def check_sites(found: Found, problems: Problems) -> None:
    """Sites: each once, with what its circuit needs to be judged."""
    _check_once(found.sites.rows, "site", problems)
    for site in found.sites.rows:
        _check_circuit(site, problems)


def _check_circuit(site: Site, problems: Problems) -> None:
    """A breaker is judged by a rule, and amperes by a voltage."""
    if site.breaker is not None and "rule" not in site.places:
        message = "breaker: needs 'rule' beside it: 'rating', or 'continuous 125 %' (USA)"
        problems.add(place(site, "breaker"), message)
    for name in ("breaker", "plug"):
        if getattr(site, name) is not None and site.voltage is None:
            problems.add(place(site, name), f"{name}: needs 'voltage' beside it, such as '230 V'")


def _check_once(rows: Sequence[Row], name: str, problems: Problems) -> None:
    """Each name once."""
    seen: dict[str, Row] = {}
    for row in rows:
        text = str(getattr(row, name))
        first = seen.setdefault(text, row)
        if text and first is not row:
            message = f"{name} {shown(text)} stands in line {first.places[''].line} already; keep one"
            problems.add(place(row, name), message)


def check_delivery(found: Found, scenario: Scenario, problems: Problems) -> None:
    """One scenario: its site, its pools and their drives, or what it states instead."""
    if scenario.site and found.sites.whole and all(scenario.site != site.site for site in found.sites.rows):
        tell_absent(scenario, "site", "site", found.sites.file, {site.site for site in found.sites.rows}, problems)
    if not scenario.scenario:  # a refused name: nothing is known to belong to it
        return
    pools, stated = of(found.pools, scenario), of(found.stated, scenario)
    _check_once(pools, "pool", problems)
    _check_once(stated, "scenario", problems)
    if pools and stated:
        message = (
            f"scenario {shown(scenario.scenario)} has pools ({place(pools[0], 'pool')}); they say what it delivers"
        )
        problems.add(place(stated[0], "scenario"), message)
    for pool in pools:
        _check_scheme(pool, problems)
    strays = _strays(found)
    _check_traffic(pools, problems, whole=not strays)
    _check_drives(found, scenario, pools, strays, problems)
    check_first(found, scenario, strays, problems)
    _check_groups(found, scenario, problems)
    _check_bottlenecks(found, scenario, problems)


def _strays(found: Found) -> set[str]:
    """Pools of a scenario that does not exist: they may belong to any, and are told once, where they stand."""
    scenarios = {row.scenario for row in found.scenarios.rows if row.scenario}
    return {pool.pool for pool in found.pools.rows if pool.scenario not in scenarios}


def _check_scheme(pool: Pool, problems: Problems) -> None:
    """Copies, or data and parity; not both, not neither."""
    has = [name for name in ("data", "parity") if name in pool.places]
    if "copies" in pool.places and has:
        message = f"copies: {' and '.join(has)} stated as well; keep one redundancy scheme"
        problems.add(place(pool, "copies"), message)
    elif "copies" not in pool.places and not has:
        message = "copies: empty; write how many copies, or both 'data' and 'parity'"
        problems.add(place(pool, "copies"), message)
    elif "copies" not in pool.places and len(has) == 1:
        missing = "parity" if has == ["data"] else "data"
        problems.add(place(pool, has[0]), f"{has[0]}: needs {shown(missing)} beside it, or write 'copies' instead")


def _check_traffic(pools: Sequence[Pool], problems: Problems, *, whole: bool) -> None:
    """Shares of the traffic: for all pools of a scenario or for none, and together all of it, where all are known."""
    told = [pool for pool in pools if pool.traffic is not None]
    if not told or any(isnan(pool.traffic or 0.0) for pool in told):
        return
    if len(told) < len(pools):
        missing = next(pool for pool in pools if pool.traffic is None)
        message = f"traffic: empty, but {place(told[0], 'traffic')} states one; state it for all pools of a scenario"
        problems.add(place(missing, "traffic"), message)
    elif whole and abs(fsum(pool.traffic or 0.0 for pool in told) - 1.0) > 1e-9:
        total = 100 * fsum(pool.traffic or 0.0 for pool in told)
        problems.add(
            place(told[0], "traffic"), f"traffic: the pools of this scenario add up to {total:g} %, not 100 %"
        )


def _check_drives(
    found: Found, scenario: Scenario, pools: Sequence[Pool], strays: set[str], problems: Problems
) -> None:
    """Every drive's pool is known, and every pool has drives."""
    table = found.parts_of(scenario)
    drives = [part for part in table.rows if part.pool]
    names, used = {pool.pool for pool in pools}, {part.pool for part in drives if part.quantity != 0}
    meant = {nearest(part.pool, names) for part in drives if part.pool not in names}  # told at the drive
    for part in drives:
        if part.pool not in names | strays and found.pools.whole:
            message = f"pool: {shown(scenario.scenario)} has no pool {shown(part.pool)} in {found.pools.file}"
            problems.add(place(part, "pool"), message + suggestion(part.pool, names))
    for pool in pools:
        if pool.pool and pool.pool not in used | meant and table.whole:
            lacks = (
                f"no part of {table.file} is a drive of it" if table.file else "there is no parts list with drives"
            )
            message = f"pool: {shown(pool.pool)} of {shown(scenario.scenario)} is empty: {lacks}"
            problems.add(place(pool, "pool"), message + suggestion(pool.pool, used))


def _check_groups(found: Found, scenario: Scenario, problems: Problems) -> None:
    """The nodes in which drives of pools stand are counted; nodes.py tells of those that are missing among others."""
    drives = [part for part in found.parts_of(scenario).rows if part.pool and part.node and part.quantity != 0]
    scenarios = {row.scenario for row in found.scenarios.rows}
    elsewhere = {node.node for node in found.nodes.rows if node.scenario not in scenarios}
    counts = bool(of(found.nodes, scenario)) or not found.nodes.whole
    groups: dict[str, set[str]] = {}
    for part in drives:
        if not counts and part.node not in elsewhere:
            message = f"node: {found.nodes.file} must say how many nodes {shown(part.node)} there are"
            problems.add(place(part, "node"), message)
            elsewhere.add(part.node)
        groups.setdefault(part.pool, set()).add(part.node)
        if len(groups[part.pool]) == GROUP_LIMIT + 1:
            message = f"pool: drives of {shown(part.pool)} stand in more than {GROUP_LIMIT} groups of nodes, the most"
            problems.add(place(part, "pool"), message)


def _check_bottlenecks(found: Found, scenario: Scenario, problems: Problems) -> None:
    """Not more rows of drives, with the links of their nodes, than a formula can look through."""
    links = {node.node: 1 + ("replication_link" in node.places) for node in of(found.nodes, scenario)}
    count, seen = 0, set()
    for part in found.parts_of(scenario).rows:
        if not part.pool or part.quantity == 0:
            continue
        before = count
        count += 1 + (links.get(part.node, 1) if part.node not in seen else 0)
        seen.add(part.node)
        if before <= BOTTLENECK_LIMIT < count:
            message = (
                f"pool: with this row {shown(scenario.scenario)} has more than {BOTTLENECK_LIMIT} rows of drives and "
                "links of their nodes; gather equal drives and equal nodes in one row"
            )
            problems.add(place(part, "pool"), message)


def check_needs(found: Found, problems: Problems) -> None:
    """Needs that lean on something else have it."""
    needs = found.needs
    if needs is None:
        return
    if "usable_growth" in needs.places and "usable" not in needs.sources:
        problems.add(place(needs, "usable_growth"), "usable growth: needs 'usable' as well, what it grows from")
    settings = found.settings
    known = {"data_held", "data_added"} & set(settings.places) or isnan(settings.data_held)
    if needs.hold_data and not known:
        where = settings.places.get("", Place("study.csv")).file
        problems.add(place(needs, "hold_data"), f"hold data: {where} does not say 'data held'; add it")
