"""The same without the program's own name: `python -m tco.cli`."""

from __future__ import annotations

from tco.cli import main

if __name__ == "__main__":
    main(prog_name="tco")
