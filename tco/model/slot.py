"""What becomes of one row of a parts list: its failures by month, and what is there by then."""

from __future__ import annotations

from dataclasses import dataclass

from tco.model.renewal import Floats
from tco.study import Part


@dataclass(frozen=True)
class Stay:
    """Units of one row of the parts list that come into a slot, and how long they stay.

    arrivals: expected units put in, by month 0..horizon.
    survives: chance that one is still there n months after it was put in, n = 0..horizon.
    there: expected units there at the end of each month 0..horizon.
    """

    row: int
    part: Part
    arrivals: Floats
    survives: Floats
    there: Floats


@dataclass(frozen=True)
class Slot:
    """One row of a parts list over the months.

    replaced_by: the row whose part takes a failed one's place (the same one where like replaces like).
    leaves: the month at whose end it is sold or scrapped.
    failures: expected failures of one unit by month 0..horizon.
    stays: what is in it; one entry where like replaces like, else the first unit and the later ones.
    """

    row: int
    part: Part
    replaced_by: int
    leaves: int
    failures: Floats
    stays: tuple[Stay, ...]
