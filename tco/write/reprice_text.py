"""What `tco reprice` prints: the sentence, tables that fit 80 columns, then where the files are. Plain text."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from pathlib import Path

from tco.ask.reprice import Figure, Pair, Repriced, break_evens, from_then_on, ranking
from tco.write.fixed import digits_of, fixed
from tco.write.lines import FIGURE, POWERS, all_wrapped, page, table, wrapped
from tco.write.reprice_words import (
    crossing_sentences,
    headline,
    lines_sentence,
    new_remarks,
    ranking_sentence,
)
from tco.write.summary import kept_for
from tco.write.terminal import lettered, power_of


def reprice_text(found: Repriced, notes: Iterable[str], files: Iterable[Path]) -> str:
    """The whole of what is printed; notes: what was done to the study's tables."""
    rests_on = all_wrapped(f"- {note}" for note in [*notes, *new_remarks(found)])
    parts = [electricity(found), all_costs(found), crossed(found), levels(found), rests_on]
    return page(found.study.settings.question, sentences(found), parts, files)


def sentences(found: Repriced) -> list[str]:
    """The answer: what a kWh costs, which lines of cost change, whether the ranking moves."""
    return [*headline(found), lines_sentence(found), ranking_sentence(found)]


def nothing_text(same: Iterable[str]) -> str:
    """What is printed where all that is offered stands in the study already."""
    return "\n".join(all_wrapped(f"nothing to change: {one}" for one in same))


def labels(found: Repriced) -> list[str]:
    """The scenarios' names in the order of the study."""
    return [ground.scenario.scenario for ground, _ in found.pairs]


def scaled(found: Repriced) -> tuple[float, str]:
    """By what amounts are divided to fit the tables, and what that makes of the study's money."""
    power = power_of(found.after)
    return 1000.0**power, f"{POWERS[power]}{found.study.settings.currency}"


def three(pair: Pair, scale: float, digits: int = 0) -> list[str]:
    """Before, after and change as a table has them."""
    return [shown(value, scale, digits) for value in (pair.before, pair.after, pair.change)]


def shown(value: Figure, scale: float, digits: int) -> str:
    """A figure as a table has it; of words the first."""
    if isinstance(value, str):
        return value.split(":")[0]
    text = fixed(value / scale, digits)
    return text if len(text) < FIGURE else f"{value / scale:.2e}"


def electricity(found: Repriced) -> list[str]:
    """Electricity a month and over the horizon."""
    scale, money = scaled(found)
    digits = digits_of(money) if scale == 1.0 else 2
    texts = [
        [
            *three(from_then_on(found, number), scale, digits),
            *three(found.measure("total_electricity", number), scale),
        ]
        for number in range(len(found.pairs))
    ]
    since = found.after.built.grounds[0].months.rows[found.shown_month]
    over = [("electricity", 0), ("a month", 3), (f"in {kept_for(found.horizon)}", 3)]
    return [
        *table(money, [*THREE, *THREE], zip(labels(found), texts, strict=True), over),
        "",
        *wrapped(f"a month: on average from {since} on; in {kept_for(found.horizon)}: undiscounted"),
    ]


THREE = ("before", "after", "change")
TWO = THREE[:2]


def all_costs(found: Repriced) -> list[str]:
    """Life-cycle cost and rank."""
    scale, money = scaled(found)
    texts = [
        [*three(found.measure("lcc", number), scale), *(place(value) for value in (one.before, one.after))]
        for number, one in enumerate(ranking(found).values())
    ]
    over = [("all costs", 0), ("at their worth at the start", 3), ("rank", 2)]
    note = ["rank -: not ranked, does not meet all needs"] if any("-" in own[3:] for own in texts) else []
    rows = table(money, [*THREE, *TWO], zip(labels(found), texts, strict=True), over)
    return [*rows, *(["", *note] if note else [])]


def place(value: Figure) -> str:
    """A scenario's place in the table."""
    return "-" if isinstance(value, str) else f"{value:.0f}"


def crossed(found: Repriced) -> list[str]:
    """Crossing months against the baseline, before and after."""
    told = all_wrapped(crossing_sentences(found), "  ")
    baseline = found.before.built.baseline.scenario.scenario
    return [*wrapped(f"against {baseline}, resale left out:"), *told] if told else []


def levels(found: Repriced) -> list[str]:
    """At which price of electricity scenarios cost the same as the cheapest, and as the baseline."""
    rows = break_evens(found)
    if not rows:
        return []
    texts = [in_table(row.factor, row.price) for row in rows]
    letters = lettered(text for own in texts for text in own if text.startswith("none"))
    lines, money = [], found.study.settings.currency
    for one, group in groupby(zip(rows, texts, strict=True), key=lambda pair: pair[0].one):
        pairs = list(group)
        short = [(row.other, [letters.get(text, text) for text in own]) for row, own in pairs]
        over = [("level with", 0), ("times the prices", 2), (f"{money} a kWh", 2)]
        lines += [*table(one, [*TWO, *TWO], short, over), ""]
    month = found.after.built.grounds[0].months.rows[found.shown_month]
    note = f"level: both cost the same if the tariff's prices were so many times what they are; a kWh: in {month}"
    told = "; ".join(f"{letter} {reason}" for reason, letter in letters.items())
    return [*lines, *wrapped(note), *(wrapped(told) if told else [])]


def in_table(factor: Pair, price: Pair) -> list[str]:
    """The cells of one row: factors, then prices; reasons in full."""
    texts = [
        (factor.before, 2),
        (factor.after, 2),
        (price.before, 4),
        (price.after, 4),
    ]
    return [value if isinstance(value, str) else shown(value, 1.0, digits) for value, digits in texts]
