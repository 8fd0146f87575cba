"""What is known of the first months of a scenario that was built, which the model takes for them; see study.py."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Past:
    """Months 0..`months` of a scenario as they went.

    lines: cost line -> what was paid in month 0, 1 ... as far as that is known; from there, as all other lines, by
    the model. load: by month 0..horizon, the power drawn as a multiple of what the parts list says; empty: as there.
    """

    months: int
    lines: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    load: tuple[float, ...] = ()
