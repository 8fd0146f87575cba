"""A simulation as CSV: three tidy tables, floats in full.

simulate.csv (scenario, figure, other, value, unit): `lcc_`, `equivalent_month_` and `worst_year_` with `p10`, `p50`,
`p90`, `mean`, `error` (its standard error) and, where no input varies, `exact` (its expectation without draws);
`worst_year_most_often` [year]; `failures_a_year`, `covered_a_year`, `worn_a_year` [units];
`chance_cheapest` and its `_error` (or why there is none; a draw in which several cost the same counts for each in
part); `driver_share`, of the variance of the life-cycle cost,
with `other` the input. With `other` another scenario, every pair once: `chance_costs_less`, its `_error`,
`difference_` with `p10` and so on, of life-cycle costs, this scenario's less the other's. `difference_share_with_X`:
what share of the variance of the difference with scenario X comes from the input in `other`. A figure that is the
same in every draw has no shares. Without scenario: `draws` and `seed`.

simulate_years.csv (scenario, year, figure, value, unit): year 0 is the start; `cash_` with `p10` and so on, resale
left in; `worst`, the share of draws in which it is the dearest after the start; `failures`, `covered`, `worn`:
expected units; `replacements_p90`: failed and worn units together in nine of ten draws at most.

simulate_inputs.csv (scenario, input, low, likely, high, unit, source): what varied; without scenario: in all of them;
in the unit `times`: a factor on what the study says.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tco.ask.simulated import Duel, Outcome, Simulated, Spread, Year
from tco.write.chance_figures import a_year, dearest, driven, origins, unit_of
from tco.write.tables import Table, csv_text

Row = tuple[str, str, str, float | str, str]
NOT_RANKED = "none: does not meet all needs"
COUNTS = ("failures", "covered", "worn")


def simulate_csv(found: Simulated) -> str:
    """scenario, figure, other, value, unit."""
    return simulate_table(found).csv


def simulate_table(found: Simulated) -> Table:
    """What simulate.csv has."""
    return Table("simulate.csv", ("scenario", "figure", "other", "value", "unit"), rows(found), ("value",))


def rows(found: Simulated) -> Iterator[Row]:
    """Every figure of simulate.csv."""
    yield "", "draws", "", found.draws, ""
    yield "", "seed", "", found.seed, ""
    for own in found.outcomes:
        yield from outcome_rows(found, own)
    for pair in found.duels:
        yield from duel_rows(found, pair)


def outcome_rows(found: Simulated, own: Outcome) -> Iterator[Row]:
    """One scenario's."""
    name, money = own.scenario, found.comparison.study.settings.currency
    spreads = (("lcc", own.lcc, money), ("equivalent_month", own.equivalent_month, f"{money}/month"))
    for figure, spread, unit in (*spreads, ("worst_year", own.worst_year, money)):
        yield from ((name, f"{figure}_{kind}", "", value, unit) for kind, value in parts(spread))
    yield name, "worst_year_most_often", "", dearest(own).year, "year"
    yield from ((name, f"{kind}_a_year", "", a_year(found, own, kind), "1/year") for kind in COUNTS)
    is_ranked = name in found.among
    yield name, "chance_cheapest", "", own.cheapest.share if is_ranked else NOT_RANKED, ""
    if is_ranked:
        yield name, "chance_cheapest_error", "", own.cheapest.error, ""
    for driver, share in driven(own.drivers).items():
        yield name, "driver_share", driver, share, ""


def duel_rows(found: Simulated, own: Duel) -> Iterator[Row]:
    """Two scenarios in the same draws."""
    money = found.comparison.study.settings.currency
    yield own.one, "chance_costs_less", own.other, own.costs_less.share, ""
    yield own.one, "chance_costs_less_error", own.other, own.costs_less.error, ""
    for kind, value in parts(own.difference):
        yield own.one, f"difference_{kind}", own.other, value, money
    for driver, share in driven(own.drivers).items():
        yield own.one, f"difference_share_with_{own.other}", driver, share, ""


def parts(spread: Spread) -> Iterable[tuple[str, float]]:
    """A spread's figures by name."""
    yield from ((kind, getattr(spread, kind)) for kind in ("p10", "p50", "p90", "mean", "error"))
    if spread.exact is not None:
        yield "exact", spread.exact


def years_csv(found: Simulated) -> str:
    """scenario, year, figure, value, unit."""
    header = ("scenario", "year", "figure", "value", "unit")
    return csv_text(
        header, (row for own in found.outcomes for year in own.years for row in year_rows(found, own, year))
    )


def year_rows(found: Simulated, own: Outcome, year: Year) -> Iterator[tuple[str, int, str, float, str]]:
    """One year of a scenario."""
    for kind, value in parts(year.cash):
        yield own.scenario, year.year, f"cash_{kind}", value, found.comparison.study.settings.currency
    if year.year:
        yield own.scenario, year.year, "worst", year.worst, ""
    for kind in COUNTS:
        yield own.scenario, year.year, kind, getattr(year, kind), ""
    yield own.scenario, year.year, "replacements_p90", year.p90, ""


def inputs_csv(found: Simulated) -> str:
    """scenario, input, low, likely, high, unit, source."""
    header = ("scenario", "input", "low", "likely", "high", "unit", "source")
    lines = (
        (
            row.scenario if row else "",
            own.name,
            *(own.low, own.likely, own.high),
            unit_of(own, row),
            row.source if row else "",
        )
        for own, row in origins(found)
    )
    return csv_text(header, lines)
