"""What a storage cluster at home costs over the years.

    import tco
    comparison = tco.compare(tco.load(tco.demo()))
    tco.measures(comparison)    # a pandas frame: scenario, measure, value, unit
    tco.lines(comparison)       # scenario, line, month, value, unit
    tco.save(comparison, "out")

Nothing heavy is imported until one of these names is used.
"""

from __future__ import annotations

TYPE_CHECKING = False  # as type checkers know it; importing it takes a while, in which Ctrl-C would show a traceback
if TYPE_CHECKING:
    from typing import Any

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
