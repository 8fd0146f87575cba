"""Times beside a floor or a peer, in one run: a ratio is asserted, never a time; all are printed as one table."""

from __future__ import annotations

import gc
import os
import resource
import subprocess
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

HEADER = ("what", "ours [s]", "beside", "its [s]", "ratio", "allowed")


@dataclass(frozen=True)
class Row:
    """A line of the table. least: whether the ratio must be at least what is allowed, not at most."""

    what: str
    ours: float
    peer: str
    its: float
    allowed: float | None = None
    least: bool = False

    @property
    def ratio(self) -> float:
        """How many times the peer's time ours is, or theirs ours where it must be slower."""
        return self.its / self.ours if self.least else self.ours / self.its

    @property
    def is_fine(self) -> bool:
        return self.allowed is None or (self.ratio >= self.allowed if self.least else self.ratio <= self.allowed)

    @property
    def cells(self) -> tuple[str, ...]:
        """The line as text."""
        bound = "" if self.allowed is None else f"{'at least' if self.least else 'at most'} {self.allowed:g}"
        ratio = f"{self.ratio:,.0f}" if self.ratio >= 100 else f"{self.ratio:.2f}"
        return self.what, f"{self.ours:.4g}", self.peer, f"{self.its:.4g}", ratio, bound


ROWS: list[Row] = []


def beside(row: Row, benchmark: Any = None) -> None:
    """Keep a line for the table, and fail where the ratio is not as it must be."""
    ROWS.append(row)
    if benchmark is not None:
        benchmark.extra_info.update(dict(zip(HEADER, row.cells, strict=True)))
    assert row.is_fine, ", ".join(f"{head}: {cell}" for head, cell in zip(HEADER, row.cells, strict=True))


def table(rows: Sequence[Sequence[str]]) -> list[str]:
    """Lines under their header, in columns."""
    lines = [HEADER, *rows]
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    return ["  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip() for line in lines]


def taken(work: Callable[[], Any]) -> float:
    """The processor's time for a piece of work [s]: left out is what else the machine does, and looking through
    what earlier tests of the same process left in its memory, which is set aside from the collector of garbage.
    """
    gc.freeze()
    try:
        begun = time.process_time()
        work()
        return time.process_time() - begun
    finally:
        gc.unfreeze()


def whole(command: Sequence[str], **environment: str) -> float:
    """The processor's time for a whole program [s]; it must end well."""
    begun = resource.getrusage(resource.RUSAGE_CHILDREN)
    own = {name: text for name, text in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    subprocess.run(command, check=True, capture_output=True, env=own | environment)
    ended = resource.getrusage(resource.RUSAGE_CHILDREN)
    return ended.ru_utime + ended.ru_stime - begun.ru_utime - begun.ru_stime


def in_turns(*works: Callable[[], float], runs: int = 5) -> tuple[float, ...]:
    """The least of some times each [s]; in turns, so that what else the machine does falls on all."""
    return tuple(map(min, zip(*([work() for work in works] for _ in range(runs)), strict=True)))
