"""How findings say numbers, lists and months."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tco.model import Ground

LISTED = 5  # names in one sentence; more are counted


def number(value: float) -> str:
    """Four digits at most below a thousand, whole above: `35.56`, `1,432`."""
    return f"{value + 0.0:,.0f}" if abs(value) >= 1000 else f"{value + 0.0:.4g}"


def counted(count: float, noun: str) -> str:
    """`1 node`, `3 nodes`, `2 copies`."""
    plural = f"{noun[:-1]}ies" if noun.endswith("y") else f"{noun}s"
    return f"{number(count)} {noun if count == 1 else plural}"


def have(count: int) -> str:
    """`1 part has`, `2 parts have`: the verb."""
    return "has" if count == 1 else "have"


def listed(names: Iterable[str]) -> str:
    """`'a'`, `'a' and 'b'`, and of many the first ones."""
    return series([f"'{name}'" for name in dict.fromkeys(names)])


def series(texts: Sequence[str]) -> str:
    """Texts joined as in a sentence, of many the first ones."""
    more = len(texts) - LISTED
    shown = list(texts) if more <= 0 else [*texts[:LISTED], f"{more} more"]
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}"


def month(ground: Ground, at: int) -> str:
    """`month 36 (2029-11)`, or the start."""
    return "the start" if at == 0 else f"month {at} ({ground.months.rows[at]})"


def spans(months: Sequence[int], last: int) -> str:
    """Months as spans: `months 1 to 12 and from month 25 on`; `last` is the last month there is."""
    runs: list[list[int]] = []
    for one in months:
        if runs and runs[-1][1] + 1 == one:
            runs[-1][1] = one
        else:
            runs.append([one, one])
    return " and ".join(span(first, end, last) for first, end in runs)


def span(first: int, end: int, last: int) -> str:
    """One run of months."""
    if end == last:
        return f"from month {first} on"
    return f"months {first} to {end}" if end > first else f"month {first}"
