"""Metered logs: what a meter at the plug wrote of a node -> average power by hour of the day; see log_hours.py."""

from __future__ import annotations

from zoneinfo import ZoneInfo

import numpy as np

from tco.electricity import Log
from tco.errors import Place
from tco.read.curves import place
from tco.read.log_cells import Amounts, Times, read_amounts, read_times
from tco.read.log_hours import HOUR, log_of
from tco.read.log_rows import read_rows
from tco.read.log_times import Clock, in_order
from tco.read.problems import Problems, Refused, nearest, shown
from tco.read.shelf import Shelf
from tco.read.tables import Table
from tco.study import Node

# W on average: numbers that can be read in two ways are not read so that a node draws this much (no source)
UNLIKELY = 2000.0


def read_logs(shelf: Shelf, nodes: Table[Node], zone: str, problems: Problems) -> dict[str, Log]:
    """The logs that nodes name, by file, each read once; what is wrong with one is told, and it is left out.

    zone: the study's time zone; empty where that was refused, and then no log can be read.
    """
    found: dict[str, Log] = {}
    seen: set[str] = set()
    for node in nodes.rows:
        if not node.log or node.log in seen or not zone:
            continue
        seen.add(node.log)
        if not shelf.has(node.log):
            close = nearest(node.log, shelf.names())
            hint = f"; did you mean {shown(close)}?" if close else ""
            problems.add(place(node, "log"), f"log: there is no table {shown(node.log)}{hint}")
        elif log := read_log(shelf, node.log, Clock(ZoneInfo(zone)), problems):
            found[node.log] = log
    return found


def read_log(shelf: Shelf, file: str, clock: Clock, problems: Problems) -> Log | None:
    """One log; None where it cannot be used, the reasons told."""
    rows = read_rows(shelf, file, problems)
    if rows is None:
        return None
    times = read_times(rows, problems)
    amounts = read_amounts(rows, lambda watts: _is_likely(rows.form, times, watts), problems)
    if times is None or amounts is None or rows.torn:
        return None
    readings = in_order(rows, times, amounts, clock, problems)
    if readings is None:
        return None
    try:
        return log_of(file, rows.file, readings, rows.form, clock)
    except Refused as refused:
        problems.add(Place(rows.file), str(refused))
        return None


def _is_likely(form: str, times: Times | None, amounts: Amounts) -> bool:
    """Whether a node at home could have drawn such amounts [W, kWh]."""
    if form == "power":
        return bool(np.mean(amounts) < UNLIKELY)
    if times is None:  # told already; nothing to judge by
        return False
    used = np.diff(amounts)
    hours = np.abs(times.local[-1] - times.local[0]) / HOUR
    return bool(used[used > 0].sum() * 1000 < UNLIKELY * hours)
