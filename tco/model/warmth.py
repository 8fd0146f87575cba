"""What a build's waste heat is worth at its site, where the study says so: bought heat saved, and cooling paid for.

In heating months a share of each kWh drawn stands in for bought heat: kWh x share x price / efficiency (or COP). In
cooling months each kWh needs 1 / COP kWh more, which go through the home's bill after the build's own.
"""

from __future__ import annotations

from collections.abc import Sequence

from tco.engine import Node, added
from tco.engine.nodes import as_node
from tco.model.bills import Payer, bill, energy_of
from tco.model.calendar import month_after
from tco.model.ground import Ground
from tco.model.marginal import energies, has_bill, own_energy
from tco.model.tariff import Tariff

SEASONS = "which months are heated and cooled (start, horizon, sites)"


def is_heated(ground: Ground) -> bool:
    """Whether waste heat counts as a saving."""
    return ground.scenario.stands is not None and ground.scenario.stands.heat_used is not None


def is_cooled(ground: Ground) -> bool:
    """Whether waste heat has to be cooled away."""
    site = ground.scenario.stands
    return site is not None and bool(site.cooling) and bool(ground.scenario.tariff)


def heat(ground: Ground) -> Node:
    """What waste heat costs in a month; negative where it saves more."""
    terms = [bought_heat(ground)] if is_heated(ground) else []
    if is_cooled(ground):
        label = "electricity for cooling"
        terms.append(as_node(ground.model.column(ground.months, "cooling", label, ground.money, cooling(ground))))
    return added(terms) if terms else ground.nothing()


def season(ground: Ground, name: str, label: str, months: Sequence[int]) -> Node:
    """1 in those months of the year, 0 in others."""
    start = ground.study.settings.start
    flags = [0.0, *(float(month_after(start, t).month in months) for t in range(ground.horizon))]
    return as_node(ground.model.given(ground.months, name, label, "", flags, computed=SEASONS))


def bought_heat(ground: Ground) -> Node:
    """The heat that need not be bought, as a negative cost; its price grows as other prices."""
    assert ground.scenario.stands is not None
    heated = season(ground, "heated", "heated (1)", ground.scenario.stands.heating)
    of_one = ground.site("heat_used") * ground.site("heat_price") / ground.site("heat_efficiency")
    return ground.nothing() - ground.month("energy") * heated * of_one * ground.month("other_level")


def cooling(ground: Ground) -> Node:
    """What the electricity for cooling away the build's heat costs."""
    assert ground.scenario.stands is not None
    cooled = season(ground, "cooled", "cooled (1)", ground.scenario.stands.cooling)
    more = cooled * (1.0 / ground.site("cooling_COP"))
    if not has_bill(ground):
        return ground.month("energy") * more * ground.month(f"price {ground.scenario.tariff}")
    tariff, table = Tariff(ground.study, ground.scenario.tariff), ground.own("bill", "bill").table
    for tail, words in energies(tariff):
        whole = ground.own("bill", f"energy{tail}") + own_energy(ground, tail) * more
        ground.model.column(table, f"cooled energy{tail}", f"kWh, with cooling too{words}", "kWh", whole)
    peak = as_node(ground.own("bill", "peak")) if ground.has("bill", "peak") else None
    energy = energy_of(ground.model, tariff, table, "cooled ")
    payer = Payer(ground.model, tariff, table, energy, peak, "cooled ", ", with cooling")
    return bill(payer) - ground.own("bill", "bill")
