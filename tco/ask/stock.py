"""What a ledger says is there: lots of equal units, when they came, what they cost, when they left; what was paid.

Units of one part leave in the order in which they came. What is bought while a failed unit has not been replaced
takes its place and counts as replacement; anything else that is bought counts as purchase.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from tco.errors import AskedError
from tco.study import Entry, Part, Settings

BY_LEDGER = ("purchase", "replacement", "resale", "disposal")  # lines that follow from what came and left


@dataclass(frozen=True)
class Lot:
    """Equal units of a part of the list.

    month: in which they came; paid: for each, all in it; leaves: the month in which they left, or None.
    warranty: months from `month`. is_back: whether they came back under the warranty of others.
    """

    part: Part
    month: int
    quantity: int
    paid: float
    warranty: int | None
    leaves: int | None = None
    is_back: bool = False


@dataclass(frozen=True)
class Stock:
    """What a ledger comes to: lots in the order in which they came, and amounts by line and month.

    purchased: how many of each part were bought that took no failed one's place.
    """

    lots: tuple[Lot, ...]
    booked: Mapping[str, Mapping[int, float]]
    purchased: Mapping[str, int]

    def there(self, part: str) -> int:
        """How many of a part are there now."""
        return sum(lot.quantity for lot in self.lots if lot.part.part == part and lot.leaves is None)

    def bought(self, part: str) -> int:
        """How many of a part were bought."""
        return sum(lot.quantity for lot in self.lots if lot.part.part == part and not lot.is_back)


class _Count:
    """The stock as the ledger is walked."""

    def __init__(self, parts: Iterable[Part], settings: Settings) -> None:
        self.parts, self.settings = {part.part: part for part in parts}, settings
        self.lots: list[Lot] = []
        self.purchased: Counter[str] = Counter()
        self.awaited: Counter[str] = Counter()  # failed units whose place is to be taken by such a part
        self.booked: dict[str, defaultdict[int, float]] = {line: defaultdict(float) for line in BY_LEDGER}

    def take(self, entry: Entry) -> None:
        """One row of the ledger."""
        month = entry.month(self.settings.start)
        amount = (entry.amount or 0.0) / price_rise(self.settings, month)
        if entry.what == "bought":
            self.came(entry, month, amount)
        elif entry.moves:
            self.left(entry, month)
            line, sign = {"failed": ("disposal", 1), "claimed": ("replacement", 1), "sold": ("resale", -1)}[
                entry.what
            ]
            self.booked[line][month] += sign * amount
        elif entry.what == "paid":
            self.booked.setdefault(entry.line.replace(" ", "_"), defaultdict(float))[month] += amount

    def came(self, entry: Entry, month: int, amount: float) -> None:
        """Units that were bought."""
        part = self.parts[entry.part]
        self.lots.append(Lot(part, month, entry.quantity, amount / entry.quantity, part.warranty))
        instead = min(entry.quantity, self.awaited[entry.part])
        self.awaited[entry.part] -= instead
        self.purchased[entry.part] += entry.quantity - instead
        for line, number in (("replacement", instead), ("purchase", entry.quantity - instead)):
            self.booked[line][month] += amount / entry.quantity * number

    def left(self, entry: Entry, month: int) -> None:
        """Units that failed or were sold, the oldest first; those claimed are back at once."""
        missing, kept = entry.quantity, list[Lot]()
        for lot in self.lots:
            number = min(missing, lot.quantity) if lot.part.part == entry.part and lot.leaves is None else 0
            missing -= number
            kept += parted(lot, number, month)
            if number and entry.what == "claimed":
                rest = None if lot.warranty is None else max(0, lot.month + lot.warranty - month)
                kept.append(replace(lot, month=month, quantity=number, paid=0.0, warranty=rest, is_back=True))
        self.lots = kept
        if entry.what == "failed":
            part = self.parts[entry.part]
            self.awaited[part.replaced_by or part.part] += entry.quantity


def parted(lot: Lot, number: int, month: int) -> list[Lot]:
    """A lot of which some leave."""
    stays, goes = replace(lot, quantity=lot.quantity - number), replace(lot, quantity=number, leaves=month)
    return [one for one in (stays, goes) if one.quantity]


def price_rise(settings: Settings, month: int) -> float:
    """By what an amount is divided that was paid in a month, to be in the study's money; raises AskedError."""
    if settings.money == "nominal":
        return 1.0
    if settings.inflation is None:
        why = "amounts are as they were paid, and the study is in real money: it needs the setting 'inflation'"
        raise AskedError("ledger.csv", why)
    return float((1.0 + settings.inflation) ** (month / 12))


def stock_of(entries: Sequence[Entry], parts: Iterable[Part], settings: Settings) -> Stock:
    """The stock after all rows of a ledger that fits the parts list; raises AskedError."""
    count = _Count(parts, settings)
    for entry in entries:
        count.take(entry)
    return Stock(tuple(count.lots), count.booked, count.purchased)
