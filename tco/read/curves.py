"""Failure and resale curves: their shape, and the ages at which they are used; gathering rows under their name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import isnan
from typing import TypeVar

from tco.errors import Place
from tco.read.problems import Problems, shown
from tco.study import FailurePoint, ResalePoint, Row

P = TypeVar("P", bound=Row)


def by_name(points: Sequence[P], column: str = "curve") -> dict[str, tuple[P, ...]]:
    """Name in that column -> its points in the order of the file; rows whose name was refused are left out."""
    found: dict[str, list[P]] = {}
    for point in points:
        if name := getattr(point, column):
            found.setdefault(name, []).append(point)
    return {name: tuple(rows) for name, rows in found.items()}


def place(row: Row, name: str) -> Place:
    """Where a field of a row stands; the row itself where it was left empty."""
    return row.places.get(name) or row.places[""]


def check_failures(curves: Mapping[str, tuple[FailurePoint, ...]], problems: Problems, *, whole: bool = True) -> None:
    """Each failure curve rises in age from 0, and each of its rows says either a rate or a chance.

    whole: whether each row's curve is known; if not, a first point that is missing may be one of the others.
    """
    for name, points in curves.items():
        _check_ages(name, points, problems, whole=whole)
        for point in points:
            if (point.rate is None) == (point.chance is None):
                found = "neither a rate nor a chance" if point.rate is None else "both a rate and a chance"
                problems.add(place(point, "chance"), f"curve {shown(name)} has {found} here; write one of them")


def check_resale(curves: Mapping[str, tuple[ResalePoint, ...]], problems: Problems, *, whole: bool = True) -> None:
    """Each resale curve rises in age from 0, keeps one base, and is 0 only in a run at its end; whole: likewise."""
    for name, points in curves.items():
        _check_ages(name, points, problems, whole=whole)
        if len(points) < 2 and whole:
            message = f"curve {shown(name)} has a single point; how it falls takes two at least"
            problems.add(place(points[0], "curve"), message)
        _check_base(name, points, problems)
        _check_zeros(name, points, problems)


def _check_ages(name: str, points: Sequence[FailurePoint | ResalePoint], problems: Problems, *, whole: bool) -> None:
    if points[0].age > 0 and whole:
        message = f"curve {shown(name)} begins at {points[0].age} months; its first age must be 0"
        problems.add(place(points[0], "age"), message)
    for before, point in pairwise(points):
        if point.age <= before.age:
            message = f"curve {shown(name)}: {point.age} months after {before.age} months; ages must rise"
            problems.add(place(point, "age"), message)


def _check_base(name: str, points: Sequence[ResalePoint], problems: Problems) -> None:
    for point in points[1:]:
        if point.base and points[0].base and point.base != points[0].base:
            message = f"curve {shown(name)} is a share of '{points[0].base}' above; a curve has one base"
            problems.add(place(point, "base"), message)


def _check_zeros(name: str, points: Sequence[ResalePoint], problems: Problems) -> None:
    if points[0].share == 0:
        message = f"curve {shown(name)}: 0 % at its first age; leave the resale out of the part instead"
        problems.add(place(points[0], "share"), message)
    for before, point in pairwise(points[1:]):
        if before.share == 0 and point.share > 0:
            message = f"curve {shown(name)}: worth something again after 0 %; 0 % may stand only at the end"
            problems.add(place(point, "share"), message)


def is_worthless(points: Sequence[ResalePoint], age: float) -> bool:
    """Whether a unit of that age [months] is worth nothing: between a share and 0 % a geometric fall is 0 too."""
    if isnan(age) or not points or points[-1].share != 0:
        return False
    return bool(age > max((point.age for point in points if point.share != 0), default=0))
