"""Plan against actuals in sentences: for the terminal and for the workbook."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tco.ask.from_today import Way, best, made
from tco.ask.stock import BY_LEDGER
from tco.ask.track import Apart, Tracked, by_line, by_model, energy
from tco.model import LINES
from tco.model.needs import stated_names
from tco.purchase import offers
from tco.write.chance_words import Signs
from tco.write.reprice_words import joined
from tco.write.summary import kept_for

NAMED = 2  # lines that a sentence names
SMALL = 0.5  # an amount below which nothing is said, in units of money
LABELS = {line.name: line.label.lower() for line in LINES}


def answers(found: Tracked, ways: Sequence[Way], signs: Signs) -> list[str]:
    """The answer, most important first."""
    told = [so_far(found, signs), left(found, signs), not_there(found), why(found, signs), meter(found, signs)]
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
    if found.is_over:
        return told
    end = f"{signs.amount(total.whole[1])} {money(found)} over {kept_for(found.horizon)}"
    return f"{told} With what is to come it ends at {end}, {against(whole, found, signs)}."


def left(found: Tracked, signs: Signs) -> str:
    """That nothing is there any more; or at the end, that what is there is not sold. Empty otherwise."""
    there = sum(found.stock.there(part.part) for part in found.plan.scenario.parts)
    if not there:
        return "By the ledger nothing of it is there any more." if found.stock.lots else ""
    if not found.is_over:
        return ""
    plan = next((one for one in by_line(found) if one.name == "resale"), None)
    wanted = f"; the plan had {signs.amount(-plan.whole[0])} {money(found)} for it" if plan and plan.whole[0] else ""
    return f"The study is over, and what is still there is not sold by the ledger{wanted}."


def not_there(found: Tracked) -> str:
    """Parts that were to be bought by now and are not in the ledger; empty without."""
    parts = [part for part in found.plan.scenario.parts if part.bought <= found.months]
    missing = [(part.part, part.quantity - found.stock.bought(part.part)) for part in parts]
    told = [f"{number:,} of {name}" for name, number in missing if number > 0]
    if not told:
        return ""
    more = f" and {len(told) - NAMED} more parts" if len(told) > NAMED else ""
    which = f"{'; '.join(told[:NAMED])}{more}"
    return f"Planned by now, and not in the ledger as bought: {which}. If they are there, write them down."


def why(found: Tracked, signs: Signs) -> str:
    """The lines that differ most, in all."""
    lines = sorted(by_line(found)[:-1], key=lambda one: -abs(one.differences[2]))
    named = [one for one in lines if abs(one.differences[2]) >= SMALL][:NAMED]
    if not named:
        return ""
    each = [line_apart(one, found, signs) for one in named]
    return f"What differs most, in all: {joined(each)}."


def line_apart(one: Apart, found: Tracked, signs: Signs) -> str:
    """`electricity 85 EUR more`; of what is sold `resale brings 18 EUR more`."""
    difference = one.differences[2]
    brings = one.name == "resale"
    way = "more" if (difference > 0) is not brings else "less"
    return f"{one.label.lower()}{' brings' * brings} {signs.amount(abs(difference))} {money(found)} {way}"


def meter(found: Tracked, signs: Signs) -> str:
    """What was metered against what the parts list says, and how that goes on; empty without a reading."""
    load = found.past.load
    if not load:
        return ""
    apart = load[-1] - 1.0
    if abs(apart) < 0.0005:
        return "The meter reads what the parts list says."
    way = "more" if apart > 0 else "less"
    size, count = signs.amount(abs(apart) * 100, 1), found.months_read
    over = f"the last {count} months" if count > 1 else "a month"
    told = f"Over {over} read, the meter shows {size} % {way} than the parts list"
    return f"{told}." if found.is_over else f"{told}; the forecast goes on like that."


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
    kind = " of what meets all needs" if first.counts else " of all, none of which meets all needs"
    kind = kind if stated_names(found.source) else ""
    return f"{told} Cheapest{kind}, if decided today: {called(found, first)}, {amount(found, first, signs)}."


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
    return [*rests_on(found), *of_lines(found), *stock_notes(found), *way_notes(found, ways)]


def rests_on(found: Tracked) -> Iterator[str]:
    """Which months and lines are the ledger's, and what is forecast."""
    yield (
        f"The ledger ({len(found.source.ledger):,} rows) speaks for {joined([LABELS[name] for name in BY_LEDGER])} "
        f"to {found.today}, and for any other line up to its last booking. What is to come is worked out from what "
        "is there: its ages, warranties and prices."
    )
    if found.source.settings.money == "real":
        yield "Amounts of the ledger are as they were paid; inflation is taken out of them."
    if found.is_metered:
        yield "A reading is spread over its days as the parts list has their months."
        yield "What the meter shows counts for going on and for extending; what replaces it is taken as it is listed."
    elif "electricity" in found.past.lines:
        yield "Bills say what was paid; without a reading what is to come keeps the power of the parts list."


def of_lines(found: Tracked) -> Iterator[str]:
    """Which lines are booked how often, and which are worked out."""
    ends = dict(by_model(found))
    never = [
        LABELS[name] for name, end in ends.items() if end < 0 and not (found.is_metered and name == "electricity")
    ]
    if never:
        yield f"Not in the ledger, so worked out by the model: {joined(never)}."
    if found.is_metered and ends.get("electricity", 0) < 0:
        yield "The ledger has no bill of electricity: it is worked out from the readings, at the study's tariff."
    for name, booked in found.stock.booked.items():
        if name not in BY_LEDGER:
            yield booked_note(found, name, sorted(booked))


def booked_note(found: Tracked, name: str, months: Sequence[int]) -> str:
    """In how many months a line is booked, and how far."""
    last = found.month_names[months[-1]] if months[-1] else "the start"
    count = f"{len(months)} month{'s' * (len(months) != 1)}"
    told = f"'{LABELS[name]}' is booked in {count}, the last one {last}: before it, other months count as nothing"
    return f"{told}; after it, it is worked out." if months[-1] < found.months else f"{told}."


def stock_notes(found: Tracked) -> Iterator[str]:
    """Of which parts there are more or fewer than planned by now."""
    for part in found.plan.scenario.parts:
        planned, there = found.planned_by_now(part), found.stock.there(part.part)
        if planned != there:
            yield f"{part.part}: {planned:,} planned by now, {there:,} there."


def way_notes(found: Tracked, ways: Sequence[Way]) -> Iterator[str]:
    """What each way misses, which cannot be done, which purchases the ledger has made."""
    if ways:
        yield (
            "From today: all costs to the end at their worth today; what is decided today comes at the end of the "
            "next month. Replacing sells what is there. What is needed later may also be bought later (tco grow)."
        )
    for way in ways:
        if way.misses:
            name = called(found, way)
            yield f"{name[0].upper()}{name[1:]} misses: {'; '.join(way.misses)}."
    for way in ways[1:]:
        if way.impossible:
            yield f"{way.name} cannot be bought any more: {way.impossible}."
    own = next(one for one in found.source.scenarios if one.scenario == found.name)
    if done := made(found, offers(own.purchases)):
        told = [f"{name}{f' ({count} times)' if count > 1 else ''}" for name, count in done.items()]
        yield f"Bought beyond the plan, and taken for purchases that may be made: {joined(told)}."


def energies(found: Tracked) -> Apart | None:
    """The energy, where any is taken."""
    one = energy(found)
    return one if any((*one.planned, *one.went)) else None
