"""What a build must deliver, and whether a scenario does: met, missed (by how much, from which month) or unknown.

Judged in every month (what goes by the month) or in every phase. A need whose figure is not known is unknown, with
the input that is missing; only scenarios that meet all needs are ranked.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields
from typing import Any

from tco.engine import Column, Constant, Node, added, call, most
from tco.engine.nodes import as_node, plain
from tco.model import site
from tco.model.ground import Ground, growing, one_month
from tco.model.lines import LINES
from tco.model.measure import LEVEL, Measure, Reason, always
from tco.model.shared import in_years
from tco.study import Needs, Study
from tco.units import unit

AT_MOST = {"noise_idle", "noise_busy", "power", "circuit", "budget_start", "budget_month"}  # of the others, at least
ALIKE = 1e-9  # of what is wanted: figures nearer than this are as wanted
FULL = Constant(1.0, unit(""))
BACKUP = {"yes": "met", "no": "missed", "": "unknown: not stated whether there is a backup"}


@dataclass(frozen=True)
class Need:
    """One need. wanted, there: by row of the table that `rows` names, `months` or `phases`; missing: why not known.

    field: its name in needs.csv. silent: whether none at all meets it.
    """

    field: str
    label: str
    unit: str
    rows: str
    wanted: Callable[[Ground], Any]
    there: Callable[[Ground], Any]
    missing: str = ""
    silent: bool = False
    percent: bool = False

    @property
    def at_most(self) -> bool:
        """Whether more than wanted misses it."""
        return self.field in AT_MOST


def wanted_of(field: str) -> Callable[[Ground], Any]:
    """The cell in which a need stands."""
    return lambda ground: ground.model[f"needs.{field}"]


def stated_names(study: Study) -> list[str]:
    """The needs that a study states, by their names in needs.csv, in the order of their definition."""
    said = set(study.needs.places) - {"", "usable_growth"} if study.needs is not None else set()
    return [one.name for one in fields(Needs) if one.name in said]


def needs_of(ground: Ground) -> list[Need]:
    """The needs that the study states, with the figure that answers each; a backup is told by itself."""
    stated = ground.study.needs
    if stated is None:
        return []
    every = [*kept(ground, stated), *figures(ground), *sounds(ground), *paid(ground), *circuit(ground)]
    by_name = {need.field: need for need in every}
    return [by_name[name] for name in stated_names(ground.study) if name in by_name]


def kept(ground: Ground, stated: Needs) -> list[Need]:
    """Capacity, month by month."""
    missing = why(ground, "recommended")

    def growing_need(g: Ground) -> Node:
        start = wanted_of("usable")(g)
        if stated.usable_growth is None:
            return as_node(start)
        return start * growing(g.model["needs.usable_growth"], in_years(g.month("month")))  # type: ignore[no-any-return]

    def there(g: Ground) -> Any:
        return g.month("recommended")

    return [
        Need("usable", "capacity within the fill limit", "TB", "months", growing_need, there, missing),
        Need(
            "hold_data",
            "room for the data held",
            "TB",
            "months",
            lambda g: g.month("data_held"),
            there,
            missing,
        ),
    ]


def why(ground: Ground, name: str) -> str:
    """Why a figure of the phases is not known, as its measure says; empty where it is."""
    return "" if ground.has("phases", name) else ground.measure(name).words[0]


def of_phases(name: str) -> Callable[[Ground], Any]:
    """A figure of the phases."""
    return lambda ground: ground.own("phases", name)


def figures(ground: Ground) -> list[Need]:
    """Resilience and throughput, phase by phase."""
    labels = {
        "node_losses": ("node losses that lose no data", ""),
        "losses_writing": ("node losses during which writing goes on", ""),
        "read": ("reading, all clients together", "MB/s"),
        "write": ("writing, all clients together", "MB/s"),
        "one_client_read": ("reading, one client", "MB/s"),
        "one_client_write": ("writing, one client", "MB/s"),
    }
    return [
        Need(name, label, unit_text, "phases", wanted_of(name), of_phases(name), why(ground, name))
        for name, (label, unit_text) in labels.items()
    ]


def sounds(ground: Ground) -> list[Need]:
    """Sound at the bed; silence is met."""
    found = []
    for state in site.STATES:
        name = f"noise_{state}"
        missing = why(ground, name)
        silent = missing.startswith("silent")
        label = f"sound level at the bed, {state}"
        found.append(Need(name, label, "dBA", "phases", wanted_of(name), of_phases(name), missing, silent))
    return found


def paid(ground: Ground) -> list[Need]:
    """Power and what is paid."""
    money = ground.money

    def monthly(g: Ground) -> Node:
        return added([g.month(line.name) for line in LINES if line.monthly]) / one_month()

    return [
        Need("power", "average power", "W", "months", wanted_of("power"), lambda g: g.month("power")),
        Need(
            "budget_start", "paid at the start", money, "phases",
            wanted_of("budget_start"), lambda g: g.own("measures", "paid_at_start"),
        ),
        Need(
            "budget_month", "paid a month to run it and for what fails", f"{money}/month", "months",
            wanted_of("budget_month"), monthly,
        ),
    ]  # fmt: skip


def circuit(ground: Ground) -> list[Need]:
    """The larger load of circuit and plug, of what they may carry."""
    loads = [name for name in ("circuit_load", "plug_load") if ground.has("phases", name)]

    def load(g: Ground) -> Node:
        return most([g.own("phases", name) for name in loads])

    missing = why(ground, "circuit_load")  # a plug without a rating of its own carries what the breaker does
    silent = missing == "none: no hardware"
    about = ("circuit", "load of circuit and plug", "", "phases")
    return [Need(*about, lambda _: FULL, load, missing, silent, percent=True)]


def judge(ground: Ground) -> list[Measure]:
    """The study's needs: by how much each is missed, row by row, and what is measured of that.

    What is delivered and paid must be measured already: a need that is unknown says why in the measure's own words.
    """
    needs = needs_of(ground)
    for need in needs:
        if not need.missing:
            shortfall(ground, need)
    return measures(ground, needs)


def shortfall(ground: Ground, need: Need) -> None:
    """What is short, 0 where nothing is; the month where it is, and one after the horizon where it is not."""
    model, table = ground.model, ground.months if need.rows == "months" else ground.phases
    first: Any = ground.month("month")
    if need.rows == "phases":  # the first phase begins at the start, month 0
        month = ground.own("phases", "month")
        first = month * call("more_than", month, one_month())
    wanted, there = need.wanted(ground), need.there(ground)
    over = there - wanted if need.at_most else wanted - there
    nothing = Constant(0.0, unit(need.unit))
    name, label = need.field, need.label
    short = model.column(
        table, f"short {name}", f"{label}: short by", need.unit, call("larger", over, nothing), percent=need.percent
    )
    after = Constant(ground.horizon + 1.0, unit("month"))
    missed = call("more_than", short, near(need, wanted))
    model.column(table, f"since {name}", f"{label}: month, if missed", "month", call("where", missed, first, after))


def near(need: Need, wanted: Any) -> Node:
    """A difference that is none."""
    if need.field.startswith("budget"):
        return Constant(LEVEL, unit(need.unit))
    return as_node(wanted) * ALIKE


def measures(ground: Ground, needs: Sequence[Need]) -> list[Measure]:
    """For each need the verdict, by how much it is missed and from which month; then whether all are met."""
    found = [one for need in needs for one in verdict(need)]
    stated = ground.study.needs
    backup = stated is not None and stated.backup_elsewhere
    if backup:
        label = "a backup elsewhere"
        found.append(
            Measure(
                "need_backup_elsewhere",
                label,
                "",
                nothing,
                reasons=(always(BACKUP[ground.scenario.backup_elsewhere]),),
            )
        )
    if not found:
        return [Measure("needs_open", "needs not met", "", nothing, table="reasons")]
    return [*found, *together(ground, needs, backup=bool(backup))]


def nothing(_: Ground) -> Node:
    """0, of a figure that is words."""
    return plain(0.0)


def verdict(need: Need) -> list[Measure]:
    """One need's three figures."""
    name, unit_text = need.field, need.unit
    label = need.label
    if need.missing:
        words = (
            "met"
            if need.silent
            else need.missing
            if need.missing.startswith("unknown")
            else f"unknown: {need.missing}"
        )
        short = f"none: {words}" if need.silent else words
        zero = Constant(0.0, unit(unit_text))
        return [
            Measure(f"need_{name}", label, "", nothing, reasons=(always(words),)),
            Measure(f"need_{name}_short", f"{label}: short by", unit_text, lambda _: zero, reasons=(always(short),)),
        ]
    met = Reason(lambda g: 1.0 - missed(g, need), "none: met")
    return [
        Measure(
            f"need_{name}", label, "", nothing, reasons=(Reason(lambda g: missed(g, need), "missed"), always("met"))
        ),
        Measure(
            f"need_{name}_short", f"{label}: short by at most", unit_text, lambda g: largest(g, need),
            percent=need.percent, reasons=(met,),
        ),
        Measure(f"need_{name}_from", f"{label}: missed from", "month", lambda g: since(g, need), reasons=(met,)),
    ]  # fmt: skip


def column(ground: Ground, need: Need, what: str) -> Column:
    """A need's column of its months or phases."""
    return ground.own(need.rows, f"{what} {need.field}")


def largest(ground: Ground, need: Need) -> Node:
    """The most that is short."""
    return call("largest", column(ground, need, "short"))


def since(ground: Ground, need: Need) -> Node:
    """The first month in which a need is missed."""
    return call("smallest", column(ground, need, "since"))


def missed(ground: Ground, need: Need) -> Node:
    """Whether a need is missed in any month."""
    return call("at_least", Constant(float(ground.horizon), unit("month")), since(ground, need))


def together(ground: Ground, needs: Sequence[Need], *, backup: bool) -> list[Measure]:
    """Whether all needs are met, and how many are not."""
    said = BACKUP[ground.scenario.backup_elsewhere] if backup else "met"
    unknown = sum(bool(need.missing) and not need.silent for need in needs) + said.startswith("unknown")
    known = [need for need in needs if not need.missing]

    def count(g: Ground) -> Node:
        return added([plain(float(said == "missed")), *(missed(g, need) for need in known)])

    def all_open(g: Ground) -> Node:
        return count(g) + float(unknown)

    reasons = (
        Reason(lambda g: call("more_than", count(g), 0.0), "no"),
        Reason(lambda _: float(unknown > 0), "unknown"),
        always("yes"),
    )
    return [
        Measure("meets_needs", "meets all needs", "", nothing, reasons=reasons),
        Measure("needs_missed", "needs missed", "", count),
        Measure("needs_unknown", "needs unknown", "", lambda _: plain(float(unknown))),
        Measure("needs_open", "needs not met", "", all_open, table="reasons"),
    ]
