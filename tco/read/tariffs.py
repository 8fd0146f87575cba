"""Tariffs: their versions, and whether they have a price for every month in which power is drawn."""

from __future__ import annotations

from datetime import date

from tco.read.curves import place
from tco.read.found import Found, of, tell_absent
from tco.read.problems import Problems, shown
from tco.read.tables import Table
from tco.study import Row, Scenario, Version


def check_versions(table: Table[Version], problems: Problems) -> None:
    """No two versions of a tariff begin in the same month."""
    seen: dict[tuple[str, date], Version] = {}
    for row in table.rows:
        first = seen.setdefault((row.tariff, row.start), row)
        if first is not row and row.tariff and row.start > date.min:
            message = (
                f"start: tariff {shown(row.tariff)} has a version from {row.start:%Y-%m} already, "
                f"in line {first.places[''].line}"
            )
            problems.add(place(row, "start"), message)


def check_tariff(found: Found, scenario: Scenario, problems: Problems) -> None:
    """A scenario's tariff exists, and it has one where anything draws power."""
    names = {row.tariff for row in found.tariffs.rows}
    if scenario.tariff:
        if scenario.tariff in names:
            _check_start(found, scenario.tariff, problems)
        elif found.tariffs.whole:
            tell_absent(scenario, "tariff", "tariff", found.tariffs.file, names, problems)
    elif "tariff" not in scenario.places and (drawing := _drawing(found, scenario)):
        known = f"; known: {', '.join(sorted(names)[:6])}" if names else ""
        message = f"tariff: empty, but {drawing.places['']} draws power; name one of {found.tariffs.file}{known}"
        problems.add(scenario.places[""], message)


def _drawing(found: Found, scenario: Scenario) -> Row | None:
    """The first part or measured node of a scenario that draws power, if any."""
    for part in found.parts_of(scenario).rows:
        if part.idle > 0 or (part.busy or 0) > 0:
            return part
    for node in of(found.nodes, scenario):
        if (node.measured_idle or 0) > 0 or (node.measured_busy or 0) > 0:
            return node
    return None


def _check_start(found: Found, tariff: str, problems: Problems) -> None:
    """Report the months at the start of the study for which a tariff in use has no price."""
    first, start = found.versions(tariff)[0], found.settings.start
    if date.min in (first.start, start) or first.start <= start:
        return
    before = first.start.year * 12 + first.start.month - 2
    last = date(before // 12, before % 12 + 1, 1)
    months = f"{start:%Y-%m}" if last == start else f"{start:%Y-%m} to {last:%Y-%m}"
    message = (
        f"start: tariff {shown(tariff)} has no price for {months}; its first version must begin by {start:%Y-%m}"
    )
    problems.add(place(first, "start"), message)
