"""A mark on a workbook by which it is known at once to be as it was written, its cells unread.

A program that saves a workbook writes its parts anew. The mark is made of the checksums that a ZIP archive keeps of
its parts, and stands in the archive's comment, where the format has room for one (APPNOTE.TXT 4.3.16; from memory).
Without it, or where it is another, `edited.py` reads the cells.
"""

from __future__ import annotations

import zipfile
from hashlib import sha256
from pathlib import Path


def seal(path: Path) -> None:
    """Put the mark on a workbook that was just written."""
    with path.open("r+b") as file, zipfile.ZipFile(file, "a") as book:  # by its name it might be begun anew, empty
        book.comment = mark_of(book)


def is_sealed(path: Path) -> bool:
    """Whether a workbook has the mark, and its parts are those it was put on for."""
    try:
        with zipfile.ZipFile(path) as book:
            return book.comment == mark_of(book)
    except (OSError, ValueError, zipfile.BadZipFile):
        return False


def mark_of(book: zipfile.ZipFile) -> bytes:
    """The mark that is made of the parts' names, sizes and checksums."""
    parts = [(part.filename, part.file_size, part.CRC) for part in book.infolist()]
    return b"tco " + sha256(repr(parts).encode()).hexdigest().encode()
