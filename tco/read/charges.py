"""What a bill is made of: the charges of each version of a tariff, and the fields of a study that speak of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise
from math import isnan
from typing import Any

from tco.addresses import label
from tco.read.curves import by_name, place
from tco.read.found import Found
from tco.read.problems import Problems, shown, suggestion
from tco.study import Charge, Version

KINDS = ("price", "fixed", "fixed_day", "capacity", "percent")  # a row says one of them
BESIDE = {"above": "price", "period": "price", "kWh_share": "price", "of": "percent"}  # what only one kind has
ROW_LIMIT = 200  # of one tariff: each is a row that the formulas of every month look through
CHARGE_LIMIT = 40  # names in one version: each is a column of every bill


@dataclass(frozen=True)
class Bills:
    """The charges of each version (tariff and start), as they stand; rows whose start was refused are left out.

    whole: whether each row's tariff is known. loose: tariffs of rows whose version is not known.
    """

    rows: Mapping[tuple[str, date], tuple[Charge, ...]]
    whole: bool
    loose: frozenset[str]

    def of(self, version: Version) -> tuple[Charge, ...]:
        """The charges of a version."""
        return self.rows.get((version.tariff, version.start), ())

    def complete(self, tariff: str) -> bool:
        """Whether the versions of a tariff have no other charges than these."""
        return bool(tariff) and self.whole and tariff not in self.loose


def bills(found: Found) -> Bills:
    """The charges of all versions."""
    versions = {(row.tariff, row.start) for row in found.tariffs.rows}
    names = {row.tariff for row in found.tariffs.rows}
    groups: dict[tuple[str, date], list[Charge]] = {}
    loose = {tariff for tariff, start in versions if start == date.min}
    for row in found.charges.rows:
        if row.start == date.min or (row.tariff, row.start) not in versions:
            loose.add(row.tariff)
        if row.start > date.min and row.tariff:
            groups.setdefault((row.tariff, row.start), []).append(row)
    whole = found.charges.whole and all(row.tariff in names for row in found.charges.rows)
    return Bills({version: tuple(rows) for version, rows in groups.items()}, whole, frozenset(loose))


def kind(row: Charge) -> str:
    """What a row charges; empty where it says nothing, or several things."""
    kinds = [name for name in KINDS if name in row.places]
    return kinds[0] if len(kinds) == 1 else ""


def is_block(row: Charge) -> bool:
    """Whether a row is a block beyond the first; a refused start may be one."""
    return "above" in row.places and row.above != 0


def check_charges(found: Found, problems: Problems) -> None:
    """Each charge is one thing and belongs to a version; those of a version fit together."""
    known, starts = bills(found), _starts(found)
    for row in found.charges.rows:
        _check_kind(row, found.charges.whole, problems)
    for (tariff, _), rows in known.rows.items():
        _check_version(found, rows, starts, problems)
        for blocks in by_name(rows, "charge").values():
            _check_blocks(blocks, known.complete(tariff), problems)
        _check_of(rows, known.complete(tariff), problems)
        _check_count(rows, problems)
    _check_tariffs(found.charges.rows, problems)


def _check_kind(row: Charge, whole: bool, problems: Problems) -> None:
    """One amount a row, and beside it only what goes with it."""
    kinds = [name for name in KINDS if name in row.places]
    if not kinds and whole:
        listed = ", ".join(f"'{label(name)}'" for name in KINDS)
        message = f"charge {shown(row.charge)} has no amount; write one of {listed}"
        problems.add(row.places[""], message)
    for name in kinds[1:]:
        message = (
            f"{label(name)}: '{label(kinds[0])}' stands in {place(row, kinds[0])} already; a row charges one thing"
        )
        problems.add(place(row, name), message)
    for name, wanted in BESIDE.items():
        if name in row.places and kinds and wanted not in kinds:
            message = f"{label(name)}: goes with '{wanted}', not with '{label(kinds[0])}'; leave it empty"
            problems.add(place(row, name), message)


def _starts(found: Found) -> dict[str, set[date]]:
    """Tariff -> the starts of its versions."""
    starts: dict[str, set[date]] = {}
    for version in found.tariffs.rows:
        starts.setdefault(version.tariff, set()).add(version.start)
    return starts


def _check_version(found: Found, rows: Sequence[Charge], starts: Mapping[str, set[date]], problems: Problems) -> None:
    """Charges belong to a version of tariffs.csv; told once for all that name the same one."""
    tariff, start = rows[0].tariff, rows[0].start
    known = starts.get(tariff, set())
    count = f" ({len(rows)} rows name it)" if len(rows) > 1 else ""
    if not known and found.tariffs.whole:
        message = f"tariff: there is no tariff {shown(tariff)} in {found.tariffs.file}{count}"
        problems.add(place(rows[0], "tariff"), message + suggestion(tariff, starts))
    elif known and start not in known and date.min not in known:
        months = ", ".join(f"{month:%Y-%m}" for month in sorted(known)[:6])
        message = (
            f"start: {found.tariffs.file} has no version of {shown(tariff)} from {start:%Y-%m}{count}; "
            f"its versions begin in {months}"
        )
        problems.add(place(rows[0], "start"), message)


def _check_blocks(rows: Sequence[Charge], complete: bool, problems: Problems) -> None:
    """Rows of one name are the blocks of one price: they rise from 0, in the same period."""
    first = rows[0]
    blocks = [first] if kind(first) else []
    for row in rows[1:]:
        if not kind(row) or kind(row) != kind(first):  # told elsewhere
            continue
        name, message = _not_a_block(row, first)
        if name:
            problems.add(place(row, name), f"{label(name)}: {message}")
        else:
            blocks.append(row)
    for before, row in pairwise(blocks):
        if row.above <= before.above:
            message = f"above: {row.above:g} kWh after {before.above:g} kWh; the blocks of a charge must rise"
            problems.add(place(row, "above"), message)
    if first.above > 0 and complete and all(row.above > 0 for row in rows) and kind(first) == "price":
        message = (
            f"above: the first block of {shown(first.charge)} begins at {first.above:g} kWh; it must begin at 0, "
            "with the price 0 if nothing is charged there"
        )
        problems.add(place(first, "above"), message)


def _not_a_block(row: Charge, first: Charge) -> tuple[str, str]:
    """Why a row cannot be a block of a charge: the field that shows it, and the message; empty where it can."""
    stands = f"{shown(row.charge)} stands in line {first.places[''].line} already"
    if kind(row) != "price":
        return "charge", f"{stands}; give each charge of a version its own name"
    for name in ("period", "kWh_share"):
        one, other = (_compared(block, name) for block in (row, first))
        if one != other and None not in (one, other):
            return name, f"{stands}, with another {label(name)}; only blocks that share it have one name"
    if "above" not in row.places:
        return "charge", f"{stands}; write under 'above' from which kWh on this price holds, or give it its own name"
    return "", ""


def _compared(row: Charge, name: str) -> Any:
    """What must be alike in all blocks; None where it was refused."""
    if name == "period":
        return None if "period" in row.places and not row.period else row.period
    share = 1.0 if row.kWh_share is None else row.kWh_share
    return None if isnan(share) else share


def _check_of(rows: Sequence[Charge], complete: bool, problems: Problems) -> None:
    """A percentage is of charges of its own version; of percentages only those that stand above it."""
    first = {row.charge: number for number, row in reversed(list(enumerate(rows)))}
    for number, row in enumerate(rows):
        for name in row.of:
            if name == row.charge:
                problems.add(place(row, "of"), f"of: {shown(name)} is the charge itself; name others")
            elif name not in first:
                if complete:
                    _tell_no_charge(row, name, set(first), problems)
            elif kind(rows[first[name]]) == "percent" and first[name] > number:
                line = rows[first[name]].places[""].line
                message = (
                    f"of: {shown(name)} is a percentage that stands below, in line {line}; a percentage may be of "
                    "those above it"
                )
                problems.add(place(row, "of"), message)


def _tell_no_charge(row: Charge, name: str, names: set[str], problems: Problems) -> None:
    message = f"of: this version has no charge {shown(name)}"
    problems.add(place(row, "of"), message + suggestion(name, names - {row.charge}))


def _check_count(rows: Sequence[Charge], problems: Problems) -> None:
    """Not more charges in a version than bills have columns for."""
    names: set[str] = set()
    for row in rows:
        names.add(row.charge)
        if len(names) > CHARGE_LIMIT:
            message = f"charge: this version has more than {CHARGE_LIMIT} charges, the most; gather some in one"
            problems.add(place(row, "charge"), message)
            return


def _check_tariffs(rows: Sequence[Charge], problems: Problems) -> None:
    """Through all versions of a tariff a charge is of one kind; none has too many rows."""
    first: dict[tuple[str, str], Charge] = {}
    count: Counter[str] = Counter()
    for row in rows:
        count[row.tariff] += 1
        if row.tariff and count[row.tariff] == ROW_LIMIT + 1:
            message = f"charge: more than {ROW_LIMIT} rows of tariff {shown(row.tariff)}, the most"
            problems.add(place(row, "charge"), message)
        if not kind(row) or not row.tariff or not row.charge:
            continue
        one = first.setdefault((row.tariff, row.charge), row)
        if kind(one) != kind(row):
            message = (
                f"charge: {shown(row.charge)} has a '{label(kind(one))}' in line {one.places[''].line} and "
                f"a '{label(kind(row))}' here; give each its own name"
            )
            problems.add(place(row, "charge"), message)
    for tariff in by_name(rows, "tariff").values():
        _check_circles(tariff, problems)


def _check_circles(rows: Sequence[Charge], problems: Problems) -> None:
    """A percentage of another in one version is not that one's base in a second: one order serves all versions."""
    found: dict[str, set[str]] = {}
    above: dict[date, set[str]] = {}
    for row in rows:
        if kind(row) == "percent":
            found.setdefault(row.charge, set()).update(above.setdefault(row.start, set()) & set(row.of))
            above[row.start].add(row.charge)
    try:
        TopologicalSorter(found).prepare()
    except CycleError as error:
        circle = set(error.args[1])
        row = [row for row in rows if row.charge in circle and circle & set(row.of)][-1]
        message = (
            f"of: {shown(row.charge)} is a percentage of {' and '.join(map(shown, sorted(circle & set(row.of))))} "
            "here, in another version the other way round; keep one order in all versions of a tariff"
        )
        problems.add(place(row, "of"), message)


def electricity(found: Found, tariffs: Sequence[str]) -> dict[str, Any]:
    """The fields of a study that say how its electricity is billed and drawn; of each only what it uses."""
    versions = [version for name in tariffs for version in found.versions(name)]
    hours, shapes = by_name(found.hours.rows, "hours"), by_name(found.shapes.rows, "shape")
    efficiency = found.curves.efficiency
    parts = [part for table in found.parts.values() for part in table.rows]
    shaped = {row.busy_shape for row in found.scenarios.rows} | {row.shape for row in found.home.rows}
    return {
        "charges": {
            name: rows for name in tariffs if (rows := tuple(row for row in found.charges.rows if row.tariff == name))
        },
        "hours": {name: hours[name] for name in sorted({version.hours for version in versions} - {""})},
        "holidays": tuple(found.holidays.rows),
        "shapes": {name: shapes[name] for name in sorted(shaped - {""})},
        "home": tuple(found.home.rows),
        "efficiency": {name: efficiency[name] for name in sorted({part.efficiency for part in parts} - {""})},
        "logs": found.logs,
    }
