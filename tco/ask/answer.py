"""The answer to a comparison, in plain sentences with their numbers."""

from __future__ import annotations

from tco.ask.compare import Comparison, crossings
from tco.model import Ground

HOW_SURE = (
    "These are expected values: failures are averages, resale shares and price trends are assumptions, "
    "and no spread is computed."
)


def sentences(comparison: Comparison) -> list[str]:
    """Three sentences: what the cheapest costs, what that saves and from when, and how sure it is."""
    ranked = comparison.ranked()
    return [costs(comparison, ranked[0]), compared(comparison, ranked), HOW_SURE]


def money(comparison: Comparison, value: float) -> str:
    """Whole units of the study's money: `1,234 EUR`."""
    return f"{value:,.0f} {comparison.study.settings.currency}".replace("-", "−")


def costs(comparison: Comparison, ground: Ground) -> str:
    """What one scenario costs."""
    month, lcc, buying = (comparison.measure(ground, name) for name in ("equivalent_month", "lcc", "cost_to_buy"))
    return (
        f"{ground.scenario.scenario} costs least: {money(comparison, month)} a month over "
        f"{span(ground.horizon)}, everything counted ({money(comparison, lcc)} in today's money, "
        f"of which {money(comparison, buying)} at the start)."
    )


def compared(comparison: Comparison, ranked: list[Ground]) -> str:
    """What the cheapest saves against the baseline; where it is the baseline, what the next one costs more."""
    cheapest, baseline = ranked[0], comparison.built.baseline
    if len(ranked) == 1:
        return "There is no other scenario to compare it with."
    if cheapest is baseline:
        return less(comparison, cheapest, ranked[1]) + " " + when(comparison, ranked[1])
    return less(comparison, cheapest, baseline) + " " + when(comparison, cheapest)


def less(comparison: Comparison, cheap: Ground, dear: Ground) -> str:
    """By how much one is cheaper than the other."""
    month, lcc = (
        comparison.measure(dear, name) - comparison.measure(cheap, name) for name in ("equivalent_month", "lcc")
    )
    if round(month, 2) == 0:
        return f"{dear.scenario.scenario} costs the same."
    saved = f"{money(comparison, month)} a month less than {dear.scenario.scenario}"
    return f"That is {saved}, {money(comparison, lcc)} less in all."


def when(comparison: Comparison, ground: Ground) -> str:
    """When a scenario's cumulative cost, resale left out, goes below the baseline's."""
    name, baseline = ground.scenario.scenario, comparison.built.baseline.scenario.scenario
    ahead = comparison.of(ground.month("ahead"))
    found = crossings(comparison, ground)
    if not found:
        side = "less than" if ahead[-1] > 0 else "more than" if ahead[-1] < 0 else "as much as"
        return f"Resale left out, {name} has cost {side} {baseline} from the start."
    month, forward = found[-1]
    side = "less" if forward else "more"
    return f"Resale left out, {name} has cost {side} than {baseline} from month {int(month) + 1} on."


def span(months: int) -> str:
    """A time in words: `5 years`, `18 months`."""
    count, word = (months // 12, "year") if months % 12 == 0 else (months, "month")
    return f"{count} {word}{'' if count == 1 else 's'}"
