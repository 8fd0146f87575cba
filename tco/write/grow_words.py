"""What buying as data grow comes to, in sentences: for the terminal and for the workbook's first sheets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import fsum

from tco.ask.grow import ONCE, RENT, Growth, Way
from tco.ask.grow_figures import INTEREST, Above, above, data, grown, measure, month_name, paid, room, saving
from tco.ask.grow_turns import more_than
from tco.model import LINES
from tco.model.measure import LEVEL
from tco.model.needs import stated_names
from tco.write.blocks import Draft
from tco.write.chance_words import Signs
from tco.write.fixed import digits_of
from tco.write.layout import layout
from tco.write.reprice_words import joined
from tco.write.summary import board_of, kept_for
from tco.write.unmet import phrase

LISTED = 6  # purchases that a sentence names; the table has all
HAIR = 0.01  # TB; less than that is told as less than that
REASONS = {  # line -> why it changes where something is bought later
    "purchase": "at the prices then",
    "electricity": "not drawn before",
    "replacement": "nothing there to fail before",
    "resale": "sold younger",
    "insurance": "nothing to insure before",
    INTEREST: "the discount",
}
LABELS = {line.name: line.label.lower() for line in LINES} | {INTEREST: "paying later"}


def answers(found: Growth, signs: Signs) -> list[str]:
    """The answer: of one scenario in full; of several who is the cheapest, then each in short."""
    plans = range(len(found.plans))
    if len(plans) == 1:
        return [*of_plan(found, 0, signs), *filter(None, [renting(found, 0, signs)])]
    told = [" ".join(filter(None, [verdict(found, plan, signs), bought(found, plan, signs)])) for plan in plans]
    return [cheapest(found, signs), *told, *filter(None, [renting(found, leading(found), signs)])]


def of_plan(found: Growth, plan: int, signs: Signs) -> list[str]:
    """All that is said of one scenario but renting."""
    told = [verdict(found, plan, signs), bought(found, plan, signs), why(found, plan, signs)]
    return [one for one in [*told, held(found, plan, signs), outgrown(found, plan, signs)] if one]


def amount(found: Growth, value: float, signs: Signs) -> str:
    """An amount of money to its smallest coin."""
    return signs.amount(value, digits_of(found.comparison.study.settings.currency))


def money(found: Growth) -> str:
    """The study's currency."""
    return found.comparison.study.settings.currency


def name_of(found: Growth, plan: int) -> str:
    """The scenario of a plan, as the study calls it."""
    return found.plans[plan].scenario.scenario


def lasting(found: Growth) -> list[int]:
    """The plans whose room can grow with the data; all where none can."""
    plans = list(range(len(found.plans)))
    return [plan for plan in plans if found.plans[plan].outgrown is None] or plans


def leading(found: Growth) -> int:
    """The plan that costs least as data grow, of those whose room can grow with the data."""
    return min(lasting(found), key=lambda plan: measure(found, grown(found, plan), "lcc"))


def cheapest(found: Growth, signs: Signs) -> str:
    """Which scenario costs least as data grow."""
    best = leading(found)
    a_month = amount(found, measure(found, grown(found, best), "equivalent_month"), signs)
    which = "" if len(lasting(found)) == len(found.plans) else ", of those whose room can grow with the data"
    own = measure(found, grown(found, best), "lcc")
    if any(measure(found, way, "lcc") < own - LEVEL for way in rents(found)):
        which = f" of what is bought{which}"
    return f"As the data grow, {name_of(found, best)} costs least{which}: {a_month} {money(found)} a month."


def verdict(found: Growth, plan: int, signs: Signs) -> str:
    """What buying as the data grow saves against all on day one; or that nothing has to be bought, or can be."""
    name, once = name_of(found, plan), found.way(plan, ONCE)
    if once is None:
        return no_purchase(found, plan, signs)
    kept = kept_for(found.comparison.study.settings.horizon)
    own = saving(found, grown(found, plan), once)
    lcc = [amount(found, measure(found, way, "lcc"), signs) for way in (grown(found, plan), once)]
    if abs(own.lcc) < LEVEL:
        return f"{name}: buying as the data grow costs the same as all on day one, {lcc[0]} {money(found)}."
    more, month = amount(found, abs(own.lcc), signs), amount(found, abs(own.month), signs)
    side = "less" if own.lcc > 0 else "more"
    told = f"{lcc[0]} instead of {lcc[1]} {money(found)} over {kept}, at its worth at the start"
    saved = f"{more} {money(found)} {side} than all on day one, {month} a month"
    return f"{name}: buying as the data grow costs {saved} ({told})."


def no_purchase(found: Growth, plan: int, signs: Signs) -> str:
    """Where nothing is bought: the room lasts, or nothing makes more of it."""
    name, own = name_of(found, plan), room(found, grown(found, plan))
    assert own is not None
    if found.plans[plan].outgrown is not None:
        return f"{name}: nothing that may be bought makes more room."
    over = above(found, grown(found, plan))
    if over is not None and over.months:
        return f"{name}: nothing is bought, for it would come too late to help."
    ends = [signs.amount(float(values[-1]), 1) for values in (own, data(found))]
    return f"{name}: nothing has to be bought; the room lasts to the end, {ends[0]} TB for {ends[1]} TB of data."


def bought(found: Growth, plan: int, signs: Signs) -> str:
    """What is bought in which month; empty where nothing is."""
    steps = found.plans[plan].steps
    if not steps:
        return ""
    told = [f"{step.bought.called} {when(found, step.bought.month)}" for step in steps[:LISTED]]
    more = [f"{len(steps) - LISTED} more after that"] if len(steps) > LISTED else []
    total = amount(found, fsum(paid(found, plan, step) for step in steps), signs)
    return f"Bought for {total} {money(found)} in all: {joined([*told, *more])}."


def when(found: Growth, month: int) -> str:
    """`at the start`, `in 2028-03`."""
    return f"in {month_name(found, month)}" if month else "at the start"


def why(found: Growth, plan: int, signs: Signs) -> str:
    """Which lines make growing cheaper than all on day one, and which dearer; empty where both are alike."""
    once = found.way(plan, ONCE)
    if once is None:
        return ""
    lines = saving(found, grown(found, plan), once).lines
    sides = [by_line(found, plan, lines, sign, signs) for sign in (1, -1)]
    told = [f"{word} {text}" for word, text in zip(("cheaper by", "dearer by"), sides, strict=True) if text]
    return f"Against all on day one it is {'; '.join(told)}." if told else ""


def exchanges(found: Growth, plan: int) -> bool:
    """Whether anything that is bought takes the place of something."""
    return any(row.in_place_of for step in found.plans[plan].steps for row in step.bought.offer.rows)


def by_line(found: Growth, plan: int, lines: Mapping[str, float], sign: int, signs: Signs) -> str:
    """The lines of one sign, the largest first: `purchase 620.00 (at the prices then), electricity 210.00 EUR`."""
    own = sorted(
        (name for name, value in lines.items() if sign * value >= LEVEL), key=lambda name: -sign * lines[name]
    )
    swap = exchanges(found, plan)
    told = [f"{LABELS[name]} {amount(found, abs(lines[name]), signs)}{reason(name, sign, swap)}" for name in own]
    return f"{joined(told)} {money(found)}" if told else ""


def reason(line: str, sign: int, swap: bool) -> str:
    """Why a line is smaller where something is bought later, in brackets; swap: whether anything goes for it."""
    if line == "purchase" and sign < 0 and swap:
        return " (what goes was bought first)"
    return f" ({REASONS[line]})" if line in REASONS and (sign > 0 or line == "purchase") else ""


def rents(found: Growth) -> list[Way]:
    """The ways in which room is rented."""
    return [way for way in found.ways if way.kind == RENT]


def renting(found: Growth, plan: int, signs: Signs) -> str:
    """What renting costs more or less than one scenario as data grow; empty without."""
    own = grown(found, plan)
    told = [f"{way.name} costs {apart(found, own, way, signs)}" for way in rents(found)]
    return f"Renting: {joined(told)}, against {name_of(found, plan)} as data grow." if told else ""


def apart(found: Growth, own: Way, other: Way, signs: Signs) -> str:
    """`120.00 EUR more`, `the same`."""
    more = measure(found, other, "lcc") - measure(found, own, "lcc")
    if abs(more) < LEVEL:
        return "the same"
    return f"{amount(found, abs(more), signs)} {money(found)} {'more' if more > 0 else 'less'}"


def held(found: Growth, plan: int, signs: Signs) -> str:
    """How many months the data are above the room, as data grow and with all on day one."""
    own = above(found, grown(found, plan))
    once = found.way(plan, ONCE)
    other = above(found, once) if once else None
    assert own is not None
    if not own.months and not (other and other.months):
        return ""
    beside = f"; with all on day one in {months_of(other, signs)}" if other else ""
    return f"The data are above the room in {months_of(own, signs)}{beside}."


def months_of(own: Above, signs: Signs) -> str:
    """`3 months, by 0.42 TB at worst`; `none`."""
    if not own.months:
        return "no month"
    most = f"{signs.amount(own.most, 2)} TB" if own.most >= HAIR else f"less than {HAIR} TB"
    return f"{own.months} month{'s' * (own.months != 1)}, by {most} at worst"


def outgrown(found: Growth, plan: int, signs: Signs) -> str:
    """From when on the data outgrow all that may be bought, and by how much; empty where they do not."""
    first = found.plans[plan].outgrown
    own = room(found, grown(found, plan))
    if first is None or own is None:
        return ""
    held = data(found)
    most = signs.amount(float((held - own)[first:].max()), 1)
    what = "all that may be bought" if found.plans[plan].steps else "its room"
    does = "outgrow" if more_than(held[-1], own[-1]) else "for a while outgrow"
    since = "the start" if not first else f"{month_name(found, first)} (month {first})"
    return f"From {since} on the data of {name_of(found, plan)} {does} {what}, by {most} TB at worst."


def notes(found: Growth, signs: Signs) -> Iterator[str]:
    """By what rule it was bought, what was passed over, what is not told."""
    for plan in range(len(found.plans)):
        yield from of_one(found, plan)
        if len(found.plans) > 1:
            told = [why(found, plan, signs), held(found, plan, signs), outgrown(found, plan, signs)]
            yield from (f"{name_of(found, plan)}: {one[0].lower()}{one[1:]}" for one in told if one)
    yield from shared_notes(found)


def of_one(found: Growth, plan: int) -> Iterator[str]:
    """What is worth a note of one scenario, which is named where there are several."""
    own, lead = found.plans[plan], f"{name_of(found, plan)}: " if len(found.plans) > 1 else ""
    for step in own.steps:
        if step.needed_by:
            yield f"{lead}{step.bought.offer.name} was bought along, for {step.needed_by} needs it."
        elif not more_than(step.room_after, step.room_before):
            yield f"{lead}{step.bought.called} had its turn, and adds no room by itself; what came after it did."
    for one in own.passed:
        at_first = "; it came later" if one.came else ""
        yield f"{lead}{one.name} was passed over {when(found, one.month)}: {one.why}{at_first}."
    if own.steps and not own.is_stated:
        yield f"{lead}No part says what it provides or needs, so nothing is known of what fits."
    way = grown(found, plan)
    over = above(found, way)
    if over is not None and over.months and "hold_data" in stated_names(found.original):
        yield f"In such months {way.name} misses the need to hold the data, so the summary does not rank it."
    if told := missed(found, way):
        yield f"{way.name} misses needs: {told}."


def missed(found: Growth, way: Way) -> str:
    """The needs that a way misses, as the summary tells them; room for the data is told by itself. Empty without."""
    if found.comparison.meets(way.ground):
        return ""
    board = board_of(Draft(found.comparison, layout(found.comparison.built)))
    names = [name for name in stated_names(found.original) if name != "hold_data"]
    return "".join(phrase(board, way.ground, name).value for name in names).removesuffix("; ")


def shared_notes(found: Growth) -> Iterator[str]:
    """What holds for all."""
    if any(plan.steps for plan in found.plans):
        yield rule(found)
        yield "All on day one buys the same, as often, in month 0. Prices follow each part's trend or path."
        if any(exchanges(found, number) for number in range(len(found.plans))):
            yield "What is paid for a purchase is told in full; what goes for it is sold, or on day one not bought."
        yield (
            "More gear draws more, is louder and warms the room: sheets What it delivers and Checks say how much; "
            "local code and a licensed electrician decide about circuits."
        )
    if rents(found):
        yield "What is rented is paid for the data held in each month; a contract may ask for more."
    if found.rented:
        told = "the rent stays as it is; what it delivers is not stated, so no need is judged by it"
        yield f"{found.rented.name}: {told}."


def rule(found: Growth) -> str:
    """When something is bought."""
    if not found.ahead:
        return (
            "Bought at the end of the first month whose data are more than the room, of use from the next: with "
            "--ahead 1 it is there in time."
        )
    early = "a month" if found.ahead == 1 else f"{found.ahead} months"
    return f"Bought {early} before the first month whose data would be more than the room."
