"""Spares on the shelf against published counts: the smallest number with P(N <= s) at least as wanted, N Poisson.

Rates are given by the hour there. A month counts for 730 hours and has the chance rate x 730; where that is above 1,
ten units at a tenth of it stand for one. Spares cost 1 EUR each, so that the line `spares` counts them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

from tests.published.drive_sources import BIROLINI, SPARES_OWN, SPARES_QUESTION, SPARES_RIGHT_MORE
from tests.published.drives import HOURS_OF_A_YEAR, Drives, counted, told
from tests.published.record import Check, Source, Subject

HOURS_OF_A_MONTH = HOURS_OF_A_YEAR / 12  # as the tool counts, whatever the length of the month
TENTHS = 10


@dataclass(frozen=True)
class Shelf:
    """Units in use, failures of one an hour, hours until a new spare comes, how sure it shall be that they last."""

    units: int
    rate: float
    hours: float
    sure: float = 0.95

    def at(self, sure: float) -> Shelf:
        """The same, as sure as that."""
        return replace(self, sure=sure)

    @property
    def drives(self) -> Drives:
        """As a study of one month."""
        chance = self.rate * HOURS_OF_A_MONTH
        units = self.units if chance <= 1 else self.units * TENTHS
        curve = (f"hourly,0 years,{100 * chance * self.units / units:.12f} %",)
        settings = (f"spares confidence,{100 * self.sure:g} %", f"spares lead time,{self.hours:g} h")
        row = f"unit,{units},hourly,1"
        return Drives(1, "part,quantity,failures,price", (row,), curve, "curve,age,chance", settings, "2027-04")


def spares(shelf: Shelf) -> float:
    """How many are bought."""
    return counted(shelf.drives, "spares")


def enough(shelf: Shelf) -> float:
    """The chance that they are enough."""
    return told(shelf.drives, "spares_enough")


def count(name: str, text: str, source: Source, shelf: Shelf) -> Check:
    """Spares for so sure."""
    return Check(f"{name}, {100 * shelf.sure:g} %: spares", text, source, partial(spares, shelf))


def chances(name: str, text: str, source: Source, shelf: Shelf) -> list[Check]:
    """The chances that 0, 1, 2 ... spares are enough, each found by asking for a little less."""
    more = {"0.5872": (0.0001, "0.2433, rounded first, x 2.4136; exactly 0.5871")}
    return [
        Check(f"{name}: {number} enough", one, source, partial(enough, shelf.at(below(one))), *more.get(one, ()))
        for number, one in enumerate(text.split())
    ]


def below(text: str) -> float:
    """A confidence that is met by a printed chance."""
    return float(text) - 0.001


QUESTION = Shelf(1, 0.003534, 400)
RIGHT = Shelf(1, 1 / 8760, 26_280)
PLACES = Shelf(3, 1e-3, 10_000)
DRIVES = {  # units, failures of one a year, hours -> spares at 90, 95 and 99 %
    (24, 0.0157, HOURS_OF_A_YEAR): "1 2 2",
    (100, 0.0136, HOURS_OF_A_YEAR): "3 3 5",
    (12, 0.0157, 5 * HOURS_OF_A_YEAR): "2 3 4",
}
SURE = (0.90, 0.95, 0.99)


def own(units: int, rate: float, hours: float, texts: str) -> list[Check]:
    """Our own cases: drives of a yearly rate."""
    shelf = Shelf(units, rate / HOURS_OF_A_YEAR, hours)
    name = f"{units} drives at {100 * rate:g} % a year for {hours:,g} h"
    return [count(name, text, SPARES_OWN, shelf.at(sure)) for text, sure in zip(texts.split(), SURE, strict=True)]


SPARES = Subject(
    "Spares on the shelf",
    "The smallest number of spares that is enough with the wanted confidence until new ones come: no more failures "
    "than spares, failures as Poisson.",
    (
        count("0.003534 failures an hour for 400 h", "4", SPARES_QUESTION, QUESTION),
        count("0.003534 failures an hour for 400 h", "3", SPARES_OWN, QUESTION.at(0.944)),
        *chances("0.003534 failures an hour for 400 h", "0.2433 0.5872 0.8302 0.9447 0.9852", SPARES_OWN, QUESTION),
        Check("3 failures expected: 2 enough", "0.4232", SPARES_RIGHT_MORE, partial(enough, RIGHT.at(0.42))),
        Check("3 failures expected: 3 enough", "0.6472", SPARES_RIGHT_MORE, partial(enough, RIGHT.at(0.64))),
        count("3 failures expected", "5", SPARES_RIGHT_MORE, RIGHT.at(0.90)),
        count("3 failures expected", "6", SPARES_RIGHT_MORE, RIGHT.at(0.95)),
        count("3 places at 0.001 failures an hour for 10,000 h", "37", BIROLINI, PLACES.at(0.90)),
        count("3 places at 0.001 failures an hour for 10,000 h", "36", BIROLINI, PLACES.at(0.88)),
        Check("30 failures expected: 36 enough", "0.8804", BIROLINI, partial(enough, PLACES.at(0.88))),
        Check("30 failures expected: 37 enough", "0.9110", BIROLINI, partial(enough, PLACES.at(0.90))),
        *(check for case, texts in DRIVES.items() for check in own(*case, texts)),
    ),
    "The tool takes the month with the most failures for the whole lead time, and 8,760 / 12 hours for a month. "
    "These cases have one month and its chance to fail.",
)
SUBJECTS = (SPARES,)
