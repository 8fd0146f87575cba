"""Prints the table of all benchmarks at the end of a run that had any, whichever process ran them."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

import pytest

from tests.benchmarks.beside import ROWS, table

NAME = "beside"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, None, None]:
    """Let a test's report carry the lines it made."""
    before = len(ROWS)
    try:
        return (yield)
    finally:
        item.user_properties += [(NAME, row.cells) for row in ROWS[before:]]


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """What was measured, each beside its floor or peer."""
    reports = [one for kind in ("passed", "failed") for one in terminalreporter.stats.get(kind, ())]
    lines = [cells for one in reports for name, cells in one.user_properties if name == NAME]
    if lines:
        terminalreporter.section("times beside a floor or a peer in the same run")
        terminalreporter.write_line("\n".join(table(lines)))
