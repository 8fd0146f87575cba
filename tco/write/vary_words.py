"""What varying the inputs of a study finds, in sentences: for the terminal and for the workbook."""

from __future__ import annotations

from collections.abc import Iterator

from tco.ask.vary import Swing, Variation
from tco.ask.vary_grid import Grid
from tco.model.shelf import leaned_on
from tco.write.chance_words import Signs
from tco.write.reprice_words import joined
from tco.write.summary import kept_for
from tco.write.vary_figures import (
    DIGITS,
    changed,
    lead,
    met,
    middle,
    most_of,
    nearest,
    needy,
    ranked_first,
    side,
    ties,
    turning,
    value_of,
    wins,
)

NAMED = 4  # inputs that a sentence names


def answers(found: Variation, signs: Signs) -> list[str]:
    """The answer, most important first."""
    told = [cheapest(found, signs), matters(found, signs), turns(found, signs), needs(found, signs)]
    return [one for one in told if one]


def span(found: Variation) -> str:
    """How long the costs are counted: `over 5 years`."""
    return f"over {kept_for(found.comparison.study.settings.horizon)}"


def money(found: Variation) -> str:
    """The study's money."""
    return found.comparison.study.settings.currency


def cheapest(found: Variation, signs: Signs) -> str:
    """Who is the cheapest as the study stands."""
    own, count = lead(found), len(found.names)
    if count == 1:
        return f"{own.first[0]} is the only scenario, so that no other can be cheaper."
    if len(found.among) == 1:
        return f"Only {own.first[0]} meets all needs as the study stands; the others are not ranked."
    among = whom(found)
    if not own.other:
        return f"As the study stands, {among}{joined(list(own.first))} cost the same."
    less = f"{signs.amount(own.ahead)} {money(found)} less than {own.other} {span(found)}"
    if len(own.first) > 1:
        return f"As the study stands, {among}{joined(list(own.first))} cost the same, {less}."
    return f"As the study stands, {among}{own.first[0]} is the cheapest: {less}."


def whom(found: Variation) -> str:
    """Among which scenarios the cheapest is looked for; empty where all meet all needs."""
    if not any(found.comparison.meets(ground) for ground in found.comparison.built.grounds):
        return f"no scenario meets all needs; among all {len(found.names)} "
    return f"among the {len(found.among)} that meet all needs " if len(found.among) < len(found.names) else ""


def matters(found: Variation, signs: Signs) -> str:
    """The input that changes a cost most, and the next ones."""
    if not found.swings:
        return "No input that was varied changes any cost by as much as half a cent."
    own, *others = ranked_first(found)[:3]
    number = most_of(found, own)
    to = " to those that meet all needs" if len(found.among) < len(found.names) else ""
    told = f"What matters most{to} is {own.choice.input.label}: {from_to(own, signs)}, {found.names[number]} costs"
    told = f"{told} {between(changed(found, own, number), money(found), signs)} than as the study stands"
    names = [one.choice.input.label for one in others]
    following = f" Next {'is' if len(names) == 1 else 'are'} {joined(names)}." if names else ""
    return f"{told}, {span(found)}.{following}"


def from_to(own: Swing, signs: Signs) -> str:
    """Between which ends an input was varied: `from 80 % to 170 % of what the study says`."""
    one, choice = own.choice.input, own.choice
    of = " of what the study says" if one.is_factor else ""
    return f"from {value_of(one, choice.low, signs)} to {value_of(one, choice.high, signs)}{of}"


def between(ends: tuple[float, float], currency: str, signs: Signs) -> str:
    """From how much less or more to how much: `1,122 EUR less to 4,486 EUR more`."""
    first, second = (f"{signs.amount(abs(change))} {currency} {'less' if change < 0 else 'more'}" for change in ends)
    return f"{first} to {second}"


def turns(found: Variation, signs: Signs) -> str:
    """Which inputs change who is the cheapest by themselves, and at which value."""
    if len(found.among) == 1:
        return ""
    count, own = len(found.swings), turning(found)
    if not own:
        return f"No single input changes who is the cheapest: none of {count} does between its low and its high end."
    first = [f"{one.choice.input.label} ({turn(one, signs)})" for one in own[:NAMED]]
    more = f"; and {len(own) - NAMED} more" if len(own) > NAMED else ""
    many = "inputs change" if count != 1 else "input changes"
    nearest_first = ", the one that needs least first" if len(own) > 1 else ""
    return f"{len(own)} of {count} {many} who is the cheapest{nearest_first}: {'; '.join(first)}{more}."


def turn(own: Swing, signs: Signs) -> str:
    """Who becomes the cheapest, and from which value of an input on: `from 131.5 % up rented space`."""
    flip, one = nearest(own), own.choice.input
    value = value_of(one, flip.value, signs, DIGITS)
    return f"from {value} up {flip.after}" if flip.value > middle(own) else f"below {value} {flip.before}"


def needs(found: Variation, signs: Signs) -> str:
    """Which inputs change who meets all needs; empty without."""
    own = needy(found)
    if not own:
        return ""
    first = [f"{one.choice.input.label} ({meeting(found, one, signs)})" for one in own[:NAMED]]
    more = f"; and {len(own) - NAMED} more" if len(own) > NAMED else ""
    many = "inputs change" if len(own) != 1 else "input changes"
    return f"{len(own)} {many} who meets all needs: {'; '.join(first)}{more}."


def needs_of(found: Variation, own: Swing) -> bool:
    """Whether an input changes who meets all needs."""
    return any(True for _ in met(found, own))


def meeting(found: Variation, own: Swing, signs: Signs) -> str:
    """What an input changes in who meets all needs: `quiet minis no longer at 3 and 5`."""
    ends: dict[tuple[str, bool], list[str]] = {}
    for one in met(found, own):
        ends.setdefault((one.scenario, one.meets), []).append(value_of(own.choice.input, one.end, signs))
    by_end: dict[tuple[str, bool], list[str]] = {}
    for (scenario, meets), values in ends.items():
        by_end.setdefault((joined(values), meets), []).append(scenario)
    return ", ".join(
        f"{joined(names)} {'too' if meets else 'no longer'} at {values}" for (values, meets), names in by_end.items()
    )


def notes(found: Variation) -> Iterator[str]:
    """What was varied how far, and what that does not tell."""
    yield how_far(found)
    yield left_out(found)
    if len(found.among) > 1:
        yield (
            "The cheapest is looked for among the scenarios that meet all needs as the study stands; within half a "
            "cent two cost the same."
        )
    if any(own.choice.input.whole for own in found.swings):
        yield "One more or one less of a part or node is just that: what goes with it stays as it is."
    if still := held(found):
        yield f"As the study has it, whatever the value: {', '.join(still)}."


def how_far(found: Variation) -> str:
    """Between which ends inputs were varied."""
    said = sum(own.choice.of_ranges for own in (*found.swings, *found.silent))
    ends = f"{100 * found.by:g} % less and more than the study says, counts one less (not to none) and one more"
    ends = f"{said} as ranges.csv says, the others {ends}" if said else ends
    return f"Each input was varied by itself, all others as the study says: {ends}."


def left_out(found: Variation) -> str:
    """How many inputs have an effect, how many have none, how many could not be varied."""
    silent = f", {len(found.silent)} only who meets all needs" if found.silent else ""
    return (
        f"{len(found.swings)} inputs change a cost{silent}; {found.without_effect} change nothing; "
        f"{found.without_ends} were left alone: 0 has no per cent, nor has a sound level."
    )


def held(found: Variation) -> list[str]:
    """What is counted above the figures, and does not follow some inputs that were varied."""
    varied = [own.choice.input for own in (*found.swings, *found.silent)]
    cells, grounds = {column for one in varied for column, _ in one.cells}, found.comparison.built.grounds
    told = [word for ground in grounds for column, word in leaned_on(ground).items() if column in cells]
    told += ["spares"] if any(one.curves for one in varied) and any(ground.spares for ground in grounds) else []
    return list(dict.fromkeys(told))


def grid_heading(grid: Grid) -> str:
    """What a grid shows: `Who is the cheapest: electricity price (of what the study says) down, years across`."""
    return f"Who is the cheapest: {side(grid.rows)} down, {side(grid.columns)} across"


def grid_answer(grid: Grid) -> str:
    """How many cells of a grid each scenario wins."""
    cells, own, level = grid.cheapest.size, wins(grid), ties(grid)
    if len(own) == 1 and not level:
        return f"{next(iter(own))} is the cheapest in all {cells:,} cells."
    told = [f"{name} in {count:,}" for name, count in own.items()]
    told += [f"in {level:,} several cost the same"] if level else []
    return f"Cheapest in {cells:,} cells: {', '.join(told)}."
