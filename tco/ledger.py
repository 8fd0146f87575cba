"""What happened to a build that was bought: a ledger, held against the plan; see study.py."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from tco.cell import cell
from tco.settings import Row

TURN = 15  # the last day of a month that is nearer to its beginning
UNITS_MOVE = ("bought", "failed", "claimed", "sold")  # what changes how many of a part are there


@dataclass(frozen=True, kw_only=True)
class Entry(Row):
    """ledger.csv: what happened to the scenario that was built, in order of the days."""

    scenario: str = cell("name", "the scenario that was built; the same in all rows", "minis")
    day: date = cell(
        "date",
        "when. What is bought, fails or is sold counts at the turn of the month that is nearest (up to the 15th at "
        "its beginning), a reading to the end of its day; what is paid, in its calendar month: date a bill on the "
        "last day that it covers",
        "2026-03-14",
    )
    what: str = cell(
        "choice",
        "`bought`: parts came, for `amount` in all; `failed`: they broke, `amount` is what getting rid of them cost; "
        "`claimed`: they broke and came back under their warranty, `amount` is the postage; `sold`: for `amount`, "
        "after fees; `paid`: an amount of one of the cost lines; `metered`: kWh of the build since the last reading",
        "bought",
        choices=("bought", "failed", "claimed", "sold", "paid", "metered"),
    )
    part: str = cell(
        "name",
        "which part, of the scenario's parts list; for what is bought, fails or is sold (of several the oldest goes)",
        "hard drive 8 TB",
        default="",
    )
    quantity: int = cell("whole", "how many of it", "1", default=1, least=1, most=1e6)
    amount: float | None = cell(
        "number",
        "money that changed hands, for all of them together, tax and shipping in it; of what is paid, a refund is "
        "negative",
        "187.40 EUR",
        unit="{money}",
        default=None,
    )
    line: str = cell(
        "name",
        "for what is paid: the cost line, such as electricity, fees or replacement. Up to the last booking of a line "
        "only its bookings count: a month without one cost nothing",
        "electricity",
        default="",
    )
    energy: float | None = cell(
        "number",
        "for a reading: energy that the build took since the one before, or since the start",
        "31.4 kWh",
        unit="kWh",
        default=None,
        least=0.0,
    )

    @property
    def moves(self) -> bool:
        """Whether it changes how many of a part are there."""
        return self.what in UNITS_MOVE

    def month(self, start: date) -> int:
        """The month of a study that begins in `start` to which it belongs; what is before the start belongs to it.

        Payments count in their calendar month, all else at the nearest turn of the month.
        """
        months = (self.day.year - start.year) * 12 + self.day.month - start.month
        return max(0, months + (self.what == "paid" or self.day.day > TURN))
