"""Makes the pictures of the README and the guide from real output: `python -m tests.pictures`.

Needs LibreOffice, pdftoppm and Chromium. A note beside the pictures keeps what they show, so that a test can tell
when they are out of date.
"""

from __future__ import annotations

import hashlib
import subprocess
import sys
import tempfile
from pathlib import Path

import tco
from tco.ask.compare import Comparison
from tco.write.told import told
from tests.browser import OPTIONS
from tests.printing import print_all

FOLDER = Path(__file__).parent.parent / "data" / "pictures"
NOTE = FOLDER / "made-of.txt"


def made_of(comparison: Comparison) -> str:
    """What the pictures show: every figure and every sentence of the demo, as a digest.

    Of figures nine digits: the last ones go by the processor.
    """
    words, figures = told(comparison), tco.measures(comparison).itertuples(index=False)
    rows = [" ".join(f"{one:.9g}" if isinstance(one, float) else str(one) for one in row) for row in figures]
    shown = "\n".join([*rows, *words.answer, *words.changes, *words.assumed])
    return hashlib.sha256(shown.encode("utf-8")).hexdigest()


def printed(book: Path, work: Path, name: str) -> None:
    """A workbook's first page as a picture."""
    print_all([book], work)
    pdf, picture = work / f"{book.stem}.pdf", FOLDER / name
    draw = ["pdftoppm", "-r", "100", "-f", "1", "-l", "1", "-png", "-singlefile", str(pdf), str(picture)]
    subprocess.run(draw, check=True, timeout=100)


def photographed(page: Path, work: Path, name: str, size: str) -> None:
    """A page in a browser window of that size, as a picture."""
    flags = [*OPTIONS, f"--user-data-dir={work / 'browser'}", f"--window-size={size}"]
    shot = [f"--screenshot={FOLDER / f'{name}.png'}", page.as_uri()]
    subprocess.run(["chromium", *flags, *shot], check=True, capture_output=True, timeout=100)


def main() -> None:
    """All pictures, and the note."""
    comparison = tco.compare(tco.load(tco.demo()))
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        tco.save(comparison, work / "out", html=True)
        run = [sys.executable, "-m", "tco.cli", "simulate", "demo", "--out", str(work / "out")]
        subprocess.run(run, check=True, capture_output=True, timeout=400)
        printed(work / "out" / "comparison.xlsx", work, "summary")
        printed(work / "out" / "simulate.xlsx", work, "chance")
        photographed(work / "out" / "comparison.html", work, "phone", "500,1400")
    NOTE.write_text(f"{made_of(comparison)}\n", encoding="utf-8")


if __name__ == "__main__":
    main()
