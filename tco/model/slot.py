"""What becomes of one row of a parts list: its failures by month, and what is there when it leaves."""

from __future__ import annotations

from dataclasses import dataclass

from tco.model.renewal import Floats
from tco.study import Part


@dataclass(frozen=True)
class Stay:
    """Units of one row of the parts list that are in a slot when it leaves, by the month in which they were put in.

    share: chance by month 0..horizon that the unit there was put in in that month.
    """

    row: int
    part: Part
    share: Floats


@dataclass(frozen=True)
class Slot:
    """One row of a parts list over the months.

    replaced_by: the row whose part takes a failed one's place (the same one where like replaces like).
    leaves: the month at whose end it is sold or scrapped.
    failures: expected failures of one unit by month 0..horizon.
    stays: what is there when it leaves; one entry where like replaces like, else the first unit and the later ones.
    """

    row: int
    part: Part
    replaced_by: int
    leaves: int
    failures: Floats
    stays: tuple[Stay, ...]
