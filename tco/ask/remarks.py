"""What the answer rests on beyond the inputs as typed: values converted, curves carried on beyond their end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tco.ask.compare import Comparison
from tco.engine import Column, cell_text
from tco.model.ground import QUOTED
from tco.study import FailurePoint, Part, ResalePoint, Study


def remarks(comparison: Comparison) -> list[str]:
    """Each in a sentence, for people; empty where nothing was converted or carried on."""
    return [*conversions(comparison), *deflated(comparison.study), *carried_on(comparison.study)]


def conversions(comparison: Comparison) -> Iterator[str]:
    """Values that were quoted in the other kind of money."""
    for column in comparison.built.model.columns.values():
        if column.name.endswith(QUOTED):
            name = f"{column.table.name}.{column.name.removesuffix(QUOTED)}"
            yield from turned(comparison, column, comparison.built.model[name])


def turned(comparison: Comparison, quoted: Column, counted: Column) -> Iterator[str]:
    """One sentence for each row that was converted."""
    money = comparison.study.settings.money
    other = "real" if money == "nominal" else "nominal"
    same = comparison.of(quoted) == comparison.of(counted)
    for row, name in enumerate(quoted.table.rows):
        if not same[row]:
            where = quoted.table.scenario or quoted.table.label
            of = "" if quoted.table.name == "settings" else f" of {name} ({where})"
            before, after = (cell_text(column, row, comparison.figures) for column in (quoted, counted))
            yield f"{counted.label}{of}: {before} {other} counts as {after} {money}."


def deflated(study: Study) -> Iterator[str]:
    """Resale curves that speak of nominal money in a study of real money."""
    names = [f"'{name}'" for name, points in study.resale.items() if points[0].base == "own price"]
    if study.settings.money == "real" and names:
        yield f"Resale by {', '.join(names)} is a share of nominal prices; it is deflated by inflation."


def carried_on(study: Study) -> Iterator[str]:
    """Curves that parts outlive."""
    for curves, field, how in (
        (study.failures, "failures", "its last rate holds from there"),
        (study.resale, "resale", "it goes on falling at its last ratio"),
    ):
        for name, points in curves.items():
            oldest = max((reached(study, part) for part in parts_with(study, field, name)), default=0)
            if oldest > points[-1].age and has_ages(points):
                yield f"Curve '{name}' ends at {points[-1].age} months; parts here reach {oldest}: {how}."


def parts_with(study: Study, field: str, curve: str) -> list[Part]:
    """The parts that follow a curve."""
    return [part for scenario in study.scenarios for part in scenario.parts if getattr(part, field) == curve]


def reached(study: Study, part: Part) -> int:
    """The age that a part can reach, in months; one that only lists a price may come at the start."""
    return part.age + (study.settings.horizon if part.leaves is None else part.leaves) - part.bought


def has_ages(points: Sequence[FailurePoint | ResalePoint]) -> bool:
    """Whether a curve changes with age at all."""
    return len(points) > 1
