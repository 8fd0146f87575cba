"""Replacements to be paid for under a free-replacement warranty whose end is inherited, against a closed form.

Drives of a constant rate l; a failure within W years of the last one *bought* is made good free of charge, and what
is sent keeps that end. So the first failure after W is paid for, and with it all begins anew: W and an exponential
life between payments. Paid in L years: sum over n of P(Gamma(n, l) <= L - n W).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from scipy.stats import gamma

from tests.published.drive_sources import WARRANTY
from tests.published.drives import Drives, constant, told
from tests.published.record import Check, Subject

LATE = "a failure counts at its month's end: each warranty but the first begins up to a month late in the closed form"


@dataclass(frozen=True)
class Promise:
    """Failures a year, warranty and time in years."""

    rate: float
    warranty: int
    years: int

    def stretched(self) -> Promise:
        """The same with every time five times as long, and so with months a fifth as long."""
        return Promise(self.rate / 5, 5 * self.warranty, 5 * self.years)

    def paid(self, late: float = 0.0) -> float:
        """The closed form, every warranty but the first beginning so many years late."""
        number = range(1, self.years // self.warranty + 1)
        left = [self.years - n * self.warranty - (n - 1) * late for n in number]
        return float(
            sum(gamma.cdf(max(0.0, time), n, scale=1 / self.rate) for n, time in zip(number, left, strict=True))
        )

    @property
    def off(self) -> float:
        """What beginning a month late changes at most."""
        return self.paid() - self.paid(1 / 12)

    @property
    def twice(self) -> float:
        """Failures that are lost where one a month counts: l L - 12 L (1 - exp(-l / 12)), below l^2 L / 24."""
        return self.rate**2 * self.years / 24


PAID = {
    Promise(0.1, 3, 10): "0.565121",
    Promise(0.1, 3, 10).stretched(): "0.565121",
    Promise(0.02, 5, 10): "0.095163",
    Promise(1.0, 1, 5).stretched(): "2.124848",
}
FREE = {
    Promise(0.1, 3, 10): "0.434879",
    Promise(0.1, 3, 10).stretched(): "0.434879",
    Promise(0.02, 5, 10): "0.104837",
    Promise(1.0, 1, 5).stretched(): "2.875152",
}


def drive(case: Promise) -> Drives:
    """One drive under warranty, at 1 EUR; claims cost nothing."""
    row = f"drive,1,flat,{case.warranty} years,1"
    return Drives(12 * case.years, "part,quantity,failures,warranty,price", (row,), constant(case.rate))


def paid(case: Promise) -> float:
    """Replacements paid for, by their cost."""
    return told(drive(case), "cost")


def free(case: Promise) -> float:
    """Failures that were made good free of charge."""
    return told(drive(case), "covered")


def words(case: Promise) -> str:
    """A case in words."""
    return f"{100 * case.rate:g} % a year, {case.warranty} years of warranty, {case.years} years"


def check_paid(case: Promise, text: str) -> Check:
    """What is paid for; where only one warranty ends in time, nothing can begin late."""
    name, why = f"{words(case)}: paid for", LATE if case.off else ""
    return Check(name, text, WARRANTY, partial(paid, case), case.off, why)


def check_free(case: Promise, text: str) -> Check:
    """What is free of charge: all failures, too few by `twice`, less what is paid for, too few by `off`."""
    name = f"{words(case)}: free of charge"
    return Check(
        name, text, WARRANTY, partial(free, case), max(case.off, case.twice), "the same; and fails once a month"
    )


WARRANTIES = Subject(
    "Warranty",
    "What is sent back under warranty keeps the end of that of the drive that was bought: failures by who pays for "
    "them, against the closed form; and with every time five times as long, where a month matters less.",
    (
        *(check_paid(case, text) for case, text in PAID.items()),
        *(check_free(case, text) for case, text in FREE.items()),
    ),
)
SUBJECTS = (WARRANTIES,)
