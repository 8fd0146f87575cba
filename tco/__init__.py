"""What a storage cluster at home costs over the years.

    import tco
    comparison = tco.compare(tco.load(tco.demo()))
    tco.measures(comparison)    # a pandas frame: scenario, measure, value, unit
    tco.lines(comparison)       # scenario, line, month, value, unit
    tco.save(comparison, "out")

Nothing heavy is imported until one of these names is used.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tco.api import (
        Comparison,
        Study,
        bills,
        breakeven,
        compare,
        demo,
        grow,
        lines,
        load,
        measures,
        new,
        save,
        spend,
        track,
        vary,
    )

__all__ = [
    "Comparison",
    "Study",
    "bills",
    "breakeven",
    "compare",
    "demo",
    "grow",
    "lines",
    "load",
    "measures",
    "new",
    "save",
    "spend",
    "track",
    "vary",
]


def __getattr__(name: str) -> Any:
    if name in __all__:
        from tco import api

        return getattr(api, name)
    raise AttributeError(f"module 'tco' has no attribute '{name}'")
