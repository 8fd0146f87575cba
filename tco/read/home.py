"""The home's own use: a row for the year or one for each month, and where a bill cannot do without it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isnan

from tco.electricity import DAY_SLOTS, year_of
from tco.read.charges import Bills, bills, is_block
from tco.read.coverage import MOST_ROWS, WEEK_SLOTS, is_sound
from tco.read.curves import by_name, place
from tco.read.found import Found, tell_absent
from tco.read.problems import Problems, shown
from tco.read.tables import Table
from tco.study import HomeUse, Row, ShapePoint

MONTHS = range(1, 13)
MOST_HOURS = {True: 8784, False: 745}  # of a year; of a month, when clocks are set back in it
WHY = {
    "above": "which block the build's kWh fall into depends on what the home uses",
    "minimum": "whether the build's kWh cost anything depends on what the home uses",
    "capacity": "the month's highest power is the home's and the build's together",
}


def check_home(found: Found, problems: Problems) -> None:
    """home.csv fits together, names shapes that can spread its use, and is there where bills need it."""
    _check_months(found.home, problems)
    shapes = by_name(found.shapes.rows, "shape")
    for row in found.home.rows:
        _check_peak(row, problems)
        if row.shape and row.shape not in shapes and found.shapes.whole:
            tell_absent(row, "shape", "shape", found.shapes.file, set(shapes), problems)
    for name, rows in by_name(found.home.rows, "shape").items():
        months = {month for row in rows for month in _months(row)}
        _check_spread(rows[0], shapes.get(name, ()), months, problems)
    _check_needed(found, problems)


def _months(row: HomeUse) -> list[int]:
    """The months of the year of which a row speaks; none where that was refused."""
    if row.month is None:
        return list(MONTHS)
    return [] if isnan(row.month) else [row.month]


def _check_months(table: Table[HomeUse], problems: Problems) -> None:
    """One row for the year, or one for each month."""
    if not table.whole:
        return
    yearly = [row for row in table.rows if row.month is None]
    monthly = [row for row in table.rows if row.month is not None]
    for row in yearly if monthly else yearly[1:]:
        other = monthly[0] if monthly else yearly[0]
        message = (
            f"month: empty, which is the whole year, but line {other.places[''].line} has "
            f"{'a month' if monthly else 'the whole year'} already; write one row for the year, or one for each month"
        )
        problems.add(row.places[""], message)
    if not yearly:
        _check_each_month(monthly, problems)


def _check_each_month(rows: Sequence[HomeUse], problems: Problems) -> None:
    """Each month of the year once."""
    seen: dict[int, int] = {}
    for row in rows:
        first = seen.setdefault(row.month or 0, row.places[""].line)
        if first != row.places[""].line and _months(row):
            problems.add(place(row, "month"), f"month: {row.month} stands in line {first} already; keep one")
    lacking = [str(month) for month in MONTHS if month not in seen]
    if rows and lacking and all(_months(row) for row in rows):
        which = f"months {', '.join(lacking)} are" if len(lacking) > 1 else f"month {lacking[0]} is"
        message = f"month: {which} missing; write one row for each month, or one without month for the year"
        problems.add(place(rows[-1], "month"), message)


def _check_peak(row: HomeUse, problems: Problems) -> None:
    """The highest power is not below the average."""
    if row.peak is None:
        return
    most = row.peak * MOST_HOURS[row.month is None]
    if row.use > most:
        message = (
            f"peak: {row.peak:g} kW all the time would be {most:g} kWh at most, below the use of {row.use:g} kWh"
        )
        problems.add(place(row, "peak"), message)


def _check_spread(row: HomeUse, points: tuple[ShapePoint, ...], months: set[int], problems: Problems) -> None:
    """A shape that is 0 through a whole month cannot say at which hours the month's kWh are used."""
    if not points or len(points) > MOST_ROWS["shape"] or not all(is_sound(point) for point in points):
        return
    year = year_of(points)
    for month in sorted(months):
        start = (month - 1) * DAY_SLOTS
        said = set(year[start : start + WEEK_SLOTS])
        if -1 not in said and all(points[number].share == 0 for number in said):
            message = (
                f"shape: {shown(row.shape)} is 0 % all the time in month {month}, so that it cannot spread the "
                "home's kWh; give some hours a share"
            )
            problems.add(place(row, "shape"), message)
            return


def _check_needed(found: Found, problems: Problems) -> None:
    """Blocks, a minimum and a capacity charge of a tariff in use need to know the home; told once."""
    known = bills(found)
    reasons = list(_reasons(found, known))
    if not found.home.rows and found.home.whole and reasons:
        row, name = reasons[0]
        more = "'use' and 'peak'" if any(name == "capacity" for _, name in reasons) else "'use'"
        message = f"{name}: {WHY[name]}; add {found.home.file} with {more}, 0 kWh where there is no other use"
        problems.add(place(row, name), message)
    charge = next((row for row, name in reasons if name == "capacity"), None)
    lacking = next((row for row in found.home.rows if row.peak is None), None)
    if charge is not None and lacking is not None and found.home.whole:
        message = (
            f"peak: empty, but {place(charge, 'capacity')} charges the month's highest power; write the home's in "
            "each row, for example '5.2 kW'"
        )
        problems.add(lacking.places[""], message)


def _reasons(found: Found, known: Bills) -> Iterator[tuple[Row, str]]:
    """What makes a bill depend on the home's own use, in tariffs that scenarios name: the row and its field."""
    used = {scenario.tariff for scenario in found.scenarios.rows} - {""}
    for version in found.tariffs.rows:
        if version.tariff not in used:
            continue
        if version.minimum is not None:
            yield version, "minimum"
        for row in known.of(version):
            if is_block(row) and not isnan(row.above):
                yield row, "above"
            if row.capacity is not None:
                yield row, "capacity"
