"""The same without the program's own name: `python -m tco.cli`."""

from __future__ import annotations

from tco.__main__ import run

if __name__ == "__main__":
    run()
