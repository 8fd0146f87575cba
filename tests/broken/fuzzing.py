"""How long a fuzzer goes on, by which seeds, and what it may take."""

from __future__ import annotations

import os
import resource
import time
from collections.abc import Iterator
from contextlib import contextmanager

TOO_LONG = 10.0  # seconds of processor time for one mutant
TOO_MUCH = 2**30  # bytes of memory that all mutants of a test together may add


def is_long() -> bool:
    """Whether a long run is asked for."""
    return bool(os.environ.get("TCO_FUZZ"))


def rounds(name: str, usual: int) -> Iterator[str]:
    """Seeds: always the same so many; with TCO_FUZZ, as many as come in so many seconds, other ones each time."""
    long = float(os.environ.get("TCO_FUZZ") or 0)
    if not long:
        yield from (f"{name} {number}" for number in range(usual))
        return
    start, number = time.time(), 0
    while time.time() < start + long:
        yield f"{name} {int(start)}-{number}"
        number += 1


@contextmanager
def quick(what: object) -> Iterator[None]:
    """Fails where a block takes more than TOO_LONG of processor time."""
    start = time.process_time()
    yield
    taken = time.process_time() - start
    assert taken < TOO_LONG, f"{taken:.1f} s: {what}"


@contextmanager
def lean() -> Iterator[None]:
    """Fails where a block makes this process larger by more than TOO_MUCH."""
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    yield
    more = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) * 1024
    assert more < TOO_MUCH, f"{more / 1e6:.0f} MB more"
