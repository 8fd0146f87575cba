"""What a practice check is: one record that says what it looks at, why that matters and on whose word."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from tco.ask.compare import Comparison
from tco.model import Ground


@dataclass(frozen=True)
class NotStated:
    """Why a rule could not look: the input that is missing, as a person would look for it in the tables."""

    what: str


Told = str | NotStated
Find = Callable[[Comparison, Ground], Iterable[Told]]

PRACTICE = "common practice, no source"  # how a standing begins where no published text was found
PUBLISHED = "published"


@dataclass(frozen=True)
class Rule:
    """One practice check.

    name, looks_at: short, for tables; why: why it matters; standing: `published: ...` or `common practice ...`.
    find: one sentence with numbers for each finding, or NotStated where it could not look.
    whole: whether it looks at the whole study, once, and not at each scenario.
    hardware: whether it has nothing to look at in a scenario without parts, such as rented space.
    """

    name: str
    looks_at: str
    why: str
    standing: str
    find: Find
    whole: bool = False
    hardware: bool = True


@dataclass(frozen=True)
class Finding:
    """What a rule found. scenario: empty for the whole study; text: one sentence."""

    scenario: str
    rule: Rule
    text: str


@dataclass(frozen=True)
class Look:
    """One rule put to one scenario: what it found, and what it could not see. Neither: it looked, and all is well.

    scenario: empty for the whole study. applies: False where a scenario has none of what the rule is about.
    """

    scenario: str
    rule: Rule
    found: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    applies: bool = True
