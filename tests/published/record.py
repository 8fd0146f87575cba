"""What an outside check is: a figure somebody else printed, and how ours is worked out.

The printed text alone gives the number and the tolerance, half of its last digit; whatever else is allowed says why.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

STATUSES = {
    "seen": "the figures were read in a retrieved copy of the source",
    "quoted": "the figures were read where somebody else quotes the source, not in the source",
    "memory": "the figures, or some of the inputs, were recalled and not read again",
    "computed": "only the inputs are published; the figure was worked out independently of this tool",
}
NUMBER = re.compile(r"[-+]?\d[\d,]*(?:\.\d+)?(?: \d+)*")


@dataclass(frozen=True)
class Source:
    """Where a figure was printed. status: see STATUSES, the weakest of inputs and figure; how: where it was read."""

    short: str
    cite: str
    status: str
    how: str = ""


@dataclass(frozen=True)
class Check:
    """One printed figure.

    printed: as it was printed, `1,530.07` or `20 %`. span: where words were printed, the numbers they allow.
    ours: works ours out, in the unit of the printed number, shares as plain numbers.
    more: allowed beyond half of the last printed digit; why: the reason.
    """

    name: str
    printed: str
    source: Source
    ours: Callable[[], float]
    more: float = 0.0
    why: str = ""
    span: tuple[float, float] | None = None

    @property
    def value(self) -> float:
        """The printed number; the middle of what words allow."""
        return sum(self.span) / 2 if self.span else float(self.digits) * self.scale

    @property
    def within(self) -> float:
        """The difference allowed."""
        if self.span:
            return (self.span[1] - self.span[0]) / 2
        return self.scale * 0.5 * 10.0**-self.places + self.more

    @property
    def scale(self) -> float:
        """What one unit of the printed number is."""
        return 0.01 if "%" in self.printed else 1.0

    @property
    def digits(self) -> Decimal:
        """The number in the printed text."""
        found = NUMBER.search(self.printed)
        assert found, f"{self.printed!r} holds no number; give its span"
        return Decimal(found.group().replace(",", "").replace(" ", ""))

    @property
    def places(self) -> int:
        """How many decimals were printed."""
        return max(0, -int(self.digits.as_tuple().exponent))


@dataclass(frozen=True)
class Subject:
    """Checks of one subject, and in a sentence what they prove. note: what to know beside it."""

    title: str
    proves: str
    checks: tuple[Check, ...]
    note: str = ""


@dataclass(frozen=True)
class Wrong:
    """An answer that was posted or printed and is wrong: it must not come out of the right inputs.

    right: what it should be, worked out apart from the tool. mistake: what went wrong there.
    mistaken: the same mistake made here, where it is known: it must give the posted answer.
    """

    name: str
    posted: str
    right: str
    source: Source
    mistake: str
    ours: Callable[[], float]
    mistaken: Callable[[], float] | None = None

    @property
    def correct(self) -> Check:
        """The right answer as a check."""
        return Check(self.name, self.right, self.source, self.ours)

    @property
    def false(self) -> Check:
        """The posted answer as a check: of the mistake where it is known."""
        return Check(self.name, self.posted, self.source, self.mistaken or self.ours)
