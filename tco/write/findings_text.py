"""What `tco check` prints: findings by scenario, each with its why and its standing; then what no rule could see."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tco.ask.compare import Comparison
from tco.ask.practice import Look, looks
from tco.write.lines import all_wrapped, page, wrapped

WHOLE = "the whole study"
INDENT = "    "


def findings_text(comparison: Comparison) -> str:
    """The whole of what `tco check` prints."""
    done = looks(comparison)
    scenarios = dict.fromkeys(look.scenario for look in done)
    blocks = [scenario_lines(name, [look for look in done if look.scenario == name]) for name in scenarios]
    return page(comparison.study.settings.question, counted(done), [*blocks, unseen(done), bare(done)])


def counts(comparison: Comparison) -> list[str]:
    """How much was found, in sentences."""
    return counted(looks(comparison))


def scenario_lines(name: str, done: Sequence[Look]) -> list[str]:
    """What was found in one scenario, in the catalogue's order."""
    head = wrapped(name or WHOLE)
    found = [line for look in done if look.found for line in look_lines(look)]
    return [*head, "-" * max(map(len, head)), *(found or ["no findings"])]


def look_lines(look: Look) -> list[str]:
    """What one rule found: its sentences, why it matters, on whose word."""
    found = all_wrapped(f"- {text}" for text in look.found)
    return [*found, *all_wrapped([f"why: {look.rule.why}", f"standing: {look.rule.standing}"], INDENT)]


def counted(done: Sequence[Look]) -> list[str]:
    """How much was found, by how many checks, and how many could not look at all they are about."""
    count = sum(len(look.found) for look in done)
    rules = unique(look.rule.name for look in done)
    found = unique(look.rule.name for look in done if look.found)
    blind = unique(look.rule.name for look in done if look.missing)
    told = f"{plural(count, 'finding')} by {len(found)} of {plural(len(rules), 'check')}."
    scope = f"{plural(len(rules) - len(blind), 'check')} looked at all that they are about"
    scope += f"; {len(blind)} could not, or not everywhere, because an input is missing." if blind else "."
    calm = "A finding is a remark: it blocks no comparison and changes no figure."
    return [told, scope, calm]


def unseen(done: Sequence[Look]) -> list[str]:
    """What is not stated, where, and which checks are silent for that; their silence is no pass."""
    gaps: dict[str, list[Look]] = {}
    for look in done:
        for what in look.missing:
            gaps.setdefault(what, []).append(look)
    told = [line for what, own in gaps.items() for line in gap_lines(what, own)]
    return ["not looked at, for this is not stated:", *told] if told else []


def gap_lines(what: str, own: Sequence[Look]) -> list[str]:
    """One missing input, with the scenarios that lack it and the checks that would use it."""
    where = ", ".join(unique(look.scenario or WHOLE for look in own))
    rules = "; ".join(unique(look.rule.name for look in own))
    return [*wrapped(f"- {what}"), *wrapped(f"in: {where}", INDENT), *wrapped(f"for: {rules}", INDENT)]


def bare(done: Sequence[Look]) -> list[str]:
    """Scenarios without hardware, where most checks have nothing to look at."""
    names = unique(look.scenario for look in done if not look.applies)
    count = len(unique(look.rule.name for look in done if not look.applies))
    do = "checks about hardware do" if count != 1 else "check about hardware does"
    told = f"{', '.join(names)}: no hardware, so {count} {do} not apply there."
    return wrapped(told) if names else []


def unique(names: Iterable[str]) -> list[str]:
    """Each name once, in the order of first use."""
    return list(dict.fromkeys(names))


def plural(count: int, noun: str) -> str:
    """`1 finding`, `2 findings`."""
    return f"{count} {noun}{'s' * (count != 1)}"
