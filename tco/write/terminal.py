"""What the terminal shows: the answer, a table that fits 80 columns, then where the files are. Plain text."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from pathlib import Path

from tco.ask.compare import Comparison, crossings
from tco.ask.explain import Explanation
from tco.ask.practice import findings
from tco.ask.remarks import remarks
from tco.engine import absent
from tco.model import Ground
from tco.write.told import told

WIDTH = 80
NAME = 19  # a scenario's name in the table; longer ones are cut with an ellipsis
FIGURE = 10
NOTES = 5
POWERS = ("", "1,000 ", *(f"10^{3 * power} " for power in range(2, 9)))
# Heading, measure, decimals, whether it is money.
TABLE = (
    ("at start", "paid_at_start", 0),
    ("electric", "total_electricity", 0),
    ("replaced", "total_replacement", 0),
    ("resale", "total_resale", 0),
    ("in all", "lcc", 0),
    ("a month", "equivalent_month", 2),
)


def comparison_text(comparison: Comparison, files: Iterable[Path]) -> str:
    """The whole of what `tco compare` prints."""
    question = comparison.study.settings.question
    answer = [textwrap.fill(sentence, WIDTH) for sentence in told(comparison).answer]
    written = [f"  {path}" for path in files]
    tables = [table(comparison), delivered(comparison), against(comparison)]
    parts = [wrapped(question), answer, *tables, keeping(comparison), a_kwh(comparison), notes(comparison)]
    shown = [line for part in (*parts, checked(comparison)) if part for line in (*part, "")]
    return "\n".join([*shown, "written:", *written])


def wrapped(text: str, indent: str = "") -> list[str]:
    """A text in lines that fit."""
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  ") or [""]


def table(comparison: Comparison) -> list[str]:
    """Scenarios from the cheapest to the dearest, money of the study; what a column means stands below."""
    grounds = comparison.ranked()
    values = [[comparison.measure(ground, measure) for _, measure, _ in TABLE] for ground in grounds]
    power = power_of(comparison)
    scale, money = 1000.0**power, f"{POWERS[power]}{comparison.study.settings.currency}"
    head = f"{money:<{NAME}}" + "".join(f"{name:>{FIGURE}}" for name, *_ in TABLE)
    labels = short_names([ground.scenario.scenario for ground in grounds])
    rows = [row(name, [value / scale for value in own]) for name, own in zip(labels, values, strict=True)]
    ranked = sum(comparison.meets(ground) for ground in grounds)
    rows[ranked:ranked] = ["not ranked:"] if ranked < len(grounds) else []
    notes = [
        "at start: paid in month 0; electric, replaced, resale: sums over the horizon",
        "in all: everything, at its worth at the start; a month: the same, spread evenly",
    ]
    return [head, "-" * len(head), *rows, "", *notes]


def a_kwh(comparison: Comparison) -> list[str]:
    """What a kWh of the cheapest build costs, beside the bill's average, which people quote; nothing without both."""
    for ground in comparison.ranked():
        own, bill = (ground.measure(name) for name in ("marginal_price", "average_price"))
        if not (absent(own, 0, comparison.figures) or absent(bill, 0, comparison.figures)):
            name, money = ground.scenario.scenario, comparison.study.settings.currency
            added, mean = (comparison.measure(ground, word) for word in ("marginal_price", "average_price"))
            told = f"electricity: a kWh of {name} adds {added:.3f} {money} to the bill, whose average is {mean:.3f}"
            return wrapped(f"{told} (sheet Electricity, bills.csv)")
    return []


# Heading, measure, how it is written.
DELIVERED = (
    ("room TB", "recommended", "{:,.1f}"),
    ("may die", "node_losses", "{:.0f}"),
    ("read MB/s", "read", "{:,.0f}"),
    ("write", "write", "{:,.0f}"),
    ("at bed dB", "noise_busy", "{:.0f}"),
    ("watts", "first_power", "{:,.0f}"),
)


def delivered(comparison: Comparison) -> list[str]:
    """What each scenario delivers, in the same order; nothing where no scenario says."""
    grounds = comparison.ranked()
    found = [[in_short(comparison, ground, measure, shape) for _, measure, shape in DELIVERED] for ground in grounds]
    if all(own[0] == "unknown" for own in found):
        return []
    labels = short_names([ground.scenario.scenario for ground in grounds])
    notes = [
        "room: within the fill limit; may die: nodes at once, no data lost; read, write:",
        "all clients together at most; at bed: dB(A) when busy; watts: month 1, average",
    ]
    return [*ruled("delivers, at worst", DELIVERED, labels, found), "", *notes]


def ruled(
    first: str, columns: Sequence[tuple[str, str, str]], labels: Sequence[str], texts: Sequence[Sequence[str]]
) -> list[str]:
    """Headings with a line under them, and a row for each scenario; a column's first text is its heading."""
    rows = [(first, [heading for heading, *_ in columns]), *zip(labels, texts, strict=True)]
    head, *body = [f"{name:<{NAME}}" + "".join(f"{text:>{FIGURE}}" for text in own) for name, own in rows]
    return [head, "-" * len(head), *body]


def in_short(comparison: Comparison, ground: Ground, measure: str, shape: str) -> str:
    """A measure as the table has it; of words the first."""
    column = ground.measure(measure)
    if reason := absent(column, 0, comparison.figures):
        return reason.split(":")[0]
    text = shape.format(float(comparison.of(column)[0]) + 0.0)
    return text if len(text) < FIGURE else f"{float(comparison.of(column)[0]):.2e}"


def checked(comparison: Comparison) -> list[str]:
    """How much the practice checks found."""
    found = findings(comparison)
    if not found:
        return []
    rules = len({one.rule.name for one in found})
    told = f"practice checks: {len(found)} finding{'s' * (len(found) != 1)} by {rules} rule{'s' * (rules != 1)}"
    return wrapped(f"{told}; tco check tells them, and sheet Checks")


def power_of(comparison: Comparison) -> int:
    """By how many thousands amounts are divided to fit the tables."""
    values = [[comparison.measure(ground, measure) for _, measure, _ in TABLE] for ground in comparison.ranked()]
    return next(power for power in range(9) if fits(values, 1000.0**power))


# Heading, measure, how it is written.
AGAINST = (
    ("saved", "net_savings", "{:,.0f}"),
    ("ratio", "savings_to_investment_ratio", "{:.2f}"),
    ("adjusted", "adjusted_rate_of_return", "{:.1%}"),
    ("internal", "rate_of_return", "{:.1%}"),
    ("payback", "simple_payback", "{:.1f} y"),
    ("cheaper", "level_horizon", "{} {:.0f}"),
)


def against(comparison: Comparison) -> list[str]:
    """What each scenario brings against the baseline; letters stand for reasons, which are told below."""
    others = [ground for ground in comparison.ranked() if not ground.scenario.baseline]
    if not others:
        return []
    scale = 1000.0 ** power_of(comparison)
    found = [[said(comparison, ground, measure, shape, scale) for _, measure, shape in AGAINST] for ground in others]
    reasons = list(dict.fromkeys(text for own in found for text in own if text.startswith(WORDS)))
    letters = {reason: f"({chr(97 + number)})" for number, reason in enumerate(reasons)}
    labels = short_names([ground.scenario.scenario for ground in comparison.ranked()])
    known = dict(zip((ground.scenario.scenario for ground in comparison.ranked()), labels, strict=True))
    baseline = known[comparison.built.baseline.scenario.scenario]
    texts = [[letters.get(text, text) for text in own] for own in found]
    rows = ruled(f"vs {baseline}"[: NAME - 1], AGAINST, [known[one.scenario.scenario] for one in others], texts)
    told = "; ".join(f"{letter} {reason}" for reason, letter in letters.items())
    notes = [
        "saved: in all, at its worth at the start; ratio: savings to investment; adjusted",
        "and internal: rates of return a year; cheaper: if both are sold, from or until",
        "which month",
    ]
    return [*rows, "", *notes, *(textwrap.wrap(told, WIDTH) if told else [])]


WORDS = ("none", "several", "not known")


def said(comparison: Comparison, ground: Ground, measure: str, shape: str, scale: float) -> str:
    """A measure as the table has it, or why there is none; what is too long for the table in powers of ten.

    scale: what amounts of money are divided by.
    """
    column = ground.own("measures", measure)
    if reason := absent(column, 0, comparison.figures):
        return reason
    value = float(comparison.of(column)[0]) + 0.0
    value /= scale if measure == "net_savings" else 1.0
    way = "from" if measure == "level_horizon" and crosses_upward(comparison, ground) else "until"
    text = shape.format(*([way] if "{} " in shape else []), value).replace("%", " %")
    return text if len(text) < FIGURE else f"{value:.2e}"


def crosses_upward(comparison: Comparison, ground: Ground) -> bool:
    """Whether a scenario is the cheaper one, both sold then, from the last crossing on."""
    found = crossings(comparison, ground, "ahead_if_sold")
    return bool(found and found[-1][1])


def keeping(comparison: Comparison) -> list[str]:
    """How long each scenario is best kept, where that is a choice."""
    told = []
    for ground in comparison.ranked():
        column = ground.own("measures", "economic_life")
        if not absent(column, 0, comparison.figures):
            years = float(comparison.of(column)[0])
            end = " (the horizon)" if round(12 * years) == ground.horizon else ""
            told.append(f"{ground.scenario.scenario} {years:.4g} year{'s' * (years != 1)}{end}")
    return wrapped(f"cheapest a year if all is sold after: {', '.join(told)}") if told else []


def notes(comparison: Comparison) -> list[str]:
    """What was converted, or carried on beyond its curve; the workbook has all of it."""
    found = remarks(comparison)
    more = [f"- and {len(found) - NOTES} more, on sheet Assumptions"] if len(found) > NOTES else []
    lines = [line for one in found[:NOTES] for line in wrapped(f"- {one}")]
    return ["notes:", *lines, *more] if found else []


def fits(rows: Sequence[Sequence[float]], scale: float) -> bool:
    """Whether all figures leave a space before them when divided by a scale."""
    texts = (shown(value / scale, digits) for own in rows for value, (*_, digits) in zip(own, TABLE, strict=True))
    return all(len(text) < FIGURE for text in texts)


def shown(value: float, digits: int) -> str:
    """A figure of the table."""
    return f"{round(value, digits) + 0.0:,.{digits}f}"


def short_names(names: Sequence[str]) -> list[str]:
    """Names as short as the table needs them; numbered where they would be the same."""
    short = [name if len(name) < NAME else f"{name[: NAME - 10]}…{name[-8:]}" for name in names]
    if len(set(short)) == len(short):
        return short
    return [f"{number}: {name[: NAME - 6]}" for number, name in enumerate(names, start=1)]


def row(name: str, values: Sequence[float]) -> str:
    """One scenario's figures."""
    figures = (f"{shown(value, digits):>{FIGURE}}" for value, (*_, digits) in zip(values, TABLE, strict=True))
    return f"{name:<{NAME}}{''.join(figures)}"


def explanation_text(explanation: Explanation) -> str:
    """The whole of what `tco explain` prints."""
    lines = [*wrapped(explanation.headline), ""]
    for block in explanation.blocks:
        lines += wrapped(block.label)
        lines += wrapped(f"= {block.words}", "  ") if block.words else []
        for entry in block.entries:
            lines += entry_lines(entry.row, entry.value, entry.numbers, (entry.cell, entry.origin))
        lines += [f"    and {block.more} more rows"] if block.more else []
        lines.append("")
    return "\n".join(lines).rstrip()


def entry_lines(row: str, value: str, numbers: str, notes: Sequence[str]) -> list[str]:
    """One figure: its row and value, the formula with its numbers, its cell and where it is from."""
    lines = wrapped(f"{row}: {value}", "    ")
    lines += wrapped(f"= {numbers}", "      ") if numbers else []
    about = "; ".join(note for note in notes if note)
    return lines + (wrapped(f"[{about}]", "      ") if about else [])
