"""The commands with their folders, made once for all tests here."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.safety.worlds import World, worlds


@pytest.fixture(scope="session")
def every() -> Iterator[dict[str, World]]:
    """Each command with its folder, which stands where every user may go."""
    work = Path(tempfile.mkdtemp(prefix="tco-safety-"))
    work.chmod(0o755)
    try:
        warm, found = worlds(work)
        yield found
        warm.close()
    finally:
        shutil.rmtree(work)
