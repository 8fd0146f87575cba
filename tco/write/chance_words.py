"""What a simulation finds, in sentences: for the terminal and for the workbook's first sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tco.ask.simulated import LUCK, Chance, Duel, Outcome, Simulated, Spread
from tco.model.measure import LEVEL
from tco.write.chance_figures import (
    a_year,
    among,
    dearest,
    duel,
    favourite,
    is_certain,
    is_cheapest,
    is_level,
    is_too_close,
    main_duel,
    mates,
    outcome,
    runner_up,
)
from tco.write.fixed import digits_of, fixed, percent
from tco.write.reprice_words import joined
from tco.write.summary import kept_for

FEW = 9.5  # up to nine draws, or all but so many, are counted; a share would round to nothing or to all


@dataclass(frozen=True)
class Signs:
    """How signs are written; a terminal gets those of every keyboard."""

    error: str
    minus: str

    def amount(self, value: float, digits: int = 0) -> str:
        """A number with separators."""
        return fixed(value, digits, self.minus)

    def share(self, chance: Chance) -> str:
        """A share in % with its standard error, which has a digit that says something."""
        digits = 1 if chance.error >= 0.0005 else 2
        one, error = (percent(value, digits) for value in (chance.share, chance.error))
        return f"{one} {self.error} {error}"

    def with_error(self, spread: Spread) -> str:
        """A mean with its standard error."""
        return f"{self.amount(spread.mean)} {self.error} {self.amount(spread.error)}"


TYPED, PRINTED = Signs("+-", "-"), Signs("±", "−")


def answers(found: Simulated, signs: Signs) -> list[str]:
    """The answer, most important first."""
    told = [cheapest(found, signs), cost(found, signs), against(found, signs)]
    return [one for one in [*told, on_average(found, signs), dearest_year(found, signs)] if one]


def draws_of(found: Simulated) -> str:
    """How many draws: `10,000 draws`."""
    return f"{found.draws:,} draw{'s' * (found.draws != 1)}"


def often(found: Simulated, chance: Chance, signs: Signs) -> str:
    """In how many of the draws: `in 71.3 % +- 0.5 % of 10,000 draws`, `in all 10,000 draws`, `in 3 of ...`."""
    count, whole = chance.share * found.draws, draws_of(found)
    if chance.share <= 0:
        return f"never in {whole}"
    if chance.share >= 1:
        return f"in all {whole}"
    if count < FEW:
        return f"in {count:.3g} of {whole}"
    if found.draws - count < FEW:
        return f"in all but {found.draws - count:.3g} of {whole}"
    return f"in {signs.share(chance)} of {whole}"


def names_of(outcomes: list[Outcome]) -> str:
    """Their names in one list."""
    return joined([own.scenario for own in outcomes])


def whom(found: Simulated) -> str:
    """Among which scenarios the cheapest is looked for; empty where all meet all needs."""
    if not any(own.meets for own in found.outcomes):
        return f"No scenario meets all needs; among all {len(found.outcomes)} "
    return f"Among the {len(found.among)} that meet all needs " if len(found.among) < len(found.outcomes) else ""


def cheapest(found: Simulated, signs: Signs) -> str:
    """Which one is the cheapest, how often, and which one is next."""
    best, other = favourite(found), runner_up(found)
    level = mates(found, best)
    if len(found.outcomes) == 1:
        return f"{best.scenario} is the only scenario, so that no other can be cheaper."
    if len(found.among) == 1:
        return f"Only {best.scenario} meets all needs; the others are not ranked."
    if other is None:
        return f"{whom(found)}{names_of(level)} cost the same in all {draws_of(found)}."
    if len(level) > 1:
        how = often(found, is_cheapest(found, best), signs)
        return f"{whom(found)}{names_of(level)} cost the same in every draw; they are the cheapest {how}."
    return f"{whom(found)}{first_and_next(found, best, other, signs)}."


def first_and_next(found: Simulated, best: Outcome, other: Outcome, signs: Signs) -> str:
    """The favourite, which no other is level with, and the runner-up with those that always cost the same."""
    chances = best.cheapest, is_cheapest(found, other)
    how, rest = (often(found, own, signs) for own in chances)
    if chances[0].share >= 1:
        return f"{best.scenario} is the cheapest {how}"
    level = mates(found, other)
    if len(level) == 1 and chances[0].share == chances[1].share:
        return f"{best.scenario} and {other.scenario} are the cheapest equally often, each {how}"
    following = f"{'next is' if len(level) == 1 else 'next, alike in every draw, are'} {names_of(level)}"
    close = ""
    if is_too_close(*chances, found.draws):
        close = "; so few draws cannot tell which of these it is more often"
    rest = rest.removesuffix(f" of {draws_of(found)}")
    return f"{best.scenario} is most often the cheapest, {how}; {following}, {rest}{close}"


def cost(found: Simulated, signs: Signs) -> str:
    """What the favourite costs a month."""
    best, money = favourite(found), found.comparison.study.settings.currency
    month, is_same = best.equivalent_month, best.equivalent_month.p90 - best.equivalent_month.p10 < LEVEL
    costs = f"{best.scenario} costs {signs.amount(month.p50, digits_of(money))} {money} a month, spread evenly"
    if is_certain(best.lcc, found.draws):
        return f"{costs}, in every draw: none of it is left to chance."
    if is_same:
        return f"{costs}, in at least eight draws of ten."
    low, high = (signs.amount(value, digits_of(money)) for value in (month.p10, month.p90))
    return (
        f"{costs}, in the middle of the draws (P50), and {low} to {high} {money} in eight draws of ten (P10 to P90)."
    )


def against(found: Simulated, signs: Signs) -> str:
    """How the favourite and the runner-up compare draw by draw; empty without a runner-up."""
    own = main_duel(found)
    if own is None:
        return ""
    over = f"over {kept_for(found.comparison.study.settings.horizon)}, at its worth at the start"
    if is_certain(own.difference, found.draws):
        return f"{own.one} costs {more_or_less(found, own, signs)} than {own.other} in every draw, {over}."
    told = f"{own.one} costs {more_or_less(found, own, signs)} than {own.other} in eight draws of ten, {over}"
    return f"{told}{less_often(found, own, signs)}."


def less_often(found: Simulated, own: Duel, signs: Signs) -> str:
    """How often the first of two costs less, where its chance to be the cheapest does not say that already."""
    if often(found, own.costs_less, signs) == often(found, is_cheapest(found, outcome(found, own.one)), signs):
        return ""
    if own.costs_less.share <= 0:
        return "; it never costs less"
    return f"; it costs less {often(found, own.costs_less, signs)}"


def more_or_less(found: Simulated, own: Duel, signs: Signs) -> str:
    """By how much the first of two costs more or less in eight draws of ten."""
    money, low, high = found.comparison.study.settings.currency, own.difference.p10, own.difference.p90
    if is_certain(own.difference, found.draws):
        middle = own.difference.p50
        return f"{signs.amount(abs(middle))} {money} {'less' if middle < 0 else 'more'}"
    if low < 0 < high:
        return f"from {signs.amount(-low)} {money} less to {signs.amount(high)} {money} more"
    near, far = sorted((abs(low), abs(high)))
    return f"{signs.amount(near)} to {signs.amount(far)} {money} {'less' if low < 0 else 'more'}"


def on_average(found: Simulated, signs: Signs) -> str:
    """Who costs least on average, where that is not who is most often the cheapest."""
    best, least = favourite(found), min(among(found), key=lambda own: own.lcc.mean)
    if best is least or is_level(duel(found, best, least), found.draws) or best.lcc.mean <= least.lcc.mean:
        return ""
    spread, money = duel(found, best, least).difference, found.comparison.study.settings.currency
    by = f"{signs.amount(abs(spread.mean))} {signs.error} {signs.amount(spread.error)}"
    far = f"over {kept_for(found.comparison.study.settings.horizon)}"
    close = ", which is too little to tell by so few draws" if abs(spread.mean) < 2 * spread.error else ""
    return f"On average, though, {least.scenario} costs least: {by} {money} less than {best.scenario} {far}{close}."


def dearest_year(found: Simulated, signs: Signs) -> str:
    """How dear a year the favourite may bring after the start."""
    best, money = favourite(found), found.comparison.study.settings.currency
    year, spread = dearest(best), best.worst_year
    most = "" if year.worst >= 1 else f"; most often that is {year.name}, in {percent(year.worst, 1)} of the draws"
    which = f", {year.name}," if year.worst >= 1 else ""
    told = f"The dearest year of {best.scenario} after the start{which} costs"
    if is_certain(spread, found.draws):
        return f"{told} {signs.amount(spread.p50)} {money} in every draw{most}."
    middle, high = (signs.amount(value) for value in (spread.p50, spread.p90))
    return f"{told} {middle} {money} in the middle of the draws, and at most {high} {money} in nine of ten{most}."


def left_to_chance(found: Simulated) -> str:
    """What varies from draw to draw."""
    if all(is_certain(own.lcc, found.draws) for own in found.outcomes):
        return "Every draw gives the same costs."
    if count := sum(one.is_open for one in found.varied):
        fails = any(a_year(found, own, "failures") > 0 for own in found.outcomes)
        vary = "inputs vary" if count != 1 else "input varies"
        return f"{count} {vary} from draw to draw{', as does which units fail' if fails else '; nothing fails'}."
    missing = "" if found.comparison.study.ranges else ": the study has no ranges.csv"
    return f"No input varies{missing}. Only failures are left to chance."


def notes(found: Simulated, signs: Signs) -> Iterator[str]:
    """What the figures rest on, and what they do not tell."""
    shared = (
        "scenarios share a draw's inputs; each lies between low and high, most likely around what the study says."
    )
    yield (
        f"{draws_of(found)}, seed {found.seed}: the same seed gives the same figures. {left_to_chance(found)}"
        f"{f' All {shared}' if found.varied else ''}"
    )
    yield (
        "What has no range is taken as the study states it (the prices of single offers, say), and how long it is "
        "kept is never left to chance."
    )
    yield (
        "P10, P50, P90: one, five and nine draws of ten come to that much at most. "
        f"{signs.error} is one standard error: what so few draws leave open, not how good the inputs are."
    )
    if found.varied:
        yield (
            "A share of the variance is what one input explains by itself. What is left is put down to "
            f"{LUCK}; how inputs act together is in it."
        )
    if any(own.lcc.exact is not None for own in found.outcomes):
        yield (
            "Since no input varies the mean is also known exactly, without draws; the draws' mean should lie within "
            f"twice its {signs.error} of it in about nineteen of twenty figures."
        )
    if len(found.among) > 1:
        yield "A draw in which several cost the same counts for each of them in part as the cheapest."
    if len(found.among) < len(found.outcomes):
        yield "Not ranked: misses a need or leaves it unknown; tco compare says which."
    yield (
        "A chance here is a share of draws, no promise: it is as good as the ranges and failure rates it rests on. "
        "What strikes everything at once (fire, theft, a bad batch, a change of plans) is not in it. The figures are "
        "estimates for a private decision, not financial or tax advice; a cluster is not a backup."
    )
