"""Parts lists: when parts come and go, what replaces them, which curves they follow."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from tco.read.curves import is_worthless, place
from tco.read.found import Found, tell_absent
from tco.read.months import check_month
from tco.read.problems import Problems, shown
from tco.read.tables import Table
from tco.read.wear import is_worn
from tco.study import Part

PART_LIMIT = 100  # rows that are bought; what may be replaced counts twice. A month's formula has a term for each


def check_parts(found: Found, table: Table[Part], problems: Problems) -> None:
    """One parts list, whichever scenarios use it."""
    count = Counter(part.part for part in table.rows)
    by_name = {part.part: part for part in table.rows}
    for part in table.rows:
        check_month(found, part, "bought", problems)
        check_month(found, part, "leaves", problems)
        _check_order(part, problems)
        _check_owned(part, problems)
        if part.quantity > 0 and _is_replaced(found, table, part):
            _check_free(part, problems)
            _check_free_replacement(part, count, by_name, problems)
        _check_replacement(part, table, count, by_name, problems)
        _check_curves(found, part, problems)
    _check_length(found, table, problems)


def _is_replaced(found: Found, table: Table[Part], part: Part) -> bool:
    """Whether one of a part may have to be replaced: failed or worn."""
    return bool(part.failures) or is_worn(found, table, part)


def _check_length(found: Found, table: Table[Part], problems: Problems) -> None:
    """Not more rows than the formulas of a workbook can hold."""
    terms = 0
    for part in table.rows:
        before = terms
        terms += (1 + _is_replaced(found, table, part)) * (part.quantity != 0)
        if before <= PART_LIMIT < terms:
            message = (
                f"quantity: with this row the list has more than {PART_LIMIT} rows that are bought, those with a "
                "failure curve counted twice, as those that wear or have a life; gather equal parts in one row"
            )
            problems.add(place(part, "quantity"), message)


def _check_order(part: Part, problems: Problems) -> None:
    """A part leaves after it came, and draws no less power when busy."""
    if part.leaves is not None and part.leaves <= part.bought:
        message = f"leaves: month {part.leaves} is not after the month in which it is bought, {part.bought}"
        problems.add(place(part, "leaves"), message)
    if part.busy is not None and part.busy < part.idle:
        message = f"busy: {part.busy:g} W is below the idle power, {part.idle:g} W"
        problems.add(place(part, "busy"), message)


def _check_owned(part: Part, problems: Problems) -> None:
    """What a part would fetch today is told of gear that is there already, not of gear to be bought."""
    if not part.fetches_today > 0:
        return
    where = place(part, "fetches_today")
    if part.price > 0:
        message = f"fetches today: is for gear owned already: its price must be 0 ({place(part, 'price')})"
        problems.add(where, message)
    if part.bought > 0:
        message = f"fetches today: is for gear owned already: it must be bought in month 0 ({place(part, 'bought')})"
        problems.add(where, message)


def _check_free(part: Part, problems: Problems) -> None:
    """A part that costs nothing and fails or wears names what takes its place, or that would cost nothing."""
    if part.price == 0 and "replaced_by" not in part.places:
        message = (
            f"price: 0, so that a {_gone(part)} {shown(part.part)} would be replaced for nothing; "
            "name the part that is bought then under 'replaced by'"
        )
        problems.add(place(part, "price"), message)


def _gone(part: Part) -> str:
    """What is the matter with one that is replaced."""
    return "failed" if part.failures else "worn"


def _check_free_replacement(part: Part, count: Counter[str], by_name: Mapping[str, Part], problems: Problems) -> None:
    """What takes the place of a failed or worn part has a price itself."""
    new = by_name.get(part.replaced_by)
    if new and new is not part and new.price == 0 and count[new.part] == 1:
        message = (
            f"replaced by: {shown(new.part)} has the price 0 ({place(new, 'price')}), "
            f"so that a {_gone(part)} {shown(part.part)} would be replaced for nothing"
        )
        problems.add(place(part, "replaced_by"), message)


def _check_replacement(
    part: Part, table: Table[Part], count: Counter[str], by_name: Mapping[str, Part], problems: Problems
) -> None:
    """What replaces a part is one part of the same list, itself replaced like for like."""
    wanted = part.replaced_by
    if not wanted:
        return
    where = place(part, "replaced_by")
    if wanted == part.part:
        problems.add(where, "replaced by: the part itself; leave it empty for like for like")
    elif wanted not in count:
        if table.whole:
            tell_absent(part, "replaced_by", "part", table.file, set(count), problems)
    elif count[wanted] > 1:
        message = f"replaced by: {count[wanted]} parts are named {shown(wanted)}; give the one meant its own name"
        problems.add(where, message)
    elif by_name[wanted].replaced_by:
        message = f"replaced by: {shown(wanted)} is itself replaced by another part; name one replaced like for like"
        problems.add(where, message)


def _check_curves(found: Found, part: Part, problems: Problems) -> None:
    """The curves a part follows exist, and it is worth something at its own age."""
    curves = found.curves
    if part.failures and part.failures not in curves.failures and curves.failures_whole:
        tell_absent(part, "failures", "curve", "failures.csv", set(curves.failures), problems)
    if part.resale and part.resale not in curves.resale and curves.resale_whole:
        tell_absent(part, "resale", "curve", "resale.csv", set(curves.resale), problems)
    if is_worthless(curves.resale.get(part.resale, ()), part.age):
        message = (
            f"resale: curve {shown(part.resale)} gives 0 % at the part's own age, {part.age} months; "
            "leave the resale empty, or let the curve reach further"
        )
        problems.add(place(part, "resale"), message)
