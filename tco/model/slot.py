"""What becomes of one row of a parts list: its failures by month, what is there by then; spares for it."""

from __future__ import annotations

from dataclasses import dataclass

from tco.model.renewal import Floats, Months, Unit
from tco.study import Part


@dataclass(frozen=True)
class Stay:
    """Units of one row of the parts list that come into a slot, and how long they stay.

    arrivals: expected units put in, by month 0..horizon.
    survives: chance that one has not failed n months after it was put in, n = 0..horizon.
    since: the month from which on what was put in is not worn yet, by month 0..horizon; None where nothing is.
    there: expected units there at the end of each month 0..horizon.
    covered: expected failures under warranty, by month 0..horizon.
    """

    row: int
    part: Part
    unit: Unit
    arrivals: Floats
    survives: Floats
    since: Months | None
    there: Floats
    covered: Floats


@dataclass(frozen=True)
class Slot:
    """One row of a parts list over the months, or the spares on the shelf for some.

    key: its name among the slots.
    replaced_by: the row whose part takes a failed one's place (the same one where like replaces like).
    leaves: the month at whose end it is sold or scrapped.
    failures, worn: expected of one unit by month 0..horizon; those under warranty are among the failures.
    stays: what is in it; one entry where like replaces like, else the first unit and the later ones.
    shelf: for spares, their row in the table of them.
    """

    key: str
    row: int
    part: Part
    replaced_by: int
    leaves: int
    failures: Floats
    worn: Floats
    stays: tuple[Stay, ...]
    shelf: int | None = None

    @property
    def wears(self) -> bool:
        """Whether one may be worn."""
        return any(stay.since is not None for stay in self.stays)

    @property
    def fails(self) -> bool:
        """Whether failures are counted: of the first unit, or of what replaces a worn one; none on a shelf."""
        if self.shelf is not None:
            return False
        return bool(self.part.failures) or (self.wears and any(stay.part.failures for stay in self.stays))

    @property
    def is_replaced(self) -> bool:
        """Whether anything is ever to be replaced."""
        return self.fails or self.wears

    @property
    def covering(self) -> list[Stay]:
        """The kinds of units of which some may fail under warranty."""
        return [stay for stay in self.stays if self.fails and stay.part.failures and stay.unit.warranty]


@dataclass(frozen=True)
class Spare:
    """Spares of one kind: the row of the parts list that says their price, the slots they serve, how many.

    mean: failures to be expected within the lead time in the worst month.
    covered: the chance that `count` are enough.
    """

    row: int
    slots: tuple[Slot, ...]
    mean: float
    count: int
    covered: float

    @property
    def bought(self) -> int:
        return min(slot.part.bought for slot in self.slots)

    @property
    def leaves(self) -> int:
        return max(slot.leaves for slot in self.slots)
