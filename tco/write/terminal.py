"""What `tco compare` prints: the answer, tables of the scenarios, notes, then where the files are. Plain text."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from tco.ask.compare import Comparison, crossings
from tco.ask.practice import findings
from tco.ask.remarks import remarks
from tco.engine import absent
from tco.model import Ground
from tco.write.fixed import digits_of, fixed, percent
from tco.write.lines import FIGURE, POWERS, Row, all_wrapped, page, table, wrapped
from tco.write.told import told

NOTES = 5  # that are printed; the workbook has all
SHORT = 19  # letters of a name where a chart has no room for more


@dataclass(frozen=True)
class Head:
    """A column: its heading, the measure, decimals; percent: whether it is a share; unit: what stands behind."""

    heading: str
    measure: str
    digits: int = 0
    percent: bool = False
    unit: str = ""

    def text(self, value: float) -> str:
        """A figure of it; one that is too long for the table in powers of ten."""
        text = percent(value, self.digits) if self.percent else f"{fixed(value, self.digits)}{self.unit}"
        return text if len(text) < FIGURE else f"{value:.2e}"


COSTS = (
    Head("at start", "paid_at_start"),
    Head("electric", "total_electricity"),
    Head("replaced", "total_replacement"),
    Head("resale", "total_resale"),
    Head("in all", "lcc"),
    Head("a month", "equivalent_month", 2),
)
DELIVERED = (
    Head("room TB", "recommended", 1),
    Head("may die", "node_losses"),
    Head("read MB/s", "read"),
    Head("write", "write"),
    Head("at bed dB", "noise_busy"),
    Head("watts", "first_power"),
)
AGAINST = (
    Head("saved", "net_savings"),
    Head("ratio", "savings_to_investment_ratio", 2),
    Head("adjusted", "adjusted_rate_of_return", 1, percent=True),
    Head("internal", "rate_of_return", 1, percent=True),
    Head("payback", "simple_payback", 1, unit=" y"),
    Head("cheaper", "level_horizon"),
)


def comparison_text(comparison: Comparison, files: Iterable[Path]) -> str:
    """The whole of what `tco compare` prints."""
    tables = [costs(comparison), delivered(comparison), against(comparison)]
    parts = [*tables, keeping(comparison), a_kwh(comparison), notes(comparison), checked(comparison)]
    return page(comparison.study.settings.question, told(comparison).answer, parts, files)


def headings(heads: Iterable[Head]) -> list[str]:
    """What stands over the columns."""
    return [head.heading for head in heads]


def costs(comparison: Comparison) -> list[str]:
    """Scenarios from the cheapest to the dearest, money of the study; what a column means stands below."""
    grounds = comparison.ranked()
    power = power_of(comparison)
    scale, money = 1000.0**power, f"{POWERS[power]}{comparison.study.settings.currency}"
    smallest = 2 if power else digits_of(comparison.study.settings.currency)
    heads = [replace(head, digits=min(head.digits, smallest)) for head in COSTS]
    rows: list[Row | str] = [
        (ground.scenario.scenario, [head.text(comparison.measure(ground, head.measure) / scale) for head in heads])
        for ground in grounds
    ]
    ranked = sum(comparison.meets(ground) for ground in grounds)
    rows[ranked:ranked] = ["not ranked:"] if ranked < len(grounds) else []
    notes = [
        "at start: paid in month 0; electric, replaced, resale: sums over the horizon; in all: everything, at its "
        "worth at the start; a month: the same, spread evenly",
    ]
    return [*table(money, headings(COSTS), rows), "", *all_wrapped(notes, hang="")]


def a_kwh(comparison: Comparison) -> list[str]:
    """What a kWh of the cheapest build costs, beside the bill's average, which people quote; nothing without both."""
    for ground in comparison.ranked():
        own, bill = (ground.measure(name) for name in ("marginal_price", "average_price"))
        if not (absent(own, 0, comparison.figures) or absent(bill, 0, comparison.figures)):
            name, money = ground.scenario.scenario, comparison.study.settings.currency
            added, mean = (fixed(comparison.measure(ground, word), 3) for word in ("marginal_price", "average_price"))
            told = f"electricity: a kWh of {name} adds {added} {money} to the bill, whose average is {mean}"
            return wrapped(f"{told} (sheet Electricity, bills.csv)")
    return []


def delivered(comparison: Comparison) -> list[str]:
    """What each scenario delivers, in the same order; nothing where no scenario says."""
    grounds = comparison.ranked()
    rows = [(one.scenario.scenario, [in_short(comparison, one, head) for head in DELIVERED]) for one in grounds]
    if all(texts[0] == "unknown" for _, texts in rows):
        return []
    notes = [
        "room: within the fill limit; may die: nodes at once, no data lost; read, write: all clients together at "
        "most; at bed: dB(A) when busy; watts: month 1, average",
    ]
    return [*table("delivers, at worst", headings(DELIVERED), rows), "", *all_wrapped(notes, hang="")]


def in_short(comparison: Comparison, ground: Ground, head: Head) -> str:
    """A measure as the table has it; of words the first."""
    column = ground.measure(head.measure)
    if reason := absent(column, 0, comparison.figures):
        return reason.split(":")[0]
    return head.text(float(comparison.of(column)[0]))


def checked(comparison: Comparison) -> list[str]:
    """How much the practice checks found."""
    found = findings(comparison)
    if not found:
        return []
    rules = len({one.rule.name for one in found})
    told = f"practice checks: {len(found)} finding{'s' * (len(found) != 1)} by {rules} of them"
    return wrapped(f"{told}; tco check tells them, and sheet Checks")


def power_of(comparison: Comparison) -> int:
    """By how many thousands amounts are divided to fit the tables."""
    values = [[comparison.measure(ground, head.measure) for head in COSTS] for ground in comparison.ranked()]
    return next(power for power in range(9) if fits(values, 1000.0**power))


def fits(rows: Sequence[Sequence[float]], scale: float) -> bool:
    """Whether all figures leave a space before them when divided by a scale."""
    texts = (fixed(value / scale, head.digits) for own in rows for value, head in zip(own, COSTS, strict=True))
    return all(len(text) < FIGURE for text in texts)


def against(comparison: Comparison) -> list[str]:
    """What each scenario brings against the baseline; letters stand for reasons, which are told below."""
    others = [ground for ground in comparison.ranked() if not ground.scenario.baseline]
    if not others:
        return []
    scale = 1000.0 ** power_of(comparison)
    found = [[said(comparison, ground, head, scale) for head in AGAINST] for ground in others]
    reasons = lettered(text for own in found for text in own if text.startswith(WORDS))
    rows = [
        (ground.scenario.scenario, [reasons.get(text, text) for text in own])
        for ground, own in zip(others, found, strict=True)
    ]
    baseline = f"vs {comparison.built.baseline.scenario.scenario}"
    notes = [
        "saved: in all, at its worth at the start; ratio: savings to investment; adjusted and internal: rates of "
        "return a year; cheaper: if both are sold, from or until which month",
        "; ".join(f"{letter} {reason}" for reason, letter in reasons.items()),
    ]
    return [*table(baseline, headings(AGAINST), rows), "", *all_wrapped(filter(None, notes), hang="")]


WORDS = ("none", "several", "not known")


def lettered(reasons: Iterable[str]) -> dict[str, str]:
    """A letter for each reason: `(a)`."""
    return {reason: f"({chr(97 + number % 26)})" for number, reason in enumerate(dict.fromkeys(reasons))}


def said(comparison: Comparison, ground: Ground, head: Head, scale: float) -> str:
    """A measure as the table has it, or why there is none.

    scale: what amounts of money are divided by.
    """
    column = ground.own("measures", head.measure)
    if reason := absent(column, 0, comparison.figures):
        return reason
    value = float(comparison.of(column)[0]) / (scale if head.measure == "net_savings" else 1.0)
    if head.measure != "level_horizon":
        return head.text(value)
    return f"from {math.floor(value) + 1}" if crosses_upward(comparison, ground) else f"until {math.ceil(value) - 1}"


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
    return ["notes:", *all_wrapped(f"- {one}" for one in found[:NOTES]), *more] if found else []


def short_names(names: Sequence[str]) -> list[str]:
    """Names for charts and headings of a workbook; numbered where they would be the same."""
    short = [name if len(name) < SHORT else f"{name[: SHORT - 10]}…{name[-8:]}" for name in names]
    if len(set(short)) == len(short):
        return short
    return [f"{number}: {name[: SHORT - 6]}" for number, name in enumerate(names, start=1)]
