"""How what was found reaches a person or a program: as text, one table in CSV, or one object in JSON.

Standard output has the answer and nothing else; progress, times and notes go to standard error.
"""

from __future__ import annotations

import functools
import sys
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from threading import Lock, Timer
from typing import TYPE_CHECKING, Any, TypeVar
from unicodedata import normalize

import click

from tco.stops import NOTHING
from tco.write.screen import is_plain, is_terminal, typed

if TYPE_CHECKING:
    from click._termui_impl import ProgressBar

    from tco.write.tables import Table

T = TypeVar("T")
FORMATS = ("text", "csv", "json")
OUT = Path("out")  # where results go if nothing else is said
PATIENCE = 1.0  # how long work goes on before it shows a bar [s]
KEY = "tco"  # of what a run keeps in click's context


@dataclass
class Manner:
    """How much is told of a run, and which files it has left behind."""

    quiet: bool = False
    verbose: bool = False
    files: list[Path] = field(default_factory=list)
    is_writing: bool = False


def say(text: str, *, err: bool = False) -> None:
    """Print a text in the signs that there are."""
    click.echo(typed(text, sys.stderr if err else sys.stdout), err=err)


def of_run(ctx: click.Context) -> Manner:
    """What this run keeps."""
    found: Manner = ctx.find_root().meta.setdefault(KEY, Manner())
    return found


def left_behind(ctx: click.Context) -> str:
    """What a run that is stopped leaves behind."""
    own = of_run(ctx)
    if own.is_writing:
        return "the results are as they were, or the new ones, whole"
    return f"written before: {', '.join(map(str, own.files))}" if own.files else NOTHING


def manner(function: Callable[..., T]) -> Callable[..., T]:
    """Add --quiet and --verbose to a command or to the group; what either says holds for the run."""

    @click.option("-q", "--quiet", is_flag=True, help="Print nothing but errors (and what --format asks for).")
    @click.option("-v", "--verbose", is_flag=True, help="Tell what is done and how long it takes.")
    @functools.wraps(function)
    def told(*args: Any, quiet: bool, verbose: bool, **more: Any) -> T:
        own = of_run(click.get_current_context())
        own.quiet, own.verbose = own.quiet or quiet, own.verbose or verbose
        if own.quiet and own.verbose:
            raise click.UsageError("--quiet or --verbose, not both")
        return function(*args, **{name: composed(one) for name, one in more.items()})

    return told


def composed(given: Any) -> Any:
    """What was typed, texts with composed letters (NFC), as the study's are read; some keyboards send them apart."""
    if isinstance(given, tuple):
        return tuple(map(composed, given))
    return normalize("NFC", given) if isinstance(given, str) else given


def formats(function: Callable[..., T]) -> Callable[..., T]:
    """Add --format, --quiet and --verbose to a command, whose first argument is then an Output."""

    @click.option("--format", "kind", type=click.Choice(FORMATS), default="text", show_default=True,
                  help="Text for people, or for programs one table (csv) or one object (json).")  # fmt: skip
    @manner
    @functools.wraps(function)
    def with_output(*args: Any, kind: str, **more: Any) -> T:
        return function(Output(kind, of_run(click.get_current_context())), *args, **more)

    return with_output


@dataclass(frozen=True)
class Found:
    """What a command has found.

    text: all that a person reads. table: what a program reads. question, answer, notes: in sentences, for JSON;
    the notes also go to standard error beside CSV. What is not asked for is not made.
    """

    text: Callable[[], str]
    table: Callable[[], Table]
    answer: Callable[[], Iterable[str]] = list
    notes: Callable[[], Iterable[str]] = list
    question: str = ""


@dataclass(frozen=True)
class Output:
    """Where a command's words go. kind: one of FORMATS."""

    kind: str
    manner: Manner

    @property
    def is_text(self) -> bool:
        return self.kind == "text"

    def folder(self, out: Path | None, *, wanted: bool = False) -> Path | None:
        """Where result files go: the folder that is asked for; without one `out` beside text, and none else.

        wanted: whether files are asked for in another way.
        """
        return out or (OUT if self.is_text or wanted else None)

    def show(self, found: Found) -> None:
        """Print what was found as asked."""
        if self.is_text:
            if not self.manner.quiet:
                say(found.text())
            return
        made = self.in_json(found) if self.kind == "json" else found.table().csv
        click.echo(made.encode(), nl=False)
        if self.kind == "csv" and not self.manner.quiet:
            for note in found.notes():
                say(f"note: {note}", err=True)

    def in_json(self, found: Found) -> str:
        """See tco.write.records."""
        from tco.write.records import in_json

        command = click.get_current_context().info_name or ""
        sentences = {"question": found.question, "answer": list(found.answer()), "notes": list(found.notes())}
        return in_json(command, sentences, found.table(), self.manner.files)

    def tell(self, text: str) -> None:
        """A line for who wants to know, on standard error."""
        if self.manner.verbose:
            say(text, err=True)

    @property
    def has_bars(self) -> bool:
        """Whether somebody looks who can be shown a bar."""
        return is_terminal(sys.stderr) and not is_plain() and not self.manner.quiet and not self.manner.verbose

    @contextmanager
    def bar(self, length: int, label: str) -> Iterator[ProgressBar[int]]:
        """A bar on standard error for work that counts its own steps."""
        with click.progressbar(length=length, label=label, file=sys.stderr, hidden=not self.has_bars) as bar:
            yield bar

    @contextmanager
    def work(self, steps: int) -> Iterator[Work]:
        """Some steps of work, with a bar if they take long and are not told one by one; without steps none."""
        begun = Work(self, steps)
        try:
            yield begun
        finally:
            begun.end()


class Work:
    """Steps of work one after the other: told with their times if asked, else a bar once they take long."""

    def __init__(self, output: Output, steps: int) -> None:
        self.output, self.lock, self.is_shown = output, Lock(), False
        hidden = not (steps and output.has_bars)
        self.bar: ProgressBar[int] = click.progressbar(length=steps, file=sys.stderr, hidden=hidden)
        self.timer = Timer(PATIENCE, self.show)
        self.timer.daemon = True
        if not hidden:
            self.timer.start()

    def show(self) -> None:
        """From now on the bar is seen."""
        with self.lock:
            self.is_shown = True
            self.bar.render_progress()

    def end(self) -> None:
        """No bar any more."""
        self.timer.cancel()
        with self.lock:
            if self.is_shown:
                self.bar.render_finish()

    def step(self, label: str, do: Callable[[], T], told: Callable[[T], str] = lambda _: "") -> T:
        """One step, and what comes of it; told: what to say of that."""
        begun = time.perf_counter()
        with self.lock:
            self.bar.label = label
            if self.is_shown:
                self.bar.render_progress()
        found = do()
        self.output.tell(f"{label}{told(found)}: {time.perf_counter() - begun:.2f} s")
        with self.lock:
            self.bar.pos += 1
            if self.is_shown:
                self.bar.render_progress()
        return found

    def write(self, do: Callable[[Path], Sequence[Path]], folder: Path | None) -> list[Path]:
        """The step that leaves files behind, if there is a folder for them."""
        if folder is None:
            return []
        place, own = folder, self.output.manner
        own.is_writing = True
        files = self.step("writing", lambda: do(place), lambda made: f" {', '.join(map(str, made))}")
        own.files.extend(files)
        own.is_writing = False
        return list(files)
