"""Going on, extending or replacing: what each costs from today to the end; what is spent already is left out.

What is decided today comes at the end of the next month, at that month's price, and is of use from the month after.
All costs are at their worth at the end of the last month that is known.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import fsum

import numpy as np

from tco.ask.compare import Comparison, compare
from tco.ask.grow_room import lacking
from tco.ask.offers import Bought, with_all
from tco.ask.track import Tracked
from tco.errors import StockError
from tco.model import LINES, Ground
from tco.model.fit import shortages
from tco.model.needs import Need, needs_of, stated_names
from tco.purchase import Offer, offers, with_needed
from tco.study import Fee, OneOff, Part, Scenario

AT_START = "budget_start"  # a need about what was paid long ago


@dataclass(frozen=True)
class Way:
    """One way to go on from today.

    kind: `go on`, `extend` or `replace`; name: what is bought, or the scenario that takes the place, if any.
    cost: from today to the end. first: what changes hands in the next month. misses: the needs that it misses from
    then on, or of which it is not known. impossible: why it cannot be done; empty where it can.
    """

    kind: str
    name: str
    cost: float = 0.0
    first: float = 0.0
    misses: tuple[str, ...] = ()
    impossible: str = ""

    @property
    def counts(self) -> bool:
        """Whether it can be done and meets all needs."""
        return not self.misses and not self.impossible


def ways(found: Tracked) -> list[Way]:
    """Every way to go on; none where the horizon is over. Going on comes first, then extensions, then others."""
    month = found.months + 1
    if month > found.horizon:
        return []
    purchases = next(one for one in found.source.scenarios if one.scenario == found.name).purchases
    own = replace(found.went.scenario, baseline=True)
    every = offers(purchases)
    more, refused = extended(found, own, every, month, made(found, every))
    others = [shifted(found, one, month) for one in found.source.scenarios if one.scenario != found.name]
    study = replace(found.comparison.study, scenarios=(own, *more.values(), *others))
    comparison = compare(study)
    going, *rest = comparison.built.grounds
    kept = [Way("go on", "", *costs(comparison, going, found.months), misses(comparison, going, month))]
    kept += [
        extending(comparison, going, ground, name, found.months) for name, ground in zip(more, rest, strict=False)
    ]
    kept += [taking_over(comparison, going, ground, month) for ground in rest[len(more) :]]
    return [*kept, *refused]


def best(found: Sequence[Way]) -> Way | None:
    """The cheapest way that can be done and meets all needs; where none does, of all that can be done."""
    able = [one for one in found if not one.impossible]
    meeting = [one for one in able if one.counts] or able
    return min(meeting, key=lambda one: one.cost, default=None)


def made(found: Tracked, every: Sequence[Offer]) -> Counter[str]:
    """How many times each purchase was made: as often as the ledger has all of its parts beyond the plan.

    In the order of the file; what took a failed unit's place is no purchase.
    """
    left = Counter(found.stock.purchased)
    left.subtract({part.part: part.quantity for part in found.plan.scenario.parts})
    count: Counter[str] = Counter()
    for offer in every:
        wanted: Counter[str] = Counter()
        for row in offer.rows:
            wanted[row.part] += row.quantity if row.part else 0
        while wanted.total() and count[offer.name] < offer.most and all(left[one] >= wanted[one] for one in wanted):
            left.subtract(wanted)
            count[offer.name] += 1
    return count


def extended(
    found: Tracked, own: Scenario, every: Sequence[Offer], month: int, done: Counter[str]
) -> tuple[dict[str, Scenario], list[Way]]:
    """The scenario with each purchase and what it needs, by name; and those that are impossible by now.

    done: how many times each was made already.
    """
    able: dict[str, Scenario] = {}
    refused: list[Way] = []
    for offer in (one for one in every if done[one.name] < one.most):
        along = [one for one in with_needed(offer, every) if one is offer or not done[one.name]]
        bought = [Bought(one, month, done[one.name] + 1) for one in along]
        title = " + ".join(one.offer.name for one in bought)
        if why := excluded(along, [one for one in every if done[one.name]]):
            refused.append(Way("extend", title, impossible=why))
            continue
        try:
            scenario = with_all(found.source, own, bought)
        except StockError as error:
            why = f"{error.lacking} '{error.part}' fewer are there than would go"
            refused.append(Way("extend", title, impossible=why))
            continue
        able[title] = replace(scenario, scenario=f"{found.name} with {title}", baseline=False)
    return able, refused


def extending(comparison: Comparison, going: Ground, ground: Ground, name: str, months: int) -> Way:
    """The scenario with a purchase; impossible where something does not fit that fits as it goes on."""
    own, before = (lacking(one, comparison.figures) for one in (ground, going))
    if own.more_than(before):
        known = shortages(going, comparison.figures)
        short = [one for one in shortages(ground, comparison.figures) if one not in known]
        return Way("extend", name, impossible=f"it does not fit: {'; '.join(short)}")
    return Way("extend", name, *costs(comparison, ground, months), misses(comparison, ground, months + 2))


def excluded(wanted: Sequence[Offer], there: Sequence[Offer]) -> str:
    """Why purchases cannot be made beside those that were; empty where they can."""
    for one in wanted:
        for other in there:
            if one.name in other.excludes or other.name in one.excludes:
                return f"{other.name}, which was bought, excludes {one.name}"
    return ""


def shifted(found: Tracked, other: Scenario, month: int) -> Scenario:
    """Another scenario as it is if it begins at the end of a month: parts, fees and one-offs later by so many months.

    One-offs that the scenario that was built has as well are done; what falls on the end of the study stays there.
    """
    done = {one.what for one in found.plan.scenario.one_offs}
    horizon = found.horizon
    return replace(
        other,
        scenario=f"{other.scenario}, from {found.month_names[month]}",
        parts=tuple(later_parts(other.parts, month, horizon)),
        fees=tuple(later_fees(other.fees, month, horizon)),
        one_offs=tuple(later_one_offs((one for one in other.one_offs if one.what not in done), month, horizon)),
        purchases=(),
        baseline=False,
    )


def later_parts(parts: Sequence[Part], month: int, horizon: int) -> Iterator[Part]:
    """Rows of a parts list bought later; those that would come after the end only give their price."""
    for part in parts:
        bought = part.bought + month
        leaves = None if part.leaves is None or part.leaves + month >= horizon else part.leaves + month
        if bought > horizon or (bought == horizon and leaves is not None):
            yield replace(part, quantity=0, bought=0, leaves=None)
        else:
            yield replace(part, bought=bought, leaves=leaves)


def later_fees(fees: Sequence[Fee], month: int, horizon: int) -> Iterator[Fee]:
    """Fees that begin and end later."""
    for fee in fees:
        if fee.first + month <= horizon:
            last = None if fee.last is None or fee.last + month >= horizon else fee.last + month
            yield replace(fee, first=fee.first + month, last=last)


def later_one_offs(rows: Iterable[OneOff], month: int, horizon: int) -> Iterator[OneOff]:
    """One-offs later, those at the end of the study there."""
    for row in rows:
        if row.month == horizon or row.month + month <= horizon:
            yield replace(row, month=min(horizon, row.month + month))


def costs(comparison: Comparison, ground: Ground, months: int) -> tuple[float, float]:
    """What a scenario costs after a month, at its worth then; and what changes hands in the month after."""
    worth, then = comparison.of(ground.month("present_value")), comparison.of(ground.month("discount_factor"))
    return float(worth[months + 1 :].sum() / then[months]), cash(comparison, ground, months + 1)


def cash(comparison: Comparison, ground: Ground, month: int) -> float:
    """What changes hands in a month for things: purchase, sale and the like."""
    own = (line.name for line in LINES if line.investment and line.cash)
    return fsum(comparison.of(ground.month(name))[month] for name in own)


def taking_over(comparison: Comparison, going: Ground, other: Ground, month: int) -> Way:
    """Another scenario from the end of a month on, in which all that is there is sold; until then as it goes on."""

    def of(ground: Ground, name: str) -> float:
        return float(comparison.of(ground.month(name))[month])

    factors = comparison.of(going.month("discount_factor"))
    sold = of(going, "if_sold") - of(going, "resale") - of(going, "disposal")
    until = of(going, "present_value") + sold * factors[month]
    worth = comparison.of(other.month("present_value"))[month + 1 :].sum()
    cost = float((until + of(other, "investment_worth") + worth) / factors[month - 1])
    first = cash(comparison, going, month) + sold + cash(comparison, other, month)
    name = other.scenario.scenario.rsplit(", from ", 1)[0]
    return Way("replace", name, cost, first, misses(comparison, other, month + 1))


def misses(comparison: Comparison, ground: Ground, first: int) -> tuple[str, ...]:
    """The needs that a scenario misses in some month from `first` on, or of which it is unknown; what was paid at the
    start is left out.
    """
    found = []
    for need in needs_of(ground):
        month = missed_from(comparison, ground, need, first) if need.field != AT_START else None
        if month is not None:
            found.append(f"{need.label}{f' (from {ground.months.rows[month]})' if month else ' (unknown)'}")
    if "backup_elsewhere" in stated_names(comparison.study) and ground.scenario.backup_elsewhere != "yes":
        found.append("a backup elsewhere")
    return tuple(found)


def missed_from(comparison: Comparison, ground: Ground, need: Need, first: int) -> int | None:
    """The first month from `first` to the end in which a need is missed; 0 where that is unknown, None for none."""
    if need.missing:
        return None if need.silent else 0
    since = comparison.of(ground.own(need.rows, f"since {need.field}"))
    begins = comparison.of(ground.own(need.rows, "month") if need.rows == "phases" else ground.month("month"))
    ends = np.append(begins[1:] - 1, ground.horizon)
    missed = (since <= ground.horizon) & (ends >= first)
    return int(max(first, begins[missed][0])) if missed.any() else None
