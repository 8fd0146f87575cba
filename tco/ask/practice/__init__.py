"""Practice checks: what a careful builder would remark on, each with why it matters and on whose word.

One file a subject; a module here with RULES and an ORDER among the subjects is found by itself. To add a rule, write
one record there and a test of its name in tests/ask/test_practice.py. A finding is a remark: it blocks nothing and
changes no figure. A rule that could not look says which input is missing, so that silence is never taken for a pass.
"""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from pkgutil import iter_modules

from tco.ask.compare import Comparison
from tco.ask.practice.rule import Finding, Look, NotStated, Rule
from tco.model import Ground

_SUBJECTS = [import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__)]
RULES: tuple[Rule, ...] = tuple(
    rule
    for subject in sorted((one for one in _SUBJECTS if hasattr(one, "RULES")), key=lambda one: one.ORDER)
    for rule in subject.RULES
)
FINDING_HEADER = ("scenario", "check", "finding", "why", "standing")
UNSEEN_HEADER = ("scenario", "check", "not stated", "why", "standing")


def looks(comparison: Comparison) -> list[Look]:
    """Every rule put to every scenario, in the study's order and the catalogue's; to the whole study last."""
    own = [rule for rule in RULES if not rule.whole]
    each = [look(comparison, ground, rule) for ground in comparison.built.grounds for rule in own]
    return each + [look(comparison, comparison.built.baseline, rule) for rule in RULES if rule.whole]


def look(comparison: Comparison, ground: Ground, rule: Rule) -> Look:
    """One rule put to one scenario; each sentence once."""
    scenario = "" if rule.whole else ground.scenario.scenario
    if rule.hardware and not rule.whole and not any(part.quantity for part in ground.scenario.parts):
        return Look(scenario, rule, applies=False)
    told = list(dict.fromkeys(rule.find(comparison, ground)))
    found = tuple(one for one in told if isinstance(one, str))
    return Look(scenario, rule, found, tuple(one.what for one in told if isinstance(one, NotStated)))


def findings(comparison: Comparison) -> list[Finding]:
    """What was found, by scenario in the study's order, within it in the catalogue's; of the whole study last."""
    return [Finding(one.scenario, one.rule, text) for one in looks(comparison) for text in one.found]


def finding_rows(comparison: Comparison) -> Iterator[tuple[str, str, str, str, str]]:
    """(scenario, check, finding, why, standing) of each finding; scenario empty for the whole study."""
    for one in findings(comparison):
        yield one.scenario, one.rule.name, one.text, one.rule.why, one.rule.standing


def unseen_rows(comparison: Comparison) -> Iterator[tuple[str, str, str, str, str]]:
    """(scenario, check, what is not stated, why, standing) where a rule could not look, or not at all of it."""
    for one in looks(comparison):
        for what in one.missing:
            yield one.scenario, one.rule.name, what, one.rule.why, one.rule.standing


__all__ = [
    "FINDING_HEADER",
    "RULES",
    "UNSEEN_HEADER",
    "Finding",
    "Look",
    "NotStated",
    "Rule",
    "finding_rows",
    "findings",
    "looks",
    "unseen_rows",
]
