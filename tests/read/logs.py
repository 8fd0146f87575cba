"""Metered logs made by code for tests: what a meter would have written of a known load."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from tco.electricity import Log
from tco.errors import StudyError
from tco.read.log import read_logs
from tco.read.problems import Problems
from tco.read.shelf import Folder
from tco.read.tables import Table
from tco.study import Node

VIENNA, LORD_HOWE = "Europe/Vienna", "Australia/Lord_Howe"
Load = Callable[[datetime], float]


def load_of(local: datetime) -> float:
    """A load [W] that differs in every hour of both kinds of day, by the local clock."""
    return 10 + local.hour if local.weekday() < 5 else 50 + 2 * local.hour


WEEKDAY = [10 + hour for hour in range(24)]
WEEKEND = [50 + 2 * hour for hour in range(24)]


def moments(start: datetime, step: timedelta, count: int) -> list[datetime]:
    """Moments of UTC, step by step."""
    first = start.astimezone(UTC)
    return [first + number * step for number in range(count)]


def at(zone: str, text: str) -> datetime:
    """A local time."""
    return datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone))


def power_rows(when: Sequence[datetime], zone: str, load: Load = load_of) -> list[tuple[datetime, float]]:
    """What a meter that writes power notes at each moment: (moment, W)."""
    return [(moment, load(moment.astimezone(ZoneInfo(zone)))) for moment in when]


def reading_rows(rows: Sequence[tuple[datetime, float]], begin: float = 128.4317) -> list[tuple[datetime, float]]:
    """What a meter that counts kWh shows at the same moments, if each power holds until the next row."""
    shown, found = begin, []
    for number, (moment, _) in enumerate(rows):
        if number:
            before, watts = rows[number - 1]
            shown += watts * (moment - before).total_seconds() / 3.6e6
        found.append((moment, shown))
    return found


def local(moment: datetime, zone: str) -> str:
    """As a meter writes it that goes by the local clock."""
    return f"{moment.astimezone(ZoneInfo(zone)):%Y-%m-%d %H:%M:%S}"


def table(rows: Iterable[tuple[str, object]], head: str = "time,power [W]") -> str:
    """A log's file."""
    return "\n".join([head, *(f"{when},{amount}" for when, amount in rows)]) + "\n"


def log_text(rows: Iterable[tuple[datetime, float]], zone: str, head: str = "time,power [W]") -> str:
    """A log's file by local time."""
    return table(((local(moment, zone), repr(amount)) for moment, amount in rows), head)


def node(file: str = "node.csv") -> Table[Node]:
    """nodes.csv with one node that names a log."""
    return Table("nodes.csv", [Node(scenario="minis", node="mini", count=1, log=file, places={})])


def read_text(folder: Path, text: str | bytes, zone: str = VIENNA) -> Log:
    """The log; raises StudyError with what is wrong with it."""
    raw = text.encode() if isinstance(text, str) else text
    (folder / "node.csv").write_bytes(raw)
    problems = Problems()
    logs = read_logs(Folder(folder), node(), zone, problems)
    problems.settle()
    return logs["node.csv"]


def told(folder: Path, text: str | bytes, zone: str = VIENNA) -> list[str]:
    """What is wrong with a log, each with its place."""
    try:
        log = read_text(folder, text, zone)
    except StudyError as error:
        return [f"{place}: {message}" for place, message in error.found]
    raise AssertionError(f"nothing was told; the log says {log.told}")
