"""A scenario as it went: what is there by the ledger in the place of what was planned, its first months as booked.

Each lot of units becomes a row of the parts list of its own, with its true month, price and warranty; the plan's rows
stay as what a unit costs that is bought from now on, and for what is planned later.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from tco.ask.compare import Comparison
from tco.ask.stock import BY_LEDGER, Lot, Stock
from tco.engine import Array
from tco.errors import AskedError, Place, StudyError
from tco.model import Ground
from tco.model.calendar import month_after, month_names
from tco.model.measured import covered
from tco.model.renewal import monthly_hazards
from tco.study import Entry, Part, Past, Scenario, Study

ROWS = 100  # of a parts list that is worked out; more are more than a month's formula holds
CERTAIN = 200.0  # failures to be expected of a unit that cannot be there any more


@dataclass(frozen=True)
class Reading:
    """Energy that a meter read over some months [kWh]; shares: how much of each month 0..horizon it covers, by days.

    entry: the row of the ledger, the last one where several are of one day.
    """

    entry: Entry
    shares: Array
    energy: float


def readings(study: Study) -> list[Reading]:
    """The readings of a ledger, each from the end of the day of the one before, or from the start."""
    found: list[Reading] = []
    start, horizon = study.settings.start, study.settings.horizon
    last = start - timedelta(days=1)
    for entry in (one for one in study.ledger if one.what == "metered"):
        energy = entry.energy or 0.0
        if found and entry.day == last:
            found[-1] = replace(found[-1], energy=found[-1].energy + energy)
            continue
        shares = [covered_days(start, month, last, entry.day) for month in range(horizon + 1)]
        found.append(Reading(entry, np.array(shares), energy))
        last = entry.day
    return found


def covered_days(start: date, month: int, after: date, until: date) -> float:
    """The share of the days of a month that lie after one day and not after another; month 0 has none."""
    if not month:
        return 0.0
    first, following = month_after(start, month - 1), month_after(start, month)
    begins, ends = max(first, after + timedelta(days=1)), min(following, until + timedelta(days=1))
    return max(0, (ends - begins).days) / (following - first).days


def load_of(found: Sequence[Reading], energy: Array) -> tuple[float, ...]:
    """Power drawn over what the parts list says, by month; after the last reading, that of the last year read.

    energy: by month as the parts list says. Raises StudyError where a meter read something while nothing was there.
    """
    if not found:
        return ()
    load, known = np.zeros(len(energy)), np.zeros(len(energy))
    for one in found:
        own = float(energy @ one.shares)
        if one.energy and not own:
            told = f"energy: {one.energy:g} kWh read, and nothing was there in that time that draws power"
            raise StudyError([(one.entry.places.get("energy") or Place("ledger.csv"), told)])
        load += one.shares * (one.energy / own if own else 1.0)
        known += one.shares
    return tuple(map(float, load + (1.0 - known) * goes_on(load, known, energy)))


def goes_on(load: Array, known: Array, energy: Array) -> float:
    """Power drawn over what the parts list says in the last twelve months that were read."""
    year = last_read(known)
    whole = float((known * energy)[year].sum())
    return float((load * energy)[year].sum()) / whole if whole else 1.0


def last_read(known: Array) -> slice:
    """The last twelve months of which anything was read; known: the share of each month that was."""
    end = int(np.flatnonzero(known)[-1])
    return slice(max(1, end - 11), end + 1)


def past_of(stock: Stock, months: int) -> Past:
    """What is known of the months: lines that follow from the stock to the last, others as far as they are booked."""
    lines = {}
    for line, booked in stock.booked.items():
        end = months if line in BY_LEDGER else max(booked)
        lines[line] = tuple(float(booked.get(month, 0.0)) for month in range(end + 1))
    return Past(months, lines)


def as_it_went(comparison: Comparison, plan: Ground, stock: Stock, months: int) -> Scenario:
    """The scenario with what is there by the ledger; its meter left out. Raises AskedError.

    comparison, plan: the study as planned, and the scenario in it.
    """
    rows = [row for lot in merged(stock.lots) if (row := row_of(comparison, plan, lot, months)) is not None]
    planned = [still_planned(part, stock, months) for part in plan.scenario.parts]
    counted = sum(1 + may_go(part) for part in (*planned, *rows) if part.quantity)
    if counted > ROWS:
        why = f"it makes {counted} rows of a parts list, those that may go counted twice; the most is {ROWS}"
        raise AskedError("ledger.csv", f"{why}. What came in the same month for the same price is one")
    past = past_of(stock, months)
    return replace(plan.scenario, parts=(*planned, *named_apart(rows)), past=past, baseline=False)


def may_go(part: Part) -> bool:
    """Whether a unit may have to be replaced."""
    return bool(part.failures) or part.life is not None or part.endurance is not None


def merged(lots: Sequence[Lot]) -> list[Lot]:
    """Lots that differ in nothing but their quantity, as one."""
    found: dict[tuple[object, ...], Lot] = {}
    for lot in lots:
        like = (lot.part.part, lot.month, lot.paid, lot.warranty, lot.leaves, lot.is_back)
        before = found[like].quantity if like in found else 0
        found[like] = replace(lot, quantity=before + lot.quantity)
    return list(found.values())


def still_planned(part: Part, stock: Stock, months: int) -> Part:
    """A row of the plan for what is to come: what was to be bought by now counts only where the ledger has it."""
    left = max(0, part.quantity - stock.bought(part.part)) if part.bought > months else 0
    return replace(part, quantity=left)


def row_of(comparison: Comparison, plan: Ground, lot: Lot, months: int) -> Part | None:
    """The row of the parts list for a lot; None for what left in the month in which it came."""
    part = lot.part
    if lot.leaves == lot.month:
        return None
    must_live(comparison, lot, min(months, lot.leaves or months))
    later = part.leaves if part.leaves is not None and part.leaves > months else None
    own = {"price": price_of(comparison, plan, lot), "tax": "included"}
    return replace(
        part,
        part=name_of(comparison, lot),
        origin=part.part,
        quantity=lot.quantity,
        bought=lot.month,
        leaves=later if lot.leaves is None else lot.leaves,
        warranty=lot.warranty,
        replaced_by=part.replaced_by or part.part,
        on_top=False if covered(part, plan.scenario) else part.on_top,
        known=months,
        **(own if sells_from_paid(comparison, lot) else {}),  # type: ignore[arg-type]
    )


def sells_from_paid(comparison: Comparison, lot: Lot) -> bool:
    """Whether what was paid for a unit says what it sells for; else the price in the plan's list does.

    It does not where a curve is a share of a new one's price, nor for what came for nothing or came back.
    """
    curve = comparison.study.resale.get(lot.part.resale)
    by_new_price = curve is not None and curve[0].base != "own price"
    return bool(lot.paid) and not lot.is_back and not by_new_price


def must_live(comparison: Comparison, lot: Lot, until: int) -> None:
    """Raises AskedError where a unit that is there could not be by its failure curve."""
    curve = comparison.study.failures.get(lot.part.failures, ())
    known = max(0, until - lot.month)
    if curve and monthly_hazards(curve, lot.part.age, known).sum() > CERTAIN:
        why = f"by it none would live from month {lot.month} to month {until}, as the ledger says of {lot.part.part}"
        raise AskedError(f"failure curve {lot.part.failures}", why)


def price_of(comparison: Comparison, plan: Ground, lot: Lot) -> float:
    """The price at the start, with tax, that makes what was paid of it in the month of buying; no shipping in it."""
    row = plan.scenario.parts.index(lot.part)
    shipping = lot.part.shipping * float(comparison.of(plan.month("other_level"))[lot.month])
    return max(0.0, lot.paid - shipping) / price_level(comparison, plan, row, lot.month)


def price_level(comparison: Comparison, plan: Ground, row: int, month: int) -> float:
    """What a price of 1 at the start has become by a month, for a row of the parts list."""
    path = plan.scenario.parts[row].price_path
    if path:
        return float(comparison.of(plan.month(f"path {path}"))[month])
    years = float(comparison.of(plan.month("grown_years"))[month])
    return float((1.0 + comparison.of(plan.part("price_trend"))[row]) ** years)


def name_of(comparison: Comparison, lot: Lot) -> str:
    """`hard drive 8 TB, bought 2025-03, gone 2026-01`."""
    settings = comparison.study.settings
    names = month_names(settings.start, settings.horizon)
    word = "back" if lot.is_back else "bought"
    came = f"{word} {'at the ' * (not lot.month)}{names[lot.month]}"
    return f"{lot.part.part}, {came}{f', gone {names[lot.leaves]}' if lot.leaves is not None else ''}"


def named_apart(rows: Sequence[Part]) -> Iterator[Part]:
    """Rows whose names are alike with numbers behind them."""
    seen: dict[str, int] = {}
    for row in rows:
        seen[row.part] = number = seen.get(row.part, 0) + 1
        yield replace(row, part=f"{row.part} ({number})") if number > 1 else row
