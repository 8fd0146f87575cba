"""What a new price changes, in sentences: for the terminal and for the workbook's first sheet."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from tco.ask.remarks import remarks
from tco.ask.reprice import Figure, Pair, Repriced, changed_lines, meetings, price_pair, ranking
from tco.model import LINES
from tco.model.calendar import month_after
from tco.study import Version
from tco.write.fixed import fixed

LISTED = 6  # scenarios of a ranking that stays; more are counted


def headline(found: Repriced) -> list[str]:
    """What a kWh costs from when on, and before: a sentence for each new version."""
    return [sentence for version in found.versions for sentence in of_version(found, version)]


def of_version(found: Repriced, version: Version) -> Iterator[str]:
    """What one new version changes of the price."""
    settings = found.study.settings
    if version.tariff not in found.study.tariffs:
        yield f"{version.tariff}: no scenario has this tariff, so that no figure changes."
        return
    if version not in found.counted:
        last = month_after(settings.start, settings.horizon - 1)
        begins = f"{version.tariff}: the new version begins in {version.start:%Y-%m}"
        yield f"{begins}, after the horizon (to {last:%Y-%m}), so that no figure changes."
        return
    if earlier := superseded_by(found, version):
        begins = (
            f"{version.tariff}: the new version of {version.start:%Y-%m} is superseded by that of {earlier:%Y-%m}"
        )
        yield f"{begins} before the study begins, so that no figure changes."
        return
    month = found.month_of(version)
    pairs = [
        price_pair(found, number, month)
        for number, (ground, _) in enumerate(found.pairs)
        if ground.scenario.tariff == version.tariff
    ]
    since = (
        "from the start on" if version.start <= settings.start else f"from {version.start:%Y-%m} (month {month}) on"
    )
    before, after = spread([pair.before for pair in pairs]), spread([pair.after for pair in pairs])
    whose = "a kWh of the builds" if " to " in before + after else "a kWh"
    costs = f"costs {after} {settings.currency} instead of {before}"
    yield f"{version.tariff}: {since} {whose} {costs}{until(found, version)}."


def superseded_by(found: Repriced, version: Version) -> date | None:
    """The version that takes a new one's place before the study begins, if any does."""
    starts = [other.start for other in found.after.study.tariffs[version.tariff] if other.start > version.start]
    return min(starts) if starts and min(starts) <= found.study.settings.start else None


def spread(values: list[Figure]) -> str:
    """One price, or the lowest and the highest of several; to four digits."""
    ends = sorted({value for value in values if isinstance(value, float)})
    if not ends:
        return str(values[0])
    low, high = (fixed(value, 4, "−") for value in (ends[0], ends[-1]))
    return low if low == high else f"{low} to {high}"


def until(found: Repriced, version: Version) -> str:
    """When a later version takes over, if one does within the horizon."""
    later = [one.start for one in found.after.study.tariffs[version.tariff] if one.start > version.start]
    end = month_after(found.study.settings.start, found.horizon)
    return f", until the version of {min(later):%Y-%m}" if later and min(later) < end else ""


def lines_sentence(found: Repriced) -> str:
    """Which lines of cost change."""
    labels = [line.label.lower() for line in LINES if line.name in changed_lines(found)]
    if not labels:
        return "No line of cost changes."
    if labels == ["electricity"]:
        return "Of the lines of cost only electricity changes."
    return f"The lines that change are {joined(labels)}."


def ranking_sentence(found: Repriced) -> str:
    """Whether the order of the scenarios moves, and who does."""
    ranked = ranking(found)
    moved = [f"{name} {place_words(pair)}" for name, pair in ranked.items() if pair.before != pair.after]
    if moved:
        return f"The ranking moves: {joined(moved)}."
    order = sorted((pair.after, name) for name, pair in ranked.items() if isinstance(pair.after, float))
    if not order:
        return "No scenario meets all needs, before or after."
    listed = [f"{place:.0f} {name}" for place, name in order]
    more = [f"and {len(listed) - LISTED} more"] if len(listed) > LISTED else []
    return f"The ranking stays: {', '.join([*listed[:LISTED], *more])}."


def place_words(pair: Pair) -> str:
    """How a scenario's place moves."""
    if isinstance(pair.before, str):
        return f"is ranked now, at place {pair.after:.0f}"
    return "is no longer ranked" if isinstance(pair.after, str) else f"from {pair.before:.0f} to {pair.after:.0f}"


def crossing_sentences(found: Repriced) -> Iterator[str]:
    """When each scenario is ahead of the baseline, resale left out, before and after."""
    none = []
    for number, (ground, _) in enumerate(found.pairs):
        if met := meetings(found, number):
            yield f"{ground.scenario.scenario}: {crossing_words(met)}"
        elif ground is not found.before.built.baseline:
            none.append(ground.scenario.scenario)
    if none:
        yield f"no crossing: {', '.join(none)}"


def crossing_words(met: dict[str, Pair]) -> str:
    """Crossings with the baseline in words."""
    return "; ".join(crossing(pair, "ahead" if name.endswith("ahead") else "behind") for name, pair in met.items())


def crossing(pair: Pair, way: str) -> str:
    """One crossing: `ahead from month 9.1 (before: 8.9)`."""
    if isinstance(pair.after, str):
        return f"no longer {way} from a month on (before: {month_words(pair.before)})"
    before = "" if month_words(pair.before) == month_words(pair.after) else f" (before: {month_words(pair.before)})"
    return f"{way} from month {month_words(pair.after)}{before}"


def month_words(month: Figure) -> str:
    """A month straight between months, or that there is none."""
    return month if isinstance(month, str) else fixed(month, 1)


def new_remarks(found: Repriced) -> list[str]:
    """What the figures rest on now and did not before: values converted, versions whose price does not grow."""
    before = set(remarks(found.before))
    return [text for text in remarks(found.after) if text not in before]


def joined(words: list[str]) -> str:
    """`a, b and c`."""
    return " and ".join(filter(None, (", ".join(words[:-1]), words[-1])))
