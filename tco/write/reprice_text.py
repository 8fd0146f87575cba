"""What `tco reprice` prints: the sentence, tables that fit 80 columns, then where the files are. Plain text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from pathlib import Path

from tco.ask.reprice import Figure, Pair, Repriced, break_evens, from_then_on, ranking
from tco.write.reprice_words import (
    crossing_sentences,
    headline,
    lines_sentence,
    new_remarks,
    ranking_sentence,
)
from tco.write.summary import kept_for
from tco.write.terminal import FIGURE, NAME, POWERS, power_of, ruled, short_names, wrapped

MONEY, WHOLE = "{:,.2f}", "{:,.0f}"


def reprice_text(found: Repriced, notes: Iterable[str], files: Iterable[Path]) -> str:
    """The whole of what is printed; notes: what was done to the study's tables."""
    words = [*headline(found), lines_sentence(found), ranking_sentence(found)]
    parts = [
        wrapped(found.study.settings.question),
        [line for sentence in words for line in wrapped(sentence)],
        electricity(found),
        all_costs(found),
        crossed(found),
        levels(found),
        [line for note in [*notes, *new_remarks(found)] for line in wrapped(f"- {note}")],
    ]
    told = [line for part in parts if part for line in (*part, "")]
    return "\n".join([*told, "written:", *(f"  {path}" for path in files)])


def nothing_text(same: Iterable[str]) -> str:
    """What is printed where all that is offered stands in the study already."""
    return "\n".join(line for one in same for line in wrapped(f"nothing to change: {one}"))


def labels(found: Repriced) -> list[str]:
    """The scenarios' names, short, in the order of the study."""
    return short_names([ground.scenario.scenario for ground, _ in found.pairs])


def scaled(found: Repriced) -> tuple[float, str]:
    """By what amounts are divided to fit the tables, and what that makes of the study's money."""
    power = power_of(found.after)
    return 1000.0**power, f"{POWERS[power]}{found.study.settings.currency}"


def three(pair: Pair, scale: float, shape: str) -> list[str]:
    """Before, after and change as a table has them."""
    return [shown(value, scale, shape) for value in (pair.before, pair.after, pair.change)]


def shown(value: Figure, scale: float, shape: str) -> str:
    """A figure as a table has it; of words the first."""
    if isinstance(value, str):
        return value.split(":")[0]
    text = shape.format(round(value / scale, 9) + 0.0)
    text = shape.format(0.0) if text.strip("-0.,") == "" else text
    return text if len(text) < FIGURE else f"{value / scale:.2e}"


def electricity(found: Repriced) -> list[str]:
    """Electricity a month and over the horizon."""
    scale, money = scaled(found)
    texts = [
        [
            *three(from_then_on(found, number), scale, MONEY),
            *three(found.measure("total_electricity", number), scale, WHOLE),
        ]
        for number in range(len(found.pairs))
    ]
    rows = ruled(money, [*THREE, *THREE], labels(found), texts)
    since = found.after.built.grounds[0].months.rows[found.shown_month]
    over = over_columns("electricity", ["a month", 3], [f"in {kept_for(found.horizon)}", 3])
    return [
        over,
        *rows,
        "",
        *wrapped(f"a month: on average from {since} on; in {kept_for(found.horizon)}: undiscounted"),
    ]


THREE = (("before", "", ""), ("after", "", ""), ("change", "", ""))
TWO = THREE[:2]


def over_columns(first: str, *groups: Sequence[str | int]) -> str:
    """A line of words over groups of so many columns."""
    return f"{first:<{NAME}}" + "".join(f"{word:>{FIGURE * int(count)}}" for word, count in groups)


def all_costs(found: Repriced) -> list[str]:
    """Life-cycle cost and place."""
    scale, money = scaled(found)
    texts = [
        [*three(found.measure("lcc", number), scale, WHOLE), *(place(value) for value in (one.before, one.after))]
        for number, one in enumerate(ranking(found).values())
    ]
    over = over_columns("all costs", ["at their worth at the start", 3], ["place", 2])
    note = ["place -: not ranked, does not meet all needs"] if any("-" in own[3:] for own in texts) else []
    return [over, *ruled(money, [*THREE, *TWO], labels(found), texts), *(["", *note] if note else [])]


def place(value: Figure) -> str:
    """A scenario's place in the table."""
    return "-" if isinstance(value, str) else f"{value:.0f}"


def crossed(found: Repriced) -> list[str]:
    """Crossing months against the baseline, before and after."""
    told = [line for sentence in crossing_sentences(found) for line in wrapped(sentence, "  ")]
    baseline = found.before.built.baseline.scenario.scenario
    return [*wrapped(f"against {baseline}, resale left out:"), *told] if told else []


def levels(found: Repriced) -> list[str]:
    """At which price of electricity scenarios cost the same as the cheapest, and as the baseline."""
    rows = break_evens(found)
    if not rows:
        return []
    known = dict(zip((ground.scenario.scenario for ground, _ in found.pairs), labels(found), strict=True))
    texts = [in_table(row.factor, row.price) for row in rows]
    reasons = list(dict.fromkeys(text for own in texts for text in own if text.startswith("none")))
    letters = {reason: f"({chr(97 + number % 26)})" for number, reason in enumerate(reasons)}
    lines, money = [], found.study.settings.currency
    for one, group in groupby(zip(rows, texts, strict=True), key=lambda pair: pair[0].one):
        pairs = list(group)
        short = [[letters.get(text, text) for text in own] for _, own in pairs]
        over = over_columns("level with", ["times the prices", 2], [f"{money} a kWh", 2])
        lines += [over, *ruled(known[one], [*TWO, *TWO], [known[row.other] for row, _ in pairs], short), ""]
    month = found.after.built.grounds[0].months.rows[found.shown_month]
    note = f"level: both cost the same if the tariff's prices were so many times what they are; a kWh: in {month}"
    told = "; ".join(f"{letter} {reason}" for reason, letter in letters.items())
    return [*lines, *wrapped(note), *(wrapped(told) if told else [])]


def in_table(factor: Pair, price: Pair) -> list[str]:
    """The cells of one row: factors, then prices; reasons in full."""
    texts = [
        (factor.before, "{:,.2f}"),
        (factor.after, "{:,.2f}"),
        (price.before, "{:,.4f}"),
        (price.after, "{:,.4f}"),
    ]
    return [value if isinstance(value, str) else shown(value, 1.0, shape) for value, shape in texts]
