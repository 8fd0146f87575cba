"""What sentences, tables and sheets need of a variation: letters, values as people write them, who leads."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tco.ask.compare import cents
from tco.ask.inputs import Input
from tco.ask.vary import Flip, Swing, Variation
from tco.ask.vary_grid import NOBODY, Axis, Grid
from tco.model.measure import LEVEL
from tco.write.chance_figures import TIMES
from tco.write.chance_words import TYPED, Signs
from tco.write.names import letters

SMALL, LARGE = 1e-4, 1e7  # numbers beyond are written in powers of ten
DIGITS = 4  # of values that were found, such as where the cheapest changes


def letter(number: int) -> str:
    """The letter of a scenario, by its place in the study: A, B, C ..."""
    return letters(number)


def costs(found: Variation) -> dict[str, float]:
    """Life-cycle costs as the study stands, in its order."""
    return {
        name: found.comparison.measure(ground, "lcc")
        for name, ground in zip(found.names, found.comparison.built.grounds, strict=True)
    }


@dataclass(frozen=True)
class Lead:
    """Who is the cheapest as the study stands.

    first: those that cost least, level ones together; other: the next one, empty without; ahead: by how much [money].
    """

    first: tuple[str, ...]
    other: str = ""
    ahead: float = 0.0


def lead(found: Variation) -> Lead:
    """Who is the cheapest as the study stands, among those that are ranked."""
    own = {name: cost for name, cost in costs(found).items() if name in found.among}
    least = min(own.values())
    first = tuple(name for name, cost in own.items() if cost - least < LEVEL)
    others = {name: cost for name, cost in own.items() if name not in first}
    if not others:
        return Lead(first)
    other = min(others, key=lambda name: cents(others[name]))
    return Lead(first, other, others[other] - least)


def value_in_short(one: Input, value: float, signs: Signs, digits: int = 6) -> str:
    """A value of an input without its unit: `80 %` for a factor, `3 %` for a share, `189`."""
    percent = one.is_factor or one.is_share
    rounded = float(f"{100 * value if percent else value:.{digits}g}") + 0.0
    is_plain = not rounded or SMALL <= abs(rounded) < LARGE
    text = (f"{rounded:,.12g}" if is_plain else f"{rounded:.4g}").replace("-", signs.minus)
    return f"{text} %" if percent else text


def value_of(one: Input, value: float, signs: Signs, digits: int = 6) -> str:
    """A value of an input with its unit: `189 EUR`, `80 %`."""
    short = value_in_short(one, value, signs, digits)
    return short if one.is_factor or one.is_share or not one.unit else f"{short} {one.unit}"


def number_format(one: Input, value: float) -> str:
    """A spreadsheet's format for a value of an input: with the digits that it has."""
    digits = value_in_short(one, value, TYPED).removesuffix(" %").partition(".")[2]
    plain = f"#,##0{'.' + '0' * len(digits) if digits and 'e' not in digits else ''}"
    plain = "0.00E+00" if "e" in value_in_short(one, value, TYPED) else plain
    plain += "%" if one.is_factor or one.is_share else ""
    return f'{plain};"−"{plain};{"0%" if plain.endswith("%") else "0"}'


def unit_of(one: Input) -> str:
    """The unit of an input's values in a table of numbers; `times`: a factor on what the study says."""
    return TIMES if one.is_factor else one.unit


def middle(own: Swing) -> float:
    """What the study says, or half-way between the ends where it says several things."""
    choice = own.choice
    return (choice.low + choice.high) / 2 if choice.likely is None else choice.likely


def nearness(own: Swing, flip: Flip) -> float:
    """How far a flip is from what the study says, as a share of the way to that end."""
    start = middle(own)
    end = own.choice.high if flip.value > start else own.choice.low
    return abs(flip.value - start) / abs(end - start) if end != start else 0.0


def turning(found: Variation) -> list[Swing]:
    """The inputs that change who is the cheapest by themselves, the one that needs least first."""
    own = [one for one in found.swings if one.flips]
    return sorted(own, key=lambda one: min(nearness(one, flip) for flip in one.flips))


def nearest(own: Swing) -> Flip:
    """The flip of an input that is nearest to what the study says."""
    return min(own.flips, key=lambda flip: nearness(own, flip))


def changed(found: Variation, own: Swing, number: int) -> tuple[float, float]:
    """What a scenario costs more at the low and at the high end than as the study stands."""
    as_stated = list(costs(found).values())[number]
    return own.at_low[number] - as_stated, own.at_high[number] - as_stated


def most_of(found: Variation, own: Swing) -> int:
    """The number of the scenario that an input changes most, of the ranked ones if it changes any of them."""
    ranked = [number for number, name in enumerate(found.names) if name in found.among and own.changes[number]]
    return max(ranked, key=lambda number: abs(own.changes[number]), default=own.most)


def ranked_first(found: Variation) -> list[Swing]:
    """The inputs by what they change of a scenario that is ranked, the most first; then those that change none."""

    def effect(own: Swing) -> tuple[bool, float]:
        number = most_of(found, own)
        return found.names[number] not in found.among, -abs(own.changes[number])

    return sorted(found.swings, key=effect)


@dataclass(frozen=True)
class Met:
    """A scenario that meets all needs at an end and not as the study stands, or the other way round."""

    scenario: str
    end: float
    meets: bool


def met(found: Variation, own: Swing) -> Iterator[Met]:
    """What an input changes in who meets all needs."""
    comparison = found.comparison
    for number, ground in enumerate(comparison.built.grounds):
        before = comparison.meets(ground)
        for end, meets in ((own.choice.low, own.meets_low[number]), (own.choice.high, own.meets_high[number])):
            if meets != before:
                yield Met(found.names[number], end, meets)


def needy(found: Variation) -> list[Swing]:
    """The inputs that change who meets all needs, those that change a cost first."""
    return [own for own in (*found.swings, *found.silent) if any(True for _ in met(found, own))]


def axis_in_short(axis: Axis, value: float, signs: Signs) -> str:
    """A value along an axis without its unit."""
    return f"{value / 12:.3g}" if axis.input is None else value_in_short(axis.input, value, signs, DIGITS)


def side(axis: Axis) -> str:
    """An axis with what its numbers are: `hour value (EUR/h)`."""
    if axis.input is None:
        return f"{axis.label} (all sold then)"
    unit = "of what the study says" if axis.input.is_factor else axis.input.unit
    return f"{axis.label} ({unit})" if unit else axis.label


def wins(grid: Grid) -> dict[str, int]:
    """In how many cells each scenario is the cheapest, most first; those in none left out."""
    counts = {name: int((grid.cheapest == number).sum()) for number, name in enumerate(grid.names)}
    return {name: count for name, count in sorted(counts.items(), key=lambda pair: -pair[1]) if count}


def ties(grid: Grid) -> int:
    """In how many cells two or more cost the same."""
    return int((grid.cheapest == NOBODY).sum())
