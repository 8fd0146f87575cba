"""What a study was read as, cell by cell, and what a cell plainly says: read a second time, by other means."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from math import isclose
from typing import Any

from tco.cell import Cell
from tco.study import Log, Row, Study
from tests.broken.spots import EXTRA

Key = tuple[str, str, str]  # kind of row, where the row stands, field
DERIVED = {
    ("Range", "input"),
    ("Range", "low"),
    ("Range", "high"),
    ("Scenario", "baseline"),
}  # by other cells as well


def read_as(study: Study) -> dict[Key, Any]:
    """The value of every declared cell that a study keeps."""
    found: dict[Key, Any] = {}
    for row in _rows(study):
        where = str(row.places.get("", ""))
        specs = [item.name for item in fields(row) if "cell" in item.metadata]
        values = {name: getattr(row, name) for name in specs} | dict(row.extra)
        found |= {(type(row).__name__, where, name): value for name, value in values.items()}
    return found


def _rows(value: Any) -> Iterator[Row]:
    """Each row within a study, settings and needs included."""
    if isinstance(value, Row):
        yield value
    if is_dataclass(value) and not isinstance(value, Log):
        value = [getattr(value, item.name) for item in fields(value)]
    elif isinstance(value, Mapping):
        value = list(value.values())
    if isinstance(value, list | tuple):
        for one in value:
            yield from _rows(one)


# Written down by hand: what one of each is in the base of its kind.
PREFIXES = {"": 1.0, "k": 1e3, "M": 1e6, "G": 1e9, "T": 1e12, "P": 1e15, "m": 1e-3,
            "Ki": 2.0**10, "Mi": 2.0**20, "Gi": 2.0**30, "Ti": 2.0**40, "Pi": 2.0**50}  # fmt: skip
BASES = {
    "W": ("W", 1.0), "Wh": ("W.s", 3600.0), "B": ("byte", 8.0), "bit": ("byte", 1.0), "s": ("s", 1.0),
    "min": ("s", 60.0), "h": ("s", 3600.0), "d": ("s", 86400.0), "day": ("s", 86400.0), "days": ("s", 86400.0),
    "hour": ("s", 3600.0), "hours": ("s", 3600.0), "month": ("month", 1.0), "months": ("month",
    1.0), "y": ("month", 12.0),
    "yr": ("month", 12.0), "mo": ("month", 1.0), "year": ("month", 12.0), "years": ("month", 12.0), "%": ("", 0.01),
    "dB(A)": ("dBA", 1.0), "dBA": ("dBA", 1.0), "kg": ("kg", 1.0), "g": ("kg", 1e-3), "m": ("m",
    1.0), "V": ("V", 1.0),
    "A": ("A", 1.0), "VA": ("VA", 1.0), "1": ("", 1.0),
}  # fmt: skip
SPACES = "\u00a0\u2009\u202f"
FORM = re.compile(r"([+-]?)((?:[0-9.,' ]*)[0-9])(?:[eE]([+-]?[0-9]+))?\s*(\D.*)?", re.DOTALL)


class NotPlain(Exception):  # noqa: N818
    """A text of which this module cannot say what it is."""


def factor(unit: str, rates: Mapping[str, float], own: str) -> float:
    """What one of a unit is in base units, its kind left out; raises NotPlain."""
    first, *rest = unit.replace(" ", "").split("/")
    found = _one(first, rates, own)
    for name in rest:
        found /= _one(name, rates, own)
    return found


def _one(name: str, rates: Mapping[str, float], own: str) -> float:
    bases = {**rates, own: 1.0} | {name: one for name, (_, one) in BASES.items()}
    for prefix, times in PREFIXES.items():
        if name.startswith(prefix) and name[len(prefix) :] in bases:
            return times * bases[name[len(prefix) :]]
    raise NotPlain(name)


def numbers(text: str) -> tuple[set[float], str]:
    """All that a number may mean, its decimal sign being a point or a comma, and the unit behind it."""
    plain = re.sub(rf"[{SPACES}]", " ", text.strip()).replace("−", "-").replace("’", "'")
    found = FORM.fullmatch(re.sub(r"\s*\b(nominal|real)\Z", "", plain, flags=re.IGNORECASE))
    if not found:
        raise NotPlain(text)
    possible = set()
    for decimal, other in (".,", ",."):
        digits = re.sub(rf"[ '{other}]", "", found[2])
        if digits.count(decimal) <= 1:
            possible.add(float(f"{found[1]}{digits.replace(decimal, '.')}e{found[3] or 0}"))
    return possible, (found[4] or "").strip()


def may_be(text: str, cell: Cell, header: str, found: Any, study: Study) -> bool:
    """Whether the value found is one that the text of a filled cell may mean; header: the unit of its column."""
    own, rates = study.settings.currency, study.rates
    if cell.kind in ("number", "share", "growth", "whole", "months"):
        possible, unit = numbers(text)
        unit = unit or header
        if cell.kind in ("share", "growth"):
            scale = 0.01
        elif cell.kind == "months":
            scale = factor(unit, rates, own) if unit else 1.0
        elif cell.unit and unit:
            wanted = cell.unit.replace("{money}", own).replace("1/year", "%/year")
            scale = factor(unit, rates, own) / factor(wanted, rates, own) * (0.01 if cell.unit == "1/year" else 1.0)
        else:
            scale = 1.0
        return any(isclose(value * scale, found, rel_tol=1e-9, abs_tol=1e-300) for value in possible)
    return _may_be_words(unicodedata.normalize("NFC", text.strip()), cell, found)


def _may_be_words(text: str, cell: Cell, found: Any) -> bool:
    """The same of what is no number."""
    if cell.kind in ("name", "file", "currency", "zone"):
        return bool(found == text)
    if cell.kind in ("date", "month"):
        year, month, *day = map(int, text.split("-"))
        return bool(found == date(year, month, day[0] if day else 1))
    if cell.kind == "yes":
        return bool(found == (text.casefold() in ("yes", "y", "true", "1")))
    if cell.kind == "choice":
        return re.sub(r"[\s_]", "", text).casefold() == re.sub(r"[\s_]", "", found).casefold()
    if cell.kind == "clock":
        hour, minute, *_ = text.split(":")
        return bool(found == int(hour) * 60 + int(minute))
    if cell.kind == "names":
        return bool([*found] == [part.strip() for part in text.split("+")])
    if cell.kind == "amounts":
        said = [numbers(part.split()[0])[0] for part in text.split("+")]
        return len(said) == len(found) and all(
            one.count in possible for one, possible in zip(found, said, strict=True)
        )
    return True


def extra_of(kind: type[Row]) -> Mapping[str, Cell]:
    """The columns that cost lines add to a kind of row."""
    return EXTRA.get(kind, {})
