"""A process that has imported everything and runs commands in forked children: a run then takes its own time only.

Each line of standard input is a request as JSON; the child's number comes back, then how it ended.
"""

from __future__ import annotations

import contextlib
import json
import os
import signal
import sys
import tempfile
import traceback
from pathlib import Path
from typing import Any

from tco.stops import SIGNALS
from tests.safety.runs import ERRORS, Request, takes_room

CHANGES = ("open", "os.rename", "os.remove", "os.rmdir", "os.mkdir", "os.symlink", "os.link")
WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT


class Trap:
    """Stops a run at its n-th change of the files below some folders; logs them where it is to stop at none."""

    def __init__(self, request: Request) -> None:
        self.request, self.seen, self.refused = request, list[str](), ""
        self.roots = tuple(request["roots"])

    def __call__(self, event: str, args: Any) -> None:
        if event in CHANGES and self.is_ours(event, args):
            self.seen.append(f"{event} {args[0]}")
            is_tried_again = self.request["how"] in ERRORS and self.seen[-1] == self.refused
            if len(self.seen) in self.request["numbers"] or is_tried_again:  # a library may try in another way
                self.refused = self.seen[-1]
                stop(self.request["how"], event)

    def is_ours(self, event: str, args: Any) -> bool:
        """Whether an event changes a file below the folders (or in one that is open, whose name it does not say)."""
        path = os.fsdecode(args[0]) if isinstance(args[0], str | bytes | os.PathLike) else ""
        if event == "open" and not (set(str(args[1] or "")) & set("wax+") or (args[1] is None and args[2] & WRITES)):
            return False
        if self.request["how"] in ERRORS and not takes_room(event, path):
            return False
        return path.startswith(self.roots) or (bool(path) and not os.path.isabs(path))


def stop(how: str, event: str) -> None:
    """What happens at the n-th change."""
    if how in ERRORS:
        raise OSError(ERRORS[how], os.strerror(ERRORS[how]), event)
    os.kill(os.getpid(), getattr(signal, how))


def child(request: Request) -> int:
    """One run; returns its exit code."""
    for number, name in enumerate((os.devnull, request["told"], request["wrong"])):
        file = os.open(name, os.O_RDWR | os.O_CREAT)
        os.dup2(file, number)
    os.chdir(request["folder"])
    tempfile.tempdir = request["temporary"]
    if limit := request["largest"]:
        import resource

        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
    if uid := request["uid"]:
        os.setgroups([])
        os.setgid(uid)
        os.setuid(uid)
    sys.addaudithook(trap := Trap(request))
    try:
        return run(request["words"])
    finally:
        if request["log"]:
            Path(request["log"]).write_text("\n".join(trap.seen), encoding="utf-8")


def run(words: list[str]) -> int:
    """The command as a process of its own runs it."""
    from tco.__main__ import run as begin

    sys.argv = ["tco", *words]
    sys.stdout, sys.stderr = (open(number, "w", encoding="utf-8", closefd=False) for number in (1, 2))  # noqa: SIM115
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    try:
        signal.pthread_sigmask(signal.SIG_UNBLOCK, SIGNALS)
        begin()
    except SystemExit as ended:
        code = ended.code if isinstance(ended.code, int) else int(ended.code is not None)
    except BaseException:
        traceback.print_exc()
        code = 99
    with contextlib.suppress(OSError):
        sys.stdout.flush()
        sys.stderr.flush()
    return code


def warm_up(commands: list[list[str]]) -> None:
    """Import what the commands import, by running them."""
    from click.testing import CliRunner

    from tco.cli import main

    for words in commands:
        found = CliRunner().invoke(main, words)
        assert found.exit_code == 0, found.output


def both(request: Request) -> list[Request]:
    """A run, and the one that goes on beside it, if one is asked for."""
    beside: Any = {name: f"{request[name]} beside" for name in ("told", "wrong")}  # type: ignore[literal-required]
    return [request, request | beside | {"words": request["beside"], "log": ""}] if request["beside"] else [request]


def begun(request: Request) -> int:
    """The number of a child, which hears of signals once its command begins: what is before is none of the tool's."""
    signal.pthread_sigmask(signal.SIG_BLOCK, SIGNALS)
    number = os.fork()
    if not number:
        os._exit(child(request))
    signal.pthread_sigmask(signal.SIG_UNBLOCK, SIGNALS)
    return number


def serve() -> None:
    """Fork a child for each request."""
    warm_up(json.loads(sys.stdin.readline()))
    print("ready", flush=True)
    for line in iter(sys.stdin.readline, ""):
        children = [begun(request) for request in both(json.loads(line))]
        print(children[0], flush=True)
        print(*(os.waitpid(number, 0)[1] for number in children), flush=True)


if __name__ == "__main__":
    serve()
