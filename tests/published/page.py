"""data/outside_checks.md from the checks themselves: `python -m tests.published.page` writes it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from textwrap import fill

from tests.published.cases import SUBJECTS
from tests.published.record import STATUSES, Check, Source, Subject, Wrong
from tests.published.wrong import UNSAID, WRONG

PAGE = Path(__file__).parents[2] / "data" / "outside_checks.md"
COMMAND = "python -m tests.published.page"
WIDTH = 118
DIGITS = 13  # significant digits that are the same on every machine

INTRODUCTION = """\
# Outside checks

*Made from the tests' own records by `{command}`; do not edit.*

Figures that somebody else printed, with all their inputs, against what this tool makes of the same inputs. Each is
written as a small study in CSV and read out of the measures, so the whole path from table to figure is checked; only
where a section says so, something else was worked out. {count} figures:

{statuses}

**Ours** has two more digits than were printed ({digits} significant ones at most). **Allowed** is half of the last
printed digit; where it is more, the reason stands beside it. Most often the source worked with tables of rounded
factors: then how far these move its figure was worked out from its own way of computing, and no more is allowed.
Amounts are in the source's money. What texts print as gains is printed here as gains.
"""


def page() -> str:
    """The whole page."""
    checks = [check for subject in SUBJECTS for check in subject.checks]
    used = list(dict.fromkeys([*(check.source for check in checks), *(wrong.source for wrong in WRONG)]))
    counts = Counter(check.source.status for check in checks)
    statuses = "\n".join(f"- **{status}** ({counts[status]}): {told};" for status, told in STATUSES.items())
    head = INTRODUCTION.format(command=COMMAND, count=len(checks), statuses=statuses[:-1] + ".", digits=DIGITS)
    parts = [head, *map(section, SUBJECTS), wrong_answers(WRONG), unsaid(), sources(used)]
    return "\n".join(parts)


def table(header: str, rows: Iterable[Iterable[str]]) -> str:
    """A table in Markdown."""
    columns = header.count("|") + 1
    lines = [f"| {header} |", "|" + "---|" * columns, *("| " + " | ".join(row) + " |" for row in rows)]
    return "\n".join(lines) + "\n"


def section(subject: Subject) -> str:
    """One subject."""
    rows = table("what | source | published | ours | difference | allowed", map(row, subject.checks))
    told = "\n\n".join(wrapped(text) for text in (subject.proves, subject.note) if text)
    return f"## {subject.title}\n\n{told}\n\n{rows}"


def wrapped(text: str) -> str:
    """A paragraph, or an item of a list, in lines of the usual width."""
    indent = "  " if text.startswith("- ") else ""
    return fill(text, WIDTH, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)


def row(check: Check) -> tuple[str, ...]:
    """One check as a row."""
    ours = check.ours()
    sign = " %" if "%" in check.printed else ""
    places = shown_places(check)
    difference = "" if check.span else number((ours - check.value) / check.scale, places) + sign
    source = f"{check.source.short} ({check.source.status})"
    return check.name, source, check.printed, number(ours / check.scale, places) + sign, difference, allowed(check)


def shown_places(check: Check) -> int:
    """Two more decimals than printed, as far as figures are the same on every machine."""
    if check.span:
        return 3 if check.within else 0
    before = max(0, check.digits.adjusted()) + 1
    return max(0, min(check.places + 2, DIGITS - before))


def allowed(check: Check) -> str:
    """The difference allowed, and the reason where it is more than half of the last printed digit."""
    sign = " %" if "%" in check.printed else ""
    if check.span:
        low, high = (f"{end / check.scale:g}" for end in check.span)
        return low if low == high else f"{low} to {high}{sign}"
    limit = f"{Decimal(f'{check.within / check.scale:.3g}'):f}{sign}"
    return f"{limit}: {check.why}" if check.why else limit


def number(value: float, places: int) -> str:
    """A number with so many decimals, the same on every machine: halves up, after rounding off the last bits."""
    exact = Decimal(f"{value:.{DIGITS}g}").quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
    return f"{exact if exact else abs(exact):,f}"


def wrong_answers(answers: Iterable[Wrong]) -> str:
    """Wrong published answers."""
    rows = [
        (one.name, one.source.short, one.posted, number(one.ours(), one.correct.places + 2), one.mistake)
        for one in answers
    ]
    told = wrapped(
        "These were printed or posted; the right inputs must not give them, and where the mistake is known, making "
        "it here gives the posted answer."
    )
    return f"## Wrong published answers\n\n{told}\n\n" + table("what | source | posted | ours | the mistake", rows)


def unsaid() -> str:
    """What the sources hold and a study cannot say."""
    lines = "\n".join(wrapped(f"- **{what}**: {why}") for what, why in UNSAID.items())
    return f"## What a study cannot say, and what was left out\n\n{lines}\n"


def sources(used: Iterable[Source]) -> str:
    """Full citations."""
    lines = [
        wrapped(f"- **{one.short}** ({one.status}{f': {one.how}' if one.how else ''}): {one.cite}.")
        for one in sorted(used, key=lambda source: source.short.casefold())
    ]
    return "## Sources\n\n" + "\n".join(lines) + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
