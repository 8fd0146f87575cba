"""What `tco breakeven` prints: for each pair of scenarios, at which values they cost the same. Plain text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby
from pathlib import Path

from tco.ask.breakeven import FEWER, LOOKED_AT, BreakEvens, Level
from tco.ask.vary_roots import CROSSES, JUMPS, SAME, Meeting
from tco.model.shelf import leaned_on
from tco.write.fixed import fixed
from tco.write.lines import all_wrapped, left, page, wide, wrapped
from tco.write.screen import typed, width

NAME, VALUE, DIGITS = 28, 26, 4  # widths of the columns, digits of values
MONTHS = 24  # below which times are told in months
FEWEST, INDENT = 72, 4  # columns below which each of a row's parts stands on a line of its own, how far in


def levels_text(found: BreakEvens, files: Iterable[Path]) -> str:
    """The whole of what is printed."""
    by_pair = groupby(sorted(found.levels, key=lambda one: (place(found, one.one), place(found, one.other))),
                      key=lambda one: (one.one, one.other))  # fmt: skip
    parts = [*(block(one, other, list(own)) for (one, other), own in by_pair), all_wrapped(notes(found))]
    return page(found.comparison.study.settings.question, answers(found), parts, files)


def place(found: BreakEvens, name: str) -> int:
    """Where a scenario stands among all, the cheapest first."""
    return [ground.scenario.scenario for ground in found.comparison.ranked()].index(name)


def answers(found: BreakEvens) -> Iterator[str]:
    """For each pair what would make the other one the cheaper, by the first inputs that do."""
    if not found.levels:
        yield "No input that was looked at changes what lies between these scenarios."
    for pair in dict.fromkeys((one.one, one.other) for one in found.levels):
        own = [one for one in found.levels if (one.one, one.other) == pair]
        yield pair_sentence(*pair, own)


def pair_sentence(one: str, other: str, own: list[Level]) -> str:
    """Whether two scenarios ever cost the same, and by what."""
    meet = [level for level in own if level.meetings]
    if all(level.is_same for level in own):
        return f"{one} and {other} cost the same at any value."
    if not meet:
        return f"{none_sentence(one, other, own)}: {own[0].cheaper} costs less throughout."
    turns = any(met.before * met.after < 0 for level in meet for met in level.meetings)
    told = "; ".join(f"{level.label} {all_values(level)}" for level in meet)
    does = "change places" if turns else "cost the same"
    return (
        f"{one} and {other} {does} by {told}." if len(meet) == 1 else f"{one} and {other} {does} by any of: {told}."
    )


def none_sentence(one: str, other: str, own: list[Level]) -> str:
    """That two scenarios do not meet by some inputs; that these do not even bring them nearer."""
    if not any(level.depends for level in own):
        labels = [level.label for level in own]
        does = f"{labels[0]} does" if len(labels) == 1 else f"{', '.join(labels[:-1])} and {labels[-1]} do"
        return f"{does} not change what sets {one} and {other} apart"
    if len(own) == 1:
        return f"{one} and {other} never cost the same with {own[0].label} from {span(own[0])}"
    return f"{one} and {other} never cost the same by any of {len(own)} inputs alone, as far as was looked"


def all_values(level: Level) -> str:
    """Every value at which two scenarios meet by one input."""
    found = [f"{'' if level.is_between(met) else 'at '}{value_of(level, met)}" for met in level.meetings]
    return found[0] if len(found) == 1 else f"{', '.join(found[:-1])} and {found[-1]}"


def block(one: str, other: str, own: list[Level]) -> list[str]:
    """A table of one pair's meetings."""
    head = f"{one} or {other}"
    return [*wrapped(head), "-" * (width() - 1), *(line for level in own for line in rows(level))]


def rows(level: Level) -> Iterator[str]:
    """One input's lines."""
    if level.is_same or not level.meetings:
        value = "the same at any value" if level.is_same else f"none, {span(level)}"
        yield from line(level.label, value, always(level))
        return
    for count, own in enumerate(level.meetings):
        yield from line("" if count else level.label, value_of(level, own), beyond(level, own))


def span(level: Level) -> str:
    """The range in which an input was looked at."""
    return from_to(level, level.low, level.high)


def from_to(level: Level, low: float, high: float) -> str:
    """Two values with their unit, said once where it is the same."""
    last = short(level, high)
    first = short(level, low).removesuffix(last.removeprefix(number(level, high))) if low else number(level, low)
    return f"{first} to {last}"


def always(level: Level) -> str:
    """Who costs less where they never meet."""
    if level.is_same:
        return ""
    return f"{level.cheaper} less" if level.depends else f"{level.cheaper} less; no effect"


def line(label: str, value: str, told: str) -> Iterator[str]:
    """The columns of one meeting; a long name stands on a line of its own, as does a long remark."""
    label, names = typed(label), NAME if width() >= FEWEST else INDENT
    if wide(label) >= names:
        yield from wrapped(label)
        label = ""
    text = left(label, names) + left(value, VALUE)
    if wide(value) < VALUE and wide(text) + wide(typed(told)) < width():
        yield f"{text}{typed(told)}".rstrip()
        return
    yield from all_wrapped([left(label, names) + value], hang=" " * names) if label else wrapped(value, " " * names)
    yield from (wrapped(told, " " * names) if told else [])


def beyond(level: Level, own: Meeting) -> str:
    """Who costs less beyond a meeting."""
    before, after = level.cheaper_of(own.before), level.cheaper_of(own.after)
    if own.kind in (CROSSES, JUMPS):
        return f"{since(level, own)} {after} less{' at once' if own.kind == JUMPS else ''}"
    if before and after:
        return f"{before} less on both sides" if before == after else f"then {after} less"
    return f"{'above' if after else 'below'} {after or before} less"


def since(level: Level, own: Meeting) -> str:
    """From where on the other one costs less; of how long they are kept from which month on."""
    if level.input is None:
        return f"from month {int(own.value) + 1}"
    return f"from {number(level, own.value)}" if level.input.whole else "above"


def value_of(level: Level, own: Meeting) -> str:
    """Where two scenarios cost the same; of the price of electricity also what that makes of a kWh."""
    if own.kind == SAME and own.until > own.value:
        return from_to(level, own.value, own.until)
    if level.is_between(own):
        return f"between {number(level, own.value - 1)} and {short(level, own.value)}"
    if not isinstance(level.price, float):
        return short(level, own.value)
    return f"{short(level, own.value)} ({fixed(own.value * level.price, 4)} {level.money}/kWh)"


def short(level: Level, value: float) -> str:
    """A value with its unit; the years as years, short ones as months, a factor in % of what the study says."""
    one = level.input
    if one is None:
        unit = "months" if in_months(value) else "years"
    else:
        unit = "%" if one.is_factor or one.is_share else one.unit
    return f"{number(level, value)} {unit}".strip()


def in_months(value: float) -> bool:
    """Whether a time is told in months: one of less than two years that is no whole year."""
    return value < MONTHS and value % 12 != 0


def number(level: Level, value: float) -> str:
    """A value without its unit."""
    one = level.input
    if one is None:
        scaled = value if in_months(value) else value / 12
    else:
        scaled = 100 * value if one.is_factor or one.is_share else value
    return f"{float(f'{scaled:.{DIGITS}g}') + 0.0:,.10g}"


def notes(found: BreakEvens) -> Iterator[str]:
    """What was looked at, and what the figures rest on."""
    factors = any(one.input is not None and one.input.is_factor for one in found.levels)
    money = found.comparison.study.settings.currency
    if factors:
        yield (
            f"% of a price, of failures or resale as a whole: of what the study says. In brackets: {money} for a kWh "
            "in month 1."
        )
    ranges = dict.fromkeys(f"{one.label} {span(one)}" for one in found.levels)
    if ranges:
        yield f"Looked at: {'; '.join(ranges)}."
    inputs = [one.input for one in found.levels if one.input]
    if any(not one.whole for one in inputs):
        yield looked(fewer=any(one.curves for one in inputs))
    if any(one.whole for one in inputs):
        yield "Counts: at every whole number of the range."
    if any(one.input is None for one in found.levels):
        yield "years: both sold then; straight between the ends of months."
    grounds = found.comparison.ranked()
    open_needs = [ground.scenario.scenario for ground in grounds if not found.comparison.meets(ground)]
    if open_needs:
        yield f"Not ranked, for needs that are missed or unknown: {', '.join(open_needs)}."
    if still := held(found):
        yield f"As the study has it, whatever the value: {', '.join(still)}."


def looked(*, fewer: bool) -> str:
    """How values were sought."""
    count = f"{LOOKED_AT} values{f' (failure rates: {FEWER})' if fewer else ''}"
    return (
        f"Each at {count}, and where the difference dips between them; scenarios that meet several times within one "
        "such step may be told too seldom. Every value told was put into the model again: both cost the same there, "
        "within half a cent, and on each side the one that is named costs less."
    )


def held(found: BreakEvens) -> list[str]:
    """What the tool counts above the figures, which does not follow these inputs."""
    cells = {column for one in found.levels if one.input for column, _ in one.input.cells}
    grounds = found.comparison.built.grounds
    told = [word for ground in grounds for column, word in leaned_on(ground).items() if column in cells]
    counted_once = any(one.input is None or one.input.curves for one in found.levels)  # for the horizon, at its rates
    if counted_once and any(ground.spares for ground in grounds):
        told.append("spares")
    return list(dict.fromkeys(told))
