"""The kinds of cost and income, one file each: a module here with a LINE is found by itself.

To add one, write a file with `LINE = Line(...)` and a test; CSV, workbook, explain and every question about the model
take it from LINES.
"""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from tco.model.ground import Line

LINES: tuple[Line, ...] = tuple(
    sorted(
        (import_module(f"{__name__}.{found.name}").LINE for found in iter_modules(__path__)),
        key=lambda line: line.order,
    )
)

__all__ = ["LINES"]
