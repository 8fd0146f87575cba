"""Whether a workbook was changed since the tool wrote it."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.utils.exceptions import InvalidFileException

from tco.write.fingerprint import NOTED, PROPERTY, Listing, Spot, fingerprint

UNREADABLE = "cannot be read as a workbook"
FOREIGN = "was not written by tco"
CHANGED = "was changed since tco wrote it"
NO_BOOK = (OSError, KeyError, ValueError, TypeError, SyntaxError, zipfile.BadZipFile, InvalidFileException)


def property_of(path: Path, name: str) -> str | None:
    """A property of a workbook; None where it has none of that name, or cannot be read."""
    try:
        book: Any = openpyxl.load_workbook(path, read_only=True)
    except NO_BOOK:
        return None
    try:
        return next((str(one.value) for one in book.custom_doc_props.props if one.name == name), None)
    finally:
        book.close()


def why_kept(path: Path) -> str:
    """Why a workbook must not be overwritten silently; empty where it is as the tool wrote it."""
    try:
        book: Any = openpyxl.load_workbook(path)
    except NO_BOOK:
        return UNREADABLE
    try:
        mark = next((one.value for one in book.custom_doc_props.props if one.name == PROPERTY), None)
        if mark is None:
            return FOREIGN
        return "" if mark == fingerprint(listing(book)) else CHANGED
    finally:
        book.close()


def listing(book: Any) -> Listing:
    """Every value and formula of a workbook, and where it has comments."""
    return {sheet.title: dict(listed(sheet)) for sheet in book.worksheets}


def listed(sheet: Any) -> Iterator[tuple[Spot, float | str]]:
    """What a sheet holds."""
    for cell in sheet._cells.values():  # what the file holds; iter_rows would make the whole rectangle
        if cell.value is not None:
            yield (cell.row - 1, cell.column - 1), plain(cell.value)
        if cell.comment is not None:
            yield (cell.row - 1, cell.column - 1, NOTED), ""


def plain(value: Any) -> float | str:
    """A cell's value as the tool would have written it; any other kind of value as text."""
    if isinstance(value, str):
        return value
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    return value.isoformat() if isinstance(value, datetime) else f"{type(value).__name__} {value}"
