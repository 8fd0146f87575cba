"""Figures that are told one by one beside a scenario's measures: of each pool, each place, each kind of drive."""

from __future__ import annotations

from collections.abc import Iterator

from tco.engine import Column, Figures
from tco.model import Ground

Spot = tuple[Column, int]
POOLED = {  # what is told of each pool, and which phase speaks for it
    **dict.fromkeys(("raw", "usable", "recommended", "safe", "losses"), "smallest"),
    **dict.fromkeys(("unused", "to_free", "recovery_drive", "recovery_node"), "largest"),
}
WORDS = {"safe_case": "safe", "recovery_bottleneck": "recovery_node"}  # words, of the phase that speaks for a figure


def details(ground: Ground, figures: Figures) -> dict[str, Spot]:
    """Name as in measures.csv -> the column and row it stands in: `usable_of_main`, `left_each_mini_bay_3.5`."""
    found: dict[str, Spot] = {}
    for name, spot in (*of_pools(ground, figures), *of_places(ground), *of_room(ground)):
        number = 1  # names that differ by a space or a colon only would be one
        while (own := name if number == 1 else f"{name}_{number}") in found:
            number += 1
        found[own] = spot
    return found


def of_pools(ground: Ground, figures: Figures) -> Iterator[tuple[str, Spot]]:
    """Each pool at its worst, and the words that hold there."""
    for pool in ground.scenario.pools:
        kind = f"pool {pool.pool}"
        rows = {}
        for name, way in POOLED.items():
            if ground.has(kind, name):
                values = figures[ground.own(kind, name)]
                rows[name] = int(values.argmin() if way == "smallest" else values.argmax())
        rows |= {name: rows[figure] for name, figure in WORDS.items() if figure in rows and ground.has(kind, name)}
        yield from ((f"{name}_of_{spelled(pool.pool)}", (ground.own(kind, name), row)) for name, row in rows.items())


def of_places(ground: Ground) -> Iterator[tuple[str, Spot]]:
    """What is left of each place that parts provide or need."""
    if ground.has("fit", "left"):
        column = ground.own("fit", "left")
        yield from ((f"left_{spelled(name)}", (column, row)) for row, name in enumerate(column.table.rows))


def of_room(ground: Ground) -> Iterator[tuple[str, Spot]]:
    """How many more of each kind of drive the last free places take in each node."""
    for row, part in enumerate(ground.scenario.parts):
        if ground.has("room", f"more {row}"):
            yield f"more_of_{spelled(part.part)}", (ground.own("room", f"more {row}"), 0)


def spelled(name: str) -> str:
    """A name as a part of a measure's name."""
    return name.replace(": ", "_").replace(" ", "_")
