"""Plan against actuals in sentences: for the terminal and for the workbook."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tco.ask.from_today import Way, best
from tco.ask.stock import BY_LEDGER
from tco.ask.track import Apart, Tracked, by_line, by_model, energy
from tco.model import LINES
from tco.write.chance_words import Signs
from tco.write.reprice_words import joined
from tco.write.summary import kept_for

NAMED = 2  # lines that a sentence names
SMALL = 0.5  # an amount below which nothing is said, in units of money
BEFORE_LONG = 12  # months without a reading after which it is said


def answers(found: Tracked, ways: Sequence[Way], signs: Signs) -> list[str]:
    """The answer, most important first."""
    told = [so_far(found, signs), not_there(found), why(found, signs), meter(found, signs)]
    return [one for one in [*told, on_from_here(found, ways, signs)] if one]


def money(found: Tracked) -> str:
    """The study's money."""
    return found.source.settings.currency


def against(difference: float, found: Tracked, signs: Signs, what: str = "planned") -> str:
    """`331 EUR more than planned`."""
    if abs(difference) < SMALL:
        return f"as {what}"
    way = "more" if difference > 0 else "less"
    return f"{signs.amount(abs(difference))} {money(found)} {way} than {what}"


def since(found: Tracked) -> str:
    """How much of the study is known: `in 21 months, to 2026-09`."""
    if not found.months:
        return "at the start"
    return f"in {found.months} month{'s' * (found.months != 1)}, to {found.today}"


def so_far(found: Tracked, signs: Signs) -> str:
    """What it has cost, what it comes to."""
    total = by_line(found)[-1]
    now, _, whole = total.differences
    told = f"{found.name} has cost {signs.amount(total.went[0])} {money(found)} {since(found)}"
    told = f"{told}: {against(now, found, signs)}."
    if found.months == found.horizon:
        return told
    end = f"{signs.amount(total.whole[1])} {money(found)} over {kept_for(found.horizon)}"
    return f"{told} With what is to come it ends at {end}, {against(whole, found, signs)}."


def not_there(found: Tracked) -> str:
    """Parts that were to be bought by now and are not in the ledger; empty without."""
    parts = [part for part in found.plan.scenario.parts if part.bought <= found.months]
    missing = [(part.part, part.quantity - found.stock.bought(part.part)) for part in parts]
    told = [f"{number:,} of {name}" for name, number in missing if number > 0]
    if not told:
        return ""
    more = f" and {len(told) - NAMED} more parts" if len(told) > NAMED else ""
    which = f"{'; '.join(told[:NAMED])}{more}"
    return f"Planned by now, and not bought by the ledger: {which}. If they are there, write them down."


def why(found: Tracked, signs: Signs) -> str:
    """The lines that differ most, in all."""
    lines = sorted(by_line(found)[:-1], key=lambda one: -abs(one.differences[2]))
    named = [one for one in lines if abs(one.differences[2]) >= SMALL][:NAMED]
    if not named:
        return ""
    each = [
        f"{one.label.lower()} {against(one.differences[2], found, signs).removesuffix(' than planned')}"
        for one in named
    ]
    return f"What differs most, in all: {joined(each)}."


def meter(found: Tracked, signs: Signs) -> str:
    """What was metered against what the parts list says, and how that goes on; empty without a reading."""
    load = found.past.load
    if not load:
        return ""
    apart = load[-1] - 1.0
    if abs(apart) < 0.0005:
        return "The meter reads what the parts list says."
    way = "more" if apart > 0 else "less"
    size = signs.amount(abs(apart) * 100, 1)
    told = f"Over the last year read, the meter shows {size} % {way} than the parts list"
    return f"{told}; the forecast goes on like that."


def on_from_here(found: Tracked, ways: Sequence[Way], signs: Signs) -> str:
    """Which way is the cheapest from today, and what the others cost more."""
    first = best(ways)
    if first is None:
        return ""
    going = ways[0]
    told = (
        f"From today, what is spent left out: {called(found, going)} costs {amount(found, going, signs)} to the end"
    )
    told += f", but misses: {'; '.join(going.misses)}." if going.misses else "."
    if first is going:
        nothing = "" if any(one.counts for one in ways) else " No way meets all needs;"
        return f"{told}{nothing} Nothing else that can be done is cheaper."
    kind = "of what meets all needs" if first.counts else "of all, none of which meets all needs,"
    return f"{told} Cheapest {kind}: {called(found, first)}, {amount(found, first, signs)}."


def amount(found: Tracked, way: Way, signs: Signs) -> str:
    """What a way costs."""
    return f"{signs.amount(way.cost)} {money(found)}"


def called(found: Tracked, way: Way) -> str:
    """A way to go on in words."""
    if way.kind == "go on":
        return "going on"
    when = found.month_names[found.months + 1]
    if way.kind == "extend":
        return f"extending it by {way.name} in {when}"
    return f"replacing it by {way.name} in {when}"


def notes(found: Tracked, ways: Sequence[Way]) -> list[str]:
    """What the figures rest on."""
    return [*rests_on(found), *stock_notes(found), *way_notes(ways)]


def rests_on(found: Tracked) -> Iterator[str]:
    """Which months and lines are the ledger's, and what is forecast."""
    labels = {line.name: line.label.lower() for line in LINES}
    yield (
        f"The ledger ({len(found.source.ledger)} rows) speaks for {joined([labels[name] for name in BY_LEDGER])} to "
        f"{found.today}; other lines are its own as far as it has them. What is to come is worked out from what is "
        "there: its ages, warranties and prices."
    )
    metered = any(one.what == "metered" for one in found.source.ledger)
    never = [labels[name] for name, end in by_model(found) if end < 0 and not (metered and name == "electricity")]
    if never:
        yield f"Not in the ledger, so worked out as in the plan: {joined(never)}."
    for name, end in by_model(found):
        if end >= 0:
            yield f"{labels[name].capitalize()} is booked to {found.month_names[end]}; from there it is worked out."
        elif metered and name == "electricity":
            yield "The ledger has no bill of electricity: it is worked out from the readings, at the study's tariff."
    if found.source.settings.money == "real":
        yield "Amounts of the ledger are as they were paid; inflation is taken out of them."
    if metered:
        yield "A reading is spread over its months as the parts list has them."


def stock_notes(found: Tracked) -> Iterator[str]:
    """Of which parts there are more or fewer than planned by now."""
    for part in found.plan.scenario.parts:
        gone = part.leaves is not None and part.leaves <= found.months
        planned = part.quantity if part.bought <= found.months and not gone else 0
        there = found.stock.there(part.part)
        if planned != there:
            yield f"{part.part}: {planned:,} planned by now, {there:,} there."


def way_notes(ways: Sequence[Way]) -> Iterator[str]:
    """What each way misses, and which cannot be done."""
    if ways:
        yield (
            "From today: all costs to the end at their worth today; what is decided today comes at the end of the "
            "next month. Replacing sells what is there."
        )
    for way in ways[1:]:
        if way.impossible:
            yield f"{way.name} cannot be bought any more: {way.impossible}."


def energies(found: Tracked) -> Apart | None:
    """The energy, where any is taken."""
    one = energy(found)
    return one if any((*one.planned, *one.went)) else None
