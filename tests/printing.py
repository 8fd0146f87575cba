"""Workbooks as they are printed: PDF by LibreOffice, what pdfinfo says of it, the text of its pages."""

from __future__ import annotations

import subprocess
from collections.abc import Sequence
from pathlib import Path

from tests.recalculate import convert


def print_all(books: Sequence[Path], folder: Path) -> None:
    """Workbooks as PDF, beside each other in a folder of this run's own."""
    convert(books, folder, folder / "profile", "pdf")


def about_pdf(path: Path) -> str:
    """What pdfinfo says: size of the paper, number of pages."""
    return subprocess.run(["pdfinfo", str(path)], check=True, capture_output=True, text=True).stdout


def pages_of(path: Path) -> list[str]:
    """The text of each page, by pdftotext."""
    command = ["pdftotext", "-layout", str(path), "-"]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout.split("\f")[:-1]
