"""What `tco simulate` prints: the answer, a table that fits 80 columns, what drives it, the files. Plain text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import fsum
from pathlib import Path

from tco.ask.simulated import Driver, Outcome, Simulated, Spread, Varied
from tco.ranges import Range
from tco.write.chance_figures import (
    a_year,
    driven,
    favourite,
    is_certain,
    is_factor,
    is_share,
    label_of,
    main_duel,
    origins,
    ranked,
    shares_draws,
)
from tco.write.chance_words import TYPED, answers, draws_of, left_to_chance
from tco.write.fixed import digits_of, fixed, percent
from tco.write.lines import FIGURE, POWERS, Row, all_wrapped, page, wrapped
from tco.write.lines import table as in_table

TABLE = ("P10", "P50", "P90", "cheapest", "P90", "a year")
OVER = (("", 0), ("a month, spread evenly", 3), ("chance", 1), ("bad year", 1), ("fail", 1))
SHARED = "cheapest: a draw in which several cost the same counts for each in part"
NAMED = 4  # drivers of a spread that are named; the rest is added up
LISTED = 10  # inputs that are listed; the workbook has all


def simulated_text(found: Simulated, files: Iterable[Path]) -> str:
    """The whole of what is printed."""
    parts = [table(found), spreads(found), rests_on(found)]
    return page(found.comparison.study.settings.question, answers(found, TYPED), parts, files)


def table(found: Simulated) -> list[str]:
    """Scenarios by their median, those that are not ranked last; what a column means stands below."""
    outcomes, power = ranked(found), power_of(found)
    money = f"{POWERS[power]}{found.comparison.study.settings.currency}"
    texts = [cells(found, own, 1000.0**power) for own in outcomes]
    rows: list[Row | str] = [(own.scenario, text) for own, text in zip(outcomes, texts, strict=True)]
    if len(found.among) < len(outcomes):
        rows[len(found.among) :] = ["not ranked:", *rows[len(found.among) :]]
    explained = [
        "P10, P50, P90: one, five and nine draws of ten cost that much at most; bad year: cash of the dearest year "
        "after the start; fail: expected failures; +-: one standard error, what so few draws leave open",
    ]
    explained += [f"never: in none of {draws_of(found)}"] if any("never" in own for own in texts) else []
    explained += [SHARED] if shares_draws(found) else []
    return [*in_table(money, TABLE, rows, OVER), "", *all_wrapped(explained, hang="")]


def cells(found: Simulated, own: Outcome, scale: float) -> list[str]:
    """One scenario's figures."""
    month, money = own.equivalent_month, found.comparison.study.settings.currency
    digits = digits_of(money) if scale == 1.0 else 2
    return [
        *(TYPED.amount(value / scale, digits) for value in (month.p10, month.p50, month.p90)),
        in_short(own.cheapest.share) if own.scenario in found.among else "-",
        TYPED.amount(own.worst_year.p90 / scale),
        counted(a_year(found, own, "failures")),
    ]


def counted(value: float) -> str:
    """Expected units a year."""
    text = fixed(value, 2 if value < 99.995 else 0)
    return text if len(text) < FIGURE else f"{value:.2e}"


def in_short(share: float) -> str:
    """A chance as a table has it: what is no chance, or certain, is said in words."""
    if share <= 0 or share >= 1:
        return "never" if share <= 0 else "always"
    if share < 0.0005:
        return "<0.1 %"
    return ">99.9 %" if share >= 0.9995 else percent(share, 1)


def power_of(found: Simulated) -> int:
    """By how many thousands amounts are divided to fit the table."""
    spreads = [spread for own in found.outcomes for spread in (own.equivalent_month, own.worst_year)]
    return next(power for power in range(9) if all(fits(spread, 1000.0**power) for spread in spreads))


def fits(spread: Spread, scale: float) -> bool:
    """Whether a spread's figures leave a space before them when divided by a scale."""
    return all(len(TYPED.amount(value / scale, 2)) < FIGURE for value in (spread.p10, spread.p50, spread.p90))


def spreads(found: Simulated) -> list[str]:
    """What drives the spread of each scenario, and of the difference between the two most likely cheapest."""
    uncertain = [own for own in ranked(found) if own.drivers]
    if not uncertain or not found.varied:
        return []
    lines = ["what drives the spread, in % of its variance:"]
    for own in uncertain:
        lines += wrapped(f"{own.scenario}: {shares(own.drivers)}", "  ")
    pair = main_duel(found)
    if pair and pair.drivers:
        lines += wrapped(f"{pair.one} less {pair.other}: {shares(pair.drivers)}", "  ")
    return lines


def shares(drivers: Sequence[Driver]) -> str:
    """The largest shares, and what the rest comes to."""
    each = driven(drivers)
    largest = list(each)[:NAMED]
    rest = fsum(share for name, share in each.items() if name not in largest)
    told = [f"{percent(each[name])} {name}" for name in largest if each[name] >= 0.005]
    return "; ".join([*told, *([f"{percent(rest)} others"] if rest >= 0.005 else [])])


def rests_on(found: Simulated) -> list[str]:
    """Draws, seed, and what varied."""
    lines = wrapped(f"{draws_of(found)}, seed {found.seed}. {left_to_chance(found)}")
    lines += all_wrapped(known_exactly(found))
    for own, row in origins(found)[:LISTED]:
        lines += wrapped(f"- {label_of(own, row)}: {ends(own, row)}")
    more = len(found.varied) - LISTED
    return [*lines, *([f"- and {more} more, on sheet Chance"] if more > 0 else [])]


def known_exactly(found: Simulated) -> Iterator[str]:
    """The favourite's mean by the draws and without them, where no input varies and something is left to chance."""
    best, money = favourite(found), found.comparison.study.settings.currency
    if best.lcc.exact is not None and not is_certain(best.lcc, found.draws):
        told = f"- mean life-cycle cost of {best.scenario}: {TYPED.with_error(best.lcc)} {money} by the draws"
        yield f"{told}, {TYPED.amount(best.lcc.exact)} exactly"


def ends(own: Varied, row: Range | None) -> str:
    """How far an input varied."""
    size = 100.0 if is_share(own, row) else 1.0
    low, likely, high = (plain(size * value) for value in (own.low, own.likely, own.high))
    if is_factor(own, row):
        return f"{low} to {high} times what the study says, most likely {likely}"
    if is_share(own, row):
        return f"{low} % to {high} %, most likely {likely} %"
    return f"{low} to {high}{f' {own.unit}' if own.unit else ''}, most likely {likely}"


def plain(value: float) -> str:
    """An input's number with the digits it has, six at most."""
    return f"{float(f'{value:.6g}') + 0.0:,.12g}"
