"""Tariffs: their versions, what each bills, and whether there is one for every month in which power is drawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from tco.read.charges import Bills, bills, is_block, kind
from tco.read.curves import by_name, place
from tco.read.found import Found, of, tell_absent
from tco.read.problems import Problems, shown, suggestion
from tco.read.tables import Table
from tco.study import Charge, Row, Scenario, Version


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


def check_billing(found: Found, problems: Problems) -> None:
    """Each version has a price or charges, hours that exist where it charges by them, and nothing without effect."""
    known = bills(found)
    periods = {
        name: {row.period for row in rows if row.period} for name, rows in by_name(found.hours.rows, "hours").items()
    }
    for version in found.tariffs.rows:
        charges = known.of(version)
        _check_price(found, version, known, problems)
        _check_columns(found, version, charges, known, problems)
        if version.hours and version.hours not in periods and found.hours.whole:
            tell_absent(version, "hours", "name", found.hours.file, set(periods), problems)
        _check_periods(found, version, charges, periods, problems)
        if charges and known.complete(version.tariff) and all(kind(row) for row in charges):
            _check_priced(found, version, charges, periods, problems)
    _check_names(found, problems)


def _check_price(found: Found, version: Version, known: Bills, problems: Problems) -> None:
    """A price or charges: not both, not neither."""
    charges = known.of(version)
    if version.price is not None and charges:
        message = f"price: {charges[0].places['']} has a charge of this version; keep the price or the charges"
        problems.add(place(version, "price"), message)
    elif version.price is None and not charges and known.complete(version.tariff) and found.tariffs.whole:
        message = (
            "price: empty, which is not zero; write it, or what this version charges in "
            f"{found.charges.file}: tariff {shown(version.tariff)}, start {version.start:%Y-%m}"
        )
        problems.add(version.places[""], message)


def _check_columns(
    found: Found, version: Version, charges: Sequence[Charge], known: Bills, problems: Problems
) -> None:
    """Clock and blocks: only where they mean something."""
    if "clock" in version.places and "hours" not in version.places and found.tariffs.whole:
        message = "clock: needs 'hours' beside it, which go by that clock, or leave it empty"
        problems.add(place(version, "clock"), message)
    if "blocks" in version.places and known.complete(version.tariff) and not any(map(is_block, charges)):
        message = "blocks: no charge of this version has more than one block ('above' in charges.csv); leave it empty"
        problems.add(place(version, "blocks"), message)


def _check_periods(
    found: Found, version: Version, charges: Sequence[Charge], periods: Mapping[str, set[str]], problems: Problems
) -> None:
    """The periods in which a version charges are those of its hours."""
    timed = [row for row in charges if row.period and kind(row) == "price"]
    if timed and "hours" not in version.places and found.tariffs.whole:
        message = (
            f"hours: empty, but {place(timed[0], 'period')} charges by the period; write whose periods they are "
            f"(a name of {found.hours.file})"
        )
        problems.add(version.places[""], message)
    if version.hours not in periods or not found.hours.whole:
        return
    for row in timed:
        if row.period not in periods[version.hours]:
            message = f"period: {shown(version.hours)} in {found.hours.file} has no period {shown(row.period)}"
            problems.add(place(row, "period"), message + suggestion(row.period, periods[version.hours]))


def _check_priced(
    found: Found, version: Version, charges: Sequence[Charge], periods: Mapping[str, set[str]], problems: Problems
) -> None:
    """Every kWh has a price: what is left out is not free."""
    priced = [row for row in charges if kind(row) == "price"]
    if not priced:
        message = (
            f"charge: no charge of this version has a 'price'; add one to {found.charges.file}, 0 if kWh cost nothing"
        )
        problems.add(place(charges[0], "charge"), message)
        return
    mine = periods.get(version.hours, set())
    told = {row.period for row in priced}
    if not found.hours.whole or any("period" not in row.places for row in priced) or not told <= mine:
        return
    for period in sorted(mine - told):
        message = (
            f"period: this version has no price in the period {shown(period)} of {shown(version.hours)}; add one to "
            f"{found.charges.file}, 0 if kWh cost nothing then"
        )
        problems.add(place(priced[0], "period"), message)


def _check_names(found: Found, problems: Problems) -> None:
    """No charge is called as bills call the price of a version without charges."""
    flat = {row.tariff: row for row in reversed(found.tariffs.rows) if row.price is not None}
    for row in found.charges.rows:
        if row.charge == "price" and row.tariff in flat:
            where = place(flat[row.tariff], "price")
            message = (
                f"charge: bills say 'price' for the price of this tariff in {where}; give the charge another name"
            )
            problems.add(place(row, "charge"), message)


def check_tariff(found: Found, scenario: Scenario, problems: Problems) -> None:
    """A scenario's tariff exists, and it has one where anything draws power."""
    names = {row.tariff for row in found.tariffs.rows}
    if scenario.tariff:
        if scenario.tariff in names:
            _check_start(found, scenario.tariff, problems)
            _check_export(found, scenario, problems)
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
        if (node.measured_idle or 0) > 0 or (node.measured_busy or 0) > 0 or node.log:
            return node
    return None


def _check_start(found: Found, tariff: str, problems: Problems) -> None:
    """Report the months at the start of the study for which a tariff in use has no price."""
    first, start = found.versions(tariff)[0], found.settings.start
    if date.min in (first.start, start) or first.start <= start or not found.tariffs.whole:
        return
    before = first.start.year * 12 + first.start.month - 2
    last = date(before // 12, before % 12 + 1, 1)
    months = f"{start:%Y-%m}" if last == start else f"{start:%Y-%m} to {last:%Y-%m}"
    message = (
        f"start: tariff {shown(tariff)} has no price for {months}; its first version must begin by {start:%Y-%m}"
    )
    problems.add(place(first, "start"), message)


def _check_export(found: Found, scenario: Scenario, problems: Problems) -> None:
    """Own solar costs what the grid would have paid for it, in every version of the tariff."""
    if not (scenario.solar_share or 0.0) > 0 or not found.tariffs.whole:
        return
    first = next(
        row for row in found.scenarios.rows if row.tariff == scenario.tariff and (row.solar_share or 0.0) > 0
    )
    for version in found.versions(scenario.tariff):
        if version.export is None:
            message = (
                f"export: empty, but {place(first, 'solar_share')} has own solar; write what the grid pays for a "
                "kWh, 0 if nothing"
            )
            problems.add(version.places[""], message)
