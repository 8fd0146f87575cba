"""Where the data that come with the package stand."""

from __future__ import annotations

from pathlib import Path


def data_folder() -> Path:
    """The folder with reference tables and the demo: inside the installed package, or beside it in a checkout."""
    package = Path(__file__).resolve().parent
    inside = package / "data"
    return inside if inside.is_dir() else package.parent / "data"
