"""Ctrl-C and SIGTERM: at once while nothing is begun, in order while a run is at work, later while files are moved.

A closed terminal (SIGHUP) is told in the same way. What the surroundings have set to be ignored stays ignored.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Any, NoReturn

SIGNALS = [getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)]
STOPPED = 1  # the exit code of a command that did not come to its end
NOTHING = "nothing was written, earlier results stay"
SHOW_CURSOR = "\033[?25h"  # a bar hides it


def listen(handler: Any, *, default: bool = True) -> dict[int, Any]:
    """Let a handler take what tells a run to stop; returns what took it before. Only the main thread hears of it.

    default: also what ends the process by itself so far.
    """
    if threading.current_thread() is not threading.main_thread():
        return {}
    earlier = {number: signal.getsignal(number) for number in SIGNALS}
    heard = {number: own for number, own in earlier.items() if callable(own) or (default and own == signal.SIG_DFL)}
    for number in heard:
        signal.signal(number, handler)
    return heard


def end(told: str) -> NoReturn:
    """End the process where there is nothing to clear away."""
    seen = SHOW_CURSOR if sys.stderr is not None and not sys.stderr.closed and sys.stderr.isatty() else ""
    try:
        os.write(2, f"{seen}stopped; {told}\n".encode())
    finally:
        os._exit(STOPPED)


def at_once(*_: object) -> None:
    """The handler of a process of our own in which no command is begun yet."""
    end(NOTHING)


class Stop:
    """The handler of a run that is at work: KeyboardInterrupt, until its end has begun.

    told: what the run has left behind. While Python imports, a process of our own ends here: compiled modules turn
    KeyboardInterrupt into other errors, and nothing is half done.
    """

    def __init__(self, told: Callable[[], str]) -> None:
        self.told, self.is_over = told, False
        self.is_own = signal.getsignal(signal.SIGINT) is at_once

    def __call__(self, _: int, frame: FrameType | None) -> None:
        if self.is_over:
            return
        if self.is_own and not Hold.own and is_importing(frame):
            end(self.told())
        raise KeyboardInterrupt


def is_importing(frame: FrameType | None) -> bool:
    """Whether a frame is part of an import."""
    while frame is not None and not frame.f_code.co_filename.startswith("<frozen importlib"):
        frame = frame.f_back
    return frame is not None


@contextmanager
def in_order(told: Callable[[], str]) -> Iterator[Stop]:
    """A run at work; see Stop. At the end of a process of our own nothing is left to be stopped."""
    earlier = listen(stop := Stop(told))
    try:
        yield stop
    finally:
        for number, handler in earlier.items():
            signal.signal(number, signal.SIG_IGN if handler is at_once else handler)


class Hold:
    """Signals wait while this is entered, but for `open` blocks in it, which the first one that comes interrupts.

    One that has waited is heard at `check` or at the end, unless the block ends by an exception anyway.
    """

    own: Hold | None = None  # the one that is entered

    def __init__(self) -> None:
        self.waiting: list[int] = []
        self.earlier: dict[int, Any] = {}
        self.is_open = False

    def __enter__(self) -> Hold:
        Hold.own = self
        self.earlier = listen(self.note, default=False)
        return self

    def __exit__(self, kind: object, *_: object) -> None:
        Hold.own = None
        for number, handler in self.earlier.items():
            signal.signal(number, handler)
        if kind is None and self.waiting:
            signal.raise_signal(self.waiting[0])

    def note(self, number: int, frame: FrameType | None) -> None:
        """The handler of this."""
        if not self.is_open:
            self.waiting.append(number)
            return
        self.is_open = False
        self.earlier[number](number, frame)
        self.is_open = True

    def check(self) -> None:
        """Hear now what has waited."""
        if self.waiting:
            number = self.waiting.pop()
            self.earlier[number](number, None)

    @contextmanager
    def opened(self) -> Iterator[None]:
        """Signals come through."""
        self.is_open = True
        try:
            self.check()
            yield
        finally:
            self.is_open = False

    @contextmanager
    def closed(self) -> Iterator[None]:
        """Signals wait again, in the midst of an open block."""
        self.is_open = False
        yield
        self.is_open = True
