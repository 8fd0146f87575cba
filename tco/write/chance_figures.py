"""What sentences and tables need of a simulation: who leads, who is level, what is certain, what drives it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tco.ask.simulated import LUCK, Chance, Driver, Duel, Outcome, Simulated, Spread, Varied, Year
from tco.model.measure import LEVEL
from tco.ranges import FACTORS, Range, failure_rate_of

TIMES = "times"  # the unit of a factor on what the study says


def outcome(found: Simulated, scenario: str) -> Outcome:
    """One scenario's."""
    return next(one for one in found.outcomes if one.scenario == scenario)


def by_median(found: Simulated) -> list[Outcome]:
    """All scenarios from the lowest median to the highest: in the order in which the duels name them."""
    return sorted(found.outcomes, key=lambda own: -sum(duel.one == own.scenario for duel in found.duels))


def ranked(found: Simulated) -> list[Outcome]:
    """Those among which the cheapest is looked for, by their median; then the others likewise."""
    return sorted(by_median(found), key=lambda own: own.scenario not in found.among)


def among(found: Simulated) -> list[Outcome]:
    """Those among which the cheapest is looked for, by their median."""
    return ranked(found)[: len(found.among)]


def mates(found: Simulated, one: Outcome) -> list[Outcome]:
    """A scenario, and those among the same that cost the same in every draw."""
    return [own for own in among(found) if own is one or is_level(duel(found, one, own), found.draws)]


def is_cheapest(found: Simulated, one: Outcome) -> Chance:
    """The chance that a scenario is the cheapest, those that always cost the same taken together.

    A draw in which several cost the same counts for each of them in part, so that the parts add up.
    """
    level = mates(found, one)
    if len(level) == 1:
        return one.cheapest
    share = min(1.0, math.fsum(own.cheapest.share for own in level))
    return Chance(share, math.sqrt(share * (1.0 - share) / found.draws))


def favourite(found: Simulated) -> Outcome:
    """The one that is most often the cheapest; of equals the one with the lower median."""
    return max(among(found), key=lambda own: is_cheapest(found, own).share)


def runner_up(found: Simulated) -> Outcome | None:
    """Of those that do not cost the same as the favourite, the one that is most often the cheapest; None without."""
    level = mates(found, favourite(found))
    others = [own for own in among(found) if own not in level]
    return max(others, key=lambda own: is_cheapest(found, own).share) if others else None


def shares_draws(found: Simulated) -> bool:
    """Whether some draw is seen to count for several scenarios in part, since they cost the same in it."""
    counts = [own.cheapest.share * found.draws for own in among(found)]
    pair = main_duel(found) if len(counts) == 2 else None
    apart = abs(outcome(found, pair.one).cheapest.share - pair.costs_less.share) if pair else 0.0
    in_part = any(abs(count - round(count)) > 0.1 for count in counts)
    return in_part or apart * found.draws > 0.25 or any(len(mates(found, own)) > 1 for own in among(found))


def duel(found: Simulated, one: Outcome, other: Outcome) -> Duel:
    """What is known of two scenarios in the same draws, whichever of them is named first there."""
    names = {one.scenario, other.scenario}
    return next(own for own in found.duels if {own.one, own.other} == names)


def main_duel(found: Simulated) -> Duel | None:
    """The favourite and the runner-up; None without."""
    other = runner_up(found)
    return duel(found, favourite(found), other) if other else None


def is_certain(spread: Spread, draws: int) -> bool:
    """Whether a figure is the same in every draw, to the cent: neither its percentiles nor its deviation differ."""
    return spread.p90 - spread.p10 < LEVEL and spread.error * math.sqrt(draws) < LEVEL


def is_level(own: Duel, draws: int) -> bool:
    """Whether two scenarios cost the same in every draw."""
    return is_certain(own.difference, draws) and abs(own.difference.p50) < LEVEL


def costs_less(found: Simulated, row: Outcome, column: Outcome) -> float | None:
    """The share of draws in which one scenario costs less than another; None where they always cost the same.

    Where the other one has the lower median, what is left to 1: draws in which both cost the same are counted in.
    """
    own = duel(found, row, column)
    if is_level(own, found.draws):
        return None
    return own.costs_less.share if own.one == row.scenario else 1.0 - own.costs_less.share


def is_too_close(one: Chance, other: Chance, draws: int) -> bool:
    """Whether two shares of the same draws are nearer than twice the standard error of their difference."""
    apart = one.share - other.share
    return abs(apart) < 2.0 * math.sqrt(max(0.0, one.share + other.share - apart**2) / draws)


def dearest(own: Outcome) -> Year:
    """The year after the start that is most often the dearest; of equals the first."""
    return max((year for year in own.years if year.year), key=lambda year: year.worst)


def a_year(found: Simulated, own: Outcome, kind: str) -> float:
    """Expected failures, covered or worn units a year, on average over the horizon."""
    years = found.comparison.study.settings.horizon / 12
    return math.fsum(getattr(year, kind) for year in own.years) / years


def origins(found: Simulated) -> list[tuple[Varied, Range | None]]:
    """Each input that varied with its row of ranges.csv: of rows that name the same input each is taken once."""
    left, told = list(found.comparison.study.ranges), []
    for own in found.varied:
        row = next((one for one in left if " ".join(one.input.split()).casefold() == own.name.casefold()), None)
        if row is not None:
            left.remove(row)
        told.append((own, row))
    return told


def is_factor(own: Varied, row: Range | None) -> bool:
    """Whether an input's ends are factors on what the study says."""
    return row.is_factor if row else own.name in FACTORS or own.name.startswith(failure_rate_of(""))


def unit_of(own: Varied, row: Range | None) -> str:
    """The unit of an input's ends."""
    return TIMES if is_factor(own, row) else own.unit


def label_of(own: Varied, row: Range | None) -> str:
    """An input, and the only scenario in which it varied, if any."""
    only = row.scenario if row else ""
    return f"{own.name} ({only})" if only and not own.name.endswith(f" of {only}") else own.name


def is_share(own: Varied, row: Range | None) -> bool:
    """Whether an input is a share or a growth, which is written in %."""
    return row is not None and not row.is_factor and not own.unit and "%" in row.low + row.high


def driver_names(found: Simulated) -> list[str]:
    """All that drives a scenario's spread, or that of the main difference, most first; the luck of failures last."""
    most, pair = {varied.name: 0.0 for varied in found.varied} | {LUCK: 0.0}, main_duel(found)
    for drivers in (*(own.drivers for own in found.outcomes), pair.drivers if pair else ()):
        for name, share in driven(drivers).items():
            most[name] = max(share, most.get(name, 0.0))
    return sorted(most, key=lambda name: (name == LUCK, -most[name]))


def driven(drivers: Sequence[Driver]) -> dict[str, float]:
    """Shares by name, from the largest down; inputs of one name (each in its own scenario) together."""
    found: dict[str, float] = {}
    for driver in drivers:
        found[driver.name] = found.get(driver.name, 0.0) + driver.share
    return dict(sorted(found.items(), key=lambda pair: -pair[1]))
