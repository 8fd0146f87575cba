"""ledger.csv: each row has what its kind needs, days rise, and nothing leaves that was not bought."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date, timedelta
from math import isnan

from tco.addresses import label
from tco.read.curves import place
from tco.read.found import Found, tell_absent
from tco.read.problems import Problems, shown
from tco.study import Entry, Scenario

ROW_LIMIT = 10000
EARLY = timedelta(days=366)  # bought longer before the start, a slip of the pen
TAKES = {  # what each kind of row needs, and what it may have
    "bought": (("part", "amount"), ("quantity",)),
    "failed": (("part",), ("quantity", "amount")),
    "claimed": (("part",), ("quantity", "amount")),
    "sold": (("part", "amount"), ("quantity",)),
    "paid": (("line", "amount"), ()),
    "metered": (("energy",), ()),
}
SPEAKS = ("part", "quantity", "amount", "line", "energy")


def check_ledger(found: Found, problems: Problems) -> None:
    """The whole ledger."""
    rows = found.ledger.rows
    if len(rows) > ROW_LIMIT:
        problems.add(rows[ROW_LIMIT].places[""], f"{len(rows)} rows; the most is {ROW_LIMIT}")
        return
    for row in rows:
        _check_kind(row, problems)
        _check_day(found, row, problems)
    _check_order(rows, problems)
    scenario = _built(found, problems)
    if scenario is not None:
        _check_parts(found, scenario, rows, problems)


def _check_kind(row: Entry, problems: Problems) -> None:
    """A row says what its kind needs, and nothing else."""
    needs, may = TAKES.get(row.what, (SPEAKS, ()))
    if row.what not in TAKES:  # refused
        return
    for name in needs:
        if name not in row.places:
            problems.add(place(row, name), f"{label(name)}: empty, and a row of what was {row.what} needs it")
    if row.amount is not None and row.amount < 0 and row.what != "paid":
        message = f"amount: {row.amount:g} is negative, which only an amount that is paid may be (a refund)"
        problems.add(place(row, "amount"), message)
    for name in SPEAKS:
        if name in row.places and name not in (*needs, *may):
            problems.add(place(row, name), f"{label(name)}: does not belong to what was {row.what}; leave it empty")


def _check_day(found: Found, row: Entry, problems: Problems) -> None:
    """A day lies within the study."""
    start, horizon = found.settings.start, found.settings.horizon
    if date.min in (row.day, start) or isnan(horizon):  # refused
        return
    if row.day < start - EARLY:
        message = f"day: {row.day} is more than a year before the study's start, {start:%Y-%m}"
        problems.add(place(row, "day"), message)
    elif row.month(start) > horizon:
        message = f"day: {row.day} is after the study's last month, its month {horizon:g}"
        problems.add(place(row, "day"), message)
    elif row.what == "metered" and row.day < start:
        message = f"day: a reading of {row.day} is before the study's start, {start:%Y-%m}, when nothing ran yet"
        problems.add(place(row, "day"), message)


def _check_order(rows: Sequence[Entry], problems: Problems) -> None:
    """Days rise from row to row, or stay."""
    last: Entry | None = None
    for row in rows:
        if row.day == date.min:
            continue
        if last is not None and row.day < last.day:
            message = (
                f"day: {row.day} comes after {last.day} in line {last.places[''].line}; write the rows by their days"
            )
            problems.add(place(row, "day"), message)
        else:
            last = row


def _built(found: Found, problems: Problems) -> Scenario | None:
    """The scenario that the ledger is about: one, with hardware."""
    # A scenario that does not exist is told elsewhere, and says nothing about the other rows.
    known = {one.scenario for one in found.scenarios.rows}
    rows = [row for row in found.ledger.rows if row.scenario and (row.scenario in known or not found.scenarios.whole)]
    if not rows:
        return None
    first = rows[0]
    for row in rows:
        if row.scenario != first.scenario:
            where = f"line {first.places[''].line}"
            message = (
                f"scenario: {shown(row.scenario)}, and {where} says {shown(first.scenario)}; a ledger is about one"
            )
            problems.add(place(row, "scenario"), message)
    scenario = next((one for one in found.scenarios.rows if one.scenario == first.scenario), None)
    if scenario is not None and "parts_list" not in scenario.places:
        message = f"scenario: {shown(first.scenario)} has no parts list; a ledger is about hardware that was bought"
        problems.add(place(first, "scenario"), message)
        return None
    return scenario


def _check_parts(found: Found, scenario: Scenario, rows: Sequence[Entry], problems: Problems) -> None:
    """Parts are of the scenario's list, and no more of one leave than are there."""
    table = found.parts_of(scenario)
    named = Counter(part.part for part in table.rows)
    there: Counter[str] = Counter()
    gone: dict[str, Counter[str]] = {}
    names = {one.scenario for one in found.scenarios.rows}
    whole = all(row.scenario in names for row in rows)  # else what is missing may be in another row
    for row in rows:
        if not row.moves or not row.part or isnan(row.quantity) or row.scenario != scenario.scenario:
            continue
        if row.part not in named:
            if table.whole:
                tell_absent(row, "part", "part", table.file, set(named), problems)
            continue
        if named[row.part] > 1:
            message = f"part: {named[row.part]} parts are named {shown(row.part)}; give the one meant its own name"
            problems.add(place(row, "part"), message)
            continue
        own = gone.setdefault(row.part, Counter())
        if row.what != "bought" and row.quantity > there[row.part]:
            if whole:
                problems.add(place(row, "quantity"), _too_many(row, there[row.part], own))
            continue
        there[row.part] += {"bought": row.quantity, "claimed": 0}.get(row.what, -row.quantity)
        own[row.what] += row.quantity


def _too_many(row: Entry, there: int, own: Counter[str]) -> str:
    """What to say where more of a part leave than are there."""
    if not own["bought"]:
        return f"quantity: {row.quantity} {shown(row.part)} {row.what}, and none was bought before"
    so_far = ", ".join(f"{number} {what}" for what, number in own.items() if number)
    return f"quantity: {row.quantity} {shown(row.part)} {row.what}, and {there} were there: {so_far}"
